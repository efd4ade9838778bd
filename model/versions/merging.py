"""Two people's versions of a job made one: three-way, thing by thing and field by field.

What only one of them changed is taken; what both changed alike too. What both changed differently
is a conflict, and then there is no job until somebody decides it. Two things that got the same id
are both kept: the second one's id is made anew, with all that refers to it.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from types import MappingProxyType
from typing import Any, Final, Generic, Literal, NamedTuple, TypeVar, cast

from pydantic import BaseModel, ValidationError

from pelmet.model.edit.change import make_thing, remove_all
from pelmet.model.edit.ids import fresh_id
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import Item, Kind
from pelmet.model.job.job import TABLES, Job, Site
from pelmet.model.job.references import REFERENCES, reference_faults
from pelmet.model.versions.said import part_kind, title_of, value_as_typed

T = TypeVar("T")
_OWN: Final = frozenset({"id", "assumed", "retired"})
_GONE, _CHANGED, _USED, _THERE = "removed", "changed", "used", "there"


Side = Literal["base", "mine", "theirs"]
SIDES: Final[tuple[Side, ...]] = ("base", "mine", "theirs")
Place = tuple[str, str, str]
"""What a conflict is about: kind, id and field."""


class Conflict(NamedTuple):
    """What two versions changed differently: of which thing, which field, and the three readings.

    Without a field it is the thing as a whole: one removed it while the other changed it or still
    refers to it, or what each changed of it does not go together.
    """

    kind: str
    id: str
    field: str
    title: str
    base: str
    mine: str
    theirs: str

    @property
    def place(self) -> Place:
        """By which it is decided."""
        return self.kind, self.id, self.field


class Typed(NamedTuple):
    """A value of one's own for a field, in place of either reading; and if it is assumed."""

    value: Any
    assumed: bool


Decision = Side | Typed


class Merged(NamedTuple):
    """The job of two versions, or what is to be decided before there is one.

    ``renumbered`` gives for ids of theirs what they are now.
    """

    job: Job | None
    conflicts: tuple[Conflict, ...]
    renumbered: Mapping[str, str]


class _Three(NamedTuple, Generic[T]):
    """Something as it was, as it is in mine, and as it is in theirs."""

    base: T
    mine: T
    theirs: T


def merge(
    base: Job, mine: Job, theirs: Job, decided: Mapping[Place, Decision] = MappingProxyType({})
) -> Merged:
    """Make one job of two that both come from the same.

    ``decided`` says of conflicts whose reading is taken, or which other value. What refers to
    something that is decided to be removed goes with it. Raises ``Refusal`` where both together
    hold more than a job may.
    """
    renumbered = _renumbered(base, mine, theirs)
    jobs = _Three(base, mine, _with_ids(theirs, renumbered))
    merging = _Merging(mine.site, decided)
    site = merging.one("site", "", _Three(*(job.site for job in jobs)))
    allowances = merging.one("allowances", "", _Three(*(job.allowances for job in jobs)))
    parts = {
        table: merging.table(
            part_kind(table), _Three(*(getattr(job.catalogue, table) for job in jobs))
        )
        for table in Catalogue.model_fields
    }
    tables = {
        table: merging.table(kind, _Three(*(job.table(kind) for job in jobs)))
        for kind, table in TABLES.items()
    }
    if merging.conflicts:
        return Merged(None, tuple(merging.conflicts), renumbered)
    removed: dict[str, Kind] = {}
    while loose := [each for each in _dangling(tables, jobs) if each.id not in removed]:
        for conflict in loose:
            side = merging.side(conflict)
            kept = _by_id(getattr(jobs, side)).get(conflict.id) if side else None
            if kept:  # and may itself refer to something
                tables[TABLES[kept[0]]] += (kept[1],)
            else:
                removed[conflict.id] = cast("Kind", conflict.kind)
    if merging.conflicts:
        return Merged(None, tuple(merging.conflicts), renumbered)
    used = {thing.id for thing in chain.from_iterable(tables.values())}
    retired = dict.fromkeys((*mine.site.retired, *theirs.site.retired))
    left = tuple(name for name in retired if name not in used)
    values = {
        "site": site.model_copy(update={"retired": left}),
        "allowances": allowances,
        "catalogue": Catalogue(**parts),
        **tables,
    }
    job = mine.model_copy(update=values)
    if removed:
        job = remove_all(job, removed)
    fields = {name: getattr(job, name) for name in Job.model_fields}
    return Merged(make_thing(Job, fields), (), renumbered)


# Ids


def _renumbered(base: Job, mine: Job, theirs: Job) -> dict[str, str]:
    """Give new ids to what theirs added under an id that stands for something else in mine."""
    before, own, other = _by_id(base), _by_id(mine), _by_id(theirs)
    new = [name for name in other if name not in before]
    clash = {
        name
        for name in new
        if (name in own and own[name] != other[name]) or name in _gone(mine, before)
    }
    # What is alike but refers to something that is not is not alike either.
    while more := {
        name
        for name in new
        if name in own and name not in clash and _referred(*other[name]) & clash
    }:
        clash |= more
    found: dict[str, str] = {}
    taken = mine
    for name in (each for each in new if each in clash):
        kind, thing = other[name]
        wall = getattr(thing, "wall", "") if kind == "cabinet" else ""
        spare = (*taken.site.retired, *other, *found.values())
        site = taken.site.model_copy(update={"retired": spare})
        found[name] = fresh_id(taken.model_copy(update={"site": site}), kind, found.get(wall, wall))
    return found


def _gone(job: Job, before: Mapping[str, object]) -> set[str]:
    """Give the ids that a job has given up since."""
    return {name for name in job.site.retired if name not in before}


def _by_id(job: Job) -> dict[str, tuple[Kind, Item]]:
    return {thing.id: (kind, thing) for kind in TABLES for thing in job.table(kind)}


def _referred(kind: Kind, thing: Item) -> set[str]:
    found: set[str] = set()
    for each, field, _ in REFERENCES:
        if each == kind:
            named = getattr(thing, field)
            found |= set(named) if isinstance(named, tuple) else {named}
    return found - {None}


def _with_ids(job: Job, new: Mapping[str, str]) -> Job:
    """Give a job under other ids, with all that refers to them."""
    if not new:
        return job

    def named(value: Any) -> Any:
        if isinstance(value, tuple):
            return tuple(new.get(each, each) for each in value)
        return new.get(value, value)

    tables = {}
    for kind, table in TABLES.items():
        fields = [field for each, field, _ in REFERENCES if each == kind]
        tables[table] = tuple(
            thing.model_copy(
                update={
                    "id": new.get(thing.id, thing.id),
                    **{field: named(getattr(thing, field)) for field in fields},
                }
            )
            for thing in job.table(kind)
        )
    return job.model_copy(update=tables)


# Things


class _Merging:
    """Merges things, and keeps what is to be decided; lengths are told as one of the jobs does."""

    def __init__(self, site: Site, decided: Mapping[Place, Decision]) -> None:
        self._site, self._decided = site, decided
        self.conflicts: list[Conflict] = []

    def table(self, kind: str, tables: _Three[Sequence[Any]]) -> tuple[Any, ...]:
        """Merge the things of one kind, in one order."""
        by_id = _Three(*({thing.id: thing for thing in table} for table in tables))
        found = []
        for name in self._in_order(kind, by_id):
            before, own, other = (table.get(name) for table in by_id)
            if own is not None and other is not None:
                both_added = before is None  # just the same, else the second had another id
                three = _Three(before, own, other)
                found.append(own if both_added else self.one(kind, name, three))
            elif before is None:
                found.append(own or other)
            elif (own or other) not in (None, before):
                pair = (_GONE, _CHANGED) if own is None else (_CHANGED, _GONE)
                side = self.side(Conflict(kind, name, "", "", _THERE, *pair))
                kept = (before, own, other)[SIDES.index(side)] if side else None
                found += [kept] if kept is not None else []
        return tuple(found)

    def _in_order(self, kind: str, tables: _Three[dict[str, Any]]) -> Iterator[str]:
        """Put the ids of both in one order: that of who changed it."""
        both = {*tables.mine} & {*tables.theirs}
        mine, theirs = ([name for name in each if name in both] for each in tables[1:])
        old = [name for name in tables.base if name in both]
        own, other = ([name for name in each if name in tables.base] for each in (mine, theirs))
        side: Side | None = "theirs" if own == old else "mine"
        if old not in (own, other) and own != other:
            texts = (" ".join(each) for each in (old, own, other))
            side = self.side(Conflict(kind, "", "order", "Order", *texts))
        was = [*old, *(name for name in mine if name not in tables.base)]  # both added those
        order = _Three(was, mine, theirs)[SIDES.index(side)] if side else mine
        return _with_the_rest(order, tables)

    def one(self, kind: str, name: str, three: _Three[Any]) -> Any:
        """Merge one thing, field by field; a field and its mark as assumed go together."""
        base, mine, theirs = three
        if mine == base:
            return theirs
        if theirs in (base, mine):
            return mine
        taken: dict[str, Any] = dict(mine)
        marks: list[str] = []
        open_before = len(self.conflicts)
        for field in type(mine).model_fields:
            if field in _OWN:
                continue
            before, own, other = (_said(each, field) for each in three)
            value, mark = other if own == before else own
            if before not in (own, other) and own != other:
                texts = (value_as_typed(each, kind, field, self._site) for each in three)
                said = _Three(before, own, other)
                value, mark = self._reading(
                    Conflict(kind, name, field, title_of(mine, field), *texts), said
                )
            taken[field] = value
            marks += [field] if mark else []
        if "assumed" in type(mine).model_fields:
            taken["assumed"] = tuple(marks)
        try:
            return type(mine).model_validate(taken)
        except ValidationError:  # what each of them said does not go together
            if len(self.conflicts) > open_before:
                return mine
            side = self.side(Conflict(kind, name, "", "", _THERE, _CHANGED, _CHANGED))
            return three[SIDES.index(side or "mine")]

    def side(self, conflict: Conflict) -> Side | None:
        """Give whose reading is taken, or note that it is to be decided."""
        decided = self._decided.get(conflict.place)
        if decided is None or isinstance(decided, Typed):
            self.conflicts.append(conflict)
            return None
        return decided

    def _reading(self, conflict: Conflict, said: _Three[tuple[Any, bool]]) -> tuple[Any, bool]:
        """Give the reading of a field, and if it is assumed: one of three, or what was typed."""
        decided = self._decided.get(conflict.place)
        if isinstance(decided, Typed):
            return decided
        return said[SIDES.index(self.side(conflict) or "mine")]


def _said(thing: BaseModel, field: str) -> tuple[Any, bool]:
    return getattr(thing, field), field in getattr(thing, "assumed", ())


def _with_the_rest(order: Sequence[str], tables: _Three[dict[str, Any]]) -> Iterator[str]:
    """Put what only one of two has after what it stood after there, in the order of the others.

    Where both have such, the same comes first whoever is who.
    """
    both = {*tables.mine} & {*tables.theirs}
    groups = [_after([*each], both) for each in (tables.mine, tables.theirs)]

    def content(group: list[str]) -> str:
        things = (tables.mine.get(name) or tables.theirs[name] for name in group)
        return "".join(str(thing.model_copy(update={"id": ""})) for thing in things)

    for name in ("", *order):
        if name:
            yield name
        for group in sorted((each.get(name, []) for each in groups), key=content):
            yield from group


def _after(names: Sequence[str], both: set[str]) -> dict[str, list[str]]:
    """Give what only one of two has, by what it stands after; by "" what comes first of all."""
    found: dict[str, list[str]] = {}
    last = ""
    for name in names:
        if name in both:
            last = name
        else:
            found.setdefault(last, []).append(name)
    return found


def _dangling(tables: Mapping[str, tuple[Any, ...]], jobs: _Three[Job]) -> Iterator[Conflict]:
    """Give what one of the two removed and something that is kept still refers to."""
    things: dict[str, tuple[Any, ...]] = {kind: tables[table] for kind, table in TABLES.items()}
    in_base, in_mine, in_theirs = (_by_id(job) for job in jobs)
    for name in dict.fromkeys(fault.found for fault in reference_faults(things)):
        kind, _ = in_base.get(name) or in_mine.get(name) or in_theirs[name]
        pair = (_USED if name in each else _GONE for each in (in_mine, in_theirs))
        yield Conflict(kind, name, "", "", _THERE, *pair)

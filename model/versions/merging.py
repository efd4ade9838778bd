"""Two people's versions of a job made one: three-way, thing by thing and field by field.

What only one of them changed is taken; what both changed alike too. What both changed differently
is a conflict, and then there is no job until somebody decides it. Two things that got the same id
are both kept: the second one's id is made anew, with all that refers to it. What both noted as
built is there once.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import chain
from types import MappingProxyType
from typing import Any, Final, Generic, Literal, NamedTuple, TypeVar, cast

from pydantic import BaseModel, ValidationError

from pelmet.model.edit.change import make_thing, remove_all
from pelmet.model.job.built import CutLength
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import Kind
from pelmet.model.job.job import TABLES, Job, Site
from pelmet.model.job.references import reference_faults
from pelmet.model.versions.built_twice import (
    BUILT,
    Twice,
    noted_twice,
    ordered_once,
    renamed_apart,
    spoilt_since,
)
from pelmet.model.versions.renaming import by_id, renumbered, with_ids, with_names
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
    new_ids = renumbered(base, mine, theirs)
    theirs = with_ids(theirs, new_ids)
    apart = renamed_apart(base, mine, theirs)
    jobs = _Three(base, mine, with_names(theirs, lambda name: apart.get(name, name)))
    new_ids |= apart
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
        return Merged(None, tuple(merging.conflicts), new_ids)
    for kind in BUILT:
        tables[TABLES[kind]] = merging.once(kind, tables[TABLES[kind]], jobs)
    tables["ordered"] = ordered_once(tables, jobs.mine, jobs.theirs)
    noted = (*BUILT, "ordered")
    there = {thing.id for kind in noted for thing in tables[TABLES[kind]]}
    dropped = {each.id for kind in noted for each in jobs.theirs.table(kind)} - there
    new_ids = {old: new for old, new in new_ids.items() if new not in dropped}
    if merging.conflicts:
        return Merged(None, tuple(merging.conflicts), new_ids)
    removed: dict[str, Kind] = {}
    while loose := [each for each in _dangling(tables, jobs) if each.id not in removed]:
        for conflict in loose:
            side = merging.side(conflict)
            kept = by_id(getattr(jobs, side)).get(conflict.id) if side else None
            if kept:  # and may itself refer to something
                tables[TABLES[kept[0]]] += (kept[1],)
            else:
                removed[conflict.id] = cast("Kind", conflict.kind)
    if merging.conflicts:
        return Merged(None, tuple(merging.conflicts), new_ids)
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
    return Merged(make_thing(Job, fields), (), new_ids)


# Things


class _Merging:
    """Merges things, and keeps what is to be decided; lengths are told as one of the jobs does."""

    def __init__(self, site: Site, decided: Mapping[Place, Decision]) -> None:
        self._site, self._decided = site, decided
        self.conflicts: list[Conflict] = []

    def table(self, kind: str, tables: _Three[Sequence[Any]]) -> tuple[Any, ...]:
        """Merge the things of one kind, in one order."""
        named = _Three(*({thing.id: thing for thing in table} for table in tables))
        found = []
        for name in self._in_order(kind, named):
            before, own, other = (table.get(name) for table in named)
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

    def once(self, kind: Kind, rows: Sequence[Any], jobs: _Three[Job]) -> tuple[Any, ...]:
        """Leave of what both noted as built the one that is right, and what refers to that."""
        ids = [{each.id for each in job.table(kind)} for job in jobs[1:]]
        if kind == "cut":
            rows = spoilt_since(rows, {each.id for each in jobs.base.cuts})
        while twice := noted_twice(rows, *ids):
            both = {each.id for each in (*twice.mine, *twice.theirs)}
            kept = twice.earlier if twice.alike else self._of_one(kind, twice)
            place = min(at for at, row in enumerate(rows) if row.id in both)
            left = [row for row in rows if row.id not in both]
            before = sum(row.id not in both for row in rows[:place])
            rows = [*left[:before], *kept, *left[before:]]
            if kind == "cut":
                stands_for = dict.fromkeys(both - {each.id for each in kept})
                if len(kept) == 1:
                    stands_for = dict.fromkeys(stands_for, kept[0].id)
                rows = [_out_of(row, stands_for) for row in rows]
        return tuple(rows)

    def _of_one(self, kind: Kind, twice: Twice) -> tuple[Any, ...]:
        """Give the rows of whoever is said to be right; of neither, it is not built yet."""
        texts = (
            "; ".join(
                f"{title_of(row, field, self._site)} {value_as_typed(row, kind, field, self._site)}"
                for row in rows
                for field in twice.fields
            )
            for rows in twice[1:]
        )
        side = self.side(
            Conflict(kind, twice.name, "", "by both, differently", "not there", *texts)
        )
        return {"base": (), "theirs": twice.theirs}.get(side or "mine", twice.mine)

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
            if kind == "cut" and (pieces := _one_by_one(before[0], own[0], other[0])):
                value = pieces
            elif before not in (own, other) and own != other:
                texts = (value_as_typed(each, kind, field, self._site) for each in three)
                said = _Three(before, own, other)
                value, mark = self._reading(
                    Conflict(kind, name, field, title_of(mine, field, self._site), *texts), said
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


def _one_by_one(before: Any, own: Any, other: Any) -> tuple[Any, ...] | None:
    """Merge what was cut of one length piece by piece; nothing if that is to be decided."""
    if not isinstance(before, tuple) or not len(before) == len(own) == len(other):
        return None
    pieces = [*zip(before, own, other, strict=True)]
    if any(was not in (mine, theirs) and mine != theirs for was, mine, theirs in pieces):
        return None
    return tuple(theirs if mine == was else mine for was, mine, theirs in pieces)


def _out_of(cut: CutLength, stands_for: Mapping[str, str | None]) -> CutLength:
    if cut.rest_of is None or cut.rest_of not in stands_for:
        return cut
    return cut.model_copy(update={"rest_of": stands_for[cut.rest_of]})


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
    in_base, in_mine, in_theirs = (by_id(job) for job in jobs)
    for name in dict.fromkeys(fault.found for fault in reference_faults(things)):
        kind, _ = in_base.get(name) or in_mine.get(name) or in_theirs[name]
        pair = (_USED if name in each else _GONE for each in (in_mine, in_theirs))
        yield Conflict(kind, name, "", "", _THERE, *pair)

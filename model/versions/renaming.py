"""Ids and names of theirs made anew where they stand for something else in mine."""

from collections.abc import Callable, Mapping
from typing import Any, Final

from pelmet.model.edit.ids import fresh_id
from pelmet.model.job.items import Item, Kind
from pelmet.model.job.job import TABLES, Job
from pelmet.model.job.piece_names import with_new_ids
from pelmet.model.job.references import REFERENCES

# What is called after a run, a leg or a number of the drill list.
_NAMES: Final[tuple[tuple[Kind, str], ...]] = (
    ("cut", "pieces"),
    ("drilled", "hole"),
    ("laid", "cable"),
    ("laid", "before"),
)


def renumbered(base: Job, mine: Job, theirs: Job) -> dict[str, str]:
    """Give new ids to what theirs added under an id that stands for something else in mine."""
    before, own, other = by_id(base), by_id(mine), by_id(theirs)
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


def by_id(job: Job) -> dict[str, tuple[Kind, Item]]:
    """Give all things of a job with their kinds, by id."""
    return {thing.id: (kind, thing) for kind in TABLES for thing in job.table(kind)}


def _referred(kind: Kind, thing: Item) -> set[str]:
    found: set[str] = set()
    for each, field, _ in REFERENCES:
        if each == kind:
            named = getattr(thing, field)
            found |= set(named) if isinstance(named, tuple) else {named}
    return found - {None}


def with_ids(job: Job, new: Mapping[str, str]) -> Job:
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
    return with_names(job.model_copy(update=tables), lambda name: with_new_ids(name, new))


def with_names(job: Job, named: Callable[[str], str]) -> Job:
    """Give a job with its pieces, holes and cables under other names."""
    for kind, field in _NAMES:
        rows = []
        for each in job.table(kind):
            said = getattr(each, field)
            new = tuple(map(named, said)) if isinstance(said, tuple) else named(said)
            rows.append(each if new == said else each.model_copy(update={field: new}))
        job = job.model_copy(update={TABLES[kind]: tuple(rows)})
    return job

"""A site comes apart into areas: rooms, with all that is joined to them by runs, legs and supplies.

What is in one area has no bearing on another, so each is planned by itself, and planned anew only
when something of it changes.
"""

from collections.abc import Iterator, Mapping
from functools import lru_cache
from operator import attrgetter
from typing import Any, Final, Literal, NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.built import CutLength
from pelmet.model.job.feeds import Override
from pelmet.model.job.items import Item, Kind
from pelmet.model.job.job import TABLES, Job, Site
from pelmet.model.job.piece_names import bar_of
from pelmet.model.job.references import REFERENCES
from pelmet.model.job.rules import Region
from pelmet.model.measure.lengths import LengthUnit
from pelmet.model.remembered import Remembered

PLANNED: Final[tuple[Kind, ...]] = (
    "room", "wall", "cabinet", "obstacle", "run", "supply", "zone", "leg",
    "hung", "laid", "fitted", "cut",
)  # fmt: skip
"""The kinds of things that areas are made of."""
_KEPT: Final = 4096  # things
_OTHER_AREAS: Final = 200  # kept besides those of the job planned last
_OTHER_JOBS: Final = 32
_ID: Final = attrgetter("id")


class Terms(NamedTuple):
    """What holds in every area of a site, and nothing that has no bearing on its plan."""

    region: Region
    length_unit: LengthUnit
    inch_parts: Literal[16, 32]
    allowances: Allowances
    overrides: tuple[Override, ...]


# The things of one area: for each kind of PLANNED those there are, in the surveyor's order.
Area = tuple[tuple[Item, ...], ...]


def terms_of(job: Job) -> Terms:
    """Give what holds in every area of a job."""
    site = job.site
    return Terms(site.region, site.length_unit, site.inch_parts, job.allowances, job.overrides)


def areas_of(job: Job) -> tuple[Area, ...]:
    """Bring the things of a job together by area, in the order of each area's first thing.

    They come without their notes, on which no plan depends.
    """
    first_of = _joined(tuple(_references(job)))
    areas: dict[str, list[list[Item]]] = {}
    for row, kind in enumerate(PLANNED):
        if kind == "cut":
            continue  # one may be of several areas
        for item in job.table(kind):
            first = first_of.get(item.id, item.id)
            if first not in areas:
                areas[first] = [[] for _ in PLANNED]
            areas[first][row].append(item)
    for cut in job.cuts:
        for first in dict.fromkeys(first_of.get(run, run) for run in runs_cut(cut)):
            if first in areas:  # else its run is no more
                areas[first][PLANNED.index("cut")].append(cut)
    found = tuple([_noteless(tuple([tuple(items) for items in area])) for area in areas.values()])
    _noteless.keep(len(areas) + _OTHER_AREAS)
    return found


def runs_cut(cut: CutLength) -> tuple[str, ...]:
    """Give the runs whose bars' pieces came out of a stock length, as far as pieces name one."""
    return tuple(dict.fromkeys(run for run, _ in map(bar_of, cut.pieces) if run))


def _without_notes(area: Area) -> Area:
    """Give the things that each stand for all that differ from them in their note alone."""
    return tuple(
        tuple(_equal(item.model_copy(update={"note": ""}) if item.note else item) for item in items)
        for items in area
    )


@lru_cache(maxsize=_KEPT)
def _equal(item: Item) -> Item:
    return item


_noteless = Remembered(_without_notes)


def job_of(terms: Terms, area: Area) -> Job:
    """Make a job of one area, with neither papers nor stock; all of it has been validated."""
    site = Site(region=terms.region, length_unit=terms.length_unit, inch_parts=terms.inch_parts)
    tables: dict[str, Any] = {
        TABLES[kind]: items for kind, items in zip(PLANNED, area, strict=True)
    }
    return Job().model_copy(
        update={
            "site": site, "allowances": terms.allowances, "overrides": terms.overrides, **tables,
        }
    )  # fmt: skip


# Ids of things of one kind, and what each names in one of its fields.
_Names = tuple[tuple[str, ...], tuple[object, ...]]


def _references(job: Job) -> Iterator[_Names]:
    for kind, field, _ in REFERENCES:
        table = job.table(kind)
        if table:
            yield tuple(map(_ID, table)), tuple(map(attrgetter(field), table))


@lru_cache(maxsize=_OTHER_JOBS)
def _joined(references: tuple[_Names, ...]) -> Mapping[str, str]:
    """Give for each thing the one that stands for all that are joined to it."""
    groups = _Groups()
    for ids, named in references:
        for thing, names in zip(ids, named, strict=True):
            for name in names if isinstance(names, tuple) else (names,):
                if isinstance(name, str):
                    groups.join(thing, name)
    return {thing: groups.first(thing) for thing in groups.things()}


class _Groups:
    """Ids of things that are joined, straight or through others; no two things have the same."""

    def __init__(self) -> None:
        self._above: dict[str, str] = {}

    def things(self) -> tuple[str, ...]:
        """Give all that stand for others or are stood for."""
        return tuple({*self._above, *self._above.values()})

    def first(self, thing: str) -> str:
        """Give the one thing that stands for all that are joined to it."""
        above = self._above
        while (up := above.get(thing, thing)) != thing:
            above[thing] = thing = above.get(up, up)
        return thing

    def join(self, one: str, other: str) -> None:
        self._above[self.first(one)] = self.first(other)

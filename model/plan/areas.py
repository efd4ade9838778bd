"""A site comes apart into areas: rooms, with all that is joined to them by runs, legs and supplies.

What is in one area has no bearing on another, so each is planned by itself, and planned anew only
when something of it changes.
"""

from functools import lru_cache
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
_KEPT: Final = 4096  # things, and as many besides those of the job planned last


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
    groups = _joined(job)
    areas: dict[str, list[list[Item]]] = {}
    for row, kind in enumerate(PLANNED):
        for item in job.table(kind):
            names = runs_cut(item) if isinstance(item, CutLength) else (item.id,)
            for first in dict.fromkeys(map(groups.first, names)):
                if first not in areas:
                    if kind == "cut":
                        continue  # of a run that is no more
                    areas[first] = [[] for _ in PLANNED]
                areas[first][row].append(_noteless(item))
    _noteless.keep(sum(len(job.table(kind)) for kind in PLANNED) + _KEPT)
    return tuple(tuple(tuple(items) for items in area) for area in areas.values())


def runs_cut(cut: CutLength) -> tuple[str, ...]:
    """Give the runs whose bars' pieces came out of a stock length, as far as pieces name one."""
    return tuple(dict.fromkeys(run for run, _ in map(bar_of, cut.pieces) if run))


def _without_note(item: Item) -> Item:
    """Give the one thing that stands for all that differ from it in their note alone."""
    return _equal(item.model_copy(update={"note": ""}) if item.note else item)


@lru_cache(maxsize=_KEPT)
def _equal(item: Item) -> Item:
    return item


_noteless = Remembered(_without_note)


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


def _joined(job: Job) -> "_Groups":
    groups = _Groups()
    for kind, field, _ in REFERENCES:
        for item in job.table(kind):
            named = getattr(item, field)
            if named is not None:
                for name in named if isinstance(named, tuple) else (named,):
                    groups.join(item.id, name)
    return groups


class _Groups:
    """Ids of things that are joined, straight or through others; no two things have the same."""

    def __init__(self) -> None:
        self._above: dict[str, str] = {}

    def first(self, thing: str) -> str:
        """Give the one thing that stands for all that are joined to it."""
        above = self._above
        while (up := above.get(thing, thing)) != thing:
            above[thing] = thing = above.get(up, up)
        return thing

    def join(self, one: str, other: str) -> None:
        self._above[self.first(one)] = self.first(other)

"""What is wrong, will disappoint, or needs a person: one function a check."""

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from heapq import merge
from itertools import chain, pairwise
from typing import TypeAlias

from pelmet.model.job.items import Kind
from pelmet.model.job.job import TABLES, Job
from pelmet.model.plan.checks import (
    bars,
    bench,
    built,
    catalogue,
    control,
    dimming,
    ends,
    fading,
    feeding,
    light,
    overrides,
    power,
    protection,
    questions,
    room,
    rules,
    seeing,
    supplies,
    survey,
    ways,
    zones,
)
from pelmet.model.plan.finding import LEVELS, Finding
from pelmet.model.plan.result import Plan

__all__ = ["CHECKS", "Found", "check_area", "check_site"]

CHECKS = (
    *catalogue.CHECKS,
    *survey.CHECKS,
    *bars.CHECKS,
    *built.CHECKS,
    *bench.CHECKS,
    *ends.CHECKS,
    *ways.CHECKS,
    *zones.CHECKS,
    *power.CHECKS,
    *protection.CHECKS,
    *feeding.CHECKS,
    *dimming.CHECKS,
    *control.CHECKS,
    *supplies.CHECKS,
    *room.CHECKS,
    *fading.CHECKS,
    *light.CHECKS,
    *seeing.CHECKS,
    *rules.CHECKS,
    *overrides.CHECKS,
    *questions.CHECKS,
)

Check: TypeAlias = Callable[[Plan], Iterator[Finding]]
_Rows: TypeAlias = Mapping[tuple[Kind, str], int]

# These ask about more than one area at once, about what is numbered over all of a site, or go
# through the things of a site in an order of their own.
_OF_THE_SITE = frozenset(
    {
        *questions.CHECKS,
        *overrides.CHECKS,
        rules.source_isolated,
        rules.thin_cable,
        survey.nothing_to_plan,
        control.leg_in_no_zone,
        seeing.dots_seen,
        ways.crossing_not_chosen,
        ways.hole_too_near,
        built.hole_too_narrow,
        built.cut_does_not_add_up,
        built.piece_cut_twice,
    }
)

_ROWS_OF_AREA = tuple(row for row in enumerate(CHECKS) if row[1] not in _OF_THE_SITE)
_ROWS_OF_SITE = tuple(row for row in enumerate(CHECKS) if row[1] in _OF_THE_SITE)
_GRAVITY = {level: row for row, level in enumerate(LEVELS)}

# Findings by how grave they are, and by the row of their check.
Found = Mapping[tuple[int, int], Sequence[Finding]]


def check_area(plan: Plan) -> Found:
    """Run every check that asks about nothing beyond an area."""
    return _found(plan, _ROWS_OF_AREA)


def check_site(plan: Plan, areas: Iterable[Found]) -> tuple[Finding, ...]:
    """Add what was found in each area to what is found of the whole.

    The gravest findings come first, else in the order of the checks. What one check found in
    several areas goes by the job's tables, but is as the check has it within an area.
    """
    found: dict[tuple[int, int], list[Sequence[Finding]]] = {}
    for area in (*areas, _found(plan, _ROWS_OF_SITE)):
        for place, findings in area.items():
            found.setdefault(place, []).append(findings)
    rows = _rows(plan.job)
    in_order = (_merged(found[place], rows) for place in sorted(found))
    return tuple(dict.fromkeys(chain.from_iterable(in_order)))


def _found(plan: Plan, checks: Iterable[tuple[int, Check]]) -> Found:
    found: dict[tuple[int, int], list[Finding]] = {}
    for row, one in checks:
        for finding in one(plan):
            found.setdefault((_GRAVITY[finding.level], row), []).append(finding)
    return found


def _merged(areas: Sequence[Sequence[Finding]], rows: _Rows) -> Iterable[Finding]:
    if len(areas) == 1:
        return areas[0]
    places = [[rows[each.kind, each.about] for each in own] for own in areas]
    if all(max(one) <= min(other) for one, other in pairwise(places)):
        return chain.from_iterable(areas)  # one area's come before all of the next one's
    return merge(*areas, key=lambda each: rows[each.kind, each.about])


def _rows(job: Job) -> _Rows:
    """Give which row of all of the job's tables each thing is."""
    items = chain.from_iterable([(kind, item.id) for item in job.table(kind)] for kind in TABLES)
    return {item: row for row, item in enumerate(items)}

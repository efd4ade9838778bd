"""What is wrong, will disappoint, or needs a person: one function a check."""

from collections.abc import Iterable, Mapping
from heapq import merge
from itertools import chain

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
        built.status_ahead,
        built.hole_too_narrow,
        built.cut_does_not_add_up,
        built.piece_cut_twice,
    }
)

# Findings with the row of their check, in the order of the checks.
Found = tuple[tuple[int, Finding], ...]


def check_area(plan: Plan) -> Found:
    """Run every check that asks about nothing beyond an area."""
    return tuple(
        (row, finding)
        for row, one in enumerate(CHECKS)
        if one not in _OF_THE_SITE
        for finding in one(plan)
    )


def check_site(plan: Plan, areas: Iterable[Found]) -> tuple[Finding, ...]:
    """Add what was found in each area to what is found of the whole.

    The gravest findings come first, else in the order of the checks. What one check found in
    several areas goes by the job's tables, but is as the check has it within an area.
    """
    found: dict[tuple[int, int], list[list[Finding]]] = {}
    for area in (*areas, _found_on_site(plan)):
        own: dict[tuple[int, int], list[Finding]] = {}
        for check, finding in area:
            own.setdefault((LEVELS.index(finding.level), check), []).append(finding)
        for place, findings in own.items():
            found.setdefault(place, []).append(findings)
    rows = _rows(plan.job)
    in_order = (
        merge(*found[place], key=lambda each: rows[each.kind, each.about])
        for place in sorted(found)
    )
    return tuple(dict.fromkeys(chain.from_iterable(in_order)))


def _found_on_site(plan: Plan) -> Found:
    return tuple(
        (row, finding)
        for row, one in enumerate(CHECKS)
        if one in _OF_THE_SITE
        for finding in one(plan)
    )


def _rows(job: Job) -> Mapping[tuple[Kind, str], tuple[int, int]]:
    """Give where in the job each thing stands: its table, and its row in that."""
    return {
        (kind, item.id): (table, row)
        for table, kind in enumerate(TABLES)
        for row, item in enumerate(job.table(kind))
    }

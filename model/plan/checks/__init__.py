"""What is wrong, will disappoint, or needs a person: one function a check."""

from pelmet.model.plan.checks import (
    bars,
    bench,
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
    rules,
    seeing,
    supplies,
    survey,
    ways,
    zones,
)
from pelmet.model.plan.finding import LEVELS, Finding
from pelmet.model.plan.result import Plan

__all__ = ["CHECKS", "check_plan"]

CHECKS = (
    *catalogue.CHECKS,
    *survey.CHECKS,
    *bars.CHECKS,
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
    *fading.CHECKS,
    *light.CHECKS,
    *seeing.CHECKS,
    *rules.CHECKS,
    *overrides.CHECKS,
    *questions.CHECKS,
)


def check_plan(plan: Plan) -> tuple[Finding, ...]:
    """Run every check; the gravest findings first, else in the order of the checks."""
    found = dict.fromkeys(finding for one in CHECKS for finding in one(plan))
    return tuple(sorted(found, key=lambda finding: LEVELS.index(finding.level)))

"""Checks on even light: each fires in one job, and only just not in another.

The limits are allowances, so each near miss has just the allowance that the light takes.
"""

from decimal import ROUND_DOWN, ROUND_UP, Decimal

import pytest
from cases import Case, assert_fires, assert_silent, names
from jobs import Fields, Tables, part, row

from pelmet.model.job.job import Job
from pelmet.model.plan.checks import fading
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job

D = Decimal
FINEST = D("0.000001")
APART: Tables = {
    "legs": [{"id": "L2", "supply": "S1"}],
    "runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L2"}],
}


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in fading.CHECKS for finding in check(plan)]


def fades(limit: float | Decimal = 100, strip: str = "mine") -> Job:
    """Give one bar of 2700 mm with thin rails, and how much it may fade."""
    thin = part("strips", "mine", watts_per_metre=20, ohms_per_metre=D("0.6"))
    return row(
        2760,
        R1={"strip": strip},
        A1={"opening": [2730]},
        parts={"strips": [thin]},
        allowances={"light_fade": limit},
    )


def steps(limit: float | Decimal = 100, **how: Fields) -> Job:
    """Give two runs in one line, on two legs, the second of them long, and the step they may."""
    lead = {"length": 20_000}
    return row(
        600,
        600,
        R1={"cabinets": ["A1"]},
        add=APART,
        allowances={"light_step": limit},
        **{"L2": lead, **how},
    )


def rounded(value: object, way: str) -> Decimal:
    return D(str(float(str(value)))).quantize(FINEST, way)


LOST = plan_job(fades()).fadings.bars[0].lost.value
STEP = plan_job(steps()).fadings.steps[0].step.value

CASES = (
    # Common practice: a fifth of the light along one bar is seen.
    Case("bar-fades", "warn", "run", "R1", "feed_end", fades(rounded(LOST, ROUND_DOWN)),
         fades(rounded(LOST, ROUND_UP)), ("R1.1 loses", "% of its light")),
    Case("bar-fades", "warn", "run", "R1", "feed_end", fades(20), fades(20, "white-24-10")),
    Case("light-step", "warn", "run", "R2", "feed_end", steps(rounded(STEP, ROUND_DOWN)),
         steps(rounded(STEP, ROUND_UP)), ("R1.1 and R2.1 differ by 3.1 %",)),
    # Strips of two kinds side by side.
    Case("light-step", "warn", "run", "R2", "strip", steps(10, R2={"strip": "white-24-14"}),
         steps(10)),
    Case("light-step", "warn", "run", "R2", "strip", steps(10, R2={"diffuser": "clear-17"}),
         steps(10)),
)  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_the_limit_is_just_met(case):
    assert_silent(found, case)


def test_every_check_fires_in_some_case():
    plans = [plan_job(case.fires) for case in CASES]
    silent = [check for check in fading.CHECKS if not any(list(check(plan)) for plan in plans)]
    assert [check.__name__ for check in silent] == []


def test_a_remedy_names_the_leg_whose_options_are_tried():
    (fade,) = found(fades(20))
    assert "F8 on L1" in fade.remedy
    (step,) = found(steps(1))
    assert "F8 on L2" in step.remedy


def test_the_fade_is_that_of_the_light_and_not_of_the_volts():
    """Light falls with V - Vf: of an 18 V string on 24 V about four times as fast as the volts."""
    (bar,) = plan_job(fades()).circuits.legs[0].bars
    # As planned, which is the first of the states that the worst is taken of.
    start, end = (float(one.inputs[0].value) for one in (bar.start, bar.end))
    volts = 100 * (1 - end / start)
    assert float(LOST) == pytest.approx(volts * 24 / 6, rel=0.1)


def test_a_job_with_nothing_in_it_fades_nowhere():
    assert found(Job()) == []

"""What is told of low volts: where they are lowest, how much light goes, and what helps."""

from typing import Any

import pytest
from hypothesis import given
from jobs import QUICK, any_job, one_bar, part, row

from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.legs import feed_legs
from pelmet.model.plan.circuit.worst import STATES, conditions_of
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job


def low(job: Job) -> Finding:
    (found,) = (each for each in plan_job(job).findings if each.code == "volts-low")
    return found


def long(**how: Any) -> Job:
    """One bar at the end of a long cable."""
    return one_bar(L1={"length": 60_000, "cable": "flat-2x0.5"}, **how)


@pytest.mark.regression
def test_the_light_that_goes_is_told_beside_the_volts():
    # Light falls with V - Vf: with 18 V of LEDs on 24 V four times as fast as the volts.
    strip = part("strips", "mine", volts=24, led_volts=18, watts_per_metre=10)
    found = low(long(R1={"strip": "mine"}, parts={"strips": [strip]}))
    volts, down, light = (
        float(found.says.split(" V")[0]),
        float(found.says.split(": ")[1].split(" %")[0]),
        float(found.says.split(" % less light")[0].rpartition(" ")[2]),
    )
    assert down == pytest.approx(100 * (24 - volts) / 24, abs=0.1)
    assert light == pytest.approx(100 * (24 - volts) / (24 - 18), abs=0.6)


@pytest.mark.regression
def test_what_holds_its_light_loses_none():
    strip = part("strips", "mine", kind="current-regulated", led_volts=None, dropout_volts=12)
    assert "light" not in low(long(R1={"strip": "mine"}, parts={"strips": [strip]})).says


@pytest.mark.regression
@pytest.mark.parametrize(
    ("run", "words"),
    [
        ({"feed_end": "left"}, "at the right end of R1.1"),
        ({"feed_end": "right"}, "at the left end of R1.1"),
        ({"feed_end": "both"}, "mm from the left end of the strip of R1.1"),
    ],
)
def test_the_place_told_is_where_the_volts_are_lowest(run, words):
    assert words in low(one_bar(R1=run, allowances={"drop_warn": 0, "drop_stop": 100})).says


@pytest.mark.regression
def test_more_volts_are_a_remedy_only_where_there_are_more():
    twelve = long(R1={"strip": "white-12-10"}, S1={"part": "supply-12-60"})
    assert low(twelve).remedy.endswith(", 24 V")
    assert "24 V" not in low(long()).remedy


def lowest(plan: Plan) -> dict[str, float]:
    """Give the lowest volts of every leg, along all of its strips, in any of the states."""
    found: dict[str, float] = {}
    for state in STATES:
        under = conditions_of(state, plan.job.allowances)
        for leg in feed_legs(plan.job, plan.parts, plan.fits, plan.routes, under).legs:
            if leg.operating_point and leg.bars:
                flows = leg.operating_point.solution.strips
                own = tuple(bar.bar for bar in leg.bars)
                volts = [flow.lowest_volts for name, flow in flows.items() if name.startswith(own)]
                found[leg.leg.id] = min([found.get(leg.leg.id, 1e9), *volts])
    return found


@pytest.mark.property
@QUICK
@given(any_job())
def test_nowhere_are_the_volts_lower_than_is_told(job):
    plan = plan_job(job)
    least = lowest(plan)
    for found in plan.findings:
        if found.code == "volts-low":
            told = float(found.says.split(" V")[0])
            assert told <= least[found.about] + 0.0051


def test_of_an_upright_the_ends_are_lower_and_upper():
    job = row(600, A1={"kind": "upright", "width": 25, "opening": ()},
              allowances={"drop_warn": 0, "drop_stop": 100})  # fmt: skip
    assert "er end of R1.1" in low(job).says

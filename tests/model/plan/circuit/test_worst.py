"""Limits are judged in the worst of the states that a job is told in: planned, cold, and hot."""

from decimal import Decimal

import pytest
from hypothesis import given
from jobs import ALIKE, QUICK, any_job, one_bar, part, row

from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.legs import LegCircuit, feed_legs
from pelmet.model.plan.circuit.worst import STATES, conditions_of, state_of, worst_drop_with
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

D = Decimal
BOUND = 1 + 1e-9


def states(plan: Plan) -> list[tuple[LegCircuit, ...]]:
    """Solve a plan's legs in each of the states."""
    allowances = plan.job.allowances
    given = (plan.job, plan.parts, plan.fits, plan.routes)
    return [feed_legs(*given, conditions_of(state, allowances)).legs for state in STATES]


def says(job: Job, code: str) -> list[str]:
    return [one.says for one in plan_job(job).findings if one.code == code]


def leg_of(job: Job) -> LegCircuit:
    return plan_job(job).circuits.legs[0]


@pytest.mark.property
@QUICK
@given(any_job())
def test_no_state_of_a_leg_is_worse_than_the_leg_that_is_told(job):
    plan = plan_job(job)
    found = [leg for state in states(plan) for leg in state if leg.amps]
    told = {leg.leg.id: leg for leg in plan.circuits.legs}
    for leg in found:
        own = told[leg.leg.id]
        if own.amps is None:  # in another state it cannot be worked out
            continue
        assert leg.amps.value <= own.amps.value * BOUND
        assert leg.drop.value <= own.drop.value * BOUND
        assert own.worst.value <= leg.worst.value * BOUND
        flows = {flow.cable: flow for flow in own.flows}
        assert all(flow.amps.value <= flows[flow.cable].amps.value * BOUND for flow in leg.flows)
        assert own.least_amps.value <= leg.amps.value * BOUND
        for bar, of in zip(leg.bars, own.bars, strict=True):
            assert of.lowest.value <= min(bar.lowest.value, bar.left.value) * BOUND
            assert not of.above_least or bar.above_least


@pytest.mark.property
@QUICK
@given(any_job())
def test_what_is_told_of_a_leg_is_what_the_test_record_tells_cold_or_hot(job):
    """No paper tells fewer amps, or more volts, than a meter is to read."""
    plan = plan_job(job)
    amps = {leg.leg.id: leg.amps for leg in plan.circuits.legs}
    volts = {flow.cable: flow.volts for leg in plan.circuits.legs for flow in leg.flows}
    for reading in plan.readings():
        for band in (reading.cold, reading.hot):
            if reading.unit == "A" and amps[reading.about]:
                assert band.expected.value <= amps[reading.about].value * BOUND
            if reading.about in volts and reading.point == reading.about:
                assert volts[reading.about].value <= band.expected.value * BOUND + 1e-6


@pytest.mark.regression
def test_amps_that_show_only_after_half_an_hour_are_judged_and_told_as_hot():
    cold = float(leg_of(one_bar(allowances=ALIKE)).amps.value)
    hot = float(leg_of(one_bar()).amps.value)
    assert hot > 1.08 * cold  # LEDs at 55 C need 3 mV less a kelvin, each of eight
    between = D(str((cold + hot) / 2)).quantize(D("0.0001"))
    dimmer = {"L1": {"dimmer": "mine"},
              "parts": {"dimmers": [part("dimmers", "mine", amps=between)]}}  # fmt: skip
    assert says(one_bar(**dimmer, allowances=ALIKE), "dimmer-over-amps") == []
    (told,) = says(one_bar(**dimmer), "dimmer-over-amps")
    assert f"draws {hot:.2f} A hot through" in told
    cable = {"L1": {"cable": "mine"}, "parts": {"cables": [part("cables", "mine", amps=between)]}}
    assert says(one_bar(**cable, allowances=ALIKE), "cable-over-amps") == []
    assert "A hot; mine may carry" in says(one_bar(**cable), "cable-over-amps")[0]


@pytest.mark.regression
def test_a_supply_that_only_warm_strip_overloads_is_overloaded():
    own = {
        "S1": {"part": "mine"},
        "parts": {"supplies": [part("supplies", "mine", watts=D("8.5"))]},
    }
    whole = {"supply_load": 100}
    assert says(one_bar(**own, allowances=ALIKE | whole), "supply-overloaded") == []
    (told,) = says(one_bar(**own, allowances=whole), "supply-overloaded")
    assert told == "S1 is asked for 8.8 W hot; it is rated 8.5 W"


@pytest.mark.regression
def test_a_drop_that_is_over_its_allowance_only_when_hot_is_told():
    how = {"L1": {"length": 20_000}}
    planned = float(leg_of(one_bar(**how, allowances=ALIKE)).drop.value)
    hot = float(leg_of(one_bar(**how)).drop.value)
    assert planned < hot
    between = {"drop_warn": D(str((planned + hot) / 2)).quantize(D("0.0001"))}
    assert says(one_bar(**how, allowances=ALIKE | between), "volts-low") == []
    assert (
        "V hot at the right end of R1.1" in says(one_bar(**how, allowances=between), "volts-low")[0]
    )


@pytest.mark.cross_check
def test_the_drop_another_cable_is_tried_with_is_the_one_it_then_has():
    job = row(600, 800, L1={"length": 9000})
    plan = plan_job(job)
    cable = next(each for each in plan.parts.cables if each.id == "round-2x1.5")
    tried = worst_drop_with(job, plan.parts, plan.fits, plan.routes, job.legs[0], cable)
    then = leg_of(row(600, 800, L1={"length": 9000, "cable": cable.id}))
    assert tried == pytest.approx(float(then.drop.value), rel=1e-12)


def test_of_the_larger_of_two_the_state_is_that_of_the_larger():
    plan = plan_job(one_bar())
    assert state_of(plan.circuits.legs[0].drop) == "hot"
    assert state_of(plan.supplies[0].load) == "hot"
    long = plan_job(one_bar(L1={"length": 60_000, "cable": "flat-2x0.5"}))
    assert long.supplies[0].load.value == pytest.approx(8.16)  # rated: at its end it draws less
    assert state_of(long.supplies[0].load) is None
    assert state_of(plan_job(one_bar(allowances=ALIKE)).circuits.legs[0].drop) is None

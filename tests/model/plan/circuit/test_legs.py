"""Volts, amps and watts of legs, against a fine nodal solve of the same copper and strip."""

from decimal import Decimal
from typing import Any

import pytest
from jobs import Tables, one_bar, part, planned, row
from mesh import CONTACT, GAUGES, nodal, nodal_ends, one_core, random_leg

from pelmet.model.plan.circuit.legs import LegCircuit, feed_legs
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(12))
def test_what_every_cable_carries_agrees_with_a_nodal_solve(seed):
    job = random_leg(seed)
    plan = plan_job(job)
    _, cables = nodal(job, plan, "L1")
    flows = {flow.cable: flow for flow in leg_of(plan).flows}
    assert flows.keys() == cables.keys()
    for own, (volts, amps) in cables.items():
        assert float(flows[own].volts.value) == pytest.approx(volts, abs=2e-5)
        assert float(flows[own].amps.value) == pytest.approx(amps, abs=2e-4)


@pytest.mark.property
@pytest.mark.parametrize("seed", range(12))
def test_at_every_tee_what_comes_is_what_goes(seed):
    """Kirchhoff's current law; and what a cable loses is what its volts fall by, times amps."""
    plan = plan_job(random_leg(seed))
    leg, leads = leg_of(plan), plan.routes.leads
    flows = {flow.cable: flow for flow in leg.flows}
    for lead in leads:
        onward = [each for each in leads if each.before == lead.id]
        came, went = (
            float(flows[lead.id].amps.value),
            sum(float(flows[each.id].amps.value) for each in onward),
        )
        if all(run.feed_end != "both" for run in plan.job.runs):
            assert came == pytest.approx(went, rel=1e-9) if lead.run is None else came > went
        near = flows[lead.before].volts.value if lead.before else 24
        fall = float(near) - float(flows[lead.id].volts.value)
        assert float(flows[lead.id].lost.value) == pytest.approx(abs(fall) * came, rel=1e-6)


def leg_of(plan: Plan, leg: str = "L1") -> LegCircuit:
    """Give a leg as planned: neither cold nor hot."""
    legs = feed_legs(plan.job, plan.parts, plan.fits, plan.routes).legs
    (own,) = (one for one in legs if one.leg.id == leg)
    return own


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(12))
def test_a_leg_of_tees_and_chains_agrees_with_a_nodal_solve(seed):
    job = random_leg(seed)
    plan = plan_job(job)
    ours = leg_of(plan)
    volts, amps = nodal_ends(job, plan, "L1")
    assert all(bar.above_least for bar in ours.bars)
    assert {bar.bar for bar in ours.bars} == volts.keys()
    for bar in ours.bars:
        assert (bar.left.value, bar.right.value) == pytest.approx(volts[bar.bar], abs=1e-5)
    assert ours.amps.value == pytest.approx(amps, abs=1e-5)
    lowest = min(min(ends) for ends in volts.values())
    assert ours.worst.value <= lowest + 1e-5
    if all(run.feed_end != "both" for run in job.runs):
        assert ours.worst.value == pytest.approx(lowest, abs=1e-5)
    assert ours.drop.value == pytest.approx(100 * (24 - ours.worst.value) / 24, abs=1e-9)


def test_the_random_legs_have_tees_chains_and_both_kinds_of_strip():
    jobs = [random_leg(seed) for seed in range(12)]
    leads = [plan_job(job).routes.leads for job in jobs]
    assert any(lead.run is None for each in leads for lead in each), "no tee"
    assert any(
        lead.run and any(other.before == lead.id for other in each)
        for each in leads
        for lead in each
    ), "no cable that goes on from a feed end"
    assert any(sum(lead.before is None for lead in each) > 1 for each in leads), "no home runs"
    assert {job.legs[0].wiring for job in jobs} == {"branched", "chained", "home run"}
    assert max(len(job.runs) for job in jobs) >= 3
    assert max(len(plan_job(job).bars) for job in jobs) >= 6
    assert any({run.strip for run in job.runs} > {"even-24-10"} for job in jobs)
    ends = {run.feed_end for job in jobs for run in job.runs}
    assert ends == {"left", "right", "both", "middle"}
    assert any(leg.length for job in jobs for leg in job.legs)
    assert any(job.legs[0].cable in GAUGES for job in jobs)


# --- Watts and budgets, by hand --------------------------------------------------------------

TWO_LEGS: Tables = {
    "legs": [{"id": "L2", "supply": "S1"}],
    "runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L2"}],
}


def test_watts_add_up_bar_by_leg_by_supply():
    # 564 clear: 556 bar, 10 units of 50; 764 clear: 756 bar, 14 units. 9.6 W/m each.
    plan = plan_job(row(600, 800, R1={"cabinets": ["A1"]}, add=TWO_LEGS))
    watts = plan.circuits.watts
    assert [float(watts[bar].value) for bar in ("R1.1", "R2.1")] == pytest.approx([4.8, 6.72])
    assert [float(leg.watts.value) for leg in plan.circuits.legs] == pytest.approx([4.8, 6.72])
    (budget,) = plan.supplies
    assert float(budget.load.inputs[0].value) == pytest.approx(11.52)  # rated; warm it is more
    assert float(budget.usable.value) == pytest.approx(60 * 0.8)
    assert float(budget.left.value) == pytest.approx(48 - float(budget.load.value))
    assert budget.legs == ("L1", "L2")
    assert float(plan.circuits.total.value) == pytest.approx(11.52)


def test_the_usable_share_of_a_supply_is_editable():
    plan = planned(allowances={"supply_load": Decimal("62.5")})
    assert float(plan.supplies[0].usable.value) == pytest.approx(37.5)


def test_watts_that_a_cable_does_not_reach_load_no_supply():
    # The supply, at 941, is on the side that is fed.
    stile = {"id": "O1", "wall": "A", "kind": "stile", "at": 960, "width": 40, "crossing": "none"}
    plan = planned(add={"obstacles": [stile]})
    near, far = plan.bars
    reached = plan.circuits.watts[near.id].value
    assert leg_of(plan).watts.value == reached
    assert [bar.bar for bar in leg_of(plan).bars] == [near.id]
    assert float(plan.circuits.total.value) == pytest.approx(
        float(reached) + float(plan.circuits.watts[far.id].value)
    )


@pytest.mark.parametrize("feed_end", ["left", "right"])
def test_beyond_a_way_that_is_barred_no_bar_is_fed(feed_end):
    barred = {"id": "O1", "wall": "A", "kind": "stile", "at": 1690, "width": 20, "crossing": "none"}
    home = "A1" if feed_end == "left" else "A3"  # the supply is on the side that is fed
    run, supply = {"feed_end": feed_end}, {"cabinet": home}
    plan = plan_job(row(600, 600, 600, add={"obstacles": [barred]}, R1=run, S1=supply))
    fed = [bar.bar for bar in leg_of(plan).bars]
    assert fed == (["R1.1", "R1.2"] if feed_end == "left" else ["R1.3"])


def test_a_supply_on_the_wrong_side_of_a_way_that_is_barred_feeds_nothing():
    barred = {"id": "O1", "wall": "A", "kind": "stile", "at": 1690, "width": 20, "crossing": "none"}
    plan = plan_job(row(600, 600, 600, add={"obstacles": [barred]}, R1={"feed_end": "right"}))
    assert (leg_of(plan).bars, leg_of(plan).drop) == ((), None)


# --- What cannot be worked out ----------------------------------------------------------------


@pytest.mark.parametrize(
    "how",
    [
        {"R1": {"strip": "white-12-10"}},
        {"S1": {"part": "no-such-supply"}},
        {"L1": {"cable": "no-such-cable"}},
        {"S1": {"place": "elsewhere"}},
        {"drop": ["R1"]},
    ],
    ids=["12 V strip on 24 V", "unknown supply", "unknown cable", "unknown length", "no run"],
)
def test_a_leg_that_cannot_be_worked_out_gives_no_volts(how):
    leg = leg_of(planned(**how))
    assert (leg.amps, leg.bars, leg.worst, leg.drop) == (None, (), None, None)


def test_a_leg_that_needs_volts_of_two_kinds_gives_no_volts_and_a_finding():
    extra = {"runs": [{"id": "R2", "cabinets": ["A2"], "strip": "white-12-10", "leg": "L1"}]}
    plan = plan_job(row(600, 600, R1={"cabinets": ["A1"]}, add=extra))
    assert leg_of(plan).drop is None
    assert [(f.level, f.about) for f in plan.findings if f.code == "mixed-volts"] == [
        ("stop", "R2")
    ]


# --- What moves what --------------------------------------------------------------------------


def test_a_measured_lead_sets_the_drop():
    # One bar of 8.16 W, regulated at 24 V so its amps do not move: 0.34 A through 26 ohm/km.
    strip = part("strips", "steady", kind="current-regulated", led_volts=None, dropout_volts=20,
                 watts_per_metre=Decimal("9.6"))  # fmt: skip
    how = {"R1": {"strip": "steady"}, "parts": {"strips": [strip]}}
    short, long = (leg_of(planned(L1={"length": mm}, **how)) for mm in (1000, 11_000))
    assert long.amps.value == pytest.approx(0.4 * 0.85)
    fall = short.bars[0].start.value - long.bars[0].start.value
    assert fall == pytest.approx(2 * 10 * 0.026 * 0.34)
    # Then I L rho / 2 along the strip (uniformly loaded, fed at one end).
    assert short.bars[0].start.value - short.bars[0].end.value == pytest.approx(
        0.34 * 0.85 * 0.1 / 2
    )


@pytest.mark.parametrize("celsius", [-20, 20, 70])
def test_warm_copper_has_more_ohms_by_its_coefficient(celsius):
    leg = leg_of(planned(L1={"length": 10_000}, allowances={"conductor_temperature": celsius}))
    ohms = 2 * 10 * one_core("flat-2x0.75", celsius) + 4 * CONTACT
    assert leg.bars[0].start.value == pytest.approx(24 - leg.amps.value * ohms)


@pytest.mark.published
@pytest.mark.parametrize(("conductor_class", "ohms_per_km"), [(1, 18.1), (2, 18.1), (5, 19.5)])
def test_stranded_and_flexible_copper_have_the_ohms_of_their_own_table(
    conductor_class, ohms_per_km
):
    # IEC 60228 Tables A.2 and A.3: 1 mm2 plain copper at 20 C.
    cable = part("cables", "mine", mm2=1, conductor_class=conductor_class)
    how = {"L1": {"cable": "mine", "length": 10_000}, "parts": {"cables": [cable]}}
    leg = leg_of(planned(**how))
    ohms = 2 * 10 * ohms_per_km / 1000 + 4 * CONTACT
    assert leg.bars[0].start.value == pytest.approx(24 - leg.amps.value * ohms)


@pytest.mark.regression
@pytest.mark.parametrize(("how", "ohms_per_kft"), [({}, 7.95), ({"solid": True}, 7.77)])
def test_a_gauge_is_stranded_unless_its_part_says_that_it_is_solid(how, ohms_per_kft):
    # NEC Chapter 9 Table 8, 18 AWG at 75 C.
    cable = part("cables", "mine", mm2=None, conductor_class=None, awg=18, **how)
    leg = leg_of(
        planned(
            L1={"cable": "mine", "length": 10_000},
            parts={"cables": [cable]},
            allowances={"conductor_temperature": 75},
        )
    )
    fall = 24 - leg.bars[0].start.value - leg.amps.value * 4 * CONTACT
    assert fall / leg.amps.value == pytest.approx(2 * 10 * ohms_per_kft / 304.8, rel=1e-3)


def test_the_worst_end_is_the_far_end_of_the_last_bar():
    leg = leg_of(plan_job(row(600, 600, 600)))
    assert leg.worst == leg.bars[-1].end
    assert [bar.start.value > bar.end.value for bar in leg.bars] == [True] * 3


def test_a_regulated_strip_below_its_drop_out_is_told():
    strip = part("strips", "steep", kind="current-regulated", led_volts=None, dropout_volts=23)
    how = {"R1": {"strip": "steep"}, "parts": {"strips": [strip]}}
    assert leg_of(planned(L1={"length": 10_000}, **how)).bars[0].above_least
    assert not leg_of(planned(L1={"length": 100_000}, **how)).bars[0].above_least


def test_a_supply_without_legs_and_a_leg_without_runs_ask_for_nothing():
    plan = plan_job(one_bar(drop=["R1"]))
    assert leg_of(plan).watts.value == 0
    assert plan.supplies[0].load.value == 0


# --- Fed at both ends, and in the middle ----------------------------------------------------


def steady(**how: Any) -> Plan:
    """Plan one bar of a regulated strip, whose amps stay what they are, with a short lead."""
    strip = part("strips", "steady", kind="current-regulated", led_volts=None, dropout_volts=12,
                 watts_per_metre=24, ohms_per_metre=Decimal("0.5"), cut_unit=25)  # fmt: skip
    return planned(
        parts={
            "strips": [strip],
            "connectors": [],
            "cables": [part("cables", "thick", mm2=6, conductor_class=5)],
        },
        **how,
    )


@pytest.mark.published
def test_feeding_the_middle_quarters_the_drop_along_a_strip():
    """Bell, Power Distribution for Electric Railroads, pp. 13-15: centre-fed drop I R / 8."""
    plan = steady(R1={"strip": "steady", "feed_end": "middle"}, L1={"cable": "thick"})
    (bar,) = leg_of(plan).bars
    metres = float(plan.bars[0].lit.value) / 1000
    assert plan.bars[0].units.value % 2 == 0, "else the middle is no cut mark"
    whole = metres * 1.0 * 0.5 * metres / 2  # 1 A/m, 0.5 ohm/m, fed from one end
    fall = float(bar.middle.value) - float(bar.lowest.value)
    assert fall == pytest.approx(whole / 4, rel=1e-9)


@pytest.mark.published
def test_fed_at_both_ends_the_lowest_volts_are_where_the_book_has_them():
    """x = (VA - VB) / (i r l) + l / 2, r of the loop: Principles of Power System, Ex. 13.15."""
    plan = steady(R1={"strip": "steady", "feed_end": "both"}, L1={"cable": "thick"})
    (bar,) = leg_of(plan).bars
    metres = float(plan.bars[0].lit.value) / 1000
    left, right = float(bar.left.value), float(bar.right.value)
    x = (left - right) / (1.0 * 0.5 * metres) + metres / 2
    assert float(bar.lowest.value) == pytest.approx(left - 1.0 * 0.5 * x**2 / 2, rel=1e-12)
    assert left - float(bar.lowest.value) < metres * 0.5 * metres / 2 / 3  # not far from a quarter


def test_two_legs_of_one_run_are_solved_together_and_share_its_watts():
    run = {"feed_end": "both", "far_leg": "L2"}
    plan = planned(R1=run, add={"legs": [{"id": "L2", "supply": "S1"}]})
    one, other = leg_of(plan), leg_of(plan, "L2")
    assert one.runs == other.runs == ("R1",)
    assert one.operating_point == other.operating_point
    assert float(one.watts.value) == float(other.watts.value)
    (bar,) = plan.bars
    assert float(one.watts.value) * 2 == pytest.approx(float(plan.circuits.watts[bar.id].value))
    drawn = float(one.amps.value) + float(other.amps.value)
    alone = leg_of(planned(R1={"feed_end": "both"}))
    assert drawn == pytest.approx(float(alone.amps.value), rel=5e-3)  # two leads drop less
    assert {flow.cable for flow in one.flows} == {"L1.1"}
    assert {flow.cable for flow in other.flows} == {"L2.1"}


def test_a_run_on_no_leg_is_fed_by_nothing_whatever_its_other_end_says():
    run = {"leg": None, "far_leg": "L1", "feed_end": "both"}
    plan = plan_job(row(600, 600, R1=run))
    assert leg_of(plan).runs == ()
    assert plan.routes.leads == ()
    assert [one.about for one in plan.findings if one.code == "no-supply"] == ["R1"]


@pytest.mark.property
@pytest.mark.parametrize("seed", range(12))
def test_what_a_leg_is_given_is_what_is_lost_and_what_its_strips_take(seed):
    plan = plan_job(random_leg(seed))
    leg = leg_of(plan)
    assert leg.operating_point is not None
    found = leg.operating_point.solution
    given = 24 * float(leg.amps.value)
    assert found.input_watts == pytest.approx(given, rel=1e-12)
    assert found.load_watts + float(leg.lost.value) + joints(leg) == pytest.approx(given, rel=1e-9)
    assert found.residual < 1e-9


def joints(leg: LegCircuit) -> float:
    """Watts lost where a strip's own lead leaves a tee: no cable of the list."""
    wires = leg.operating_point.solution.wires
    return sum(flow.watts for own, flow in wires.items() if own.endswith(" joint"))


@pytest.mark.property
@pytest.mark.parametrize("sixteenths", [141, 337, 555, 883])
def test_metric_and_inch_readings_of_one_length_give_the_same_volts(sixteenths):
    inches = f"{sixteenths // 16} {sixteenths % 16}/16 in"
    exact = Decimal(sixteenths) * Decimal("25.4") / 16
    one, other = (
        leg_of(planned(A1={"opening": [size], "width": size}, L1={"length": length}))
        for size, length in ((inches, f"{sixteenths} in"), (exact, Decimal(sixteenths) * 254 / 10))
    )
    assert [(bar.left.value, bar.right.value) for bar in one.bars] == [
        (bar.left.value, bar.right.value) for bar in other.bars
    ]
    assert one.amps.value == other.amps.value


def test_a_leg_that_only_feeds_the_far_end_of_a_run_asks_for_its_lead():
    plan = planned(
        R1={"feed_end": "both", "far_leg": "L2"},
        S1={"place": "elsewhere", "cabinet": None},
        add={"legs": [{"id": "L2", "supply": "S1"}]},
    )
    asked = [one for one in plan.findings if one.code == "lead-unknown"]
    assert [one.about for one in asked] == ["L1", "L2"]
    assert {one.remedy for one in asked} == {"type its measured length"}

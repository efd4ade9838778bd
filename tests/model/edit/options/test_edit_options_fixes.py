"""What else a leg could be fed by: each is what planning it gives, and the cheapest comes first."""

from decimal import Decimal

import pytest
from choices import KITCHEN, OWN, three_runs
from draws import quick
from hypothesis import given
from jobs import ALIKE, any_job, one_bar, part
from strategies import jobs

from pelmet.model.edit.options import Option, options_for
from pelmet.model.edit.options.cost import cost_of
from pelmet.model.edit.options.fixes import leg_fails, leg_options
from pelmet.model.edit.options.option import whole
from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job

# A leg that fails: a bar of 12 V strip, 12 m from its supply.
FAILING = one_bar(
    R1={"strip": "white-12-10", "cabinets": ["A1"]},
    S1={"part": "supply-12-30", "cabinet": "A1"},
    L1={"length": 12_000},
)


def volts(option: Option) -> float:
    return float(option.gives.split()[0])


def more(option: Option) -> float:
    return float(option.gives.rpartition(" ")[2])


def tries(job: Job, leg: str = "L1") -> dict[str, Option]:
    return {one.choice: one for one in whole(leg_options(job, OWN, leg))}


def test_every_other_cable_of_enough_cores_is_tried():
    named = {name.removeprefix("cable: ") for name in tries(one_bar()) if "cable: " in name}
    assert named == {each.id for each in bundled_catalogue().cables if each.id != "flat-2x0.75"}
    tunable = one_bar(R1={"strip": "two-white-24"}, L1={"cable": "round-3x0.75"})
    assert not any(name.startswith("cable: ") for name in tries(tunable))


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("job", "leg"),
    [(KITCHEN, "L3"), (KITCHEN, "L1"), (one_bar(), "L1"), (three_runs(), "L1"), (FAILING, "L1")],
)
def test_an_option_gives_the_worst_volts_of_its_legs_the_verdict_and_the_cost(job, leg):
    now = cost_of(plan_job(job))
    for one in tries(job, leg).values():
        assert one.job is not None
        plan = plan_job(one.job)
        fresh = {each.id for each in one.job.legs} - {each.id for each in job.legs}
        own = [each for each in plan.circuits.legs if each.leg.id in {leg, *fresh}]
        if any(each.worst is None for each in own):
            assert one.gives.startswith("volts not known")
            continue
        assert volts(one) == round(min(float(each.worst.value) for each in own), 2)
        drop = max(float(each.drop.value) for each in own)
        assert (": within 3 %" in one.gives) == (drop <= 3)
        assert more(one) == round(cost_of(plan) - now, 2)


def test_those_that_are_right_come_first_the_cheapest_first():
    assert leg_fails(FAILING, OWN, "L1")
    found = list(tries(FAILING).values())
    right = [one.job is not None and not leg_fails(one.job, OWN, "L1") for one in found]
    assert right == sorted(right, reverse=True)
    assert right[0]
    assert not right[-1]
    good = [more(one) for one, is_right in zip(found, right, strict=True) if is_right]
    assert good == sorted(good)


def overloaded(job: Job) -> bool:
    """Whether a cable carries more than it may, by the checks; nothing else is wrong with it."""
    plan = plan_job(job)
    assert all(float(leg.drop.value) <= job.allowances.drop_warn for leg in plan.circuits.legs)
    return "cable-over-amps" in {each.code for each in plan.findings}


# One bar of 8.16 W draws 0.339 A; three of 4.8 W on leads of their own 0.2 A each.
@pytest.mark.parametrize(
    ("amps", "job", "over"),
    [
        ("0.35", one_bar, False),
        ("0.33", one_bar, True),
        ("0.21", three_runs, False),
        ("0.19", three_runs, True),
    ],
)
def test_a_leg_fails_when_a_cable_of_it_carries_more_than_it_may(amps, job, over):
    own = part("cables", "own", mm2=Decimal("1.5"), amps=Decimal(amps))
    made = job(parts={"cables": [own]}, L1={"cable": "own", "wiring": "home run"},
               allowances=ALIKE)  # fmt: skip
    assert overloaded(made) == leg_fails(made, OWN, "L1") == over


@pytest.mark.published
@pytest.mark.parametrize(("region", "over"), [("uk", True), ("eu", False)])
def test_a_leg_fails_by_what_its_region_lets_a_cord_carry(region, over):
    # BS 7671 Table 4F3A: 3 A for 0.5 mm2, whatever the cable's own figure; 42 W take over 3.
    own = part("cables", "own", mm2=Decimal("0.5"), amps=10)
    hot = part("strips", "hot", volts=12, led_volts=9, watts_per_metre=50,
               ohms_per_metre=Decimal("0.01"))  # fmt: skip
    job = one_bar(
        R1={"strip": "hot"},
        S1={"part": "supply-12-60"},
        L1={"cable": "own"},
        parts={"cables": [own], "strips": [hot]},
        allowances=ALIKE,
    )
    job = Job.model_validate(job.model_dump(by_alias=True) | {"job": {"region": region}})
    assert overloaded(job) == leg_fails(job, OWN, "L1") == over


def test_a_leg_that_fails_is_offered_every_kind_of_cure():
    other = {"id": "A2", "wall": "A", "at": 1800, "width": 600, "depth": 320, "bottom_height": 1400}
    long = one_bar(
        add={"cabinets": [other]},
        A1={"width": 1200},
        R1={"strip": "white-12-10"},
        S1={"part": "supply-12-60"},
        L1={"length": 15_000},
    )
    found = tries(long)
    assert {"feed R1 at both ends", "feed R1 in its middle", "feed R1 at its right end"} <= set(
        found
    )
    assert "24 V in place of 12 V" in found
    assert [name for name in found if name.startswith("supply in ")] == ["supply in A2"]
    assert any(name.startswith("cable: ") for name in found)


def test_24_volts_in_place_of_12_changes_supply_and_strips_and_nothing_else():
    one = tries(FAILING)["24 V in place of 12 V"]
    assert one.job is not None
    plan = plan_job(one.job)
    parts = plan.parts
    supply = next(each for each in parts.supplies if each.id == one.job.supplies[0].part)
    strip = next(each for each in parts.strips if each.id == one.job.runs[0].strip)
    assert (supply.volts, strip.volts, strip.kind) == (24, 24, "resistor-limited")
    assert not [each for each in plan.findings if each.code == "mixed-volts"]
    assert one.job.legs == FAILING.legs
    # Half the amps, a quarter of the drop in percent; the strips' watts are as good as the same.
    before = plan_job(FAILING).circuits.legs[0]
    after = plan.circuits.legs[0]
    assert float(after.drop.value) == pytest.approx(float(before.drop.value) / 4, rel=0.25)
    assert "24 V in place of 12 V" not in tries(one_bar())


def test_feeding_the_middle_lifts_the_lowest_volts_of_a_long_bar():
    found = tries(one_bar(A1={"width": 2400}, R1={"strip": "white-24-14"}))
    job = one_bar(A1={"width": 2400}, R1={"strip": "white-24-14"})
    now = float(plan_job(job).circuits.legs[0].worst.value)
    assert volts(found["feed R1 in its middle"]) > now
    assert volts(found["feed R1 at both ends"]) > now


def test_a_longer_lead_takes_a_thicker_cable_to_stay_within():
    # 40 m of lead: thin ones are over 3 %, the thickest in the catalogue is within.
    found = [one for one in tries(one_bar(L1={"length": 40_000})).values() if "cable" in one.choice]
    assert ": within 3 %" in found[0].gives
    assert ": over 3 %" in found[-1].gives


def test_a_cable_says_what_it_fails_by_and_the_thinnest_that_does_what_decided():
    thin = part("cables", "thin", mm2=None, conductor_class=None, awg=28, amps="0.2")
    found = tries(one_bar(parts={"cables": [thin | {"amps": 0.2, "price": 0}]}))
    assert any("ampacity" in reason for reason in found["cable: thin"].reasons)
    assert next(iter(found)) != "cable: thin"
    long = tries(one_bar(L1={"length": 40_000, "cable": "round-2x2.5"}))
    best = [name for name, one in long.items() if "the thinnest" in " ".join(one.reasons)]
    (own,) = best
    assert any("decided by section" in reason for reason in long[own].reasons)
    assert ": within 3 %" in long[own].gives


def test_a_leg_for_each_run_leaves_all_fed_and_nothing_else_changed():
    few = {"supplies": [part("supplies", "supply-24-60", terminals=2)]}
    job = three_runs(parts=few)
    one = tries(job)["a leg for each run"]
    assert one.job is not None
    legs = [run.leg for run in one.job.runs]
    assert len(set(legs)) == len(legs) == 3
    assert one.job.cabinets == job.cabinets
    assert {leg.supply for leg in one.job.legs} == {"S1"}
    assert any("terminals for 2" in reason for reason in one.reasons)


def test_one_run_is_not_split():
    assert "a leg for each run" not in tries(one_bar())


def test_cost_is_the_parts_at_their_prices_and_the_laying_at_its_rate():
    plain = one_bar(allowances={"labour_per_hour": 0})
    plan = plan_job(plain)
    prices = {
        part.id: part.price
        for kind in type(plan.parts).model_fields
        for part in getattr(plan.parts, kind)
    }
    by_hand = 0.0
    for need in plan.needs:
        amount = float(need.amount.value) / (1000 if need.amount.unit == "mm" else 1)
        by_hand += float(prices[need.part]) * amount
    assert cost_of(plan) == pytest.approx(by_hand)
    dearer = plan_job(one_bar(allowances={"labour_per_hour": 60}))
    minutes = sum(way.minutes for each in plan.routes.leads for way in each.ways)
    assert cost_of(dearer) - cost_of(plan) == pytest.approx(minutes)  # 60 an hour: 1 a minute


def test_a_leg_that_fails_is_offered_fixes_before_wirings():
    first, second, *_ = options_for(FAILING, OWN, "leg", "L1")
    assert (first.choice, first.taken) == ("branched", True)
    assert second == whole(leg_options(FAILING, OWN, "L1"))[0]
    sound = [one.choice for one in options_for(KITCHEN, OWN, "leg", "L3")]
    assert set(sound[:3]) == {"branched", "chained", "home run"}
    assert whole(leg_options(KITCHEN, OWN, "no")) == ()


@pytest.mark.property
@quick(20)
@given(jobs() | any_job())
def test_any_job_leaves_a_valid_job_whatever_is_taken(job):
    for leg in job.legs[:2]:
        for one in whole(leg_options(job, OWN, leg.id)):
            assert one.job is not None
            assert Job.model_validate(one.job.model_dump(by_alias=True)) == one.job

"""What a supply must carry, what it may give in its air, and what is left."""

from decimal import Decimal
from typing import Any

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import ALIKE, QUICK, any_job, one_bar, part, planned, row

from pelmet.model.job.job import Job
from pelmet.model.job.parts import SupplyPart
from pelmet.model.measure.units import quantity
from pelmet.model.plan.circuit.supplies import SupplyBudget, carries, ceiling_watts, usable_watts
from pelmet.model.plan.rules import class_2
from pelmet.model.plan.stages import plan_job

D = Decimal
LONG = {"L1": {"length": 30_000}}


def supply_part(**changes: Any) -> SupplyPart:
    return SupplyPart.model_validate(part("supplies", "mine", **changes))


def budget(job: Job) -> SupplyBudget:
    (one,) = plan_job(job).supplies
    return one


def own_strip(**changes: Any) -> dict[str, Any]:
    return {"R1": {"strip": "mine"}, "parts": {"strips": [part("strips", "mine", **changes)]}}


def usable(celsius: float | Decimal, share: float = 100, **changes: Any) -> float:
    allowances = one_bar(allowances={"supply_celsius": celsius, "supply_load": share}).allowances
    return float(usable_watts(supply_part(**changes), allowances).usable.value)


def two_legs(**how: Any) -> Job:
    """Two runs of 10 and 14 units of 50 mm, each on a leg of its own."""
    more = {
        "legs": [{"id": "L2", "supply": "S1"}],
        "runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L2"}],
    }
    return row(600, 800, R1={"cabinets": ["A1"]}, add=more, **how)


# --- What it must carry ---------------------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize("kind", ["resistor-limited", "current-regulated", "constant power"])
def test_the_load_is_the_larger_of_rated_and_solved_watts(kind):
    knee = {"led_volts": None, "dropout_volts": 18} if kind != "resistor-limited" else {}
    plan = planned(**own_strip(kind=kind, **knee), **LONG)
    (leg,) = plan.circuits.legs
    solved = quantity(24, "V") * quantity(float(leg.amps.value), "A")
    load = float(plan.supplies[0].load.value)
    # 17 units of 50 mm at 10 W/m are 8.5 W.
    assert load == pytest.approx(max(8.5, solved.to("W").magnitude))
    # At the end of a long cable one kind draws less than rated, one just that, one more.
    drawn = solved.to("W").magnitude / 8.5
    if kind == "current-regulated":
        assert drawn == pytest.approx(1)
    else:
        assert (drawn > 1.01) == (kind == "constant power")
        assert (drawn < 0.99) == (kind == "resistor-limited")


def test_a_leg_whose_amps_are_not_known_counts_with_its_rated_watts():
    plan = plan_job(two_legs(S1={"place": "elsewhere"}, L1={"length": 1000}, allowances=ALIKE))
    first, second = plan.circuits.legs
    assert first.amps is not None
    assert second.amps is None
    assert float(plan.supplies[0].load.value) == pytest.approx(4.8 + 6.72)


def test_without_a_part_there_is_a_load_and_nothing_else():
    found = budget(one_bar(S1={"part": "no"}))
    assert [figure.name for figure in found.figures] == ["supply load"]
    assert float(found.load.value) == pytest.approx(8.16)
    assert found[3:] == (None,) * 7


@pytest.mark.cross_check
def test_amps_at_the_output_are_those_of_its_legs():
    plan = plan_job(two_legs())
    amps = [float(leg.amps.value) for leg in plan.circuits.legs]
    assert float(plan.supplies[0].amps.value) == pytest.approx(sum(amps))
    assert budget(two_legs(S1={"place": "elsewhere"})).amps is None


def test_terminals_are_counted_down_and_below_nothing():
    assert budget(two_legs()).terminals_left.value == 1  # three, and two legs
    few = {"supplies": [part("supplies", "supply-24-60", terminals=1)]}
    assert budget(two_legs(parts=few)).terminals_left.value == -1
    assert budget(one_bar(drop=["R1", "L1"])).terminals_left.value == 3


# --- What it may give -----------------------------------------------------------------------------


@pytest.mark.published
@pytest.mark.parametrize(
    ("celsius", "percent"), [(20, 100), (50, 100), (54, 90), (60, 75), (70, 50), (D("70.1"), 0)]
)
def test_warm_air_takes_away_what_the_guide_says(celsius, percent):
    # Derating guide for open and enclosed supplies: full power to 50 C, then 2.5 %/K less, to
    # 50 % at 70 C, where it ends.
    assert usable(celsius, watts=200) == pytest.approx(2 * percent)


@pytest.mark.published
def test_two_shares_multiply():
    # A maker's worked example: 73 % of one curve and 90 % of another are 65.7 %. 27 % at 2.5 %/K
    # are 10.8 K over 50 C.
    assert usable(D("60.8"), share=90, watts=100) == pytest.approx(65.7)


def test_a_curve_of_ones_own_wins():
    mine = {"full_to_celsius": 40, "derate_per_kelvin": 4, "highest_celsius": 60, "watts": 100}
    assert [usable(celsius, **mine) for celsius in (40, 45, 60, 61)] == pytest.approx(
        [100, 80, 20, 0]
    )
    assert usable(66, derate_per_kelvin=10, watts=100) == 0  # never less than nothing


def test_the_budget_says_each_step():
    found = budget(one_bar(allowances=ALIKE | {"supply_celsius": 60}))
    steps = (found.rating, found.derated, found.usable, found.left)
    # 60 W rated, 75 % of it at 60 C, 80 % of that, and 8.16 W taken
    assert [float(one.value) for one in steps] == pytest.approx([60, 45, 36, 27.84])


@pytest.mark.property
@examples(50)
@given(
    st.integers(-20, 119), st.integers(0, 40), st.integers(-20, 120), st.integers(0, 30),
    st.integers(-20, 120), st.integers(1, 100),
)  # fmt: skip
def test_warmer_air_never_gives_more(celsius, warmer, full_to, percent, highest, share):
    curve = {"full_to_celsius": full_to, "derate_per_kelvin": percent, "highest_celsius": highest}
    cool, warm = (usable(each, share, **curve) for each in (celsius, min(celsius + warmer, 120)))
    assert 0 <= warm <= cool <= 60 * share / 100 + 1e-9


@pytest.mark.property
@examples(50)
@given(st.integers(1, 1000), st.integers(0, 1000), st.integers(10, 90))
def test_more_load_never_leaves_more_watts(width, more, watts):
    def left(wide: int) -> float:
        job = one_bar(
            A={"length": 9000},
            A1={"width": wide, "opening": [wide]},
            S1={"part": "mine"},
            parts={"supplies": [part("supplies", "mine", watts=watts)]},
        )
        return float(budget(job).left.value)

    assert left(width + more) <= left(width) + 1e-9


@pytest.mark.property
@QUICK
@given(any_job())
def test_a_budget_adds_up_and_agrees_with_its_finding(job):
    plan = plan_job(job)
    over = {one.about for one in plan.findings if one.code == "supply-overloaded"}
    hot = {one.about for one in plan.findings if one.code == "supply-too-hot"}
    for found in plan.supplies:
        if found.usable is None:
            continue
        assert (
            float(found.load.value)
            >= sum(float(leg.watts.value) for leg in plan.circuits.legs if leg.leg.id in found.legs)
            - 1e-9
        )
        assert float(found.usable.value) <= float(found.derated.value) + 1e-9
        assert float(found.derated.value) <= float(found.rating.value)
        if found.supply not in hot:
            assert (found.supply in over) == (float(found.left.value) < -1e-9)


def test_a_part_carries_just_what_may_be_used_of_it():
    allowances = one_bar().allowances
    assert carries(supply_part(watts=60), allowances, 48)
    assert not carries(supply_part(watts=60), allowances, 48.001)
    warm = one_bar(allowances={"supply_celsius": 60}).allowances
    assert not carries(supply_part(watts=60), warm, 48)


# --- The ceiling of a limited source --------------------------------------------------------------


def region(name: str, **more: Any) -> Job:
    return Job.model_validate({"job": {"region": name}, **more})


@pytest.mark.published
@pytest.mark.parametrize(("volts", "watts"), [(12, 60), (24, 100), (5, 25)])
def test_class_2_in_the_us(volts, watts):
    # NEC Chapter 9 Table 11(B): 5.0 A up to 20 V, so 60 W at 12 V; 100 W above, up to 30 V.
    assert float(ceiling_watts(region("us"), D(volts))) == watts


@pytest.mark.published
def test_a_limit_from_memory_is_no_ceiling():
    # The row for 30 to 60 V was not seen in print.
    assert class_2(region("us"), D(48))
    assert ceiling_watts(region("us"), D(48)) is None


def test_elsewhere_there_is_no_ceiling_of_watts():
    assert [ceiling_watts(region(name), D(24)) for name in ("eu", "uk")] == [None, None]


def test_a_ceiling_can_be_moved_by_a_person_who_says_why():
    def moved(**limit: float) -> Decimal | None:
        rule = {"id": "rule1", "rule": "class-2-watts", "reason": "listed so", **limit}
        return ceiling_watts(region("us", override=[rule]), D(24))

    assert moved(limit=50) == 50
    assert float(moved()) == pytest.approx(24 * 4.17)  # its amps still hold

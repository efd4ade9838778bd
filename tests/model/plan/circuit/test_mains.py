"""The mains side of a supply: watts, amps, counts on a breaker, energy and its cost."""

from decimal import Decimal
from math import floor
from typing import Any, get_args

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import ALIKE, QUICK, any_job, one_bar, part

from pelmet.model.job.feeds import Breaker, Supply
from pelmet.model.job.job import Job
from pelmet.model.job.parts import SupplyPart
from pelmet.model.measure.units import quantity, unit
from pelmet.model.plan.circuit.mains import Mains, circuit_amps, least_efficiency, mains_side
from pelmet.model.plan.figure import given as said
from pelmet.model.plan.stages import plan_job

D = Decimal
IDEAL = {"efficiency": 100, "power_factor": 1, "standby_watts": 0}
LIKE_IT = ["B6", "B10", "B16", "B20"], ["C6", "C10", "C16", "C20"]


def mains(
    load: float, breaker: str = "not known", region: str = "eu", how: Any = None, **changes: Any
) -> Mains:
    """Work out the mains side of a part of one's own; ``how`` are tables of the job."""
    job = Job.model_validate({"job": {"region": region}, **(how or {})})
    mine = SupplyPart.model_validate(part("supplies", "mine", **changes))
    supply = Supply.model_validate({"id": "S1", "part": "mine", "breaker": breaker})
    return mains_side(job, supply, mine, said("load", load, "W", "part"))


def value(figure: Any) -> float:
    assert figure is not None
    return float(figure.value)


def override(rule: str, **limit: float) -> dict[str, Any]:
    return {"override": [{"id": "rule1", "rule": rule, "reason": "said so", **limit}]}


# --- Watts and amps -------------------------------------------------------------------------------


@pytest.mark.published
@pytest.mark.parametrize(
    ("watts", "percent"),
    # Regulation (EU) 2019/1782, Annex II: 0.880 over 49 W; 0.071 ln P - 0.0014 P + 0.67 up to it.
    [(60, 88.0), (D("49.1"), 88.0), (49, 87.77), (36, 87.40), (24, 86.20), (1, 66.86)],
)  # fmt: skip
def test_a_part_that_says_none_has_the_least_efficiency_of_the_regulation(watts, percent):
    found = mains(1, watts=watts)
    assert value(found.efficiency) == pytest.approx(percent, abs=0.006)
    assert value(found.input) == pytest.approx(100 / percent, rel=1e-4)
    assert found.efficiency.formula_id != "part"


@pytest.mark.published
@pytest.mark.parametrize(("watts", "standby"), [(49, 0.10), (1, 0.10), (D("49.1"), 0.21)])
def test_a_part_that_says_none_stands_by_with_what_the_regulation_allows(watts, standby):
    # Regulation (EU) 2019/1782, Annex II, no-load: 0.10 W up to 49 W, 0.21 W over it.
    assert value(mains(1, watts=watts).standby) == standby


def test_what_the_part_says_wins():
    found = mains(40, efficiency=80, power_factor=D("0.5"), standby_watts=0, inrush_amps=12)
    assert (value(found.input), value(found.standby), value(found.inrush)) == (50, 0, 12)
    assert value(found.amps) == pytest.approx(50 / 0.5 / 230)
    mine = (found.efficiency, found.power_factor, found.standby, found.inrush)
    assert {one.formula_id for one in mine} == {"part"}
    bare = mains(40)
    assert bare.inrush is None
    assert bare.power_factor.formula.source.standing == "from memory"


@pytest.mark.cross_check
@pytest.mark.parametrize(("region", "amps"), [("us", 0.957), ("eu", 0.499), ("uk", 0.499)])
def test_mains_amps_by_hand_and_by_pint(region, amps):
    # 96 W at 88 % are 109.1 W; at power factor 0.95 by 120 V or 230 V.
    found = mains(96, region=region, watts=96, efficiency=88, power_factor=D("0.95"))
    assert value(found.input) == pytest.approx(109.09, abs=0.01)
    assert value(found.amps) == pytest.approx(amps, abs=0.0005)
    volts = quantity(120 if region == "us" else 230, "V")
    again = quantity(96, "W") / 0.88 / 0.95 / volts
    assert value(found.amps) == pytest.approx(again.to("A").magnitude)


def test_a_person_can_say_other_mains_volts():
    assert value(mains(1, how=override("mains-volts", limit=240)).volts) == 240
    # Putting the rule aside takes no volts away.
    assert value(mains(1, how=override("mains-volts")).volts) == 230
    assert value(mains(1, how=override("mains-volts", limit=0)).volts) == 230


@pytest.mark.property
@examples(50)
@given(st.floats(0.1, 49), st.floats(0.1, 49))
def test_a_bigger_supply_may_never_be_less_efficient(one, other):
    small, big = sorted((one, other))
    assert 50 < least_efficiency(small) <= least_efficiency(big) <= 88


# --- How many on a breaker ------------------------------------------------------------------------


@pytest.mark.published
@pytest.mark.parametrize(
    ("breaker", "count"),
    # Breaker table of a luminaire manual, in percent of what a C16 takes.
    [("B10", 37), ("B16", 60), ("B20", 75), ("C10", 62), ("C16", 100), ("C20", 125)],
)
def test_inrush_counts_by_type_of_breaker(breaker, count):
    found = mains(1, breaker, on_c16=100)
    assert found.by_inrush.value == count


@pytest.mark.published
def test_drivers_on_a_breaker_by_steady_amps():
    # An application note: 75 W at 230 V on 16 A, 87 % efficient: 42 drivers.
    found = mains(75, "B16", watts=75, efficiency=87, power_factor=1)
    assert found.by_amps.value == 42
    assert (found.on_breaker.value, found.decided_by) == (42, "steady amps")


@pytest.mark.published
@pytest.mark.parametrize(("breaker", "amps"), [("15 A", 12), ("20 A", 16)])
def test_a_steady_load_takes_four_fifths_of_a_breaker_in_the_us(breaker, amps):
    # NEC 210.20(A): 15 A carry 12 A, 20 A carry 16 A of continuous load.
    job = Job.model_validate({"job": {"region": "us"}})
    assert value(circuit_amps(job, breaker)) == amps
    # one ampere each
    assert mains(120, breaker, "us", watts=120, **IDEAL).by_amps.value == amps


def test_a_share_can_be_moved_or_put_aside():
    aside = Job.model_validate({"job": {"region": "us"}, **override("circuit-share")})
    half = Job.model_validate({"job": {"region": "us"}, **override("circuit-share", limit=50)})
    assert value(circuit_amps(aside, "20 A")) == 20
    assert value(circuit_amps(half, "20 A")) == 10


def test_the_smaller_count_decides_and_says_by_what():
    found = mains(230, "C16", watts=230, on_c16=10, **IDEAL)  # one ampere
    assert (found.by_amps.value, found.by_inrush.value) == (16, 10)
    assert (found.on_breaker.value, found.decided_by) == (10, "inrush")
    found = mains(230, "C16", watts=230, on_c16=20, **IDEAL)
    assert (found.on_breaker.value, found.decided_by) == (16, "steady amps")
    found = mains(230, "C16", watts=230, on_c16=16, **IDEAL)
    assert (found.on_breaker.value, found.decided_by) == (16, "inrush")


def test_what_is_not_known_is_not_counted():
    found = mains(230, on_c16=10)
    assert (found.by_inrush, found.by_amps, found.on_breaker, found.decided_by) == (
        None, None, None, "",
    )  # fmt: skip
    assert mains(230, "C16").by_inrush is None
    assert mains(0, "C16").by_amps is None  # nothing drawn: any number
    # No table has a count by inrush for these.
    assert mains(230, "B6", on_c16=10).by_inrush is None
    assert mains(230, "15 A", "us", on_c16=10).by_inrush is None


@pytest.mark.property
@examples(50)
@given(st.floats(0.1, 5000), st.integers(1, 500))
def test_a_bigger_breaker_never_takes_fewer(load, on_c16):
    for kind in LIKE_IT:
        found = [mains(load, breaker, on_c16=on_c16) for breaker in kind]
        for counts in ([one.by_amps for one in found], [one.by_inrush for one in found[1:]]):
            values = [value(one) for one in counts]
            assert values == sorted(values)


@pytest.mark.property
@examples(50)
@given(st.floats(0.1, 5000), st.floats(0, 5000), st.sampled_from(get_args(Breaker)[1:]))
def test_more_load_takes_more_and_never_counts_more(load, more, breaker):
    light, heavy = mains(load, breaker), mains(load + more, breaker)
    assert value(heavy.by_amps) <= value(light.by_amps)
    for name in ("input", "amps", "energy"):
        assert value(getattr(heavy, name)) >= value(getattr(light, name))


# --- Energy and its cost --------------------------------------------------------------------------


def used(watts: float, hours: float, days: int, price: float, **changes: Any) -> Mains:
    allowance = {"hours_a_day": hours, "days_a_year": days, "price_per_kwh": price}
    return mains(watts, how={"allowance": allowance}, **(IDEAL | changes))


@pytest.mark.published
@pytest.mark.parametrize(
    ("watts", "hours", "price", "cost"),
    # Worked examples of energy texts: 1.5 kW for 6 h at 8 c a kWh is 72 c; 60 W for 10 h at 11 p
    # is 6.6 p.
    [(1500, 6, 8, 72), (60, 10, 11, D("6.6"))],
)
def test_the_cost_of_a_day(watts, hours, price, cost):
    found = used(watts, hours, 1, price)
    assert value(found.energy) == pytest.approx(watts * hours / 1000)
    assert found.cost.value == cost


@pytest.mark.cross_check
def test_standby_for_the_rest_of_the_year_by_pint():
    found = used(44, 4, 300, 0.3, efficiency=88, standby_watts=D("0.5"))
    lit = quantity(4 * 300, "h")
    rest = quantity(365 * 24, "h") - lit
    again = (quantity(50, "W") * lit + quantity(0.5, "W") * rest).to(unit("kWh")).magnitude
    assert again == pytest.approx(63.78)
    assert value(found.energy) == pytest.approx(again)
    assert found.cost.value == D("19.13")


def test_a_leap_year_of_light_leaves_no_standby():
    found = used(100, 24, 366, 1, standby_watts=500)
    assert value(found.energy) == pytest.approx(878.4)


def test_without_a_price_there_is_no_cost():
    assert mains(60).cost is None


# --- In a plan ------------------------------------------------------------------------------------


def test_a_plan_has_the_mains_side_of_every_supply_with_a_part():
    job = one_bar(
        S1={"breaker": "B16"},
        add={"supplies": [{"id": "S2", "part": "no"}]},
        allowances=ALIKE,
    )
    first, second = plan_job(job).supplies
    assert second.mains is None
    # 8.16 W at 88 %, power factor 0.92; 22 on a C16, of which 60 %
    assert value(first.mains.input) == pytest.approx(8.16 / 0.88)
    assert value(first.mains.amps) == pytest.approx(8.16 / 0.88 / 0.92 / 230)
    assert (first.mains.on_breaker.value, first.mains.decided_by) == (floor(22 * 0.6), "inrush")


@pytest.mark.property
@QUICK
@given(any_job())
def test_more_is_taken_than_given(job):
    for found in plan_job(job).supplies:
        if found.mains:
            assert value(found.mains.input) >= value(found.load)
            assert value(found.mains.energy) >= 0

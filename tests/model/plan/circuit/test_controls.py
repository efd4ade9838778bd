"""What is switched together, and what each channel of each dimmer carries.

Two cabinets of 900 with a bar each: R1 on L1 and R2 on L2, both of supply S1. All invented.
"""

from itertools import product
from typing import Any

import pytest
from hypothesis import given
from jobs import ALIKE, QUICK, Fields
from strategies import jobs
from zoned import IN_Z1, S2, TUNABLE, Z1, Z2, legs, plan_of, two_legs

from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.controls import (
    Controls,
    DimmerLoad,
    ZoneControl,
    fed_strips,
    mains_volts,
    pack_dimmers,
)
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.figures import figures_of, named


def controls(*zones: Fields, **how: Any) -> Controls:
    return plan_of(*zones, **how).controls


def zone(of: Controls, item_id: str = "Z1") -> ZoneControl:
    (one,) = [each for each in of.zones if each.zone.id == item_id]
    return one


def fed(loads: tuple[DimmerLoad, ...]) -> list[tuple[str, ...]]:
    """Give what each dimmer feeds, channel by channel."""
    return [tuple(channel.feeds for channel in load.channels) for load in loads]


# --- Zones ----------------------------------------------------------------------------------------


def test_a_job_without_zones_or_dimmers_has_no_controls():
    assert controls() == Controls((), ())


@pytest.mark.cross_check
def test_the_watts_and_amps_of_a_zone_are_those_of_its_strip():
    # 900 less 2 x 2 of air, 2 x 2 of caps and zones of 10 + 3 leaves 879: 17 units of 50 are lit.
    # By hand: 2 x 0.85 m x 9.6 W/m = 16.32 W; at 24 V that would be 0.68 A, less what cables lose.
    one = zone(controls(Z1, **IN_Z1, allowances=ALIKE))
    assert one.legs == ("L1", "L2")
    assert one.supplies == ("S1",)
    assert float(one.watts.value) == pytest.approx(16.32)
    assert one.amps is not None
    assert 0.66 < float(one.amps.value) <= 0.68


@pytest.mark.cross_check
def test_a_zone_draws_what_its_legs_draw_as_the_current_law_has_it():
    of = plan_of(Z1, Z2, L1={"zone": "Z1"}, L2={"zone": "Z2", "length": 9000})
    for own, leg in (("Z1", "L1"), ("Z2", "L2")):
        one = zone(of.controls, own)
        assert one.legs == (leg,)
        assert one.amps is not None
        assert float(one.amps.value) == float(legs(of)[leg].amps.value)
        assert one.amps.inputs == (legs(of)[leg].amps,)


def test_a_zone_with_a_leg_whose_amps_are_not_known_has_none_itself():
    one = zone(controls(Z1, L1={"zone": "Z1"}, L2={"zone": "Z1", "cable": "no-such-cable"}))
    assert one.amps is None
    assert one.through is None
    assert float(one.watts.value) == pytest.approx(16.32)


def test_a_zone_without_legs_has_no_amps_and_no_watts():
    one = zone(controls(Z1 | {"switch": "wall-switch"}))
    assert (one.legs, one.supplies, one.amps, one.through) == ((), (), None, None)
    assert float(one.watts.value) == 0


def test_a_low_voltage_switch_carries_the_amps_of_its_legs():
    one = zone(controls(Z1 | {"switch": "door-switch-3"}, **IN_Z1))
    assert one.switch is not None
    assert one.through == one.amps is not None


def test_a_zone_without_a_switch_or_with_one_nobody_sells_has_nothing_through_it():
    for own in (None, "no-such-switch"):
        one = zone(controls(Z1 | {"switch": own}, **IN_Z1))
        assert (one.switch, one.through) == (None, None)
        assert one.amps is not None


def test_a_mains_switch_carries_all_of_its_supplies_whatever_the_zones_of_their_legs():
    of = plan_of(
        Z1 | {"switch": "wall-switch"}, Z2 | {"switch": "wall-switch"},
        add={"supplies": [S2], "legs": [{"id": "L3", "supply": "S1", "zone": "Z2"}]},
        L1={"zone": "Z1"}, L2={"zone": "Z1", "supply": "S2"},
    )  # fmt: skip
    mains = {each.supply: float(each.mains.amps.value) for each in of.supplies if each.mains}
    assert min(mains.values()) > 0
    through = {own: float(zone(of.controls, own).through.value) for own in ("Z1", "Z2")}
    assert through == pytest.approx({"Z1": mains["S1"] + mains["S2"], "Z2": mains["S1"]})


@pytest.mark.parametrize("region", ["eu", "uk", "us"])
def test_every_region_has_mains_and_putting_the_rule_aside_takes_none_away(region):
    def volts(*overrides: Fields) -> object:
        return mains_volts(
            Job.model_validate({"job": {"region": region}, "override": list(overrides)})
        )

    rule = {"id": "rule1", "rule": "mains-volts", "reason": "a transformer"}
    assert volts() == volts(rule)
    assert volts(rule | {"limit": 110}) == 110


# --- Dimmers --------------------------------------------------------------------------------------


@pytest.mark.cross_check
def test_a_channel_carries_the_amps_of_its_leg_while_it_is_on():
    # A pulse of any length is the whole supply on the strip: V / R while it is on, less on average.
    of = plan_of(L1={"dimmer": "dimmer-5"})
    (load,) = of.controls.dimmers
    (channel,) = load.channels
    assert (load.part.id, load.supply, load.zone, load.feeds) == ("dimmer-5", "S1", None, ("L1",))
    on = float(legs(of)["L1"].amps.value)
    pulses = [on if step < 30 else 0.0 for step in range(100)]  # dimmed to 30 %
    assert float(channel.amps.value) == on == max(pulses) > sum(pulses) / len(pulses)
    assert float(load.watts.value) == pytest.approx(0.85 * 9.6)


@pytest.mark.cross_check
def test_the_two_channels_of_tunable_white_carry_half_each_and_the_common_core_both():
    how = {"R1": {"strip": "tunable"}, "parts": {"strips": [TUNABLE]}}
    of = plan_of(L1={"dimmer": "dimmer-2x5", "cable": "round-3x0.75"}, **how)
    (load,) = of.controls.dimmers
    assert fed((load,)) == [("L1", "L1")]
    one, other = (float(channel.amps.value) for channel in load.channels)
    assert one == other
    assert one + other == pytest.approx(float(legs(of)["L1"].amps.value))


def test_a_dimmer_of_one_channel_before_tunable_white_has_all_of_it_on_that():
    how = {"R1": {"strip": "tunable"}, "parts": {"strips": [TUNABLE]}}
    of = plan_of(L1={"dimmer": "dimmer-5"}, **how)
    (load,) = of.controls.dimmers
    assert fed((load,)) == [("L1",)]
    assert float(load.channels[0].amps.value) == float(legs(of)["L1"].amps.value)


def test_legs_of_one_zone_share_a_dimmer_of_several_channels():
    dim = {"zone": "Z1", "dimmer": "dimmer-2x5"}
    (load,) = controls(Z1, L1=dim, L2=dim).dimmers
    assert fed((load,)) == [("L1", "L2")]
    assert load.zone == "Z1"
    assert float(load.watts.value) == pytest.approx(16.32)


@pytest.mark.parametrize(
    "how",
    [
        {"L1": {}, "L2": {}},  # in no zone: nothing says that they belong together
        {"L1": {"zone": "Z1"}, "L2": {"zone": "Z2"}},
        {"L1": {"zone": "Z1"}, "L2": {}},
        {"L1": {"zone": "Z1"}, "L2": {"zone": "Z1", "supply": "S2"}},  # outputs are not joined
    ],
)
def test_other_legs_have_dimmers_of_their_own(how):
    dim = {own: leg | {"dimmer": "dimmer-2x5"} for own, leg in how.items()}
    assert fed(controls(Z1, Z2, add={"supplies": [S2]}, **dim).dimmers) == [("L1",), ("L2",)]


def test_a_zone_has_as_many_dimmers_of_one_channel_as_legs():
    dim = {"zone": "Z1", "dimmer": "dimmer-5"}
    assert fed(controls(Z1, L1=dim, L2=dim).dimmers) == [("L1",), ("L2",)]


def test_a_mains_dimmer_stands_before_its_supply_and_has_all_of_it():
    of = plan_of(Z1, S1={"dimmer": "mains-dimmer-150"}, **IN_Z1)
    (load,) = of.controls.dimmers
    (budget,) = of.supplies
    assert fed((load,)) == [("S1",)]
    assert (load.supply, load.zone) == ("S1", "Z1")
    assert load.channels[0].amps == budget.mains.amps
    assert load.watts == budget.load


def test_a_mains_dimmer_over_two_zones_is_in_neither():
    legs = {"L1": {"zone": "Z1"}, "L2": {"zone": "Z2"}}
    (load,) = controls(Z1, Z2, S1={"dimmer": "mains-dimmer-150"}, **legs).dimmers
    assert load.zone is None


@pytest.mark.parametrize(
    "how",
    [{"S1": {"dimmer": "dimmer-5"}}, {"L1": {"dimmer": "mains-dimmer-150"}},
     {"S1": {"dimmer": "none-such"}}, {"L1": {"dimmer": "none-such"}}],
)  # fmt: skip
def test_a_dimmer_on_the_wrong_side_or_of_nobodys_is_not_worked_out(how):
    assert controls(**how).dimmers == ()


def test_a_channel_whose_amps_are_not_known_has_none():
    (load,) = controls(L1={"dimmer": "dimmer-5", "cable": "no-such-cable"}).dimmers
    assert load.channels[0].amps is None
    assert [figure.name for figure in load.figures] == ["dimmed watts", "least load"]


def test_a_run_fed_from_both_ends_hangs_on_both_its_legs():
    parts = bundled_catalogue()

    def runs(**run: str) -> list[list[str]]:
        job = two_legs(R1=run)
        return [[own for own, _ in fed_strips(job, parts, leg)] for leg in ("L1", "L2")]

    assert runs(feed_end="both", far_leg="L2") == [["R1"], ["R1", "R2"]]
    assert runs(feed_end="left", far_leg="L2") == [["R1"], ["R2"]]
    assert runs(strip="no-such-strip") == [[], ["R2"]]


# --- As figures ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("about", "wanted"),
    [
        ("Z1", {"zone watts of Z1", "zone amps of Z1", "channel amps of L1", "dimmed watts of L1"}),
        ("L1", {"channel amps of L1", "dimmed watts of L1", "leg amps of L1"}),
        ("S1", {"mains amps of S1", "supply load of S1"}),
        ("Z2", {"zone watts of Z2", "switched amps of Z2"}),
    ],
)
def test_each_thing_gives_the_figures_of_its_control(about, wanted):
    plan = plan_job(
        two_legs(
            Z1, Z2 | {"switch": "wall-switch"}, L1={"zone": "Z1", "dimmer": "dimmer-5"},
            L2={"zone": "Z2"}, S1={"dimmer": "mains-dimmer-150"},
        )
    )  # fmt: skip
    assert wanted <= {named(figure) for figure in figures_of(plan, about)}
    assert {*plan.controls.figures} <= {*plan.figures()}


# --- How many dimmers -----------------------------------------------------------------------------


def fewest(wants: list[int], channels: int) -> int:
    """Give the fewest dimmers that hold all legs, by trying every way to share them out."""
    for units in range(len(wants) + 1):
        for places in product(range(units), repeat=len(wants)):
            used = [0] * units
            for want, place in zip(wants, places, strict=True):
                used[place] += want
            if all(each <= channels for each in used):
                return units
    raise AssertionError("a dimmer each is always enough")


@pytest.mark.cross_check
@pytest.mark.parametrize("channels", range(1, 6))
def test_legs_are_put_on_the_fewest_dimmers_that_hold_them(channels):
    most = min(2, channels)
    every = (wants for legs in range(6) for wants in product(range(1, most + 1), repeat=legs))
    for wants in every:
        named = {f"L{n}": want for n, want in enumerate(wants, 1)}
        units = pack_dimmers(named, channels)
        assert len(units) == fewest(list(wants), channels), wants
        assert all(0 < len(unit) <= channels for unit in units)
        # Every channel that is wanted is there, and those of one leg are on one dimmer.
        for leg, want in named.items():
            assert [unit.count(leg) for unit in units if leg in unit] == [want]


@pytest.mark.parametrize(
    ("wants", "channels", "units"),
    [
        ({"L1": 1, "L2": 1, "L3": 1}, 1, [["L1"], ["L2"], ["L3"]]),
        ({"L1": 1, "L2": 1, "L3": 1}, 2, [["L1", "L2"], ["L3"]]),
        ({"L1": 1, "L2": 2, "L3": 1}, 4, [["L1", "L2", "L2", "L3"]]),
        ({"L1": 1, "L2": 1, "L3": 2, "L4": 2}, 3, [["L1", "L3", "L3"], ["L2", "L4", "L4"]]),
        ({"L1": 2, "L2": 2}, 3, [["L1", "L1"], ["L2", "L2"]]),
        ({}, 4, []),
    ],
)
def test_dimmers_stand_in_the_order_of_their_first_legs(wants, channels, units):
    assert pack_dimmers(wants, channels) == units


# --- Any job --------------------------------------------------------------------------------------


@pytest.mark.property
@QUICK
@given(jobs())
def test_in_any_job_every_leg_is_in_its_zone_and_every_dimmed_one_has_its_channels(job):
    of = plan_job(job)
    parts = of.parts
    for own, one in zip(job.zones, of.controls.zones, strict=True):
        assert one.legs == tuple(leg.id for leg in job.legs if leg.zone == own.id)
    sides = {each.id: each.side for each in parts.dimmers}
    after = {leg.id for leg in job.legs if sides.get(leg.dimmer or "") == "low voltage"}
    before = {own.id for own in job.supplies if sides.get(own.dimmer or "") == "mains"}
    told = [feeds for load in of.controls.dimmers for feeds in load.feeds]
    assert sorted(told) == sorted([*after, *before])
    assert all(len(load.channels) <= load.part.channels for load in of.controls.dimmers)

"""What else could switch a zone or dim a leg: each option is what planning it gives."""

from decimal import Decimal
from typing import Any

import pytest
from choices import OWN, changes
from draws import quick
from hypothesis import given
from jobs import Fields, part
from strategies import jobs
from zoned import IN_Z1, TUNABLE, Z1, Z2, switch, two_legs

from pelmet.model.edit.options import Option, options_for
from pelmet.model.edit.options.option import whole
from pelmet.model.edit.options.zones import dimmers, switches
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job

D = Decimal


def zone_job(named: str | None = None, **how: Any) -> Job:
    return two_legs(Z1 | {"switch": named}, **{**IN_Z1, **how})


def chosen(found: tuple[Option, ...]) -> list[str]:
    return [one.choice.partition(": ")[2] for one in found]


def does(one: Option) -> bool:
    return one.gives.endswith(": does")


def prices(found: tuple[Option, ...], table: str, parts: Any) -> list[Decimal | None]:
    by_id = {each.id: each.price for each in getattr(parts, table)}
    return [by_id.get(own) if own != "none" else D(0) for own in chosen(found)]


def in_order(found: tuple[Option, ...], table: str) -> bool:
    """Say if those that do come first, and of these and those the cheapest, unpriced ones last."""
    keys = [
        (not does(one), price is None, price or D(0))
        for one, price in zip(found, prices(found, table, bundled_catalogue()), strict=True)
    ]
    return keys == sorted(keys)


# --- Switches of a zone ---------------------------------------------------------------------------


def test_every_switch_is_tried_the_cheapest_that_does_first_and_none_last():
    found = whole(switches(zone_job(), OWN, "Z1"))
    assert sorted(chosen(found)[:-1]) == sorted(each.id for each in bundled_catalogue().switches)
    assert (found[-1].choice, found[-1].gives) == ("switch: none", "nothing switches it")
    assert in_order(found[:-1], "switches")
    assert does(found[0])
    assert "price 12" in found[0].reasons


@pytest.mark.cross_check
def test_the_amps_and_the_verdict_are_those_of_planning_it():
    wide = two_legs(
        Z1, **IN_Z1, parts={"strips": [part("strips", "white-24-10", watts_per_metre=50)]}
    )
    verdicts = set()
    for one in whole(switches(wide, OWN, "Z1"))[:-1]:
        assert one.job is not None
        assert changes(wide, one.job) <= {("Z1", "switch")}
        plan = plan_job(one.job)
        (own,) = plan.controls.zones
        assert own.through is not None
        assert own.switch is not None
        said = f"{float(own.through.value):.2f} of {own.switch.amps} A"
        assert one.gives.partition(":")[0] == said
        over = float(own.through.value) > float(own.switch.amps)
        assert does(one) is not over
        assert any("draws" in reason for reason in one.reasons) is over
        verdicts.add(over)
    assert verdicts == {True, False}


def test_how_a_zone_is_switched_now_is_marked():
    for named in (None, "wall-switch", "motion-sensor-4"):
        found = whole(switches(zone_job(named), OWN, "Z1"))
        assert [one.choice for one in found if one.taken] == [f"switch: {named or 'none'}"]
        assert [one.job == zone_job(named) for one in found] == [one.taken for one in found]


def test_what_a_person_must_decide_is_a_reason_and_no_verdict():
    (door,) = [one for one in whole(switches(zone_job(), OWN, "Z1")) if "door" in one.choice]
    assert does(door)
    assert any("leaf" in reason for reason in door.reasons)


def test_a_switch_that_would_join_outputs_does_not_do():
    of_two = zone_job(L2={"zone": "Z1", "supply": "S2"}, add={"supplies": [{"id": "S2"}]})
    sides = {each.id: each.side for each in bundled_catalogue().switches}
    found = whole(switches(of_two, OWN, "Z1"))[:-1]
    assert {sides[own]: does(one) for own, one in zip(chosen(found), found, strict=True)} == {
        "mains": True, "low voltage": False,
    }  # fmt: skip


def test_a_users_own_switch_is_tried_and_one_without_a_price_comes_last_of_those_that_do():
    mine = Catalogue.model_validate({"switches": [switch(amps=9), switch("dear", price=999)]})
    found = options_for(zone_job(), mine, "zone", "Z1")
    doing = [own for own, one in zip(chosen(found), found, strict=True) if does(one)]
    assert doing[-2:] == ["dear", "mine"]


# --- Dimmers of a leg -----------------------------------------------------------------------------


def test_every_other_dimmer_is_tried_and_none():
    known = {each.id for each in bundled_catalogue().dimmers}
    assert set(chosen(whole(dimmers(two_legs(), OWN, "L1")))) == known
    dimmed = two_legs(L1={"dimmer": "dimmer-8"})
    found = whole(dimmers(dimmed, OWN, "L1"))
    assert set(chosen(found)) == known - {"dimmer-8"} | {"none"}
    assert (found[0].choice, found[0].gives) == ("dimmer: none", "not dimmed: does")
    assert not any(one.taken for one in found)
    assert in_order(found, "dimmers")


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("how", "wanted"),
    [
        ({}, ["dimmer-5", "dimmer-8", "dimmer-2x5"]),
        # What is not dimmable is not dimmed by any.
        ({"strip": {"dimmable": False}}, []),
        # Two channels, of one dimmer.
        ({"strip": {"channels": 2}, "L1": {"cable": "round-3x0.75"}}, ["dimmer-2x5"]),
        # 6 A: over one of 5, within one of 8.
        ({"strip": {"watts_per_metre": 100}, "width": 1500}, ["dimmer-8"]),
        # 12 to 24 V.
        ({"strip": {"volts": 48}, "source": {"volts": 48}}, []),
    ],
)
def test_only_dimmers_for_the_amps_volts_and_channels_of_a_leg_do(how, wanted):
    parts: dict[str, list[Fields]] = {
        "strips": [part("strips", "mine", **how["strip"])] if "strip" in how else [],
        "supplies": [part("supplies", "supply-24-60", watts=500, **how.get("source", {}))],
    }
    strip = {"strip": "mine"} if "strip" in how else {}
    size = {"width": how["width"], "opening": [how["width"]]} if "width" in how else {}
    job = two_legs(parts=parts, R1=strip, L1=how.get("L1", {}), A1=size, A2={"at": 1600})
    found = whole(dimmers(job, OWN, "L1"))
    assert [own for own, one in zip(chosen(found), found, strict=True) if does(one)] == wanted
    for one in found:
        assert one.job is not None
        plan = plan_job(one.job)
        load = next((each for each in plan.controls.dimmers if "L1" in each.feeds), None)
        if load is None:
            assert one.gives == "not for this side of the supply: does not"
            continue
        amps = load.channels[0].amps
        assert amps is not None
        assert one.gives.startswith(f"{float(amps.value):.2f} of {load.part.amps} A a channel: ")


def test_too_little_load_is_a_reason_against():
    parts = {"dimmers": [part("dimmers", "heavy", min_watts=50, price=1)]}
    (one,) = [
        each for each in whole(dimmers(two_legs(parts=parts), OWN, "L1")) if "heavy" in each.choice
    ]
    assert not does(one)
    assert any("needs 50 W" in reason for reason in one.reasons)


def test_tunable_white_without_a_dimmer_does_not_do():
    job = two_legs(R1={"strip": "tunable"}, parts={"strips": [TUNABLE]},
                   L1={"dimmer": "dimmer-2x5", "cable": "round-3x0.75"})  # fmt: skip
    (none,) = [one for one in whole(dimmers(job, OWN, "L1")) if one.choice == "dimmer: none"]
    assert none.gives == "not dimmed: does not"


# --- Beside the others ----------------------------------------------------------------------------


def test_the_dimmers_of_a_leg_stand_after_its_wirings_and_cables():
    kinds = [one.choice.split(":")[0] for one in options_for(two_legs(), OWN, "leg", "L1")]
    first = kinds.index("dimmer")
    assert set(kinds[first:]) == {"dimmer"}
    assert "cable" in kinds[:first]


@pytest.mark.parametrize("kind", ["zone", "leg"])
def test_a_thing_that_is_not_there_has_no_options(kind):
    assert options_for(two_legs(Z1, Z2), OWN, kind, "no") == ()


@pytest.mark.property
@quick(20)
@given(jobs())
def test_any_zone_and_leg_has_options_that_leave_valid_jobs(job):
    for kind, tried in (("zone", switches), ("leg", dimmers)):
        for thing in job.table(kind)[:1]:
            for one in whole(tried(job, OWN, thing.id)):
                assert one.job is not None
                assert one.gives.isprintable()
                assert changes(job, one.job) <= {
                    (thing.id, "switch" if kind == "zone" else "dimmer")
                }

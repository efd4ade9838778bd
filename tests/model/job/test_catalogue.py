"""The bundled parts, what a part must say, and one catalogue laid over another."""

import tomllib
from decimal import Decimal
from importlib.resources import files
from math import pi, sqrt
from typing import Any, get_args

import pytest
from jobs import PARTS, one_bar, part
from pydantic import ValidationError

from pelmet.model.job.catalogue import Catalogue, bundled_catalogue, find_part, overlay
from pelmet.model.job.items import Facing
from pelmet.model.job.job import MODELS
from pelmet.model.job.parts import StripKind
from pelmet.model.job.references import PART_FIELDS
from pelmet.model.plan.circuit.dc.copper import ohms_per_metre
from pelmet.model.plan.mounting.mounts import throw_degrees
from pelmet.model.plan.stages import plan_job

BUNDLED = bundled_catalogue()
TABLES = tuple(Catalogue.model_fields)
TEXT = files("pelmet.model.job").joinpath("catalogue.toml").read_text("utf-8")


def catalogue(**tables: list[dict[str, Any]]) -> Catalogue:
    return Catalogue.model_validate(tables)


def refusal(table: str, **changes: Any) -> str:
    with pytest.raises(ValidationError) as caught:
        catalogue(**{table: [part(table, "mine", **changes)]})
    return str(caught.value)


# --- The bundled parts ----------------------------------------------------------------------------


def test_the_bundled_parts_say_that_they_are_invented():
    assert "invented" in TEXT.partition("[[")[0]
    assert "no maker's data" in TEXT.partition("[[")[0]


@pytest.mark.parametrize("table", TABLES)
def test_every_kind_of_part_is_bundled_under_ids_of_its_own(table):
    ids = [one.id for one in getattr(BUNDLED, table)]
    assert ids
    assert len(ids) == len(set(ids))


def test_no_bundled_id_is_of_two_kinds():
    ids = [one.id for table in TABLES for one in getattr(BUNDLED, table)]
    assert len(ids) == len(set(ids))


def test_strips_of_both_volts_every_kind_and_several_cut_units_are_bundled():
    assert {strip.volts for strip in BUNDLED.strips} >= {12, 24}
    assert {strip.kind for strip in BUNDLED.strips} == set(get_args(StripKind))
    assert {strip.channels for strip in BUNDLED.strips} == {1, 2}
    assert {strip.cut_unit for strip in BUNDLED.strips} >= {25, 50, 100}
    assert any(strip.pitch == 0 for strip in BUNDLED.strips)


def test_the_led_pitch_of_a_bundled_strip_divides_its_cut_unit():
    # Common practice: a cut unit is a whole number of LEDs in series.
    for strip in BUNDLED.strips:
        if strip.pitch:
            leds = float(strip.cut_unit / strip.pitch)
            assert leds == pytest.approx(round(leds), abs=0.01)


def test_channels_straight_down_of_45_and_of_30_and_60_are_bundled():
    throws = {channel.throws for channel in BUNDLED.channels}
    assert {(90,), (45,), (30, 60)} <= throws
    sayable = {throw_degrees(facing)[0] for facing in get_args(Facing)}
    assert {degrees for one in throws for degrees in one} <= sayable


def test_cables_by_area_and_by_gauge_are_bundled_and_their_ohms_known():
    assert {cable.awg for cable in BUNDLED.cables} >= {16, 18, 20}
    sizes = [cable for cable in BUNDLED.cables if cable.mm2 is not None]
    assert {cable.mm2 for cable in sizes} >= {Decimal("0.5"), Decimal("0.75"), 1, Decimal("1.5")}
    for cable in sizes:
        assert ohms_per_metre(float(cable.mm2), cable.conductor_class) > 0


def test_a_bundled_cable_is_wider_than_its_two_cores():
    for cable in BUNDLED.cables:
        # Bare copper of its area, or by ASTM B258 of its gauge, two side by side.
        area = cable.mm2 or Decimal(0)
        core = (
            0.127 * 92 ** ((36 - cable.awg) / 39)
            if cable.awg is not None
            else sqrt(4 * float(area) / pi)
        )
        assert 2 * core < float(cable.outside) < 8 * core


def test_bundled_strips_were_joined_on_their_cut_marks():
    for strip in BUNDLED.strips:
        if strip.factory_joint_every is not None:
            assert strip.factory_joint_every % strip.cut_unit == 0
            assert strip.factory_joint_every <= strip.reel


def test_supplies_of_both_volts_and_some_that_dim_are_bundled():
    assert {supply.volts for supply in BUNDLED.supplies} >= {12, 24}
    assert {supply.dimmable for supply in BUNDLED.supplies} == {True, False}
    for dimmer in BUNDLED.dimmers:
        if dimmer.side == "low voltage":
            assert dimmer.min_volts <= 12 <= 24 <= dimmer.max_volts
        else:
            assert dimmer.min_volts <= 120 <= 230 <= dimmer.max_volts
    assert {dimmer.side for dimmer in BUNDLED.dimmers} == {"low voltage", "mains"}


def test_small_lever_connectors_of_two_and_three_ways_want_6_mm_of_bare_wire():
    assert {2: 6, 3: 6}.items() <= {one.ways: one.bare_wire for one in BUNDLED.connectors}.items()


def test_every_cap_that_a_channel_names_is_bundled():
    for channel in BUNDLED.channels:
        assert find_part(BUNDLED.caps, channel.cap), channel.id


def test_every_strip_lies_in_some_channel_that_carries_off_its_heat():
    for strip in BUNDLED.strips:
        assert any(
            strip.width <= channel.floor and strip.watts_per_metre <= channel.watts_limit_per_metre
            for channel in BUNDLED.channels
        ), strip.id


@pytest.mark.parametrize(
    ("kind", "field", "table"),
    [each for each in PART_FIELDS if not MODELS[each[0]].model_fields[each[1]].is_required()],
)
def test_the_part_a_new_thing_starts_with_is_bundled(kind, field, table):
    default = MODELS[kind].model_fields[field].default
    assert default is None or find_part(getattr(BUNDLED, table), default)


def test_the_file_holds_nothing_but_the_parts():
    assert Catalogue.model_validate(tomllib.loads(TEXT, parse_float=Decimal)) == BUNDLED


# --- What a part must say -------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("table", "changes"),
    [
        ("strips", {"led_volts": None}),
        ("strips", {"led_volts": 24}),
        ("strips", {"kind": "current-regulated"}),
        ("strips", {"kind": "current-regulated", "dropout_volts": Decimal("24.1")}),
        ("strips", {"cut_unit": 0}),
        ("strips", {"channels": 2, "warm_kelvin": 2700}),
        ("strips", {"channels": 1, "warm_kelvin": 2700, "cool_kelvin": 5000}),
        ("strips", {"channels": 2, "kelvin": 2700, "warm_kelvin": 2700, "cool_kelvin": 5000}),
        ("strips", {"kind": "constant"}),
        ("channels", {"throws": []}),
        ("channels", {"throws": [91]}),
        ("channels", {"stock": []}),
        ("channels", {"stock": [0]}),
        ("supplies", {"terminals": 0}),
        ("supplies", {"watts": 0}),
        ("connectors", {"ways": 1}),
        ("cables", {"mm2": None}),
        ("cables", {"conductor_class": None}),
        ("cables", {"awg": 18}),
        ("cables", {"awg": 18, "conductor_class": None}),
        ("cables", {"mm2": None, "conductor_class": None}),
        ("cables", {"mm2": Decimal("0.6")}),
        ("cables", {"conductor_class": 3}),
        ("caps", {"thickness": -1}),
        ("diffusers", {"transmission_percent": 101}),
        ("diffusers", {"price": -5}),
        ("diffusers", {"prise": 5}),
        ("diffusers", {"expansion": -1}),
        ("channels", {"expansion": 301}),
        ("channels", {"kilograms_per_metre": 0}),
        ("strips", {"ip": 70}),
        ("strips", {"factory_joint_every": 0}),
        ("cables", {"outside": -1}),
    ],
    ids=str,
)
def test_a_part_that_makes_no_sense_is_refused(table, changes):
    assert refusal(table, **changes)


@pytest.mark.parametrize("table", TABLES)
def test_an_id_stands_once_within_a_kind(table):
    with pytest.raises(ValidationError):
        catalogue(**{table: [part(table, "mine"), part(table, "mine")]})


# --- One catalogue over another -------------------------------------------------------------------


@pytest.mark.parametrize("table", TABLES)
def test_ones_own_part_replaces_in_place_and_a_new_one_follows(table):
    first, second = (part(table, own) for own in ("first", "second"))
    mine = part(table, "first", name="Mine")
    new = part(table, "new")
    merged = overlay(catalogue(**{table: [first, second]}), catalogue(**{table: [new, mine]}))
    assert [(one.id, one.name) for one in getattr(merged, table)] == [
        ("first", "Mine"),
        ("second", second["name"]),
        ("new", new["name"]),
    ]
    assert all(not getattr(merged, other) for other in TABLES if other != table)


def test_laying_nothing_over_changes_nothing():
    assert overlay(BUNDLED, Catalogue()) == BUNDLED
    assert overlay(Catalogue(), BUNDLED) == BUNDLED
    assert overlay(BUNDLED, BUNDLED) == BUNDLED


def test_a_jobs_own_part_wins_over_the_one_that_it_is_planned_with():
    own = {"strips": [part("strips", "white-24-10", cut_unit=100)]}
    (bar,) = plan_job(one_bar(parts=own)).bars
    assert bar.lit.value == 800


def test_a_plan_may_be_made_with_another_catalogue_altogether():
    tables = {table: [part(table, "mine")] for table in PARTS}
    tables["caps"].append(part("caps", "cap-17"))
    tables["supplies"] = [part("supplies", "mine", limited="class 2", selv=True)]
    job = one_bar(R1={"channel": "mine", "strip": "mine", "diffuser": "mine"},
                  S1={"part": "mine"}, L1={"cable": "mine"})  # fmt: skip
    plan = plan_job(job, catalogue(**tables))
    assert plan.findings == ()
    assert plan.circuits.legs[0].drop is not None
    assert {one.code for one in plan_job(job).findings} >= {"part-unknown"}


def test_a_job_may_bring_as_many_parts_as_its_file_may_hold():
    many = [part("caps", f"c{number}") for number in range(2000)]
    assert len(plan_job(one_bar(parts={"caps": many})).parts.caps) > 2000


def test_no_part_has_no_id():
    assert find_part(BUNDLED.strips, None) is None
    assert find_part(BUNDLED.strips, "no-such-strip") is None

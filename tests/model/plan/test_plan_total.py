"""The plan is total and pure, and every figure in it is sound: number, unit, formula, inputs."""

import sys
from collections.abc import Iterator
from decimal import Decimal
from math import isfinite
from typing import Any

import pytest
from draws import quick
from hypothesis import given
from jobs import QUICK, any_job, built, one_bar, part, row

from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.worst import STATES
from pelmet.model.plan.figure import Figure, read_off
from pelmet.model.plan.figure import given as given_figure
from pelmet.model.plan.formulas import FORMULAS
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job


def all_figures(plan: Plan) -> Iterator[Figure]:
    """Give every figure of a plan once, with all that went into it."""
    seen: set[int] = set()
    for whole in plan.figures():
        for figure in whole.walk():
            if id(figure) not in seen:
                seen.add(id(figure))
                yield figure


def unsound(figure: Figure) -> Iterator[str]:
    """Say what is wrong with a figure, if anything is."""
    if isinstance(figure.value, bool) or not isinstance(figure.value, Decimal | float | int):
        yield f"{figure.name} is {figure.value!r}, no number"
    elif not isfinite(figure.value):
        yield f"{figure.name} is {figure.value}"
    if figure.formula_id not in FORMULAS:
        yield f"{figure.name} has no formula {figure.formula_id}"
    if figure.inputs and figure.assumed != any(one.assumed for one in figure.inputs):
        yield f"{figure.name} is not assumed as its inputs are"
    if not (figure.name.isascii() and figure.name.isprintable() and figure.about.isascii()):
        yield f"{figure.name} about {figure.about} is not plain"
    try:
        assert figure.quantity.magnitude == float(figure.value)
    except ValueError as error:
        yield f"{figure.name}: {error}"


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_has_a_plan_and_all_its_figures_are_sound(job):
    assert {fault for one in all_figures(plan_job(job)) for fault in unsound(one)} == set()


EXTREMES = {
    "nothing": Job(),
    "only a run over nothing known": one_bar(
        R1={"channel": "no", "strip": "no", "diffuser": "no"}, S1={"part": "no"}, L1={"cable": "no"}
    ),
    "a channel not known, a cap said": one_bar(
        R1={"channel": "no"}, allowances={"cap_thickness": 2}
    ),
    "a bar of many thousand units": one_bar(
        R1={"strip": "tiny"},
        parts={"strips": [part("strips", "tiny", cut_unit=Decimal("0.000001"))]},
    ),
    "a bar of many thousand units of constant power, fed in the middle": one_bar(
        R1={"strip": "tiny", "feed_end": "middle"},
        parts={"strips": [part("strips", "tiny", kind="constant power", led_volts=None,
                               dropout_volts=10, cut_unit=Decimal("0.000001"))]},
    ),
    "rails without ohms": one_bar(
        R1={"strip": "ideal"}, parts={"strips": [part("strips", "ideal", ohms_per_metre=0)]}
    ),
    "a wall of bars chained on one thin lead": row(
        *[600] * 5, L1={"length": 200_000}, R1={"pieces": 6}, allowances={"drop_stop": 100}
    ),
    "regulated, far past its drop-out": row(
        *[1000] * 8,
        L1={"length": 200_000},
        R1={"strip": "greedy"},
        parts={
            "strips": [
                part("strips", "greedy", kind="current-regulated", led_volts=None,
                     dropout_volts=23, watts_per_metre=100, ohms_per_metre=10)
            ]
        },
    ),
    "a channel on a shelf's front edge": one_bar(
        A1={"kind": "shelf", "height": 25}, R1={"line": "edge"}
    ),
    "a lever connector of five ways": one_bar(
        parts={"connectors": [part("connectors", "lever-2", ways=5)]}
    ),
    "readings wider than their cabinets": row(
        600, 600, underside="flush", A1={"opening": [20_000]}, A2={"opening": [20_000]}
    ),
    "a joined opening of less than nothing": row(
        1000, 1, underside="flush", A1={"opening": [1]}, A2={"at": 500, "opening": [1]},
        allowances={"flush_gap": 1000},
    ),
}  # fmt: skip


@pytest.mark.parametrize("job", EXTREMES.values(), ids=EXTREMES)
def test_an_extreme_job_has_a_sound_plan(job):
    plan = plan_job(job)
    assert {fault for one in all_figures(plan) for fault in unsound(one)} == set()
    for bar in plan.bars:
        assert 0 < bar.lit.value <= bar.length.value


@pytest.mark.parametrize("pieces", [1, 6])
def test_the_longest_chain_of_bars_a_job_may_hold_is_planned_and_explained(pieces):
    # Sixty cabinets of 800 on a wall of 50 m: figures name the figures before them, bar by bar.
    cabinets = [
        {"id": f"A{number}", "wall": "A", "at": 800 * number, "width": 800, "depth": 320,
         "bottom_height": 1400, "underside": "framed"}
        for number in range(60)
    ]  # fmt: skip
    job = built(
        {
            "rooms": [{"id": "K", "name": "Invented room"}],
            "walls": [{"id": "A", "room": "K", "length": 50_000}],
            "cabinets": cabinets,
            "runs": [{"id": "R1", "cabinets": [one["id"] for one in cabinets], "leg": "L1",
                      "pieces": pieces}],
            "supplies": [{"id": "S1", "cabinet": "A0"}],
            "legs": [{"id": "L1", "supply": "S1"}],
        }
    )  # fmt: skip
    plan = plan_job(job)
    assert len(plan.bars) == 60 * pieces
    (leg,) = plan.circuits.legs
    assert leg.worst is not None
    walked = sum(one.formula_id == "lead ohms" for one in leg.worst.walk())
    assert walked == 60 * pieces * len(STATES)


def test_a_figure_at_the_end_of_a_very_long_chain_is_walked_in_order():
    # A run past a thousand pipes has a thousand bars, each with volts that stand on the last.
    figure = given_figure("volts", 24, "V", "part")
    for step in range(5000):
        figure = read_off(
            "volts", step, "V", "drop", "", figure, given_figure("lead", 1, "mm", "reading")
        )
    walked = [one.value for one in figure.walk()]
    assert walked[:3] == [4999, 4998, 4997]
    assert len(walked) == 2 * 5000 + 1


# --- Pure: nothing remembered, nothing changed --------------------------------------------------


def forget() -> None:
    """Empty every cache of the plan's stages."""
    for name, module in list(sys.modules.items()):
        if name.startswith("pelmet.model.plan"):
            for thing in vars(module).values():
                if callable(getattr(thing, "cache_clear", None)) and not isinstance(thing, type):
                    thing.cache_clear()


def told(plan: Plan) -> tuple[Any, ...]:
    """Give all that a plan says; bars, mounts and the like are told by what is in them."""
    bars = [
        (bar.id, bar.left, bar.right, bar.lit_left, bar.lit_right, bar.splices) for bar in plan.bars
    ]
    bench = [
        (one.bar.id, one.way, one.swings, one.fixings, one.diffuser_joints, one.reel, one.off_marks)
        for one in plan.bench
    ]
    stages = (
        plan.routes,
        plan.holes,
        plan.circuits,
        plan.lights,
        plan.sights,
        plan.needs,
    )
    return (plan.findings, stages, bars, bench, [*plan.figures()])


@pytest.mark.property
@quick(30)
@given(any_job(), any_job())
def test_a_plan_depends_on_its_job_alone(job, other):
    before = job.model_dump_json()
    forget()
    fresh = told(plan_job(job))
    plan_job(other)
    assert told(plan_job(job)) == fresh
    assert job.model_dump_json() == before
    forget()
    assert told(plan_job(job)) == fresh


CHANGES: tuple[dict[str, Any], ...] = (
    {"A1": {"opening": [800]}}, {"A1": {"depth": 300}}, {"A1": {"bottom_height": 1300}},
    {"A1": {"assumed": ["opening"]}}, {"A1": {"lip": 0}}, {"A1": {"at": 600}},
    {"A1": {"mouth": 500}}, {"A1": {"back_set_in": 20}}, {"A1": {"bottom_panel": 25}},
    {"A1": {"kind": "shelf"}}, {"A1": {"filler_left": 10}},
    {"K": {"worktop_finish": "polished"}}, {"K": {"worktop_height": 950}},
    {"K": {"worktop_depth": 700}}, {"A": {"length": 1200}},
    {"R1": {"feed_end": "right"}}, {"R1": {"dark_rest": "shared"}}, {"R1": {"line": "back"}},
    {"R1": {"facing": "45 to wall"}}, {"R1": {"channel": "slim-12"}}, {"R1": {"pieces": 2}},
    {"R1": {"diffuser": "clear-17"}}, {"R1": {"strip": "fine-24-10"}}, {"R1": {"leg": None}},
    {"S1": {"part": "supply-24-30"}}, {"S1": {"place": "in plinth"}}, {"L1": {"length": 9000}},
    {"L1": {"cable": "pair-20"}}, {"L1": {"dimmer": "dimmer-5"}}, {"L1": {"avoid": ["A1"]}},
    {"R1": {"fixing": "groove"}}, {"R1": {"fixing": "tape"}},
    {"add": {"obstacles": [{"id": "O1", "wall": "A", "kind": "pipe", "at": 900, "width": 9}]}},
    *({"allowances": {name: value}} for name, value in (
        ("end_clearance", 3), ("cap_thickness", 3), ("start_zone", 30), ("end_zone", 30),
        ("front_set_back", 50), ("termination_slack", 100), ("supply_load", 10),
        ("drop_warn", 0), ("conductor_temperature", 70), ("worktop_lux", 400),
        ("longest_bar", 100), ("van_longest", 500), ("hole_from_back", 50), ("hole_edge", 40),
        ("hole_from_side", 50), ("cable_spare", 30), ("cable_step", 700), ("hottest_celsius", 30),
        ("clip_spacing", 200), ("screw_length", 9))),
    {"parts": {"strips": [part("strips", "white-24-10")]}},
    {"parts": {"channels": [part("channels", "surface-17")]}},
    {"parts": {"supplies": [part("supplies", "supply-24-60", watts=100)]}},
    {"parts": {"caps": [part("caps", "cap-17", thickness=3)]}},
    {"parts": {"diffusers": [part("diffusers", "opal-17", transmission_percent=60)]}},
    {"parts": {"cables": [part("cables", "flat-2x0.75", mm2=1)]}},
    {"parts": {"cables": [part("cables", "flat-2x0.75", outside=9)]}},
)  # fmt: skip


@pytest.mark.parametrize("change", CHANGES, ids=str)
def test_what_is_remembered_of_one_job_does_not_show_in_the_next(change):
    job = one_bar(**change)
    forget()
    fresh = told(plan_job(job))
    forget()
    before = told(plan_job(one_bar()))
    after = told(plan_job(job))
    assert after == fresh
    assert after != before, "this change moves nothing"

"""The plan is total and pure, and every figure in it is sound: number, unit, formula, inputs."""

import sys
from collections.abc import Callable, Iterator
from decimal import Decimal
from math import asin, atan, ceil, degrees, floor, hypot, isfinite, log, prod, radians, sin, tan
from typing import Any

import pytest
from hypothesis import given, settings
from jobs import QUICK, any_job, built, many_bars, one_bar, part, row
from scipy.optimize import minimize_scalar

from pelmet.model.job.job import Job, Site
from pelmet.model.plan.figure import Figure, derived
from pelmet.model.plan.figure import given as given_figure
from pelmet.model.plan.formulas import FORMULAS
from pelmet.model.plan.protection import STANDARD_FUSES
from pelmet.model.plan.stages import Plan, plan_job


def all_figures(plan: Plan) -> Iterator[Figure]:
    """Give every figure of a plan once, with all that went into it."""
    seen: set[int] = set()
    for whole in plan.worked.figures():
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
    for bar in plan.worked.bars:
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
    assert len(plan.worked.bars) == 60 * pieces
    (leg,) = plan.worked.circuits.legs
    assert leg.worst is not None
    assert sum(one.formula_id == "lead ohms" for one in leg.worst.walk()) == 60 * pieces


def test_a_figure_at_the_end_of_a_very_long_chain_is_walked_in_order():
    # A run past a thousand pipes has a thousand bars, each with volts that stand on the last.
    figure = given_figure("volts", 24, "V", "part")
    for step in range(5000):
        figure = derived(
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
                if callable(getattr(thing, "cache_clear", None)):
                    thing.cache_clear()


def told(plan: Plan) -> tuple[Any, ...]:
    """Give all that a plan says; bars, mounts and the like are told by what is in them."""
    worked = plan.worked
    bars = [
        (bar.id, bar.left, bar.right, bar.lit_left, bar.lit_right, bar.splices)
        for bar in worked.bars
    ]
    bench = [
        (one.bar.id, one.way, one.swings, one.fixings, one.diffuser_joints, one.reel, one.off_marks)
        for one in worked.bench
    ]
    stages = (
        worked.routes,
        worked.holes,
        worked.circuits,
        worked.lights,
        worked.seen,
        worked.needs,
    )
    return (plan.findings, stages, bars, bench, [*worked.figures()])


@pytest.mark.property
@settings(QUICK, max_examples=30)
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


# --- Every formula is used, and every figure follows from its inputs ------------------------------


def showcase() -> Iterator[Job]:
    """Give jobs that between them need every formula."""
    yield many_bars(1, 4)
    stile = {"id": "O1", "wall": "A", "kind": "stile", "at": 900, "width": 20, "crossing": "over"}
    yield one_bar(add={"obstacles": [stile]}, R1={"pieces": 2, "line": "back"},
                  L1={"cable": "pair-18", "dimmer": "dimmer-5"})  # fmt: skip
    yield row(600, 600, underside="flush", R1={"line": "middle", "strip": "even-24-10"})
    yield row(600, 600, A1={"assumed": ["width"]}, A2={"bottom_height": 1450})
    yield one_bar(A1={"opening": ()}, R1={"fixing": "groove"}, allowances={"cap_thickness": 1})
    yield one_bar(A1={"kind": "shelf", "height": 25}, R1={"line": "edge", "fixing": "tape"})
    yield one_bar(A1={"kind": "upright", "width": 25, "opening": ()})
    yield row(2000, 3500, underside="flush")  # too long for one bar, and so is its last cabinet
    # Two cables through one hole.
    second = {"id": "R2", "cabinets": ["A2"], "leg": "L1"}
    yield row(600, 600, R1={"cabinets": ["A1"], "feed_end": "right"}, add={"runs": [second]},
              L1={"wiring": "home run"})  # fmt: skip
    corner = {
        "walls": [{"id": "B", "room": "K", "length": 2600}],
        "cabinets": [{"id": "B1", "wall": "B", "at": 320, "width": 600, "depth": 320,
                      "bottom_height": 1400}],
    }  # fmt: skip
    for meeting in ("first passes", "mitre"):
        run = {"cabinets": ["A1", "B1"], "corner": meeting}
        yield one_bar(A1={"at": 2117}, R1=run, add=corner)

    # A supply that nothing limits, and a gauge that a region lists.
    bold = one_bar(L1={"cable": "pair-18"}, S1={"part": "bold"},
                   parts={"supplies": [part("supplies", "bold", limited="no")]})  # fmt: skip
    yield bold.model_copy(update={"site": Site(region="us")})
    # A supply whose part says nothing of its mains side, and one that is counted on a breaker.
    plain = {"supplies": [part("supplies", "plain", watts=40)]}
    yield one_bar(S1={"part": "plain"}, parts=plain)
    # A cable that goes on from the run it comes to.
    yield row(600, 600, R1={"cabinets": ["A1"]}, add={"runs": [second]},
              L1={"wiring": "chained"})  # fmt: skip
    # Two legs that feed one run, and converters that are solved unit by unit.
    yield one_bar(R1={"feed_end": "both", "far_leg": "L2"},
                  add={"legs": [{"id": "L2", "supply": "S1"}]})  # fmt: skip
    yield one_bar(R1={"strip": "boost-24-10"})
    yield one_bar(S1={"breaker": "B16"}, allowances={"price_per_kwh": Decimal("0.3"),
                                                     "supply_celsius": 60})  # fmt: skip

    # An open side that people look in from, and a cover that spreads nothing.
    yield one_bar(add={"obstacles": [{"id": "O1", "wall": "A", "kind": "open side", "at": 3000,
                                      "width": 0}]}, K={"worktop_finish": "polished"},
                  R1={"diffuser": "clear-17"})  # fmt: skip


def test_every_formula_is_used_by_some_figure():
    used = {one.formula_id for job in showcase() for one in all_figures(plan_job(job))}
    assert FORMULAS.keys() - used == set()


def dots_one_by_one(pitch: float, distance: float) -> float:
    """Give how uneven a row of LEDs is, summed LED by LED over and between two of them [%]."""
    if pitch == 0 or distance == 0:
        return 100.0 if pitch else 0.0
    over, between = (
        sum((distance**2 + ((led + at) * pitch) ** 2) ** -2.0 for led in range(-400, 401))
        for at in (0, 0.5)
    )
    return 100 * (over - between) / (over + between)


def shortest_over_top(
    out: float, high: float, top: float, depth: float, eye: float, away: float
) -> tuple[float, float]:
    """Give where the shortest way from strip over top to eye touches it [mm], and its angle."""
    across, up, eye_up = depth + away - out, high - top, eye - top
    ends = sorted((0.0, across))
    found = minimize_scalar(
        lambda x: hypot(x, up) + hypot(across - x, eye_up), ends, options={"xtol": 1e-12}
    ).x
    return out + found, degrees(atan(abs(found) / up))


def reflected(angle: float) -> float:
    """Give what a surface of index 1.5 reflects, by sine and tangent of angle and refraction."""
    into = radians(angle)
    inside = asin(sin(into) / 1.5)
    square = (sin(into - inside) / sin(into + inside)) ** 2
    return (square + (tan(into - inside) / tan(into + inside)) ** 2) / 2


BITS = (6, 7, 8, 10, 12, 14, 16, 18, 20, 22, 25, 28, 30, 35, 40)
RULES: dict[str, Callable[..., float]] = {
    "least reading": lambda *readings: min(readings),
    "unmeasured flush": lambda width, *fillers: width + sum(fillers),
    "unmeasured framed": lambda width, panel: width - 2 * panel,
    "unmeasured upright": lambda height: height,
    "longest opening": lambda longest, *ends: longest + 2 * sum(ends),
    "mitre": lambda corner: abs(90 - corner / 2),
    "shared opening": lambda clear, count: floor(10 * clear / count) / 10,
    "bar": lambda opening, clearance, cap: opening - 2 * clearance - 2 * cap,
    "units": lambda bar, start, end, unit: floor((bar - start - end) / unit + 1e-9),
    "lit": lambda units, unit: units * unit,
    "dark": lambda bar, lit: bar - lit,
    "rest": lambda bar, start, end, lit: bar - start - end - lit,
    "band": lambda *parts: sum(parts),
    "lit share": lambda lit, bar: 100 * lit / bar,
    "from wall front": lambda depth, back, face: depth - back - face / 2,
    "from wall middle": lambda depth: depth / 2,
    "from wall back": lambda back, face: back + face / 2,
    "from wall edge": lambda depth, face: depth + face / 2,
    "light height": lambda bottom, depth: bottom - depth,
    "groove height": lambda bottom: bottom,
    "cable": lambda *of: of[-1] * ceil((sum(of[:-3]) + 2 * of[-3]) * (1 + of[-2] / 100) / of[-1]),
    "hole": lambda cable: next(bit for bit in BITS if bit >= max(cable + 2, 1.3 * cable)),
    "hole for several": lambda *cables: next(
        bit for bit in BITS if 0.45 * bit**2 >= sum(cable**2 for cable in cables)
    ),
    "grommet": lambda hole: hole - 2,
    "weight": lambda bar, per_metre: bar / 1000 * per_metre,
    "people": lambda bar, two_over: 1 + (bar > two_over),
    "bar with caps": lambda *of: max(of[:-2]) + of[-2] * of[-1],
    "tilt room": lambda length, depth: hypot(length, depth) - length,
    "growth": lambda bar, per_kelvin, cut, hottest: bar * per_kelvin * (hottest - cut),
    "clearance needed": lambda growth: growth / 2,
    "diffuser cut": lambda bar, channel, diffuser, cut, hottest: (
        floor(2 * bar * (1 + channel * (hottest - cut)) / (1 + diffuser * (hottest - cut))) / 2
    ),
    "diffuser gap": lambda bar, diffuser, channel_k, diffuser_k, cut, coldest: (
        bar * (1 - channel_k * (cut - coldest)) - diffuser * (1 - diffuser_k * (cut - coldest))
    ),
    "screw left": lambda panel, screw, base: panel - (screw - base),
    "groove left": lambda panel, depth: panel - depth,
    "tape needed": lambda for_one, weight: for_one * weight,
    "tape area": lambda bar, face, share: bar / 10 * face / 10 * share / 100,
    "bar watts": lambda per_metre, lit: per_metre * lit / 1000,
    "sum": lambda *parts: sum(parts),
    "lead ohms": lambda share, length, core, *joints: (
        share
        * (
            length / 1000 * core
            + sum(n * each / 1000 for n, each in zip(joints[::2], joints[1::2], strict=True))
        )
    ),
    "fed by two": lambda whole: whole / 2,
    "cable volts": lambda near, amps, ohms: near - amps * ohms,
    "cable lost": lambda amps, ohms: amps**2 * ohms,
    "joint ohms": lambda share, contact=0: share * contact / 1000,
    "drop": lambda supply, end: 100 * (supply - end) / supply,
    "derated": lambda rating, air, full_to, per_kelvin, highest: (
        rating * max(1 - per_kelvin * max(air - full_to, 0), 0) * (air <= highest)
    ),
    "usable": lambda derated, share: derated * share / 100,
    "left": lambda usable, load: usable - load,
    "drawn": lambda volts, amps: volts * amps,
    "supply load": lambda rated, drawn: max(rated, drawn),
    "output amps": lambda load, volts: load / volts,
    "terminals left": lambda terminals, legs: terminals - legs,
    "least efficiency": lambda rating: 100 * (0.071 * log(rating) - 0.0014 * rating + 0.67),
    "input": lambda load, efficiency: load / efficiency * 100,
    "mains amps": lambda taken, factor, volts: taken / factor / volts,
    "circuit amps": lambda breaker, share: breaker * share / 100,
    "by amps": lambda may, amps: floor(may / amps),
    "by inrush": lambda most, share: floor(most * share / 100),
    "least count": lambda *counts: min(counts),
    "energy": lambda taken, hours, days, standby: (
        (taken * hours * days + standby * (8760 - hours * days)) / 1000
    ),
    "cost": lambda energy, price: round(energy * price, 2),
    "channel amps": lambda amps, channels: amps / channels,
    "full load amps": lambda watts, volts: watts / volts,
    "ampacity": lambda *amps: min(amps),
    "largest fuse": lambda *amps: min(amps),
    "fuse needed": lambda amps, share, largest: next(
        fuse for fuse in STANDARD_FUSES if 100 * amps / share <= fuse <= largest
    ),
    "bar lumens": lambda strip, through, warm, kept, *volts: (
        strip * through * warm * kept / 100**3 * prod(share / 100 for share in volts)
    ),
    "evenness": lambda least, average: least / average,
    "depth to diffuser": lambda depth: max(depth - 3, 0),
    "dots": lambda pitch, distance: dots_one_by_one(pitch, distance),
    # As the shortest way from strip over top to eye.
    "mirror image": lambda *of: shortest_over_top(*of)[0],
    "mirror angle": lambda *of: shortest_over_top(*of)[1],
    "image contrast": lambda lumens, width, angle, lux, percent, share: min(
        share / 100 * reflected(angle) * (lumens / (width / 1000)) / (percent / 100 * lux), 1000
    ),
    "hiding lip": lambda out, face, high, front, under, eye, away: max(
        under - high + (high - eye) * (front - out + face / 2) / (away + face / 2), 0
    ),
}


@pytest.mark.cross_check
def test_a_shown_figure_follows_from_the_figures_shown_below_it():
    seen = set()
    for job in showcase():
        for one in all_figures(plan_job(job)):
            if one.inputs and one.formula_id in RULES:
                values = [float(below.value) for below in one.inputs]
                again = RULES[one.formula_id](*values)
                assert float(one.value) == pytest.approx(again), one.name
                seen.add(one.formula_id)
    assert seen == RULES.keys()


def test_said_figures_stand_on_nothing_and_derived_ones_on_something():
    said = {"reading", "assumed", "choice", "allowance", "part", "walls", "between bars"}
    said |= {"two ends", "two a joint", "hole place", "cord amps", "overcurrent"}
    said |= {"rule", "finish share", "breaker share", "out and back"}
    for job in showcase():
        for one in all_figures(plan_job(job)):
            assert bool(one.inputs) != (one.formula_id in said), one


def test_the_plan_counts_its_findings_by_level():
    plan = plan_job(one_bar(R1={"leg": None, "channel": "corner-18", "facing": "30 to wall"}))
    told = [finding.level for finding in plan.findings]
    assert set(told) >= {"stop", "ask"}
    for level in ("stop", "warn", "ask"):
        assert plan.count(level) == told.count(level)

"""Every formula is used by some figure, and every figure follows from those shown below it."""

from collections.abc import Callable, Iterator
from decimal import Decimal
from math import asin, atan, ceil, degrees, floor, hypot, log, prod, radians, sin, tan

import pytest
from jobs import many_bars, one_bar, part, row
from scipy.optimize import minimize_scalar
from test_plan_total import all_figures

from pelmet.model.job.job import Job, Site
from pelmet.model.plan.circuit.protection import STANDARD_FUSES
from pelmet.model.plan.formulas import FORMULAS
from pelmet.model.plan.stages import plan_job

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

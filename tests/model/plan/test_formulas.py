"""Every formula is one function that some figure is made by, and its text says what it does."""

import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from inspect import signature
from itertools import product
from math import asin, atan, ceil, degrees, floor, hypot, log, prod, radians, sin, tan
from typing import Any, get_args

import pytest
from draws import quick
from hypothesis import given
from jobs import any_job, many_bars, one_bar, part, row, survey
from scipy.optimize import minimize_scalar
from test_plan_total import all_figures

from pelmet.model.job.job import Job, Site
from pelmet.model.plan.circuit.protection import STANDARD_FUSES
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.formulas import FORMULAS, ROW_OF
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.survey.openings import EdgeKind
from pelmet.model.plan.ways.bores import BITS, INCH_BITS

# --- Every formula is a function, and every figure what it gives ----------------------------------

FUNCTIONS = {formula_id: function for function, formula_id in ROW_OF.items()}

# Figures that are said, or counted where they stand.
SAID = {"reading", "assumed", "choice", "allowance", "part", "rule", "breaker share", "walls",
        "between bars", "hole place", "cord amps", "overcurrent", "two ends", "two a joint",
        "finish share", "out and back", "bar foot", "lit end", "built"}  # fmt: skip

# Figures that no one formula gives: they are read off what was worked out as a whole.
PLACES = "the width between two places along the wall"
NETWORK = "read off the solution of the leg's network"
READ_OFF = {
    "joined opening": PLACES,
    "cut opening": PLACES,
    "split opening": PLACES,
    "corner opening": PLACES,
    "corner band": PLACES,
    "volts linear": NETWORK,
    "volts regulated": NETWORK,
    "volts by units": NETWORK,
    "cable amps": NETWORK,
    "cable volts": NETWORK,
    "rails lost": NETWORK,
    "mean light": NETWORK,
    "grommet hole": "said of the grommet that passes the cables",
    "light share": "by the law of its strip, which is no number",
    "lux": "one of the points of a grid",
    "average lux": "of all the points of a grid",
}
# What else a formula is told: which case of it a figure is. The figure must be one of them.
EITHER_END = [{"side": side} for side in (-1, 1)]
CASES: dict[str, list[dict[str, Any]]] = {
    "bar at a corner": [{"ends": ends} for ends in product(get_args(EdgeKind), repeat=2)],
    "dark end": [{"fed": fed} for fed in (True, False)],
    "mitred edge": [
        {"longer": longer} for many in (1, 2) for longer in product((True, False), repeat=many)
    ],
    "hole": [{"bits": bits} for bits in (BITS, INCH_BITS)],
    "hole for several": [{"bits": bits} for bits in (BITS, INCH_BITS)],
    "copper": [{"kind": kind} for kind in ("solid", "stranded", 1, 2, 5)],
    "volts band": EITHER_END,
    "amps band": EITHER_END,
}


def replayed(figure: Figure) -> Iterator[Any]:
    """Give what a figure's formula makes of the figures shown below it, in every case of it."""
    function = FUNCTIONS[figure.formula_id]
    takes = [
        each.annotation
        for each in signature(function, eval_str=True).parameters.values()
        if each.kind is not each.KEYWORD_ONLY
    ]
    values = [one.value for one in figure.inputs]
    if all(each is float for each in takes):
        values = [float(value) for value in values]
    for how in CASES.get(figure.formula_id, [{}]):
        try:
            yield function(*values, **how)
        except ValueError:  # no mitre has three ends, and not every size is of every class
            assert how


def is_same(again: Any, value: Any) -> bool:
    """Say if it is the very value: of the same kind, floats to their last digits."""
    if isinstance(value, float):
        return isinstance(again, float) and again == pytest.approx(value, rel=1e-12, abs=0)
    return again == value


def not_replayed(job: Job) -> set[Figure]:
    return {
        one
        for one in all_figures(plan_job(job))
        if one.formula_id in FUNCTIONS
        and not any(is_same(again, one.value) for again in replayed(one))
    }


@pytest.mark.property
@quick(30)
@given(survey() | any_job())
def test_a_figure_is_what_its_formula_gives_of_the_figures_shown_below_it(job):
    assert not_replayed(job) == set()


def test_every_row_of_the_table_is_said_read_off_or_worked_out_by_a_function_of_its_own():
    assert len(FUNCTIONS) == len(ROW_OF)
    assert sorted([*SAID, *READ_OFF, *FUNCTIONS]) == sorted(FORMULAS)
    assert CASES.keys() <= FUNCTIONS.keys()


def showcase() -> Iterator[Job]:
    """Give jobs that between them need every formula."""
    yield many_bars(1, 4)
    # Cables that no grommet of the catalogue passes, one by itself and two in one hole.
    thick = part("cables", "thick", outside=15)
    narrow = [part("sundries", f"grommet-{wide}", serves="grommet", bore=1) for wide in (16, 20)]
    upper = {"id": "T1", "wall": "A", "at": 500, "width": 600, "depth": 320,
             "bottom_height": 2120, "height": 400}  # fmt: skip
    yield row(600, add={"cabinets": [upper]}, L1={"via": ["T1"], "cable": "thick"},
              parts={"cables": [thick], "sundries": narrow})  # fmt: skip
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

    # A bar that hangs.
    yield one_bar(add={"hung": [{"id": "hung1", "run": "R1", "bar": 1, "wall": "A", "at": 502,
                                 "length": 879, "lit": 850, "line": "front", "facing": "down",
                                 "feed_end": "left"}]})  # fmt: skip

    # An open side that people look in from, and a cover that spreads nothing.
    yield one_bar(add={"obstacles": [{"id": "O1", "wall": "A", "kind": "open side", "at": 3000,
                                      "width": 0}]}, K={"worktop_finish": "polished"},
                  R1={"diffuser": "clear-17"})  # fmt: skip
    yield one_bar(add={"obstacles": [
        {"id": f"O{row}", "wall": "A", "kind": "open side", "at": 3000, "width": 0, "looked_in": at}
        for row, at in enumerate(("end", "behind"))]})  # fmt: skip


def test_every_formula_is_used_by_some_figure_which_is_what_it_gives():
    used = {one.formula_id for job in showcase() for one in all_figures(plan_job(job))}
    assert FORMULAS.keys() - used == set()
    assert [one for job in showcase() for one in not_replayed(job)] == []


def test_said_figures_stand_on_nothing_and_derived_ones_on_something():
    for job in showcase():
        for one in all_figures(plan_job(job)):
            assert bool(one.inputs) != (one.formula_id in SAID), one


# --- The text of a formula is what is worked out --------------------------------------------------

# The words that a text has for the figures shown below it, in their order. What stands in brackets
# only keeps a bar under its cabinet, which the text leaves unsaid.
WORDS = {
    "unmeasured framed": "width, side panel",
    "longest opening": "longest bar, clearance, cap",
    "mitre": "corner",
    "bar": "opening, clearance, cap",
    "lit": "units, cut unit",
    "dark": "bar, lit",
    "rest": "bar, start, end, lit",
    "band": "dark at the end of one bar, dark at the start of the next, gap",
    "lit share": "lit, bar",
    "from wall front": "cabinet depth, set-back, face",
    "from wall middle": "cabinet depth, (face)",
    "from wall back": "set-back, face, (cabinet depth)",
    "from wall edge": "shelf depth, face",
    "light height": "bottom height, channel depth",
    "groove height": "bottom height",
    "grommet": "hole",
    "cable lost": "amps, ohms",
    "cable volts": "volts before it, amps, ohms",
    "drop": "supply volts, volts",
    "light lost": "brightest, faintest",
    "usable": "derated, supply load",
    "left": "usable, load",
    "drawn": "supply volts, leg amps",
    "terminals left": "terminals, cables",
    "mains amps": "input, power factor, mains volts",
    "circuit amps": "breaker, circuit share",
    "channel amps": "leg amps, channels",
    "full load amps": "rating, supply volts",
    "evenness": "least, average",
    "growth": "bar, expansion, cut at, hottest",
    "screw left": "panel, screw length, screw base",
    "groove left": "panel, channel depth",
    "tape needed": "tape for a kilogram, weight",
}


def reckoned(figure: Figure) -> float:
    """Work out the text of a figure's formula: what follows =, up to a remark."""
    text = FORMULAS[figure.formula_id].says.rpartition(" = ")[2]
    text = re.sub(r" \([0-9.]+ in\)", "", text)  # the same in inches
    text = re.split(r", |: | mm$| \((?!.* x )(?=[a-z, ]+\)$)", text)[0]
    words = dict(zip(WORDS[figure.formula_id].split(", "), figure.inputs, strict=True))
    for word in sorted((word for word in words if word[0] != "("), key=len, reverse=True):
        assert word in text, figure.formula_id
        text = re.sub(rf"(?<![a-z]){word}(?![a-z])", repr(float(words[word].value)), text)
    text = re.sub(r"\|(.*)\|", r"abs(\1)", text).replace(" x ", " * ").replace("^", "**")
    return float(eval(text, {"abs": abs}))


def dots_one_by_one(pitch: float, distance: float, spread: float) -> float:
    """Give how uneven a row of LEDs is, summed LED by LED over and between two of them [%].

    What a cover lets through without spreading it is seen as the LEDs themselves: all or nothing.
    """
    if pitch == 0 or distance == 0:
        return 100.0 if pitch else 0.0
    over, between = (
        sum((distance**2 + ((led + at) * pitch) ** 2) ** -2.0 for led in range(-400, 401))
        for at in (0, 0.5)
    )
    return spread * (over - between) / (over + between) + (100 - spread)


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


# What the other texts say, and the longer formulas in a second way.
RULES: dict[str, Callable[..., float]] = {
    "least reading": lambda *readings: min(readings),
    "unmeasured flush": lambda width, *fillers: width + sum(fillers),
    "unmeasured upright": lambda height: height,
    "shared opening": lambda clear, count: floor(10 * clear / count) / 10,
    "units": lambda bar, start, end, unit: floor((bar - start - end) / unit + 1e-9),
    "cable": lambda *of: of[-1] * ceil((sum(of[:-3]) + 2 * of[-3]) * (1 + of[-2] / 100) / of[-1]),
    "hole": lambda cable: next(
        bit for bit in map(float, BITS) if bit >= max(cable + 2, 1.3 * cable)
    ),
    "hole for several": lambda *cables: next(
        bit for bit in map(float, BITS) if 0.45 * bit**2 >= sum(cable**2 for cable in cables)
    ),
    "weight": lambda bar, per_metre: bar / 1000 * per_metre,
    "people": lambda bar, two_over: 1 + (bar > two_over),
    "bar with caps": lambda *of: max(of[:-2]) + of[-2] * of[-1],
    "tilt room": lambda length, depth: hypot(length, depth) - length,
    "clearance needed": lambda growth: growth / 2,
    "diffuser cut": lambda bar, channel, diffuser, cut, hottest: (
        floor(2 * bar * (1 + channel * (hottest - cut)) / (1 + diffuser * (hottest - cut))) / 2
    ),
    "diffuser gap": lambda bar, diffuser, channel_k, diffuser_k, cut, coldest: (
        bar * (1 - channel_k * (cut - coldest)) - diffuser * (1 - diffuser_k * (cut - coldest))
    ),
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
    "joint ohms": lambda share, contact=0: share * contact / 1000,
    "derated": lambda rating, air, full_to, per_kelvin, highest: (
        rating * max(1 - per_kelvin * max(air - full_to, 0), 0) * (air <= highest)
    ),
    "supply load": lambda rated, drawn: max(rated, drawn),
    "least load": lambda rated, drawn: min(rated, drawn),
    "most of states": lambda *each: max(each),
    "least of states": lambda *each: min(each),
    "least efficiency": lambda rating: 100 * (0.071 * log(rating) - 0.0014 * rating + 0.67),
    "input": lambda load, efficiency: load / efficiency * 100,
    "by amps": lambda may, amps: floor(may / amps),
    "by inrush": lambda most, share: floor(most * share / 100),
    "least count": lambda *counts: min(counts),
    "energy": lambda taken, hours, days, standby: (
        (taken * hours * days + standby * (8760 - hours * days)) / 1000
    ),
    "cost": lambda energy, price: round(energy * price, 2),
    "ampacity": lambda *amps: min(amps),
    "largest fuse": lambda *amps: min(amps),
    "fuse needed": lambda amps, share, largest: next(
        fuse for fuse in STANDARD_FUSES if 100 * amps / share <= fuse <= largest
    ),
    "bar lumens": lambda strip, through, warm, kept, *volts: (
        strip * through * warm * kept / 100**3 * prod(share / 100 for share in volts)
    ),
    "depth to diffuser": lambda depth: max(depth - 3, 0),
    "dots": dots_one_by_one,
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
def test_a_formula_gives_what_its_text_says_of_the_figures_shown_below_it():
    seen = set()
    for job in showcase():
        for one in all_figures(plan_job(job)):
            if one.formula_id in WORDS:
                again = reckoned(one)
            elif one.formula_id in RULES and one.inputs:
                again = RULES[one.formula_id](*(float(below.value) for below in one.inputs))
            else:
                continue
            assert float(one.value) == pytest.approx(again), one.name
            seen.add(one.formula_id)
    assert seen == {*WORDS, *RULES}


def test_the_plan_counts_its_findings_by_level():
    plan = plan_job(one_bar(R1={"leg": None, "channel": "corner-18", "facing": "30 to wall"}))
    told = [finding.level for finding in plan.findings]
    assert set(told) >= {"stop", "ask"}
    for level in ("stop", "warn", "ask"):
        assert plan.count(level) == told.count(level)

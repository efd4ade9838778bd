"""Light on the worktop: what the work asks for, then run by run its figures, map and curve."""

from collections.abc import Iterator, Sequence
from typing import Final

from pelmet.model.job.items import Room
from pelmet.model.measure.decimals import plain
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.light.wanted import light_wanted
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.charts.light_page import light_drawing
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Block, Grid, Picture, Points, Words
from pelmet.model.told.words import WIDTH

_HEAD: Final = ("run", "wall", "lux on average", "least", "wanted", "even", "so")
_FACTORS: Final = {
    "strip": "bare",
    "transmission": "through the diffuser",
    "kept when warm": "warm",
    "mean light": "at its volts",
    "kept up": "kept up",
}


def light_table(plan: Plan) -> Block:
    """Tell the light of every run on every worktop against what is wanted there."""
    rooms = {room.id: room for room in plan.job.rooms}
    if not plan.lights:
        return Words("No worktop is lit.")
    rows = tuple(_row(plan, light, rooms[light.room]) for light in plan.lights)
    return Grid(_HEAD, rows, frozenset({2, 3, 4, 5}), name="approval-light")


def _row(plan: Plan, light: RunLight, room: Room) -> tuple[str, ...]:
    wanted = light_wanted(room, plan.job.allowances)
    so = [
        "enough" if float(light.average.value) >= float(wanted.lux) else "less than wanted",
        *(() if float(light.evenness.value) >= float(wanted.evenness) else ("uneven",)),
        *(("assumed",) if light.average.assumed else ()),
    ]
    return (
        light.run,
        light.wall,
        f"{float(light.average.value):.0f}",
        f"{float(light.least.value):.0f}",
        plain(wanted.lux),
        f"{float(light.evenness.value):.2f}",
        ", ".join(so),
    )


def light_blocks(plan: Plan) -> Iterator[Block]:
    """Tell beside the table who asks for how much, where the least is and what it comes of."""
    yield light_table(plan)
    if not plan.lights:
        return
    lit = {light.room for light in plan.lights}
    yield Points(tuple(_asked(plan, room) for room in plan.job.rooms if room.id in lit))
    for light in plan.lights:
        yield Points((_least(plan, light), f"{light.run}: {_chain(plan, light)}"))
        at = f"{light.run} at wall {light.wall}, from above, and from the wall outwards"
        yield Picture(light_drawing(plan, light, WIDTH).rows, at)


def _asked(plan: Plan, room: Room) -> str:
    """Say what light the work in a room asks for, and who says so."""
    wanted = light_wanted(room, plan.job.allowances)
    return (
        f"{room.name}, {room.work}: {wanted.work}; average {plain(wanted.lux)} lx: "
        f"{wanted.source.title}; evenness, least of average, {plain(wanted.evenness)}: "
        f"{wanted.evenness_source.title}"
    )


def _least(plan: Plan, light: RunLight) -> str:
    site = plan.job.site
    along, out = (length_text(round(mm), site) for mm in (light.at, light.out))
    return (
        f"{light.run} at wall {light.wall}: least {float(light.least.value):.0f} lx, {light.why}: "
        f"{along} along wall {light.wall}, {out} out; most {float(light.most.value):.0f} lx"
    )


def _chain(plan: Plan, light: RunLight) -> str:
    """Tell the factors between a bare strip's lumens and those that are kept up."""
    own = {bar.id for bar in plan.bars if bar.run == light.run and bar.wall == light.wall}
    chains = [
        figure
        for figure in light.least.inputs
        if figure.formula_id == "bar lumens" and figure.about in own
    ]
    if not chains:
        return f"no bar of {light.run} lights it, those of other runs do"
    factors: dict[str, list[Figure]] = {name: [] for name in _FACTORS}
    for chain in chains:
        for factor in chain.inputs:
            factors[factor.name].append(factor)
    said = [
        f"{_spread(found)} {'lm/m ' if name == 'strip' else '% '}{_FACTORS[name]}"
        for name, found in factors.items()
        if found
    ]
    rated = "" if factors["mean light"] else ", at its rated volts"
    return f"{' x '.join(said)} = {_spread(chains)} lm/m{rated}"


def _spread(figures: Sequence[Figure]) -> str:
    """Print a value, or the least and the most of several bars."""
    ends = min(float(each.value) for each in figures), max(float(each.value) for each in figures)
    whole = figures[0].unit == "lm/m"
    first, last = (f"{end:.0f}" if whole else f"{end:.1f}".removesuffix(".0") for end in ends)
    return first if first == last else f"{first} to {last}"

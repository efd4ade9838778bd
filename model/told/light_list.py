"""The light on the sheet: what the work asks for, then run by run its figures, map and curve."""

from collections.abc import Iterator, Sequence
from typing import Final

from pelmet.model.job.items import Room
from pelmet.model.measure.decimals import plain
from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.light.wanted import light_wanted
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.charts.light_page import light_drawing
from pelmet.model.told.figures import millimetres
from pelmet.model.told.words import WIDTH, wrapped

_FACTORS: Final = {
    "strip": "bare",
    "transmission": "through the diffuser",
    "kept when warm": "warm",
    "mean light": "at its volts",
    "kept up": "kept up",
}


def light_list(plan: Plan) -> tuple[str, ...]:
    """Tell the light on every worktop, in lines of at most 78 columns."""
    if not plan.lights:
        return ("no light reckoned",)
    lit = {light.room for light in plan.lights}
    lines = [line for room in plan.job.rooms if room.id in lit for line in _asked(plan, room)]
    for light in plan.lights:
        lines += ["", *_said(plan, light), "", *light_drawing(plan, light, WIDTH).rows]
    return tuple(lines)


def _asked(plan: Plan, room: Room) -> Iterator[str]:
    """Say what light the work in a room asks for, and who says so."""
    wanted = light_wanted(room, plan.job.allowances)
    yield from wrapped(f"{room.name}, {room.work}: {wanted.work}", rest="  ")
    yield from wrapped(f"average {plain(wanted.lux)} lx: {wanted.source.title}", "  ", "    ")
    even = f"evenness {plain(wanted.evenness)}: {wanted.evenness_source.title}"
    yield from wrapped(even, "  ", "    ")


def _said(plan: Plan, light: RunLight) -> Iterator[str]:
    site = plan.job.site

    def length(mm: float) -> str:
        return print_length(millimetres(round(mm)), site.length_unit, site.inch_parts)

    room = next(room for room in plan.job.rooms if room.id == light.room)
    wanted = light_wanted(room, plan.job.allowances)
    average, even = float(light.average.value), float(light.evenness.value)
    enough = "enough" if average >= float(wanted.lux) else f"under {plain(wanted.lux)}"
    yield from wrapped(f"{light.run} at wall {light.wall}: average {average:.0f} lx, {enough}")
    yield from wrapped(
        f"least {float(light.least.value):.0f} lx, {light.why}: {length(light.at)} along wall "
        f"{light.wall}, {length(light.out)} out; most {float(light.most.value):.0f} lx",
        "  ",
        "    ",
    )
    fair = "enough" if even >= float(wanted.evenness) else f"under {plain(wanted.evenness)}"
    yield from wrapped(f"evenness, least of average: {even:.2f}, {fair}", "  ", "    ")
    yield from wrapped(_chain(plan, light), "  ", "    ")


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

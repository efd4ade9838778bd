"""Light on what is used: what the work asks for, then plane by plane its figures, map and curve."""

from collections.abc import Iterator, Sequence
from typing import Final

from pelmet.model.job.items import Room
from pelmet.model.job.region_words import RegionWords
from pelmet.model.measure.decimals import plain
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.light.planes import name_of
from pelmet.model.plan.light.wanted import judge_light, light_wanted, meter_lux
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.charts.light_page import light_drawing
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Block, Grid, Picture, Points, Words
from pelmet.model.told.words import WIDTH

_HEAD: Final = ("run", "wall", "on", "lux", "when new", "least", "wanted", "even", "so")
_ON: Final = _HEAD.index("on")
_FACTORS: Final = {
    "strip": "bare",
    "transmission": "through the diffuser",
    "kept when warm": "warm",
    "mean light": "at its volts",
    "kept up": "kept up",
}


def light_table(plan: Plan) -> Block:
    """Tell the light of every run, kept up and new, against what is wanted there."""
    rooms = {room.id: room for room in plan.job.rooms}
    if not plan.lights:
        return Words("Nothing that is used is lit.")
    rows = [_row(plan, light, rooms[light.room]) for light in plan.lights]
    if all(light.plane.use == "worktop" for light in plan.lights):
        head, *short = (row[:_ON] + row[_ON + 1 :] for row in (_HEAD, *rows))
        return Grid(head, tuple(short), frozenset({2, 3, 4, 5, 6}), name="approval-light")
    return Grid(_HEAD, tuple(rows), frozenset({3, 4, 5, 6, 7}), name="approval-light")


def _row(plan: Plan, light: RunLight, room: Room) -> tuple[str, ...]:
    judged = judge_light(light, room, plan.job.allowances)
    average = float(light.average.value)
    meter = meter_lux(average, plan.job.allowances)
    so = [
        "enough" if judged.enough else "less than wanted",
        *(() if judged.even else ("uneven",)),
        *((f"with {plain(judged.other)} lx of the room",) if judged.other else ()),
        *(("assumed",) if light.average.assumed else ()),
    ]
    return (
        light.run,
        light.wall,
        name_of(light.plane, plan.job.site.words),
        f"{average:.0f}",
        f"{meter.new:.0f} ({_ends(meter.new_range)})",
        f"{float(light.least.value):.0f}",
        plain(judged.wanted.lux),
        f"{judged.evenness:.2f}",
        ", ".join(so),
    )


def _ends(lux: tuple[float, float]) -> str:
    return f"{lux[0]:.0f} to {lux[1]:.0f}"


def light_blocks(plan: Plan) -> Iterator[Block]:
    """Tell beside the table who asks for how much, where the least is and what it comes of."""
    yield light_table(plan)
    if not plan.lights:
        return
    yield Points(tuple(
        words
        for room in plan.job.rooms
        for words in dict.fromkeys(
            _asked(plan, room, light) for light in plan.lights if light.room == room.id
        )
    ))  # fmt: skip
    for light in plan.lights:
        yield Points((
            _least(plan, light), _read(plan, light), f"{light.run}: {_chain(plan, light)}"
        ))  # fmt: skip
        seen = "from the room, and downwards" if light.plane.upright else (
            "from above, and from the wall outwards"
        )  # fmt: skip
        at = f"{_place(light, plan.job.site.words)}, {seen}"
        yield Picture(light_drawing(plan, light, WIDTH).rows, at)


def _asked(plan: Plan, room: Room, light: RunLight) -> str:
    """Say what light the work in a room asks for, or what else is used there, and who says so."""
    use = light.plane.use
    wanted = light_wanted(room, plan.job.allowances, use)
    return (
        f"{room.name}, {room.work if use == 'worktop' else use}: {wanted.work}; "
        f"average {plain(wanted.lux)} lx: "
        f"{wanted.source.title}; evenness, least of average, {plain(wanted.evenness)}: "
        f"{wanted.evenness_source.title}"
    )


def _place(light: RunLight, words: RegionWords) -> str:
    place = f"{light.run} at wall {light.wall}"
    return place if light.plane.use == "worktop" else f"{place}, {name_of(light.plane, words)}"


def _least(plan: Plan, light: RunLight) -> str:
    site = plan.job.site
    along, out = (length_text(round(mm), site) for mm in (light.at, light.out))
    away = "down" if light.plane.upright else "out"
    return (
        f"{_place(light, site.words)}: least {float(light.least.value):.0f} lx, {light.why}: "
        f"{along} along wall {light.wall}, {out} {away}; most {float(light.most.value):.0f} lx"
    )


def _read(plan: Plan, light: RunLight) -> str:
    """Say what a meter reads of the average: while new, and how far it may be off."""
    kept = float(light.average.value)
    meter = meter_lux(kept, plan.job.allowances)
    return (
        f"{_place(light, plan.job.site.words)}: average {kept:.0f} lx kept up "
        f"({_ends(meter.kept_range)}); a meter reads {meter.new:.0f} lx while new "
        f"({_ends(meter.new_range)}), with nothing else on"
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

"""The light of one run on one page: its figures, the map of what it lights, its depth's curve."""

from collections.abc import Iterator
from typing import Final

from pelmet.model.plan.light.planes import name_of
from pelmet.model.plan.light.wanted import judge_light, light_wanted, meter_lux
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.charts.depth_curve import (
    LEAST_HEIGHT,
    LEAST_WIDTH,
    draw_depth_curve,
)
from pelmet.model.told.drawings.charts.light_map import draw_light_map, map_width
from pelmet.model.told.drawings.drawing import Drawing, Words, flow, side_by_side, stack
from pelmet.model.told.figures import bare

_GAP: Final = 3  # columns between a map and the curve beside it
_KEY: Final = 30  # columns that the key of a map beside a curve has at least
_ROWS: Final = 9  # of a curve below a map, where there is no end to the page
_MOST: Final = 14  # a curve of more rows says no more
_WIDEST: Final = 44  # nor one of more columns
_EMPTY: Final = "No light yet: no run hangs above anything that is used"


def draw_light_page(
    plan: Plan,
    width: int,
    height: int | None = None,
    focus: str | None = None,
    home: str | None = None,
) -> Drawing:
    """Draw the light below the run of ``home``, or of the focus, or the first; others are named.

    Of a run on several walls the first is drawn, or the one in focus. At most ``width`` columns
    and ``height`` rows. Never raises.
    """
    width = max(width, 1)
    light = _light_of(plan, focus, home)
    if light is None:
        page = flow((Words(word, "key") for word in _EMPTY.split()), width, gap=1)
        return page if height is None else page.first(height)
    title = flow(_title(plan, light), width, gap=1)
    others = flow(_others(plan, light), width)
    left = None if height is None else max(height - len(title.rows) - len(others.rows), 0)
    page = stack([title, light_drawing(plan, light, width, left), others])
    return page if height is None else page.first(height)


def light_drawing(plan: Plan, light: RunLight, width: int, height: int | None = None) -> Drawing:
    """Draw the map of what a run lights, and the curve beside or below it if it has room."""
    site = plan.job.site
    room = next(room for room in plan.job.rooms if room.id == light.room)
    wanted = light_wanted(room, plan.job.allowances, light.plane.use).lux
    whole = max(map_width(light, site), _KEY)
    beside = min(width - whole - _GAP, _WIDEST)
    if beside >= LEAST_WIDTH:
        drawn = draw_light_map(light, wanted, site, whole, height)
        rows = min(max(len(drawn.rows), LEAST_HEIGHT), _MOST)
        rows = rows if height is None else min(rows, height)
        return side_by_side(
            drawn, draw_depth_curve(light, wanted, site, beside, rows), whole + _GAP
        )
    drawn = draw_light_map(light, wanted, site, width, height)
    rows = _ROWS if height is None else min(height - len(drawn.rows) - 1, _MOST)
    curve = draw_depth_curve(light, wanted, site, min(width, _WIDEST), rows)
    return stack([drawn, Drawing(("",), ()), curve]) if curve.rows else drawn


def _light_of(plan: Plan, focus: str | None, home: str | None) -> RunLight | None:
    """Give the light that a thing is shown for: a run, its bars and cabinets, or a wall."""
    for own in (home, focus):
        found = [light for light in plan.lights if own in _of(plan, light)]
        if found:
            run = [light for light in plan.lights if light.run == found[0].run]
            return next((light for light in run if focus in _places(plan, light)), found[0])
    return next(iter(plan.lights), None)


def _of(plan: Plan, light: RunLight) -> tuple[str, ...]:
    return light.run, *_places(plan, light)


def _places(plan: Plan, light: RunLight) -> tuple[str, ...]:
    """Give the ids that tell one wall of a run from another."""
    bars = [bar for bar in plan.bars if (bar.run, bar.wall) == (light.run, light.wall)]
    under = (name for bar in bars for name in bar.opening.cabinets)
    return (light.wall, *(bar.id for bar in bars), *under)


def _title(plan: Plan, light: RunLight) -> Iterator[Words]:
    site, run = plan.job.site, light.run
    room = next(room for room in plan.job.rooms if room.id == light.room)
    judged = judge_light(light, room, plan.job.allowances)
    wanted = judged.wanted
    yield Words(run, "label", run)
    yield Words("at", "key")
    if light.plane.use == "worktop":
        yield Words(f"{light.wall}:", "label", light.wall)
    else:
        yield Words(f"{light.wall},", "label", light.wall)
        yield Words(f"{name_of(light.plane, site.words)}:", "label", run)
    meter = meter_lux(float(light.average.value), plan.job.allowances)
    low, high = meter.new_range
    yield Words(f"average {bare(light.average, site)} lx kept up", "label", run)
    yield Words(f"(new: {meter.new:.0f}, {low:.0f} to {high:.0f})", "label", run)
    if judged.other:
        yield Words(f"and {judged.other} of the room", "label", run)
    yield Words(f"of {wanted.lux} wanted,", "label", run)
    yield Words(f"least {bare(light.least, site)},", "label", run)
    yield Words(f"most {bare(light.most, site)},", "label", run)
    even = f"{judged.evenness:.2f} of {wanted.evenness}"
    yield Words(f"evenness {even}", "label", run)


def _others(plan: Plan, light: RunLight) -> Iterator[Words]:
    also = [other for other in plan.lights if other.run == light.run and other is not light]
    if also:
        yield Words("also at wall", "key")
    for other in also:
        text = other.wall if other.wall != light.wall else ""
        if other.plane.use != "worktop":
            text = f"{text} {name_of(other.plane, plan.job.site.words)}".strip()
        yield Words(
            text or f"{other.wall} {plan.job.site.words.value(other.plane.use)}",
            "label",
            other.wall,
        )
    runs = dict.fromkeys(other.run for other in plan.lights if other.run != light.run)
    if runs:
        yield Words("other runs:", "key")
        yield from (Words(run, "label", run) for run in runs)

"""Where each bar's line of light stands: out from the wall, up from the floor, and its throw."""

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Cabinet, Facing, Line
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Channel
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.fitting import REMEMBERED, Bar, RunFit

STRAIGHT_DOWN = 90


@dataclass(frozen=True, slots=True, eq=False)
class Mount:
    """How one bar hangs: ``from_wall`` to its middle and ``height`` of its light side [mm]."""

    bar: str
    from_wall: Figure
    height: Figure


def mount(job: Job, parts: Catalogue, fits: tuple[RunFit, ...]) -> tuple[Mount, ...]:
    """Place every bar under the shallowest cabinet that it hangs at."""
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    return tuple(
        _hung(
            fit.run.line,
            bar,
            tuple(cabinets[name] for name in bar.opening.cabinets),
            channel,
            job.allowances,
        )
        for fit in fits
        if (channel := find_part(parts.channels, fit.run.channel))
        for bar in fit.bars
    )


@lru_cache(maxsize=REMEMBERED)
def _hung(
    line: Line, bar: Bar, above: tuple[Cabinet, ...], channel: Channel, allowances: Allowances
) -> Mount:
    return Mount(
        bar.id,
        from_wall(line, min(above, key=_depth), channel, allowances, bar),
        _height(min(above, key=_bottom), channel, bar),
    )


def from_wall(
    line: Line, cabinet: Cabinet, channel: Channel, allowances: Allowances, bar: Bar
) -> Figure:
    """Give the distance from the wall to the middle of the channel [mm]."""
    depth = given("depth", cabinet.depth, "mm", _origin(cabinet, "depth"), cabinet.id)
    face = given("face", channel.face, "mm", "part", channel.id)
    if line == "front":
        set_back = given("front set-back", allowances.front_set_back, "mm", "allowance")
        out = cabinet.depth - allowances.front_set_back - channel.face / 2
        inputs: tuple[Figure, ...] = (depth, set_back, face)
    elif line == "middle":
        out, inputs = cabinet.depth / 2, (depth,)
    else:
        set_back = given("back set-back", allowances.back_set_back, "mm", "allowance")
        out, inputs = allowances.back_set_back + channel.face / 2, (set_back, face)
    half = channel.face / 2
    kept = min(max(out, half), max(cabinet.depth - half, half))
    return derived("from wall", kept, "mm", f"from wall {line}", bar.id, *inputs)


def throw_degrees(facing: Facing) -> tuple[int, int]:
    """Split a facing into degrees below the horizontal and the side: -1 wall, 0 down, +1 room."""
    if facing == "down":
        return STRAIGHT_DOWN, 0
    degrees, _, side = facing.partition(" to ")
    return int(degrees), -1 if side == "wall" else 1


def _height(cabinet: Cabinet, channel: Channel, bar: Bar) -> Figure:
    bottom = given(
        "bottom height", cabinet.bottom_height, "mm", _origin(cabinet, "bottom_height"), cabinet.id
    )
    depth = given("channel depth", channel.depth, "mm", "part", channel.id)
    height = max(cabinet.bottom_height - channel.depth, Decimal(0))
    return derived("light height", height, "mm", "light height", bar.id, bottom, depth)


def _origin(cabinet: Cabinet, field: str) -> str:
    return "assumed" if field in cabinet.assumed else "reading"


def _depth(cabinet: Cabinet) -> Decimal:
    return cabinet.depth


def _bottom(cabinet: Cabinet) -> Decimal:
    return cabinet.bottom_height

"""Where each bar's line of light stands: out from the wall, up from the floor, and its throw."""

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache, partial

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Cabinet, Facing, Fixing, Line
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Channel
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import REMEMBERED, RunFit
from pelmet.model.plan.bars.line import out_at_back, out_in_front, out_in_middle, out_on_edge
from pelmet.model.plan.figure import Figure, derived_exactly, given
from pelmet.model.plan.formulas import works_out

STRAIGHT_DOWN = 90


@dataclass(frozen=True, slots=True, eq=False)
class Mount:
    """How one bar hangs: ``from_wall`` to its middle and ``height`` of its light side [mm].

    ``at`` is where its middle is along its wall; a bar on an upright has its middle's height.
    """

    bar: str
    from_wall: Figure
    height: Figure
    at: Decimal


def mount_bars(job: Job, parts: Catalogue, fits: tuple[RunFit, ...]) -> tuple[Mount, ...]:
    """Place every bar in the line that the shallowest cabinet of its stretch allows."""
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    return tuple(
        _hung(
            fit.run.line,
            fit.run.fixing,
            bar,
            tuple(cabinets[name] for name in _over(bar)),
            channel,
            job.allowances,
        )
        for fit in fits
        if (channel := find_part(parts.channels, fit.run.channel))
        for bar in fit.bars
    )


def _over(bar: Bar) -> tuple[str, ...]:
    """Give the cabinets over a bar, and the one that sets the line of its whole opening."""
    return tuple(dict.fromkeys((*bar.opening.cabinets, bar.opening.shallowest)))


@lru_cache(maxsize=REMEMBERED)
def _hung(
    line: Line,
    fixing: Fixing,
    bar: Bar,
    above: tuple[Cabinet, ...],
    channel: Channel,
    allowances: Allowances,
) -> Mount:
    shallowest = next(each for each in above if each.id == bar.opening.shallowest)
    out = from_wall(line, shallowest, channel, allowances, bar)
    if bar.upright:
        upright = above[0]
        foot = given("foot", bar.left, "mm", "bar foot", bar.id)
        up = derived_exactly("light height", "mm", half_way_up, bar.id, foot, bar.length)
        return Mount(bar.id, out, up, upright.at + upright.width / 2)
    lowest = min(above, key=_bottom)
    level = fixing == "groove" or line == "edge"
    return Mount(
        bar.id, out, _height(lowest, channel, bar, level=level), (bar.left + bar.right) / 2
    )


def from_wall(
    line: Line, cabinet: Cabinet, channel: Channel, allowances: Allowances, bar: Bar
) -> Figure:
    """Give the distance from the wall to the middle of the channel [mm]."""
    depth = given("depth", cabinet.depth, "mm", _origin(cabinet, "depth"), cabinet.id)
    face = given("face", channel.face, "mm", "part", channel.id)
    made = partial(derived_exactly, "from wall", "mm")
    match line:
        case "front":
            back = given("front set-back", allowances.front_set_back, "mm", "allowance")
            return made(out_in_front, bar.id, depth, back, face)
        case "middle":
            return made(out_in_middle, bar.id, depth, face)
        case "back":
            back = given("back set-back", allowances.back_set_back, "mm", "allowance")
            return made(out_at_back, bar.id, back, face, depth)
        case "edge":
            return made(out_on_edge, bar.id, depth, face)


def throw_degrees(facing: Facing) -> tuple[int, int]:
    """Split a facing into degrees below the horizontal and the side: -1 wall, 0 down, +1 room."""
    if facing == "down":
        return STRAIGHT_DOWN, 0
    degrees, _, side = facing.partition(" to ")
    return int(degrees), -1 if side == "wall" else 1


def _height(cabinet: Cabinet, channel: Channel, bar: Bar, *, level: bool) -> Figure:
    """Give the height of the light side: below the underside, or level with it [mm]."""
    bottom = given(
        "bottom height", cabinet.bottom_height, "mm", _origin(cabinet, "bottom_height"), cabinet.id
    )
    if level:
        return derived_exactly("light height", "mm", level_height, bar.id, bottom)
    depth = given("channel depth", channel.depth, "mm", "part", channel.id)
    return derived_exactly("light height", "mm", light_height, bar.id, bottom, depth)


@works_out("light height")
def light_height(bottom: Decimal, depth: Decimal) -> Decimal:
    """Give how high the light side of a channel is that hangs below an underside [mm]."""
    return max(bottom - depth, Decimal(0))


@works_out("groove height")
def level_height(bottom: Decimal) -> Decimal:
    """Give how high it is of a channel that is level with the underside [mm]."""
    return bottom


@works_out("upright height")
def half_way_up(foot: Decimal, length: Decimal) -> Decimal:
    """Give how high the middle of an upright bar is, by its foot and its length [mm]."""
    return foot + length / 2


def _origin(cabinet: Cabinet, field: str) -> str:
    return "assumed" if field in cabinet.assumed else "reading"


def _bottom(cabinet: Cabinet) -> Decimal:
    return cabinet.bottom_height

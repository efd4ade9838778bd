"""Where each bar's line of light stands: out from the wall, up from the floor, and its throw."""

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Cabinet, Facing, Fixing, Line
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Channel
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import REMEMBERED, RunFit
from pelmet.model.plan.bars.line import out_from_wall
from pelmet.model.plan.figure import Figure, given, read_off

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
    middle = (bar.left + bar.right) / 2
    if bar.upright:
        upright = above[0]
        up = read_off("light height", middle, "mm", "upright height", bar.id, bar.length)
        return Mount(bar.id, out, up, upright.at + upright.width / 2)
    lowest = min(above, key=_bottom)
    level = fixing == "groove" or line == "edge"
    return Mount(bar.id, out, _height(lowest, channel, bar, level=level), middle)


def from_wall(
    line: Line, cabinet: Cabinet, channel: Channel, allowances: Allowances, bar: Bar
) -> Figure:
    """Give the distance from the wall to the middle of the channel [mm]."""
    depth = given("depth", cabinet.depth, "mm", _origin(cabinet, "depth"), cabinet.id)
    face = given("face", channel.face, "mm", "part", channel.id)
    set_back = {
        "front": ("front set-back", allowances.front_set_back),
        "back": ("back set-back", allowances.back_set_back),
    }.get(line)
    inputs = (
        *(() if line == "back" else (depth,)),
        *((given(set_back[0], set_back[1], "mm", "allowance"),) if set_back else ()),
        *(() if line == "middle" else (face,)),
    )
    kept = out_from_wall(line, cabinet.depth, channel, allowances)
    return read_off("from wall", kept, "mm", f"from wall {line}", bar.id, *inputs)


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
        return read_off(
            "light height", cabinet.bottom_height, "mm", "groove height", bar.id, bottom
        )
    depth = given("channel depth", channel.depth, "mm", "part", channel.id)
    height = max(cabinet.bottom_height - channel.depth, Decimal(0))
    return read_off("light height", height, "mm", "light height", bar.id, bottom, depth)


def _origin(cabinet: Cabinet, field: str) -> str:
    return "assumed" if field in cabinet.assumed else "reading"


def _bottom(cabinet: Cabinet) -> Decimal:
    return cabinet.bottom_height

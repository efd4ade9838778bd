"""What hangs where along a room's walls: cabinets, the bar ends under them, what stands in them."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.mounting.mounts import Mount
from pelmet.model.plan.survey.openings import BLOCKING
from pelmet.model.plan.ways.place import TOUCH, Place
from pelmet.model.plan.ways.rails import End, PlacedCabinet


class MountedBar(NamedTuple):
    """A bar and how it hangs, the bar of its run after it, and where a cable meets it within.

    ``middle`` is along its wall, or up from the floor [mm].
    """

    bar: Bar
    mount: Mount
    following: str | None
    middle: Decimal | None = None


def place_cabinets(
    cabinets: Sequence[Cabinet],
    obstacles: Sequence[Obstacle],
    bars: Sequence[MountedBar],
    starts: Mapping[str, float],
) -> list[PlacedCabinet]:
    """Give each cabinet its place along the walls, and what is under and in it."""
    walls = {cabinet.id: cabinet.wall for cabinet in cabinets}
    ends: dict[str, list[End]] = {}
    for each in bars:
        for side in ("left", "right") if each.middle is None else ("left", "right", "middle"):
            cabinet_id, end = _end(each, side, starts, walls)
            ends.setdefault(cabinet_id, []).append(end)
    standing = grouped(obstacles, lambda each: each.wall)
    hanging = grouped(cabinets, lambda each: each.wall)
    return [
        PlacedCabinet(
            cabinet,
            starts[cabinet.wall] + float(cabinet.at),
            tuple(ends.get(cabinet.id, ())),
            tuple(
                sorted(
                    (each for each in standing.get(cabinet.wall, ()) if _inside(each, cabinet)),
                    key=lambda each: each.at,
                )
            ),
            *_touching(cabinet, hanging[cabinet.wall]),
        )
        for cabinet in sorted(cabinets, key=lambda one: (starts[one.wall], one.at, one.id))
    ]


def _touching(
    upright: Cabinet, cabinets: Sequence[Cabinet]
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Give the heights at which something on its wall stands against an upright's faces [mm]."""
    if upright.kind != "upright":
        return (), ()
    top = upright.bottom_height + upright.height
    near = [
        each
        for each in cabinets
        if each.kind != "upright" and upright.bottom_height <= each.bottom_height <= top
    ]
    return (
        tuple(
            float(each.bottom_height)
            for each in near
            if abs(upright.at - each.at - each.width) <= TOUCH
        ),
        tuple(
            float(each.bottom_height)
            for each in near
            if abs(each.at - upright.at - upright.width) <= TOUCH
        ),
    )


def _inside(obstacle: Obstacle, cabinet: Cabinet) -> bool:
    """Whether something on a cabinet's wall stands within its width."""
    return (
        obstacle.kind in BLOCKING
        and cabinet.kind != "upright"
        and obstacle.at >= cabinet.at
        and obstacle.at + obstacle.width <= cabinet.at + cabinet.width
        and obstacle.width < cabinet.width
    )


def _end(
    each: MountedBar, side: str, starts: Mapping[str, float], walls: Mapping[str, str]
) -> tuple[str, End]:
    """Give one end of a bar, and the cabinet on its own wall that it comes under."""
    bar = each.bar
    at = {"left": bar.left, "right": bar.right, "middle": each.middle or bar.left}[side]
    covers = bar.opening.covers
    own = [cover for cover in covers if walls.get(cover.cabinet) == bar.wall] or covers
    cover = min(own, key=lambda one: max(one.left - at, at - one.right, 0))
    out, height = float(each.mount.from_wall.value), float(each.mount.height.value)
    guess = each.mount.from_wall.assumed or each.mount.height.assumed
    if bar.upright:
        along = starts[bar.wall] + float(each.mount.at)
        return cover.cabinet, End(bar.id, side, Place(along, out, float(at), "bar", bar.id), guess)
    along = starts[bar.wall] + float(at)
    return cover.cabinet, End(bar.id, side, Place(along, out, height, "bar", bar.id), guess)

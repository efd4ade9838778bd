"""From which side a hole is drilled: one with room for a drill, where a hand reaches."""

from collections.abc import Sequence
from typing import NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.items import Cabinet
from pelmet.model.plan.survey.geometry import RoomPlan
from pelmet.model.plan.survey.spans import Spans
from pelmet.model.plan.ways.place import Drilling

BEFORE_HUNG = "before it is hung"
_SHELVES = ("shelf", "movable shelf")
_SHOWS = "from the side that shows"


class Hung(NamedTuple):
    """The cabinets of a room, by id and by place along each wall, and what is used below them."""

    room: RoomPlan
    by_id: dict[str, Cabinet]
    on_wall: dict[str, Spans[Cabinet]]


def hung_in(room: RoomPlan, cabinets: Sequence[Cabinet]) -> Hung:
    """Put a room's cabinets by id and by place."""
    on_wall = {
        wall: Spans((float(each.at), float(each.at + each.width), each) for each in own)
        for wall, own in grouped(cabinets, lambda each: each.wall).items()
    }
    return Hung(room, {cabinet.id: cabinet for cabinet in cabinets}, on_wall)


def drilled_from(drilling: Drilling, at: float, hung: Hung, wanted: float) -> str:
    """Say from which side to drill, so far along the wall; ``wanted`` is a drill's room [mm].

    From the side that shows, with a block behind, as long as there is room.
    """
    owner = hung.by_id.get(drilling.owner)
    match drilling.panel:
        case "left side" | "right side":
            on = f", on through {drilling.on} if that is closed" if drilling.on else ""
            return f"from inside{drilling.hand and f' {drilling.hand}'}{on}"
        case "stile" if drilling.hand:
            return f"from under {drilling.hand}"
        case "stile" if owner is not None:
            at_front = drilling.out >= float(owner.depth)
            room = float(owner.depth if at_front else owner.width)
            return _SHOWS if room >= wanted else BEFORE_HUNG
        case "floor" | "top" if owner is not None:
            return _level(drilling, owner, at, hung, wanted)
        case _:
            return _SHOWS


def _level(drilling: Drilling, owner: Cabinet, at: float, hung: Hung, wanted: float) -> str:
    """Say from where to drill a floor or a top."""
    below, above = _clear(owner, at, drilling.out, hung)
    if owner.kind in _SHELVES:
        ways = (("from below", below), ("from above", above))
        return next((says for says, room in ways if room >= wanted), "with the shelf taken down")
    inside = "from inside", float(owner.height - 2 * owner.bottom_panel)
    ways = (("from below", below), inside)
    if drilling.panel == "top":
        ways = (inside, ("from above", above))
    return next((says for says, room in ways if room >= wanted), BEFORE_HUNG)


def _clear(owner: Cabinet, at: float, out: float, hung: Hung) -> tuple[float, float]:
    """Give the clear height below a cabinet and above it at a place [mm]."""
    low, high = owner.bottom_height, owner.bottom_height + owner.height
    room = hung.room.room
    wall = next(line.wall for line in hung.room.walls if line.wall.id == owner.wall)
    on_worktop = (wall.in_use or room.in_use) == "worktop" and low >= room.worktop_height
    below = float(low - (room.worktop_height if on_worktop else 0))
    above = float("inf")
    for each in hung.on_wall[owner.wall].within(at, at):
        if each is owner or each.kind == "upright" or float(each.depth) < out:
            continue
        top = each.bottom_height + each.height
        if top <= high and each.bottom_height < low:
            below = min(below, max(float(low - top), 0.0))
        elif each.bottom_height >= low and top > high:
            above = min(above, max(float(each.bottom_height - high), 0.0))
    return below, above

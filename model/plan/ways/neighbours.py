"""From each cabinet to its neighbours: beside it, past what is between, round corners, above."""

import math
from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice

from pelmet.model.grouped import grouped
from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.plan.survey.crossings import SUITED, hardest_crossing
from pelmet.model.plan.survey.geometry import RoomPlan
from pelmet.model.plan.survey.spans import Spans
from pelmet.model.plan.survey.usual import round_it
from pelmet.model.plan.ways.place import BELOW, STEP, TOUCH, Drilling, Level, Panel, WayKind
from pelmet.model.plan.ways.rails import Rails, WayNet


def standing_along(
    obstacles: Sequence[Obstacle], starts: Mapping[str, float], room: RoomPlan
) -> Spans[Obstacle]:
    """Give what stands along a room's walls; in a closed one the first wall comes again."""
    rounds = (0.0,) if not room.is_closed else (0.0, round_room(room))
    return Spans(
        (at, at + float(each.width), each)
        for each in obstacles
        if each.kind in SUITED
        for at in (starts[each.wall] + float(each.at) + further for further in rounds)
    )


def round_room(room: RoomPlan) -> float:
    """Give the length of all walls of a room [mm]."""
    return sum(float(line.wall.length) for line in room.walls)


def next_cabinets(
    all_rails: Sequence[Rails], room: RoomPlan
) -> Iterator[tuple[Rails, Rails, float]]:
    """Give each cabinet with the next to its right: of its own height, and of any height.

    Round a closed room the last come before the first.
    """
    in_order = sorted(all_rails, key=lambda one: (one.hung.left, one.hung.cabinet.id))
    lefts = [one.hung.left for one in in_order]
    whole = round_room(room) if room.is_closed else None
    for left in all_rails:
        cabinet, edge = left.hung.cabinet, left.hung.right
        first = bisect_left(lefts, edge - TOUCH / 2)
        ahead = [(one, one.hung.left - edge) for one in in_order[first:] if one is not left]
        if whole:
            ahead += [
                (one, gap)
                for one in in_order[:first]
                if one.hung.cabinet.wall != cabinet.wall
                and (gap := one.hung.left - edge + whole) >= -TOUCH / 2
            ]
        level = (one for one in ahead if _overlap(cabinet, one[0].hung.cabinet))
        found = {id(right): (right, gap) for right, gap in (*ahead[:1], *islice(level, 1))}
        for right, gap in found.values():
            yield left, right, gap


def _overlap(one: Cabinet, other: Cabinet) -> bool:
    """Whether two cabinets share some height."""
    return (
        one.bottom_height < other.bottom_height + other.height
        and other.bottom_height < one.bottom_height + one.height
    )


def join_neighbours(
    net: WayNet, left: Rails, right: Rails, gap: float, between: Spans[Obstacle], room: RoomPlan
) -> None:
    """Join two neighbours by every way that what is between them allows."""
    standing = between.within(left.hung.right, left.hung.right + gap)
    passes = tuple(each.id for each in standing)
    assumed = (
        left.hung.assumed
        or right.hung.assumed
        or any(each.assumed for each in standing)
        or _wall_assumed(left, right, room)
    )
    if not standing and (gap <= TOUCH or _meets_corner(left, right, gap, room)):
        _side_by_side(net, left, right, gap, assumed=assumed)
        return
    crossing = hardest_crossing(standing) if standing else "in wall"
    if crossing in ("none", "not chosen"):
        return
    level: Level = "top" if crossing == "over" else "under"
    if level == "top":
        assumed = assumed or left.hung.top_assumed or right.hung.top_assumed
    kinds: dict[str, WayKind] = {
        "over": "over", "under": "under", "hole": "under", "behind": "behind",
        "in wall": "in wall",
    }  # fmt: skip
    start, end = _facing(net, left.at(level) or left.under, right.at(level) or right.under)
    one, other = net.places[start], net.places[end]
    holes = []
    if crossing == "hole":
        middle, below = left.hung.right + gap / 2, one.height - BELOW
        holes = [Drilling(each.id, "obstacle", middle, one.out, below) for each in standing]
    top = float(room.room.worktop_height)
    detour = (
        sum(round_it(each, one.height, top) for each in standing if each.kind == "window")
        if crossing == "in wall"
        else 0.0
    )
    net.join(
        start,
        end,
        kinds[crossing],
        holes,
        length=_length(net, left, right, (start, end), gap) + detour,
        passes=passes,
        level=abs(one.height - other.height) > STEP,
        bare=not standing,
        assumed=assumed,
    )


def _meets_corner(left: Rails, right: Rails, gap: float, room: RoomPlan) -> bool:
    """Whether the second cabinet stands against the first one's side, round a corner."""
    one, other = left.hung.cabinet, right.hung.cabinet
    if one.wall == other.wall:
        return False
    line = next(line for line in room.walls if line.wall.id == one.wall)
    sine = abs(math.sin(math.radians(float(line.wall.corner_degrees))))
    depth = max(float(one.depth), float(other.depth))
    return gap * max(sine, 1e-6) <= depth + TOUCH


def _facing(net: WayNet, left: Sequence[int], right: Sequence[int]) -> tuple[int, int]:
    """Give the places nearest to each other: the last and the first, up uprights the most level."""

    def apart(pair: tuple[int, int]) -> tuple[float, float]:
        one, other = net.places[pair[0]], net.places[pair[1]]
        return abs(one.height - other.height), other.along - one.along

    return min(((one, other) for one in left for other in right), key=apart)


def _length(net: WayNet, left: Rails, right: Rails, ends: tuple[int, int], gap: float) -> float:
    """Give the square way from one cabinet to the next over the gap between them [mm].

    Round a closed room the second one's places count from the first wall again.
    """
    one, other = net.places[ends[0]], net.places[ends[1]]
    along = gap + left.hung.right - one.along + other.along - right.hung.left
    return abs(along) + abs(one.out - other.out) + abs(one.height - other.height)


def _wall_assumed(left: Rails, right: Rails, room: RoomPlan) -> bool:
    """Tell whether nobody measured a wall between two cabinets on different walls."""
    if left.hung.cabinet.wall == right.hung.cabinet.wall:
        return False
    names = [line.wall.id for line in room.walls]
    start, end = names.index(left.hung.cabinet.wall), names.index(right.hung.cabinet.wall)
    passed = room.walls[start:end] if start <= end else (*room.walls[start:], *room.walls[:end])
    return any("length" in line.wall.assumed for line in passed)


def _side_by_side(net: WayNet, left: Rails, right: Rails, gap: float, *, assumed: bool) -> None:
    """Join two cabinets that touch: under, through both sides, and over."""
    one, other = left.hung.cabinet, right.hung.cabinet
    edge = left.hung.right
    start, end = net.places[left.under[-1]], net.places[right.under[0]]
    sides = [
        Drilling(each.id, "stile", edge, start.out, start.height - BELOW)
        for each in (one, other)
        if each.underside == "framed" and each.kind != "upright"
    ]
    if "upright" in (one.kind, other.kind):
        _against_upright(net, left, right)
        return
    step = abs(start.height - end.height) > STEP
    apart = step and not _overlap(one, other)
    pair = left.under[-1], right.under[0]
    net.join(
        *pair,
        "in wall" if apart else "up" if step else "under",
        sides,
        bare=apart,
        assumed=assumed,
        length=_length(net, left, right, pair, gap),
    )
    if left.inside and right.inside and _overlap(one, other):
        low = max(net.places[left.inside[-1]].height, net.places[right.inside[0]].height)
        height = low + start.out
        holes = [
            *_side(one, "right side", edge, start.out, height),
            *_side(other, "left side", edge, start.out, height),
        ]
        pair = left.inside[-1], right.inside[0]
        way = _length(net, left, right, pair, gap)
        net.join(*pair, "inside", holes, assumed=assumed, length=way)
    if left.top and right.top:
        drop = abs(net.places[left.top[-1]].height - net.places[right.top[0]].height) > STEP
        pair = left.top[-1], right.top[0]
        high = left.hung.top_assumed or right.hung.top_assumed or assumed
        way = _length(net, left, right, pair, gap)
        net.join(*pair, "over", level=drop, assumed=high, length=way)


def _side(
    cabinet: Cabinet, panel: Panel, along: float, out: float, height: float
) -> list[Drilling]:
    """Give the hole through a cabinet's side; a shelf has none to drill."""
    if cabinet.kind in ("shelf", "movable shelf"):
        return []
    return [Drilling(cabinet.id, panel, along, out, height)]


def _against_upright(net: WayNet, left: Rails, right: Rails) -> None:
    """Join what stands against an upright to the face it stands at, at its own height."""
    near_face = left.inside if left.hung.cabinet.kind == "upright" else left.under[-1:]
    far_face = right.under if right.hung.cabinet.kind == "upright" else right.under[:1]
    start, end = _facing(net, near_face, far_face)
    net.join(start, end, "under", assumed=left.hung.assumed or right.hung.assumed)


def stacked(all_rails: Sequence[Rails]) -> Iterator[tuple[Rails, Rails]]:
    """Give each cabinet with the next one above it on its wall."""
    on_wall = grouped(all_rails, lambda rails: rails.hung.cabinet.wall)
    for lower in all_rails:
        one = lower.hung
        above = [
            upper
            for upper in on_wall[one.cabinet.wall]
            if "upright" not in (upper.hung.cabinet.kind, one.cabinet.kind)
            and upper.hung.left < one.right
            and upper.hung.right > one.left
            and upper.hung.cabinet.bottom_height >= one.cabinet.bottom_height + one.cabinet.height
        ]
        if above:
            yield lower, min(above, key=lambda each: (each.hung.cabinet.bottom_height, each.under))


def join_above(net: WayNet, lower: Rails, upper: Rails) -> None:
    """Join a cabinet to the one above it: hidden if they all but touch, else in the wall."""
    starts = lower.at("top") or lower.under
    start = min(starts, key=lambda mark: abs(net.places[mark].along - upper.hung.left))
    end = min(upper.under, key=lambda mark: abs(net.places[mark].along - net.places[start].along))
    rise = net.places[end].height - net.places[start].height
    hidden = abs(rise) <= TOUCH
    net.join(
        start,
        end,
        "up" if hidden else "in wall",
        level=True,
        bare=not hidden,
        assumed=lower.hung.assumed or upper.hung.assumed,
    )

"""From each cabinet to its neighbours: beside it, past what is between, round corners, above."""

from bisect import bisect_left
from collections.abc import Iterator, Mapping, Sequence
from itertools import islice

from pelmet.model.grouped import grouped
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.plan.survey.crossings import SUITED, hardest_crossing
from pelmet.model.plan.survey.geometry import STRAIGHT_DEGREES, RoomPlan
from pelmet.model.plan.survey.spans import Spans
from pelmet.model.plan.survey.usual import round_it
from pelmet.model.plan.ways.passage import Neighbours, through_frames, through_sides
from pelmet.model.plan.ways.place import BELOW, STEP, TOUCH, Drilling, Level, WayKind
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
    outside = {
        line.wall.id: line.before + float(line.wall.length)
        for line in room.walls
        if line.wall.corner_degrees > STRAIGHT_DEGREES
    }
    for left in all_rails:
        cabinet, edge = left.hung.cabinet, left.hung.right
        # At an outside corner one goes on past its wall, behind the first of the next.
        first = bisect_left(lefts, min(edge, outside.get(cabinet.wall, edge)) - TOUCH / 2)
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
    net: WayNet,
    left: Rails,
    right: Rails,
    gap: float,
    between: Spans[Obstacle],
    room: RoomPlan,
    allowances: Allowances,
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
    pair = Neighbours(left.hung, right.hung, room, allowances)
    if not standing and pair.touch(gap):
        _side_by_side(net, left, right, gap, pair, assumed=assumed)
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
        below = one.height - BELOW
        holes = [
            Drilling(each.id, "obstacle", middle_of(each, room), one.out, below)
            for each in standing
        ]
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


def middle_of(obstacle: Obstacle, room: RoomPlan) -> float:
    """Give the middle of something that stands at a wall, along the walls of its room [mm]."""
    before = next(line.before for line in room.walls if line.wall.id == obstacle.wall)
    return before + float(obstacle.at + obstacle.width / 2)


def _side_by_side(
    net: WayNet, left: Rails, right: Rails, gap: float, pair: Neighbours, *, assumed: bool
) -> None:
    """Join two cabinets that touch: under, through both sides, and over."""
    one, other = left.hung.cabinet, right.hung.cabinet
    if "upright" in (one.kind, other.kind):
        _against_upright(net, left, right)
        return
    start, end = net.places[left.under[-1]], net.places[right.under[0]]
    # No further back than the back panel of either, unless the other one is too shallow for that.
    out = max(start.out, end.out)
    if out > min(float(one.depth), float(other.depth)) / 2:
        out = min(start.out, end.out)
    step = abs(start.height - end.height) > STEP
    apart = step and not _overlap(one, other)
    frames = () if apart else through_frames(pair, out, min(start.height, end.height))
    joined = len(net.ways)
    ends = left.under[-1], right.under[0]
    if frames is not None:
        net.join(
            *ends,
            "in wall" if apart else "up" if step else "under",
            frames,
            bare=apart,
            assumed=assumed,
            length=_length(net, left, right, ends, gap),
        )
    if left.inside and right.inside and _overlap(one, other):
        low = max(net.places[left.inside[-1]].height, net.places[right.inside[0]].height)
        holes = through_sides(pair, out, low + out)
        if holes is not None:
            within = left.inside[-1], right.inside[0]
            way = _length(net, left, right, within, gap)
            net.join(*within, "inside", holes, assumed=assumed, length=way)
    if left.top and right.top:
        drop = abs(net.places[left.top[-1]].height - net.places[right.top[0]].height) > STEP
        tops = left.top[-1], right.top[0]
        high = left.hung.top_assumed or right.hung.top_assumed or assumed
        way = _length(net, left, right, tops, gap)
        net.join(*tops, "over", level=drop, assumed=high, length=way)
    if len(net.ways) == joined:  # no drill gets in between
        way = _length(net, left, right, ends, gap)
        net.join(*ends, "in wall", bare=True, assumed=assumed, length=way)


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

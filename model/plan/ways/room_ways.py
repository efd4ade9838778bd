"""All the ways of one room a cable may take: along, in and over cabinets, and from bar to bar."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.feeds import Supply
from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.plan.survey.crossings import bars_inside, hardest_crossing
from pelmet.model.plan.survey.geometry import RoomPlan
from pelmet.model.plan.survey.spans import Spans
from pelmet.model.plan.ways.hung import MountedBar, place_cabinets
from pelmet.model.plan.ways.neighbours import (
    join_above,
    join_neighbours,
    middle_of,
    next_cabinets,
    stacked,
    standing_along,
)
from pelmet.model.plan.ways.net import Edge
from pelmet.model.plan.ways.place import STEP, TOUCH, Drilling, Level, Place, Rates, Way, WayKind
from pelmet.model.plan.ways.rails import PlacedCabinet, Rails, WayNet, rails_of

REMEMBERED = 64
_PLINTH = 100.0  # [mm] common practice: a plinth space 100 to 150 mm high


@dataclass(frozen=True, slots=True, eq=False)
class RoomWays:
    """A room's places and ways, and where its bars' ends and its supplies are among them."""

    places: tuple[Place, ...]
    ways: tuple[Way, ...]
    ends: Mapping[tuple[str, str], int]
    supplies: Mapping[str, int]
    cabinets: Mapping[str, int]  # a place in each that a cable can be made to go through
    edges: tuple[Edge, ...]  # the ways as what they cost
    lead_edges: tuple[Edge, ...]  # without those from bar to bar, which are for links alone


@lru_cache(maxsize=REMEMBERED)
def ways_of_room(
    room: RoomPlan,
    cabinets: tuple[Cabinet, ...],
    obstacles: tuple[Obstacle, ...],
    supplies: tuple[Supply, ...],
    bars: tuple[MountedBar, ...],
    allowances: Allowances,
) -> RoomWays:
    """Lay out every way of a room; its cabinets, obstacles, supplies and bars are given."""
    rates = Rates(
        float(allowances.minutes_per_metre),
        float(allowances.minutes_per_hole),
        float(allowances.minutes_per_level),
        float(allowances.minutes_in_wall),
        float(allowances.minutes_behind),
    )
    net = WayNet(rates)
    starts = {line.wall.id: line.before for line in room.walls}
    found: dict[tuple[str, str], int] = {}
    laid: dict[str, Rails] = {}
    for each in place_cabinets(cabinets, obstacles, bars, starts):
        own = rails_of(each, allowances, rates, len(net.places))
        net.places += own.places
        net.ways += own.ways
        found.update(own.ends)
        laid[each.cabinet.id] = own.rails
    between = standing_along(obstacles, starts, room)
    for left, right, gap in next_cabinets(list(laid.values()), room):
        join_neighbours(net, left, right, gap, between, room, allowances)
    for lower, upper in stacked(list(laid.values())):
        join_above(net, lower, upper)
    _bar_to_bar(net, bars, found, laid, between, room, float(allowances.drill_room))
    sources = {
        supply.id: place for supply in supplies if (place := _supply(net, supply, laid)) is not None
    }
    homes = {cabinet_id: (each.inside or each.under)[0] for cabinet_id, each in laid.items()}
    edges = tuple([Edge(way.start, way.end, way.minutes) for way in net.ways])
    ends = set(found.values())
    leads = tuple(
        [Edge(each.a, each.a, 0.0) if each.a in ends and each.b in ends else each for each in edges]
    )
    return RoomWays(tuple(net.places), tuple(net.ways), found, sources, homes, edges, leads)


def _bar_to_bar(
    net: WayNet,
    bars: Sequence[MountedBar],
    found: Mapping[tuple[str, str], int],
    laid: Mapping[str, Rails],
    between: Spans[Obstacle],
    room: RoomPlan,
    drill_room: float,
) -> None:
    """Join each bar to the next of its run straight on, where a hole or nothing is in between."""
    by_id = {each.bar.id: each.bar for each in bars}
    for each in bars:
        bar, other = each.bar, by_id.get(each.following or "")
        if other is None or bar.upright or other.upright:
            continue
        start, end = found[bar.id, "right"], found[other.id, "left"]
        one, two = net.places[start], net.places[end]
        if bar.wall != other.wall:
            on, off = bar.opening.ends[1], other.opening.ends[0]
            if on.crossing is not None and off.crossing is not None:  # they meet round a corner
                length = float(abs(on.crossing - bar.right) + abs(other.left - off.crossing))
                net.join(start, end, "in channel", length=length)
            continue
        standing = between.within(one.along, two.along)
        if (
            hardest_crossing(standing) not in ("hole", "under")
            or abs(one.height - two.height) > STEP
        ):
            continue
        holes = [
            Drilling(each.id, "obstacle", middle_of(each, room), one.out, one.height)
            for each in standing
        ]
        joints = (bar.opening.cabinets[-1], other.opening.cabinets[0])
        if not standing and joints[0] != joints[1]:
            if laid[joints[1]].hung.left - laid[joints[0]].hung.right > TOUCH:
                continue
            holes = [*_stiles(laid[joints[0]].hung, laid[joints[1]].hung, one, drill_room)]
        holes += _uprights(one, two, laid)
        passes = tuple(each.id for each in standing)
        net.join(start, end, "under", holes, passes=passes)


def _stiles(
    left: PlacedCabinet, right: PlacedCabinet, at: Place, drill_room: float
) -> Iterator[Drilling]:
    """Give the holes through the frames of two cabinets between bars, each from where it goes."""
    for own, other, edge in ((left, right, left.right), (right, left, right.left)):
        if own.cabinet.underside == "framed":
            rooms = float(own.cabinet.width), float(other.cabinet.width)
            hand = other.cabinet.id if rooms[0] < drill_room <= rooms[1] else ""
            yield Drilling(own.cabinet.id, "stile", edge, at.out, at.height, hand)


def _uprights(one: Place, other: Place, laid: Mapping[str, Rails]) -> list[Drilling]:
    """Give the holes through uprights between two bar ends."""
    hung = [rails.hung for rails in laid.values() if rails.hung.cabinet.kind == "upright"]
    return [
        Drilling(each.cabinet.id, "upright", each.left, one.out, one.height)
        for each in hung
        if one.along <= each.left
        and each.right <= other.along
        and float(each.cabinet.bottom_height) < one.height
        and one.height < float(each.cabinet.bottom_height + each.cabinet.height)
    ]


def _supply(net: WayNet, supply: Supply, laid: Mapping[str, Rails]) -> int | None:
    """Put a supply into the net, or nothing when nobody said where it sits."""
    home = laid.get(supply.cabinet or "")
    if home is None or supply.place == "elsewhere":
        return None
    cabinet = home.hung.cabinet
    middle = home.hung.left + float(cabinet.width) / 2
    bottom = float(cabinet.bottom_height)
    out, height, level, kind = {
        "in cabinet": (float(cabinet.depth) / 2, net.places[home.inside[0]].height if home.inside
                       else bottom, "inside", "inside"),
        "on top of cabinet": (float(cabinet.depth) / 2, bottom + float(cabinet.height), "top",
                              "over"),
        "in plinth": (TOUCH, _PLINTH, "under", "in wall"),
        "walled in": (0.0, bottom, "under", "in wall"),
    }[supply.place]  # fmt: skip
    own = net.place(Place(middle, out, height, "supply", supply.id))
    ways: dict[str, WayKind] = {"inside": "inside", "over": "over", "in wall": "in wall"}
    to: dict[str, Level] = {"inside": "inside", "top": "top", "under": "under"}
    doors = home.at(to[level]) or home.inside or home.under
    before = [door for door in doors if net.places[door].along <= middle]
    after = [door for door in doors if net.places[door].along > middle]
    near = [*before[-1:], *after[:1]]
    # Past a partition one does not come straight, unless the supply sits right at one.
    free = [door for door in near if not _parted(home.hung, middle, net.places[door].along)]
    for door in free or near:
        net.join(own, door, ways[kind], assumed=home.hung.assumed)
    return own


def _parted(hung: PlacedCabinet, along: float, other: float) -> bool:
    """Tell whether something that stands in a cabinet is between two places along it.

    What stands right where one is parts neither side from the other there.
    """
    offset = hung.left - float(hung.cabinet.at)
    for each in hung.blocking:
        if each.kind != "partition" and not bars_inside(each, hung.cabinet):
            continue
        start, end = float(each.at) + offset, float(each.at + each.width) + offset
        if not start <= along <= end and min(along, other) < end and max(along, other) > start:
            return True
    return False

"""The cables of a leg, from its supply on: those in their places as they lie, others the cheapest.

A measured lead length wins.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import count, zip_longest
from typing import NamedTuple

from pelmet.model.job.built import LaidCable
from pelmet.model.job.feeds import Leg
from pelmet.model.job.items import Obstacle
from pelmet.model.job.job import Job
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.feed_points import FeedPoint
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.figure import given
from pelmet.model.plan.mounting.mounts import Mount
from pelmet.model.plan.survey.geometry import RoomPlan
from pelmet.model.plan.survey.spans import Spans
from pelmet.model.plan.ways.branches import go_on, lay_cables, way_of_laid
from pelmet.model.plan.ways.cable import Cable, cut_length
from pelmet.model.plan.ways.hung import MountedBar
from pelmet.model.plan.ways.place import Place, square_way
from pelmet.model.plan.ways.room_ways import RoomWays, ways_of_room


class SiteWays(NamedTuple):
    """The job with its rooms laid out: in which room each wall, cabinet and bar is."""

    job: Job
    feeds: Mapping[str, Sequence[FeedPoint]]
    """By leg."""
    middles: Mapping[str, Decimal]
    room_of: Mapping[str, str]
    cabinet_rooms: Mapping[str, str]
    bar_rooms: Mapping[str, str]
    kept_out: Mapping[str, frozenset[str]]
    """The cabinets that a leg's cables must not touch."""
    standing: Mapping[str, Spans[Obstacle]]
    """What stands along the walls of a room."""
    laid: Mapping[str, LaidCable]
    """The cables that are in their places, by name."""
    laid_of: Mapping[str, Sequence[LaidCable]]
    """Of those the ones that come from a supply on, by leg."""
    starts: Mapping[str, float]
    """By wall, where it starts along the walls of its room [mm]."""
    networks: dict[str, RoomWays]

    def net(self, room: RoomPlan, fits: Sequence[RunFit], hung: Mapping[str, Mount]) -> RoomWays:
        """Lay out the ways of one room."""
        room_id = room.room.id
        job = self.job
        cabinets = tuple(each for each in job.cabinets if self.room_of[each.wall] == room_id)
        names = {cabinet.id for cabinet in cabinets}
        bars = tuple(
            MountedBar(bar, hung[bar.id], following, self.middles.get(bar.id))
            for fit in fits
            for bar, following in _followed(fit.bars)
            if self.room_of[bar.wall] == room_id
        )
        return ways_of_room(
            room,
            cabinets,
            tuple(each for each in job.obstacles if self.room_of[each.wall] == room_id),
            tuple(each for each in job.supplies if each.cabinet in names),
            bars,
            job.allowances,
        )


def _followed(bars: Sequence[Bar]) -> Iterator[tuple[Bar, str | None]]:
    yield from zip_longest(bars, (bar.id for bar in bars[1:]))


class _Feed(NamedTuple):
    """A feed point of a run: where it is among the ways of its room."""

    point: FeedPoint
    room: str
    place: int


def _feeds(leg: Leg, site: SiteWays) -> Iterator[_Feed]:
    for point in site.feeds.get(leg.id, ()):
        room = site.bar_rooms[point.bar]
        yield _Feed(point, room, site.networks[room].ends[point.bar, point.at])


# A leg's cables, and whether they are proven the cheapest of their wiring.
_Leads = tuple[list[Cable], bool]


def lay_leg(leg: Leg, site: SiteWays) -> _Leads:
    """Lay a leg's cables from its supply; or from its first run, if the way there is measured."""
    feeds = [*_feeds(leg, site)]
    if not feeds:
        return [], True
    lead_to = site.laid.get(f"{leg.id}.1")
    first = min(feeds, key=lambda each: lead_to is not None and each.point.run != lead_to.run)
    supply = next(supply for supply in site.job.supplies if supply.id == leg.supply)
    room = site.cabinet_rooms.get(supply.cabinet or "")
    root = site.networks[room].supplies.get(supply.id) if room else None
    if leg.length is None and room is not None and root is not None:
        return _laid(leg, feeds, site, (room, root, leg.supply), None)
    length = given("lead", leg.length, "mm", "reading", leg.id) if leg.length else None
    point = first.point
    lead = Cable(
        f"{leg.id}.1",
        leg.id,
        point.run,
        leg.supply,
        point.name,
        None,
        length,
        room=first.room,
        feed=point,
    )
    others = [feed for feed in feeds if feed is not first]
    start = (first.room, first.place, point.name)
    cables, proven = _laid(leg, others, site, start, lead.id)
    return [lead, *cables], proven


def _laid(
    leg: Leg,
    feeds: Sequence[_Feed],
    site: SiteWays,
    start: tuple[str, int, str],
    before: str | None,
) -> _Leads:
    """Lay cables from a place to feed ends; those it cannot reach get one of unknown length."""
    room, root, origin = start
    net = site.networks[room]
    own = {feed.place: feed for feed in feeds if feed.room == room}
    via = tuple(net.cabinets[name] for name in leg.via if site.cabinet_rooms[name] == room)
    avoid = site.kept_out[leg.id]
    there = _in_place(leg, feeds, site, start, before)
    cables = [each.cable for each in there]
    reached = {cable.feed for cable in cables}
    joints = {each.end: each.cable for each in reversed(there) if each.end is not None}
    stops = tuple(at for at, feed in own.items() if feed.point not in reached)
    if there:
        ends = tuple(joints) if leg.wiring != "home run" else ()
        from_root = (root,) if before or not ends else ()
        laid = go_on(net, (*from_root, *ends), stops, avoid, leg.wiring)
    else:
        laid = lay_cables(net, root, stops, leg.wiring, () if before else via, avoid)
    names = _free_names(leg.id, {*(cable.id for cable in cables), before})
    for branch in laid.branches:
        feed = own.get(branch.end)
        parent = joints.get(branch.start)
        if branch.before is not None:
            parent = cables[branch.before]
        cable_id = next(names)
        ways = tuple(net.ways[index] for index in branch.ways)
        cables.append(
            _lead(cable_id, leg, feed.point if feed else None, parent, (origin, before, room))
            ._replace(
                length=cut_length(
                    cable_id, ways, site.job.allowances, "branch" if parent else "lead"
                ),
                ways=ways,
                places=places_passed(net, branch.start, branch.ways),
            )
        )  # fmt: skip
        joints.setdefault(branch.end, cables[-1])
    reached = {cable.feed for cable in cables}
    for feed in feeds:
        if feed.point not in reached:  # of unknown length
            unknown = _lead(next(names), leg, feed.point, None, (origin, before, feed.room))
            cables.append(unknown)
    return cables, laid.proven


def _free_names(leg: str, taken: Collection[str | None]) -> Iterator[str]:
    return (name for number in count(1) if (name := f"{leg}.{number}") not in taken)


def _lead(
    cable_id: str,
    leg: Leg,
    point: FeedPoint | None,
    parent: Cable | None,
    start: tuple[str, str | None, str],
) -> Cable:
    """Name a cable from another one, or from where a leg's cables start, to a point or a tee."""
    origin, before, room = start
    return Cable(
        id=cable_id,
        leg=leg.id,
        run=point.run if point else None,
        origin=parent.end if parent else origin,
        end=point.name if point else f"{leg.id} tee {cable_id.rpartition('.')[2]}",
        before=parent.id if parent else before,
        length=None,
        room=room,
        feed=point,
    )


class _InPlace(NamedTuple):
    """A cable in its place, and where it ends among the ways of its room, as far as known."""

    cable: Cable
    end: int | None


def _in_place(
    leg: Leg,
    feeds: Sequence[_Feed],
    site: SiteWays,
    start: tuple[str, int, str],
    before: str | None,
) -> list[_InPlace]:
    """Give a leg's cables that are in their places, each after the one it goes on from."""
    room, root, origin = start
    net = site.networks[room]
    via = tuple(net.cabinets[name] for name in leg.via if site.cabinet_rooms[name] == room)
    left = {each.cable: each for each in site.laid_of.get(leg.id, ()) if each.cable != before}
    free = [*feeds]
    found: dict[str, _InPlace] = {}
    while left:
        ready = (each for each in left.values() if each.before not in left)
        one = next(ready, None) or next(iter(left.values()))
        del left[one.cable]
        to = [feed for feed in free if feed.point.run == one.run]
        feed = min(to, key=lambda each: each.point.side != one.side, default=None)
        end = _tee(one, net, site) if one.run is None else None
        if feed:
            free.remove(feed)
            end = feed.place if feed.room == room else None
        parent = found.get(one.before)
        at = parent.end if parent else root
        ways: tuple[int, ...] = ()
        if at is not None and end is not None:
            through = () if parent or before else via
            ways = way_of_laid(net, at, end, through, site.kept_out[leg.id])
        point = feed.point if feed else None
        cable = _lead(one.cable, leg, point, parent and parent.cable, (origin, before, room))
        cable = cable._replace(
            run=one.run,
            length=given("branch" if parent else "lead", one.length, "mm", "built", one.cable),
            ways=tuple(net.ways[index] for index in ways),
            places=() if at is None else places_passed(net, at, ways),
            laid=True,
        )
        found[one.cable] = _InPlace(cable, end)
    return [*found.values()]


def _tee(one: LaidCable, net: RoomWays, site: SiteWays) -> int | None:
    """Give the place of a tee: the nearest to where it is said to be that is no bar's end."""
    if one.at is None or one.wall is None or one.wall not in site.starts:
        return None
    along, out, height = site.starts[one.wall] + float(one.at), one.out or 0, one.height or 0
    at = Place(along, float(out), float(height), "inside", "")
    places = [
        place
        for place in range(len(net.places))
        if net.places[place].level not in ("bar", "supply")
    ]
    return min(places, key=lambda place: square_way(at, net.places[place]), default=None)


def places_passed(net: RoomWays, node: int, ways: Sequence[int]) -> tuple[Place, ...]:
    """Give the places a cable passes from one on, in order."""
    places = [net.places[node]]
    for index in ways:
        way = net.ways[index]
        node = way.start + way.end - node
        places.append(net.places[node])
    return tuple(places)

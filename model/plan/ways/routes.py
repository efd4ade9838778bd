"""Every low-voltage cable: from the supply to feed ends, and from bar to bar past what is between.

Cables take the cheapest ways the cabinets offer. A measured lead length wins.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from itertools import pairwise, zip_longest
from types import MappingProxyType
from typing import NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.built import LaidCable
from pelmet.model.job.feeds import Leg
from pelmet.model.job.items import Crossing, Obstacle
from pelmet.model.job.job import Job
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.feed_points import FeedPoint, feed_points_of, mark_on_bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.figure import Figure, given
from pelmet.model.plan.mounting.mounts import Mount
from pelmet.model.plan.survey.crossings import SUITED, hardest_crossing
from pelmet.model.plan.survey.geometry import RoomPlan, wall_lines
from pelmet.model.plan.survey.spans import Spans
from pelmet.model.plan.ways.branches import Branch, join_bars, lay_cables
from pelmet.model.plan.ways.cable import Cable, cut_length
from pelmet.model.plan.ways.hung import MountedBar
from pelmet.model.plan.ways.place import Place
from pelmet.model.plan.ways.room_ways import RoomWays, ways_of_room


class Link(NamedTuple):
    """The cable from one bar to the next of its run, and what it passes; none if it may not."""

    run: str
    from_bar: str
    to_bar: str
    obstacles: tuple[str, ...]
    crossing: Crossing
    cable: Cable | None

    @property
    def length(self) -> Figure | None:
        """What its cable is cut to [mm]."""
        return self.cable.length if self.cable else None


@dataclass(frozen=True)
class Routes:
    """All low-voltage cables of a job: ``leads`` of each leg from the supply on, and ``links``.

    ``networks`` holds, by room, all ways that cables could take; ``unproven`` names the legs
    for which a cheaper way of their wiring could not be ruled out.
    """

    leads: tuple[Cable, ...]
    links: tuple[Link, ...]
    networks: Mapping[str, RoomWays] = field(compare=False)
    unproven: tuple[str, ...] = ()

    @property
    def cables(self) -> tuple[Cable, ...]:
        """Every cable whose length is known."""
        leads = (lead for lead in self.leads if lead.length)
        return (*leads, *(link.cable for link in self.links if link.cable))

    def leads_of(self, leg: str) -> tuple[Cable, ...]:
        """Give a leg's cables, each after the one it goes on from."""
        return self._of_leg.get(leg, ())

    def cables_of(self, leg: str) -> tuple[Cable, ...]:
        """Give every cable of a leg whose length is known, links with them."""
        return self._known_of_leg.get(leg, ())

    def links_of(self, run: str) -> tuple[Link, ...]:
        """Give a run's links, left to right."""
        return self._of_run.get(run, ())

    @cached_property
    def _of_leg(self) -> Mapping[str, tuple[Cable, ...]]:
        return grouped(self.leads, lambda lead: lead.leg or "")

    @cached_property
    def _known_of_leg(self) -> Mapping[str, tuple[Cable, ...]]:
        return grouped(self.cables, lambda cable: cable.leg or "")

    @cached_property
    def _of_run(self) -> Mapping[str, tuple[Link, ...]]:
        return grouped(self.links, lambda link: link.run)


def route_cables(
    job: Job,
    rooms: tuple[RoomPlan, ...],
    fits: tuple[RunFit, ...],
    mounts: tuple[Mount, ...],
    laid: Mapping[str, LaidCable] = MappingProxyType({}),
) -> Routes:
    """Lay the cables of every leg, and every link between the bars of a run.

    ``laid`` are those that are in their places, by name: they keep their lengths, and what comes to
    a leg later goes on from their joints.
    """
    points = [point for fit in fits for point in feed_points_of(fit)]
    room_of = {name: line.wall.room for name, line in wall_lines(rooms).items()}
    site = _Site(
        job,
        grouped(points, lambda point: point.leg or ""),
        _middles(points, fits),
        room_of,
        {cabinet.id: room_of[cabinet.wall] for cabinet in job.cabinets},
        {bar.id: room_of[bar.wall] for fit in fits for bar in fit.bars},
        {leg.id: frozenset(leg.avoid) for leg in job.legs},
        _standing(job, rooms),
        laid,
        frozenset((each.run or "", each.leg) for each in laid.values()),
        {},
    )
    hung = {mount.bar: mount for mount in mounts}
    for room in rooms:
        if room.walls:
            site.networks[room.room.id] = site.net(room, fits, hung)
    links = tuple(
        _link(fit, left, right, site) for fit in fits for left, right in pairwise(fit.bars)
    )
    leads = {leg.id: _leads(leg, site) for leg in job.legs}
    return Routes(
        tuple(_as_laid(cable, site) for cables, _ in leads.values() for cable in cables),
        tuple(
            link._replace(cable=_as_laid(link.cable, site)) if link.cable else link
            for link in links
        ),
        site.networks,
        tuple(leg for leg, (_, proven) in leads.items() if not proven),
    )


def _as_laid(cable: Cable, site: "_Site") -> Cable:
    """Give a cable that is in its place with the length it was cut to."""
    one = site.laid.get(cable.id)
    if one is None or one.leg != cable.leg or one.run != cable.run:
        return cable
    length = given(
        cable.length.name if cable.length else "lead", one.length, "mm", "built", cable.id
    )
    return cable._replace(length=length, laid=True)


def _standing(job: Job, rooms: Sequence[RoomPlan]) -> Mapping[str, Spans[Obstacle]]:
    lines = wall_lines(rooms)
    standing = (each for each in job.obstacles if each.kind in SUITED)
    found = grouped(standing, lambda each: lines[each.wall].wall.room)
    return {
        room.room.id: Spans(
            (before + float(each.at), before + float(each.at + each.width), each)
            for each in found.get(room.room.id, ())
            for before in (lines[each.wall].before,)
        )
        for room in rooms
    }


class _Site(NamedTuple):
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
    wired: frozenset[tuple[str, str]]
    """The runs that they come to, and their legs."""
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


# From the supply to the feed ends


def _middles(points: Sequence[FeedPoint], fits: Sequence[RunFit]) -> dict[str, Decimal]:
    """Give, by bar, where along it a cable meets it within [mm]."""
    bars = {bar.id: bar for fit in fits for bar in fit.bars}
    inner = (point for point in points if point.at == "middle")
    return {point.bar: mark_on_bar(bars[point.bar], point) for point in inner}


class _Feed(NamedTuple):
    """A feed point of a run: where it is among the ways of its room."""

    point: FeedPoint
    room: str
    place: int


def _feeds(leg: Leg, site: _Site) -> Iterator[_Feed]:
    for point in site.feeds.get(leg.id, ()):
        room = site.bar_rooms[point.bar]
        yield _Feed(point, room, site.networks[room].ends[point.bar, point.at])


# A leg's cables, and whether they are proven the cheapest of their wiring.
_Leads = tuple[list[Cable], bool]


def _leads(leg: Leg, site: _Site) -> _Leads:
    """Lay a leg's cables from its supply; or from its first run, if the way there is measured."""
    feeds = [*_feeds(leg, site)]
    if not feeds:
        return [], True
    first = feeds[0]
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
    site: _Site,
    start: tuple[str, int, str],
    before: str | None,
) -> _Leads:
    """Lay cables from a place to feed ends; those it cannot reach get one of unknown length."""
    room, root, origin = start
    net = site.networks[room]
    own = {feed.place: feed for feed in feeds if feed.room == room}
    via = tuple(net.cabinets[name] for name in leg.via if site.cabinet_rooms[name] == room)
    avoid = site.kept_out[leg.id]
    there = tuple(at for at, feed in own.items() if (feed.point.run, leg.id) in site.wired)
    new = tuple(at for at in own if at not in there) if there else ()
    stops = there or tuple(own)
    laid = lay_cables(net, root, stops, leg.wiring, () if before else via, avoid, new)
    cables: list[Cable] = []
    first = 1 if before is None else 2
    for number, branch in enumerate(laid.branches, first):
        feed = own.get(branch.end)
        parent = cables[branch.before] if branch.before is not None else None
        cable_id = f"{leg.id}.{number}"
        point = feed.point if feed else None
        ways = tuple(net.ways[index] for index in branch.ways)
        cables.append(
            Cable(
                id=cable_id,
                leg=leg.id,
                run=point.run if point else None,
                origin=parent.end if parent else origin,
                end=point.name if point else f"{leg.id} tee {number}",
                before=parent.id if parent else before,
                length=cut_length(
                    cable_id, ways, site.job.allowances, "lead" if not parent else "branch"
                ),
                ways=ways,
                places=_passed(net, branch),
                room=room,
                feed=point,
            )
        )
    reached = {cable.feed for cable in cables}
    for feed in feeds:
        if feed.point not in reached:
            cable_id = f"{leg.id}.{len(cables) + first}"
            point = feed.point
            unknown = Cable(
                cable_id,
                leg.id,
                point.run,
                origin,
                point.name,
                before,
                None,
                room=feed.room,
                feed=point,
            )
            cables.append(unknown)
    return cables, laid.proven


def _passed(net: RoomWays, branch: Branch) -> tuple[Place, ...]:
    """Give the places a cable passes, in order."""
    node = branch.start
    places = [net.places[node]]
    for index in branch.ways:
        way = net.ways[index]
        node = way.start + way.end - node
        places.append(net.places[node])
    return tuple(places)


# From bar to bar


def _link(fit: RunFit, left: Bar, right: Bar, site: _Site) -> Link:
    run = fit.run
    room = site.room_of[left.wall]
    if room != site.room_of[right.wall]:
        return Link(run.id, left.id, right.id, (), "none", None)
    net = site.networks[room]
    one, other = net.ends[left.id, "right"], net.ends[right.id, "left"]
    start, end = net.places[one].along, net.places[other].along
    standing = site.standing[room].within(start, end)
    crossing = hardest_crossing(standing) if standing else "hole"
    names = tuple(each.id for each in standing)
    unlinked = Link(run.id, left.id, right.id, names, crossing, None)
    if crossing in ("none", "not chosen"):
        return unlinked
    branch = join_bars(net, one, other, site.kept_out.get(run.leg or "", frozenset()))
    if branch is None:
        return unlinked
    cable_id = f"{left.id}-{right.id.rpartition('.')[2]}"
    ways = tuple(net.ways[index] for index in branch.ways)
    cable = Cable(
        id=cable_id,
        leg=run.leg,
        run=run.id,
        origin=f"{left.id} right",
        end=f"{right.id} left",
        before=None,
        length=cut_length(cable_id, ways, site.job.allowances, "link"),
        ways=ways,
        places=_passed(net, branch),
        room=room,
    )
    return unlinked._replace(cable=cable)

"""Every low-voltage cable: from the supply to feed ends, and from bar to bar past what is between.

Cables take the cheapest ways the cabinets offer. A measured lead length wins.
"""

from collections.abc import Iterable, Mapping, Sequence, Set
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property
from itertools import pairwise
from types import MappingProxyType
from typing import NamedTuple, TypeVar

from pelmet.model.grouped import grouped
from pelmet.model.job.built import LaidCable
from pelmet.model.job.items import Crossing, Obstacle
from pelmet.model.job.job import Job
from pelmet.model.job.piece_names import bar_of
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.feed_points import FeedPoint, feed_points_of, mark_on_bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.figure import Figure, given
from pelmet.model.plan.mounting.mounts import Mount
from pelmet.model.plan.survey.crossings import SUITED, hardest_crossing
from pelmet.model.plan.survey.geometry import RoomPlan, wall_lines
from pelmet.model.plan.survey.spans import Spans
from pelmet.model.plan.ways.branches import join_bars
from pelmet.model.plan.ways.cable import Cable, cut_length
from pelmet.model.plan.ways.leads import SiteWays, lay_leg, places_passed
from pelmet.model.plan.ways.place import Way
from pelmet.model.plan.ways.room_ways import RoomWays
from pelmet.model.remembered import Remembered

T = TypeVar("T")


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


class Passing(NamedTuple):
    """A cable as far as the holes it goes through are concerned."""

    id: str
    leg: str | None
    laid: bool
    ways: tuple[Way, ...]


@dataclass(frozen=True, slots=True, eq=False)
class RoomCables:
    """The cables of one room, and the legs they are of, each once.

    They are told apart by identity: the same ways give the same one again.
    """

    cables: tuple[Passing, ...]
    legs: tuple[str | None, ...]


@dataclass(frozen=True)
class Routes:
    """All low-voltage cables of a job: ``leads`` of each leg from the supply on, and ``links``.

    ``networks`` holds, by room, all ways that cables could take; ``unproven`` names the legs
    for which a cheaper way of their wiring could not be ruled out. ``areas`` are the routes that
    these were joined from: what belongs to a room, a leg or a run is in one of them.
    """

    leads: tuple[Cable, ...]
    links: tuple[Link, ...]
    networks: Mapping[str, RoomWays] = field(compare=False)
    unproven: tuple[str, ...] = ()
    areas: "tuple[Routes, ...]" = field(default=(), compare=False, repr=False)

    @cached_property
    def cables(self) -> tuple[Cable, ...]:
        """Every cable whose length is known."""
        leads = (lead for lead in self.leads if lead.length)
        return (*leads, *(link.cable for link in self.links if link.cable))

    def leads_of(self, leg: str) -> tuple[Cable, ...]:
        """Give a leg's cables, each after the one it goes on from."""
        return self.by_leg.get(leg, ())

    def cables_of(self, leg: str) -> tuple[Cable, ...]:
        """Give every cable of a leg whose length is known, links with them."""
        return self.known_by_leg.get(leg, ())

    def links_of(self, run: str) -> tuple[Link, ...]:
        """Give a run's links, left to right."""
        return self.by_run.get(run, ())

    @cached_property
    def in_room(self) -> Mapping[str, RoomCables]:
        """The cables of each room, as far as their lengths are known."""
        if self.areas:
            return _in_any(area.in_room for area in self.areas)
        found = {
            room: _of_room(*((each.id, each.leg, each.laid, each.ways) for each in own))
            for room, own in grouped(self.cables, lambda cable: cable.room).items()
        }
        _of_room.keep(len(found) + _OTHER_ROOMS)
        return found

    @cached_property
    def passed(self) -> Mapping[str, tuple[str, ...]]:
        """What each cable (its id) passes, of those that pass something."""
        if self.areas:
            return _in_any(area.passed for area in self.areas)
        found = (
            (each.id, [name for way in each.ways for name in way.passes]) for each in self.cables
        )
        return {cable: tuple(names) for cable, names in found if names}

    @cached_property
    def legs_in_walls(self) -> Set[str | None]:
        """The legs of which some cable goes in a wall."""
        if self.areas:
            return frozenset[str | None]().union(*(area.legs_in_walls for area in self.areas))
        return {
            cable.leg for cable in self.cables if any(way.kind == "in wall" for way in cable.ways)
        }

    @cached_property
    def legs_through_holes(self) -> Set[str | None]:
        """The legs of which some cable goes through a hole."""
        if self.areas:
            return frozenset[str | None]().union(*(area.legs_through_holes for area in self.areas))
        return {cable.leg for cable in self.cables if any(way.drillings for way in cable.ways)}

    @cached_property
    def by_leg(self) -> Mapping[str, tuple[Cable, ...]]:
        """Each leg's leads."""
        if self.areas:
            return _in_any(area.by_leg for area in self.areas)
        return grouped(self.leads, lambda lead: lead.leg or "")

    @cached_property
    def known_by_leg(self) -> Mapping[str, tuple[Cable, ...]]:
        """Each leg's cables whose length is known."""
        if self.areas:
            return _in_any(area.known_by_leg for area in self.areas)
        return grouped((each for each in self.cables if each.leg), lambda cable: cable.leg or "")

    @cached_property
    def by_run(self) -> Mapping[str, tuple[Link, ...]]:
        """Each run's links."""
        if self.areas:
            return _in_any(area.by_run for area in self.areas)
        return grouped(self.links, lambda link: link.run)


def _room_cables(*cables: tuple[str, str | None, bool, tuple[Way, ...]]) -> RoomCables:
    passing = tuple(Passing(*each) for each in cables)
    return RoomCables(passing, tuple(dict.fromkeys(each.leg for each in passing)))


_of_room = Remembered(_room_cables)
_OTHER_ROOMS = 400  # kept besides those of the routes laid last


def _in_any(found: Iterable[Mapping[str, T]]) -> Mapping[str, T]:
    whole: dict[str, T] = {}
    for each in found:
        whole.update(each)
    return whole


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
    lines = wall_lines(rooms)
    room_of = {name: line.wall.room for name, line in lines.items()}
    site = SiteWays(
        job,
        grouped(points, lambda point: point.leg or ""),
        _middles(points, fits),
        room_of,
        {cabinet.id: room_of[cabinet.wall] for cabinet in job.cabinets},
        {bar.id: room_of[bar.wall] for fit in fits for bar in fit.bars},
        {leg.id: frozenset(leg.avoid) for leg in job.legs},
        _standing(job, rooms),
        laid,
        grouped(
            (each for each in laid.values() if bar_of(each.cable)[0] == each.leg),
            lambda each: each.leg,
        ),
        {name: line.before for name, line in lines.items()},
        {},
    )
    hung = {mount.bar: mount for mount in mounts}
    for room in rooms:
        if room.walls:
            site.networks[room.room.id] = site.net(room, fits, hung)
    links = tuple(
        _link(fit, left, right, site) for fit in fits for left, right in pairwise(fit.bars)
    )
    leads = {leg.id: lay_leg(leg, site) for leg in job.legs}
    return Routes(
        tuple(_as_laid(cable, site) for cables, _ in leads.values() for cable in cables),
        tuple(
            link._replace(cable=_as_laid(link.cable, site)) if link.cable else link
            for link in links
        ),
        site.networks,
        tuple(leg for leg, (_, proven) in leads.items() if not proven),
    )


def _as_laid(cable: Cable, site: "SiteWays") -> Cable:
    """Give a cable that is in its place with the length it was cut to."""
    one = site.laid.get(cable.id)
    if one is None or one.leg != cable.leg or one.run != cable.run:
        return cable
    was = cable.length
    name, about = (was.name, was.about) if was else ("lead", cable.id)
    length = given(name, one.length, "mm", "built", about)
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


def _middles(points: Sequence[FeedPoint], fits: Sequence[RunFit]) -> dict[str, Decimal]:
    """Give, by bar, where along it a cable meets it within [mm]."""
    bars = {bar.id: bar for fit in fits for bar in fit.bars}
    inner = (point for point in points if point.at == "middle")
    return {point.bar: mark_on_bar(bars[point.bar], point) for point in inner}


# From bar to bar


def _link(fit: RunFit, left: Bar, right: Bar, site: SiteWays) -> Link:
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
        places=places_passed(net, one, branch.ways),
        room=room,
    )
    return unlinked._replace(cable=cable)

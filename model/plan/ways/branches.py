"""The cables of one leg as stretches between a supply, tees and feed ends, by kind of wiring."""

from collections.abc import Collection, Iterator, Sequence
from functools import lru_cache
from math import fsum
from typing import NamedTuple

from pelmet.model.job.feeds import Wiring
from pelmet.model.plan.ways.chain import cheapest_chain
from pelmet.model.plan.ways.net import Edge, Net, meetings, without_nodes
from pelmet.model.plan.ways.room_ways import RoomWays
from pelmet.model.plan.ways.shortest import nodes_within, path, shortest_paths
from pelmet.model.plan.ways.tree import tree_along

_REMEMBERED = 256
_ROOMS_AT_HAND = 4  # the legs and links of a room come one after another
_HALF = 0.5 * (1 + 1e-9)  # and what adding up in another order makes of it
_THROUGH = 2  # ways that meet where a cable only passes


class Branch(NamedTuple):
    """One cable: the places it starts and ends at, its ways in order, the cable before it."""

    start: int
    end: int
    ways: tuple[int, ...]
    before: int | None


class Laid(NamedTuple):
    """A leg's cables, each after the one it goes on from; whether no wiring of this kind costs
    less is proven."""

    branches: tuple[Branch, ...]
    proven: bool


@lru_cache(maxsize=_REMEMBERED)
def lay_cables(
    net: RoomWays,
    root: int,
    stops: tuple[int, ...],
    wiring: Wiring,
    via: tuple[int, ...] = (),
    avoid: frozenset[str] = frozenset(),
) -> Laid:
    """Lay cables from a place to all stops that can be reached, through ``via`` first.

    ``avoid`` names cabinets whose places are not touched. Chained cables go on from stop to stop in
    the cheapest order, home runs all start at the root.
    """
    free = _net(net, avoid, links=False)
    # A cable starts at a supply, it does not pass one.
    shut = {place for place in net.supplies.values() if place != root}
    trunk, start = _trunk(free, root, via, shut)
    paths = shortest_paths(free, start, stops, shut)
    found = {stop: path(free, paths, stop) for stop in stops}
    own = {stop: way for stop, way in found.items() if way is not None}
    proven = True
    if wiring == "home run" or len(own) <= 1:
        branches = [Branch(start, stop, way, None) for stop, way in own.items()]
        return Laid(tuple(_from(root, trunk, each) for each in branches), proven)
    if wiring == "chained":
        chain = cheapest_chain(free, start, tuple(own), shut)
        assert chain is not None, "every stop has a way to it"
        proven = chain.proven
        hops = zip((start, *chain.stops), chain.stops, chain.paths, strict=False)
        branches = [
            Branch(one, other, way, row - 1 if row else None)
            for row, (one, other, way) in enumerate(hops)
        ]
    else:
        most = fsum(paths.costs[stop] for stop in own)
        edges, proven = _tree(net, free, (start, *own), most, shut)
        branches = list(_grown(free.edges, edges, start, frozenset(own)))
    return Laid(tuple(_after(root, trunk, start, branches)), proven)


@lru_cache(maxsize=_REMEMBERED)
def go_on(
    net: RoomWays,
    joints: tuple[int, ...],
    stops: tuple[int, ...],
    avoid: frozenset[str],
    wiring: Wiring,
) -> Laid:
    """Lay cables to more stops from the joints of what is laid, the nearest stop first.

    What is come to is a joint for the next, but of home runs.
    """
    free = _net(net, avoid, links=False)
    branches: list[Branch] = []
    left, before = [*stops], [*joints]
    while left:
        ways = []
        for joint in before:
            shut = set(net.supplies.values()) - {joint}
            paths = shortest_paths(free, joint, left, shut)
            found = ((stop, path(free, paths, stop)) for stop in left)
            ways += [
                (paths.costs[stop], joint, stop, way) for stop, way in found if way is not None
            ]
        if not ways:
            break
        _, joint, stop, way = min(ways)
        branches.append(Branch(joint, stop, way, None))
        left.remove(stop)
        if wiring != "home run":
            before.append(stop)
    return Laid(tuple(branches), len(stops) == 1)


@lru_cache(maxsize=_REMEMBERED)
def way_of_laid(
    net: RoomWays,
    one: int,
    other: int,
    via: tuple[int, ...] = (),
    avoid: frozenset[str] = frozenset(),
) -> tuple[int, ...]:
    """Give the ways that a cable in its place takes: the cheapest, wherever else it must not be."""
    for kept_out in dict.fromkeys((avoid, frozenset[str]())):
        free = _net(net, kept_out, links=False)
        shut = set(net.supplies.values()) - {one}
        trunk, start = _trunk(free, one, via, shut)
        way = path(free, shortest_paths(free, start, [other], shut), other)
        if way is not None:
            return (*trunk, *way)
    return ()


@lru_cache(maxsize=_ROOMS_AT_HAND)
def _net(net: RoomWays, avoid: frozenset[str], *, links: bool) -> Net:
    """Give a room's net, as links or as leads may use it, out of the cabinets to keep out of."""
    shut = {at for at, place in enumerate(net.places) if avoid and place.owner in avoid}
    free = without_nodes(net.edges if links else net.lead_edges, shut)
    return Net(free, meetings(free, range(len(free)), len(net.places)))


@lru_cache(maxsize=_REMEMBERED)
def join_bars(
    net: RoomWays, one: int, other: int, avoid: frozenset[str] = frozenset()
) -> Branch | None:
    """Give the cheapest way from the end of one bar to the start of the next, if there is one."""
    free = _net(net, avoid, links=True)
    shut = set(net.supplies.values())
    way = path(free, shortest_paths(free, one, [other], shut), other)
    return None if way is None else Branch(one, other, way, None)


def _tree(
    net: RoomWays, free: Net, ends: tuple[int, ...], most: float, shut: Collection[int]
) -> tuple[tuple[int, ...], bool]:
    """Give the edges of the cheapest tree that joins places, and whether that is proven.

    ``most`` is what some tree costs. A place that the cheapest passes has two of the ends on two
    sides of it, so it is no further than half of that from the nearer one: the rest of the room is
    left out.
    """
    near = nodes_within(free, ends, most * _HALF, shut)
    ways = sorted({index for place in near for other, index in free.near[place] if other in near})
    line = sorted(near, key=lambda place: (net.places[place].along, place))
    tree = tree_along(free.edges, ways, line, ends)
    return tree.edges, tree.proven


def _trunk(
    net: Net, root: int, via: Sequence[int], shut: Collection[int]
) -> tuple[tuple[int, ...], int]:
    """Go from a place through others in turn; give the way and where it ends."""
    trunk: list[int] = []
    for stop in via:
        on = path(net, shortest_paths(net, root, [stop], shut), stop)
        if on is not None:
            trunk += on
            root = stop
    return tuple(trunk), root


def _from(root: int, trunk: tuple[int, ...], branch: Branch) -> Branch:
    """Let a cable come all the way from the root."""
    return branch._replace(start=root, ways=(*trunk, *branch.ways))


def _after(
    root: int, trunk: tuple[int, ...], start: int, branches: Sequence[Branch]
) -> Iterator[Branch]:
    """Put the trunk before cables: in one piece with the only one that goes on, or to a tee."""
    going_on = sum(branch.before is None for branch in branches)
    if not trunk or going_on == 1:
        for branch in branches:
            yield _from(root, trunk, branch) if branch.before is None else branch
        return
    yield Branch(root, start, trunk, None)
    for branch in branches:
        yield branch._replace(before=0 if branch.before is None else branch.before + 1)


def _grown(
    edges: Sequence[Edge], tree: Sequence[int], root: int, stops: frozenset[int]
) -> Iterator[Branch]:
    """Follow a tree from its root, a cable at a time: each ends at a stop or at a tee."""
    meeting: dict[int, list[int]] = {}
    for index in tree:
        meeting.setdefault(edges[index].a, []).append(index)
        meeting.setdefault(edges[index].b, []).append(index)
    waiting: list[tuple[int, int, int | None]] = [
        (root, index, None) for index in meeting.get(root, ())
    ]
    for own, (start, index, before) in enumerate(waiting):
        ways, node = [index], _other(edges[index], start)
        while node not in stops and len(meeting[node]) == _THROUGH:
            ways.append(next(each for each in meeting[node] if each != ways[-1]))
            node = _other(edges[ways[-1]], node)
        yield Branch(start, node, tuple(ways), before)
        waiting += [(node, each, own) for each in meeting[node] if each != ways[-1]]


def _other(edge: Edge, node: int) -> int:
    return edge.a + edge.b - node

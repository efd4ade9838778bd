"""The cheapest chain: one cable from a place on from stop to stop, in the best order."""

from collections.abc import Collection, Sequence
from math import fsum
from typing import NamedTuple

from pelmet.model.plan.ways.net import Net
from pelmet.model.plan.ways.shortest import path, shortest_paths

_MOST_STOPS = 10  # the work doubles, and more, with each


class Chain(NamedTuple):
    """A way from a place to all its stops in turn."""

    stops: tuple[int, ...]
    """The stops in the order they are come to."""
    paths: tuple[tuple[int, ...], ...]
    """For each stop, the edges (their indices) from the one before it; an edge may recur."""
    cost: float
    """All the edges' cost together, in their unit."""
    proven: bool
    """Whether no order costs less."""


def cheapest_chain(
    net: Net, start: int, stops: Sequence[int], shut: Collection[int] = ()
) -> Chain | None:
    """Find the cheapest order of the stops, each come to by the cheapest way from the last.

    More than 10 stops are left in the order given, and that is not proven to be the cheapest.
    ``shut`` are nodes that are not gone through.
    Of orders that cost the same the one that comes first, as the stops are given, is taken.

    Returns:
        The chain; nothing if a stop cannot be reached.
    """
    places = (start, *stops)
    ways = {place: shortest_paths(net, place, places, shut) for place in places}
    legs = [[path(net, ways[a], b) for b in places] for a in places]
    between = [
        [fsum(net.edges[k].cost for k in leg) for leg in row if leg is not None] for row in legs
    ]
    if len(between[0]) < len(places):
        return None
    proven = len(stops) <= _MOST_STOPS
    turns = _cheapest_order(between) if proven else tuple(range(1, len(places)))
    gone = tuple(
        leg for a, b in zip((0, *turns), turns, strict=False) if (leg := legs[a][b]) is not None
    )
    cost = fsum(net.edges[k].cost for leg in gone for k in leg)
    return Chain(tuple(places[turn] for turn in turns), gone, cost, proven)


def _cheapest_order(between: Sequence[Sequence[float]]) -> tuple[int, ...]:
    """Give the cheapest order of all places but the first, which is where one starts.

    Source: M. Held and R. M. Karp, A dynamic programming approach to sequencing problems,
    Journal of the Society for Industrial and Applied Mathematics 10 (1962) 196-210.
    """
    turns = range(1, len(between))
    best: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {(0, 0): (0.0, ())}
    for _ in turns:
        longer: dict[tuple[int, int], tuple[float, tuple[int, ...]]] = {}
        for (been, here), (cost, order) in best.items():
            for turn in turns:
                if been >> turn & 1:
                    continue
                reached = (been | 1 << turn, turn)
                option = (cost + between[here][turn], (*order, turn))
                if reached not in longer or option < longer[reached]:
                    longer[reached] = option
        best = longer
    return min(best.values())[1]

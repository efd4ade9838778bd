"""The cheapest way along a net from one node to every other."""

import heapq
from collections.abc import Collection, Mapping
from math import inf
from typing import NamedTuple

from pelmet.model.plan.ways.net import Net


class Paths(NamedTuple):
    """The cheapest ways from one node to others."""

    costs: Mapping[int, float]
    """For each node that was come to, what the way there costs."""
    by: Mapping[int, int]
    """For each of them but the start, the edge (its index) it is reached by."""


def shortest_paths(
    net: Net, start: int, ends: Collection[int] | None = None, shut: Collection[int] = ()
) -> Paths:
    """Find the cheapest ways from a node to all others.

    With ``ends`` it is enough to come to all of those; ``shut`` are nodes not to be come to.

    Source: E. W. Dijkstra, A note on two problems in connexion with graphs, Numerische
    Mathematik 1 (1959) 269-271.
    """
    costs = {start: 0.0}
    by: dict[int, int] = {}
    queue = [(0.0, start)]
    waiting = set(range(len(net.near)) if ends is None else ends)
    while queue and waiting:
        cost, node = heapq.heappop(queue)
        if cost > costs[node]:
            continue
        waiting.discard(node)
        for other, index in net.near[node]:
            total = cost + net.edges[index].cost
            if total < costs.get(other, inf) and other not in shut:
                costs[other], by[other] = total, index
                heapq.heappush(queue, (total, other))
    return Paths(costs, by)


def nodes_within(
    net: Net, starts: Collection[int], most: float, shut: Collection[int] = ()
) -> set[int]:
    """Give the nodes that some start has a way to of this cost at most; ``shut`` as above."""
    costs = dict.fromkeys(starts, 0.0)
    queue = [(0.0, node) for node in starts]
    while queue:
        cost, node = heapq.heappop(queue)
        if cost > costs[node]:
            continue
        for other, index in net.near[node]:
            total = cost + net.edges[index].cost
            if total <= most and total < costs.get(other, inf) and other not in shut:
                costs[other] = total
                heapq.heappush(queue, (total, other))
    return set(costs)


def path(net: Net, paths: Paths, end: int) -> tuple[int, ...] | None:
    """Give the edges (their indices) of the way to a node, in the order they are gone along.

    Nothing if no way leads there. ``paths`` must come from the same net.
    """
    if end not in paths.costs:
        return None
    way = []
    while (index := paths.by.get(end)) is not None:
        way.append(index)
        end = net.edges[index].a + net.edges[index].b - end
    return tuple(reversed(way))

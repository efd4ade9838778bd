"""The cheapest way along a net from one node to every other."""

import heapq
from collections.abc import Sequence
from math import inf
from typing import NamedTuple

from pelmet.model.plan.ways.net import Edge, meetings, node_count


class Paths(NamedTuple):
    """The cheapest ways from one node to all others."""

    costs: tuple[float, ...]
    """For each node, what the way there costs; infinite where there is none."""
    by: tuple[int | None, ...]
    """For each node, the edge (its index) it is reached by; none at the start and where no way
    leads."""


def shortest_paths(edges: Sequence[Edge], start: int) -> Paths:
    """Find the cheapest ways from a node to all others.

    Raises:
        ValueError: A cost is negative or not finite, or a node is below 0.

    Source: E. W. Dijkstra, A note on two problems in connexion with graphs, Numerische
    Mathematik 1 (1959) 269-271.
    """
    count = node_count(edges, start)
    near = meetings(edges, range(len(edges)), count)
    costs = [inf] * count
    costs[start] = 0.0
    by: list[int | None] = [None] * count
    queue = [(0.0, start)]
    while queue:
        cost, node = heapq.heappop(queue)
        if cost > costs[node]:
            continue
        for other, index in near[node]:
            total = cost + edges[index].cost
            if total < costs[other]:
                costs[other], by[other] = total, index
                heapq.heappush(queue, (total, other))
    return Paths(tuple(costs), tuple(by))


def path(edges: Sequence[Edge], paths: Paths, end: int) -> tuple[int, ...] | None:
    """Give the edges (their indices) of the way to a node, in the order they are gone along.

    Nothing if no way leads there. ``paths`` must come from the same edges.
    """
    if end >= len(paths.costs) or paths.costs[end] == inf:
        return None
    way = []
    while (index := paths.by[end]) is not None:
        way.append(index)
        end = edges[index].a + edges[index].b - end
    return tuple(reversed(way))

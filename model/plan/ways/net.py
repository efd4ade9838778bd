"""A net of cable ways, its nodes numbered from 0: what meets where, and what leads nowhere."""

from collections.abc import Collection, Iterable, Sequence
from math import isfinite
from typing import NamedTuple

Meetings = list[list[tuple[int, int]]]
"""For each node, the nodes next to it, each with the edge (its index) that leads there."""


class Edge(NamedTuple):
    """One way a cable can take, in either direction."""

    a: int
    """Node at one end, 0 or more."""
    b: int
    """Node at the other end; an edge from a node to itself is ignored."""
    cost: float
    """What it costs to take it, 0 or more; in one unit throughout a net."""


class Net(NamedTuple):
    """Edges, and what is next to each node by them."""

    edges: Sequence[Edge]
    near: Meetings


def node_count(edges: Iterable[Edge], *nodes: int) -> int:
    """Give how many nodes there are: one more than the highest number in edges and nodes.

    Raises:
        ValueError: A cost is negative or not finite, or a node is below 0.
    """
    lowest, highest = min(nodes, default=0), max(nodes, default=-1)
    for a, b, cost in edges:
        if not (isfinite(cost) and cost >= 0):
            raise ValueError(f"the cost of an edge must be 0 or more, not {cost}")
        lowest, highest = min(lowest, a, b), max(highest, a, b)
    if lowest < 0:
        raise ValueError(f"nodes are numbered from 0, not {lowest}")
    return highest + 1


def meetings(edges: Sequence[Edge], kept: Iterable[int], count: int) -> Meetings:
    """Give what is next to each node by the kept edges."""
    near: Meetings = [[] for _ in range(count)]
    for index in kept:
        a, b, _ = edges[index]
        if a != b:
            near[a].append((b, index))
            near[b].append((a, index))
    return near


def breadth_first(near: Meetings, start: int) -> list[int]:
    """Give the nodes that can be reached, the start first, the fewest edges away first."""
    nodes, seen = [start], {start}
    for node in nodes:
        for other, _ in near[node]:
            if other not in seen:
                seen.add(other)
                nodes.append(other)
    return nodes


def without_nodes(edges: Sequence[Edge], shut: Collection[int]) -> Sequence[Edge]:
    """Give edges, those at nodes that are shut as edges that lead nowhere."""
    if not shut:
        return edges
    return [
        Edge(each.a, each.a, 0.0) if each.a in shut or each.b in shut else each for each in edges
    ]


def without_dead_ends(
    edges: Sequence[Edge], kept: Iterable[int], wanted: Collection[int], count: int
) -> list[int]:
    """Give the kept edges less those that lead only to dead ends where nothing is wanted."""
    near = meetings(edges, kept, count)
    ways = [len(each) for each in near]
    gone: set[int] = set()
    loose = [node for node in range(count) if ways[node] == 1 and node not in wanted]
    for node in loose:
        for other, index in near[node]:
            if index not in gone:
                gone.add(index)
                ways[other] -= 1
                if ways[other] == 1 and other not in wanted:
                    loose.append(other)
    return sorted({index for each in near for _, index in each} - gone)

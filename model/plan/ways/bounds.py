"""What the cheapest tree costs at least, and a good tree that it costs at most: both fast."""

import heapq
from collections.abc import Iterable, Sequence, Set
from dataclasses import dataclass
from functools import cached_property
from math import inf
from typing import NamedTuple

from pelmet.model.plan.ways.net import Edge, Meetings, meetings, without_dead_ends


@dataclass(frozen=True, eq=False)
class Floor:
    """What a tree costs at least."""

    cost: float
    """Any tree that joins the terminals."""
    ahead: Sequence[float]
    """Those edges of any of them that end at this node or one after it; a last 0 for none."""
    _edges: Sequence[Edge]
    _terminals: Set[int]
    _into: Meetings
    _left: Sequence[float]

    @cached_property
    def through(self) -> list[float]:
        """Any of them that uses this edge; worked out when somebody asks."""
        root, left = min(self._terminals), self._left
        out: Meetings = [[] for _ in self._into]
        for head, entries in enumerate(self._into):
            for tail, arc in entries:
                out[tail].append((head, arc))
        there = _distances([root], out, left)
        onward = _distances(self._terminals - {root}, self._into, left)
        return [
            self.cost
            + min(
                there[a] + left[2 * index] + onward[b], there[b] + left[2 * index + 1] + onward[a]
            )
            for index, (a, b, _) in enumerate(self._edges)
        ]


def tree_floor(edges: Sequence[Edge], terminals: Set[int], count: int) -> Floor:
    """Find what a tree that joins the terminals costs at least; they must hang together.

    A tree, seen as leading away from the first terminal, enters every set of nodes that holds
    another. Sets are given prices, one after the other, so that what an edge is charged never
    passes its cost in either direction: the prices add up to a bound. What is left of the edges
    on the way through one of them comes on top for a tree that uses it.

    Source: R. T. Wong, A dual ascent approach for Steiner tree problems on a directed graph,
    Mathematical Programming 28 (1984) 271-287.
    """
    root = min(terminals)
    left: list[float] = []  # 2k from a to b, 2k + 1 from b to a
    into: Meetings = [[] for _ in range(count)]
    for a, b, cost in edges:
        into[b].append((a, len(left)))
        into[a].append((b, len(left) + 1))
        left += (cost, cost)
    ahead = [0.0] * (count + 1)
    sets = {node: _FreeSet({node}, into[node]) for node in terminals - {root}}
    queue = sorted((len(into[node]), node) for node in sets)
    while queue:
        least, node = heapq.heappop(queue)
        one = _grown(sets[node], root, into, left)
        if one is None:
            continue
        sets[node] = one
        inside, entries = one
        if not queue or len(entries) <= max(least, queue[0][0]):  # few entries first: tighter
            price = min([left[arc] for _, arc in entries])
            for _, arc in entries:
                left[arc] -= price
            ahead[min(inside)] += price
        heapq.heappush(queue, (len(entries), node))
    for node in reversed(range(count)):
        ahead[node] += ahead[node + 1]
    return Floor(ahead[0], ahead, edges, terminals, into, left)


class _FreeSet(NamedTuple):
    """Nodes with a way to one of them on which nothing is left, and the arcs into them."""

    inside: set[int]
    entries: list[tuple[int, int]]


def _grown(one: _FreeSet, root: int, into: Meetings, left: Sequence[float]) -> _FreeSet | None:
    """Take in what has come to be freely joined to a set; nothing once that is the root.

    A set only ever grows, as nothing comes back to what is left of an arc.
    """
    inside, waiting = one
    entries: list[tuple[int, int]] = []
    while waiting:
        fresh = []
        for entry in waiting:
            tail, arc = entry
            if tail in inside:
                continue
            if left[arc] > 0:
                entries.append(entry)
            elif tail == root:
                return None
            else:
                inside.add(tail)
                fresh += into[tail]
        waiting = fresh
    return _FreeSet(inside, [entry for entry in entries if entry[0] not in inside])


def _distances(starts: Iterable[int], near: Meetings, left: Sequence[float]) -> list[float]:
    costs = [inf] * len(near)
    queue = [(0.0, node) for node in sorted(starts)]
    for _, node in queue:
        costs[node] = 0.0
    while queue:
        cost, node = heapq.heappop(queue)
        if cost > costs[node]:
            continue
        for other, arc in near[node]:
            total = cost + left[arc]
            if total < costs[other]:
                costs[other] = total
                heapq.heappush(queue, (total, other))
    return costs


def grown_tree(edges: Sequence[Edge], terminals: Set[int], count: int) -> list[int]:
    """Grow a tree from the first terminal, always to the nearest one; they must hang together.

    It costs less than twice the cheapest.

    Source: H. Takahashi and A. Matsuyama, An approximate solution for the Steiner problem in
    graphs, Mathematica Japonica 24 (1980) 573-577; then the least spanning tree of its nodes.
    """
    near = meetings(edges, range(len(edges)), count)
    root = min(terminals)
    tree, waiting = {root}, set(terminals - {root})
    costs = [inf] * count
    costs[root] = 0.0
    before: dict[int, int] = {}
    queue = [(0.0, root)]
    while waiting:
        cost, node = heapq.heappop(queue)
        if cost > costs[node]:
            continue
        if node in waiting:
            while node not in tree:
                tree.add(node)
                waiting.discard(node)
                costs[node] = 0.0
                heapq.heappush(queue, (0.0, node))
                node = before[node]
            continue
        for other, index in near[node]:
            total = cost + edges[index].cost
            if total < costs[other]:
                costs[other] = total
                before[other] = node
                heapq.heappush(queue, (total, other))
    inner = [index for index, (a, b, _) in enumerate(edges) if a in tree and b in tree]
    return without_dead_ends(edges, _spanning(edges, inner), terminals, count)


def _spanning(edges: Sequence[Edge], kept: Iterable[int]) -> list[int]:
    """Give the least spanning tree: the cheapest edge that closes no ring, again and again."""
    above: dict[int, int] = {}

    def top(node: int) -> int:
        while node in above:
            node = above[node]
        return node

    taken = []
    for index in sorted(kept, key=lambda each: (edges[each].cost, each)):
        a, b = top(edges[index].a), top(edges[index].b)
        if a != b:
            above[a] = b
            taken.append(index)
    return taken

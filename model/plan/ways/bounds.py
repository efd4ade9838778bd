"""What the cheapest tree costs at least, and a good tree that it costs at most: both fast."""

import heapq
from collections.abc import Iterable, Sequence, Set
from math import inf
from typing import NamedTuple

from pelmet.model.plan.ways.net import Edge, Meetings, meetings, without_dead_ends


class Floor(NamedTuple):
    """What a tree costs at least."""

    cost: float
    """Any tree that joins the terminals."""
    through: list[float]
    """Any of them that uses this edge."""
    ahead: list[float]
    """Those edges of any of them that end at this node or one after it; a last 0 for none."""


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
    left = [edge.cost for edge in edges for _ in range(2)]  # 2k from a to b, 2k + 1 from b to a
    into: Meetings = [[] for _ in range(count)]
    out: Meetings = [[] for _ in range(count)]
    for index, (a, b, _) in enumerate(edges):
        for arc, tail, head in ((2 * index, a, b), (2 * index + 1, b, a)):
            into[head].append((tail, arc))
            out[tail].append((head, arc))
    ahead = [0.0] * (count + 1)
    queue = sorted((len(into[node]), node) for node in terminals - {root})
    while queue:
        least, node = heapq.heappop(queue)
        inside, entries = _freely_from(node, root, into, left)
        if root in inside:
            continue
        if not queue or len(entries) <= max(least, queue[0][0]):  # few entries first: tighter
            price = min(left[arc] for arc in entries)
            for arc in entries:
                left[arc] -= price
            ahead[min(inside)] += price
        heapq.heappush(queue, (len(entries), node))
    for node in reversed(range(count)):
        ahead[node] += ahead[node + 1]
    there = _distances([root], out, left)
    onward = _distances(terminals - {root}, into, left)
    through = [
        ahead[0]
        + min(there[a] + left[2 * index] + onward[b], there[b] + left[2 * index + 1] + onward[a])
        for index, (a, b, _) in enumerate(edges)
    ]
    return Floor(ahead[0], through, ahead)


def _freely_from(
    node: int, root: int, into: Meetings, left: Sequence[float]
) -> tuple[set[int], list[int]]:
    """Give the nodes with a way to this one on which nothing is left, and the arcs into them."""
    inside, fresh, entries = {node}, [node], []
    while fresh:
        for tail, arc in into[fresh.pop()]:
            if tail in inside:
                continue
            if left[arc] > 0:
                entries.append((tail, arc))
                continue
            inside.add(tail)
            if tail == root:
                return inside, []
            fresh.append(tail)
    return inside, [arc for tail, arc in entries if tail not in inside]


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

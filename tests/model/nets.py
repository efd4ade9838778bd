"""Invented nets of cable ways, and other methods to find what joins their nodes most cheaply."""

from collections.abc import Collection, Iterable, Sequence
from itertools import combinations
from random import Random

import numpy as np
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import coo_array, csr_array
from scipy.sparse.csgraph import dijkstra, minimum_spanning_tree

from pelmet.model.plan.ways.net import Net, meetings, node_count
from pelmet.model.plan.ways.tree import Edge


def row(
    random: Random, rails: int, columns: int, *, ring: bool = False, missing: float = 0.0,
    costs: Sequence[int] = range(100, 901),
) -> tuple[list[Edge], list[float]]:  # fmt: skip
    """Give ways along a row of cabinets, and positions; rungs may lack but at the first cabinet."""
    edges = []
    for column in range(columns):
        for rail in range(rails):
            node, after = column * rails + rail, ((column + 1) % columns) * rails + rail
            if ring or column + 1 < columns:
                edges.append(Edge(node, after, float(random.choice(costs))))
            if rail + 1 < rails and (not column or random.random() >= missing):
                edges.append(Edge(node, node + 1, float(random.choice(costs))))
    return edges, [float(node // rails) for node in range(rails * columns)]


def grid(random: Random, width: int, height: int) -> list[Edge]:
    """Give a square mesh, far too wide for a row of cabinets."""
    return row(random, width, height)[0]


def least_by_milp(edges: Sequence[Edge], terminals: Collection[int]) -> float:
    """Solve it as flow: each terminal draws one unit from the first, by arcs that are bought.

    R. T. Wong (1984) gives this form; HiGHS solves it.
    """
    root, *others = sorted(terminals)
    arcs = [arc for a, b, cost in edges for arc in ((a, b, cost), (b, a, cost))]
    count, nodes = len(arcs), max(max(a, b) for a, b, _ in arcs) + 1
    tails, heads = (np.array([arc[side] for arc in arcs]) for side in (0, 1))
    column = np.arange(count)
    rows, columns, values, low, high = [], [], [], [], []
    for number, terminal in enumerate(others):
        flow, base = column + count * (number + 1), number * (nodes + count)
        rows += [heads + base, tails + base, column + base + nodes, column + base + nodes]
        columns += [flow, flow, flow, column]
        values += [np.ones(count), -np.ones(count), np.ones(count), -np.ones(count)]
        draws = np.zeros(nodes)
        draws[root], draws[terminal] = -1, 1
        low += [draws, np.full(count, -np.inf)]
        high += [draws, np.zeros(count)]
    matrix = coo_array(
        (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns)))
    ).tocsr()
    size = count * (len(others) + 1)
    result = milp(
        np.concatenate([[cost for *_, cost in arcs], np.zeros(size - count)]),
        integrality=np.arange(size) < count,
        bounds=Bounds(0, 1),
        constraints=LinearConstraint(matrix, np.concatenate(low), np.concatenate(high)),
        options={"mip_rel_gap": 0},
    )
    assert result.status == 0, result.message
    return float(result.fun)


def least_by_trying(edges: Sequence[Edge], terminals: Collection[int]) -> float | None:
    """Try every set of further nodes, with the least spanning tree of each (scipy).

    Costs must be above 0.
    """
    nodes = {node for a, b, _ in edges for node in (a, b)} | set(terminals)
    costs = [
        _spanning(edges, {*terminals, *more})
        for many in range(len(nodes) - len(set(terminals)) + 1)
        for more in combinations(sorted(nodes - set(terminals)), many)
    ]
    return min((cost for cost in costs if cost is not None), default=None)


def _spanning(edges: Sequence[Edge], nodes: Iterable[int]) -> float | None:
    place = {node: at for at, node in enumerate(sorted(nodes))}
    matrix = np.zeros((len(place), len(place)))
    for a, b, cost in edges:
        if a != b and a in place and b in place:
            here = tuple(sorted((place[a], place[b])))
            matrix[here] = min(matrix[here] or np.inf, cost)
    tree = minimum_spanning_tree(csr_array(matrix))
    return float(tree.sum()) if tree.nnz == len(place) - 1 else None


def net_of(edges: Sequence[Edge], *nodes: int) -> Net:
    """Join edges up to a net that has these nodes too."""
    return Net(edges, meetings(edges, range(len(edges)), node_count(edges, *nodes)))


def distances(edges: Sequence[Edge], nodes: int) -> np.ndarray:
    """Give the cost of the cheapest way between any two nodes (scipy); costs must be above 0."""
    matrix = np.full((nodes, nodes), np.inf)
    for a, b, cost in edges:
        if a != b:
            matrix[a, b] = matrix[b, a] = min(matrix[a, b], cost)
    return np.asarray(dijkstra(matrix, directed=False))

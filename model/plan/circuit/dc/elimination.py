"""Solve a net of conductances by taking out one node at a time: star-mesh transformation.

A node is taken out by joining its neighbours pairwise, so that nothing is changed as seen from
them. Each of three lists (conductances between nodes, to ground, and currents drawn) only ever
grows, so nothing cancels: this is Gaussian elimination of a symmetric M-matrix in the form of
Grassmann, Taksar and Heyman (Operations Research 33, 1985). The node with fewest neighbours goes
first (minimum degree), so a tree, or a net of parts in series and in parallel, takes time in
proportion to its nodes.
"""

from collections.abc import Iterable
from heapq import heapify, heappop, heappush
from itertools import combinations
from typing import NamedTuple


class _Step(NamedTuple):
    node: int
    near: tuple[tuple[int, int], ...]  # slot of the conductance, and the neighbour
    fills: tuple[tuple[int, int, int], ...]  # slots of two conductances, and of the one joining


class Elimination(NamedTuple):
    """The order in which the nodes of a net are taken out, whatever its conductances."""

    steps: tuple[_Step, ...]
    slots: int
    """How many conductances there are, with those that arise on the way."""


def order_nodes(nodes: int, pairs: Iterable[tuple[int, int]]) -> Elimination:
    """Plan the elimination of a net.

    Args:
        nodes: How many nodes it has; they are 0, 1, 2 and so on.
        pairs: Its conductances' two nodes, no pair twice, in the order of their slots.

    Returns:
        The plan.
    """
    near: list[dict[int, int]] = [{} for _ in range(nodes)]
    slots = 0
    for slots, (one, other) in enumerate(pairs, 1):
        near[one][other] = near[other][one] = slots - 1
    queue = [(len(own), node) for node, own in enumerate(near)]
    heapify(queue)
    steps: list[_Step] = []
    done = [False] * nodes
    while queue:
        degree, node = heappop(queue)
        own = near[node]
        if done[node] or degree != len(own):
            continue
        done[node] = True
        fills = []
        for other in own:
            del near[other][node]
        for (one, first), (other, second) in combinations(own.items(), 2):
            slot = near[one].get(other)
            if slot is None:
                slot = near[one][other] = near[other][one] = slots
                slots += 1
            fills.append((first, second, slot))
        for other in own:
            heappush(queue, (len(near[other]), other))
        steps.append(_Step(node, tuple((slot, other) for other, slot in own.items()), tuple(fills)))
    return Elimination(tuple(steps), slots)


def eliminate(
    plan: Elimination, siemens: list[float], ground: list[float], drawn: list[float]
) -> list[float] | None:
    """Solve a net: give the drop of each node below ground's voltage, from the current drawn.

    Args:
        plan: Its plan, from `order_nodes`.
        siemens: Conductance between the nodes of each pair; used up. [S]
        ground: Conductance from each node to ground; used up. [S]
        drawn: Current drawn at each node; used up. [A]

    Returns:
        Each node's drop [V]; or None if the net is not positive definite: a pivot is not above 0,
        as negative conductances can make it.
    """
    siemens += [0.0] * (plan.slots - len(siemens))
    totals: list[float] = []
    for node, near, fills in plan.steps:
        own, amps = ground[node], drawn[node]
        total = own
        for slot, _ in near:
            total += siemens[slot]
        if not total > 0:
            return None
        for slot, other in near:
            share = siemens[slot] / total
            ground[other] += share * own
            drawn[other] += share * amps
        for first, second, slot in fills:
            siemens[slot] += siemens[first] * siemens[second] / total
        totals.append(total)
    drops = [0.0] * len(ground)
    for (node, near, _), total in zip(reversed(plan.steps), reversed(totals), strict=True):
        amps = drawn[node]
        for slot, other in near:
            amps += siemens[slot] * drops[other]
        drops[node] = amps / total
    return drops

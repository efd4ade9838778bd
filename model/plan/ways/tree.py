"""The cheapest tree of cable ways that joins given places, with word whether that is proven."""

from collections.abc import Collection, Sequence, Set
from math import fsum
from typing import NamedTuple

from pelmet.model.plan.ways.bounds import grown_tree, tree_floor
from pelmet.model.plan.ways.net import Edge, breadth_first, meetings, node_count, without_dead_ends
from pelmet.model.plan.ways.sweep import sweep_frontier

__all__ = ["Edge", "Tree", "cheapest_tree", "tree_along"]

_MOST_STATES = 100_000  # rows of cabinets need some thousands; more would be felt at the keyboard
# Most often the cheapest tree costs little more than the floor.
_SHARES = (1 / 6, 1 / 3, 2 / 3, 1.0)
_ROUNDING = 1e-9


class Tree(NamedTuple):
    """Edges that join all terminals, without a ring."""

    edges: tuple[int, ...]
    """Indices into the edges given, ascending."""
    cost: float
    """Their cost together, in the unit of the edges."""
    proven: bool
    """Whether no tree costs less, to one part in 10^9."""


def cheapest_tree(
    edges: Sequence[Edge], terminals: Collection[int], order: Sequence[float] | None = None
) -> Tree | None:
    """Find the cheapest tree that joins all terminals; it may pass through any other node.

    First a floor under its cost and a good tree are found. Where the two differ, all trees that
    cost no more than some cap between them are looked through, in a sweep along the net; edges
    that no such tree can use are left out. If there is such a tree the cheapest of them is the
    cheapest of all, else the cap goes up, at last to the cost of the good tree. In a net too wide
    for that the good tree stands, not proven; it costs less than twice the cheapest.

    Args:
        edges: The net.
        terminals: Nodes to join; none or one gives an empty tree.
        order: For each node, where it stands along the walls [any unit]: the sweep goes along
            it, best of all from the widest gap if the walls close to a ring. Without it the
            sweep spreads from a node at the edge of the net. The cost does not hang on it, the
            time does.

    Returns:
        The tree, the same each time for the same input; nothing if no tree joins the terminals.

    Raises:
        ValueError: A cost is negative or not finite, or a node is below 0.
    """
    wanted = set(terminals)
    count = node_count(edges, *wanted)
    if len(wanted) < 2:
        return Tree((), 0.0, proven=True)
    near = meetings(edges, range(len(edges)), count)
    line = breadth_first(near, min(wanted))
    if not wanted.issubset(line):
        return None
    line = breadth_first(near, line[-1])
    if order is not None:
        line.sort(key=lambda node: (order[node], node))
    there = set(line)
    return tree_along(edges, [k for k, edge in enumerate(edges) if edge.a in there], line, wanted)


def tree_along(
    edges: Sequence[Edge], kept: Sequence[int], line: Sequence[int], terminals: Collection[int]
) -> Tree:
    """Find the cheapest tree as above, of the kept edges and in a sweep along a line.

    The line holds each node that they join once. They hang together, two terminals or more among
    them, and cost 0 or more.
    """
    place = {node: at for at, node in enumerate(line)}
    wanted = {place[node] for node in terminals}
    net = [Edge(place[edges[k].a], place[edges[k].b], edges[k].cost) for k in kept]
    used = without_dead_ends(net, range(len(net)), wanted, len(line))
    chosen, proven = _cheapest([net[k] for k in used], wanted, len(line))
    tree = sorted([kept[used[k]] for k in chosen])
    return Tree(tuple(tree), fsum(edges[k].cost for k in tree), proven)


def _cheapest(net: Sequence[Edge], terminals: Set[int], count: int) -> tuple[Sequence[int], bool]:
    """Find the cheapest tree, and whether it is proven; nodes are in the order of the sweep."""
    low = tree_floor(net, terminals, count)
    good = grown_tree(net, terminals, count)
    high = fsum(net[k].cost for k in good)
    gap, rounding = high - low.cost, _ROUNDING * high
    if gap <= rounding:
        return good, True
    states = 0
    for share in _SHARES:
        cap = low.cost + share * gap + rounding
        fit = [k for k, cost in enumerate(low.through) if cost <= cap]
        kept = without_dead_ends(net, fit, terminals, count)
        found = sweep_frontier(net, kept, terminals, low.ahead, cap, _MOST_STATES - states)
        states += found.states
        if found.edges is not None:
            return found.edges, True
        if states > _MOST_STATES:
            return good, False
    return good, True

"""Currents in wires without ohms, which voltages do not tell: by what is drawn beyond each."""

from collections.abc import Collection, Sequence
from typing import NamedTuple


class JoinAmps(NamedTuple):
    """Current in each join from its first node to the other; None where it cannot be known."""

    amps: list[float | None]
    left: list[float]
    """What each node draws with all that has been found to hang on it. [A]"""


def amps_of_joins(
    joins: Sequence[tuple[int, int]], drawn: Sequence[float], roots: Collection[int]
) -> JoinAmps:
    """Give the current in each join of trees of nodes.

    A node with one join left takes all it draws through it; then it is done with. What is left at
    the end lies on a ring, or between two roots, and could carry any current.

    Args:
        joins: The two nodes of each.
        drawn: What each node draws, apart from joins. [A]
        roots: Nodes that are held by a source.

    Returns:
        The currents.
    """
    left = list(drawn)
    at: dict[int, set[int]] = {}
    for row, (near, far) in enumerate(joins):
        if near != far:
            at.setdefault(near, set()).add(row)
            at.setdefault(far, set()).add(row)
    amps: list[float | None] = [None] * len(joins)
    ready = [node for node, rows in at.items() if len(rows) == 1 and node not in roots]
    while ready:
        node = ready.pop()
        if len(at[node]) != 1:
            continue
        row = at[node].pop()
        near, far = joins[row]
        other = near if node == far else far
        amps[row] = left[node] if node == far else -left[node]
        left[other] += left[node]
        left[node] = 0.0
        at[other].remove(row)
        if len(at[other]) == 1 and other not in roots:
            ready.append(other)
    return JoinAmps(amps, left)

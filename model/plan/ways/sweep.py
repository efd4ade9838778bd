"""The cheapest tree, exactly: along a net, edge by edge, all that may have been built so far.

Of what lies behind the sweep only this matters: which of the nodes that still have edges ahead
(the front) are in the tree, and which of those hang together. A state tells it in one byte a
node: 0 for not in the tree, else the number of the part it is in. Of all ways to come to a state
only the cheapest is kept. So the work grows in step with the length of a net, and explodes with
its width: rows of cabinets are long and narrow.
"""

from collections.abc import Sequence, Set
from functools import lru_cache
from typing import NamedTuple, TypeAlias

from pelmet.model.plan.ways.net import Edge, without_dead_ends

_CLOSED = b"\xff"  # the tree is behind the front altogether, so it is finished
_JOINED = -1
_KNOWN, _PASSED_BY, _TERMINAL = range(3)  # how a node stands when an edge comes to it
_WIDEST = 250  # so that the parts at a front can be numbered in a byte

_Taken: TypeAlias = "tuple[int, _Taken] | None"
_States: TypeAlias = dict[bytes, tuple[float, _Taken]]
_Change: TypeAlias = tuple[int, int, int, int, tuple[int, ...]]
"""Places of an edge's two ends at the front, how each stands, which places are left after it."""
_Outcome: TypeAlias = tuple[bytes | None, bytes | None]
"""State without the edge and with it; nothing where part of the tree would be cut off."""


class Sweep(NamedTuple):
    """The edges of the cheapest tree, if one was found, and how many states were looked at."""

    edges: tuple[int, ...] | None
    states: int
    """More than the most allowed where it gave up."""


class _Step(NamedTuple):
    edge: int
    change: _Change
    whole: bytes
    """The state in which all of the front hangs together."""
    met: int
    """No node from this one on has been met."""
    held: int
    """How many terminals have been met."""


def sweep_frontier(
    edges: Sequence[Edge],
    kept: Sequence[int],
    terminals: Set[int],
    ahead: Sequence[float],
    cap: float,
    most: int,
) -> Sweep:
    """Find the cheapest tree of the kept edges that holds all terminals.

    Args:
        edges: The net; its nodes are numbered in the order of the sweep. No loops.
        kept: Which edges may be used.
        terminals: Two nodes or more.
        ahead: For each node, and one more, what the edges of any tree that end at that node or
            at one after it cost at least.
        cap: What the tree may cost at most.
        most: How many states to look at before giving up.

    Returns:
        The tree; nothing if there is none, or if the states were too many.

    Source: R. Bellman, Dynamic Programming (1957): what is behind matters by its state alone.
    """
    steps = _steps(edges, kept, terminals)
    if any(len(step.whole) > _WIDEST for step in steps):
        return Sweep(None, most + 1)
    states: _States = {b"": (0.0, None)}
    outcomes: dict[_Change, dict[bytes, _Outcome]] = {}
    best: tuple[float, _Taken] | None = None
    looked_at = 0
    for step in steps:
        known = outcomes.setdefault(step.change, {})
        states = _past(states, step, edges[step.edge].cost, known, cap - ahead[step.met])
        closed = states.pop(_CLOSED, None)
        if closed and step.held == len(terminals) and (best is None or closed[0] < best[0]):
            best = closed
            cap = min(cap, best[0])
        if whole := states.get(step.whole):
            # Whatever finishes another state finishes this one: those that cost more can go.
            states = {state: each for state, each in states.items() if each[0] <= whole[0]}
        looked_at += len(states)
        if looked_at > most:
            return Sweep(None, looked_at)
    if best is None:
        return Sweep(None, looked_at)
    tree = without_dead_ends(
        edges, _listed(best[1]), terminals, len(ahead) - 1
    )  # of ends that cost nothing
    return Sweep(tuple(tree), looked_at)


def _past(
    states: _States, step: _Step, cost: float, known: dict[bytes, _Outcome], cap: float
) -> _States:
    """Give the states past an edge: each one goes on without it and with it.

    An edge that closes a ring changes no state, so it is never the cheaper way to one.
    """
    past: _States = {}
    for state, so_far in states.items():
        if state not in known:
            known[state] = _outcome(state, step.change)
        without, taking = known[state]
        total, taken = so_far
        if total > cap:
            continue
        if without is not None and (without not in past or total < past[without][0]):
            past[without] = so_far
        total += cost
        if total > cap or taking is None:
            continue
        if taking not in past or total < past[taking][0]:
            past[taking] = (total, (step.edge, taken))
    return past


@lru_cache(maxsize=1 << 16)
def _outcome(state: bytes, change: _Change) -> _Outcome:
    left, right, left_stands, right_stands, leaving = change
    parts = list(state)
    for number, (place, stands) in enumerate(((left, left_stands), (right, right_stands))):
        if stands != _KNOWN:
            parts.insert(place, _JOINED - 1 - number if stands == _TERMINAL else 0)
    a, b = parts[left], parts[right]
    joined = [_JOINED if part and part in (a, b) else part for part in parts]
    joined[left] = joined[right] = _JOINED
    return _behind(parts, leaving), _behind(joined, leaving)


def _behind(parts: list[int], leaving: tuple[int, ...]) -> bytes | None:
    """Take these places from the front and number the parts anew, in the order they come."""
    for place in leaving:
        part = parts.pop(place)
        if part and part not in parts:
            return None if any(parts) else _CLOSED
    numbers = {0: 0}
    return bytes([numbers.setdefault(part, len(numbers)) for part in parts])


def _listed(taken: _Taken) -> tuple[int, ...]:
    edges = []
    while taken is not None:
        edge, taken = taken
        edges.append(edge)
    return tuple(edges)


def _steps(edges: Sequence[Edge], kept: Sequence[int], terminals: Set[int]) -> list[_Step]:
    """Take each edge as soon as its later node is met, which stands next to the earlier one."""
    ends = {index: sorted(edges[index][:2]) for index in kept}
    line = sorted(kept, key=lambda index: (ends[index][1], ends[index][0], index))
    last = {node: index for index in line for node in ends[index]}
    stands = {node: _TERMINAL if node in terminals else _PASSED_BY for node in last}
    front: list[int] = []
    steps = []
    met = held = 0
    for index in line:
        low, high = ends[index]
        how = stands[low], stands[high]
        if how[0] != _KNOWN:
            front.append(low)
        if how[1] != _KNOWN:
            front.insert(front.index(low) + 1, high)
        left, right = front.index(low), front.index(high)
        leaving = [place for place in (left, right) if last[front[place]] == index]
        leaving.sort(reverse=True)
        for place in leaving:
            del front[place]
        stands[low] = stands[high] = _KNOWN
        met = max(met, high + 1)
        held += how.count(_TERMINAL)
        steps.append(
            _Step(index, (left, right, *how, tuple(leaving)), b"\x01" * len(front), met, held)
        )
    return steps

"""Least scrap at a given cost, then fewest bars, out of all patterns written out."""

from time import monotonic
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pelmet.model.order.cutting.columns import possible
from pelmet.model.order.cutting.greedy import shrunk
from pelmet.model.order.cutting.patterns import Floats, Patterns
from pelmet.model.order.cutting.relaxing import Columns, Goal, Relaxed
from pelmet.model.order.cutting.task import Task, Use, better, score, used
from pelmet.model.order.cutting.waste import least_waste, waste_of
from pelmet.model.order.cutting.worth import Worth, dearest

_MOST_COLUMNS = 600
"""Patterns that might serve, out of which the least is found: a fraction of a second."""
_MOST_NODES, _MANY_NODES = 5, 200
_ROOM = 1e-6
"""What a reduced cost may be missed by, in parts of the cost."""
_NEAR = 0.005
"""Share of the length cut that scrap may be above the least where patterns are more."""
_FINEST = 1e-7
"""The finest step of waste that is seen, as a part of the waste of the worst pattern."""


def cut_for_least_scrap(
    task: Task, patterns: Patterns, uses: tuple[Use, ...], worth: Worth | None, until: float
) -> tuple[Use, ...]:
    """Cut with least scrap, then fewest bars, for no more than this cutting costs.

    That is the least where the patterns that might serve are few enough, as for a dozen or two of
    pieces. Else it is near enough to the least, or the best that was found in few steps; no worse
    than what was given.
    """
    cost, now = score(task, uses).cost, waste_of(task, uses)
    floor = least_waste(task, cost, worth)
    if now <= floor:
        return uses
    columns = _columns(task, patterns)
    if worth is not None:
        columns = possible(task, patterns, columns, worth, cost)
    scale = max(1.0, float(columns.cost.max(initial=0.0)) * _FINEST)
    columns = columns._replace(cost=columns.cost / scale)
    goal = _goal(task, cost)
    relaxed = Relaxed(task, goal, uses, _costs(task, uses, scale))
    if not relaxed.solve(patterns, columns, until):
        return uses
    beyond = relaxed.reduced(patterns, columns)
    serving = _serving(relaxed, beyond, now / scale)
    near = _NEAR * used(task.sizes, task.wanted) * (sum(task.wanted) + 1)
    if len(serving) > _MOST_COLUMNS:
        if now - max(floor, relaxed.cost * scale) <= near:
            return uses
        _, found = relaxed.in_whole(
            until - monotonic(), near / scale, (now - 0.5) / scale,
            nodes=_MOST_NODES, least=floor / scale,
        )  # fmt: skip
        uses = better(task, uses, shrunk(task, found))
        now = waste_of(task, uses)
        serving = _serving(relaxed, beyond, now / scale)
    if now <= floor or not len(serving) or len(serving) > _MOST_COLUMNS:
        return uses
    whole = Relaxed(task, goal, (), ())
    whole.take_in(patterns, columns.some(serving))
    _, found = whole.in_whole(
        until - monotonic(), 0.5 / scale, (now - 0.5) / scale,
        nodes=_MANY_NODES, least=floor / scale,
    )  # fmt: skip
    return better(task, uses, shrunk(task, found))


def _goal(task: Task, cost: int) -> Goal:
    """Ask for each piece just once, at no higher cost: costs are whole, so half of one is room."""
    top = dearest(task)
    prices = np.array([bar.price / top for bar in task.bars])
    return Goal(exactly=True, prices=prices, budget=(cost + 0.5) / top)


def _costs(task: Task, uses: tuple[Use, ...], scale: float) -> list[float]:
    return [waste_of(task, (use._replace(times=1),)) / scale for use in uses]


def _serving(relaxed: Relaxed, beyond: Floats, cost: float) -> NDArray[Any]:
    """Give the columns that something better may hold."""
    room = _ROOM * max(1.0, cost)
    return np.flatnonzero(beyond <= cost - relaxed.cost + room)


def _columns(task: Task, patterns: Patterns) -> Columns:
    """Give every pattern in every bar it fits."""
    pieces = sum(task.wanted)
    which, bars, costs = [], [], []
    for row, bar in enumerate(task.bars):
        rows = np.flatnonzero(patterns.held <= bar.space)
        left = np.maximum(bar.space - patterns.held[rows] - task.kerf, 0)
        if task.keepable:
            left = np.where(left < task.keepable, left, 0)
        which.append(rows)
        bars.append(np.full(len(rows), row))
        costs.append(left.astype(np.float64) * (pieces + 1) + 1)
    return Columns(np.concatenate(which), np.concatenate(bars), np.concatenate(costs))

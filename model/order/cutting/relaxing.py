"""The linear programme over many patterns, of which few are taken in at a time."""

from collections.abc import Sequence
from time import monotonic
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pelmet.model.order.cutting.master import Found, Master
from pelmet.model.order.cutting.patterns import Floats, Patterns, worth_of
from pelmet.model.order.cutting.task import Task, Use

_AT_ONCE = 400
"""Of the most promising columns, so many are looked at; the best of each size and bar go in."""
_TOLERANCE = 1e-9


class Columns(NamedTuple):
    """Patterns in bars, each at a cost."""

    which: NDArray[Any]
    """Row of the pattern."""
    bar: NDArray[Any]
    cost: Floats

    def some(self, rows: NDArray[Any]) -> "Columns":
        """Give some of them."""
        return Columns(self.which[rows], self.bar[rows], self.cost[rows])


class Goal(NamedTuple):
    """What is asked of the columns besides least cost."""

    exactly: bool
    """Whether each size is cut just as often as wanted, or at least so often."""
    prices: Floats | None = None
    """Of each bar, as they count against the budget."""
    budget: float = 0.0


class Relaxed:
    """The linear programme, and what columns it has taken in."""

    def __init__(self, task: Task, goal: Goal, uses: Sequence[Use], costs: Sequence[float]) -> None:
        """Begin with the uses of a known cutting, each at its cost."""
        self.task, self.goal = task, goal
        bars = [float(bar.most) for bar in task.bars]
        low = [*map(float, task.wanted), *[0.0] * len(bars)]
        high = [*(low if goal.exactly else [np.inf] * len(task.wanted))[: len(task.wanted)], *bars]
        if goal.prices is not None:
            low.append(0.0)
            high.append(goal.budget)
        self.master = Master(low, high)
        self.uses: list[tuple[int, Floats]] = []
        self.duals: Floats = np.zeros(len(low))
        self.cost = 0.0
        if uses:
            self.add(
                np.array([use.counts for use in uses], dtype=np.float64),
                np.array([use.bar for use in uses]),
                np.array(costs, dtype=np.float64),
            )

    def add(self, counts: Floats, bars: NDArray[Any], costs: Floats) -> None:
        """Take in columns: counts of sizes, a row each, out of a bar each."""
        parts = [counts, np.eye(len(self.task.bars))[bars]]
        if self.goal.prices is not None:
            parts.append(self.goal.prices[bars][:, None])
        self.master.add(costs, np.hstack(parts))
        self.uses += zip(map(int, bars), counts, strict=True)

    def add_lack(self, costs: Floats) -> None:
        """Let pieces of each size be lacking, at a cost, so that there is always an answer."""
        rows = len(self.duals)
        self.master.add(costs, np.eye(len(costs), rows))
        self.uses += zip([-1] * len(costs), np.eye(len(costs)), strict=True)

    def reduced(self, patterns: Patterns, columns: Columns) -> Floats:
        """Give what each column costs beyond its worth."""
        sizes, bars = len(self.task.sizes), len(self.task.bars)
        per_bar = self.duals[sizes : sizes + bars]
        if self.goal.prices is not None:
            per_bar = per_bar + self.duals[-1] * self.goal.prices
        worth: Floats = worth_of(patterns.counts, self.duals[:sizes])[columns.which]
        beyond: Floats = columns.cost - worth - per_bar[columns.bar]
        return beyond

    def step(self) -> Floats | None:
        """Solve it for the columns taken in: how much of each; None if there is no answer."""
        found = self.master.relaxed()
        if found is None:
            return None
        taken, self.duals = found
        self.cost = float(self.master.costs @ taken)
        return taken

    def solve(self, patterns: Patterns, columns: Columns, until: float) -> bool:
        """Take in columns until none would help; say if it came so far in time."""
        while True:
            if self.step() is None:
                return False
            beyond = self.reduced(patterns, columns)
            helping = np.flatnonzero(beyond < -_TOLERANCE * self.scale)
            if not len(helping):
                return True
            if monotonic() > until:
                return False
            self._add_best(patterns, columns, helping, beyond)

    @property
    def scale(self) -> float:
        """Give how much a column costs, at most."""
        return float(self.master.costs.max(initial=0.0))

    def _add_best(
        self, patterns: Patterns, columns: Columns, helping: NDArray[Any], beyond: Floats
    ) -> None:
        if len(helping) > _AT_ONCE:
            helping = helping[np.argpartition(beyond[helping], _AT_ONCE)[:_AT_ONCE]]
        helping = helping[np.argsort(beyond[helping], kind="stable")]
        chosen = columns.some(helping)
        holds = np.hstack(
            [
                patterns.counts[chosen.which] > 0,
                chosen.bar[:, None] == np.arange(len(self.task.bars)),
            ]
        )
        firsts = np.argmax(holds, axis=0)[holds.any(axis=0)]
        rows = np.union1d(firsts, np.arange(min(len(helping), 10)))
        chosen = chosen.some(rows)
        self.add(patterns.counts[chosen.which], chosen.bar, chosen.cost)

    def take_in(self, patterns: Patterns, columns: Columns) -> None:
        """Take in columns whatever they are worth."""
        self.add(patterns.counts[columns.which], columns.bar, columns.cost)

    def use(self, column: int, times: int) -> Use:
        """Give what a column that is taken in cuts."""
        bar, counts = self.uses[column]
        return Use(bar, tuple(int(count) for count in counts), times)

    def in_whole(
        self, seconds: float, step: float, most: float, *, nodes: int, least: float = 0.0
    ) -> tuple[Found, tuple[Use, ...]]:
        """Solve it in whole bars, out of the columns taken in, and give the uses found.

        Args:
            seconds: Time for it. [s]
            step: It is done when no other answer costs so much less.
            most: Nothing is looked for that costs more.
            nodes: Part answers that it looks at, at most.
            least: Nothing costs less, but for a thousandth.
        """
        self.master.cost_between(min(least * (1 - 1e-3), most), most)
        found = self.master.in_whole(seconds, step, nodes)
        uses = [self.use(column, many) for column, many in enumerate(found.times or ()) if many]
        return found, tuple(uses)

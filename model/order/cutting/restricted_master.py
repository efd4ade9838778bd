"""The linear programme over many patterns, of which few are taken in at a time."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pelmet.model.order.cutting.dual_prices import dearest
from pelmet.model.order.cutting.patterns import Floats
from pelmet.model.order.cutting.solver import Programme
from pelmet.model.order.cutting.task import CuttingTask, Use


class RestrictedMaster:
    """The programme, and what columns it has taken in: patterns, each in a bar, at a cost."""

    def __init__(self, task: CuttingTask, costs: Floats, *, exactly: bool = False) -> None:
        """Begin without columns: each size is cut exactly as often as wanted, or at least.

        Args:
            task: What is to be cut.
            costs: Of a bar of each kind.
            exactly: Whether no piece may be cut too often.
        """
        self.task, self.costs = task, costs
        bars = [float(bar.most) for bar in task.bars]
        wanted = [float(many) for many in task.wanted]
        high = wanted if exactly else [np.inf] * len(wanted)
        self.programme = Programme([*wanted, *[0.0] * len(bars)], [*high, *bars])
        self.columns: list[tuple[int, Floats]] = []
        self.duals: Floats = np.zeros(len(wanted))
        """What a piece of each size is worth."""
        self.net_costs = costs
        """What a bar of each kind costs, and its rent where all of them are taken."""

    @property
    def cost(self) -> float:
        """Give what the last answer costs."""
        return self.programme.cost

    def add(self, counts: Floats, bars: NDArray[Any], costs: Floats | None = None) -> None:
        """Take in columns: counts of sizes, a row each, out of a bar each, at its cost or these."""
        rows = np.hstack([counts, np.eye(len(self.costs))[bars]])
        self.programme.add(self.costs[bars] if costs is None else costs, rows)
        self.columns += zip(map(int, bars), counts, strict=True)

    def add_uses(self, uses: Sequence[Use]) -> None:
        """Take in what a cutting uses."""
        counts = np.array([use.counts for use in uses], dtype=np.float64)
        self.add(counts, np.array([use.bar for use in uses]))

    def add_lack(self, costs: Floats) -> None:
        """Let pieces of each size be lacking, at a cost, so that there is always an answer."""
        sizes = len(costs)
        self.programme.add(costs, np.eye(sizes, sizes + len(self.costs)))
        self.columns += zip([-1] * sizes, np.eye(sizes), strict=True)

    def solve(self) -> Floats | None:
        """Solve it for the columns taken in: how much of each; None if there is no answer."""
        found = self.programme.solve()
        if found is None:
            return None
        taken, duals = found
        sizes = len(self.duals)
        self.duals, self.net_costs = duals[:sizes], self.costs - duals[sizes:]
        return taken

    def use(self, column: int, times: int) -> Use:
        """Give what a column that is taken in cuts."""
        bar, counts = self.columns[column]
        return Use(bar, tuple(int(count) for count in counts), times)

    def in_whole(
        self, apart: float, nodes: int, *, most: float, least: float = 0.0
    ) -> tuple[tuple[Use, ...], bool]:
        """Solve it in whole bars, out of the columns taken in.

        Args:
            apart: It is done when no other answer costs so much less; above 0.
            nodes: Part answers that it looks at, at most.
            most: Nothing is looked for that costs more.
            least: Nothing costs less, but for a thousandth.

        Returns:
            The uses found, if any, and whether it came to its end.
        """
        programme = self.programme
        programme.keep_between(programme.costs, min(least * (1 - 1e-3), most), most)
        times, done = programme.solve_in_whole(apart, nodes)
        return tuple(self.use(row, many) for row, many in enumerate(times or ()) if many), done


def prices_of(task: CuttingTask) -> Floats:
    """Give the price of each bar, where the dearest costs 1."""
    top = dearest(task)
    return np.array([bar.price / top for bar in task.bars])

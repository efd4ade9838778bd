"""Pricing where patterns are too many to write out: a knapsack for each."""

import numpy as np
from numpy.typing import NDArray

from pelmet.model.order.cutting.covering import Requirement
from pelmet.model.order.cutting.dual_prices import DualPrices, least_worth
from pelmet.model.order.cutting.patterns import (
    Floats,
    Patterns,
    Promise,
    Whole,
    all_patterns,
    worth_of,
)
from pelmet.model.order.cutting.restricted_master import RestrictedMaster
from pelmet.model.order.cutting.task import Counts, CuttingTask, space_used

_FINE, _COARSE = 1 << 16, 1 << 12
"""Cells of a bar for the bound, and for looking for patterns."""
_MOST_ROUNDS = 200
_TOLERANCE = 1e-7
_TAILED = 1e-5
"""The share by which a round must lower the cost, else patterns are looked for no further."""


class Knapsack:
    """Bars seen in cells, and what they are worth by values of the sizes.

    Where cells are coarser than the task's units, `loose` rounds so that every pattern still
    fits, and some that do not: its worth is a bound. Otherwise no pattern fits that does not.
    """

    def __init__(self, task: CuttingTask, cells: int, *, loose: bool) -> None:
        spaces = [bar.space for bar in task.bars]
        self.cell = cell = -(-max(spaces) // cells)
        self.sizes = [size // cell if loose else -(-size // cell) for size in task.sizes]
        self.spaces = np.array([space // cell for space in spaces])
        self.cells = int(self.spaces.max())
        self.exact = cell == 1
        self.items: list[tuple[int, int]] = []
        for row, (size, many) in enumerate(zip(task.sizes, task.wanted, strict=True)):
            left, step = min(many, max(spaces) // size), 1
            while left:  # 1, 2, 4 and so on of a size together, as far as they go
                step = min(step, left)
                self.items.append((row, step))
                left -= step
                step *= 2

    def fill(self, values: Floats) -> tuple[Floats, NDArray[np.bool_]]:
        """Give the most worth in so many cells, and whether each item is in it.

        Whole values stay exact as long as their sums do.

        Source: the knapsack recursion of R. Bellman, Dynamic Programming, 1957.
        """
        best = np.zeros(self.cells + 1)
        takes = np.zeros((len(self.items), self.cells + 1), dtype=np.bool_)
        for item, (row, many) in enumerate(self.items):
            size, value = self.sizes[row] * many, values[row] * many
            if value <= 0 or size > self.cells:
                continue
            other = best[: len(best) - size] + value
            np.greater(other, best[size:], out=takes[item, size:])
            np.maximum(best[size:], other, out=best[size:])
        return best, takes

    def counts(self, takes: NDArray[np.bool_], cells: Whole) -> Floats:
        """Give how many of each size are in the best of so many cells, a row for each."""
        cells = cells.copy()
        counts = np.zeros((len(cells), len(self.sizes)))
        for item in reversed(range(len(self.items))):
            row, many = self.items[item]
            taken = takes[item, cells]
            counts[:, row] += many * taken
            cells -= self.sizes[row] * many * taken
        return counts


class GeneratedPatterns:
    """Patterns that are generated as they are wanted, in some rounds."""

    def __init__(self, task: CuttingTask, rounds: int = _MOST_ROUNDS) -> None:
        self.task, self.rounds = task, rounds

    def generate(self, master: RestrictedMaster) -> Floats | None:
        """Take in patterns as long as they help, first those that coarse cells show."""
        knapsack = Knapsack(self.task, _COARSE, loose=False)
        fine = knapsack.exact
        last = float("inf")
        taken = master.solve()
        for _ in range(self.rounds):
            if taken is None:
                break
            helped = self._take_best(master, knapsack)
            if not helped or (not fine and master.cost > last * (1 - _TAILED)):
                if fine:
                    break
                knapsack, fine = Knapsack(self.task, _FINE, loose=False), True
            last = master.cost
            taken = master.solve()
        return taken

    def _take_best(self, master: RestrictedMaster, knapsack: Knapsack) -> bool:
        """Take in the best of each bar, and the best that holds each size; say if any helps."""
        sizes = len(self.task.sizes)
        duals = np.maximum(master.duals, 0)
        _, takes = knapsack.fill(duals)
        own = np.array(knapsack.sizes)
        room = knapsack.spaces[:, None] - np.concatenate([own, [0]])[None, :]
        bars, first = np.nonzero(room >= 0)
        counts = knapsack.counts(takes, room[bars, first])
        counts += np.eye(sizes + 1)[:, :sizes][first]
        reduced = np.round(master.net_costs[bars] - worth_of(counts, duals), 12)
        reduced[(counts > np.array(self.task.wanted)).any(axis=1)] = np.inf
        order = np.argsort(reduced, kind="stable")
        order = order[reduced[order] < -_TOLERANCE]
        if not len(order):
            return False
        holds = np.hstack(
            [np.eye(sizes + 1)[first[order]], np.eye(len(self.task.bars))[bars[order]]]
        )
        rows = order[np.unique(np.argmax(holds, axis=0)[holds.any(axis=0)])]
        rows = rows[
            np.unique(np.column_stack([bars[rows], counts[rows]]), axis=0, return_index=True)[1]
        ]
        master.add(counts[rows], bars[rows])
        return True

    def worth(self, values: Counts) -> DualPrices:
        """Give what bars are worth at most: by fine cells that hold all patterns, and some more."""
        knapsack = Knapsack(self.task, _FINE, loose=True)
        most, _ = knapsack.fill(np.array(values, dtype=np.float64))
        bars = tuple(int(most[space]) for space in knapsack.spaces)
        return DualPrices(values, Requirement(bars, space_used(values, self.task.wanted)))

    def promising(self, prices: DualPrices, limit: int, most: int) -> Patterns | None:
        """Write out the patterns that a cutting may hold that costs no more than the limit.

        Nothing if they are more than so many.
        """
        knapsack = Knapsack(self.task, _FINE, loose=True)
        values = np.array(prices.sizes, dtype=np.float64)
        best, _ = knapsack.fill(values)
        least = [float(value) for value in least_worth(self.task, prices, limit)]

        def holds(worths: Floats, held: Whole) -> NDArray[np.bool_]:
            """Say if the best that the space left may hold would make it worth enough."""
            good = np.zeros(len(held), dtype=np.bool_)
            for bar, enough in zip(self.task.bars, least, strict=True):
                fits = np.flatnonzero(held <= bar.space)
                left = ((bar.space - held[fits]) // knapsack.cell).astype(np.int64)
                good[fits] |= worths[fits] + best[left] >= enough
            return good

        return all_patterns(self.task, most, Promise(values, holds))

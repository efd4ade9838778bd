"""The pattern that is worth most in each bar, without writing all out: a knapsack."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from pelmet.model.order.cutting.patterns import Floats
from pelmet.model.order.cutting.task import Task

Indices = NDArray[Any]


class Knapsack:
    """Bars seen in cells, and what they are worth by values of the sizes.

    Where cells are coarser than the task's units, `loose` rounds so that every pattern still
    fits, and some that do not: its worth is a bound. Otherwise no pattern fits that does not.
    """

    def __init__(self, task: Task, cells: int, *, loose: bool) -> None:
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

    def counts(self, takes: NDArray[np.bool_], cells: Indices) -> Floats:
        """Give how many of each size are in the best of so many cells, a row for each."""
        cells = cells.copy()
        counts = np.zeros((len(cells), len(self.sizes)))
        for item in reversed(range(len(self.items))):
            row, many = self.items[item]
            taken = takes[item, cells]
            counts[:, row] += many * taken
            cells -= self.sizes[row] * many * taken
        return counts

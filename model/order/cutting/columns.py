"""Patterns in bars, as columns of the programmes."""

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pelmet.model.order.cutting.patterns import Patterns
from pelmet.model.order.cutting.task import CuttingTask


class Columns(NamedTuple):
    """Patterns in bars."""

    which: NDArray[Any]
    """Row of the pattern."""
    bar: NDArray[Any]

    def some(self, rows: NDArray[Any]) -> "Columns":
        """Give some of them."""
        return Columns(self.which[rows], self.bar[rows])


def every_column(task: CuttingTask, patterns: Patterns) -> Columns:
    """Give every pattern in every bar it fits."""
    fits = [np.flatnonzero(patterns.held <= bar.space) for bar in task.bars]
    bars = [np.full(len(rows), row) for row, rows in enumerate(fits)]
    return Columns(np.concatenate(fits), np.concatenate(bars))


def full_columns(task: CuttingTask, patterns: Patterns) -> Columns:
    """Give the patterns of each bar that take no further piece."""
    columns = every_column(task, patterns)
    spaces = np.array([bar.space for bar in task.bars])[columns.bar]
    return columns.some(np.flatnonzero((patterns.held + patterns.more)[columns.which] > spaces))

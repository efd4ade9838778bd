"""Patterns in bars, as columns of the programmes, and what follows from all of them."""

import numpy as np

from pelmet.model.order.cutting.greedy import shrunk
from pelmet.model.order.cutting.patterns import Patterns, worth_of
from pelmet.model.order.cutting.relaxing import Columns
from pelmet.model.order.cutting.task import Counts, Task, Use, remaining, used
from pelmet.model.order.cutting.worth import Worth, dearest, thresholds


def full_columns(task: Task, patterns: Patterns) -> Columns:
    """Give the patterns of each bar that take no further piece."""
    which, bars = [], []
    for row, bar in enumerate(task.bars):
        full = (patterns.held <= bar.space) & (patterns.held + patterns.more > bar.space)
        rows = np.flatnonzero(full)
        which.append(rows)
        bars.append(np.full(len(rows), row))
    bar_of = np.concatenate(bars)
    top = dearest(task)
    prices = np.array([bar.price / top for bar in task.bars])
    return Columns(np.concatenate(which), bar_of, prices[bar_of])


def possible(task: Task, patterns: Patterns, columns: Columns, worth: Worth, limit: int) -> Columns:
    """Give the columns that a cutting may hold that costs no more than the limit."""
    least = np.array([float(value) for value in thresholds(task, worth, limit)])
    worths = worth_of(patterns.counts, np.array(worth.sizes, dtype=np.float64))
    return columns.some(np.flatnonzero(worths[columns.which] >= least[columns.bar]))


def listed_worth(task: Task, patterns: Patterns, values: Counts) -> Worth:
    """Give what bars are worth at most, out of all patterns."""
    worth = worth_of(patterns.counts, np.array(values, dtype=np.float64))
    bars = tuple(int(worth[patterns.held <= bar.space].max(initial=0.0)) for bar in task.bars)
    return Worth(values, used(values, task.wanted), bars)


def trimmed(task: Task, uses: tuple[Use, ...]) -> tuple[Use, ...]:
    """Take out what is cut too often, from bars that are emptiest first."""
    over = [-many for many in remaining(task, uses)]
    if max(over) <= 0:
        return shrunk(task, uses)
    loose = [Use(use.bar, use.counts, 1) for use in uses for _ in range(use.times)]
    loose.sort(key=lambda use: (sum(use.counts), use))
    kept = []
    for bar, counts, _ in loose:
        less = list(counts)
        for row, many in enumerate(counts):
            out = max(0, min(many, over[row]))
            less[row] -= out
            over[row] -= out
        if any(less):
            kept.append(Use(bar, tuple(less), 1))
    return shrunk(task, kept)

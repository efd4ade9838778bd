"""The pricing problem: patterns that are worth more than they cost."""

from typing import Protocol

import numpy as np

from pelmet.model.order.cutting.columns import Columns, full_columns
from pelmet.model.order.cutting.covering import Requirement
from pelmet.model.order.cutting.dual_prices import DualPrices
from pelmet.model.order.cutting.patterns import Floats, Patterns, worth_of
from pelmet.model.order.cutting.restricted_master import RestrictedMaster
from pelmet.model.order.cutting.task import Counts, CuttingTask, space_used

_AT_ONCE = 400
"""Of the most promising columns, so many are looked at; the best of each size and bar go in."""
_FIRST = 10
"""Of all columns looked at, so many go in besides."""
_MOST_ROUNDS = 100
"""Of taking in columns: some ten do for a kitchen."""
_TOLERANCE = 1e-9


class Pricing(Protocol):
    """What finds patterns for a programme of the same sizes and bars."""

    def generate(self, master: RestrictedMaster) -> Floats | None:
        """Take in patterns as long as they help: how much of each is taken; None: no answer."""

    def worth(self, values: Counts) -> DualPrices:
        """Give what bars are worth at most, by values of the sizes."""


class ListedPatterns:
    """All patterns, written out."""

    def __init__(self, task: CuttingTask, patterns: Patterns) -> None:
        self.task, self.patterns = task, patterns
        self.full = full_columns(task, patterns)

    def generate(self, master: RestrictedMaster) -> Floats | None:
        """Take in patterns until none would help."""
        taken = master.solve()
        for _ in range(_MOST_ROUNDS):
            if taken is None:
                break
            worth = worth_of(self.patterns.counts, master.duals)
            reduced = np.round(master.net_costs[self.full.bar] - worth[self.full.which], 12)
            helping = np.flatnonzero(reduced < -_TOLERANCE)
            if not len(helping):
                break
            order = np.argsort(reduced[helping], kind="stable")[:_AT_ONCE]
            chosen = self._best(self.full.some(helping[order]))
            master.add(self.patterns.counts[chosen.which], chosen.bar)
            taken = master.solve()
        return taken

    def _best(self, columns: Columns) -> Columns:
        """Give the first that holds each size, the first of each bar, and the first of all.

        (numpy's own union would load its masked arrays, which takes longer than a small task.)
        """
        holds = np.hstack(
            [
                self.patterns.counts[columns.which] > 0,
                columns.bar[:, None] == np.arange(len(self.task.bars)),
            ]
        )
        firsts = np.argmax(holds, axis=0)[holds.any(axis=0)]
        chosen = np.arange(len(columns.which)) < _FIRST
        chosen[firsts] = True
        return columns.some(np.flatnonzero(chosen))

    def worth(self, values: Counts) -> DualPrices:
        """Give what bars are worth at most, out of all patterns."""
        held = self.patterns.held
        worth = worth_of(self.patterns.counts, np.array(values, dtype=np.float64))
        bars = tuple(int(worth[held <= bar.space].max(initial=0.0)) for bar in self.task.bars)
        return DualPrices(values, Requirement(bars, space_used(values, self.task.wanted)))

"""Least scrap at a given cost, then fewest bars, out of all patterns written out."""

import numpy as np

from pelmet.model.order.cutting.columns import Columns, every_column
from pelmet.model.order.cutting.dual_prices import DualPrices, dearest, least_worth
from pelmet.model.order.cutting.greedy import best_cutting, shrunk, starts
from pelmet.model.order.cutting.patterns import Floats, Patterns, worth_of
from pelmet.model.order.cutting.restricted_master import RestrictedMaster, prices_of
from pelmet.model.order.cutting.task import CuttingTask, Use, better, score
from pelmet.model.order.cutting.waste import least_waste, waste_of

_MOST_COLUMNS = 400
"""Out of which the least is found: some hundredths of a second."""
_MOST_NODES = 20
_FINEST = 1e-7
"""The finest step of waste that is seen, as a part of the waste of the worst pattern."""


def cut_for_least_scrap(
    task: CuttingTask, patterns: Patterns, uses: tuple[Use, ...], prices: DualPrices
) -> tuple[Use, ...]:
    """Cut with least scrap, then fewest bars, for no more than this cutting costs.

    That is the least where few patterns might serve, as for a dozen of pieces. Else it is the best
    that filling the same bars one after the other finds: scrap alone is worth no long search.
    """
    cost = score(task, uses).cost
    floor = least_waste(task, cost, (prices.cover,))
    if waste_of(task, uses) <= floor:
        return uses
    numbers = [sum(use.times for use in uses if use.bar == row) for row in range(len(task.bars))]
    uses = better(task, uses, best_cutting(task, starts(task, [numbers])) or ())
    now = waste_of(task, uses)
    columns = _serving(task, patterns, prices, cost)
    if now <= floor or len(columns.which) > _MOST_COLUMNS:
        return uses
    wastes = _wastes(task, patterns, columns)
    scale = max(1.0, float(wastes.max(initial=0.0)) * _FINEST)
    bar_prices = prices_of(task)
    master = RestrictedMaster(task, bar_prices, exactly=True)
    master.add(patterns.counts[columns.which], columns.bar, wastes / scale)
    # Costs are whole numbers: half of one is room for what floating point misses.
    most = (cost + 0.5) / dearest(task)
    master.programme.keep_between(bar_prices[columns.bar], 0.0, most)
    found, _ = master.in_whole(
        0.5 / scale, _MOST_NODES, most=(now - 0.5) / scale, least=floor / scale
    )
    return better(task, uses, shrunk(task, found))


def _serving(task: CuttingTask, patterns: Patterns, prices: DualPrices, limit: int) -> Columns:
    """Give the columns that a cutting may hold that costs no more than the limit."""
    columns = every_column(task, patterns)
    least = np.array([float(value) for value in least_worth(task, prices, limit)])
    worths = worth_of(patterns.counts, np.array(prices.sizes, dtype=np.float64))
    return columns.some(np.flatnonzero(worths[columns.which] >= least[columns.bar]))


def _wastes(task: CuttingTask, patterns: Patterns, columns: Columns) -> Floats:
    """Give the waste of each column."""
    spaces = np.array([bar.space for bar in task.bars])[columns.bar]
    left = np.maximum(spaces - patterns.held[columns.which] - task.kerf, 0)
    if task.keepable:
        left = np.where(left < task.keepable, left, 0)
    wastes: Floats = left.astype(np.float64) * (sum(task.wanted) + 1) + 1
    return wastes

"""What dual prices prove: values of the sizes in whole numbers, a bound without rounding errors."""

from collections.abc import Iterable
from fractions import Fraction
from math import floor
from typing import NamedTuple

from pelmet.model.order.cutting.covering import Kind, LeastCover, Requirement, least_cover
from pelmet.model.order.cutting.task import Counts, CuttingTask, space_used

ONE = 1 << 32
"""What the dearest bar costs, in dual prices: fine enough, and sums of it stay exact."""
_EXACT = 1 << 52
"""Whole numbers below this, and products and sums that stay below, are exact in a double."""


class DualPrices(NamedTuple):
    """What a piece of each size is worth, in whole numbers from 0."""

    sizes: Counts
    cover: Requirement
    """The most that a pattern is worth in each bar, and the worth of all that is wanted."""


def dearest(task: CuttingTask) -> int:
    """Give the highest price, or 1 if nothing costs."""
    return max((bar.price for bar in task.bars), default=0) or 1


def in_whole_prices(task: CuttingTask, duals: Iterable[float]) -> Counts:
    """Give whole values near the duals, where the dearest bar costs 1, whose sums are exact."""
    pieces = min(sum(task.wanted), max(bar.space for bar in task.bars) // min(task.sizes))
    return tuple(floor(min(max(dual * ONE, 0.0), _EXACT // pieces)) for dual in duals)


def feasible_prices(task: CuttingTask, prices: DualPrices) -> Counts:
    """Give values by which no bar of unlimited number is worth more than its price."""
    pieces, top = sum(task.wanted), dearest(task)
    share: Fraction = min(
        (
            Fraction(bar.price * ONE, top * value)
            for bar, value in zip(task.bars, prices.cover.values, strict=True)
            if value and bar.price and bar.most >= pieces
        ),
        default=Fraction(1),
    )
    return tuple(floor(value * min(share, Fraction(1))) for value in prices.sizes)


def bound_of(task: CuttingTask, prices: DualPrices) -> LeastCover:
    """Give the least cost of bars that are worth all that is wanted."""
    return least_cover([Kind(bar.price, bar.most) for bar in task.bars], [prices.cover])


def least_worth(task: CuttingTask, prices: DualPrices, limit: int) -> list[int]:
    """Give the worth that a pattern must have, in each bar, to be in a cutting within the limit.

    A cutting costs its patterns' reduced costs, which are 0 or more, and the bound of Lagrange:
    a pattern whose reduced cost alone is more than the limit leaves above the bound is in none.
    """
    top = dearest(task)
    # Prices against worth, both in parts of the dearest bar: all is multiplied by top and ONE.
    rents = [
        max(0, top * value - bar.price * ONE)
        for bar, value in zip(task.bars, prices.cover.values, strict=True)
    ]
    least = top * prices.cover.needed - sum(
        rent * bar.most for rent, bar in zip(rents, task.bars, strict=True)
    )
    slack = limit * ONE - least
    return [
        -(-(bar.price * ONE + rent - slack) // top)
        for bar, rent in zip(task.bars, rents, strict=True)
    ]


def by_length(task: CuttingTask) -> DualPrices:
    """Give the plainest values: each size is worth its length."""
    cover = Requirement(tuple(bar.space for bar in task.bars), space_used(task.sizes, task.wanted))
    return DualPrices(task.sizes, cover)

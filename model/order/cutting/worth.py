"""What duals prove: values of the sizes in whole numbers, and a bound without rounding errors."""

from collections.abc import Iterable
from fractions import Fraction
from math import floor
from typing import NamedTuple

from pelmet.model.order.cutting.buying import Kind, Taken, least_taken
from pelmet.model.order.cutting.task import Counts, Task, used

ONE = 1 << 32
"""What the dearest bar costs, in worth: fine enough, and sums of it stay exact."""
_EXACT = 1 << 52
"""Whole numbers below this, and products and sums that stay below, are exact in a double."""


class Worth(NamedTuple):
    """Values of the sizes, whole numbers from 0."""

    sizes: Counts
    needed: int
    """Worth of all that is wanted."""
    bars: tuple[int, ...]
    """No pattern in that bar is worth more."""


def dearest(task: Task) -> int:
    """Give the highest price, or 1 if nothing costs."""
    return max((bar.price for bar in task.bars), default=0) or 1


def whole_values(task: Task, duals: Iterable[float]) -> Counts:
    """Give values near the duals, where the dearest bar costs 1, so that sums of them are exact."""
    pieces = min(sum(task.wanted), max(bar.space for bar in task.bars) // min(task.sizes))
    return tuple(floor(min(max(dual * ONE, 0.0), _EXACT // pieces)) for dual in duals)


def shrunk_to_prices(task: Task, worth: Worth) -> Counts:
    """Give values by which no bar of unlimited number is worth more than its price."""
    pieces, top = sum(task.wanted), dearest(task)
    share: Fraction = min(
        (
            Fraction(bar.price * ONE, top * value)
            for bar, value in zip(task.bars, worth.bars, strict=True)
            if value and bar.price and bar.most >= pieces
        ),
        default=Fraction(1),
    )
    return tuple(floor(value * min(share, Fraction(1))) for value in worth.sizes)


def bound_of(task: Task, worth: Worth) -> Taken:
    """Give the least cost of bars that are worth all that is wanted."""
    kinds = [
        Kind(bar.price, value, bar.most) for bar, value in zip(task.bars, worth.bars, strict=True)
    ]
    return least_taken(kinds, worth.needed)


def thresholds(task: Task, worth: Worth, limit: int) -> list[int]:
    """Give the worth that a pattern must have, in each bar, to be in a cutting within the limit.

    A cutting costs its patterns' reduced costs, which are 0 or more, and the bound of Lagrange:
    a pattern whose reduced cost alone is more than the limit leaves above the bound is in none.
    """
    top = dearest(task)
    # Prices against worth, both in parts of the dearest bar: all is multiplied by top and ONE.
    rents = [
        max(0, top * value - bar.price * ONE)
        for bar, value in zip(task.bars, worth.bars, strict=True)
    ]
    least = top * worth.needed - sum(
        rent * bar.most for rent, bar in zip(rents, task.bars, strict=True)
    )
    slack = limit * ONE - least
    return [
        -(-(bar.price * ONE + rent - slack) // top)
        for bar, rent in zip(task.bars, rents, strict=True)
    ]


def by_length(task: Task) -> Worth:
    """Give the plainest values: each size is worth its length."""
    return Worth(task.sizes, used(task.sizes, task.wanted), tuple(bar.space for bar in task.bars))

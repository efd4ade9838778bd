"""The task in whole numbers: a length that carries its kerf, and stock with room for one more."""

from collections.abc import Iterable, Sequence
from typing import NamedTuple

Counts = tuple[int, ...]
"""How many pieces of each size."""


class StockBar(NamedTuple):
    """A kind of stock piece."""

    space: int
    """What sizes fill: its length less both trims, and one kerf, as the last needs none."""
    price: int
    most: int


class Use(NamedTuple):
    """Stock pieces of one kind that are cut alike."""

    bar: int
    counts: Counts
    times: int


class CuttingTask(NamedTuple):
    """Sizes wanted out of bars, in whole units."""

    sizes: Counts
    """Each length with its kerf, longest first."""
    wanted: Counts
    """How many of each size, at least 1."""
    bars: tuple[StockBar, ...]
    kerf: int
    keepable: int
    """What is left in pieces shorter than this is scrap; 0: all that is left."""


class Score(NamedTuple):
    """What a cutting is judged by, the first first."""

    cost: int
    scrap: int
    bars: int


def space_used(sizes: Sequence[int], counts: Sequence[int]) -> int:
    """Give the space that pieces take."""
    return sum(size * count for size, count in zip(sizes, counts, strict=True) if count)


def left_of(task: CuttingTask, use: Use) -> int:
    """Give what stays of a bar once a last cut has freed it."""
    return max(0, task.bars[use.bar].space - space_used(task.sizes, use.counts) - task.kerf)


def scrap_of(task: CuttingTask, use: Use) -> int:
    """Give the scrap of one bar."""
    left = left_of(task, use)
    return left if not task.keepable or left < task.keepable else 0


def score(task: CuttingTask, uses: Sequence[Use]) -> Score:
    """Judge a cutting."""
    return Score(
        sum(task.bars[use.bar].price * use.times for use in uses),
        sum(scrap_of(task, use) * use.times for use in uses),
        sum(use.times for use in uses),
    )


def remaining(task: CuttingTask, uses: Sequence[Use]) -> list[int]:
    """Give how many of each size are still to be cut; below 0 where too many are."""
    still = list(task.wanted)
    for use in uses:
        for row, count in enumerate(use.counts):
            still[row] -= count * use.times
    return still


def spare(task: CuttingTask, uses: Sequence[Use]) -> list[int]:
    """Give how many of each bar are not used yet."""
    still = [bar.most for bar in task.bars]
    for use in uses:
        still[use.bar] -= use.times
    return still


def complete(task: CuttingTask, uses: Sequence[Use]) -> bool:
    """Say if all is cut just as often as wanted, out of no more bars than there are."""
    return not any(remaining(task, uses)) and min(spare(task, uses)) >= 0


def better(task: CuttingTask, uses: tuple[Use, ...], other: tuple[Use, ...]) -> tuple[Use, ...]:
    """Give the other cutting if it is complete and better: a solver's word alone is not enough."""
    if complete(task, other) and score(task, other) < score(task, uses):
        return other
    return uses


def rest_of(task: CuttingTask, uses: Sequence[Use]) -> CuttingTask:
    """Give the task that remains: of some sizes, there may be none left to cut."""
    bars = zip(task.bars, spare(task, uses), strict=True)
    return task._replace(
        wanted=tuple(max(many, 0) for many in remaining(task, uses)),
        bars=tuple(bar._replace(most=many) for bar, many in bars),
    )


def narrowed(task: CuttingTask, rows: Sequence[int]) -> CuttingTask:
    """Give the task of some of its sizes."""
    return task._replace(
        sizes=tuple(task.sizes[row] for row in rows),
        wanted=tuple(task.wanted[row] for row in rows),
    )


def widened(count: int, rows: Sequence[int], uses: Iterable[Use]) -> list[Use]:
    """Give uses of some sizes as uses of all, of which there are so many."""
    wide = []
    for use in uses:
        counts = [0] * count
        for row, many in zip(rows, use.counts, strict=True):
            counts[row] = many
        wide.append(use._replace(counts=tuple(counts)))
    return wide

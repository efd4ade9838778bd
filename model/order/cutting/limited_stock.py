"""What stock can serve at all, where it is limited."""

from typing import NamedTuple

from pelmet.model.order.cutting.greedy import best_start
from pelmet.model.order.cutting.solving import solve_task
from pelmet.model.order.cutting.task import (
    Counts,
    CuttingTask,
    StockBar,
    Use,
    narrowed,
    rest_of,
    score,
    widened,
)


class StockFit(NamedTuple):
    """What can be cut."""

    task: CuttingTask
    """Of some sizes, there may be none."""
    uses: tuple[Use, ...]
    """A cutting of all of it."""
    out: Counts
    """How many of each size are left out."""


def fit_to_stock(task: CuttingTask) -> StockFit:
    """Leave out what no cutting serves, of least length, and give a first cutting of the rest.

    Only pieces longer than any stock of unlimited number compete for stock. What is left out is
    thought of as cut out of further stock, one kind for each length, whose price is that length:
    then least cost is least length. Of sets of one length, the first found is left out. Where
    very many pieces compete, more may be left out than needs.
    """
    count = len(task.sizes)
    start = best_start(task)
    if start is not None:
        return StockFit(task, start, (0,) * count)
    pieces = sum(task.wanted)
    roomy = max((bar.space for bar in task.bars if bar.most >= pieces), default=0)
    rows = [row for row, size in enumerate(task.sizes) if size > roomy]
    long = narrowed(task, rows)
    owned = [bar._replace(price=0) for bar in task.bars]
    lack = [
        StockBar(size, size - task.kerf, many)
        for size, many in zip(long.sizes, long.wanted, strict=True)
    ]
    long = long._replace(bars=(*owned, *lack), keepable=0)
    first = [
        Use(len(owned) + row, tuple(int(row == other) for other in range(len(rows))), many)
        for row, many in enumerate(long.wanted)
    ]
    tried = best_start(long) or tuple(first)
    tried = min(tried, tuple(first), key=lambda uses: score(long, uses))
    cut, _ = solve_task(long, tried)
    wide = widened(count, rows, cut)
    out = [0] * count
    for use in wide:
        if use.bar >= len(owned):
            out = [many + less * use.times for many, less in zip(out, use.counts, strict=True)]
    left = [many - less for many, less in zip(task.wanted, out, strict=True)]
    task = task._replace(wanted=tuple(left))
    uses = [use for use in wide if use.bar < len(owned)]
    rest = best_start(rest_of(task, uses))
    assert rest is not None  # there is unlimited stock for all the others
    return StockFit(task, (*uses, *rest), tuple(out))

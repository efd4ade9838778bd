"""Least cost out of all patterns written out."""

from functools import partial
from math import ceil, isfinite
from time import monotonic
from typing import NamedTuple

import numpy as np

from pelmet.model.order.cutting.columns import (
    full_columns,
    listed_worth,
    possible,
    trimmed,
)
from pelmet.model.order.cutting.counting import by_numbers
from pelmet.model.order.cutting.greedy import best, starts
from pelmet.model.order.cutting.master import ANY_NODES, TOLERANCE
from pelmet.model.order.cutting.patterns import Patterns, worth_of
from pelmet.model.order.cutting.relaxing import Columns, Goal, Relaxed
from pelmet.model.order.cutting.task import Task, Use, better, score
from pelmet.model.order.cutting.worth import (
    ONE,
    Worth,
    bound_of,
    dearest,
    shrunk_to_prices,
    whole_values,
)

_MOST_COLUMNS = 20_000
"""Out of which HiGHS is to find the least."""
_FEW_COLUMNS, _FEW_NODES = 500, 20


class Cheapest(NamedTuple):
    """A cutting, and what is proven of its cost."""

    uses: tuple[Use, ...]
    bound: int
    worth: Worth | None
    """By which patterns may be told that no such cutting holds."""


def cut_for_least_cost(
    task: Task, patterns: Patterns, uses: tuple[Use, ...], bound: int, until: float
) -> Cheapest:
    """Cut at least cost: a bound from the duals, a good cutting, and if they differ, all.

    Args:
        task: What is to be cut.
        patterns: All ways to cut its bars.
        uses: A cutting that is known.
        bound: No cutting costs less.
        until: Time to end, of the monotonic clock. [s]
    """
    cost = score(task, uses).cost
    columns = full_columns(task, patterns)
    top = dearest(task)
    relaxed = Relaxed(
        task, Goal(exactly=False), uses, [task.bars[use.bar].price / top for use in uses]
    )
    relaxed.solve(patterns, columns, until)
    values = whole_values(task, relaxed.duals[: len(task.sizes)])
    worth = listed_worth(task, patterns, values)
    taken = bound_of(task, worth)
    bound = max(bound, taken.bound)
    if cost > bound and taken.counts is not None:
        uses = better(task, uses, best(task, starts(task, [taken.counts])) or ())
        cost = score(task, uses).cost
    worth = listed_worth(task, patterns, shrunk_to_prices(task, worth))
    done = cost <= bound
    if not done:
        worth_by = partial(listed_worth, task, patterns)
        uses, least, done = by_numbers(task, patterns, worth_by, (worth,), uses, until)
        bound = max(bound, least)
    if not done:
        uses, bound = prove(task, patterns, worth, uses, bound, until)
    return Cheapest(uses, bound, worth)


def prove(
    task: Task,
    patterns: Patterns,
    worth: Worth,
    uses: tuple[Use, ...],
    bound: int,
    until: float,
) -> tuple[tuple[Use, ...], int]:
    """Look for a cutting that costs less among all patterns that one might hold.

    Where those are many, the most promising are looked through first: the less a known cutting
    costs, the fewer are left.

    Returns:
        The best cutting, and what none costs less than.
    """
    full = full_columns(task, patterns)
    for few, nodes in ((True, _FEW_NODES), (False, ANY_NODES)):
        cost = score(task, uses).cost
        columns = possible(task, patterns, full, worth, cost - 1)
        many = len(columns.which)
        if not many:
            return uses, cost
        if few and many <= _FEW_COLUMNS:
            continue
        if few:
            surplus = worth_of(patterns.counts, np.array(worth.sizes, dtype=np.float64))
            beyond = columns.cost * ONE - surplus[columns.which]
            columns = columns.some(np.sort(np.argsort(beyond, kind="stable")[:_FEW_COLUMNS]))
        elif many > _MOST_COLUMNS:
            return uses, bound
        uses, now = _cheaper(task, patterns, columns, uses, nodes, until)
    return uses, max(bound, now)


def _cheaper(
    task: Task,
    patterns: Patterns,
    columns: Columns,
    uses: tuple[Use, ...],
    nodes: int,
    until: float,
) -> tuple[tuple[Use, ...], int]:
    """Look for a cutting that costs less, out of these; and say what none of these costs less than.

    Duals may miss by the tolerance for each bar, of which a cutting has no more than pieces; ten
    times that is taken off. Costs are whole numbers: as long as that is less than half of one, and
    HiGHS has come to its end, the bound is exact.
    """
    cost, top = score(task, uses).cost, dearest(task)
    cheaper = Relaxed(task, Goal(exactly=False), (), ())
    cheaper.take_in(patterns, columns)
    most = (cost - 0.5) / top
    found, other = cheaper.in_whole(until - monotonic(), 0.5 / top, most, nodes=nodes)
    uses = better(task, uses, trimmed(task, other))
    floor = most if found.done and not other else min(found.bound, most)
    if not isfinite(floor):
        return uses, 0  # out of time before the first bound
    margin = 10 * TOLERANCE * sum(task.wanted)
    return uses, min(score(task, uses).cost, ceil((floor - margin) * top))

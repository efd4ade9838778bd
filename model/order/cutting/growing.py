"""Least cost where patterns are too many to write out: they are grown as they are wanted."""

from functools import partial
from time import monotonic

import numpy as np
from numpy.typing import NDArray

from pelmet.model.order.cutting.columns import trimmed
from pelmet.model.order.cutting.counting import by_numbers
from pelmet.model.order.cutting.greedy import best, best_start, starts
from pelmet.model.order.cutting.knapsack import Knapsack
from pelmet.model.order.cutting.least_cost import cut_for_least_cost, prove
from pelmet.model.order.cutting.patterns import (
    Floats,
    Patterns,
    Promise,
    Whole,
    all_patterns,
    worth_of,
)
from pelmet.model.order.cutting.relaxing import Goal, Relaxed
from pelmet.model.order.cutting.task import (
    Counts,
    Task,
    Use,
    better,
    narrowed,
    remaining,
    rest_of,
    score,
    used,
    widened,
)
from pelmet.model.order.cutting.worth import (
    Worth,
    bound_of,
    dearest,
    shrunk_to_prices,
    thresholds,
    whole_values,
)

_FINE, _COARSE = 1 << 16, 1 << 12
"""Cells of a bar for the bound, and for looking for patterns."""
_FEW_PATTERNS = 20_000
"""Written out for what remains."""
_MOST_COUNTS = 6_000_000
"""Of a size in a pattern, held at once for the proof: some 100 MB."""
_TOLERANCE = 1e-7
_SHARE, _SURE = 0.08, 0.7
"""Of the bars, so many are cut at once; more, if so much of each is taken."""
_NODES = 200
_ROUNDS_OF_REST = 6
_TAILED = 1e-5
"""The share by which a round must lower the cost, else patterns are looked for no further."""


def grown_cost(
    task: Task, uses: tuple[Use, ...], bound: int, until: float
) -> tuple[tuple[Use, ...], int]:
    """Cut at a low cost, and give a bound: no cutting costs less.

    Patterns are grown by the duals of those there are (P. C. Gilmore and R. E. Gomory, A linear
    programming approach to the cutting-stock problem, Operations Research 9 (1961) 849-859). What
    they say must be bought is tried; then bars that the programme takes most of are cut, one part
    after the other, until what remains is small enough to be cut at least cost.

    Args:
        task: What is to be cut.
        uses: A cutting that is known.
        bound: No cutting costs less.
        until: Time to end, of the monotonic clock. [s]
    """
    began = monotonic()
    relaxed = _relaxed(task, uses)
    _grow(task, relaxed, began + 0.5 * (until - began), 1000)
    worth = _worth(task, whole_values(task, relaxed.duals[: len(task.sizes)]))
    taken = bound_of(task, worth)
    worth = _worth(task, shrunk_to_prices(task, worth))
    bound = max(bound, taken.bound)
    if score(task, uses).cost > bound and taken.counts is not None:
        uses = better(task, uses, best(task, starts(task, [taken.counts])) or ())
    if score(task, uses).cost > bound:
        uses = better(task, uses, _dive(task, relaxed, until) or ())
    if score(task, uses).cost > bound:
        top = dearest(task)
        most = (score(task, uses).cost - 0.5) / top
        _, found = relaxed.in_whole((until - monotonic()) / 2, 0.5 / top, most, nodes=_NODES)
        uses = better(task, uses, trimmed(task, found))
    cost = score(task, uses).cost
    patterns = None if cost <= bound else _promising(task, worth, cost - 1, until)
    if patterns is None:
        return uses, bound
    worth_by = partial(_worth, task)
    uses, least, done = by_numbers(task, patterns, worth_by, (worth,), uses, until)
    bound = max(bound, least)
    return (uses, bound) if done else prove(task, patterns, worth, uses, bound, until)


def _promising(task: Task, worth: Worth, limit: int, until: float) -> Patterns | None:
    """Write out the patterns that a cutting may hold that costs no more than the limit."""
    knapsack = Knapsack(task, _FINE, loose=True)
    values = np.array(worth.sizes, dtype=np.float64)
    most, _ = knapsack.fill(values)
    least = [float(value) for value in thresholds(task, worth, limit)]

    def holds(worths: Floats, held: Whole) -> NDArray[np.bool_]:
        """Say if the best that the space left may hold would make it worth enough."""
        good = np.zeros(len(held), dtype=np.bool_)
        for bar, enough in zip(task.bars, least, strict=True):
            fits = np.flatnonzero(held <= bar.space)
            left = ((bar.space - held[fits]) // knapsack.cell).astype(np.int64)
            good[fits] |= worths[fits] + most[left] >= enough
        return good

    return all_patterns(task, _MOST_COUNTS // len(task.sizes), Promise(values, holds), until)


def _relaxed(task: Task, uses: tuple[Use, ...]) -> Relaxed:
    top = dearest(task)
    costs = [task.bars[use.bar].price / top for use in uses]
    return Relaxed(task, Goal(exactly=False), uses, costs)


def _worth(task: Task, values: Counts) -> Worth:
    """Give what bars are worth at most."""
    knapsack = Knapsack(task, _FINE, loose=True)
    most, _ = knapsack.fill(np.array(values, dtype=np.float64))
    bars = tuple(int(most[space]) for space in knapsack.spaces)
    return Worth(values, used(values, task.wanted), bars)


def _grow(task: Task, relaxed: Relaxed, until: float, rounds: int) -> Floats | None:
    """Take in patterns as long as they help; give how much of each is taken."""
    knapsack = Knapsack(task, _COARSE, loose=False)
    fine = knapsack.exact
    last = float("inf")
    taken = relaxed.step()
    for _ in range(rounds):
        if taken is None or monotonic() > until:
            break
        helped = _take_best(task, relaxed, knapsack)
        if not helped or (not fine and relaxed.cost > last * (1 - _TAILED)):
            if fine:
                break
            knapsack, fine = Knapsack(task, _FINE, loose=False), True
        last = relaxed.cost
        taken = relaxed.step()
    return taken


def _take_best(task: Task, relaxed: Relaxed, knapsack: Knapsack) -> bool:
    """Take in the best pattern of each bar, and the best that holds each size; say if any helps."""
    sizes, top = len(task.sizes), dearest(task)
    duals = np.maximum(relaxed.duals[:sizes], 0)
    _, takes = knapsack.fill(duals)
    prices = np.array([bar.price / top for bar in task.bars])
    prices -= relaxed.duals[sizes : sizes + len(task.bars)]
    own = np.array(knapsack.sizes)
    room = knapsack.spaces[:, None] - np.concatenate([own, [0]])[None, :]
    bars, first = np.nonzero(room >= 0)
    counts = knapsack.counts(takes, room[bars, first])
    with_first = np.eye(sizes + 1)[:, :sizes][first]
    counts += with_first
    beyond = prices[bars] - worth_of(counts, duals)
    beyond[(counts > np.array(task.wanted)).any(axis=1)] = np.inf
    order = np.argsort(beyond, kind="stable")
    order = order[beyond[order] < -_TOLERANCE]
    if not len(order):
        return False
    holds = np.hstack([np.eye(sizes + 1)[first[order]], np.eye(len(prices))[bars[order]]])
    rows = order[np.unique(np.argmax(holds, axis=0)[holds.any(axis=0)])]
    rows = rows[
        np.unique(np.column_stack([bars[rows], counts[rows]]), axis=0, return_index=True)[1]
    ]
    costs = np.array([bar.price / top for bar in task.bars])[bars[rows]]
    relaxed.add(counts[rows], bars[rows], costs)
    return True


def _dive(task: Task, relaxed: Relaxed, until: float) -> tuple[Use, ...] | None:
    """Cut the bars that the programme takes most of, then look again at what remains."""
    done: list[Use] = []
    rest, rows = task, list(range(len(task.sizes)))
    taken = relaxed.step()
    while taken is not None:
        done += widened(len(task.sizes), rows, _most_taken(rest, relaxed, taken))
        still = remaining(task, done)
        if max(still) <= 0:
            return trimmed(task, tuple(done))
        before, rows = rows, [row for row, many in enumerate(still) if many > 0]
        rest = narrowed(rest_of(task, done), rows)
        start = best_start(rest)
        if start is None:
            return None
        patterns = all_patterns(rest, _FEW_PATTERNS)
        if patterns is not None or monotonic() > until:
            if patterns is not None:
                start = cut_for_least_cost(rest, patterns, start, 0, until).uses
            return trimmed(task, (*done, *widened(len(task.sizes), rows, start)))
        relaxed = _again(rest, start, relaxed, [before.index(row) for row in rows])
        taken = _grow(rest, relaxed, until, _ROUNDS_OF_REST)
    return None


def _most_taken(task: Task, relaxed: Relaxed, taken: Floats) -> list[Use]:
    """Give the columns that are taken most, as far as all their pieces are wanted."""
    still, spared = list(task.wanted), [bar.most for bar in task.bars]
    bars_wanted = max(1.0, _SHARE * float(taken.sum()))
    uses: list[Use] = []
    many = 0
    for column in np.argsort(-taken, kind="stable"):
        if taken[column] < _SURE and many >= bars_wanted:
            break
        use = relaxed.use(int(column), 1)
        most = min(
            spared[use.bar],
            *(still[row] // count for row, count in enumerate(use.counts) if count),
        )
        times = min(most, max(1, int(taken[column] + 1 - _SURE)))
        if taken[column] <= _TOLERANCE and uses:
            break
        if times <= 0:
            continue
        uses.append(use._replace(times=times))
        many += times
        spared[use.bar] -= times
        for row, count in enumerate(use.counts):
            still[row] -= count * times
    return uses


def _again(task: Task, start: tuple[Use, ...], before: Relaxed, rows: list[int]) -> Relaxed:
    """Begin with what is left of the patterns that were grown before."""
    relaxed = _relaxed(task, start)
    counts = np.array([counts for _, counts in before.uses])[:, rows]
    counts = np.minimum(counts, np.array(task.wanted))
    bars = np.array([bar for bar, _ in before.uses])
    both = np.unique(np.column_stack([bars, counts])[counts.any(axis=1)], axis=0)
    bars = both[:, 0].astype(np.int64)
    top = dearest(task)
    relaxed.add(both[:, 1:].copy(), bars, np.array([bar.price / top for bar in task.bars])[bars])
    return relaxed

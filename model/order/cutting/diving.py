"""A good cutting out of the linear programme: what it takes most of is cut, part after part.

Source: the diving heuristics of integer programming.
"""

import numpy as np

from pelmet.model.order.cutting.greedy import best_start, without_surplus
from pelmet.model.order.cutting.knapsack import GeneratedPatterns
from pelmet.model.order.cutting.least_cost import cut_for_least_cost
from pelmet.model.order.cutting.patterns import Floats, all_patterns
from pelmet.model.order.cutting.pricing import ListedPatterns
from pelmet.model.order.cutting.restricted_master import RestrictedMaster, prices_of
from pelmet.model.order.cutting.task import CuttingTask, Use, narrowed, remaining, rest_of, widened

_FEW_PATTERNS = 20_000
"""Written out for what remains."""
_TAKEN = 1e-7
_SHARE, _SURE = 0.12, 0.7
"""Of the bars, so many are cut at once; more, if so much of each is taken."""
_ROUNDS_OF_REST = 6


def dive(task: CuttingTask, uses: tuple[Use, ...]) -> tuple[Use, ...] | None:
    """Cut the bars that the programme takes most of, then look again at what remains.

    What remains in the end is small enough to be cut at least cost.
    """
    master = RestrictedMaster(task, prices_of(task))
    master.add_uses(uses)
    taken = GeneratedPatterns(task).generate(master)
    done: list[Use] = []
    rest, rows = task, list(range(len(task.sizes)))
    while taken is not None and (cut := _most_taken(rest, master, taken)):
        done += widened(len(task.sizes), rows, cut)
        still = remaining(task, done)
        if max(still) <= 0:
            return without_surplus(task, tuple(done))
        before, rows = rows, [row for row, many in enumerate(still) if many > 0]
        rest = narrowed(rest_of(task, done), rows)
        start = best_start(rest)
        if start is None:
            return None
        patterns = all_patterns(rest, _FEW_PATTERNS)
        if patterns is not None:
            start = cut_for_least_cost(rest, ListedPatterns(rest, patterns), start, 0).uses
            return without_surplus(task, (*done, *widened(len(task.sizes), rows, start)))
        master = _again(rest, start, master, [before.index(row) for row in rows])
        taken = GeneratedPatterns(rest, _ROUNDS_OF_REST).generate(master)
    return None


def _most_taken(task: CuttingTask, master: RestrictedMaster, taken: Floats) -> list[Use]:
    """Give the columns that are taken most, as far as all their pieces are wanted."""
    still, spared = list(task.wanted), [bar.most for bar in task.bars]
    bars_wanted = max(1.0, _SHARE * float(taken.sum()))
    uses: list[Use] = []
    many = 0
    for column in np.argsort(-taken, kind="stable"):
        if taken[column] < _SURE and many >= bars_wanted:
            break
        use = master.use(int(column), 1)
        most = min(
            spared[use.bar],
            *(still[row] // count for row, count in enumerate(use.counts) if count),
        )
        times = min(most, max(1, int(taken[column] + 1 - _SURE)))
        if taken[column] <= _TAKEN and uses:
            break
        if times <= 0:
            continue
        uses.append(use._replace(times=times))
        many += times
        spared[use.bar] -= times
        for row, count in enumerate(use.counts):
            still[row] -= count * times
    return uses


def _again(
    task: CuttingTask, start: tuple[Use, ...], before: RestrictedMaster, rows: list[int]
) -> RestrictedMaster:
    """Begin with what is left of the patterns that were generated before."""
    master = RestrictedMaster(task, prices_of(task))
    master.add_uses(start)
    counts = np.array([counts for _, counts in before.columns])[:, rows]
    counts = np.minimum(counts, np.array(task.wanted))
    bars = np.array([bar for bar, _ in before.columns])
    both = np.unique(np.column_stack([bars, counts])[counts.any(axis=1)], axis=0)
    master.add(both[:, 1:].copy(), both[:, 0].astype(np.int64))
    return master

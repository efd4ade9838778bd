"""Least cost, then least scrap, then fewest bars: by the cheapest way that proves it."""

from pelmet.model.order.cutting.dual_prices import bound_of, by_length
from pelmet.model.order.cutting.greedy import shrunk
from pelmet.model.order.cutting.task import CuttingTask, Use, better, score
from pelmet.model.order.cutting.waste import least_waste, waste_of

_MOST_SIZES = 600
"""Different lengths: some seconds. More are left as they were cut bar after bar."""
_MOST_PATTERNS = 200_000
_MOST_COUNTS = 6_000_000
"""Of a size in a pattern, held at once: some 100 MB."""


def solve_task(task: CuttingTask, start: tuple[Use, ...]) -> tuple[tuple[Use, ...], int]:
    """Cut at least cost, and with little scrap and few bars at that cost; and bound the cost.

    A cutting found bar by bar serves where it meets what the lengths alone prove. Otherwise all
    patterns are written out; where they are too many, those that help are generated, and where that
    leaves a doubt, those are written out that a cheaper cutting might hold.

    Args:
        task: What is to be cut.
        start: A cutting of all of it.
    """
    bound = bound_of(task, by_length(task)).bound
    cost = score(task, start).cost
    if cost <= bound and waste_of(task, start) <= least_waste(task, cost):
        return start, cost
    if sum(task.wanted) == 1:  # each bar is tried: nothing is left to prove
        start = better(task, start, shrunk(task, start))
        return start, score(task, start).cost
    if len(task.sizes) > _MOST_SIZES:
        return start, bound
    # They bring numpy and HiGHS along, which take longer to load than most tasks to solve.
    from pelmet.model.order.cutting.bar_counts import cut_by_bar_counts
    from pelmet.model.order.cutting.diving import dive
    from pelmet.model.order.cutting.knapsack import GeneratedPatterns
    from pelmet.model.order.cutting.least_cost import cut_for_least_cost
    from pelmet.model.order.cutting.least_scrap import cut_for_least_scrap
    from pelmet.model.order.cutting.patterns import all_patterns
    from pelmet.model.order.cutting.pricing import ListedPatterns

    most = min(_MOST_PATTERNS, _MOST_COUNTS // len(task.sizes))
    patterns = all_patterns(task, most)
    if patterns is not None:
        uses, bound, prices = cut_for_least_cost(task, ListedPatterns(task, patterns), start, bound)
        if score(task, uses).cost > bound:
            uses = better(task, uses, dive(task, uses) or ())
        return cut_for_least_scrap(task, patterns, uses, prices), bound
    if cost <= bound:
        return start, cost
    pricing = GeneratedPatterns(task)
    uses = better(task, start, dive(task, start) or ())
    uses, bound, prices = cut_for_least_cost(task, pricing, uses, bound)
    cost = score(task, uses).cost
    patterns = pricing.promising(prices, cost - 1, most) if cost > bound else None
    if patterns is not None:
        uses, least = cut_by_bar_counts(task, ListedPatterns(task, patterns), prices, uses)
        bound = max(bound, least)
    return uses, bound

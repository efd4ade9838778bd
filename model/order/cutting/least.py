"""Least cost, then least scrap, then fewest bars: by the cheapest way that proves it."""

from pelmet.model.order.cutting.task import Task, Use, score
from pelmet.model.order.cutting.waste import least_waste, waste_of
from pelmet.model.order.cutting.worth import bound_of, by_length

_MOST_PATTERNS = 200_000
_MOST_COUNTS = 6_000_000
"""Of a size in a pattern, held at once: some 100 MB."""


def cut_at_least(task: Task, start: tuple[Use, ...], until: float) -> tuple[tuple[Use, ...], int]:
    """Cut at least cost, and with least scrap and fewest bars at that cost; and bound the cost.

    Cuttings found bar by bar serve where they meet what the lengths alone prove. Otherwise all
    patterns are written out; where they are too many, those that help are, and scrap is as it
    comes.

    Args:
        task: What is to be cut.
        start: A cutting of all of it.
        until: Time to end, of the monotonic clock. [s]
    """
    bound = bound_of(task, by_length(task)).bound
    cost = score(task, start).cost
    if cost <= bound and waste_of(task, start) <= least_waste(task, cost):
        return start, cost
    # They bring numpy and HiGHS along, which take longer to load than most tasks to solve.
    from pelmet.model.order.cutting.growing import grown_cost
    from pelmet.model.order.cutting.least_cost import Cheapest, cut_for_least_cost
    from pelmet.model.order.cutting.least_scrap import cut_for_least_scrap
    from pelmet.model.order.cutting.patterns import all_patterns

    patterns = all_patterns(task, min(_MOST_PATTERNS, _MOST_COUNTS // len(task.sizes)))
    if patterns is None:
        return grown_cost(task, start, bound, until) if cost > bound else (start, cost)
    cheapest = Cheapest(start, cost, None)
    if cost > bound:
        cheapest = cut_for_least_cost(task, patterns, start, bound, until)
    return cut_for_least_scrap(task, patterns, cheapest.uses, cheapest.worth, until), cheapest.bound

"""Least cost: by a bound from dual prices, and by numbers of bars."""

from typing import NamedTuple

from pelmet.model.order.cutting.bar_counts import cut_by_bar_counts
from pelmet.model.order.cutting.dual_prices import (
    DualPrices,
    bound_of,
    feasible_prices,
    in_whole_prices,
)
from pelmet.model.order.cutting.greedy import best_cutting, starts
from pelmet.model.order.cutting.pricing import Pricing
from pelmet.model.order.cutting.restricted_master import RestrictedMaster, prices_of
from pelmet.model.order.cutting.task import CuttingTask, Use, better, score


class LeastCost(NamedTuple):
    """A cutting, and what is proven of its cost."""

    uses: tuple[Use, ...]
    bound: int
    """No cutting costs less."""
    prices: DualPrices
    """By which patterns may be told that no such cutting holds."""


def cut_for_least_cost(
    task: CuttingTask, pricing: Pricing, uses: tuple[Use, ...], bound: int
) -> LeastCost:
    """Cut at least cost: a bound from the dual prices, then numbers of bars, cheapest first.

    Source: P. C. Gilmore and R. E. Gomory, A linear programming approach to the cutting-stock
    problem, Operations Research 9 (1961) 849-859.

    Args:
        task: What is to be cut.
        pricing: Finds its patterns.
        uses: A cutting that is known.
        bound: No cutting costs less.
    """
    master = RestrictedMaster(task, prices_of(task))
    master.add_uses(uses)
    pricing.generate(master)
    prices = pricing.worth(in_whole_prices(task, master.duals))
    cover = bound_of(task, prices)
    bound = max(bound, cover.bound)
    prices = pricing.worth(feasible_prices(task, prices))
    if score(task, uses).cost > bound and cover.counts is not None:
        uses = better(task, uses, best_cutting(task, starts(task, [cover.counts])) or ())
    if score(task, uses).cost > bound:
        uses, least = cut_by_bar_counts(task, pricing, prices, uses)
        bound = max(bound, least)
    return LeastCost(uses, bound, prices)

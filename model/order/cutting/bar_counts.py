"""How many bars of each kind: the cheapest numbers first, each proven short or cut from."""

from collections.abc import Sequence

import numpy as np

from pelmet.model.order.cutting.columns import Columns
from pelmet.model.order.cutting.covering import Kind, Requirement, least_cover
from pelmet.model.order.cutting.dual_prices import DualPrices, by_length, in_whole_prices
from pelmet.model.order.cutting.greedy import without_surplus
from pelmet.model.order.cutting.patterns import worth_of
from pelmet.model.order.cutting.pricing import ListedPatterns, Pricing
from pelmet.model.order.cutting.restricted_master import RestrictedMaster
from pelmet.model.order.cutting.task import Counts, CuttingTask, Use, better, score

_MOST_ROUNDS = 40
"""Of numbers of bars: the first few mostly settle it."""
_MOST_COLUMNS = 400
"""Out of which they are cut, those of least waste: some tenths of a second."""
_MOST_NODES = 20


def cut_by_bar_counts(
    task: CuttingTask, pricing: Pricing, known: DualPrices, uses: tuple[Use, ...]
) -> tuple[tuple[Use, ...], int]:
    """Settle the numbers of bars, cheapest first, until some are cut from or none cost less.

    Numbers are short if values of the sizes show that the bars are worth less than all that is
    wanted, in whole numbers; the linear programme gives such values where pieces do not fit even in
    parts. Or else a search through all patterns that may be in them ends without a cutting. No
    price takes part in either, so no rounding of prices.

    Source: J. F. Benders, Partitioning procedures for solving mixed-variables programming problems,
    Numerische Mathematik 4 (1962) 238-252.

    Args:
        task: What is to be cut.
        pricing: Finds its patterns.
        known: Values that are known to show something.
        uses: A cutting that is known.

    Returns:
        The best cutting found, and what none costs less than.
    """
    priced = [by_length(task), known]
    short: list[Counts] = []
    kinds = [Kind(bar.price, bar.most) for bar in task.bars]
    bound = 0
    for _ in range(_MOST_ROUNDS):
        cost = score(task, uses).cost
        covers = [prices.cover for prices in priced]
        cheapest = least_cover(kinds, covers, short=short, below=cost)
        bound = max(bound, min(cheapest.bound, cost))
        numbers = cheapest.counts
        if bound == cost or numbers is None:
            break
        bars = zip(task.bars, numbers, strict=True)
        few = task._replace(bars=tuple(bar._replace(most=many) for bar, many in bars))
        master = _lacking(few)
        if pricing.generate(master) is None:
            break
        prices = pricing.worth(in_whole_prices(task, master.duals))
        if _falls_short(prices.cover, numbers):
            priced.append(prices)
            continue
        (found, _), done = master.in_whole(0.5, _MOST_NODES, most=0.0), False
        if not found and isinstance(pricing, ListedPatterns):
            found, done = _cut_from(few, pricing, priced)
        uses = better(task, uses, without_surplus(task, found))
        if done and not found:
            short.append(numbers)
        elif score(task, uses).cost > bound:
            break
    return uses, bound


def _falls_short(cover: Requirement, numbers: Counts) -> bool:
    """Say if so many bars are worth less than all that is wanted."""
    return sum(a * b for a, b in zip(cover.values, numbers, strict=True)) < cover.needed


def _lacking(task: CuttingTask) -> RestrictedMaster:
    """Ask how much of the length is lacking, at least: nothing but that costs anything."""
    master = RestrictedMaster(task, np.zeros(len(task.bars)))
    master.add_lack(np.array([size / task.sizes[0] for size in task.sizes]))
    return master


def _cut_from(
    task: CuttingTask, listed: ListedPatterns, priced: Sequence[DualPrices]
) -> tuple[tuple[Use, ...], bool]:
    """Look for a cutting out of just these bars: what it found, and whether it came to its end."""
    fitting = _fitting(task, listed, priced)
    some = fitting.some(np.arange(len(fitting.which))[:_MOST_COLUMNS])
    master = RestrictedMaster(task, np.zeros(len(task.bars)))
    master.add(listed.patterns.counts[some.which], some.bar)
    found, done = master.in_whole(0.5, _MOST_NODES, most=0.0)
    return found, done and len(fitting.which) <= _MOST_COLUMNS


def _fitting(task: CuttingTask, listed: ListedPatterns, priced: Sequence[DualPrices]) -> Columns:
    """Give the patterns that such numbers of bars may hold: none may waste more than all do.

    A bar wastes what its pattern is worth less than its best. Those that waste least come first.
    """
    full, numbers = listed.full, [bar.most for bar in task.bars]
    keeps = np.array(numbers)[full.bar] > 0
    wasted = np.zeros(len(keeps))
    for sizes, (values, needed) in priced:
        room = sum(a * b for a, b in zip(values, numbers, strict=True))
        if max(room, *values) >= 1 << 53:
            continue  # not exact in floating point
        held = worth_of(listed.patterns.counts, np.array(sizes, dtype=np.float64))[full.which]
        wastes = np.array(values, dtype=np.float64)[full.bar] - held
        keeps &= wastes <= room - needed
        wasted = np.maximum(wasted, wastes / max(room - needed, 1))
    rows = np.flatnonzero(keeps)
    return full.some(rows[np.argsort(wasted[rows], kind="stable")])

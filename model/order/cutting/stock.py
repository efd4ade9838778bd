"""Cut what is wanted out of stock at least cost, exactly: the door to the cutting."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import repeat

from pelmet.model.order.cutting.limited_stock import fit_to_stock
from pelmet.model.order.cutting.solving import solve_task
from pelmet.model.order.cutting.task import Use, left_of, narrowed, score, widened
from pelmet.model.order.cutting.terms import Cut, Cutting, Stock, Want
from pelmet.model.order.cutting.whole_numbers import WholeNumbers, in_whole_numbers

__all__ = ["Cut", "Cutting", "Stock", "Want", "cut_stock"]


def cut_stock(
    stocks: Sequence[Stock],
    wants: Sequence[Want],
    *,
    kerf: Decimal | int = 0,
    end_trim: Decimal | int = 0,
    keepable: Decimal | int = 0,
) -> Cutting:
    """Cut what is wanted out of stock: least cost, then least scrap, then fewest pieces of stock.

    Pieces fit in a stock piece if their lengths and a kerf between each two are no more than its
    length less both end trims. Where something is left, a last cut frees it, which takes one more
    kerf.

    Cost is exact, and the bound is proven; they may differ where there are very many ways to cut,
    as for a thousand lengths. Scrap is least for some dozen pieces; for more it is as it comes,
    or the best of a few tries. What cannot be cut is left out: pieces longer than any stock, and
    where stock on hand does not serve, those of least length together; all else is about what is
    served. The same input gives the same answer, in whatever order it is given and however busy
    the machine: what is tried is limited in steps, never in time.

    Args:
        stocks: What there is to cut from. Names differ.
        wants: What is to be cut. Names differ.
        kerf: Width that each cut takes away, 0 or more. [mm]
        end_trim: Length that is trimmed off at each end of a stock piece, 0 or more. [mm]
        keepable: Least length that is worth keeping: shorter is scrap. 0 if all is. [mm]

    Returns:
        The cuts, longest stock first, and what is proven.

    Raises:
        ValueError: A number is negative or not a number, a length is 0, or a name is empty or
            given twice.

    Source: P. C. Gilmore and R. E. Gomory, A linear programming approach to the cutting-stock
    problem, Operations Research 9 (1961) 849-859, with the patterns written out or generated; whole
    numbers by HiGHS (Q. Huangfu and J. A. J. Hall, Parallelizing the dual revised simplex method,
    Mathematical Programming Computation 10 (2018) 119-142).

    >>> stock = Stock("bar", Decimal(3000), Decimal("24.50"))
    >>> cutting = cut_stock(
    ...     [stock], [Want("sink", Decimal(1200), 3), Want("hob", Decimal(590), 2)], kerf=3
    ... )
    >>> [(cut.pieces, str(cut.left)) for cut in cutting.cuts]
    [(('sink', 'sink', 'hob'), '1'), (('sink', 'hob'), '1204')]
    >>> str(cutting.cost), cutting.proven
    ('49', True)
    """
    whole = in_whole_numbers(stocks, wants, kerf, end_trim, keepable)
    task, out = whole.task, whole.task.wanted
    uses: tuple[Use, ...] = ()
    if task.bars:
        task, uses, out = fit_to_stock(task)
    rows = [row for row, many in enumerate(task.wanted) if many]
    bound = 0
    if uses:
        few = [use._replace(counts=tuple(use.counts[row] for row in rows)) for use in uses]
        found, bound = solve_task(narrowed(task, rows), tuple(few))
        uses = tuple(widened(len(task.sizes), rows, found))
    lefts = [left_of(task, use) for use in uses for _ in range(use.times)]
    kept = sum(left for left in lefts if task.keepable and left >= task.keepable)
    return Cutting(
        tuple(_cuts(whole, uses)),
        _decimal(score(task, uses).cost * whole.money),
        _decimal(bound * whole.money),
        _decimal(kept * whole.unit),
        _decimal((sum(lefts) - kept) * whole.unit),
        tuple(_unmet(whole, out)),
    )


def _cuts(whole: WholeNumbers, uses: Sequence[Use]) -> Iterator[Cut]:
    """Give names to what is cut: those of equal things in the order of the alphabet."""
    names = [_names((want.name, want.count) for want in alike) for alike in whole.wants]
    stocks = [_names((each.name, each.on_hand) for each in alike) for alike in whole.stocks]
    for use in sorted(uses, key=lambda each: (each.bar, [-count for count in each.counts])):
        left = _decimal(left_of(whole.task, use) * whole.unit)
        for _ in range(use.times):
            pieces = [
                next(names[row]) for row, count in enumerate(use.counts) for _ in range(count)
            ]
            yield Cut(next(stocks[use.bar]), tuple(pieces), left)


def _names(numbers: Iterable[tuple[str, int | None]]) -> Iterator[str]:
    """Give each name as often as there are of it; without end if there is no number."""
    for name, many in numbers:
        yield from repeat(name) if many is None else repeat(name, many)


def _unmet(whole: WholeNumbers, out: Sequence[int]) -> Iterator[Want]:
    """Give what is left out: of equal lengths, the last of the alphabet."""
    yield from whole.too_long
    for alike, many in zip(whole.wants, out, strict=True):
        unmet, still = [], many
        for want in reversed(alike):
            less = min(still, want.count)
            still -= less
            if less:
                unmet.append(want._replace(count=less))
        yield from reversed(unmet)


def _decimal(value: Fraction) -> Decimal:
    """Give a fraction whose denominator divides a power of ten, exactly."""
    places = 0
    while value.denominator != 1:
        value *= 10
        places += 1
    return Decimal(f"{value.numerator}E-{places}")

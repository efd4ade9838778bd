"""The least cost of whole bars that cover what is needed: a knapsack turned round."""

from collections.abc import Sequence
from typing import NamedTuple

_MOST_NODES = 10_000
"""Part answers looked at before the bound is left as it is: some hundredths of a second."""


class Kind(NamedTuple):
    """A kind of bar to take: what one costs, and how many there are."""

    cost: int
    most: int
    price: int = 0
    """What it takes of the budget."""


class Requirement(NamedTuple):
    """What bars must be worth together."""

    values: tuple[int, ...]
    """Of one bar of each kind, 0 or more."""
    needed: int


class LeastCover(NamedTuple):
    """What costs least, or what is sure of it."""

    bound: int
    """None costs less."""
    counts: tuple[int, ...] | None
    """How many of each kind cost just that; None: the search was given up, or all cost more."""


def least_cover(
    kinds: Sequence[Kind],
    covers: Sequence[Requirement],
    *,
    short: Sequence[Sequence[int]] = (),
    below: int | None = None,
    budget: int | None = None,
) -> LeastCover:
    """Give the least cost of whole bars that are worth what is needed, in each way of counting.

    Give each size a value of 0 or more: no bar can be worth more than its best pattern, so bars
    that hold all that is wanted are together worth at least all that is wanted. Whatever the
    values are, the least cost of so much worth, in whole bars, is therefore a bound; here all is
    in whole numbers, without rounding. It is the bound of the linear programme or more, as bars
    are whole.

    Source: the surrogate and Lagrangian bounds of integer programming; A. A. Farley, A note on
    bounding a class of linear programming problems, Operations Research 38 (1990) 922-923.

    Args:
        kinds: What there is; what costs nothing is taken whole, whatever its price.
        covers: What is needed.
        short: Numbers of each kind that do not serve; nor do any that are nowhere more.
        below: Nothing is looked for that costs as much: if none costs less, that is the bound.
        budget: No more is paid.

    Raises:
        ValueError: All together are not worth so much, or not within the budget.
    """
    free = [kind.most if not kind.cost else 0 for kind in kinds]
    needs = [
        cover.needed - sum(a * b for a, b in zip(cover.values, free, strict=True))
        for cover in covers
    ]
    order = sorted(
        (row for row, kind in enumerate(kinds) if kind.cost and kind.most),
        key=lambda row: (-covers[0].values[row] / kinds[row].cost, row),
    )
    search = _Search(
        [kinds[row] for row in order],
        [[cover.values[row] for row in order] for cover in covers],
        [
            [each[row] for row in order]
            for each in short
            if all(many <= other for many, other in zip(free, each, strict=True))
        ],
        budget,
        below,
    )
    search.go(0, needs, 0, 0, ())
    if search.nodes > _MOST_NODES:
        return LeastCover(search.floor(0, needs), None)
    if search.best is None:
        raise ValueError("all there is is not worth so much: ask for less")
    if search.found is None:
        return LeastCover(search.best, None)
    counts = list(free)
    for row, many in zip(order, search.found, strict=False):
        counts[row] = many
    return LeastCover(search.best, tuple(counts))


class _Search:
    """Try numbers of each kind, the most worth for its cost first."""

    def __init__(
        self,
        kinds: Sequence[Kind],
        values: Sequence[Sequence[int]],
        short: Sequence[Sequence[int]],
        budget: int | None,
        below: int | None,
    ) -> None:
        self.kinds, self.values, self.short, self.budget = kinds, values, short, budget
        self.best = below
        self.found: tuple[int, ...] | None = None
        self.nodes = 0
        self.cheapest = [
            sorted(
                (row for row, value in enumerate(worths) if value),
                key=lambda row: (-worths[row] / kinds[row].cost, row),
            )
            for worths in values
        ]
        """The kinds worth anything, in each way of counting, the most for its cost first."""

    def floor(self, row: int, needs: Sequence[int]) -> int:
        """Give what the kinds from this one on cost at least if they could be cut in parts."""
        return max(
            self._floor(row, need, worths, order)
            for need, worths, order in zip(needs, self.values, self.cheapest, strict=True)
        )

    def _floor(self, first: int, need: int, worths: Sequence[int], order: Sequence[int]) -> int:
        total = 0
        for row in order:
            if need <= 0:
                break
            if row >= first:
                kind, value = self.kinds[row], worths[row]
                if need <= value * kind.most:
                    return total + ceil_of(need * kind.cost, value)
                total += kind.cost * kind.most
                need -= value * kind.most
        return total

    def go(
        self, row: int, needs: Sequence[int], cost: int, price: int, taken: tuple[int, ...]
    ) -> None:
        """Go on from what is taken of the kinds before this one."""
        if self.budget is not None and price > self.budget:
            return
        if max(needs) <= 0 and not self._is_short(taken):
            if self.best is None or cost < self.best:
                self.best, self.found = cost, taken
            return
        if row == len(self.kinds):
            return
        kind = self.kinds[row]
        values = [worths[row] for worths in self.values]
        enough = [
            ceil_of(need, value) for need, value in zip(needs, values, strict=True) if value
        ] + [each[row] + 1 for each in self.short]
        for many in range(max(0, min(kind.most, max(enough, default=0))), -1, -1):
            self.nodes += 1
            if self.nodes > _MOST_NODES:
                return
            now = cost + many * kind.cost
            still = [need - many * value for need, value in zip(needs, values, strict=True)]
            if self.best is None or now + self.floor(row + 1, still) < self.best:
                self.go(row + 1, still, now, price + many * kind.price, (*taken, many))

    def _is_short(self, taken: Sequence[int]) -> bool:
        """Say if so many are known not to serve."""
        return any(
            all(many <= other for many, other in zip(taken, each, strict=False))
            for each in self.short
        )


def ceil_of(value: int, by: int) -> int:
    """Give the quotient of whole numbers, rounded up."""
    return -(-value // by)

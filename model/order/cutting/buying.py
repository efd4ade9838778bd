"""What must be bought at least, whichever way it is cut."""

from collections.abc import Sequence
from typing import NamedTuple

MOST_NODES = 4000
"""Part answers looked at before the bound is left as it is: a few milliseconds."""


class Kind(NamedTuple):
    """A kind of thing to take: what it costs, what it is worth, and how many there are."""

    cost: int
    worth: int
    most: int
    price: int = 0
    """What it takes of the budget."""


class Taken(NamedTuple):
    """What costs least, or what is sure of it."""

    bound: int
    """None costs less."""
    counts: tuple[int, ...] | None
    """How many of each that costs just that; None: not found in time."""


def least_taken(kinds: Sequence[Kind], need: int, budget: int | None = None) -> Taken:
    """Give the least cost of whole things that are worth so much together.

    Give each size a value of 0 or more: no bar can be worth more than its best pattern, so bars
    that hold all that is wanted are together worth at least all that is wanted. Whatever the
    values are, the least cost of so much worth, in whole bars, is therefore a bound; here all is
    in whole numbers, without rounding. It is the bound of the linear programme or more, as bars
    are whole.

    Source: the surrogate and Lagrangian bounds of integer programming; A. A. Farley, A note on
    bounding a class of linear programming problems, Operations Research 38 (1990) 922-923.

    Raises:
        ValueError: All together are not worth so much, or not within the budget.
    """
    free = [kind.most if not kind.cost else 0 for kind in kinds]
    need -= sum(kind.worth * many for kind, many in zip(kinds, free, strict=True))
    order = sorted(
        (row for row, kind in enumerate(kinds) if kind.cost and kind.worth and kind.most),
        key=lambda row: (-kinds[row].worth / kinds[row].cost, row),
    )
    search = _Search([kinds[row] for row in order], budget)
    search.go(0, need, 0, 0, ())
    if search.cut_short:
        return Taken(search.floor(0, need), None)
    if search.best is None:
        raise ValueError("all there is is not worth so much: ask for less")
    counts = list(free)
    for row, many in zip(order, search.found, strict=False):
        counts[row] = many
    return Taken(search.best, tuple(counts))


class _Search:
    """Try numbers of each kind, the most worth for its cost first."""

    def __init__(self, kinds: Sequence[Kind], budget: int | None) -> None:
        self.kinds, self.budget = kinds, budget
        self.best: int | None = None
        self.found: tuple[int, ...] = ()
        self.nodes = 0
        self.cut_short = False

    def floor(self, row: int, need: int) -> int:
        """Give the least cost of the rest if things could be cut in parts."""
        total = 0
        for kind in self.kinds[row:]:
            if need <= 0:
                return total
            if need <= kind.worth * kind.most:
                return total - (-need * kind.cost // kind.worth)
            total += kind.cost * kind.most
            need -= kind.worth * kind.most
        return total

    def go(self, row: int, need: int, cost: int, price: int, taken: tuple[int, ...]) -> None:
        """Go on from what is taken of the kinds before this one."""
        self.nodes += 1
        if self.nodes > MOST_NODES:
            self.cut_short = True
        if self.cut_short or (self.budget is not None and price > self.budget):
            return
        if need <= 0:
            if self.best is None or cost < self.best:
                self.best, self.found = cost, taken
            return
        if row == len(self.kinds):
            return
        kind = self.kinds[row]
        for many in range(min(kind.most, ceil_of(need, kind.worth)), -1, -1):
            at_least = self.floor(row + 1, need - many * kind.worth) + many * kind.cost + cost
            if self.best is not None and at_least >= self.best:
                if many * kind.worth < need:
                    break  # fewer of what is worth most for its cost cost no less
                continue
            self.go(
                row + 1,
                need - many * kind.worth,
                cost + many * kind.cost,
                price + many * kind.price,
                (*taken, many),
            )


def ceil_of(value: int, by: int) -> int:
    """Give the quotient of whole numbers, rounded up."""
    return -(-value // by)

"""Cutting tasks to try, and second methods for them that share nothing with what is tried."""

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal
from functools import cache
from itertools import pairwise
from random import Random
from typing import Any, NamedTuple

import numpy as np
from scipy.optimize import LinearConstraint, milp
from scipy.sparse import csr_array

from pelmet.model.order.cutting.stock import Cutting, Stock, Want, cut_stock


class Case(NamedTuple):
    stocks: list[Stock]
    wants: list[Want]
    kerf: Decimal = Decimal(0)
    end_trim: Decimal = Decimal(0)
    keepable: Decimal = Decimal(0)

    def rules(self) -> dict[str, Any]:
        return {"kerf": self.kerf, "end_trim": self.end_trim, "keepable": self.keepable}


def wants_of(lengths: Sequence[int | str], counts: Sequence[int] = ()) -> list[Want]:
    counts = counts or [1] * len(lengths)
    return [
        Want(f"w{row:03}", Decimal(length), count)
        for row, (length, count) in enumerate(zip(lengths, counts, strict=True))
    ]


def bought(length: int | str, price: int | str = 1, name: str = "bar") -> Stock:
    return Stock(name, Decimal(length), Decimal(price))


def small(random: Random, most: int = 7) -> Case:
    """Give a few pieces, one to three stock lengths, perhaps owned pieces, kerf and trims."""
    step = random.choice([Decimal(1), Decimal("0.5"), Decimal("0.1")])
    bars = [
        Stock(
            f"bar {row}",
            random.randint(8, 40) * step * 2,
            Decimal(random.choice([random.randint(1, 9), 3])) / random.choice([1, 10]),
            random.choice([None, None, None, 1, 2, 0]),
        )
        for row in range(random.randint(1, 3))
    ]
    owned = [
        Stock(f"owned {row}", random.randint(4, 50) * step, Decimal(0), random.randint(1, 2))
        for row in range(random.choice([0, 0, 1, 2, 3]))
    ]
    wants = [
        Want(f"w{row}", random.randint(4, 40) * step, 1) for row in range(random.randint(1, most))
    ]
    if random.random() < 0.3 and len(wants) > 1:  # some alike
        wants[1] = wants[1]._replace(length=wants[0].length)
    return Case(
        [*bars, *owned],
        wants,
        random.choice([0, 0, 1, 2, 3]) * step,
        random.choice([0, 0, 0, 1, 2]) * step,
        random.choice([0, 0, 3, 8, 20]) * step,
    )


def check(case: Case, cutting: Cutting) -> None:
    """Hold a cutting against the rules of the saw and its own sums, all exactly."""
    kerf, trim, keep = (Decimal(each) for each in case[2:])
    stocks = {stock.name: stock for stock in case.stocks}
    lengths = {want.name: want.length for want in case.wants}
    made: Counter[str] = Counter()
    taken: Counter[str] = Counter()
    kept = scrap = Decimal(0)
    for cut in cutting.cuts:
        stock = stocks[cut.stock]
        pieces = [lengths[name] for name in cut.pieces]
        assert pieces
        assert all(a >= b for a, b in pairwise(pieces))
        room = stock.length - 2 * trim - sum(pieces)
        assert room - (len(pieces) - 1) * kerf >= 0
        assert cut.left == max(Decimal(0), room - len(pieces) * kerf)
        if keep and cut.left >= keep:
            kept += cut.left
        else:
            scrap += cut.left
        made.update(cut.pieces)
        taken[cut.stock] += 1
    assert (cutting.kept, cutting.scrap) == (kept, scrap)
    unmet = Counter({want.name: want.count for want in cutting.unmet})
    assert all(want.count > 0 for want in cutting.unmet)
    assert made + unmet == Counter({want.name: want.count for want in case.wants})
    for name, many in taken.items():
        on_hand = stocks[name].on_hand
        assert on_hand is None or many <= on_hand
    assert cutting.cost == sum(stocks[name].price * many for name, many in taken.items())
    assert 0 <= cutting.bound <= cutting.cost
    assert cutting.proven == (cutting.gap == 0)


def cut(case: Case) -> Cutting:
    cutting = cut_stock(case.stocks, case.wants, **case.rules())
    check(case, cutting)
    return cutting


def judged(cutting: Cutting) -> tuple[Decimal, Decimal, int]:
    return cutting.cost, cutting.scrap, len(cutting.cuts)


class Least(NamedTuple):
    """What is least, the first first."""

    unmet: Decimal
    cost: Decimal
    scrap: Decimal
    bars: int


def _ways(case: Case, stocks: Sequence[Stock], pieces: Sequence[Decimal]) -> list[Any]:
    """Give each stock that pieces fit in together, and what that comes to."""
    ways = []
    for row, stock in enumerate(stocks):
        room = stock.length - 2 * case.end_trim - sum(pieces)
        if room >= (len(pieces) - 1) * case.kerf:
            left = max(Decimal(0), room - len(pieces) * case.kerf)
            scrap = left if not case.keepable or left < case.keepable else Decimal(0)
            ways.append((row, Least(Decimal(0), stock.price, scrap, 1)))
    return ways


def least_by_trying(case: Case, *, leave_out: bool = True) -> Least:
    """Try all ways to part pieces into bars: the first piece left goes with any others of them."""
    lengths = [want.length for want in case.wants for _ in range(want.count)]
    everything = (1 << len(lengths)) - 1
    stocks = [stock for stock in case.stocks if stock.on_hand != 0]
    hands = tuple(len(lengths) if each.on_hand is None else each.on_hand for each in stocks)
    ways = {
        mask: _ways(case, stocks, [each for bit, each in enumerate(lengths) if mask >> bit & 1])
        for mask in range(1, everything + 1)
    }

    def together(mask: int, others: int, spare: tuple[int, ...]) -> Iterator[Least]:
        for row, here in ways[mask]:
            less = (*spare[:row], spare[row] - 1, *spare[row + 1 :])
            rest = best(others, less) if spare[row] else None
            if rest is not None:
                yield Least(*(a + b for a, b in zip(rest, here, strict=True)))

    @cache
    def best(mask: int, spare: tuple[int, ...]) -> Least | None:
        if not mask:
            return Least(Decimal(0), Decimal(0), Decimal(0), 0)
        first = mask & -mask
        others = joined = mask ^ first
        found = []
        rest = best(others, spare) if leave_out else None
        if rest is not None:
            found.append(rest._replace(unmet=rest.unmet + lengths[first.bit_length() - 1]))
        while True:
            found += together(first | joined, others ^ joined, spare)
            if not joined:
                return min(found, default=None)
            joined = (joined - 1) & others

    answer = best(everything, hands)
    assert answer is not None
    return answer


def cost_by_flow(case: Case) -> Decimal:
    """Find the least cost as flow along the length of a bar; whole millimetres and prices.

    J. M. Valerio de Carvalho, Exact solution of bin-packing problems using column generation and
    branch-and-bound, Annals of Operations Research 86 (1999) 629-659; HiGHS as SciPy brings it.
    Each piece takes its length and a kerf, and each bar has room for one kerf more.
    """
    sizes = [int(want.length + case.kerf) for want in case.wants]
    spaces = [int(stock.length - 2 * case.end_trim + case.kerf) for stock in case.stocks]
    longest = max(spaces)
    arcs = [
        (tail, tail + size, row)
        for row, size in enumerate(sizes)
        for tail in range(longest - size + 1)
    ]
    nodes, count = longest + 1, len(arcs)
    ends = [(tail, head, -1) for tail, head in pairwise(range(nodes))]
    columns = [*arcs, *ends]
    first = len(columns)  # then a column for each stock: it takes flow from its end to the start
    rows, places, values = [], [], []
    for place, (tail, head, _) in enumerate(columns):
        rows += [tail, head]
        places += [place, place]
        values += [-1, 1]
    for row, space in enumerate(spaces):
        rows += [space, 0]
        places += [first + row, first + row]
        values += [-1, 1]
    for place, (_, _, row) in enumerate(arcs):
        rows.append(nodes + row)
        places.append(place)
        values.append(1)
    matrix = csr_array((values, (rows, places)), shape=(nodes + len(sizes), first + len(spaces)))
    demand = [0] * nodes + [want.count for want in case.wants]
    cost = np.zeros(first + len(spaces))
    cost[first:] = [float(stock.price) for stock in case.stocks]
    upper = np.full(len(cost), np.inf)
    upper[first:] = [np.inf if each.on_hand is None else each.on_hand for each in case.stocks]
    result = milp(
        cost,
        integrality=np.ones(len(cost)),
        bounds=(np.zeros(len(cost)), upper),
        constraints=LinearConstraint(matrix, demand, demand),
        options={"mip_rel_gap": 0},
    )
    assert result.status == 0, result.message
    assert count
    return Decimal(round(result.fun))

"""How long cutting takes, from a kitchen to two hundred lengths.

Run with ``-m speed --benchmark-enable``.
"""

from decimal import Decimal
from random import Random
from typing import Any

import pytest
from cuttings import Case, bought, wants_of

from pelmet.model.order.cutting.stock import Stock, cut_stock

pytestmark = pytest.mark.speed

KINDS = {"long": (300, 2400), "short": (300, 1200), "middling": (600, 1800)}


def bars(seed: int, many: int, kind: str, keepable: int = 0) -> Case:
    """Give so many lengths to the quarter millimetre, two lengths of stock and five rests."""
    random = Random(seed)
    least, most = KINDS[kind]
    stocks = [bought(3000, "33.00", "3 m"), bought(2000, "23.99", "2 m")]
    stocks += [
        Stock(f"rest {row}", Decimal(random.randint(500, 1900)), Decimal(0), 1) for row in range(5)
    ]
    lengths = [str(Decimal(random.randint(least * 4, most * 4)) / 4) for _ in range(many)]
    return Case(stocks, wants_of(lengths), Decimal(2), Decimal(5), Decimal(keepable))


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize(("many", "keepable"), [(8, 300), (30, 0), (30, 300), (60, 300)])
def test_cutting_bars(many: int, keepable: int, kind: str, benchmark: Any) -> None:
    case = bars(1, many, kind, keepable)
    cutting = benchmark(cut_stock, case.stocks, case.wants, **case.rules())
    assert cutting.proven


@pytest.mark.parametrize("kind", KINDS)
def test_cutting_two_hundred_bars(kind: str, benchmark: Any) -> None:
    case = bars(1, 200, kind)
    cutting = benchmark.pedantic(
        cut_stock, (case.stocks, case.wants), case.rules(), rounds=1, iterations=1
    )
    assert cutting.proven


def test_cutting_the_raws_of_chvatal(benchmark: Any) -> None:
    case = Case([bought(100)], wants_of([45, 36, 31, 14], [97, 610, 395, 211]))
    assert benchmark(cut_stock, case.stocks, case.wants).cost == 453

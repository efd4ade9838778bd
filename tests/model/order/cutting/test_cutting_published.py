"""Cutting against instances of known optimum, printed or by the way they are made."""

from collections.abc import Sequence
from decimal import Decimal
from random import Random

import pytest
from cuttings import Case, bought, check, wants_of

from pelmet.model.order.cutting import patterns, stock
from pelmet.model.order.cutting.stock import Cutting, Stock, Want, cut_stock


def cut(case: Case) -> Cutting:
    cutting = cut_stock(case.stocks, case.wants, **case.rules())
    check(case, cutting)
    assert not cutting.unmet
    return cutting


def bars_of(length: int, lengths: Sequence[int], counts: Sequence[int]) -> Decimal:
    cutting = cut(Case([bought(length)], wants_of(lengths, counts)))
    assert cutting.proven
    assert cutting.cost == len(cutting.cuts)
    return cutting.cost


@pytest.mark.published
def test_the_raws_of_chvatal():
    """V. Chvatal, Linear Programming, 1983, p. 195-198: 100 in raws; the linear bound is 452.25."""
    assert bars_of(100, [45, 36, 31, 14], [97, 610, 395, 211]) == 453


@pytest.mark.cross_check
def test_the_rolls_of_the_paper_mill():
    """The paper mill of the encyclopedia article "Cutting stock problem", as far as remembered.

    Data are from memory, so its 73 rolls decide nothing: the volume proves that no fewer do.
    """
    lengths = [1380, 1520, 1560, 1710, 1820, 1880, 1930, 2000, 2050, 2100, 2140, 2150, 2200]
    counts = [22, 25, 12, 14, 18, 18, 20, 10, 12, 14, 16, 18, 20]
    whole = sum(length * count for length, count in zip(lengths, counts, strict=True))
    assert bars_of(5600, lengths, counts) == -(-whole // 5600)


@pytest.mark.cross_check
def test_where_first_fit_decreasing_wastes_a_bar():
    """3 + 2 + 2 fills a bar of 7, but longest first puts 3 to 3; the optimum is by the volume."""
    lengths, counts = [3, 2], [6, 12]
    assert bars_of(7, lengths, counts) == 6
    assert first_fit(7, [3] * 6 + [2] * 12) == 7


@pytest.mark.cross_check
def test_where_first_fit_wastes_most():
    """Ten full bars, of which first fit makes 17 if short pieces come first; by the volume."""
    lengths, counts = [6, 10, 16, 34, 51], [7, 7, 3, 10, 10]
    assert sum(a * b for a, b in zip(lengths, counts, strict=True)) == 10 * 101
    assert bars_of(101, lengths, counts) == 10
    each = [length for length, many in zip(lengths, counts, strict=True) for _ in range(many)]
    assert first_fit(101, each) == 17


def first_fit(space: int, lengths: Sequence[int]) -> int:
    rooms: list[int] = []
    for length in lengths:
        at = next((row for row, room in enumerate(rooms) if room >= length), None)
        if at is None:
            rooms.append(space)
            at = -1
        rooms[at] -= length
    return len(rooms)


# --- Optima known by the way the instance is made -----------------------------------------------


def triplets(random: Random, bars: int, length: int = 1000) -> list[int]:
    """Part each bar into three, each from a quarter to a half: so no bar holds four.

    After the triplet class of E. Falkenauer, A hybrid grouping genetic algorithm for bin packing,
    Journal of Heuristics 2 (1996) 5-30, but made here. The optimum is a third of the pieces.
    """
    pieces = []
    for _ in range(bars):
        first = random.randint(380, 490)
        second = random.randint(length - first - 490, length - first - 251)
        second = min(max(second, 251), length - first - 251)
        pieces += [first, second, length - first - second]
    assert all(length / 4 < piece < length / 2 for piece in pieces)
    random.shuffle(pieces)
    return pieces


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(3))
def test_triplets_fill_every_bar(seed):
    pieces = triplets(Random(seed), 20)
    cutting = cut(Case([bought(1000)], wants_of(pieces)))
    assert cutting.cost == 20
    assert cutting.proven
    assert cutting.scrap == 0


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(4))
def test_bars_sawn_up_at_random_are_put_together_again(seed):
    """Each bar is parted without rest but for the kerfs, so the volume proves how many it takes."""
    random = Random(seed)
    kerf, pieces = 3, []
    for _ in range(12):
        cuts = sorted(random.sample(range(500, 2600, 250), random.randint(2, 4)))
        cuts = [place + random.randint(-60, 60) for place in cuts]
        starts, ends = [0, *(place + kerf for place in cuts)], [*cuts, 3000]
        pieces += [end - start for start, end in zip(starts, ends, strict=True)]
    random.shuffle(pieces)
    assert sum(piece + kerf for piece in pieces) == 12 * (3000 + kerf)
    cutting = cut(Case([bought(3000)], wants_of(pieces), kerf=Decimal(kerf)))
    assert cutting.cost == cutting.bound == 12
    assert cutting.scrap == 0


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(4))
def test_bars_sawn_into_short_pieces_are_put_together_again(seed, monkeypatch):
    """Four pieces a bar make patterns too many to write out; bar after bar takes a bar too many."""
    random, kerf, bars, pieces = Random(seed), 3, 10, []
    while len(pieces) < 4 * bars:
        cuts = sorted(random.sample(range(250, 2751), 3))
        ends = zip([0, *(place + kerf for place in cuts)], [*cuts, 3000], strict=True)
        lengths = [end - start for start, end in ends]
        pieces += lengths if min(lengths) >= 250 else []
    written_out = []
    every = patterns.all_patterns
    monkeypatch.setattr(
        patterns, "all_patterns", lambda *args: written_out.append(every(*args)) or written_out[-1]
    )
    case = Case([bought(3000)], wants_of(pieces), kerf=Decimal(kerf))
    cutting = cut(case)
    assert cutting.cost == cutting.bound == bars
    assert written_out[0] is None
    monkeypatch.setattr(stock, "solve_task", lambda task, start: (start, 0))
    assert cut(case).cost > bars


@pytest.mark.cross_check
def test_two_lengths_of_stock_cost_what_their_perfect_fits_cost():
    """26.5 m cost more than 220 even at the 8.33 a metre of long bars, and prices go by 25."""
    stocks = [bought(6000, 50, "long"), bought(2500, 25, "short")]
    wants = wants_of([3700, 2300, 1450, 1050], [4, 4, 1, 1])
    cutting = cut(Case(stocks, wants))
    assert cutting.cost == cutting.bound == 4 * 50 + 25
    assert cutting.scrap == 0


@pytest.mark.cross_check
def test_two_hundred_lengths_are_proven():
    random = Random(4)
    wants = [Want(f"w{row}", Decimal(random.randint(300, 1200))) for row in range(200)]
    stocks = [
        bought(3000, 33, "3 m"),
        bought(2000, "23.99", "2 m"),
        *[Stock(f"rest {row}", Decimal(800 + 90 * row), Decimal(0), 1) for row in range(5)],
    ]
    cutting = cut_stock(stocks, wants, kerf=2)
    check(Case(stocks, wants, kerf=Decimal(2)), cutting)
    owned = sum(800 + 90 * row + 2 for row in range(5))
    volume = sum(want.length + 2 for want in wants) - owned
    assert cutting.bound >= volume * 33 / 3002  # the cheapest length, without any waste
    assert cutting.proven

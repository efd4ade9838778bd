"""Least-cost cutting, against trying all, against a flow by SciPy, and in small cases."""

import os
import subprocess
import sys
from collections import Counter
from decimal import Decimal
from random import Random

import pytest
from cuttings import Case, bought, cost_by_flow, cut, judged, least_by_trying, small, wants_of

from pelmet.model.order.cutting.stock import Cutting, Stock, Want, cut_stock

# --- Against other methods ----------------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize("part", range(6))
def test_few_pieces_agree_with_trying_all(part):
    """Cost, then scrap, then number of bars; and first of all the length that is left out."""
    for seed in range(part * 100, part * 100 + 100):
        case = small(Random(seed))
        cutting = cut(case)
        assert cutting.proven, seed
        least = least_by_trying(case)
        unmet = {want.name: want.length for want in cutting.unmet}
        assert sum(unmet.values()) == least.unmet, seed
        if unmet:
            served = [want for want in case.wants if want.name not in unmet]
            least = least_by_trying(case._replace(wants=served), leave_out=False)
        assert judged(cutting) == least[1:], seed


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", [2, 3, 4, 6, 8, 10, 14, 15, 18, 19, 22, 23, 24, 25, 29])
def test_more_pieces_agree_with_a_flow(seed):
    random = Random(seed)
    many = random.randint(8, 24)
    stocks = [
        Stock(f"bar {row}", Decimal(random.randint(40, 70)), Decimal(random.randint(30, 60)))
        for row in range(random.randint(1, 3))
    ]
    longest = max(int(stock.length) for stock in stocks)
    stocks += [
        Stock(f"owned {row}", Decimal(random.randint(10, 50)), Decimal(0), 1)
        for row in range(random.randint(0, 4))
    ]
    lengths = [random.randint(6, min(38, longest - 2)) for _ in range(many)]
    wants = wants_of(lengths, [random.choice([1, 1, 1, 2, 5]) for _ in lengths])
    case = Case(stocks, wants, Decimal(random.choice([0, 1])), Decimal(random.choice([0, 1])))
    cutting = cut(case)
    assert cutting.proven
    assert cutting.cost == cost_by_flow(case)


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(3))
def test_many_owned_pieces_agree_with_a_flow(seed):
    random = Random(seed)
    owned = [
        Stock(f"owned {row:02}", Decimal(length), Decimal(0), 1)
        for row, length in enumerate(random.sample(range(10, 60), 20))
    ]
    lengths = [random.randint(9, 40) for _ in range(22)]
    case = Case([bought(60, 37), *owned], wants_of(lengths), Decimal(1))
    cutting = cut(case)
    assert cutting.proven
    assert cutting.cost == cost_by_flow(case)


# --- Small cases --------------------------------------------------------------------------------


def test_nothing_wanted_costs_nothing():
    for wants in ([], [Want("none", Decimal(5), 0)]):
        cutting = cut(Case([bought(3000)], wants))
        assert cutting == Cutting((), *[Decimal(0)] * 4, ())
        assert cutting.proven
        assert cutting.gap == 0


def test_without_stock_nothing_is_met():
    wants = wants_of([50, 40], [1, 3])
    for stocks in ([], [Stock("gone", Decimal(3000), Decimal(9), 0)]):
        assert cut(Case(stocks, wants)).unmet == tuple(wants)


def test_what_is_longer_than_any_stock_is_left_out_and_the_rest_is_cut():
    cutting = cut(Case([bought(3000, 20)], wants_of([3001, 3000, 100], [2, 1, 1])))
    assert cutting.unmet == (Want("w000", Decimal(3001), 2),)
    assert cutting.cost == 40


def test_of_limited_stock_the_least_length_is_left_out():
    case = Case([Stock("owned", Decimal(100), Decimal(0), 1)], wants_of([60, 50, 45, 5]))
    cutting = cut(case)
    assert sum(want.length for want in cutting.unmet) == 60
    assert cutting.cuts == (cutting.cuts[0]._replace(pieces=("w001", "w002", "w003")),)


def test_long_pieces_have_long_stock_for_themselves():
    """Only the one long bar on hand holds the long piece; short ones would cost less in it."""
    stocks = [bought(100, 50, "short"), Stock("long", Decimal(250), Decimal(1), 1)]
    cutting = cut(Case(stocks, wants_of([200, 90, 90])))
    assert not cutting.unmet
    assert cutting.cost == 101


def test_a_piece_as_long_as_bought_stock_does_not_compete_for_longer_stock():
    stocks = [bought(100, 50, "short"), Stock("long", Decimal(250), Decimal(1), 1)]
    cutting = cut(Case(stocks, wants_of([200, 100], [2, 3])))
    assert cutting.unmet == (Want("w000", Decimal(200), 1),)
    assert cutting.cost == 1 + 3 * 50


def test_the_last_cut_takes_a_kerf_only_if_something_is_left():
    exact = cut(Case([bought(1006)], wants_of([500, 503]), kerf=Decimal(3)))
    assert [one.left for one in exact.cuts] == [0]
    sliver = cut(Case([bought(1008)], wants_of([500, 503]), kerf=Decimal(3)))
    assert [one.left for one in sliver.cuts] == [0]
    rest = cut(Case([bought(1010)], wants_of([500, 503]), kerf=Decimal(3)))
    assert [one.left for one in rest.cuts] == [1]


def test_both_ends_are_trimmed():
    for length, bars in (("1020", 1), ("1019.9", 2)):
        case = Case([bought(length)], wants_of([500, 500]), end_trim=Decimal(10))
        assert len(cut(case).cuts) == bars


def test_of_least_cost_a_rest_worth_keeping_is_better_than_scrap():
    stocks = [Stock("a", Decimal(1000), Decimal(0), 1), Stock("b", Decimal(700), Decimal(0), 1)]
    case = Case(stocks, wants_of([600]))
    assert [each.stock for each in cut(case).cuts] == ["b"]
    keeping = cut(case._replace(keepable=Decimal(300)))
    assert [each.stock for each in keeping.cuts] == ["a"]
    assert (keeping.kept, keeping.scrap) == (400, 0)


def test_equal_things_are_named_in_the_order_of_the_alphabet():
    stocks = [
        Stock("b", Decimal(100), Decimal(1)),
        Stock("c", Decimal(100), Decimal(1), 1),
        Stock("a", Decimal(100), Decimal(1), 1),
    ]
    wants = [Want(name, Decimal(80)) for name in "zyxw"]
    cuts = [(each.stock, *each.pieces) for each in cut(Case(stocks, wants)).cuts]
    assert cuts == [("a", "w"), ("c", "x"), ("b", "y"), ("b", "z")]


def test_longest_stock_and_longest_pieces_come_first():
    stocks = [Stock("a", Decimal(50), Decimal(0), 1), Stock("b", Decimal(90), Decimal(1))]
    cutting = cut(Case(stocks, wants_of([45, 61, 85, 29])))
    assert [(each.stock, *each.pieces) for each in cutting.cuts] == [
        ("b", "w002"), ("b", "w001", "w003"), ("a", "w000"),
    ]  # fmt: skip


def test_thousands_of_pieces_alike_are_no_more_work():
    cutting = cut(Case([bought(3000, 20)], wants_of([900, 700, 450], [5000, 3000, 2000])))
    assert cutting.proven
    assert Counter(name for each in cutting.cuts for name in each.pieces)["w000"] == 5000


def test_free_stock_without_end_costs_nothing():
    cutting = cut(Case([bought(1000, 0), bought(2000, 5, "dear")], wants_of([900, 300, 300])))
    assert cutting.cost == 0
    assert cutting.proven


def test_nothing_heavy_is_loaded_before_it_is_wanted():
    code = (
        "import sys; from pelmet.model.order.cutting.stock import *; from decimal import Decimal;"
        "cut_stock([Stock('s', Decimal(9), Decimal(1))], [Want('w', Decimal(4), 2)]);"
        "print([name for name in ('numpy', 'highspy') if name in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout == "[]\n"


def test_the_solver_says_nothing():
    """Its greeting would go straight to the terminal, across a screen that is drawn on it."""
    code = (
        "import sys; from pelmet.model.order.cutting.stock import *; from decimal import Decimal;"
        "wants = [Want(str(n), Decimal(n), m) for n, m in ((45, 97), (36, 610), (31, 395))];"
        "cut_stock([Stock('raw', Decimal(100), Decimal(1))], wants);"
        "assert 'highspy' in sys.modules"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout + run.stderr == ""


AGAIN = """
from decimal import Decimal
from random import Random
from pelmet.model.order.cutting.stock import Stock, Want, cut_stock
random = Random(3)
stocks = [Stock("3 m", Decimal(3000), Decimal(33)), Stock("2 m", Decimal(2000), Decimal("23.99"))]
stocks += [Stock(f"rest {row}", Decimal(random.randint(500, 1900)), Decimal(0), 1) for row in "123"]
wants = [Want(f"w{row}", Decimal(random.randint(1200, 4800)) / 4) for row in range(30)]
print(cut_stock(stocks, wants, kerf=2, end_trim=5, keepable=300))
"""


def test_a_busy_machine_cuts_the_same():
    """Four at once, in other orders of what has no order."""
    runs = [
        subprocess.Popen(
            [sys.executable, "-c", AGAIN],
            stdout=subprocess.PIPE,
            text=True,
            env=os.environ | {"PYTHONHASHSEED": str(seed)},
        )
        for seed in range(4)
    ]
    answers = {run.communicate()[0] for run in runs}
    assert len(answers) == 1
    assert "cuts=(Cut" in answers.pop()


# --- Bad input ----------------------------------------------------------------------------------

BAR, PIECE = Stock("bar", Decimal(3000), Decimal(20)), Want("piece", Decimal(500))


@pytest.mark.parametrize(
    ("stock", "says"),
    [
        (BAR._replace(length=Decimal(-1)), "the length of stock 'bar' is -1: give 0 or more"),
        (BAR._replace(length=Decimal(0)), "the length of stock 'bar' is 0 mm: give it a length"),
        (BAR._replace(length=Decimal("NaN")), "the length of stock 'bar' is NaN: give a number"),
        (BAR._replace(price=Decimal("-0.01")), "the price of stock 'bar' is -0.01: give 0 or more"),
        (BAR._replace(price=Decimal("Infinity")), "is Infinity: give a number"),
        (BAR._replace(on_hand=-1), "-1 are on hand: give 0 or more, or None"),
        (BAR._replace(name=""), "a stock has no name: give it one"),
    ],
)
def test_bad_stock_is_refused(stock, says):
    with pytest.raises(ValueError, match=says):
        cut_stock([stock], [PIECE])


@pytest.mark.parametrize(
    ("want", "says"),
    [
        (PIECE._replace(length=Decimal(-5)), "the length of 'piece' is -5: give 0 or more"),
        (PIECE._replace(length=Decimal(0)), "the length of 'piece' is 0 mm: give it a length"),
        (PIECE._replace(length=Decimal("sNaN")), "the length of 'piece' is sNaN: give a number"),
        (PIECE._replace(count=-2), "-2 of 'piece' are wanted: give 0 or more"),
        (PIECE._replace(name=""), "a want has no name: give it one"),
    ],
)
def test_bad_wants_are_refused(want, says):
    with pytest.raises(ValueError, match=says):
        cut_stock([BAR], [want])


@pytest.mark.parametrize("what", ["kerf", "end_trim", "keepable"])
@pytest.mark.parametrize(("value", "says"), [("-1", "give 0 or more"), ("NaN", "give a number")])
def test_bad_rules_are_refused(what, value, says):
    with pytest.raises(ValueError, match=says):
        cut_stock([BAR], [PIECE], **{what: Decimal(value)})


def test_names_given_twice_are_refused():
    with pytest.raises(ValueError, match="'bar' is the name of more than one stock: rename one"):
        cut_stock([BAR, BAR._replace(length=Decimal(2000))], [PIECE])
    with pytest.raises(ValueError, match="'piece' is the name of more than one want: rename one"):
        cut_stock([BAR], [PIECE, PIECE])

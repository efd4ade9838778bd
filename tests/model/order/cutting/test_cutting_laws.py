"""What holds of every cutting, whatever is cut out of what."""

from decimal import Decimal
from random import Random

import pytest
from cuttings import Case, bought, cut, wants_of
from draws import examples
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.order.cutting import bar_counts, covering, knapsack, pricing, solving
from pelmet.model.order.cutting.stock import Stock, Want

LENGTHS = st.decimals(1, 3000, places=1)
LONG_LENGTHS = st.decimals(
    min_value="0.0000001", max_value="123456789012", allow_nan=False, places=12
)


@st.composite
def cases(draw: st.DrawFn, lengths: st.SearchStrategy[Decimal] = LENGTHS, most: int = 9) -> Case:
    """Give stock and wants, perhaps too long or too many for it."""
    prices = st.decimals(0, 100, places=2)
    stocks = draw(st.lists(st.tuples(lengths, prices, st.none() | st.integers(0, 3)), max_size=4))
    wants = draw(st.lists(st.tuples(lengths, st.integers(0, 3)), max_size=most))
    return Case(
        [Stock(f"s{row}", *stock) for row, stock in enumerate(stocks)],
        [Want(f"w{row}", *want) for row, want in enumerate(wants)],
        draw(st.decimals(0, 20, places=1)),
        draw(st.decimals(0, 40, places=1)),
        draw(st.just(Decimal(0)) | st.decimals(0, 500, places=1)),
    )


@st.composite
def enough(draw: st.DrawFn) -> Case:
    """Give wants for which there is stock without end."""
    case = draw(cases(most=7))
    room = max((want.length for want in case.wants), default=Decimal(0)) + 2 * case.end_trim
    spare = draw(st.decimals(25, 3000, places=1))
    price = draw(st.decimals(1, 100, places=2))
    return case._replace(stocks=[*case.stocks, Stock("shop", room + spare, price)])


@pytest.mark.property
@given(cases())
@examples(150)
def test_cuts_can_be_sawn_and_add_up(case):
    cut(case)


@pytest.mark.property
@given(cases(LONG_LENGTHS, most=6))
@examples(60)
def test_lengths_of_many_digits_stay_exact(case):
    cut(case)


@pytest.mark.property
@given(enough())
@examples(60)
def test_where_there_is_stock_without_end_all_is_cut(case):
    assert not cut(case).unmet


@pytest.mark.property
@given(enough(), st.decimals("0.1", 10, places=1))
@examples(60)
def test_a_wider_saw_never_costs_less(case, wider):
    wide = cut(case._replace(kerf=case.kerf + wider))
    thin = cut(case)
    assert thin.bound <= wide.cost
    if not (thin.unmet or wide.unmet) and thin.proven:
        assert wide.cost >= thin.cost


@pytest.mark.property
@given(enough(), LENGTHS)
@examples(60)
def test_a_rest_to_cut_from_never_costs_more(case, length):
    before = cut(case)
    after = cut(case._replace(stocks=[*case.stocks, Stock("rest", length, Decimal(0), 1)]))
    assert after.bound <= before.cost
    if after.proven:
        assert after.cost <= before.cost


@pytest.mark.property
@given(cases(), st.randoms(use_true_random=False))
@examples(60)
def test_the_order_of_what_is_given_does_not_matter(case, random):
    mixed = case._replace(
        stocks=random.sample(case.stocks, len(case.stocks)),
        wants=random.sample(case.wants, len(case.wants)),
    )
    assert cut(case) == cut(mixed)


@pytest.mark.property
@given(enough(), st.sampled_from([2, 3, 10]), st.sampled_from(["0.01", "100"]))
@examples(40)
def test_what_lengths_and_prices_are_counted_in_does_not_matter(case, longer, dearer):
    other = Case(
        [each._replace(length=each.length * longer, price=each.price * Decimal(dearer))
         for each in case.stocks],
        [each._replace(length=each.length * longer) for each in case.wants],
        case.kerf * longer, case.end_trim * longer, case.keepable * longer,
    )  # fmt: skip
    one, two = cut(case), cut(other)
    assert two.cost == one.cost * Decimal(dearer)
    assert two.scrap == one.scrap * longer
    assert [cut.pieces for cut in two.cuts] == [cut.pieces for cut in one.cuts]


@pytest.mark.property
@pytest.mark.parametrize(("many", "least"), [(24, 300), (30, 600), (120, 300)])
@pytest.mark.parametrize("limits", [
    {bar_counts: "_MOST_ROUNDS"}, {covering: "_MOST_NODES"}, {solving: "_MOST_PATTERNS"},
    {solving: "_MOST_SIZES"},
    {pricing: "_MOST_ROUNDS", knapsack: "_MOST_ROUNDS"},
    {bar_counts: "_MOST_ROUNDS", solving: "_MOST_PATTERNS"},
])  # fmt: skip
def test_however_little_is_tried_the_best_is_given_with_an_honest_bound(
    many, least, limits, monkeypatch
):
    random = Random(9)
    lengths = [random.randint(least, 1200) for _ in range(many)]
    case = Case([bought(3000, 33, "a"), bought(2000, "23.99", "b")], wants_of(lengths))
    thorough = cut(case)
    for module, limit in limits.items():
        monkeypatch.setattr(module, limit, 1)
    hasty = cut(case)
    assert not hasty.unmet
    assert hasty.bound <= thorough.cost
    assert thorough.bound <= hasty.cost

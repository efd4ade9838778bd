"""What is read off a tape in inches is kept as it was typed, and is the length that it is."""

import pickle
from copy import copy, deepcopy
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.measure.lengths import TypedLength, exact_length, parse_length, print_length

# 1 in = 25.4 mm exactly (international yard and pound agreement, 1959)
QUARTERS = Decimal("565.15")  # 22 1/4 in


@pytest.mark.regression
@pytest.mark.parametrize(
    ("typed", "text"),
    [
        ("22 1/4", "22 1/4 in"),
        ("22.25", "22.25 in"),
        ("22,25", "22.25 in"),
        ('22 1/4"', "22 1/4 in"),
        ("22-1/4 inches", "22 1/4 in"),
        ("22\u00bc in", "22 1/4 in"),
        ("22 2/8", "22 2/8 in"),
        ("1' 10 1/4\"", "1 ft 10 1/4 in"),
        ("1 ft 10.25", "1 ft 10.25 in"),
    ],
)
def test_a_reading_in_inches_is_kept_as_it_was_typed(typed, text):
    length = parse_length(typed, "in")
    assert isinstance(length, TypedLength)
    assert (length, length.text) == (QUARTERS, text)
    assert print_length(length, "in") == exact_length(length, "mm") == text
    assert print_length(length, "mm") == "565.15 mm"


@pytest.mark.parametrize(("typed", "bare"), [("883", "mm"), ("88,3 cm", "in"), ("1.2", "m")])
def test_a_metric_reading_is_its_number(typed, bare):
    assert type(parse_length(typed, bare)) is Decimal


def test_a_foot_is_named_where_the_unit_of_a_column_is_the_inch():
    assert print_length(parse_length("22 1/4", "in"), "in", bare=True) == "22 1/4"
    assert print_length(parse_length("1' 10\"", "in"), "in", bare=True) == "1 ft 10 in"


WHOLE = st.integers(0, 700)
TOPS = st.sampled_from(["", " 1/2", " 3/8", " 15/16", " 63/64", ".3", ".25"])
typed_inches = st.builds(lambda whole, top: f"{whole}{top} in", WHOLE, TOPS)


@pytest.mark.property
@given(typed_inches)
def test_what_was_typed_is_read_again_as_itself(typed):
    length = parse_length(typed, "mm")
    again = parse_length(length.text, "mm")
    assert again == length
    assert again.text == length.text == typed


@pytest.mark.property
@given(typed_inches, st.decimals(0, 10_000, places=2))
def test_a_typed_length_counts_as_the_decimal_it_equals(typed, other):
    length = parse_length(typed, "in")
    plain = Decimal(str(length))
    assert length == plain
    assert hash(length) == hash(plain)
    assert type(length + other) is type(length * other) is type(-length) is Decimal
    assert (length + other, length < other) == (plain + other, plain < other)
    for made in (copy(length), deepcopy(length), pickle.loads(pickle.dumps(length))):
        assert (made, made.text) == (length, length.text)


@pytest.mark.regression
def test_decimal_inches_of_a_number_are_offered_as_inches_again():
    assert exact_length(Decimal("566.42"), "in") == "22.3 in"
    assert Fraction(parse_length("22.3", "in")) == Fraction(56642, 100)

"""A length is written as a fitter reads it, and exactly where it will be read again."""

import re
from decimal import Decimal
from fractions import Fraction
from typing import get_args

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.measure.lengths import (
    FINEST,
    TAPE_DENOMINATORS,
    LengthUnit,
    exact_length,
    parse_length,
    print_length,
)

INCH = Fraction(254, 10)  # international yard and pound agreement, 1959
MILLIMETRES = {"mm": Fraction(1), "cm": Fraction(10), "m": Fraction(1000)}

units = st.sampled_from(get_args(LengthUnit))
sixty_fourths = st.integers(0, 50_393).map(lambda n: n * Decimal("0.396875"))  # to 20 m
tenths_of_mm = st.integers(0, 200_000).map(lambda n: n * Decimal("0.1"))  # to 20 m


@given(sixty_fourths | tenths_of_mm, units, units)
@pytest.mark.property
def test_an_exact_length_reads_back_as_itself_in_every_job(mm, unit, bare):
    assert parse_length(exact_length(mm, unit), bare) == mm


@given(sixty_fourths)
@pytest.mark.property
def test_every_tape_division_is_written_in_inches(mm):
    assert re.fullmatch(r"(\d+|\d+/\d+|\d+ \d+/\d+) in", exact_length(mm, "in"))


@given(tenths_of_mm | sixty_fourths, st.sampled_from(TAPE_DENOMINATORS))
@pytest.mark.cross_check
def test_inches_are_exact_on_a_tape_and_else_to_the_nearest_division(mm, denominator):
    text = print_length(mm, "in", denominator)
    shown = Fraction(parse_length(text, "mm"))
    off, division = abs(shown - Fraction(mm)), INCH / denominator
    on_tape = (Fraction(mm) / INCH * FINEST).denominator == 1
    assert off == 0 if on_tape else off <= division / 2
    assert on_tape or (shown / division).denominator == 1
    asked = print_length(mm, "in", denominator, about=True)
    assert asked == text if on_tape else asked == f"~{text}"


@given(tenths_of_mm | sixty_fourths, st.sampled_from(["mm", "cm", "m"]))
@pytest.mark.property
def test_metric_lengths_are_written_exactly(mm, unit):
    number = print_length(mm, unit, bare=True)
    assert print_length(mm, unit) == f"{number} {unit}"
    assert Fraction(number) * MILLIMETRES[unit] == Fraction(mm)
    assert "." not in number or number[-1] != "0"


@pytest.mark.parametrize(
    ("mm", "unit", "denominator", "text"),
    [
        ("883.00", "mm", 16, "883 mm"),
        ("1E+3", "mm", 16, "1000 mm"),
        ("883", "cm", 16, "88.3 cm"),
        ("883", "m", 16, "0.883 m"),
        ("-0.5", "mm", 16, "-0.5 mm"),
        ("-0.0", "mm", 16, "0 mm"),
        ("883", "in", 16, "34 3/4 in"),
        ("883", "in", 32, "34 3/4 in"),
        ("884", "in", 32, "34 13/16 in"),
        ("879.475", "in", 16, "34 5/8 in"),
        ("863.6", "in", 16, "34 in"),
        ("12.7", "in", 16, "1/2 in"),
        ("0", "in", 16, "0 in"),
        ("0.1", "in", 16, "0 in"),
        ("-0.1", "in", 16, "0 in"),
        ("-12.7", "in", 16, "-1/2 in"),
        ("0.8", "in", 16, "1/16 in"),
        ("0.79375", "in", 16, "1/32 in"),  # a tape shows it
        ("-0.79375", "in", 16, "-1/32 in"),
        ("0.79375", "in", 32, "1/32 in"),
        ("25.3", "in", 16, "1 in"),
    ],
)
def test_lengths_are_written_as_a_fitter_reads_them(mm, unit, denominator, text):
    assert print_length(Decimal(mm), unit, denominator) == text
    assert print_length(Decimal(mm), unit, denominator, bare=True) == text.rpartition(" ")[0]


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        ("879.871875", "in", "34 41/64 in"),
        ("883", "in", "883 mm"),
        ("879.475", "m", "0.879475 m"),
        ("879.871875", "m", "879.871875 mm"),  # nine decimals of a metre would be too many
    ],
)
def test_an_exact_length_falls_back_to_millimetres(mm, unit, text):
    assert exact_length(Decimal(mm), unit) == text


def test_a_division_that_no_tape_has_is_a_programming_error():
    with pytest.raises(ValueError, match="no division of 1/10"):
        print_length(Decimal(1), "in", 10)

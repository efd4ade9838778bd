"""Lengths in words of findings: in the unit of the job, and fine enough to be told apart."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.job.job import Site
from pelmet.model.measure.lengths import parse_length
from pelmet.model.plan.measures import length_said, lengths_said, limit_said, sides_said

INCHES = Site(length_unit="in")
tenths = st.integers(1, 60_000).map(lambda n: n * Decimal("0.1"))


@pytest.mark.property
@given(tenths, tenths)
def test_lengths_that_differ_are_told_apart_and_truly_in_inches(one, other):
    texts = lengths_said(INCHES, one, other)
    assert (texts[0] == texts[1]) == (one == other)
    for mm, text in zip((one, other), texts, strict=True):
        shown = Fraction(parse_length(text, "mm"))
        assert abs(shown - Fraction(mm)) <= Fraction(mm) / 8
        assert abs(shown - Fraction(mm)) <= Fraction(254, 320)  # half of 1/16 in


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (875, "mm", "875 mm"),
        (12.3456, "mm", "12.3 mm"),
        (0.04, "mm", "0.04 mm"),
        (875, "cm", "87.5 cm"),
        (875, "m", "0.875 m"),
        (875, "in", "34 7/16 in"),
        (Decimal("565.15"), "in", "22 1/4 in"),
        (0.4, "in", "1/64 in"),
        (0.04, "in", "0.0016 in"),
        (0, "in", "0 in"),
    ],
)
def test_a_length_is_told_in_the_unit_of_the_job(mm, unit, text):
    assert length_said(mm, Site(length_unit=unit)) == text


@pytest.mark.regression
def test_the_limit_of_a_rule_is_told_in_the_unit_of_the_job_if_it_is_a_length():
    # NEC 300.4(A)(1): 1 1/4 in
    assert limit_said(Decimal("31.75"), "mm", INCHES) == "1 1/4 in"
    assert limit_said(Decimal("31.75"), "mm", Site()) == "31.75 mm"
    assert limit_said(Decimal(5), "A", INCHES) == "5 A"


def test_the_sides_of_a_space_share_one_unit():
    assert sides_said((Decimal(564), None, Decimal(688)), Site()) == "564 x open x 688 mm"
    assert sides_said((Decimal(254), None, Decimal("12.7")), INCHES) == "10 x open x 1/2 in"

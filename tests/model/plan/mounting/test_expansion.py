"""Growth with heat, against exact fractions, pint and the aluminium of a structural code."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.measure.units import quantity
from pelmet.model.plan.mounting.expansion import (
    ALUMINIUM_PER_KELVIN,
    POLYCARBONATE_PER_KELVIN,
    clearance_needed,
    diffuser_cut,
    gap_when_cold,
    growth,
)

HALF = Fraction(1, 2)

lengths = st.decimals(50, 6000, places=4)
coefficients = st.decimals(0, 200, places=1)
kelvins = st.decimals(0, 80, places=1)


def grown(length, coefficient, kelvin):
    """Length at another temperature, exactly."""
    return Fraction(length) * (1 + Fraction(coefficient) * Fraction(kelvin) / 10**6)


@pytest.mark.published
def test_aluminium_grows_as_the_code_says():
    # EN 1999-1-1:2007, 3.2.5: 23e-6 per degree C.
    assert ALUMINIUM_PER_KELVIN == 23
    by_20, by_40 = (growth(Decimal(3000), ALUMINIUM_PER_KELVIN, Decimal(up)) for up in (20, 40))
    assert (round(by_20, 1), round(by_40, 1)) == (Decimal("1.4"), Decimal("2.8"))
    assert clearance_needed(Decimal(3000), ALUMINIUM_PER_KELVIN, Decimal(40)) == Decimal("1.38")


@pytest.mark.cross_check
@given(lengths, coefficients, kelvins)
def test_growth_is_what_quantities_with_units_give(length, coefficient, kelvin):
    alpha = quantity(float(coefficient) / 1e6, "1/K")
    other = quantity(float(length), "mm") * alpha * quantity(float(kelvin), "K")
    assert float(growth(length, coefficient, kelvin)) == pytest.approx(other.m_as("millimetre"))


@pytest.mark.property
@given(lengths, coefficients, kelvins)
def test_a_bar_held_in_its_middle_fits_with_the_clearance_at_both_ends(length, coefficient, kelvin):
    each = clearance_needed(length, coefficient, kelvin)
    assert grown(length, coefficient, kelvin) == Fraction(length) + 2 * Fraction(each)
    assert growth(length, coefficient, -kelvin) == -2 * each


@pytest.mark.cross_check
@given(lengths, coefficients, coefficients, kelvins)
def test_the_diffuser_is_the_longest_half_millimetre_that_stays_inside(
    length, of_bar, of_diffuser, kelvin
):
    cut = Fraction(diffuser_cut(length, of_bar, of_diffuser, kelvin))
    assert (cut / HALF).denominator == 1

    def stays(diffuser):
        return diffuser <= Fraction(length) and grown(diffuser, of_diffuser, kelvin) <= grown(
            length, of_bar, kelvin
        )

    assert stays(cut)
    assert not stays(cut + HALF)


@pytest.mark.cross_check
@given(lengths, lengths, coefficients, coefficients, kelvins)
def test_the_gap_when_cold_is_the_difference_of_the_two_cold_lengths(
    length, diffuser, of_bar, of_diffuser, kelvin
):
    gap = gap_when_cold(length, diffuser, of_bar, of_diffuser, kelvin)
    assert Fraction(gap) == grown(length, of_bar, -kelvin) - grown(diffuser, of_diffuser, -kelvin)


def test_a_three_metre_plastic_diffuser_is_cut_short_and_shows_it_in_the_cold():
    terms = (ALUMINIUM_PER_KELVIN, POLYCARBONATE_PER_KELVIN)
    # By hand: 3000 x 1.00069 / 1.00204 = 2995.96 at 30 K.
    cut = diffuser_cut(Decimal(3000), Decimal(23), Decimal(68), Decimal(30))
    assert cut == Decimal("2995.5")
    assert gap_when_cold(Decimal(3000), cut, *terms, Decimal(0)) == Decimal("4.5")
    assert gap_when_cold(Decimal(3000), cut, *terms, Decimal(10)) > Decimal("4.5")


def test_a_diffuser_that_grows_less_than_its_bar_is_still_no_longer_than_it_when_cut():
    assert diffuser_cut(Decimal("1000.7"), Decimal(68), Decimal(23), Decimal(40)) == Decimal(
        "1000.5"
    )

"""Growth with heat, against exact fractions, pint and the aluminium of a structural code."""

from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.job.parts import Channel, Diffuser
from pelmet.model.measure.units import quantity
from pelmet.model.plan.mounting.expansion import (
    clearance_needed,
    diffuser_cut,
    diffuser_gap,
    growth,
)

HALF = Fraction(1, 2)

lengths = st.decimals(50, 6000, places=4)
coefficients = st.decimals(0, Decimal("200e-6"), places=7)
kelvins = st.decimals(0, 80, places=1)
COOL = Decimal(20)
ALUMINIUM, POLYCARBONATE = (
    part.model_fields["expansion"].default / 1_000_000 for part in (Channel, Diffuser)
)


def grown(length, coefficient, kelvin):
    """Length at another temperature, exactly."""
    return Fraction(length) * (1 + Fraction(coefficient) * Fraction(kelvin))


@pytest.mark.published
def test_aluminium_grows_as_the_code_says():
    # EN 1999-1-1:2007, 3.2.5: 23e-6 per degree C.
    assert Decimal("23e-6") == ALUMINIUM
    by_20, by_40 = (growth(Decimal(3000), ALUMINIUM, COOL, COOL + up) for up in (20, 40))
    assert (round(by_20, 1), round(by_40, 1)) == (Decimal("1.4"), Decimal("2.8"))
    assert clearance_needed(by_40) == Decimal("1.38")


@pytest.mark.cross_check
@given(lengths, coefficients, kelvins)
def test_growth_is_what_quantities_with_units_give(length, coefficient, kelvin):
    alpha = quantity(float(coefficient), "1/K")
    other = quantity(float(length), "mm") * alpha * quantity(float(kelvin), "K")
    found = growth(length, coefficient, COOL, COOL + kelvin)
    assert float(found) == pytest.approx(other.m_as("millimetre"))


@pytest.mark.property
@given(lengths, coefficients, kelvins)
def test_a_bar_held_in_its_middle_fits_with_the_clearance_at_both_ends(length, coefficient, kelvin):
    each = clearance_needed(growth(length, coefficient, COOL, COOL + kelvin))
    assert grown(length, coefficient, kelvin) == Fraction(length) + 2 * Fraction(each)


def test_nothing_grows_where_it_gets_no_warmer():
    assert growth(Decimal(3000), ALUMINIUM, COOL, COOL - 5) == 0


@pytest.mark.cross_check
@given(lengths, coefficients, coefficients, kelvins)
def test_the_diffuser_is_the_longest_half_millimetre_that_stays_inside(
    length, of_bar, of_diffuser, kelvin
):
    cut = Fraction(diffuser_cut(length, of_bar, of_diffuser, COOL, COOL + kelvin))
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
    gap = diffuser_gap(length, diffuser, of_bar, of_diffuser, COOL, COOL - kelvin)
    assert Fraction(gap) == grown(length, of_bar, -kelvin) - grown(diffuser, of_diffuser, -kelvin)


def test_a_three_metre_plastic_diffuser_is_cut_short_and_shows_it_in_the_cold():
    both = (ALUMINIUM, POLYCARBONATE)
    # By hand: 3000 x 1.00069 / 1.00204 = 2995.96 at 30 K.
    cut = diffuser_cut(Decimal(3000), *both, COOL, COOL + 30)
    assert cut == Decimal("2995.5")
    assert diffuser_gap(Decimal(3000), cut, *both, COOL, COOL) == Decimal("4.5")
    assert diffuser_gap(Decimal(3000), cut, *both, COOL, COOL - 10) > Decimal("4.5")


def test_a_diffuser_that_grows_less_than_its_bar_is_still_no_longer_than_it_when_cut():
    both = (POLYCARBONATE, ALUMINIUM)
    assert diffuser_cut(Decimal("1000.7"), *both, COOL, COOL + 40) == Decimal("1000.5")

"""What a dim level looks like, by the square law and by CIE 1976 lightness."""

import doctest
from math import nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.plan.light.photometry import dimming
from pelmet.model.plan.light.photometry.dimming import lightness, square_law_brightness

PERCENT = st.floats(0, 100)

# By hand from the definition and by colour-science 0.4.7; all digits agreed.
LIGHTNESS = [
    (100, 100.0),
    (90, 76.303354),
    (75, 48.278104),
    (50, 18.418652),
    (25, 4.415477),
    (10, 1.12602),
    (5, 0.553528),
    (1, 0.110706),
]


@pytest.mark.cross_check
@pytest.mark.parametrize(("looks", "flux"), LIGHTNESS)
def test_lightness_is_that_of_another_library(looks, flux):
    assert lightness(flux) == pytest.approx(looks, abs=2e-5)


@pytest.mark.published
@pytest.mark.parametrize(("flux", "looks"), [(100, 100.0), (10, 31.6), (1, 10.0)])
def test_the_square_law_is_that_of_the_handbook(flux, looks):
    """IESNA Lighting Handbook, 9th ed., as quoted for dimmers: 10 % looks 31.6 %, 1 % 10 %."""
    assert round(square_law_brightness(flux), 1) == looks


@pytest.mark.published
def test_lightness_is_zero_for_black_and_has_no_step_where_its_two_parts_meet():
    """CIE S 017, 17-23-076: the straight line below (6/29)^3 meets the cube root at L* = 8."""
    knee = 100 * (6 / 29) ** 3
    assert lightness(0.0) == pytest.approx(0, abs=1e-12)
    assert lightness(knee) == pytest.approx(8, abs=1e-12)
    assert lightness(knee * (1 + 1e-9)) == pytest.approx(8, abs=1e-7)
    assert lightness(knee / 2) == pytest.approx(4, abs=1e-12)


@pytest.mark.property
@given(PERCENT, PERCENT)
def test_both_laws_rise(one, other):
    for looks in (lightness, square_law_brightness):
        assert (looks(one) <= looks(other)) == (one <= other) or looks(one) == looks(other)


@pytest.mark.property
@given(PERCENT)
def test_the_two_laws_never_differ_by_more_than_eight(flux):
    assert abs(lightness(flux) - square_law_brightness(flux)) < 8


@pytest.mark.parametrize("bad", [-0.1, 100.1, nan])
def test_percents_that_cannot_be_are_refused(bad):
    for call in (lightness, square_law_brightness):
        with pytest.raises(ValueError, match="of 0 to 100 is wanted"):
            call(bad)


def test_what_the_notes_show_at_a_prompt_is_so():
    failed, tried = doctest.testmod(dimming)
    assert tried
    assert not failed

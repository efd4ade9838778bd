"""Dots on a diffuser, against the plain sum over the LEDs of a row."""

import doctest
from math import inf, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.plan.light.photometry import dots
from pelmet.model.plan.light.photometry.dots import dot_modulation


def summed(pitch, distance, leds=4000):
    """Add up Lambertian points: I cos / d^2, the cosine once more for the slant, is d^2/r^4."""
    places = np.arange(-leds, leds + 1) * pitch

    def light(x):
        return np.sum(distance**2 / (distance**2 + (x - places) ** 2) ** 2)

    most, least = light(0.0), light(pitch / 2)
    return (most - least) / (most + least)


# Worked out twice, by a sum over 8001 LEDs and by Poisson's series; all digits given agreed.
@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("distance", "modulation", "digits"),
    [
        (0.25, 0.849907, 6),
        (0.5, 0.350080, 6),
        (0.75, 0.102, 3),
        (0.8, 0.079019, 6),
        (1, 0.0272, 6),
        (1.25, 0.0069, 4),
        (1.5, 0.0017, 4),
        (2, 0.000095, 6),
    ],
)
def test_modulation_is_that_of_two_long_sums(distance, modulation, digits):
    assert round(dot_modulation(1.0, distance), digits) == modulation


@pytest.mark.cross_check
@given(st.floats(0.5, 50), st.floats(0.02, 2.5))
def test_the_closed_form_is_the_sum(pitch, ratio):
    wanted = summed(pitch, ratio * pitch)
    assert dot_modulation(pitch, ratio * pitch) == pytest.approx(wanted, rel=1e-6, abs=1e-10)


@pytest.mark.property
@given(st.floats(0.1, 100), st.floats(0, 3), st.floats(0.001, 1))
def test_dots_fade_with_distance(pitch, ratio, more):
    near = dot_modulation(pitch, ratio * pitch)
    far = dot_modulation(pitch, (ratio + more) * pitch)
    assert 0 <= far <= near <= 1
    if ratio > 0.05:
        assert far < near


def test_a_continuous_phosphor_has_no_dots():
    assert dot_modulation(0.0, 0.0) == dot_modulation(0.0, 5.0) == 0


def test_a_diffuser_on_the_leds_shows_them_fully_and_a_far_one_not():
    assert dot_modulation(8.0, 0.0) == dot_modulation(8.0, 1e-9) == 1.0
    assert dot_modulation(1e-3, 1e6) == 0.0


@pytest.mark.parametrize("bad", [-1.0, nan, inf])
def test_lengths_that_cannot_be_are_refused(bad):
    with pytest.raises(ValueError, match="a pitch of 0 or more"):
        dot_modulation(bad, 1.0)
    with pytest.raises(ValueError, match="a distance of 0 or more"):
        dot_modulation(1.0, bad)


def test_what_the_notes_show_at_a_prompt_is_so():
    failed, tried = doctest.testmod(dots)
    assert tried
    assert not failed

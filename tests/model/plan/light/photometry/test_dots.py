"""Dots on a diffuser, against the plain sum over the LEDs of a row."""

import doctest
from math import inf, nan, pi

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import brentq

from pelmet.model.plan.light.photometry import dots
from pelmet.model.plan.light.photometry.dots import (
    VISIBLE_SHARE,
    dot_modulation,
    first_harmonic_modulation,
    hidden_distance,
)


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


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("share", "ratio"),
    [(0.10, 0.754741), (0.05, 0.886696), (0.03, 0.981895), (0.02, 1.056518), (0.01, 1.18254)],
)
def test_the_distance_that_hides_dots_is_the_root_of_both_sums(share, ratio):
    assert hidden_distance(1.0, share) == pytest.approx(ratio, abs=5e-7)
    assert hidden_distance(16.0, share) == pytest.approx(16 * ratio, abs=1e-5)
    root = brentq(lambda distance: summed(1.0, distance) - share, 0.3, 3)
    assert hidden_distance(1.0, share) == pytest.approx(root, abs=1e-6)


@pytest.mark.cross_check
@pytest.mark.parametrize("ratio", [0.5, 0.75, 1.0, 1.25, 1.5])
def test_the_first_harmonic_is_that_of_a_fourier_analysis_of_the_sum(ratio):
    x = np.arange(64) / 64
    places = np.arange(-2000, 2001)
    light = (ratio**2 / (ratio**2 + (x[:, None] - places) ** 2) ** 2).sum(axis=1)
    waves = np.abs(np.fft.rfft(light))
    assert first_harmonic_modulation(8.0, 8 * ratio) == pytest.approx(2 * waves[1] / waves[0])


@pytest.mark.property
@given(st.floats(0.1, 100), st.floats(0, 3), st.floats(0.001, 1))
def test_dots_fade_with_distance(pitch, ratio, more):
    near = dot_modulation(pitch, ratio * pitch)
    far = dot_modulation(pitch, (ratio + more) * pitch)
    assert 0 <= far <= near <= 1
    if ratio > 0.05:
        assert far < near


@pytest.mark.property
@given(st.floats(0.1, 100), st.floats(1e-9, 0.999))
def test_the_hidden_distance_has_just_the_modulation_asked_for(pitch, share):
    distance = hidden_distance(pitch, share)
    assert dot_modulation(pitch, distance) == pytest.approx(share, rel=1e-9)


@pytest.mark.property
@given(st.floats(0.1, 100), st.floats(0.5, 20))
def test_the_first_harmonic_is_within_three_percent_from_half_a_pitch_on(pitch, ratio):
    exact = dot_modulation(pitch, ratio * pitch)
    assume(exact > 0)
    assert exact <= first_harmonic_modulation(pitch, ratio * pitch) * (1 + 1e-12)
    assert first_harmonic_modulation(pitch, ratio * pitch) == pytest.approx(exact, rel=0.03)


def test_a_continuous_phosphor_has_no_dots():
    assert dot_modulation(0.0, 0.0) == dot_modulation(0.0, 5.0) == hidden_distance(0.0) == 0
    assert first_harmonic_modulation(0.0, 5.0) == 0


def test_a_diffuser_on_the_leds_shows_them_fully_and_a_far_one_not():
    assert dot_modulation(8.0, 0.0) == dot_modulation(8.0, 1e-9) == 1.0
    assert dot_modulation(1e-3, 1e6) == 0.0


def test_two_percent_is_seen_if_nothing_else_is_said():
    assert hidden_distance(8.0) == hidden_distance(8.0, VISIBLE_SHARE) == hidden_distance(8.0, 0.02)


@pytest.mark.parametrize("bad", [-1.0, nan, inf])
def test_lengths_that_cannot_be_are_refused(bad):
    for call in (dot_modulation, first_harmonic_modulation):
        with pytest.raises(ValueError, match="a pitch of 0 or more"):
            call(bad, 1.0)
        with pytest.raises(ValueError, match="a distance of 0 or more"):
            call(1.0, bad)
    with pytest.raises(ValueError, match="a pitch of 0 or more"):
        hidden_distance(bad)


@pytest.mark.parametrize("bad", [0.0, 1.0, -0.1, nan, pi])
def test_shares_that_cannot_be_are_refused(bad):
    with pytest.raises(ValueError, match="a share between 0 and 1"):
        hidden_distance(8.0, bad)


def test_what_the_notes_show_at_a_prompt_is_so():
    failed, tried = doctest.testmod(dots)
    assert tried
    assert not failed

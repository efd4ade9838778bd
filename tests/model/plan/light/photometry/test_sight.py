"""Direct sight of a strip past a lip."""

import doctest
from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.plan.light.photometry import sight
from pelmet.model.plan.light.photometry.shade import Lip
from pelmet.model.plan.light.photometry.sight import (
    hiding_lip,
    sight_at_lip,
    strip_hidden,
)

SEATED = {"lip_x": 0.32, "eye_x": 2.00, "eye_height": 0.324}


# Worked out from the strip's side and from the eye's side of the lip; all digits agreed.
@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("strip_x", "at", "depth"), [(0.28, 0.44707, 0.00293), (0.05, 0.432554, 0.017446)]
)
def test_a_seated_eye_is_hidden_from_by_a_shallow_lip(strip_x, at, depth):
    assert sight_at_lip(strip_x, 0.45, **SEATED) == pytest.approx(at, abs=5e-7)
    assert hiding_lip(strip_x, 0.45, **SEATED, underside=0.45) == pytest.approx(depth, abs=5e-7)


HEIGHTS = st.floats(-1, 1)
PLACES = st.tuples(st.floats(0, 0.3), st.floats(0.01, 0.3), st.floats(0.05, 4)).map(
    lambda steps: (steps[0], steps[0] + steps[1], sum(steps))
)


@pytest.mark.cross_check
@given(PLACES, HEIGHTS, HEIGHTS)
def test_the_sight_line_is_the_same_from_the_eyes_side(places, strip_height, eye):
    strip, lip, eye_x = places
    from_eye = eye + (strip_height - eye) * (eye_x - lip) / (eye_x - strip)
    assert sight_at_lip(strip, strip_height, lip, eye_x, eye) == pytest.approx(from_eye, abs=1e-12)


@pytest.mark.property
@given(PLACES, st.floats(0, 0.03), st.floats(0.01, 1), st.floats(0.001, 0.2))
def test_a_strip_set_further_back_takes_a_deeper_lip(places, hangs, below, more):
    strip, lip, eye_x = places
    near = hiding_lip(strip, 0.45 - hangs, lip, eye_x, 0.45 - hangs - below, 0.45)
    back = hiding_lip(strip - more, 0.45 - hangs, lip, eye_x, 0.45 - hangs - below, 0.45)
    assert back > near > hangs


@pytest.mark.property
@given(PLACES, HEIGHTS, HEIGHTS, st.floats(0.001, 0.2))
def test_a_lip_hides_from_its_least_depth_on(places, strip_height, eye, more):
    strip, lip, eye_x = places
    depth = hiding_lip(strip, strip_height, lip, eye_x, eye, underside=0.5)
    assert strip_hidden(strip, strip_height, Lip(lip, 0.5 - depth - 1e-9), eye_x, eye)
    if depth > more:
        assert not strip_hidden(strip, strip_height, Lip(lip, 0.5 - depth + more), eye_x, eye)


def test_the_wall_of_a_channel_hides_a_strip_deep_in_it():
    deep, flush = Lip(0.288, 0.435), Lip(0.288, 0.4495)
    assert strip_hidden(0.28, 0.45, deep, 2.0, 0.324)
    assert not strip_hidden(0.28, 0.45, flush, 2.0, 0.324)


def test_an_eye_above_the_underside_needs_no_lip():
    assert hiding_lip(0.28, 0.45, 0.32, 0.80, 0.72, underside=0.45) == 0


@pytest.mark.parametrize("lip_x", [0.28, 0.1, 2.0, 3.0])
def test_a_lip_that_is_not_between_strip_and_eye_is_refused(lip_x):
    with pytest.raises(ValueError, match=r"a lip between 0\.28 and 2 m"):
        sight_at_lip(0.28, 0.45, lip_x, 2.0, 0.3)


@pytest.mark.parametrize("bad", [nan, inf])
@pytest.mark.parametrize("place", range(6))
def test_places_that_cannot_be_are_refused(bad, place):
    figures = [0.28, 0.45, 0.32, 2.0, 0.324, 0.45]
    figures[place] = bad
    with pytest.raises(ValueError, match="a place in metres is wanted"):
        hiding_lip(*figures)


def test_what_the_notes_show_at_a_prompt_is_so():
    failed, tried = doctest.testmod(sight)
    assert tried
    assert not failed

"""Which points a lip keeps dark, and where its shadow begins."""

from math import inf, nan
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.plan.light.photometry.line import lit_line, lux_on_top, lux_on_wall
from pelmet.model.plan.light.photometry.shade import (
    Lip,
    is_seen,
    lip_at,
    shadow_edge,
    top_lux,
    wall_lux,
)

STRIP = lit_line(0.28, 0.45, 0, 2, 1000)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("lip", "edge"),
    [
        # By hand: 40 mm before the strip and 30 mm below it, over 450 mm: 40 / 30 * 450 = 600.
        (lip_at(0.32, 0.42), 0.88),
        (lip_at(0.30, 0.40), 0.46),
        # 60 mm behind the strip, 100 mm below it: 60 / 100 * 450 = 270 towards the wall.
        (lip_at(0.22, 0.35), 0.01),
        (lip_at(0.20, 0.35), -0.08),
        (lip_at(0.32, 0.45), None),
        (lip_at(0.32, 0.60), None),
        (lip_at(0.28, 0.30), None),
    ],
)
def test_the_shadow_on_the_worktop_begins_where_similar_triangles_put_it(lip, edge):
    assert shadow_edge(STRIP, lip) == (None if edge is None else pytest.approx(edge, abs=1e-12))


@pytest.mark.property
@pytest.mark.parametrize("lip", [lip_at(0.32, 0.42), lip_at(0.22, 0.35), lip_at(0.5, 0.1)])
def test_the_worktop_is_lit_up_to_the_edge_and_dark_beyond(lip):
    edge = shadow_edge(STRIP, lip)
    out = 1e-6 if lip.x > STRIP.x else -1e-6
    assert is_seen(STRIP, lip, edge - out, 0)
    assert not is_seen(STRIP, lip, edge + out, 0)
    lit, dark = (top_lux([STRIP], lip, edge + side, 1) for side in (-out, out))
    assert lit == lux_on_top(STRIP, edge - out, 1) > 0
    assert dark == 0


def turn(a, b, c):
    """Give twice the area of a triangle, above 0 if it goes round to the left."""
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def cross(a, b, c, d):
    """Say if segments ab and cd cross: the ends of each are on either side of the other."""
    return turn(a, b, c) * turn(a, b, d) < 0 and turn(c, d, a) * turn(c, d, b) < 0


@pytest.mark.cross_check
def test_a_point_sees_a_strip_unless_the_way_crosses_the_lip():
    draw = Random(5)
    hidden = 0
    for _ in range(3000):
        strip = lit_line(draw.uniform(0.02, 0.6), draw.uniform(0.3, 0.6), 0, 1, 1)
        lip = lip_at(draw.uniform(0, 0.7), draw.uniform(0.05, 0.7))
        on_wall = draw.random() < 0.5
        x, z = (0.0, draw.uniform(0, 0.9)) if on_wall else (draw.uniform(0, 1.2), 0.0)
        board = ((lip.x, lip.bottom), (lip.x, 100.0))
        crossed = cross((strip.x, strip.height), (x, z), *board)
        assert is_seen(strip, lip, x, z) is not crossed
        hidden += crossed
    assert hidden > 500


@pytest.mark.property
def test_a_lip_behind_shades_the_splashback_and_one_before_does_not():
    behind, before = lip_at(0.2, 0.40), lip_at(0.32, 0.40)
    # 80 mm behind and 50 mm below: 50 / 80 * 280 = 175 mm below the strip on the wall.
    assert wall_lux([STRIP], behind, 1, 0.276) == 0
    assert wall_lux([STRIP], behind, 1, 0.274) == lux_on_wall(STRIP, 1, 0.274) > 0
    for z in (0.0, 0.2, 0.44, 0.6):
        assert wall_lux([STRIP], before, 1, z) == wall_lux([STRIP], None, 1, z)


@pytest.mark.property
def test_a_lip_beyond_the_point_or_in_its_plane_hides_nothing():
    assert is_seen(STRIP, lip_at(0.4, 0.3), 0.38, 0.9)
    assert is_seen(STRIP, lip_at(0.0, 0.3), 0.0, 0.4)
    assert is_seen(STRIP, lip_at(0.4, 0.3), 0.1, 0)
    assert is_seen(STRIP, lip_at(0.1, 0.3), 0.4, 0)


@pytest.mark.property
def test_light_adds_up_and_each_strip_has_its_own_shadow():
    other = lit_line(0.1, 0.45, 0, 2, 800)
    lip = lip_at(0.3, 0.40)
    lit = top_lux([STRIP, other], lip, 0.5, 1)
    assert not is_seen(STRIP, lip, 0.5, 0)
    assert lit == lux_on_top(other, 0.5, 1)
    both = lux_on_top(STRIP, 0.2, 1) + lux_on_top(other, 0.2, 1)
    assert top_lux([STRIP, other], lip, 0.2, 1) == pytest.approx(both)
    assert top_lux([], lip, 0.2, 1) == wall_lux([], None, 1, 0.1) == 0


strips = st.builds(
    lit_line,
    st.floats(0, 0.6),
    st.floats(0.2, 0.6),
    st.just(0.0),
    st.floats(0.1, 2),
    st.just(1000.0),
    st.floats(-80, 80),
)
lips = st.builds(lip_at, st.floats(0, 1), st.floats(0.01, 1))


@pytest.mark.property
@given(strips, lips, st.floats(0, 1), st.floats(-1, 2), st.floats(0, 1))
def test_a_lip_never_brightens_and_a_deeper_one_never_less_dark(strip, lip, x, y, z):
    deeper = Lip(lip.x, lip.bottom * 0.8)
    for light, point in ((top_lux, (x, y)), (wall_lux, (y, z))):
        bare, shaded, darker = (light([strip], each, *point) for each in (None, lip, deeper))
        assert bare >= shaded >= darker >= 0


@pytest.mark.property
@pytest.mark.parametrize(
    ("x", "bottom", "words"),
    [
        (-0.1, 0.4, "into the room"),
        (nan, 0.4, "into the room"),
        (inf, 0.4, "into the room"),
        (0.3, 0.0, "leaves no gap"),
        (0.3, -0.1, "leaves no gap"),
        (0.3, nan, "leaves no gap"),
        (0.3, inf, "leaves no gap"),
    ],
)
def test_a_lip_that_cannot_be_is_refused(x, bottom, words):
    with pytest.raises(ValueError, match=words):
        lip_at(x, bottom)

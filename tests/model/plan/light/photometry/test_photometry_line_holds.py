"""What holds for the light of any line: twice, longer, mirrored, turned, never more than leaves."""

from itertools import pairwise
from math import atan2, cos, inf, isfinite, nan, pi, sin, tan

import numpy as np
import pytest
from endless import endless_on_top, endless_on_wall
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from spreads import all_round, round_beam

from pelmet.model.plan.light.photometry.distribution import (
    LAMBERT,
    beam,
    cosine_power,
    tabulated_light,
)
from pelmet.model.plan.light.photometry.line import (
    lit_line,
    lux_on_top,
    lux_on_wall,
)

spreads = st.one_of(
    st.just(LAMBERT),
    st.floats(20, 179).map(beam),
    st.floats(20, 179).map(round_beam),
    st.tuples(st.floats(0, 1), st.floats(0, 1), st.floats(0.1, 1)).map(
        lambda shares: tabulated_light([-90, -30, 20, 90], [*shares, 0])
    ),
    st.just(all_round()),
    st.just(cosine_power(0, 0)),
)
lines = st.builds(
    lit_line,
    st.floats(0, 0.6),
    st.floats(0.2, 1.5),
    st.floats(-2, 0),
    st.floats(0.1, 2),
    st.floats(0, 2000),
    st.floats(-180, 180),
    spreads,
)
outs, heights, places = st.floats(0, 2), st.floats(0, 1), st.floats(-4, 4)


def planes(line, x, y, z):
    return [lux_on_top(line, x, y), lux_on_wall(line, y, z)]


@pytest.mark.property
@given(lines, outs, places, heights)
def test_twice_the_lumens_twice_the_lux(line, x, y, z):
    once, twice = planes(line, x, y, z), planes(line._replace(candela=2 * line.candela), x, y, z)
    assert twice == pytest.approx([2 * lux for lux in once], rel=1e-12)


@pytest.mark.property
@given(lines, outs, places, heights, st.floats(0, 3), st.floats(0, 3))
def test_a_longer_strip_never_darkens(line, x, y, z, before, beyond):
    longer = line._replace(y_start=line.y_start - before, y_end=line.y_end + beyond)
    for short, long in zip(planes(line, x, y, z), planes(longer, x, y, z), strict=True):
        assert 0 <= short <= long * (1 + 1e-9) + 1e-9


@pytest.mark.property
@given(lines, outs, places, heights, st.floats(0, 1))
def test_two_pieces_give_what_the_whole_gives(line, x, y, z, where):
    cut = line.y_start + where * (line.y_end - line.y_start)
    first, second = line._replace(y_end=cut), line._replace(y_start=cut)
    pieces = zip(planes(first, x, y, z), planes(second, x, y, z), strict=True)
    whole = planes(line, x, y, z)
    assert [one + other for one, other in pieces] == pytest.approx(whole, rel=1e-8, abs=1e-8)


@pytest.mark.property
@given(lines, outs, places, heights)
def test_mirrored_along_the_wall(line, x, y, z):
    mirror = line._replace(y_start=-line.y_end, y_end=-line.y_start)
    found = planes(line, x, y, z)
    assert planes(mirror, x, -y, z) == pytest.approx(found, rel=1e-9, abs=1e-9)


@pytest.mark.property
@given(st.floats(0, 2), st.floats(-2, 3), st.floats(-180, 180), st.floats(1, 179))
def test_mirrored_about_the_strip(off, y, tilt, degrees):
    one, other = (lit_line(5, 0.5, 0, 1, 900, way * tilt, beam(degrees)) for way in (1, -1))
    found = lux_on_top(one, 5 + off, y)
    assert lux_on_top(other, 5 - off, y) == pytest.approx(found, rel=1e-7, abs=1e-9)


@pytest.mark.property
@given(st.floats(0, 2), st.floats(-2, 3), spreads)
def test_a_table_mirrored_is_a_tilt_mirrored(off, y, spread):
    turned = spread._replace(
        angles=tuple(-angle for angle in reversed(spread.angles)),
        shares=tuple(reversed(spread.shares)),
    )
    one = lit_line(5, 0.5, 0, 1, 900, 25, spread)
    other = lit_line(5, 0.5, 0, 1, 900, -25, turned)
    found = lux_on_top(one, 5 + off, y)
    assert lux_on_top(other, 5 - off, y) == pytest.approx(found, rel=1e-7, abs=1e-7)


@pytest.mark.property
@given(st.floats(0.05, 1), places, st.floats(-180, 180), spreads)
def test_the_wall_is_the_worktop_turned_by_a_quarter(height, y, tilt, spread):
    # Seen along the wall, a worktop below a strip is a splashback before it turned by 90 degrees.
    one = lit_line(0.3, height, 0, 1, 900, tilt, spread)
    turned = spread._replace(
        angles=tuple(-angle for angle in reversed(spread.angles)),
        shares=tuple(reversed(spread.shares)),
    )
    other = lit_line(height, 0.3, 0, 1, 900, -90 - tilt, turned)
    for at in (0.0, 0.2, 0.5):
        assert lux_on_wall(other, y, at) == pytest.approx(
            lux_on_top(one, at, y), rel=1e-7, abs=1e-6
        )


@pytest.mark.property
@pytest.mark.parametrize(
    "spread", [LAMBERT, beam(40), round_beam(60), tabulated_light([-80, 5, 70], [0, 1, 0])]
)
def test_all_of_a_strip_that_shines_down_lands_below(spread):
    line = lit_line(2000, 0.45, 0, 1.3, 700, 0, spread)
    places, weights = np.polynomial.legendre.leggauss(120)
    angles = places * pi / 2
    # The tangents put an endless worktop into a square.
    total = sum(
        one * other * (pi / 2) ** 2 * 0.45**2 / (cos(a) * cos(b)) ** 2
        * lux_on_top(line, 2000 + 0.45 * np.tan(a), 0.65 + 0.45 * np.tan(b))
        for a, one in zip(angles, weights, strict=True)
        for b, other in zip(angles, weights, strict=True)
    )  # fmt: skip
    assert total == pytest.approx(700 * 1.3, rel=2e-3)


@pytest.mark.property
@given(lines)
def test_no_more_lands_on_worktop_and_wall_than_leaves(line):
    lumens = line.candela * line.distribution.spread * quad(
        lambda b: cos(b) ** (line.distribution.along + 1), -pi / 2, pi / 2
    )[0]  # fmt: skip
    if line.x < 0.01:
        line = line._replace(x=0.01)
    tops, walls = bends(line)
    landed = summed(endless_on_top, line, tops) + summed(endless_on_wall, line, walls)
    assert landed <= lumens * (1 + 1e-6) + 1e-9


def bends(line):
    """Give where on the worktop and on the wall light may jump or is greatest: its table's
    angles, square to where it faces, and straight on."""
    aim = atan2(line.aim_out, line.aim_down)
    angles = [aim + each for each in (0, -pi / 2, pi / 2, *line.distribution.angles)]
    return (
        [line.x + line.height * tan(psi) for psi in angles if cos(psi) > 0],
        [line.height, *(line.height + line.x / tan(psi) for psi in angles if sin(psi) < 0)],
    )


def summed(light, line, places):
    """Add up the light on 1.2 m, one bend to the next, less what the sum may be off."""
    edges = sorted({0.0, 1.2, *(place for place in places if 0 < place < 1.2)})
    total = 0.0
    for low, high in pairwise(edges):
        found, off, *_ = quad(lambda at: light(line, at), low, high, epsrel=1e-6, full_output=1)
        total += found - off
    return total


@pytest.mark.property
def test_a_strip_that_shines_down_lands_on_endless_worktop_and_wall():
    line = lit_line(0.05, 0.45, 0, 1, 640, 0, beam(100))
    top = quad(lambda x: endless_on_top(line, x), 0, inf, epsabs=1e-9)[0]
    wall = quad(lambda z: endless_on_wall(line, z), 0, 0.45, points=[0.4], epsabs=1e-9)[0]
    assert top + wall == pytest.approx(640, rel=1e-7)


@pytest.mark.property
def test_dark_where_no_light_can_come():
    for spread in (LAMBERT, all_round(), tabulated_light([-90, 90], [1, 1])):
        low, behind = (lit_line(0.3, height, 0, 1, 900, 0, spread) for height in (0.0, -0.2))
        assert lux_on_top(low, 0.2, 0.5) == lux_on_top(behind, 0.2, 0.5) == 0
        assert lux_on_wall(behind, 0.5, 0.2) == 0
        for x in (0.0, -0.1):
            assert lux_on_wall(lit_line(x, 0.4, 0, 1, 900, 0, spread), 0.5, 0.2) == 0
        through = lit_line(-0.1, 0.4, 0, 1, 900, 0, spread)
        assert lux_on_top(through, 0.2, 0.5) == 0
        line = lit_line(0.3, 0.4, 0, 1, 900, 0, spread)
        assert lux_on_top(line, -0.1, 0.5) == lux_on_wall(line, 0.5, -0.1) == 0
        unlit, short = lit_line(0.3, 0.4, 0, 1, 0, 0, spread), lit_line(0.3, 0.4, 1, 1, 900)
        for dark in (unlit, short):
            assert planes(dark, 0.2, 1.2, 0.1) == [0, 0]
    assert lux_on_top(lit_line(0.3, 0.4, 0, 1, 900, 120), 0.1, 0.5) == 0
    assert lux_on_wall(lit_line(0.3, 0.4, 0, 1, 900, 90), 0.5, 0.2) == 0


far = st.floats(-1e6, 1e6)


@pytest.mark.property
@given(far, far, far, far, st.floats(0, 1e9), st.floats(-1e4, 1e4), spreads, far, far, far)
def test_light_is_a_number_wherever_a_strip_is(x, h, start, end, lumens, tilt, spread, px, py, pz):
    line = lit_line(x, h, start, end, lumens, tilt, spread)
    assert all(isfinite(lux) and lux >= 0 for lux in planes(line, px, py, pz))


@pytest.mark.property
@pytest.mark.parametrize("spread", [LAMBERT, round_beam(50), tabulated_light([-90, 90], [1, 1])])
def test_a_point_that_is_no_number_is_refused(spread):
    line = lit_line(0.3, 0.45, 0, 2, 900, 5, spread)
    for one, other in ((nan, 1.0), (0.2, nan)):
        for light, point in ((lux_on_top, (one, other)), (lux_on_wall, (other, one))):
            with pytest.raises(ValueError, match="a finite number of metres"):
                light(line, *point)


@pytest.mark.property
@pytest.mark.parametrize(
    ("place", "value", "words"),
    [
        (4, -1, "lumens of a metre"), (4, nan, "lumens of a metre"), (4, inf, "lumens of a metre"),
        (0, nan, "no place"), (1, inf, "no place"), (2, -inf, "no place"), (3, 1e9, "no place"),
        (5, nan, "tilt"), (5, inf, "tilt"),
    ],
)  # fmt: skip
def test_a_strip_that_cannot_be_is_refused(place, value, words):
    terms = [0.28, 0.45, 0, 2, 1000, 0]
    terms[place] = value
    with pytest.raises(ValueError, match=words):
        lit_line(*terms)


@pytest.mark.property
def test_ends_may_be_given_in_either_order():
    assert lit_line(0.3, 0.45, 2, 0, 1000) == lit_line(0.3, 0.45, 0, 2, 1000)

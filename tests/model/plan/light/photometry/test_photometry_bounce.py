"""Light off splashback and worktop: exact patches, fine integration, radiosity."""

from itertools import pairwise
from math import hypot, inf, nan, pi
from random import Random

import numpy as np
import pytest
from endless import endless_means, endless_on_top, endless_on_wall
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import nquad, quad
from spreads import round_beam

from pelmet.model.plan.light.photometry.bounce import (
    glow_of_wall,
    off_top,
    off_wall,
    patches_of,
    splashback_at,
    to_and_fro,
)
from pelmet.model.plan.light.photometry.distribution import LAMBERT, beam
from pelmet.model.plan.light.photometry.glow import REACH, glow_of, lux_from
from pelmet.model.plan.light.photometry.line import (
    lit_line,
    lux_on_top,
    lux_on_wall,
)
from pelmet.model.plan.light.photometry.shade import lip_at, wall_lux


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(12))
def test_what_a_patch_gives_is_the_raw_law_over_its_face(seed):
    """Integrate M cos cos / (pi d²), M going straight from one side to the other."""
    draw = Random(seed)
    left, low = draw.uniform(-1, 1), draw.choice([0.0, draw.uniform(0.02, 0.4)])
    right, high = left + draw.uniform(0.05, 1), low + draw.uniform(0.02, 0.4)
    lux, reflectance = (draw.uniform(0, 900), draw.uniform(0, 900)), draw.uniform(0.1, 1)
    away, y = draw.uniform(0.03, 0.7), draw.uniform(-1.2, 1.2)

    def each(at, z):
        bright = lux[0] + (lux[1] - lux[0]) * (at - left) / (right - left)
        return bright * away * z / (away**2 + z**2 + (at - y) ** 2) ** 2 / pi

    raw = nquad(each, [[left, right], [low, high]], opts={"epsabs": 1e-9, "epsrel": 1e-9})[0]
    glow = glow_of((left, right), (low, high), [list(lux)], reflectance)
    assert lux_from(glow, away, y) == pytest.approx(reflectance * raw, rel=1e-6, abs=1e-9)


@pytest.mark.cross_check
def test_an_endless_even_wall_gives_half_the_difference_of_the_sines():
    # View factor of an element to an endless strip, by angles; followed for REACH each way.
    glow = glow_of((-50, 0, 50), (0, 0.2, 0.45), [[700] * 3, [300] * 3], 0.5)
    x = 0.3
    sines = [x / hypot(x, z) for z in (0, 0.2, 0.45)]
    law = 0.5 * (700 * (sines[0] - sines[1]) + 300 * (sines[1] - sines[2])) / 2
    assert lux_from(glow, x, 0) == pytest.approx(law, rel=1e-5)
    assert lux_from(glow, 0, 0) == pytest.approx(0.5 * 700 / 2, rel=1e-5)


@pytest.mark.cross_check
def test_a_long_worktop_and_splashback_light_each_other():
    # Worktop 0.6 m, splashback 0.45 m; linear equations and turns by hand: 1029.095573 and
    # 597.687117 lx from direct means of 924.500327 and 494.777560.
    strip = lit_line(0.30, 0.45, 0, 1, 1000)
    top = quad(lambda x: endless_on_top(strip, x), 0, 0.6, epsabs=0)[0] / 0.6
    wall = quad(lambda z: endless_on_wall(strip, z), 0, 0.45, epsabs=0)[0] / 0.45
    assert (top, wall) == pytest.approx((924.500327, 494.777560), abs=1e-6)
    both = endless_means((top, wall), 0.6, 0.45, 0.30, 0.70)
    assert both == pytest.approx((1029.095573, 597.687117), abs=1e-6)
    solved = np.linalg.solve([[1, -0.25 * 0.7], [-1 / 3 * 0.3, 1]], [top, wall])
    assert both == pytest.approx(tuple(solved), rel=1e-12)


def gauss(edges, count=5):
    places, weights = np.polynomial.legendre.leggauss(count)
    half = np.diff(edges) / 2
    middle = (np.array(edges[1:]) + np.array(edges[:-1])) / 2
    return (
        (middle[:, None] + half[:, None] * places).ravel(),
        (half[:, None] * weights).ravel(),
    )


class Fine:
    """A splashback lit by one strip, in cells of about 20 by 80 mm of 25 points each."""

    def __init__(self, strip, wall, lip=None):
        cuts = {wall.y_start, wall.y_end, strip.y_start, strip.y_end}
        inside = sorted(cut for cut in cuts if wall.y_start <= cut <= wall.y_end)
        edges = [
            edge
            for low, high in pairwise(inside)
            for edge in np.linspace(low, high, int((high - low) / 0.08) + 2)[:-1]
        ]
        self.ys, along = gauss([*edges, inside[-1]])
        self.zs, up = gauss(np.linspace(0, wall.height, 21))
        lux = [[wall_lux([strip], lip, y, z) for y in self.ys] for z in self.zs]
        self.flux = np.array(lux) * up[:, None] * along

    def top(self, x, y):
        z = self.zs[:, None]
        return float((self.flux * x * z / pi / (x**2 + z**2 + (self.ys - y) ** 2) ** 2).sum())


def drawn(draw, nearest):
    """Draw a strip, a splashback a little higher, and points from end to end."""
    x = draw.choice([nearest, draw.uniform(nearest, 0.5)])
    height, start, length = draw.uniform(0.3, 0.7), draw.uniform(0, 1), draw.uniform(0.3, 3)
    tilt = draw.choice([0.0, draw.uniform(-60, 60)])
    spread = draw.choice([LAMBERT, beam(60), beam(90), round_beam(60), beam(150)])
    strip = lit_line(x, height, start, start + length, 1000, tilt, spread)
    wall = splashback_at(0, start + length + draw.uniform(0, 1), height + 0.02)
    ys = (0, start / 2, start, start + length / 2, start + length, wall.y_end)
    return strip, wall, [(draw.uniform(0.01, 0.6), y) for y in ys for _ in range(3)]


@pytest.mark.cross_check
@pytest.mark.parametrize(("nearest", "off"), [(0.1, 0.02), (0.04, 0.04)])
def test_one_bounce_is_as_near_as_is_said(nearest, off):
    draw = Random(7)
    errors = []
    for _ in range(20):
        strip, wall, points = drawn(draw, nearest)
        fine, glow = Fine(strip, wall), off_wall([strip], None, wall, 0.8)
        for x, y in points:
            found, raw = lux_from(glow, x, y), 0.8 * fine.top(x, y)
            errors.append(abs(found / raw - 1))
            in_all = lux_on_top(strip, x, y) + raw
            assert found == pytest.approx(raw, abs=off * in_all)
    assert np.quantile(errors, 0.95) < 0.04


@pytest.mark.cross_check
def test_under_one_percent_of_bounced_light_comes_from_beyond_reach():
    # An even wall as high as most, and a worktop's front edge: half the difference of the sines.
    along = tuple(np.linspace(-200, 200, 4001))
    glow = glow_of(along, (0, 0.6), [[100.0] * len(along)], 1)
    endless = 50 * (1 - 0.6 / hypot(0.6, 0.6))
    assert endless * 0.99 < lux_from(glow, 0.6, 0) < endless
    assert REACH == 3


@pytest.mark.cross_check
@pytest.mark.parametrize(("lip", "off"), [(lip_at(0.34, 0.42), 0.02), (lip_at(0.2, 0.40), 0.1)])
def test_a_lip_shades_the_splashback_by_its_strip(lip, off):
    strip, wall = lit_line(0.28, 0.45, 0.3, 1.8, 1000), splashback_at(0, 2, 0.47)
    fine, glow = Fine(strip, wall, lip), off_wall([strip], lip, wall, 1)
    for x in (0.05, 0.2, 0.5):
        assert lux_from(glow, x, 1) == pytest.approx(fine.top(x, 1), rel=off)


def cells(deep, count, length, columns):
    """Give the middles (away, y) of equal cells, and the area of one."""
    away, y = (np.arange(count) + 0.5) * deep / count, (np.arange(columns) + 0.5) * length / columns
    grid = np.stack(np.meshgrid(away, y, indexing="ij"), -1).reshape(-1, 2)
    return grid, deep * length / count / columns


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("strip", "wall_share", "top_share"),
    [
        (lit_line(0.28, 0.45, 0.1, 1.3, 1000), 0.7, 0.3),
        (lit_line(0.10, 0.45, 0.1, 0.7, 1000, 30), 0.9, 0.8),
    ],
)
def test_to_and_fro_is_radiosity_in_small_cells(strip, wall_share, top_share):
    """Solve E = Ed + F rho E in cells of some 25 mm, each seen as a point: within 2 % itself."""
    wall = splashback_at(0, 1.4, 0.47)
    high, high_area = cells(wall.height, 19, 1.4, 56)
    deep, deep_area = cells(0.6, 24, 1.4, 56)
    square = high[:, None, 0] ** 2 + deep[None, :, 0] ** 2
    square = square + (high[:, None, 1] - deep[None, :, 1]) ** 2
    kernel = high[:, None, 0] * deep[None, :, 0] / (pi * square**2)
    on_wall = np.array([lux_on_wall(strip, y, z) for z, y in high])
    on_top = np.array([lux_on_top(strip, x, y) for x, y in deep])
    to_top, to_wall = kernel.T * high_area * wall_share, kernel * deep_area * top_share
    wall_all = np.linalg.solve(np.eye(len(high)) - to_wall @ to_top, on_wall + to_wall @ on_top)
    top_all = on_top + to_top @ wall_all

    once = off_wall([strip], None, wall, wall_share), off_top([strip], None, wall, 0.6, top_share)
    more = to_and_fro([strip], None, wall, 0.6, wall_share, top_share)
    for points, direct, lit, side in ((deep, on_top, top_all, 0), (high, on_wall, wall_all, 1)):
        for at in range(0, len(points), 37):
            away, y = points[at]
            if away < 0.1:
                continue  # the small cells are too coarse in the corner
            bounced = lux_from(once[side], away, y) + lux_from(more[side], away, y)
            assert bounced == pytest.approx(lit[at] - direct[at], rel=0.06 + 0.02)


@pytest.mark.cross_check
def test_in_the_middle_of_a_long_worktop_means_are_near_those_of_even_surfaces():
    strip, wall = lit_line(0.3, 0.45, -8, 8, 1000), splashback_at(-8, 8, 0.45)
    once, more = off_wall([strip], None, wall, 0.7), to_and_fro([strip], None, wall, 0.6, 0.7, 0.3)
    xs = [0.6 * (cell + 0.5) / 60 for cell in range(60)]
    lit = np.mean(
        [lux_on_top(strip, x, 0) + lux_from(once, x, 0) + lux_from(more[0], x, 0) for x in xs]
    )
    even, _ = endless_means((924.500327, 494.777560), 0.6, 0.45, 0.30, 0.70)
    assert lit == pytest.approx(even, rel=0.01)


strips = st.builds(
    lit_line,
    st.floats(0.04, 0.5),
    st.floats(0.2, 0.6),
    st.floats(0, 1),
    st.floats(1.1, 2),
    st.floats(100, 2000),
    st.floats(-80, 80),
)
WALL = splashback_at(0, 2, 0.5)


@pytest.mark.property
@given(strips, st.floats(0, 0.6), st.floats(-0.5, 2.5), st.floats(0, 1))
def test_bounced_light_goes_with_lumens_and_reflectance_and_is_never_below_0(strip, x, y, share):
    whole = lux_from(off_wall([strip], None, WALL, 1), x, y)
    assert whole >= 0
    part = lux_from(off_wall([strip], None, WALL, share), x, y)
    assert part == pytest.approx(share * whole, rel=1e-9, abs=1e-9)
    twice = strip._replace(candela=2 * strip.candela)
    assert lux_from(off_wall([twice], None, WALL, 1), x, y) == pytest.approx(2 * whole, abs=1e-9)
    two = off_wall([strip, strip], None, WALL, 1)
    assert lux_from(two, x, y) == pytest.approx(2 * whole, abs=1e-9)


@pytest.mark.property
@given(strips, st.floats(0.01, 0.6), st.floats(0, 2))
def test_bounced_light_mirrored_along_the_wall(strip, x, y):
    mirror = strip._replace(y_start=2 - strip.y_end, y_end=2 - strip.y_start)
    found = lux_from(off_wall([strip], None, WALL, 0.7), x, y)
    other = lux_from(off_wall([mirror], None, WALL, 0.7), x, 2 - y)
    assert other == pytest.approx(found, rel=1e-9, abs=1e-9)


@pytest.mark.property
@given(strips, st.floats(0.01, 0.6), st.floats(0, 9), st.floats(-20, 20))
def test_light_to_and_fro_mirrored_and_moved_along_a_wall_longer_than_it_reaches(strip, x, y, by):
    mirror = strip._replace(y_start=9 - strip.y_end + by, y_end=9 - strip.y_start + by)
    # Not to the last digit: rounding decides which patch is still within its reach.
    sides = zip(
        to_and_fro([strip], None, splashback_at(0, 9, 0.5), 0.6, 0.8, 0.6),
        to_and_fro([mirror], None, splashback_at(by, 9 + by, 0.5), 0.6, 0.8, 0.6),
        strict=True,
    )
    for glow, other in sides:
        found = lux_from(other, x, 9 - y + by)
        assert found == pytest.approx(lux_from(glow, x, y), rel=1e-3, abs=0.1)


@pytest.mark.property
@given(strips, strips, st.floats(0, 0.6), st.floats(0, 2), st.floats(0, 1), st.floats(0, 1))
def test_light_of_a_wall_is_that_of_its_strips_each_behind_its_lip(one, other, x, y, walls, tops):
    lit, patches = [(one, lip_at(0.3, 0.15)), (other, None)], patches_of(WALL, 0.6, tops)
    both = lux_from(glow_of_wall(lit, patches, walls, tops), x, y)
    each = [lux_from(glow_of_wall([own], patches, walls, tops), x, y) for own in lit]
    assert both == pytest.approx(sum(each), rel=0.01, abs=1e-6)  # each goes on till it has settled


@pytest.mark.property
@pytest.mark.parametrize("tilt", [-45, 0, 30])
def test_no_more_comes_off_the_wall_than_it_got(tilt):
    strip = lit_line(0.1, 0.45, 0.2, 1.6, 1000, tilt)
    got, glow = Fine(strip, WALL).flux.sum(), off_wall([strip], None, WALL, 0.7)
    xs, out = gauss(np.concatenate([np.linspace(0, 1, 9), [2, 4, 8, 16]]), 6)
    ys, along = gauss(np.linspace(-2.5, 4.5, 29), 4)
    landed = sum(
        one * other * lux_from(glow, x, y)
        for x, one in zip(xs, out, strict=True)
        for y, other in zip(ys, along, strict=True)
    )
    # Half of it goes up, away from the worktop, but for the wall's height above it.
    assert 0.3 * 0.7 * got < landed <= 0.5 * 0.7 * got


@pytest.mark.property
def test_surfaces_that_give_nothing_back_add_nothing():
    strip = lit_line(0.28, 0.45, 0, 2, 1000)
    for glow in (
        off_wall([strip], None, WALL, 0),
        off_top([strip], None, WALL, 0.6, 0),
        off_wall([], None, WALL, 0.7),
        to_and_fro([strip], None, WALL, 0.6, 0, 0.5)[0],
        to_and_fro([strip], None, WALL, 0.6, 0.5, 0)[1],
        to_and_fro([], None, WALL, 0.6, 0.7, 0.5)[1],
    ):
        assert lux_from(glow, 0.2, 1) == 0


@pytest.mark.property
@pytest.mark.parametrize("bad", [-0.1, 1.1, nan, inf])
def test_a_reflectance_that_cannot_be_is_refused(bad):
    for make in (
        lambda: off_wall([], None, WALL, bad),
        lambda: off_top([], None, WALL, 0.6, bad),
        lambda: to_and_fro([], None, WALL, 0.6, bad, 0.5),
        lambda: to_and_fro([], None, WALL, 0.6, 0.5, bad),
    ):
        with pytest.raises(ValueError, match="give a share from 0 to 1"):
            make()


@pytest.mark.property
def test_surfaces_without_size_are_refused():
    for ends in ((0, 0, 0.5), (1, 0, 0.5), (0, nan, 0.5), (0, inf, 0.5), (0, 1, 0), (0, 1, nan)):
        with pytest.raises(ValueError, match="is no surface"):
            splashback_at(*ends)
    for depth in (0, -1, nan, inf):
        for make in (
            lambda deep: off_top([], None, WALL, deep, 0.5),
            lambda deep: to_and_fro([], None, WALL, deep, 0.5, 0.5),
        ):
            with pytest.raises(ValueError, match="give its depth"):
                make(depth)

"""The door to light on worktop and splashback: sums, bounces, grids, refusals."""

import doctest
from math import inf, nan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from raw_light import UP, Strip

from pelmet.model.plan.light.photometry import illuminance as door
from pelmet.model.plan.light.photometry.bounce import (
    off_top,
    off_wall,
    splashback_at,
    to_and_fro,
)
from pelmet.model.plan.light.photometry.glow import lux_from
from pelmet.model.plan.light.photometry.grid import Grid, lay_grid, middles, summary
from pelmet.model.plan.light.photometry.illuminance import lux_at
from pelmet.model.plan.light.photometry.line import lit_line, lux_on_top, lux_on_wall
from pelmet.model.plan.light.photometry.shade import lip_at

BAR = lit_line(0.28, 0.45, 0, 2, 1000)
WALL = splashback_at(0, 2, 0.47)
FIVE_BY_SEVEN = Grid(middles(0.6, 5), middles(2.0, 7)).points
SPOTS = [(0.1, 0.3), (0.3, 1.0), (0.55, 1.9)]


@pytest.mark.property
def test_docstring_example_of_the_door():
    failed, tried = doctest.testmod(door)
    assert tried >= 8
    assert failed == 0


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("x", "tilt", "figures"),
    [
        (0.28, 0, (793.495637, 477.845258, 1073.439712, 0.602203, 0.445153)),
        (0.16, 0, (738.226075, 318.454833, 1073.439712, 0.431378, 0.296668)),
        (0.04, 0, (613.294273, 207.097771, 1073.439712, 0.337681, 0.192929)),
        (0.28, -60, (376.027987, 0.0, 713.64548, 0.0, 0.0)),
    ],
)
def test_average_and_evenness_of_a_worktop(x, tilt, figures):
    # 0.6 by 2.0 m in 5 by 7 cells; closed form and vector quadrature.
    strip = Strip(x=x, tilt=tilt)
    found = summary(lux_at(FIVE_BY_SEVEN, [strip.line]))
    assert found[:5] == pytest.approx(figures, abs=1e-6)
    raw = summary([strip.lux((*point, 0), UP) for point in FIVE_BY_SEVEN])
    assert found[:5] == pytest.approx(raw[:5], rel=1e-9, abs=1e-9)


@pytest.mark.cross_check
def test_lumens_found_for_a_target_reach_it():
    # By hand, as light goes with flux: 1000 lm/m * 500 lx / 793.495637 lx.
    line = lit_line(0.28, 0.45, 0, 2, 630.123187)
    assert summary(lux_at(FIVE_BY_SEVEN, [line])).average == pytest.approx(500, abs=1e-6)


@pytest.mark.property
def test_points_on_either_plane_are_lit_by_the_sum_of_the_strips():
    other = lit_line(0.1, 0.4, 1, 3, 700, 20)
    assert lux_at(SPOTS, [BAR, other]) == pytest.approx(
        [lux_on_top(BAR, *spot) + lux_on_top(other, *spot) for spot in SPOTS]
    )
    walls = [(1.0, 0.1), (0.2, 0.44)]
    assert lux_at(iter(walls), [BAR, other], "wall") == pytest.approx(
        [lux_on_wall(BAR, *spot) + lux_on_wall(other, *spot) for spot in walls]
    )
    assert lux_at([], [BAR]) == ()
    assert lux_at(SPOTS, []) == (0, 0, 0)


@pytest.mark.property
def test_without_bounce_reflectances_do_not_count():
    plain = lux_at(SPOTS, [BAR])
    assert lux_at(SPOTS, [BAR], reflectance_wall=0.7, reflectance_top=0.3) == plain
    assert lux_at(SPOTS, [BAR], wall=WALL, bounce=True) == plain


@pytest.mark.property
def test_bounces_are_those_of_the_other_surface():
    plain = lux_at(SPOTS, [BAR])
    once = lux_at(SPOTS, [BAR], wall=WALL, reflectance_wall=0.7, bounce=True)
    glow = off_wall([BAR], None, WALL, 0.7)
    added = [lux + lux_from(glow, *spot) for lux, spot in zip(plain, SPOTS, strict=True)]
    assert once == pytest.approx(added)
    more = lux_at(
        SPOTS, [BAR], wall=WALL, reflectance_wall=0.7, reflectance_top=0.3, top_depth=0.6,
        bounce=True,
    )  # fmt: skip
    assert all(a < b < c < 1.5 * a for a, b, c in zip(plain, once, more, strict=True))
    # On the splashback, given (y, z).
    spots = [(1.0, 0.1), (0.2, 0.44)]
    lit = lux_at(spots, [BAR], "wall", wall=WALL, reflectance_top=0.3, top_depth=0.6, bounce=True)
    glow = off_top([BAR], None, WALL, 0.6, 0.3)
    assert lit == pytest.approx([lux_on_wall(BAR, y, z) + lux_from(glow, z, y) for y, z in spots])
    both = lux_at(
        spots, [BAR], "wall", reflectance_wall=0.7, wall=WALL, reflectance_top=0.3, top_depth=0.6,
        bounce=True,
    )  # fmt: skip
    again = to_and_fro([BAR], None, WALL, 0.6, 0.7, 0.3)
    to_wall = [lux + lux_from(again[1], z, y) for lux, (y, z) in zip(lit, spots, strict=True)]
    assert both == pytest.approx(to_wall)
    to_top = [lux + lux_from(again[0], x, y) for lux, (x, y) in zip(once, SPOTS, strict=True)]
    assert more == pytest.approx(to_top)


@pytest.mark.property
def test_a_lip_counts_for_straight_and_for_bounced_light():
    # 40 mm behind the strip and 250 mm below it: all is dark up to 0.28 - 0.04 * 450 / 250.
    lip = lip_at(0.24, 0.20)
    terms = {"wall": WALL, "reflectance_wall": 0.7, "bounce": True}
    dark, lit = (0.2, 1.0), (0.22, 1.0)
    assert lux_at([dark, lit], [BAR], lip=lip) == (0, lux_on_top(BAR, *lit))
    assert lux_at([dark, lit], [BAR], lip=lip, **terms) == (0, lux_on_top(BAR, *lit))
    # Half as deep, it leaves the foot of the splashback lit.
    higher = lip_at(0.24, 0.39)
    bounced, whole = (
        lux_at([lit], [BAR], lip=each, **terms)[0] - lux_on_top(BAR, *lit)
        for each in (higher, None)
    )
    assert 0 < bounced < 0.5 * whole
    front = lip_at(0.32, 0.42)
    assert lux_at(SPOTS, [BAR], lip=front) == lux_at(SPOTS, [BAR])
    assert lux_at([(0.9, 1)], [BAR], lip=front) == (0,)
    assert lux_at([(1, 0.3)], [BAR], "wall", lip) == (0,)


@pytest.mark.property
@given(
    st.floats(0.05, 0.5), st.floats(-60, 60), st.floats(0, 0.9), st.floats(0, 0.9), st.booleans()
)
def test_bounced_light_never_darkens_and_stays_below_what_is_lit(x, tilt, off_walls, off_tops, lip):
    strip = lit_line(x, 0.45, 0.3, 1.6, 1000, tilt)
    terms = {"lip": lip_at(x + 0.05, 0.40) if lip else None}
    plain = lux_at(SPOTS, [strip], **terms)
    bounced = lux_at(
        SPOTS, [strip], wall=WALL, reflectance_wall=off_walls, reflectance_top=off_tops,
        top_depth=0.6, bounce=True, **terms,
    )  # fmt: skip
    assert all(one <= other for one, other in zip(plain, bounced, strict=True))
    # What a surface sees across a corner fills half of what it sees at most.
    ways = (0.3, 0.6, 0.95, 1.3, 1.6)
    on_wall = 1.1 * max(lux_at([(y, k / 200) for y in ways for k in range(95)], [strip], "wall"))
    on_top = 1.1 * max(lux_at([(k / 50, y) for y in ways for k in range(31)], [strip]))
    wall = (on_wall + off_tops / 2 * on_top) / (1 - off_walls * off_tops / 4)
    most = off_walls / 2 * wall
    assert max(b - a for a, b in zip(plain, bounced, strict=True)) <= most + 1e-9


@pytest.mark.property
@given(st.lists(st.floats(0.05, 0.55), min_size=1, max_size=4))
def test_a_grids_average_lies_between_its_least_and_most(xs):
    strips = [lit_line(x, 0.45, place, place + 0.6, 900) for place, x in enumerate(xs)]
    points = lay_grid(float(len(xs)), 0.6).points
    lux = lux_at(points, strips)
    found = summary(lux)
    assert found.least <= found.average <= found.most
    assert lux[found.least_at] == found.least
    assert lux_at([points[found.least_at]], strips)[0] == found.least


@pytest.mark.property
def test_what_the_door_cannot_do_it_says():
    with pytest.raises(ValueError, match="choose top or wall"):
        lux_at(SPOTS, [BAR], "ceiling")
    for point in ((nan, 1.0), (0.2, inf)):
        with pytest.raises(ValueError, match="is nowhere; give metres"):
            lux_at([point], [BAR])
    with pytest.raises(ValueError, match=r"give it as wall, by splashback_at\(\)"):
        lux_at(SPOTS, [BAR], reflectance_wall=0.7, bounce=True)
    for name in ("reflectance_wall", "reflectance_top"):
        for bad in (-0.1, 1.1, nan):
            terms = {"wall": WALL, "top_depth": 0.6, "bounce": True, name: bad}
            for plane in ("top", "wall"):
                with pytest.raises(ValueError, match="from 0 to 1"):
                    lux_at([(0.2, 0.2)], [BAR], plane, **terms)
    for plane in ("top", "wall"):
        with pytest.raises(ValueError, match="give its depth"):
            lux_at(
                [(0.2, 0.2)], [BAR], plane, wall=WALL, reflectance_wall=0.7, reflectance_top=0.3,
                bounce=True,
            )  # fmt: skip

"""Light by arrays against the closed forms of single points, and narrow beams against their lumens.

A wide plane below a strip catches all that it sends down, however narrow its beam is.
"""

from random import Random

import numpy as np
import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from raw_light import drawn_strip

from pelmet.model.plan.light.around import HERE
from pelmet.model.plan.light.lux import Frame, Lit, lux_on
from pelmet.model.plan.light.photometry.distribution import beam, tabulated_light
from pelmet.model.plan.light.photometry.grid import lay_grid
from pelmet.model.plan.light.photometry.line import lit_line
from pelmet.model.plan.light.photometry.shade import lip_at, top_lux
from pelmet.model.plan.light.photometry.straight import (
    beam_width,
    is_narrow,
    row_means,
)

FRAMES = (Frame(HERE, ()),)


def landed(line, depth: float, length: float, start: float) -> float:
    """Lumens that come to a plane, by the light of its cells."""
    cells = lay_grid(length, depth, start)
    lux, _ = lux_on((Lit(line, None, 0),), FRAMES, None, cells)
    return sum(lux) * length * depth / len(lux)


@pytest.mark.property
@examples(40)
@given(st.floats(1, 120), st.floats(0.1, 0.6), st.floats(0.3, 2))
def test_all_that_a_beam_sends_down_lands_on_a_wide_plane(degrees, height, length):
    line = lit_line(10, height, 9, 9 + length, 100, 0, beam(degrees))
    # A cosine along sends some far along, and a wide beam some far out: those are past the plane.
    assert landed(line, 20, 11.5, 4) == pytest.approx(100 * length, rel=0.06)
    wide, long_ = landed(line, 20, 11.5, 4), landed(line, 20, 11.5, 4.01)
    assert wide == pytest.approx(long_, rel=0.01)


@pytest.mark.regression
@pytest.mark.parametrize("degrees", [1, 2, 5, 10, 20, 30, 60, 120])
@pytest.mark.parametrize("tilt", [0, -20, 15])
def test_a_narrow_beam_loses_nothing_between_the_points_of_a_worktop(degrees, tilt):
    """Ten degrees at 280 mm came to 90 % of themselves, one degree to nothing."""
    line = lit_line(0.3, 0.28, 2.0, 3.0, 1000, tilt, beam(degrees))
    xs, ys = np.linspace(0, 0.6, 6001), np.linspace(0, 5, 201)
    xs, ys = (xs[1:] + xs[:-1]) / 2, (ys[1:] + ys[:-1]) / 2
    raw = _raw(line, xs, ys) * (0.6 / len(xs)) * (5 / len(ys))
    assert landed(line, 0.6, 5, 0) == pytest.approx(raw, rel=0.01)


def _raw(line, xs, ys) -> float:
    """Sum light over a fine grid: intensity by the cosine's power, by inverse square."""
    u, weights = np.polynomial.legendre.leggauss(24)
    half = (line.y_end - line.y_start) / 2
    out = xs - line.x
    distance = np.hypot(out, line.height)
    share = np.clip((out * line.aim_out + line.height * line.aim_down) / distance, 0, None)
    across = line.candela * share**line.distribution.across
    total = 0.0
    for place, weight in zip(line.y_start + half * (1 + u), half * weights, strict=True):
        square = distance[:, None] ** 2 + (ys - place) ** 2
        total += weight * (across[:, None] * distance[:, None] * line.height / square**2).sum()
    return float(total)


@pytest.mark.property
def test_points_by_arrays_are_those_one_by_one():
    draw = Random(7)
    for _ in range(60):
        strip = drawn_strip(draw)
        lip = lip_at(strip.x + 0.05, 0.9 * strip.height) if draw.random() < 0.5 else None
        cells = lay_grid(draw.uniform(0.3, 3), draw.uniform(0.3, 0.9))
        if is_narrow(strip.line, 2 * cells.xs[0]) or cells.ys[-1] - strip.start > 5:
            continue
        found, _ = lux_on((Lit(strip.line, lip, 0),), FRAMES, None, cells)
        for (x, y), lux in zip(cells.points, found, strict=True):
            assert lux == pytest.approx(top_lux([strip.line], lip, x, y), rel=1e-9, abs=1e-9)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("shares", "wide"),
    [
        ([0, 0, 1, 0, 0], 45),
        ([0, 1, 1, 1, 0], 135),
        ([1, 1, 1, 1, 1], 180),
        ([1, 0, 0, 0, 1], 22.5),
    ],
)
def test_a_table_is_as_wide_as_its_brightest_top(shares, wide):
    spread = tabulated_light([-90, -45, 0, 45, 90], shares)
    assert np.degrees(beam_width(spread)) == pytest.approx(wide)


@pytest.mark.parametrize("degrees", [1, 30, 120])
def test_a_beam_is_as_wide_as_it_is_called(degrees):
    assert np.degrees(beam_width(beam(degrees))) == pytest.approx(degrees)


@pytest.mark.cross_check
@pytest.mark.parametrize("lip", [None, lip_at(0.33, 0.2), lip_at(0.28, 0.25)])
def test_a_lip_cuts_a_narrow_beam_where_its_shadow_begins(lip):
    spread = tabulated_light([-20, -5, 0, 5, 20], [0, 1, 1, 1, 0])
    line = lit_line(0.3, 0.28, 0, 1, 1000, 0, spread)
    low, high = np.array([0.2, 0.5]), np.array([0.3, 0.6])
    rows = [(0.1, 0.3), (0.3, 0.36), (0.36, 0.5)]
    found = row_means(line, lip, rows, low, high)
    for (near, far), row in zip(rows, found, strict=True):
        for start, end, lux in zip(low, high, row, strict=True):
            xs = near + (far - near) * (np.arange(2000) + 0.5) / 2000
            ys = start + (end - start) * (np.arange(5) + 0.5) / 5
            law = np.mean([top_lux([line], lip, x, y) for x in xs for y in ys])
            assert lux == pytest.approx(law, rel=5e-3, abs=1e-6)

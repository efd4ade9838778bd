"""The calculation grid, and what its lux come to."""

from math import inf, log, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.plan.light.photometry.grid import (
    largest_cell,
    lay_grid,
    middles,
    odd_count,
    summary,
)

# EN 12464-1:2011, typical grids: length of an area [m], largest spacing [m], least number of
# points.
PRINTED = {
    0.4: (0.15, 3),
    0.6: (0.20, 3),
    1.0: (0.20, 5),
    2.0: (0.30, 6),
    5.0: (0.60, 8),
    10.0: (1.00, 10),
    25.0: (2.00, 12),
    50.0: (3.00, 17),
    100.0: (5.00, 20),
}


@pytest.mark.published
@pytest.mark.parametrize("length", PRINTED)
def test_cells_and_points_of_the_printed_table(length):
    spacing, points = PRINTED[length]
    found = largest_cell(length, length)
    # Printed are convenient numbers; the least two are rounded up to three points.
    assert found == pytest.approx(spacing, rel=0.11) if length >= 1 else found <= spacing
    assert odd_count(length, found) >= points


@pytest.mark.published
def test_the_spacing_is_the_standards_formula():
    # EN 12464-1:2011, 4.4: p = 0.2 * 5^log10(d); exact at powers of ten, as its table prints.
    assert [largest_cell(d, d) for d in (1, 10, 100)] == pytest.approx([0.2, 1.0, 5.0])


@pytest.mark.cross_check
@pytest.mark.parametrize("d", [0.4, 0.6, 2, 5, 25, 50])
def test_the_spacing_is_a_power_of_the_side(d):
    assert largest_cell(d, d) == pytest.approx(0.2 * d ** (log(5) / log(10)), rel=1e-12)


@pytest.mark.property
def test_the_shorter_side_decides_in_a_strip_twice_as_long_and_no_cell_is_over_10_m():
    assert largest_cell(2.0, 0.6) == largest_cell(0.6, 2.0) == largest_cell(0.6, 0.6)
    assert largest_cell(1.2, 0.6) == largest_cell(0.6, 0.6)
    assert largest_cell(1.19, 0.6) == largest_cell(1.19, 1.19)
    assert largest_cell(1e4, 9e3) == 10


@pytest.mark.property
def test_a_worktop_of_2_m_by_600_mm():
    found = lay_grid(2.0, 0.6)
    assert (len(found.xs), len(found.ys)) == (5, 15)
    assert found.xs == pytest.approx([0.06, 0.18, 0.30, 0.42, 0.54])
    assert (found.ys[0], found.ys[7], found.ys[-1]) == pytest.approx((1 / 15, 1, 29 / 15))
    assert found.points[:2] == ((found.xs[0], found.ys[0]), (found.xs[0], found.ys[1]))
    assert lay_grid(2.0, 0.6, 1.5).ys == pytest.approx([1.5 + y for y in found.ys])


@pytest.mark.property
@given(st.floats(0.05, 200), st.floats(0.05, 200))
def test_cells_are_nearly_square_odd_and_no_larger_than_may_be(width, depth):
    found = lay_grid(width, depth)
    most = largest_cell(width, depth)
    across, along = depth / len(found.xs), width / len(found.ys)
    assert len(found.xs) % 2 == len(found.ys) % 2 == 1
    assert max(across, along) <= most * (1 + 1e-6)
    assert 1 / 3 <= across / along <= 3
    if min(width, depth) >= 0.3:
        assert 0.5 <= across / along <= 2
    assert len(found.points) == len(set(found.points)) == len(found.xs) * len(found.ys)


@pytest.mark.property
def test_a_whole_number_of_cells_is_not_one_more():
    assert odd_count(1.0, 0.2) == 5
    assert odd_count(0.6, 0.2) == 3
    assert odd_count(0.61, 0.2) == 5
    assert odd_count(0.1, 0.2) == 1


@pytest.mark.cross_check
@given(st.lists(st.floats(0, 1e5), min_size=1, max_size=50))
def test_a_summary_is_numpys(lux):
    found = summary(lux)
    assert found.average == pytest.approx(np.mean(lux))
    assert (found.least, found.most) == (np.min(lux), np.max(lux))
    assert found.least_at == np.argmin(lux)
    assert found.least <= found.average * (1 + 1e-12)
    assert found.average <= found.most * (1 + 1e-12)
    assert 0 <= found.diversity <= found.overall * (1 + 1e-12) <= 1 + 1e-9
    if found.most > 1e-300:
        assert found.overall == pytest.approx(np.min(lux) / np.mean(lux))
        assert found.diversity == pytest.approx(np.min(lux) / np.max(lux))


@pytest.mark.property
def test_a_dark_worktop_is_not_even():
    assert summary([0, 0]) == (0, 0, 0, 0, 0, 0)
    with pytest.raises(ValueError, match="no points"):
        summary([])


@pytest.mark.property
@pytest.mark.parametrize("side", [0, -1, nan, inf])
def test_an_area_without_a_side_is_refused(side):
    for sides in ((side, 0.6), (0.6, side)):
        with pytest.raises(ValueError, match="is no area"):
            lay_grid(*sides)


@pytest.mark.property
def test_middles_of_cells():
    assert middles(0.6, 3) == pytest.approx((0.1, 0.3, 0.5))

"""The curve of light across the depth: its means, its marks and its size."""

from decimal import Decimal

import numpy as np
import pytest
from drawn import check_form, picture
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job
from test_light_map import example, light_of

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.drawings.charts.depth_curve import (
    LEAST_HEIGHT,
    LEAST_WIDTH,
    across_depth,
    draw_depth_curve,
)


@pytest.mark.cross_check
@pytest.mark.parametrize("run", ["R1", "R2", "R3", "R4"])
def test_means_are_those_of_the_rows_of_the_grid(run):
    """NumPy's mean over the second axis of the plan's cells."""
    light = light_of(example(), run)
    table = np.array(light.lux).reshape(len(light.cells.xs), len(light.cells.ys))
    outs, means = zip(*across_depth(light), strict=True)
    assert outs == light.cells.xs
    assert means == pytest.approx(table.mean(axis=1))


@pytest.mark.cross_check
@pytest.mark.parametrize("wanted", [200, 300, 700])
def test_stars_and_the_target_measure_right_off_the_chart(wanted):
    """Read back by the scale: from 0 on the last row to the top, from the wall to the front."""
    plan = example()
    light = light_of(plan, "R1")
    width, height = 61, 30
    rows = draw_depth_curve(light, Decimal(wanted), plan.job.site, width, height).rows
    floor = next(at for at, row in enumerate(rows) if row.lstrip().startswith("wall")) - 1
    top = max(wanted, *(lux for _, lux in across_depth(light)))
    margin = len(f"{top:.0f}") + 1
    stars = sorted(
        (column, row)
        for row in range(floor + 1)
        for column, char in enumerate(rows[row])
        if char == "*"
    )
    expected = across_depth(light)
    assert len(stars) == len(expected)
    for (column, row), (out, lux) in zip(stars, expected, strict=True):
        assert (column - margin) / (width - margin - 1) * 0.6 == pytest.approx(out, abs=0.006)
        assert (floor - row) / floor * top == pytest.approx(lux, abs=top / floor / 2 + 1e-6)
    dashes = [row for row in range(floor + 1) if rows[row].count("-") > width // 3]
    assert len(dashes) == 1
    assert (floor - dashes[0]) / floor * top == pytest.approx(wanted, abs=top / floor / 2 + 1e-6)
    assert rows[dashes[0]].startswith(str(wanted))


def test_its_ends_and_marks_are_named():
    plan = example()
    text = picture(draw_depth_curve(light_of(plan, "R1"), Decimal(300), plan.job.site, 50, 12))
    assert "front 600 mm" in text
    assert "- 300 lx wanted" in text


@pytest.mark.property
@QUICK
@given(any_job(), st.integers(1, 90), st.integers(0, 30), st.integers(0, 3000))
def test_any_curve_fits(job: Job, width: int, height: int, wanted: int):
    plan = plan_job(job)
    for light in plan.lights:
        drawing = draw_depth_curve(light, Decimal(wanted), plan.job.site, width, height)
        check_form(drawing, width, height)
        assert bool(drawing.rows) == (width >= LEAST_WIDTH and height >= LEAST_HEIGHT)

"""The map of a worktop's light: its numbers are the plan's, its marks say all, and it fits."""

import re
from decimal import Decimal
from fractions import Fraction
from math import ceil

import pytest
from drawn import check_form, picture
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.drawings.charts.light_map import coarse_map, draw_light_map, map_width
from pelmet.model.told.drawings.drawing import Drawing

WANTED = Decimal(300)
CELL = re.compile(r"(<?)(\d+)(-?)(>?)")


def example() -> Plan:
    return plan_job(read_example("kitchen"))


def light_of(plan: Plan, run: str) -> RunLight:
    return next(light for light in plan.lights if light.run == run)


def body(drawing: Drawing) -> list[list[tuple[str, str, str, str]]]:
    """Read the cells back by row, without the place out from the wall before them."""
    first = next(at for at, row in enumerate(drawing.rows) if " wall " in row) + 1
    last = next(at for at, row in enumerate(drawing.rows) if " front edge " in row)
    return [CELL.findall(row[4:]) for row in drawing.rows[first:last]]


@pytest.mark.cross_check
@pytest.mark.parametrize("run", ["R1", "R2", "R3", "R4"])
def test_an_unmerged_map_holds_every_cell_of_the_plan_back_to_front(run):
    """The plan's cells go row by row from the wall, so the first row below the wall is the back."""
    plan = example()
    light = light_of(plan, run)
    drawing = draw_light_map(light, WANTED, plan.job.site, 78)
    shown = [int(number) for row in body(drawing) for _, number, _, _ in row]
    assert shown == [int(f"{lux:.0f}") for lux in light.lux]
    assert len(body(drawing)) == len(light.cells.xs)
    marked = [
        at for at, cell in enumerate(c for row in body(drawing) for c in row) if cell[0] == "<"
    ]
    assert marked == [light.lux.index(min(light.lux))]
    under = [cell[2] == "-" for row in body(drawing) for cell in row]
    assert under == [lux < float(WANTED) for lux in light.lux]


@pytest.mark.parametrize("run", ["R1", "R3"])
def test_places_are_those_of_the_cells(run):
    plan = example()
    light = light_of(plan, run)
    rows = draw_light_map(light, WANTED, plan.job.site, 78).rows
    assert [int(text) for text in rows[0].split()[1:]] == [round(y * 1000) for y in light.cells.ys]
    assert rows[0].split()[0] == "mm"
    outs = [int(row.split()[0].split("<")[0]) for row in rows[2 : 2 + len(light.cells.xs)]]
    assert outs == [round(x * 1000) for x in light.cells.xs]


@pytest.mark.property
@QUICK
@given(any_job(), st.integers(1, 12), st.integers(1, 12))
def test_merged_cells_come_to_the_mean_and_keep_the_least_lit(job: Job, rows: int, columns: int):
    for light in plan_job(job).lights:
        found = coarse_map(light, rows, columns)
        assert len(found.rows) == min(rows, len(light.cells.xs)) == len(found.outs)
        across, along = len(light.cells.xs), len(light.cells.ys)
        weights = [_sizes(across, len(found.rows)), _sizes(along, len(found.alongs))]
        total = sum(
            cell.lux * weights[0][row] * weights[1][column]
            for row, cells in enumerate(found.rows)
            for column, cell in enumerate(cells)
        )
        assert total / (across * along) == pytest.approx(float(light.average.value))
        assert sum(cell.holds_least for cells in found.rows for cell in cells) == 1
        holding = next(c for cells in found.rows for c in cells if c.holds_least)
        assert holding.lux >= min(light.lux) - 1e-9
        assert list(found.outs) == sorted(found.outs)


def _sizes(count: int, groups: int) -> list[int]:
    """Give how many cells each group takes: a cell is of the group that its middle lies in.

    One whose middle lies between two is of the first.
    """
    sizes = [0] * groups
    for at in range(count):
        sizes[ceil(Fraction((2 * at + 1) * groups, 2 * count)) - 1] += 1
    return sizes


def test_merged_means_by_hand():
    """R1 is 5 out by 11 along; one row of one cell is the mean of all, two rows of all columns."""
    light = light_of(example(), "R1")
    assert coarse_map(light, 1, 1).rows[0][0].lux == pytest.approx(sum(light.lux) / 55)
    found = coarse_map(light, 2, 11)
    columns = [light.lux[at::11] for at in range(11)]
    halves = [[sum(own[:3]) / 3 for own in columns], [sum(own[3:]) / 2 for own in columns]]
    assert [[cell.lux for cell in row] for row in found.rows] == [
        pytest.approx(half) for half in halves
    ]


@pytest.mark.parametrize(("width", "height"), [(36, None), (78, 8), (50, 8)])
def test_a_merged_map_says_so(width, height):
    plan = example()
    drawing = draw_light_map(light_of(plan, "R1"), WANTED, plan.job.site, width, height)
    assert "mean of up to" in picture(drawing)
    assert "holds the least-lit, 210 lx" in picture(drawing)
    assert "mean of up to" not in picture(
        draw_light_map(light_of(plan, "R1"), WANTED, plan.job.site, 78)
    )


def test_the_key_says_what_is_under_the_target_or_that_nothing_is():
    plan = example()
    light, site = light_of(plan, "R1"), plan.job.site
    assert "- under 300 lx" in picture(draw_light_map(light, WANTED, site, 78))
    bright = picture(draw_light_map(light, Decimal(100), site, 78))
    assert "none under 100 lx" in bright
    assert not re.search(r"\d-", bright)


def test_no_room_for_a_cell_leaves_words():
    plan = example()
    said = " ".join(draw_light_map(light_of(plan, "R1"), WANTED, plan.job.site, 9).rows)
    assert said.startswith("R1: least 210 lx, front,")


def test_in_inches_places_are_whole_inches():
    plan = example()
    site = plan.job.site.model_copy(update={"length_unit": "in"})
    first = draw_light_map(light_of(plan, "R1"), WANTED, site, 78).rows[0]
    assert first.split()[:2] == ["in", "3"]  # 64.8 mm


@pytest.mark.property
@QUICK
@given(any_job(), st.integers(1, 90), st.none() | st.integers(0, 20), st.integers(0, 2000))
def test_any_map_fits(job: Job, width: int, height: int | None, wanted: int):
    plan = plan_job(job)
    for light in plan.lights:
        drawing = draw_light_map(light, Decimal(wanted), plan.job.site, width, height)
        check_form(drawing, width, height)
        whole = draw_light_map(light, Decimal(wanted), plan.job.site, 2000)
        assert max(len(row) for row in whole.rows[:-1]) <= map_width(light, plan.job.site)

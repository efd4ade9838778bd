"""Bars in tables and words: what is cut, what stays dark, where wires go, in the job's unit."""

from itertools import pairwise

import pytest
from hypothesis import given
from jobs import QUICK, any_job, one_bar, part, row
from papers import table, words
from strategies import jobs

from pelmet.model.examples import EXAMPLES, read_example
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.blocks.bars import bar_blocks, bench_blocks


def bar(job: Job) -> tuple[str, ...]:
    """Give the row of the job's first bar."""
    return next(iter(table(bar_blocks(plan_job(job)), "bars").values()))


def bench(job: Job) -> tuple[str, ...]:
    return next(iter(table(bench_blocks(plan_job(job)), "bench").values()))


def notes(job: Job) -> str:
    return words(bar_blocks(plan_job(job)))


def test_the_bars_table_holds_the_worked_example():
    # 883 - 2 x 2 - 2 x 2 = 875; 17 units of 50; 10 mm of start zone and 12 mm of rest at the left.
    assert bar(one_bar()) == ("A1", "883", "875", "17", "850", "25", "22, 3", "")
    assert bench(one_bar()) == ("square", "square", "left end")


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_bar_has_the_figures_of_the_plan(name):
    plan = plan_job(read_example(name))
    rows = table(bar_blocks(plan), "bars")
    assert list(rows) == [one.id for one in plan.bars]
    for one in plan.bars:
        under, opening, length, units, lit, dark, sides, assumed = rows[one.id]
        assert under.split() == list(one.opening.cabinets)
        figures = (one.opening.clear, one.length, one.units, one.lit, one.dark)
        shown = [float(cell.lstrip("~")) for cell in (opening, length, units, lit, dark)]
        assert shown == pytest.approx([float(each.value) for each in figures], abs=0.006)
        ends = [float(cell.lstrip("~")) for cell in sides.split(", ")]
        assert sum(ends) == pytest.approx(shown[-1], abs=0.012)
        assert (assumed == "assumed") is one.length.assumed
    for band in (band for fit in plan.fits for band in fit.bands):
        assert f"dark from {band.left_bar} to {band.right_bar}" in words(bar_blocks(plan))


def test_dark_between_bars_is_told_one_by_one_and_in_all():
    told = notes(row(600, 600, 600))
    assert told.count(" dark from R1.") == 2
    assert "R1: " in told
    assert "dark between its bars in all" in told
    assert "in all" not in notes(row(600, 600))


def test_a_run_without_a_bar_is_not_passed_over():
    assert "R1: no bar, a part" in notes(one_bar(R1={"strip": "nothing"}))
    assert "R1: no bar under A1, it is too short" in notes(one_bar(A1={"opening": [40]}))
    assert notes(Job()) == "There is no run yet."


def test_a_mitred_bar_tells_the_saws_setting_and_both_its_edges():
    second = {"id": "B1", "wall": "B", "at": 0, "width": 900, "depth": 320, "bottom_height": 1400}
    job = one_bar(
        A={"length": 1383},
        A1={"opening": ()},
        R1={"cabinets": ["A1", "B1"], "corner": "mitre"},
        add={"walls": [{"id": "B", "room": "K", "length": 3000}], "cabinets": [second]},
    )
    assert bench(job)[:2] == ("square", "45 deg")
    # The lines are 271.5 out: a bar from 504 to where they cross, 1383 - 271.5; half a face of
    # 17 more or less at 45 degrees.
    told = words(bench_blocks(plan_job(job)))
    assert (
        "R1.1 is mitred: left end square, right end 45 deg from square; wall edge 616 mm, room "
        "edge 599 mm; its diffuser is as long as told at its wall edge." in told
    )


def test_an_upright_bar_is_told_from_below():
    job = one_bar(A1={"kind": "upright", "opening": (), "width": 40, "height": 883})
    assert bench(job)[2] == "lower end"
    assert bar(job)[6] == "22, 3 (lower, upper)"


def test_lengths_are_told_in_the_unit_of_the_job():
    job = one_bar(A1={"width": 889, "opening": [889]}, R1={"strip": "mine"},
                  parts={"strips": [part("strips", "mine", cut_unit="1 in")]})  # fmt: skip
    inches = Job.model_validate(job.model_dump(by_alias=True) | {"job": {"length_unit": "in"}})
    assert bar(inches)[1:5] == ("35", "34 5/8", "34", "34")  # 881 mm, 34.685 in: down


@pytest.mark.property
@QUICK
@given(any_job() | jobs())
def test_every_bar_of_any_job_is_in_both_tables(job):
    plan = plan_job(job)
    ids = [one.id for one in plan.bars]
    assert list(table(bar_blocks(plan), "bars")) == ids
    assert list(table(bench_blocks(plan), "bench")) == ids


def test_what_stays_dark_between_three_bars_or_more_is_told_in_all():
    job = row(600, 600, 600)
    dark = [right.lit_left - left.lit_right for left, right in pairwise(plan_job(job).bars)]
    assert len(dark) == 2
    assert f"R1: {sum(dark)} mm dark between its bars in all" in notes(job)
    for other in (row(600, 600), row(600)):
        assert "between its bars in all" not in notes(other)

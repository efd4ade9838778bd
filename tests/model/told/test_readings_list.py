"""The list of expected readings as a person reads it."""

import re

import pytest
from hypothesis import given
from jobs import QUICK, any_job, many_bars, one_bar, part, row

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.readings_list import HEAD, reading_rows, readings_list
from pelmet.model.told.words import WIDTH


def cells(line: str) -> list[str]:
    return re.split(r"  +", line)


def test_a_row_has_what_is_expected_and_what_is_right_cold_and_hot():
    plan = plan_job(read_example("kitchen"))
    readings = {reading.point: reading for reading in plan.readings()}
    lines = {cells(line)[0]: line for line in readings_list(plan)}
    for point in ("L1.1", "R1.1 left", "L1 amps"):
        reading = readings[point]
        numbers = [f"{float(band.expected.value):.2f}" for band in (reading.cold, reading.hot)]
        bands = [
            f"{float(band.least.value):.2f}..{float(band.most.value):.2f}"
            for band in (reading.cold, reading.hot)
        ]
        assert cells(lines[point]) == [
            point, reading.unit, numbers[0], bands[0], numbers[1], bands[1], reading.where,
        ]  # fmt: skip


def test_the_list_begins_with_the_supply_alone_and_ends_with_how_to_measure():
    lines = readings_list(plan_job(one_bar()))
    assert cells(lines[0]) == [each for each in HEAD if each]
    assert lines[1].startswith("S1 unloaded")
    text = " ".join(" ".join(lines).split())
    assert "only the unloaded supply has its legs off" in text
    assert "On a PWM dimmer a meter reads about duty x volts" in text
    assert "Hot: after half an hour at full." in text


def test_rows_can_be_laid_out_with_columns_of_ones_own():
    rows = reading_rows(plan_job(one_bar()))
    assert [row.reading.point for row in rows] == [row.cells[0] for row in rows]
    assert all(len(row.cells) == len(HEAD) for row in rows)


@pytest.mark.cross_check
@pytest.mark.parametrize(("unit", "millimetres"), [("mm", 1), ("in", 25.4), ("m", 1000)])
def test_the_lowest_point_of_a_bar_is_told_in_the_unit_of_the_job(unit, millimetres):
    """An inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""
    strip = part("strips", "mine", watts_per_metre=20)
    job = row(2760, R1={"strip": "mine", "feed_end": "both"}, A1={"opening": [2730]},
              parts={"strips": [strip]})  # fmt: skip
    plan = with_unit(job, unit)
    (reading,) = (one for one in plan.readings() if one.along)
    (words,) = (one.cells[-1] for one in reading_rows(plan) if one.reading.along)
    told = re.fullmatch(
        rf"where it is lowest, ~?([\d.]+)(?: (\d+)/(\d+))? {unit} from the left end of its strip",
        words,
    )
    assert told
    whole, over, under = told.groups(default="1")
    value = float(whole) + (float(over) / float(under) if told[2] else 0)
    assert value * millimetres == pytest.approx(reading.along, abs=1.5)


def with_unit(job: Job, unit: str):
    site = job.site.model_copy(update={"length_unit": unit})
    return plan_job(job.model_copy(update={"site": site}))


def test_a_leg_that_cannot_be_worked_out_is_named():
    lines = readings_list(plan_job(one_bar(R1={"strip": "white-12-10"})))
    assert lines[-1] == "L1: no readings, its volts cannot be worked out"
    assert readings_list(plan_job(Job())) == ("no reading to expect yet",)


@pytest.mark.property
@QUICK
@given(any_job())
def test_of_any_job_the_list_fits_the_page(job):
    lines = readings_list(plan_job(job))
    assert all(len(line) <= WIDTH and line.isascii() for line in lines)
    assert lines


def test_the_list_of_a_large_job_has_a_line_a_point():
    plan = plan_job(many_bars())
    lines = readings_list(plan)
    points = [reading.point for reading in plan.readings()]
    assert [line for line in lines if line.startswith(tuple(f"{point}  " for point in points))]
    for point in points:
        assert sum(cells(line)[0] == point for line in lines) == 1

"""The test record against the readings that are worked out; rooms to write in stay empty."""

import re

import pytest
from hypothesis import given
from jobs import QUICK, any_job, many_bars, one_bar, part
from jobs import row as cabinets
from papers import cautions, grid, paper, said, table

from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.examples import read_example
from pelmet.model.job.feeds import Zone
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.papers.proof_record import reading_blocks

KITCHEN = read_example("kitchen")


def bounds(cell: str) -> tuple[float, float]:
    middle, off = map(float, cell.split(" +-"))
    return middle - off, middle + off


@pytest.mark.cross_check
@pytest.mark.parametrize("name", ["kitchen", "kitchen-with-pantry"])
def test_bands_are_those_that_are_worked_out(name):
    job = read_example(name)
    live = grid(paper(job, "test-record"), "point")
    readings = plan_job(job).readings()
    assert [row[:2] for row in live.rows] == [(each.point, each.unit) for each in readings]
    for row, each in zip(live.rows, readings, strict=True):
        for cell, band in ((row[2], each.cold), (row[4], each.hot)):
            expected = (float(band.least.value), float(band.most.value))
            assert bounds(cell) == pytest.approx(expected, abs=0.0101)
        assert row[3] == row[5] == ""


def test_a_supply_is_measured_before_what_hangs_on_it():
    points = [row[0] for row in grid(paper(KITCHEN, "test-record"), "point").rows]
    assert points[:2] == ["S1 unloaded", "S1 loaded"]
    for leg in ("L1", "L2", "L3"):
        assert points.index(f"{leg}.1") < points.index(f"{leg} amps")


def test_small_amps_get_a_digit_more_so_that_their_band_is_one():
    job = one_bar(parts={"strips": [part("strips", "faint", watts_per_metre=1)]},
                  R1={"strip": "faint"})  # fmt: skip
    (row,) = [each for each in grid(paper(job, "test-record"), "point").rows if each[1] == "A"]
    middle, off = row[2].split(" +-")
    assert len(middle.partition(".")[2]) == len(off.partition(".")[2]) == 3
    assert float(off) == pytest.approx(float(middle) / 10, abs=0.0006)
    volts = [each[2] for each in grid(paper(job, "test-record"), "point").rows if each[1] == "V"]
    assert all(len(cell.partition(" ")[0].partition(".")[2]) == 2 for cell in volts)


def test_dead_tests_are_of_every_leg_then_of_every_supply():
    rows = grid(paper(KITCHEN, "test-record"), "before it is switched on").rows
    for leg in KITCHEN.legs:
        found = [row[1] for row in rows if row[0].startswith(f"{leg.id}: ")]
        assert found == ["no short", "open", "right"]
    assert rows[-1][0].startswith("S1: mains side tested by a licensed person")
    assert all(row[2] == "" for row in rows)


def test_only_what_is_dimmed_or_switched_is_swept_or_tried():
    plain = said(paper(one_bar(), "test-record"))
    assert "dimmed up and down" not in plain
    assert "only its own light" not in plain
    assert "S1: case" in plain
    dimmed = set_value(one_bar(), "leg", "L1", "dimmer", "dimmer-5")
    assert "dimmer-5 of S1: dimmed up and down" in said(paper(dimmed, "test-record"))
    zoned = rebuilt(dimmed, zones=(Zone(id="zone1", name="<Top>", switch="wall-switch"),))
    zoned = set_value(zoned, "leg", "L1", "zone", "zone1")
    words = said(paper(zoned, "test-record"))
    assert "<Top> by wall-switch | only its own light" in words
    assert "dimmer-5 of zone1" in words


def test_a_reading_behind_what_nobody_measured_is_assumed():
    for job, assumed in ((one_bar(), False), (one_bar(A1={"assumed": ["opening"]}), True)):
        rows = grid(paper(job, "test-record"), "point").rows
        (amps,) = [row for row in rows if row[1] == "A"]
        assert amps[-1].endswith("; assumed") is assumed
        assert not rows[0][-1].endswith("assumed")  # a supply by itself


def test_a_leg_without_readings_is_told_beside_those_with():
    job = one_bar(add={"legs": [{"id": "L2", "supply": "S1", "cable": "flat-2x0.75"}]})
    assert "L2: no readings" in said(paper(job, "test-record"))
    assert "no readings" not in said(paper(one_bar(), "test-record"))


def test_without_a_reading_there_is_nothing_to_test_and_no_caution():
    for job in (Job(), one_bar(S1={"part": "nobody-sells-it"})):
        assert said(paper(job, "test-record")).startswith("There is no reading to expect yet")
        assert cautions(paper(job, "test-record")) == ""
    assert "isolated and locked off" in cautions(paper(one_bar(), "test-record"))


# --- Without room to write: as on the plan sheet --------------------------------------------------


@pytest.mark.parametrize("job", [KITCHEN, many_bars()])
def test_the_readings_alone_have_the_bands_of_the_record(job):
    plan = plan_job(job)
    alone = table(reading_blocks(plan), "readings")
    record = table(reading_blocks(plan, room=True), "test-record")
    assert list(alone) == list(record) == [reading.point for reading in plan.readings()]
    for own, (unit, cold, hot, where) in alone.items():
        assert record[own] == (unit, cold, "", hot, "", where)


@pytest.mark.cross_check
@pytest.mark.parametrize(("unit", "millimetres"), [("mm", 1), ("in", 25.4), ("m", 1000)])
def test_the_lowest_point_of_a_bar_is_told_in_the_unit_of_the_job(unit, millimetres):
    """An inch is 25.4 mm exactly (international yard and pound agreement, 1959)."""
    strip = part("strips", "mine", watts_per_metre=20)
    job = cabinets(2760, R1={"strip": "mine", "feed_end": "both"}, A1={"opening": [2730]},
              parts={"strips": [strip]})  # fmt: skip
    plan = with_unit(job, unit)
    (reading,) = (one for one in plan.readings() if one.along)
    (words,) = (
        row[-1] for row in table(reading_blocks(plan), "readings").values() if "lowest" in row[-1]
    )
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


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_has_every_reading_once(job):
    plan = plan_job(job)
    assert list(table(reading_blocks(plan), "readings")) == [each.point for each in plan.readings()]

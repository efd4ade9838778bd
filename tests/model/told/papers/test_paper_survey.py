"""The survey sheet against the job itself: every reading, what is assumed, what is to measure."""

import pytest
from hypothesis import given
from jobs import QUICK, any_job, obstacle, one_bar, row
from papers import grid, paper, said

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.measure.lengths import parse_length
from pelmet.model.told.paper import Blanks, Heading, Paper

KITCHEN = read_example("kitchen")


def to_measure(found: Paper) -> tuple[str, ...]:
    """What stands right below the heading of what is still to measure, as lines to write on."""
    at = found.blocks.index(Heading("Still to measure")) + 1
    lines = found.blocks[at]
    return lines.labels if isinstance(lines, Blanks) else ()


@pytest.mark.cross_check
@pytest.mark.parametrize("unit", ["mm", "cm", "in"])
def test_every_reading_reads_back_as_it_was_taken(unit):
    job = one_bar(A1={"opening": ["882.65", "889", "882.65"], "lip": "12.7", "at": "508"})
    job = Job.model_validate(
        {**job.model_dump(by_alias=True), "job": {"length_unit": unit, "inch_parts": 32}}
    )
    found = paper(job, "survey")
    (opening,) = grid(found, "cabinet").rows
    read = [parse_length(cell, unit) for cell in opening[1:6]]
    (cabinet,) = job.cabinets
    assert read == [*cabinet.opening, min(cabinet.opening), cabinet.lip]
    (place,) = grid(found, "cabinet", 1).rows
    sizes = [parse_length(cell.lstrip("~"), unit) for cell in place[3:7]]
    assert sizes[0] == cabinet.at
    assert [float(each) for each in sizes[1:]] == pytest.approx(
        [float(each) for each in (cabinet.width, cabinet.depth, cabinet.bottom_height)],
        abs=0.41 if unit == "in" else 0,  # half of 1/32 inch
    )


def test_all_things_stand_once_walls_left_to_right_with_room_for_a_photo():
    found = paper(KITCHEN, "survey")
    for head, things in (
        ("room", KITCHEN.rooms),
        ("wall", KITCHEN.walls),
        ("cabinet", KITCHEN.cabinets),
        ("obstacle", KITCHEN.obstacles),
    ):
        table = grid(found, head)
        assert [each[0] for each in table.rows] == [thing.id for thing in things]
        assert table.head[-1] == "photo"
        assert {each[-1] for each in table.rows} == {""}
    crossings = {each[0]: each[5] for each in grid(found, "obstacle").rows}
    assert crossings == {each.id: each.crossing for each in KITCHEN.obstacles}


def test_what_is_still_to_measure_comes_first_each_with_a_line_and_who_does_it():
    job = one_bar(
        A1={"assumed": ["opening", "lip"], "measured_by": "Dana, Tuesday"},
        A={"assumed": ["length"]},
        add={"obstacles": [obstacle("O1", 100, 40, assumed=["at"])]},
    )
    found = paper(job, "survey")
    assert set(to_measure(found)) == {
        "A, length", "A1, opening (Dana, Tuesday)", "A1, lip (Dana, Tuesday)", "O1, at",
    }  # fmt: skip
    headings = [block.text for block in found.blocks if isinstance(block, Heading)]
    assert headings[0] == "Still to measure"
    assert grid(found, "wall").rows[0][2] == "3000?"
    assert grid(found, "cabinet").rows[0][4:6] == ("883?", "20?")
    assert grid(found, "obstacle").rows[0][3] == "100?"


def test_an_opening_that_nobody_read_is_to_measure_though_it_is_not_marked():
    assert to_measure(paper(row(600, 600), "survey")) == ("A1, opening", "A2, opening")
    assert to_measure(paper(one_bar(), "survey")) == ()
    assert grid(paper(row(600), "survey"), "cabinet").rows[0][1:5] == ("-", "-", "-", "-")


def test_an_opening_read_less_than_three_times_is_told():
    assert "less than three times (front, middle, back): A1." in said(paper(one_bar(), "survey"))
    thrice = one_bar(A1={"opening": [883, 884, 883]})
    assert "less than three" not in said(paper(thrice, "survey"))


def test_site_figures_and_what_was_taken_for_granted():
    words = said(paper(one_bar(K={"worktop_height": 905}), "survey"))
    assert "Region eu, lengths in mm" in words
    assert grid(paper(one_bar(K={"worktop_height": 905}), "survey"), "room").rows[0][2] == "905"
    assert "Height 720 mm (A1)" in words
    assert "Saw kerf" not in words  # an allowance of the bench is no reading


def test_names_and_notes_stand_as_they_were_typed():
    nasty = "=1+1|<b>`$x$` שלום"
    found = said(paper(one_bar(A1={"note": nasty}, K={"name": nasty}), "survey"))
    assert f"A1: {nasty}" in found
    assert f"K | {nasty} |" in found


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_mark_of_an_assumed_field_has_a_line_to_write_on(job):
    lines = to_measure(paper(job, "survey"))
    things = (*job.rooms, *job.walls, *job.cabinets, *job.obstacles)
    marked = {f"{each.id}, {name.replace('_', ' ')}" for each in things for name in each.assumed}
    unread = {f"{each.id}, opening" for each in job.cabinets if not each.opening}
    assert {line.partition(" (")[0] for line in lines} == marked | unread
    assert len(lines) == len(set(lines))

"""Walls seen from inside: stored pictures, what holds for every job, and every mark."""

from itertools import pairwise

import pytest
from drawn import check_form, floor_of, left_of, picture, spans_of, words
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from more_rooms import island, wardrobe
from rooms import (
    SHAPES,
    any_job,
    cabinets,
    example,
    obstacle,
    plan_of,
    room,
    run,
    said,
)
from strategies import jobs

from pelmet.model.job.job import Job
from pelmet.model.told.drawings.elevation.view import elevation, elevations
from pelmet.model.told.drawings.plan.marks import OBSTACLES

DRAWN = {name: SHAPES[name] for name in ("galley", "L", "U", "blunt corner", "two levels")} | {
    "island": island,
    "wardrobe": wardrobe,
}
LONGEST = 32  # columns: an id of 24 letters with all its marks


# --- Pictures ---------------------------------------------------------------------------------


@pytest.mark.snapshot
@pytest.mark.parametrize("width", [60, 78])
@pytest.mark.parametrize("shape", DRAWN)
def test_walls_are_drawn_as_stored(shape, width, snapshot):
    assert picture(elevations(plan_of(DRAWN[shape]()), width)) == snapshot


@pytest.mark.snapshot
@pytest.mark.parametrize("focus", ["A2", "R2", "O1", "S1", "B", "kitchen", "L3", "H4", "L2.1"])
def test_the_wall_of_the_focus_is_drawn_with_its_mark(focus, snapshot):
    assert picture(elevations(plan_of(example()), 70, 22, focus)) == snapshot


@pytest.mark.snapshot
def test_lengths_are_printed_in_the_unit_of_the_job(snapshot):
    walls = room("Kitchen", ("A", "130 5/8 in"))
    hung = cabinets("A", 305, 762, 762, bottom_height=1371.6)
    job = said(walls, unit="in", cabinet=hung, run=[run("R1", "A1", "A2")])
    assert picture(elevations(plan_of(job), 70)) == snapshot


# --- Every job --------------------------------------------------------------------------------


def check_all(job: Job, width: int, height: int | None, data: st.DataObject) -> None:
    done = plan_of(job)
    ids = [thing.id for table in ("rooms", "walls", "cabinets", "runs", "legs", "supplies")
           for thing in getattr(job, table)]  # fmt: skip
    ids += [hole.id for hole in done.holes] + [cable.id for cable in done.routes.cables]
    focus = data.draw(st.none() | st.sampled_from([*ids, "nothing"]))
    drawing = elevations(done, width, height, focus)
    check_form(drawing, width, height)
    assert drawing == elevations(done, width, height, focus)
    for wall in job.walls[:3]:
        check_form(elevation(done, wall.id, width, height, focus), width, height)


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(any_job(), st.integers(1, 120), st.none() | st.integers(0, 50), st.data())
def test_any_room_is_drawn_within_its_width_and_height(job, width, height, data):
    check_all(job, width, height, data)


@pytest.mark.property
@settings(deadline=None, max_examples=40)
@given(jobs(), st.integers(1, 120), st.none() | st.integers(0, 50), st.data())
def test_any_job_is_drawn_within_its_width_and_height(job, width, height, data):
    check_all(job, width, height, data)


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(any_job(), st.integers(LONGEST, 120))
def test_no_id_on_a_wall_is_lost_at_any_width(job, width):
    done = plan_of(job)
    for wall in job.walls:
        drawing = elevation(done, wall.id, width)
        things = [each for each in (*job.cabinets, *job.obstacles) if each.wall == wall.id]
        holes = [hole for hole in done.holes if hole.wall == wall.id]
        for thing in (wall, *things, *holes):
            assert any(thing.id in text for text in words(drawing, thing.id)), thing.id


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(any_job(), st.integers(LONGEST, 120))
def test_every_wall_with_anything_on_it_is_drawn_and_no_other(job, width):
    assume(job.walls)
    done = plan_of(job)
    drawing = elevations(done, width)
    used = {each.wall for each in (*job.cabinets, *job.obstacles)}
    crossed = any(cable.places for cable in done.routes.cables)
    for wall in job.walls:
        titled = f"Wall {wall.id}," in words(drawing, wall.id, "label")
        assert titled if wall.id in used else (crossed or not titled)


# --- Marks ------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", OBSTACLES)
def test_each_kind_of_obstacle_has_its_mark_and_only_then_its_line_in_the_key(kind):
    walls = room("Kitchen", ("A", 3000), ("B", 1500))
    mark = OBSTACLES[kind].char
    job = said(walls, obstacle=[obstacle("O1", "A", kind, 900, 700)])
    drawing = elevations(plan_of(job), 60)
    assert any(mark in text for text in words(drawing, "O1", "obstacle"))
    assert any("O1" in text for text in words(drawing, "O1", "label"))
    assert f"{mark} {kind}" in picture(drawing)
    bare = said(walls, cabinet=cabinets("A", 0, 600))
    assert f"{mark} {kind}" not in picture(elevations(plan_of(bare), 60))


def test_the_free_end_of_a_wall_has_no_wall_and_a_corner_has():
    def sides(shape: str, wall: str) -> tuple[bool, bool]:
        drawing = elevation(plan_of(SHAPES[shape]()), wall, 78)
        floor, left = floor_of(drawing, wall), left_of(drawing, wall)
        right = max(s.end for s in spans_of(drawing, wall) if s.row == floor) - 1
        row = drawing.rows[floor - 1].ljust(right + 1)
        return row[left] == "#", row[right] == "#"

    assert sides("galley", "A") == (False, True)
    assert sides("galley", "B") == (True, True)
    assert sides("galley", "C") == (True, False)
    assert sides("outside corner", "C") == (False, False)
    assert sides("outside corner", "B") == (True, False)


def test_a_closed_room_has_a_corner_before_its_first_wall_too():
    walls = room("K", ("A", 3000), ("B", 2000), ("C", 3000), ("D", 2000))
    drawing = elevation(plan_of(said(walls)), "A", 70)
    row = drawing.rows[floor_of(drawing, "A") - 1]
    assert row.strip().startswith("#")
    assert row.endswith("#")
    assert row.count("#") == 2


def test_a_cable_in_the_wall_has_its_own_mark_and_is_not_drawn_across_a_window():
    drawing = elevation(plan_of(example()), "A", 78)
    assert '" cable in the wall' in picture(drawing)
    (window,) = spans_of(drawing, "O3", "label")
    outline = spans_of(drawing, "O3", "obstacle")
    left, right = min(s.start for s in outline), max(s.end for s in outline)
    rows = range(min(s.row for s in outline), max(s.row for s in outline) + 1)
    glass = [s for s in drawing.spans if s.row in rows and left < s.start < right - 1]
    assert {s.about for s in glass} <= {"O3", "H6", "H7"}
    assert window.row in rows


def test_a_pipe_and_a_hole_cannot_be_taken_for_each_other():
    job = example()
    pipe = obstacle("P1", "A", "pipe", 4100, 60)
    job = Job.model_validate(
        job.model_dump(by_alias=True, exclude_unset=True)
        | {"obstacle": [*(each.model_dump(exclude_unset=True) for each in job.obstacles), pipe]}
    )
    drawing = elevation(plan_of(job), "A", 78)
    assert not any("o" in text for text in words(drawing, "P1", "obstacle"))
    assert "o hole" in picture(drawing)
    assert "% pipe" in picture(drawing)


def test_shelves_that_are_thinner_than_a_row_are_one_thick_line():
    drawing = elevation(plan_of(wardrobe()), "A", 78)
    for name in ("T1", "T2", "T3"):
        shelf = spans_of(drawing, name, "cabinet")
        assert len({s.row for s in shelf}) == 1
        assert set("".join(words(drawing, name, "cabinet"))) <= set("+=")


def test_two_runs_under_one_cabinet_are_both_drawn():
    hung = cabinets("A", 300, 900)
    runs = [run("R1", "A1"), run("R2", "A1", line="back")]
    done = plan_of(said(room("K", ("A", 1500)), cabinet=hung, run=runs))
    drawing = elevation(done, "A", 78)
    rows = [{s.row for s in spans_of(drawing, name, "run")} for name in ("R1", "R2")]
    assert all(len(row) == 1 for row in rows)
    assert rows[0] != rows[1]


@pytest.mark.parametrize(
    ("focus", "mark"),
    [("A2", ">A2<"), ("R3", ">R3<"), ("O3", ">O3?<"), ("S1", ">[S1]<"), ("B", ">B<"),
     ("kitchen", ">Kitchen<"), ("H5", ">H5<"), ("L2.1", ">L2.1<")],
)  # fmt: skip
@pytest.mark.parametrize("width", [50, 78, 100])
def test_the_focus_stands_in_marks_and_nothing_else_does(focus, mark, width):
    drawing = elevations(plan_of(example()), width, 40, focus)
    assert picture(drawing).count(mark) == 1
    assert picture(drawing).count("<") == 1
    assert {s.about for s in drawing.spans if s.role == "focus"} == {focus}


def test_every_run_and_cable_of_a_leg_in_focus_is_marked():
    text = picture(elevations(plan_of(example()), 78, 40, "L3"))
    assert text.startswith("Wall B")
    assert all(mark in text for mark in (">R3<", ">R4<", ">L3.2<"))


def test_what_nobody_measured_has_its_mark_beside_the_wall():
    drawing = elevation(plan_of(example()), "B", 100)
    assert "2550?" in picture(drawing)
    assert "? not measured" in picture(drawing)
    assert "2550?" not in picture(elevation(plan_of(example()), "A", 100))


# --- Which walls ------------------------------------------------------------------------------


def test_walls_come_in_the_order_of_their_rooms_each_with_a_title():
    drawing = elevations(plan_of(SHAPES["pantry"]()), 78)
    titles = [row for row in drawing.rows if row.startswith("Wall ")]
    assert titles == ["Wall A, Kitchen", "Wall P, Pantry", "Wall Q, Pantry"]
    rows = [drawing.rows.index(title) for title in titles]
    assert all(not drawing.rows[row - 1] for row in rows[1:])
    assert all(row < following for row, following in pairwise(rows))


def test_with_a_height_the_others_are_named_below():
    drawing = elevations(plan_of(SHAPES["pantry"]()), 78, 24, "Q1")
    assert drawing.rows[0] == "Wall Q, Pantry"
    assert drawing.rows[-1] == "Also:  A  P"
    assert elevations(plan_of(SHAPES["pantry"]()), 78, 24).rows[0] == "Wall A, Kitchen"


def test_what_there_is_to_say_without_a_wall():
    assert elevations(plan_of(said()), 60).rows == ("Nothing measured yet: add a room",)
    bare = plan_of(said(room("K", ("A", 3000))))
    assert elevations(bare, 60).rows == ("Nothing on any wall yet: add a cabinet",)
    assert elevation(bare, "Z", 60).rows == ("There is no wall Z",)
    assert "A 3000" in picture(elevation(bare, "A", 60))


def test_the_most_cabinets_that_a_wall_may_have_are_drawn():
    hung = cabinets("A", 0, *[50] * 1000)
    job = said(room("Shed", ("A", 50_000)), cabinet=hung)
    for height in (None, 25):
        drawing = elevations(plan_of(job), 78, height)
        check_form(drawing, 78, height)
        assert "No room for:" in picture(drawing)


def test_a_frame_of_ten_cabinets(benchmark):
    done = plan_of(SHAPES["galley"]())
    assert benchmark(elevations, done, 70, 25, "A2").rows

"""The plan drawing: stored pictures, what holds for every job, and the scale read off the text."""

import re
from math import hypot

import pytest
from drawn import check_form
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from rooms import (
    NAMES,
    SHAPES,
    any_job,
    cabinets,
    example,
    faults,
    obstacle,
    plan_of,
    room,
    run,
    said,
    three_rooms,
    two_levels,
    with_pantry,
)

from pelmet.model.job.job import Job
from pelmet.model.told.drawings.drawing import Drawing
from pelmet.model.told.drawings.plan.marks import OBSTACLES
from pelmet.model.told.drawings.plan.view import plan_view

WIDE_ENOUGH = 32  # columns: the longest id, 24 letters, with all its marks


def picture(drawing: Drawing) -> str:
    return "\n".join(drawing.rows)


def words(drawing: Drawing, about: str) -> list[str]:
    """Give what is written or drawn about one thing."""
    return [drawing.rows[s.row][s.start : s.end] for s in drawing.spans if s.about == about]


def mm_a_column(drawing: Drawing) -> float:
    """Read the scale off the drawing: the length beside the bar, over its columns."""
    bar = re.search(r"\|(-*)\| (\d+) mm", picture(drawing))
    assert bar
    return int(bar[2]) / (len(bar[1]) + 1)


# --- Pictures ---------------------------------------------------------------------------------


@pytest.mark.snapshot
@pytest.mark.parametrize("width", [60, 78])
@pytest.mark.parametrize("shape", SHAPES)
def test_a_room_is_drawn_as_stored(shape, width, snapshot):
    assert picture(plan_view(plan_of(SHAPES[shape]()), width)) == snapshot


@pytest.mark.snapshot
@pytest.mark.parametrize("focus", ["A2", "R2", "O1", "S1", "B", "kitchen", "L3"])
def test_the_focus_is_marked_in_the_text_itself(focus, snapshot):
    assert picture(plan_view(plan_of(example()), 70, 25, focus)) == snapshot


@pytest.mark.snapshot
@pytest.mark.parametrize(("width", "height"), [(40, 20), (70, 25), (100, 40)])
def test_a_height_chooses_the_scale_and_the_rooms(width, height, snapshot):
    drawing = plan_view(plan_of(with_pantry()), width, height, "Q1")
    assert picture(drawing) == snapshot


@pytest.mark.snapshot
def test_lengths_are_printed_in_the_unit_of_the_job(snapshot):
    walls = room("Kitchen", ("A", "130 5/8 in"), ("B", "80 in"))
    job = said(walls, unit="in", cabinet=cabinets("A", 300, 762, 762))
    assert picture(plan_view(plan_of(job), 60)) == snapshot


# --- Every job --------------------------------------------------------------------------------


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(any_job(), st.integers(1, 120), st.none() | st.integers(0, 50), st.data())
def test_any_job_is_drawn_within_its_width_and_height(job: Job, width, height, data):
    ids = [thing.id for table in ("rooms", "walls", "cabinets", "runs") for thing in
           getattr(job, table)]  # fmt: skip
    focus = data.draw(st.none() | st.sampled_from([*ids, "nothing"]))
    done = plan_of(job)
    drawing = plan_view(done, width, height, focus)
    check_form(drawing, width)
    assert height is None or len(drawing.rows) <= height
    assert drawing == plan_view(done, width, height, focus)


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(any_job(), st.integers(WIDE_ENOUGH, 120))
def test_no_id_is_lost_at_any_width(job: Job, width):
    assume(job.rooms)
    drawing = plan_view(plan_of(job), width)
    for thing in (*job.walls, *job.cabinets, *job.obstacles, *job.supplies, *job.runs):
        assert any(thing.id in text for text in words(drawing, thing.id)), thing.id


@pytest.mark.property
@settings(deadline=None)
@given(
    st.lists(st.sampled_from([150, 200, 300, 450, 600, 900]), min_size=1, max_size=14),
    st.integers(40, 100),
)
def test_an_id_stands_in_its_outline_wherever_it_fits(widths, columns):
    hung = cabinets("A", 100, *widths)
    job = said(room("Kitchen", ("A", sum(widths) + 200)), cabinet=hung)
    drawing = plan_view(plan_of(job), columns)
    for cabinet in job.cabinets:
        outline = [s for s in drawing.spans if s.about == cabinet.id and s.role == "cabinet"]
        label = next(s for s in drawing.spans if s.about == cabinet.id and s.role == "label")
        if not outline:
            continue  # narrower than a cell, and its neighbour's side stands there
        # The side it shares with its right-hand neighbour is the neighbour's.
        first = min(span.start for span in outline)
        front = max(span.row for span in outline)
        last = len(re.match(r"\+-*", drawing.rows[front][first:])[0]) + first
        if last - first - 1 >= len(cabinet.id):
            assert first < label.start < label.end <= last
            assert label.row < front


@pytest.mark.property
@given(NAMES)
def test_a_hostile_name_is_drawn_as_plain_text(name):
    rooms = room("", ("A", 2000))
    rooms["room"][0]["name"] = name
    drawing = plan_view(plan_of(said(rooms)), 200)
    check_form(drawing, 200)
    shown = "".join(char if " " <= char <= "~" else "?" for char in name).strip()
    assert drawing.rows[0] == (shown or "K")


# --- To scale ---------------------------------------------------------------------------------


@pytest.mark.cross_check
@given(st.integers(900, 9000), st.integers(900, 9000), st.integers(500, 9000), st.integers(40, 110))
def test_square_rooms_measure_right_off_the_paper(across, down, back, width):
    job = said(room("Kitchen", ("A", across), ("B", down), ("C", min(back, across))))
    drawing = plan_view(plan_of(job), width)
    mm = mm_a_column(drawing)
    below = next(row for row, text in enumerate(drawing.rows) if "walls in" in text)
    walls = [text for text in drawing.rows[:below] if "#" in text]
    for drawn, length in ((walls[0], across), (walls[-1], min(back, across))):
        assert abs((drawn.count("#") - 1) * mm - length) <= mm
    assert abs((len(walls) - 1) * 2 * mm - down) <= 2 * mm


@pytest.mark.cross_check
@given(st.integers(900, 4000), st.integers(700, 4000), st.integers(600, 3000),
       st.integers(40, 110))  # fmt: skip
def test_a_blunt_corner_measures_right_between_its_corner_marks(first, slanting, last, width):
    job = said(room("Kitchen", ("A", first, 135), ("B", slanting, 135), ("C", last)))
    drawing = plan_view(plan_of(job), width)
    mm = mm_a_column(drawing)
    marks = [
        (row, column)
        for row, text in enumerate(drawing.rows[:-1])
        for column, char in enumerate(text)
        if char == "#" and "walls in" not in text
    ]
    top = min(row for row, _ in marks)
    start = (top, max(column for row, column in marks if row == top))
    end = min(mark for mark in marks if mark[0] > top)
    measured = hypot(2 * mm * (end[0] - start[0]), mm * (end[1] - start[1]))
    assert abs(measured - slanting) <= 2 * mm, "more than the height of a cell"


@pytest.mark.cross_check
@given(st.integers(300, 1200), st.integers(200, 600), st.integers(60, 110))
def test_a_cabinet_measures_right_off_the_paper(wide, deep, width):
    hung = cabinets("A", 600, wide, depth=deep)
    drawing = plan_view(plan_of(said(room("K", ("A", 2400), ("B", 1500)), cabinet=hung)), width)
    mm = mm_a_column(drawing)
    front = next(row for row in drawing.rows if "+-" in row)
    assert abs((front.rindex("+") - front.index("+")) * mm - wide) <= mm
    rows = drawing.rows.index(front) - next(i for i, row in enumerate(drawing.rows) if "##" in row)
    assert rows == 2 or abs(rows * 2 * mm - deep) <= 2 * mm, "two rows are the least"


@pytest.mark.cross_check
@given(st.integers(0, 400), st.integers(0, 400), st.integers(60, 110))
def test_dark_ends_measure_right_off_the_paper(start, end, width):
    job = said(
        room("K", ("A", 2400)),
        cabinet=cabinets("A", 0, 2400),
        run=[run("R1", "A1", feed_end="right", dark_rest="far end")],
    )
    zones = job.allowances.model_copy(update={"start_zone": start, "end_zone": end})
    done = plan_of(job.model_copy(update={"allowances": zones}))
    (bar,) = done.bars
    drawing = plan_view(done, width)
    mm = mm_a_column(drawing)
    line = next(row for row in drawing.rows if "@" in row)
    cells = re.search(r"[.*@ R1]*@", line[1:])[0]  # its last cell is fed, lit or dark
    before = re.match(r"\.*", cells)[0]
    after = re.search(r"\.*@$", cells)[0]
    assert abs(len(before) * mm - float(bar.lit_left - bar.left)) <= mm
    assert abs(len(after) * mm - float(bar.right - bar.lit_right)) <= mm


# --- Marks ------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", OBSTACLES)
def test_each_kind_of_obstacle_has_its_mark_and_only_then_its_line_in_the_key(kind):
    walls = room("Kitchen", ("A", 3000), ("B", 1500))
    mark = OBSTACLES[kind].char
    drawing = plan_view(plan_of(said(walls, obstacle=[obstacle("O1", "A", kind, 900, 700)])), 60)
    assert any(mark in text for text in words(drawing, "O1"))
    assert any("O1" in text for text in words(drawing, "O1"))
    assert f"{mark} {kind}" in picture(drawing)
    assert f"{mark} {kind}" not in picture(plan_view(plan_of(said(walls)), 60))


def test_no_two_kinds_of_obstacle_share_a_mark():
    marks = [mark.char for mark in OBSTACLES.values()]
    assert len({*marks, *"#*.@!:|+-"}) == len(marks) + len("#*.@!:|+-")


@pytest.mark.parametrize(
    ("focus", "mark"),
    [
        ("A2", ">A2<"),
        ("R3", ">R3<"),
        ("O3", ">O3<"),
        ("S1", ">[S1]<"),
        ("B", ">B<"),
        ("kitchen", ">Kitchen<"),
        ("L2", ">R2<"),
    ],
)
@pytest.mark.parametrize("width", [40, 60, 100])
def test_the_focus_stands_in_marks_and_nothing_else_does(focus, mark, width):
    drawing = plan_view(plan_of(example()), width, None, focus)
    assert picture(drawing).count(mark) == 1
    assert picture(drawing).count("<") == 1
    assert [s.role for s in drawing.spans if s.role == "focus"] == ["focus"] * (
        2 if focus == "B" else 1
    )


def test_every_run_of_a_leg_in_focus_is_marked():
    text = picture(plan_view(plan_of(example()), 78, None, "L3"))
    assert ">R3<" in text
    assert ">R4<" in text


def test_what_does_not_fit_is_marked_as_a_fault():
    drawing = plan_view(plan_of(faults()), 60)
    spans = [span for span in drawing.spans if span.role == "fault"]
    assert {span.about for span in spans} == {"A3", "A4", "O1"}
    assert "! does not fit" in picture(drawing)
    assert "A4!" in picture(drawing)


def test_a_cabinet_above_another_is_in_brackets():
    drawing = plan_view(plan_of(two_levels()), 60)
    assert any("(T1)" in text for text in words(drawing, "T1"))
    assert any("A2" in text for text in words(drawing, "A2"))
    assert "higher up" in picture(drawing)


def test_lit_and_fed_cells_are_about_their_run():
    drawing = plan_view(plan_of(example()), 78)
    roles = {(span.role, span.about) for span in drawing.spans}
    assert {("run", f"R{n}") for n in (1, 2, 3, 4)} <= roles
    assert {("feed", f"R{n}") for n in (1, 2, 3, 4)} <= roles


def test_a_wall_that_nobody_measured_says_so():
    walls = room("Kitchen", ("A", 3000))
    assert "measured" not in picture(plan_view(plan_of(said(walls)), 60))
    walls["wall"][0]["assumed"] = ["length"]
    text = picture(plan_view(plan_of(said(walls)), 60))
    assert "A 3000?" in text
    assert "? not measured" in text


# --- Rooms ------------------------------------------------------------------------------------


def test_an_empty_job_says_what_to_do():
    assert plan_view(plan_of(said()), 60).rows == ("Nothing measured yet: add a room",)


def test_a_room_without_walls_says_what_to_do():
    assert plan_view(plan_of(said(room("Larder"))), 60).rows[:2] == (
        "Larder",
        "no walls yet: add a wall",
    )


def test_rooms_share_one_scale_where_both_can_be_read():
    assert picture(plan_view(plan_of(with_pantry()), 78)).count("|--") == 1


def test_a_room_too_small_for_the_shared_scale_has_its_own():
    hall, larder = room("Hall", ("A", 30_000)), room("Larder", ("P", 900), ("Q", 900), item_id="L")
    drawing = plan_view(plan_of(said(hall, larder)), 60)
    bars = re.findall(r"\|-*\| \d+ mm", picture(drawing))
    assert len(bars) == 2
    assert {span.about for span in drawing.spans if span.role == "scale"} == {"K", "L"}


def test_only_the_room_of_the_focus_is_drawn_where_not_all_fit():
    drawing = plan_view(plan_of(three_rooms()), 70, 25, "B2x3")
    text = picture(drawing)
    assert drawing.rows[0] == "Room 2"
    assert ">B2x3<" in text
    assert "Also:  Room 1  Room 3" in text
    assert words(drawing, "K3") == ["Room 3"]
    assert plan_view(plan_of(three_rooms()), 70, 25).rows[0] == "Room 1"


def test_a_supply_elsewhere_is_named_below():
    assert words(plan_view(plan_of(with_pantry()), 78), "S2") == ["[S2] elsewhere"]


# --- Too much ---------------------------------------------------------------------------------


def test_ids_without_room_are_listed_below():
    job = said(room("Shed", ("A", 50_000)), cabinet=cabinets("A", 0, *[50] * 200))
    drawing = plan_view(plan_of(job), 60)
    for cabinet in job.cabinets:
        assert any(cabinet.id in text for text in words(drawing, cabinet.id))
    assert "No room for:" in picture(drawing)
    low = plan_view(plan_of(job), 60, 20)
    assert len(low.rows) <= 20
    assert re.search(r"and \d+ more", picture(low))


@pytest.mark.parametrize("height", [None, 25])
def test_the_most_walls_and_cabinets_that_a_job_may_have_are_drawn(height):
    walls = [(f"W{n}", 50_000, 170 if n % 3 else 200) for n in range(200)]
    hung = [one for n in range(100) for one in cabinets(f"W{n}", n, *[600] * 10, name=f"W{n}c")]
    drawing = plan_view(plan_of(said(room("Maze", *walls), cabinet=hung)), 70, height)
    check_form(drawing, 70)
    assert any(span.role == "wall" for span in drawing.spans)


def test_a_frame_of_thirty_cabinets_in_three_rooms(benchmark):
    done = plan_of(three_rooms())
    assert benchmark(plan_view, done, 70, 25).rows

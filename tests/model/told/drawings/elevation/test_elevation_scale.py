"""Elevations to scale: what is measured off the paper is what was measured on the wall."""

import pytest
from drawn import floor_of, left_of, mm_a_column, picture, spans_of, words
from hypothesis import given, settings
from hypothesis import strategies as st
from rooms import cabinets, example, obstacle, plan_of, room, run, said

from pelmet.model.plan.survey.usual import USUAL
from pelmet.model.told.drawings.elevation.view import elevation
from pelmet.model.told.drawings.plan.marks import OBSTACLES


@pytest.mark.cross_check
@settings(deadline=None)
@given(
    at=st.integers(0, 1500),
    wide=st.integers(300, 900),
    bottom=st.integers(1300, 1700),
    high=st.integers(300, 900),
    top=st.integers(800, 1000),
    width=st.integers(40, 110),
    height=st.none() | st.integers(20, 60),
)
def test_a_cabinet_measures_right_off_the_paper(at, wide, bottom, high, top, width, height):
    walls = room("K", ("A", 2400))
    walls["room"][0]["worktop_height"] = top
    hung = cabinets("A", at, wide, bottom_height=bottom, height=high)
    drawing = elevation(plan_of(said(walls, cabinet=hung)), "A", width, height)
    mm, floor, left = mm_a_column(drawing), floor_of(drawing, "A"), left_of(drawing, "A")
    outline = spans_of(drawing, "A1", "cabinet")
    assert abs(min(s.start for s in outline) - left - at / mm) <= 1
    assert abs(max(s.end for s in outline) - 1 - left - (at + wide) / mm) <= 1
    assert abs(floor - max(s.row for s in outline) - bottom / (2 * mm)) <= 1
    assert abs(floor - min(s.row for s in outline) - (bottom + high) / (2 * mm)) <= 1
    worktop = spans_of(drawing, "K", "cabinet")
    assert all(abs(floor - s.row - top / (2 * mm)) <= 1 for s in worktop)
    wall = [s for s in spans_of(drawing, "A") if s.row == floor]
    assert abs(max(s.end for s in wall) - 1 - left - 2400 / mm) <= 1


@pytest.mark.cross_check
@pytest.mark.parametrize("width", [60, 78, 100])
@pytest.mark.parametrize("wall", ["A", "B"])
def test_bars_and_holes_of_the_example_measure_right_off_the_paper(wall, width):
    done = plan_of(example())
    drawing = elevation(done, wall, width)
    mm, left, floor = mm_a_column(drawing), left_of(drawing, wall), floor_of(drawing, wall)
    marks = {
        hole.id: next(s for s in drawing.spans if s.about == hole.id and s.end - s.start == 1)
        for hole in done.holes
        if hole.wall == wall
    }
    for hole in done.holes:
        if hole.wall == wall:
            mark = marks[hole.id]
            assert drawing.rows[mark.row][mark.start] == "o"
            assert abs(mark.start - left - hole.along / mm) <= 1
            assert abs(floor - mark.row - float(hole.height.value) / (2 * mm)) <= 2
    for fit in done.fits:
        bars = [bar for bar in fit.bars if bar.wall == wall]
        lit = spans_of(drawing, fit.run.id, "run", "feed", "dark")
        if bars:
            # Half a cell of rounding, and one that it is kept off its cabinet's side.
            assert abs(min(s.start for s in lit) - left - float(bars[0].left) / mm) <= 1.5
            assert abs(max(s.end for s in lit) - 1 - left - float(bars[-1].right) / mm) <= 1.5


@pytest.mark.cross_check
@pytest.mark.parametrize("width", [60, 78, 100])
def test_a_cable_is_drawn_from_and_to_where_it_is_on_this_wall(width):
    """A lead from wall A to wall B: on A as far as the corner, on B from there on."""
    done = plan_of(example())
    lead = next(cable for cable in done.routes.cables if cable.id == "L3.1")
    along = [place.along for place in lead.places]
    for wall, start, end in (("A", 0, 4200), ("B", 4200, 6800)):
        drawing = elevation(done, wall, width, None, "L3.1")
        left, mm = left_of(drawing, wall), mm_a_column(drawing)
        drawn = spans_of(drawing, "L3.1", "cable") + spans_of(drawing, "L3.1", "focus")
        assert min(s.start for s in drawn) >= left + (max(min(along), start) - start) / mm - 1
        ends = max(s.end for s in drawn if s.role == "cable") - 1
        assert abs(ends - left - (min(max(along), end) - start) / mm) <= 2


@pytest.mark.cross_check
@given(st.integers(600, 2000), st.integers(0, 300), st.integers(50, 110))
@settings(deadline=None)
def test_an_upright_bar_measures_right_off_the_paper(high, up, width):
    one = {"id": "U1", "wall": "A", "kind": "upright", "at": 500, "width": 18, "depth": 500,
           "bottom_height": up, "height": high}  # fmt: skip
    walls = room("K", ("A", 1500))
    done = plan_of(said(walls, cabinet=[one], run=[run("R1", "U1")]))
    (bar,) = done.bars
    drawing = elevation(done, "A", width)
    mm, floor, left = mm_a_column(drawing), floor_of(drawing, "A"), left_of(drawing, "A")
    rows = [s.row for s in spans_of(drawing, "R1", "run", "feed", "dark")]
    # Half a cell of rounding, and one that it is kept off its upright's ends.
    assert abs(floor - max(rows) - float(bar.left) / (2 * mm)) <= 1.5
    assert abs(floor - min(rows) - float(bar.right) / (2 * mm)) <= 1.5
    columns = {s.start for s in spans_of(drawing, "R1", "run", "feed", "dark")}
    assert len(columns) == 1
    assert abs(columns.pop() - left - 509 / mm) <= 1
    assert drawing.rows[max(rows)][left + round(509 / mm)] == "@", "fed from its lower end"


@pytest.mark.cross_check
@pytest.mark.parametrize("width", [50, 78])
def test_at_an_outside_corner_a_cabinet_goes_on_past_the_end_of_its_wall(width):
    """At a square outside corner it goes on by the depth of what hangs on the next wall."""
    walls = room("K", ("A", 1500, 270), ("B", 1500))
    hung = [*cabinets("A", 900, 920), *cabinets("B", 0, 900)]
    drawing = elevation(plan_of(said(walls, cabinet=hung)), "A", width)
    mm, left, floor = mm_a_column(drawing), left_of(drawing, "A"), floor_of(drawing, "A")
    outline = spans_of(drawing, "A1", "cabinet")
    assert abs(max(s.end for s in outline) - 1 - left - 1820 / mm) <= 1
    wall = [s for s in spans_of(drawing, "A") if s.row == floor]
    assert abs(max(s.end for s in wall) - 1 - left - 1500 / mm) <= 1


@pytest.mark.cross_check
@pytest.mark.parametrize("kind", OBSTACLES)
@given(st.integers(100, 1500), st.integers(200, 900))
@settings(deadline=None, max_examples=20)
def test_an_obstacle_stands_at_the_height_that_was_measured(kind, bottom, high):
    one = obstacle("O1", "A", kind, 900, 700) | {"bottom_height": bottom, "height": high}
    drawing = elevation(plan_of(said(room("K", ("A", 3000)), obstacle=[one])), "A", 70)
    mm, floor = mm_a_column(drawing), floor_of(drawing, "A")
    rows = [s.row for s in spans_of(drawing, "O1", "obstacle")]
    assert abs(floor - max(rows) - bottom / (2 * mm)) <= 1
    assert abs(floor - min(rows) - (bottom + high) / (2 * mm)) <= 1
    assert not any("?" in text for text in words(drawing, "O1"))


@pytest.mark.published
@pytest.mark.parametrize(
    ("kind", "least", "most"),
    [
        # Common practice: a hood 650 to 760 mm above the hob; a socket 150 mm above the worktop
        # or a little more; a window's sill clear of the worktop.
        ("hood", 650, 760),
        ("socket", 150, 300),
        ("window", 50, 400),
    ],
)
def test_an_obstacle_nobody_measured_is_drawn_where_it_usually_is_and_says_so(kind, least, most):
    assert least <= USUAL[kind].bottom <= most
    assert USUAL[kind].datum == "worktop"
    walls = room("K", ("A", 2400))
    walls["room"][0]["worktop_height"] = 900
    drawing = elevation(
        plan_of(said(walls, obstacle=[obstacle("O1", "A", kind, 900, 700)])), "A", 90
    )
    mm, floor = mm_a_column(drawing), floor_of(drawing, "A")
    low = max(s.row for s in spans_of(drawing, "O1", "obstacle"))
    assert abs((floor - low) * 2 * mm - 900 - USUAL[kind].bottom) <= 2 * mm
    assert any("O1?" in text for text in words(drawing, "O1"))
    assert "? usual height, not measured" in picture(drawing)

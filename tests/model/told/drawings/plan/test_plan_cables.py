"""Cables and holes on the plan: where they go and what they give way to; bars at corners."""

from collections.abc import Iterator
from math import floor, hypot
from typing import Any, NamedTuple
from unittest.mock import patch

import pytest
from draws import examples
from fed_rooms import FED, anything, corner, fed, fed_rooms, wardrobe
from hypothesis import given
from hypothesis import strategies as st
from jobs import many_bars
from rooms import cabinets, example, room, run, said

from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.place import Place
from pelmet.model.told.drawings.drawing import Cell
from pelmet.model.told.drawings.plan import view as view
from pelmet.model.told.drawings.plan.bars import DARK, FEED, LIT
from pelmet.model.told.drawings.plan.cables import (
    CABLE,
    HOLE,
    IN_WALL,
    CableCell,
    cable_steps,
    draw_cables,
)
from pelmet.model.told.drawings.plan.marks import OBSTACLES, RoomSheet
from pelmet.model.told.drawings.plan.scale import ROW, Side
from pelmet.model.told.drawings.plan.view import plan_view

HALF = 0.5 + 1e-6  # of a cell, and what a float may be off


# --- What is drawn ----------------------------------------------------------------------------


class Shot(NamedTuple):
    """A room's sheet before and after its cables were drawn, and the way of each cable."""

    sheet: RoomSheet
    before: list[str]
    roles: list[str | None]
    after: list[str]
    steps: dict[str, tuple[Cable, tuple[CableCell, ...]]]


def shots(plan: Plan, width: int, height: int | None = None) -> list[Shot]:
    """Draw a plan, and give what its cables and holes changed."""
    taken: list[Shot] = []

    def watched(sheet: RoomSheet, plan: Plan, room: Any, chosen: Any) -> None:
        cells = [(row, column) for row in range(sheet.canvas.height)
                 for column in range(sheet.canvas.width)]  # fmt: skip
        before, roles = list(sheet.canvas._chars), [sheet.canvas.role(cell) for cell in cells]
        steps = {cable.id: (cable, way) for cable, way in cable_steps(sheet, plan, room)}
        draw_cables(sheet, plan, room, chosen)
        taken.append(Shot(sheet, before, roles, list(sheet.canvas._chars), steps))

    with patch.object(view, "draw_cables", watched):
        plan_view(plan, width, height)
    return taken


def measured_cell(side: Side, at: float, out: float) -> tuple[float, float]:
    """Give where a place falls on the sheet, by the wall's own geometry: row and column."""
    mm = 1 / hypot(side.along[0] * ROW, side.along[1])
    point, start = side.line.point(at, out), side.line.start
    return side.row + (point.y - start.y) / (ROW * mm), side.column + (point.x - start.x) / mm


def side_of(shot: Shot, plan: Plan, place: Place) -> Side:
    walls = {each.id: each.wall for each in plan.job.cabinets}
    walls |= {each.id: walls[each.cabinet] for each in plan.job.supplies if each.cabinet}
    walls |= {bar.id: bar.wall for bar in plan.bars}
    return shot.sheet.sides[walls[place.owner]]


def text_of(plan: Plan, width: int = 78) -> str:
    return "\n".join(plan_view(plan, width).rows)


@pytest.mark.snapshot
@pytest.mark.parametrize("width", [60, 78])
@pytest.mark.parametrize("shape", FED)
def test_cables_and_holes_are_drawn_as_stored(shape, width, snapshot):
    assert text_of(plan_job(FED[shape]()), width) == snapshot


# --- Where a cable goes -----------------------------------------------------------------------


def check_ends(shot: Shot, plan: Plan) -> Iterator[Cable]:
    for cable, steps in shot.steps.values():
        for place, step, said_end in (
            (cable.places[0], steps[0], cable.origin),
            (cable.places[-1], steps[-1], cable.end),
        ):
            side = side_of(shot, plan, place)
            if place.level == "bar":
                ends = shot.sheet.ends[place.owner]
                assert step.cell in ends
                one, other = ends
                if hypot(one[0] - other[0], one[1] - other[1]) > 3:
                    assert step.cell == ends[said_end.endswith("right")]
            else:
                out = max(place.out, side.out_step)
                row, column = measured_cell(side, place.along - side.line.before, out)
                assert abs(step.cell[0] - row) <= HALF
                assert abs(step.cell[1] - column) <= HALF
        yield cable


@pytest.mark.cross_check
@examples(60)
@given(fed_rooms(), st.integers(50, 130))
def test_every_cable_starts_and_ends_where_its_ends_are(job, width):
    done = plan_job(job)
    drawn = {cable.id for shot in shots(done, width) for cable in check_ends(shot, done)}
    assert drawn == {cable.id for cable in done.routes.cables if cable.places}


@pytest.mark.parametrize("shape", FED)
def test_every_cable_of_a_room_starts_and_ends_where_its_ends_are(shape):
    done = plan_job(FED[shape]())
    drawn = {cable.id for shot in shots(done, 78) for cable in check_ends(shot, done)}
    assert drawn == {cable.id for cable in done.routes.cables if cable.places}
    assert drawn


def joined(steps: tuple[CableCell, ...]) -> bool:
    """Whether all cells hang together, corner to corner at least."""
    cells = {step.cell for step in steps}
    reached: set[Cell] = set()
    ahead = [steps[0].cell]
    while ahead:
        row, column = ahead.pop()
        reached.add((row, column))
        near = {(row + down, column + across) for down in (-1, 0, 1) for across in (-1, 0, 1)}
        ahead += (near & cells) - reached
    return reached == cells


@pytest.mark.property
@examples(40)
@given(fed_rooms(), st.integers(1, 130))
def test_a_cable_is_one_line_from_end_to_end(job, width):
    for shot in shots(plan_job(job), width):
        assert all(joined(steps) for _, steps in shot.steps.values())


@pytest.mark.cross_check
@given(st.integers(400, 1000), st.integers(400, 1000), st.integers(60, 120))
def test_a_cable_measures_right_off_the_paper(first, second, width):
    deep = cabinets("A", 300, first, second, depth=900, underside="framed")
    job = fed(said(room("K", ("A", 2600), ("B", 1500)), cabinet=deep, run=[run("R1", "A2")],
                   supply=[{"id": "S1", "cabinet": "A1"}]), R1="S1")  # fmt: skip
    done = plan_job(job)
    (cable,) = done.routes.cables
    (shot,) = shots(done, width)
    mm = shot.sheet.sides["A"].along_step
    wall_row = shot.after.index("#") // width
    row = "".join(shot.after[(wall_row + 1) * width : (wall_row + 2) * width])
    marks = [at for at, char in enumerate(row) if char in (CABLE, HOLE)]
    along = [place.along for place in cable.places]
    assert abs((marks[-1] - marks[0]) * mm - (max(along) - min(along))) <= 2 * mm


@pytest.mark.cross_check
@given(st.integers(300, 1500), st.integers(40, 120))
def test_a_cable_in_the_wall_measures_right_off_the_paper(gap, width):
    apart = [*cabinets("A", 300, 500), *cabinets("A", 800 + gap, 500, first=2)]
    job = fed(said(room("K", ("A", 3000), ("B", 900)), cabinet=apart, run=[run("R1", "A2")],
                   supply=[{"id": "S1", "cabinet": "A1"}]), R1="S1")  # fmt: skip
    done = plan_job(job)
    (cable,) = done.routes.cables
    (at,) = (at for at, way in enumerate(cable.ways) if way.kind == "in wall")
    (shot,) = shots(done, width)
    mm = shot.sheet.sides["A"].along_step
    length = abs(cable.places[at].along - cable.places[at + 1].along)
    marks = [at for at, char in enumerate(shot.after) if char == IN_WALL]
    assert abs((marks[-1] - marks[0]) * mm - length) <= mm


@pytest.mark.cross_check
@pytest.mark.parametrize("width", [50, 78, 110])
def test_a_cable_in_the_wall_goes_along_both_walls_of_a_corner(width):
    (shot,) = shots(plan_job(example()), width)
    cable, steps = shot.steps["L3.1"]
    (at,) = (at for at, way in enumerate(cable.ways) if way.kind == "in wall")
    cells = {step.cell for step in steps if step.in_wall}
    corner_cell = shot.sheet.sides["B"].cell(0)
    assert corner_cell in cells
    across = [column for row, column in cells if row == corner_cell[0]]
    down = [row for row, column in cells if column == corner_cell[1]]
    assert len(across) + len(down) == len(cells) + 1
    mm = shot.sheet.sides["A"].along_step
    drawn = (max(across) - min(across)) * mm + (max(down) - min(down)) * ROW * mm
    length = cable.places[at + 1].along - cable.places[at].along
    assert abs(drawn - length) <= 2 * mm


def test_a_cable_goes_the_short_way_round_a_closed_room():
    square = room("Kitchen", ("A", 2400), ("B", 2000), ("C", 2400), ("D", 2000))
    job = said(square, cabinet=[*cabinets("A", 320, 600), *cabinets("D", 1400, 600)],
               run=[run("R1", "A1")], supply=[{"id": "S1", "cabinet": "D1"}])  # fmt: skip
    (shot,) = shots(plan_job(fed(job, R1="S1")), 78)
    ((_, steps),) = shot.steps.values()
    columns = [step.cell[1] for step in steps]
    rows = [step.cell[0] for step in steps]
    walls = shot.sheet.sides
    assert max(columns) < walls["A"].cell(1000)[1]
    assert max(rows) < walls["B"].cell(1000)[0]


# --- What cables and holes give way to --------------------------------------------------------


@pytest.mark.property
@examples(80)
@given(anything(), st.integers(1, 120), st.none() | st.integers(0, 40))
def test_cables_and_holes_hide_nothing_else(job, width, height):
    for shot in shots(plan_job(job), width, height):
        for before, role, after in zip(shot.before, shot.roles, shot.after, strict=True):
            if before != after:
                assert (
                    (before == " " and role is None)
                    or (after == IN_WALL and role == "wall")
                    or (after == HOLE and role == "cabinet")
                )


@pytest.mark.property
@examples(30)
@given(fed_rooms(), st.integers(20, 120))
def test_cables_and_holes_are_never_among_what_found_no_room(job, width):
    done = plan_job(job)
    ids = {cable.id for cable in done.routes.cables} | {hole.id for hole in done.holes}
    listed = text_of(done, width).partition("No room for:")[2].partition("|-")[0].split()
    assert not ids & set(listed)


@pytest.mark.property
@examples(40)
@given(fed_rooms(), st.integers(40, 120))
def test_no_mark_stands_against_a_label(job, width):
    drawing = plan_view(plan_job(job), width)
    labels = {(span.row, column) for span in drawing.spans if span.role in ("label", "supply")
              for column in (span.start - 1, span.end)}  # fmt: skip
    for span in drawing.spans:
        text = drawing.rows[span.row][span.start : span.end]
        if span.role in ("cable", "hole") and set(text) <= {CABLE, IN_WALL, HOLE}:
            assert not {(span.row, at) for at in range(span.start, span.end)} & labels


def test_marks_are_told_apart_without_colour():
    others = [mark.char for mark in OBSTACLES.values()] + [LIT, DARK, FEED, *"#!:|+-/\\_"]
    assert len({CABLE, IN_WALL, HOLE}) == 3
    assert not {CABLE, IN_WALL, HOLE} & set(others)


def test_the_key_tells_the_marks_that_are_drawn_and_no_others():
    words = (f"{CABLE} cable", f"{IN_WALL} cable in the wall", f"{HOLE} hole")
    drawn = text_of(plan_job(example()))
    assert all(word in drawn for word in words)
    unfed = example().model_copy(update={"legs": ()})
    unfed = unfed.model_copy(
        update={"runs": tuple(one.model_copy(update={"leg": None}) for one in unfed.runs[:1])}
    )
    assert not any(word in text_of(plan_job(unfed)) for word in words)


def test_a_cable_in_focus_is_marked():
    drawing = plan_view(plan_job(example()), 78, None, "L3.2")
    assert ">L3.2<" in "\n".join(drawing.rows)
    assert [span.about for span in drawing.spans if span.role == "focus"] == ["L3.2"]


def test_cable_and_hole_cells_are_about_theirs():
    spans = {(span.role, span.about) for span in plan_view(plan_job(example()), 78).spans}
    assert {("cable", "L3.1"), ("cable", "L3.2"), ("hole", "H3"), ("hole", "H6")} <= spans


# --- Bars on uprights and round corners -------------------------------------------------------


def test_a_bar_on_an_upright_is_one_mark_at_its_upright():
    done = plan_job(wardrobe())
    (shot,) = shots(done, 78)
    side = shot.sheet.sides["A"]
    mounts = {mount.bar: mount for mount in done.mounts}
    for bar in done.bars:
        cells = shot.sheet.bars[bar.run][0]
        if bar.upright:
            mount = mounts[bar.id]
            row, column = measured_cell(side, float(mount.at), float(mount.from_wall.value))
            assert cells == [(floor(row + 0.5), floor(column + 0.5))]
    drawing = plan_view(done, 78)
    for name in ("R1", "R2"):
        marks = [span for span in drawing.spans if span.about == name and span.role != "label"]
        assert [(span.role, span.end - span.start) for span in marks] == [("feed", 1)]


@pytest.mark.cross_check
@pytest.mark.parametrize("degrees", [90, 270])
@pytest.mark.parametrize("width", [50, 78, 110])
def test_bars_round_a_corner_are_each_drawn_on_their_own_wall(degrees, width):
    done = plan_job(corner(degrees))
    out = {mount.bar: float(mount.from_wall.value) for mount in done.mounts}
    (shot,) = shots(done, width)
    assert [bar.wall for bar in done.bars] == ["A", "B"]
    for bar in done.bars:
        side = shot.sheet.sides[bar.wall]
        for cell, at in zip(shot.sheet.ends[bar.id], (bar.left, bar.right), strict=True):
            row, column = measured_cell(side, float(at), out[bar.id])
            assert abs(cell[0] - row) <= 1.5
            assert abs(cell[1] - column) <= 1.5
    assert "!" not in "".join(shot.after)


def test_a_bar_round_a_blunt_corner_is_drawn_on_both_walls():
    done = plan_job(corner(135))
    (shot,) = shots(done, 78)
    level, slanting = shot.sheet.bars["R1"]
    assert len({row for row, _ in level}) == 1
    assert len({row for row, _ in slanting}) > 5


def test_a_bar_wholly_within_a_corner_is_drawn_on_its_own_wall():
    job = said(
        room("Kitchen", ("A", 2400), ("B", 2400)),
        cabinet=[*cabinets("A", 1200, 600, 600, depth=600), *cabinets("B", 600, 600, depth=600)],
        run=[run("R1", "A1", "A2", "B1", pieces=4, line="back")],
    )
    done = plan_job(job)
    (bar, *_) = (each for each in done.bars if each.wall == "B")
    assert bar.opening.cabinets == ("A2",)
    out = {mount.bar: float(mount.from_wall.value) for mount in done.mounts}
    (shot,) = shots(done, 78)
    side = shot.sheet.sides["B"]
    for cell, at in zip(shot.sheet.ends[bar.id], (bar.left, bar.right), strict=True):
        row, column = measured_cell(side, float(at), max(out[bar.id], side.out_step))
        assert abs(cell[0] - row) <= 1.5
        assert abs(cell[1] - column) <= 1.5


# --- Time -------------------------------------------------------------------------------------


def test_a_frame_of_thirty_cabinets_with_their_cables(benchmark):
    done = plan_job(many_bars())
    assert benchmark(plan_view, done, 70, 25).rows

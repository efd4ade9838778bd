"""Rays of a section end where similar triangles say, and are drawn where they end."""

from decimal import Decimal
from typing import Any

import pytest
from drawn import check_form, mm_a_column, picture
from hypothesis import given, settings
from hypothesis import strategies as st
from rooms import cabinets, obstacle, plan_of, room, run, said

from pelmet.model.job.job import Job
from pelmet.model.told.drawings.drawing import Drawing
from pelmet.model.told.drawings.section.cut import cut_of
from pelmet.model.told.drawings.section.rays import MIRROR, SHADOW, Rays
from pelmet.model.told.drawings.section.view import section, sections

FRONT_SET_BACK = 40 + 8.5  # of the middle of a channel 17 mm wide
CHANNEL = 8.0


def job_of(
    finish: str = "polished",
    depth: int = 600,
    side: bool = False,
    way: dict[str, Any] | None = None,
    allowances: dict[str, Any] | None = None,
    **fields: Any,
) -> Job:
    made = said(
        room("K", ("A", 2400)),
        cabinet=cabinets("A", 0, 600, **fields),
        obstacle=[obstacle("O1", "A", "open side", 1200, 0)] if side else [],
        run=[run("R1", "A1", **(way or {}))],
    )
    change = {"worktop_finish": finish, "worktop_depth": Decimal(depth)}
    rooms = tuple(each.model_copy(update=change) for each in made.rooms)
    eyes = {name: Decimal(value) for name, value in (allowances or {}).items()}
    asked = made.allowances.model_copy(update=eyes)
    return made.model_copy(update={"rooms": rooms, "allowances": asked})


def rays(job: Job) -> Rays:
    cut = cut_of(plan_of(job), "R1")
    assert cut is not None
    assert cut.shape.rays is not None
    return cut.shape.rays


def column_of(drawing: Drawing, char: str) -> int | None:
    """Give the column of a mark on the worktop, before the words beside it."""
    row = next(text for text in drawing.rows if text.startswith("#_")).split("  ")[0]
    return row.index(char) if char in row else None


# --- Where they end ---------------------------------------------------------------------------


@pytest.mark.cross_check
@settings(deadline=None, max_examples=60)
@given(st.integers(250, 400), st.integers(1300, 1500), st.integers(1550, 1800), st.integers(0, 400))
def test_the_mirror_point_makes_similar_triangles(depth, bottom, eye, away):
    """Both rays stand at one angle on the top: out over height is alike on its two sides."""
    away += 1
    job = job_of(
        depth=700, allowances={"standing_eye": eye, "eye_away": away}, lip=0,
        bottom_height=bottom,
    )  # fmt: skip
    job = job.model_copy(
        update={
            "cabinets": tuple(
                each.model_copy(update={"depth": Decimal(depth)}) for each in job.cabinets
            )
        }
    )
    found = rays(job)
    assert found.mirror is not None
    top = float(job.rooms[0].worktop_height)
    strip, height, far = depth - FRONT_SET_BACK, bottom - CHANNEL - top, 700 + away
    down = (found.mirror - strip) / height
    up = (far - found.mirror) / (eye - top)
    assert down == pytest.approx(up)


@pytest.mark.cross_check
@settings(deadline=None, max_examples=60)
@given(st.integers(120, 250), st.sampled_from(["middle", "back"]))
def test_the_shadow_begins_where_the_ray_below_the_lip_comes_down(lip, line):
    """Similar triangles: the ray falls from strip to lip as it does from lip to worktop."""
    job = job_of("matt", depth=2000, lip=lip, way={"line": line})
    found = rays(job)
    top, depth = float(job.rooms[0].worktop_height), 320.0
    strip = {"middle": depth / 2, "back": 30 + 8.5}[line]
    low, high = 1400 - lip - top, 1400 - CHANNEL - top
    assert found.shadow is not None
    assert (found.shadow - depth) / low == pytest.approx((depth - strip) / (high - low))
    assert found.mirror is None


def test_a_matt_top_mirrors_nothing_and_a_shadow_past_the_top_is_left_out():
    assert rays(job_of("matt", lip=20)) == Rays(None, None, None, 0.0)
    assert rays(job_of(lip=20)).mirror is not None


@pytest.mark.cross_check
@settings(deadline=None, max_examples=60)
@given(st.integers(0, 60), st.integers(900, 1700))
def test_a_seated_eye_sees_it_where_the_line_of_sight_passes_below_the_edge(lip, eye):
    """The straight line from strip to eye, by its height at the front of the cabinet."""
    found = rays(job_of(side=True, lip=lip, allowances={"seated_eye": eye}))
    high, set_back = 1400 - CHANNEL, FRONT_SET_BACK
    at_front = high + (eye - high) * set_back / 1500
    if at_front < 1400 - lip:
        assert found.seated == "seen"
    else:
        assert found.seated == ("lip hides" if lip else "cabinet hides")
    assert found.fall == pytest.approx((high - eye) / 1500)


def test_without_an_open_side_nobody_sits_there():
    assert rays(job_of(lip=0)).seated is None


# --- Where they are drawn ---------------------------------------------------------------------


@pytest.mark.cross_check
@pytest.mark.parametrize("width", [44, 60, 78, 100])
@pytest.mark.parametrize("bottom", [1300, 1400, 1600])
def test_the_mirror_point_measures_right_off_the_paper(width, bottom):
    job = job_of(bottom_height=bottom)
    found, drawing = rays(job), section(plan_of(job), "R1", width)
    assert found.mirror is not None
    column = column_of(drawing, MIRROR)
    assert column is not None
    assert abs(column - found.mirror / mm_a_column(drawing)) <= 0.5
    assert f"seen in the top at {found.mirror:.0f}" in picture(drawing)


@pytest.mark.parametrize("width", [44, 78])
def test_the_shadow_measures_right_off_the_paper(width):
    job = job_of("matt", depth=900, lip=200, way={"line": "back"})
    found, drawing = rays(job), section(plan_of(job), "R1", width)
    assert found.shadow is not None
    column = column_of(drawing, SHADOW)
    assert column is not None
    assert abs(column - found.shadow / mm_a_column(drawing)) <= 0.5
    assert f"lip's shadow from {found.shadow:.0f}" in picture(drawing)
    assert "' x where the lip's shadow begins" in picture(drawing)


def dashes(drawing: Drawing) -> list[tuple[int, int]]:
    """Give the row and column of each mark of the ray to a seated eye."""
    return [
        (span.row, column)
        for span in drawing.spans
        if span.role == "run"
        for column in range(span.start, span.end)
        if drawing.rows[span.row][column] == "-"
    ]


@pytest.mark.parametrize("width", [44, 78])
@pytest.mark.parametrize("lip", [0, 40])
def test_the_seated_ray_stops_at_the_lip_or_goes_past(width, lip):
    drawing = section(plan_of(job_of(side=True, lip=lip)), "R1", width)
    front = 320 / mm_a_column(drawing)
    marks = dashes(drawing)
    assert marks
    assert [row for row, _ in marks] == sorted(row for row, _ in marks)
    if lip:
        assert max(column for _, column in marks) <= front
        assert "lip hides it from a seated eye" in " ".join(picture(drawing).split())
    else:
        assert max(column for _, column in marks) > front + 5
        assert "a seated eye sees it" in " ".join(picture(drawing).split())
    assert "- to a seated eye" in picture(drawing)


@pytest.mark.cross_check
def test_the_rays_to_the_worktop_lean_alike_on_both_sides():
    """Angle in is angle out: the marks before the mirror point mirror those behind it."""
    job = job_of(depth=1200, allowances={"standing_eye": 1600, "eye_away": 250})
    drawing = section(plan_of(job), "R1", 110)
    point = column_of(drawing, MIRROR)
    assert point is not None
    sides: dict[int, list[list[int]]] = {}
    for span in drawing.spans:
        for column in range(span.start, span.end):
            if span.role == "run" and drawing.rows[span.row][column] == ".":
                sides.setdefault(span.row, [[], []])[column > point].append(abs(column - point))
    assert len(sides) >= 3
    whole = [row for row in sides.values() if len(row[0]) == len(row[1])]
    assert whole
    for before, after in whole:
        assert sorted(before) == pytest.approx(sorted(after), abs=1)


@pytest.mark.property
@settings(deadline=None, max_examples=60)
@given(
    st.sampled_from(["matt", "satin", "polished"]),
    st.integers(0, 300),
    st.integers(0, 2500),
    st.integers(0, 2500),
    st.sampled_from(["down", "45 to room", "60 to wall"]),
    st.integers(10, 110),
    st.none() | st.integers(0, 30),
)
def test_any_eyes_leave_it_fitting(finish, lip, standing, seated, facing, width, height):
    job = job_of(
        finish,
        side=True,
        lip=lip,
        way={"facing": facing, "channel": "corner-18" if facing != "down" else "surface-17"},
        allowances={"standing_eye": standing, "seated_eye": seated},
    )
    check_form(sections(plan_of(job), width, height), width, height)

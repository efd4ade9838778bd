"""Sections through cabinets: stored pictures, what holds for every job, places off the text."""

from math import radians, tan
from typing import Any

import pytest
from drawn import check_form, mm_a_column, picture, spans_of, words
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from more_rooms import island, wardrobe
from rooms import SHAPES, any_job, cabinets, example, plan_of, room, run, said
from strategies import jobs

from pelmet.model.job.job import Job
from pelmet.model.told.drawings.drawing import Drawing
from pelmet.model.told.drawings.section.view import section, sections

DRAWN = {name: SHAPES[name] for name in ("galley", "L", "U", "blunt corner", "two levels")} | {
    "island": island,
    "wardrobe": wardrobe,
}


def every_way() -> Job:
    """Give a cabinet for each way that a bar can be fixed and can throw."""
    ways = [
        ("corner-18", "30 to wall", "front", "clips"),
        ("corner-16", "45 to room", "back", "screws"),
        ("recessed-22", "60 to room", "middle", "groove"),
        ("surface-17", "down", "front", "tape"),
    ]
    return said(
        room("K", ("A", 4000)),
        cabinet=[
            *cabinets("A", 0, 600, lip=40, back_set_in=30, door_overhang=25, assumed=["depth"]),
            *cabinets("A", 700, 600, 600, first=2, depth=350, lip=25),
            *cabinets("A", 2000, 600, first=4, bottom_height=850, depth=650),
        ],
        run=[
            run(f"R{number}", f"A{number}", channel=way[0], facing=way[1], line=way[2],
                fixing=way[3])
            for number, way in enumerate(ways, 1)
        ],
    )  # fmt: skip


def one_cabinet(way: dict[str, Any] | None = None, **fields: Any) -> Job:
    hung = cabinets("A", 0, 600, **fields)
    return said(room("K", ("A", 2400)), cabinet=hung, run=[run("R1", "A1", **(way or {}))])


def columns(drawing: Drawing, about: str, char: str) -> dict[int, list[int]]:
    """Give by row the columns in which something about a thing is drawn with a character."""
    found: dict[int, list[int]] = {}
    for span in spans_of(drawing, about, "run", "dark", "cabinet"):
        for column in range(span.start, span.end):
            if drawing.rows[span.row][column] == char:
                found.setdefault(span.row, []).append(column)
    return found


# --- Pictures ---------------------------------------------------------------------------------


@pytest.mark.snapshot
@pytest.mark.parametrize("width", [60, 78])
@pytest.mark.parametrize("shape", DRAWN)
def test_sections_are_drawn_as_stored(shape, width, snapshot):
    assert picture(sections(plan_of(DRAWN[shape]()), width)) == snapshot


@pytest.mark.snapshot
@pytest.mark.parametrize("width", [40, 78])
def test_every_way_to_fix_and_throw_is_drawn_as_stored(width, snapshot):
    assert picture(sections(plan_of(every_way()), width)) == snapshot


@pytest.mark.snapshot
@pytest.mark.parametrize("height", [14, 18])
def test_a_height_leaves_rows_out(height, snapshot):
    drawing = sections(plan_of(every_way()), 78, height, "R2")
    assert picture(drawing) == snapshot


# --- Every job --------------------------------------------------------------------------------


def check_all(job: Job, width: int, height: int | None, data: st.DataObject) -> None:
    done = plan_of(job)
    ids = [thing.id for table in ("runs", "cabinets", "walls") for thing in getattr(job, table)]
    focus = data.draw(st.none() | st.sampled_from([*ids, "nothing"]))
    drawing = sections(done, width, height, focus)
    check_form(drawing, width, height)
    assert drawing == sections(done, width, height, focus)
    for name in [*ids[:4], "nothing"]:
        check_form(section(done, name, width, height, focus), width, height)


@pytest.mark.property
@examples(60)
@given(any_job(), st.integers(1, 120), st.none() | st.integers(0, 50), st.data())
def test_any_room_is_drawn_within_its_width_and_height(job, width, height, data):
    check_all(job, width, height, data)


@pytest.mark.property
@examples(40)
@given(jobs(), st.integers(1, 120), st.none() | st.integers(0, 50), st.data())
def test_any_job_is_drawn_within_its_width_and_height(job, width, height, data):
    check_all(job, width, height, data)


@pytest.mark.property
@examples(60)
@given(any_job(), st.integers(60, 120))
def test_every_run_stands_in_one_title(job, width):
    drawing = sections(plan_of(job), width)
    for each in job.runs:
        named = [
            span
            for span in spans_of(drawing, each.id, "label")
            if drawing.rows[span.row][span.start : span.end] == each.id
        ]
        assert len(named) == 1, each.id


# --- To scale across --------------------------------------------------------------------------


@pytest.mark.cross_check
@given(
    depth=st.integers(200, 700),
    line=st.sampled_from(["front", "middle", "back"]),
    worktop=st.integers(500, 900),
    back=st.integers(0, 60),
    width=st.integers(40, 110),
)
def test_across_the_depth_it_measures_right_off_the_paper(depth, line, worktop, back, width):
    job = one_cabinet({"line": line}, depth=depth, back_set_in=back)
    rooms = tuple(each.model_copy(update={"worktop_depth": worktop}) for each in job.rooms)
    drawing = section(plan_of(job.model_copy(update={"rooms": rooms})), "R1", width)
    mm = mm_a_column(drawing)
    # The default channel is 17 wide, set back 40 from the front and 30 from the wall.
    out = {"front": depth - 40 - 8.5, "middle": depth / 2, "back": 30 + 8.5}[line]
    lit = next(iter(columns(drawing, "R1", "*").values()))
    assert abs(sum(lit) / len(lit) - out / mm) <= 1
    board = next(iter(columns(drawing, "A1", "=").values()))
    assert abs(max(board) - depth / mm) <= 1
    assert min(board) == 1
    lowest = [row for row in drawing.rows if row.startswith("#__")]
    assert len(lowest) == 1
    assert abs(lowest[0].rindex("_", 0, width * 11 // 20 if width >= 56 else None)
               - worktop / mm) <= 1  # fmt: skip
    if back > 2 * mm:
        sides = next(iter(columns(drawing, "A1", "|").values()))
        assert abs(min(sides) - back / mm) <= 1


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("facing", "channel"),
    [("30 to wall", "corner-18"), ("45 to wall", "corner-16"), ("60 to wall", "corner-18"),
     ("30 to room", "corner-18"), ("45 to room", "corner-16"), ("60 to room", "corner-18"),
     ("down", "surface-17")],
)  # fmt: skip
def test_a_beam_falls_as_steeply_as_it_is_said_to(facing, channel):
    """A cell is twice as high as wide: at 45 degrees a beam goes two columns a row."""
    job = one_cabinet({"facing": facing, "channel": channel, "line": "middle"}, depth=400)
    drawing = section(plan_of(job), "R1", 78)
    lit = max(columns(drawing, "R1", "*").items())
    middle = sum(lit[1]) / len(lit[1])
    char = ":" if facing == "down" else "/" if "wall" in facing else "\\"
    beam = columns(drawing, "R1", char)
    assert len(beam) >= 3
    for row, (column,) in beam.items():
        away = row - lit[0]
        assert away >= 1
        if facing == "down":
            assert column == middle
        else:
            degrees, _, side = facing.partition(" to ")
            off = 2 * away / tan(radians(int(degrees)))
            assert abs(column - middle - (-off if side == "wall" else off)) <= 1
    assert (f"throws {facing.partition(' ')[0]} degrees down" in picture(drawing)) or (
        facing == "down" and "throws straight down" in picture(drawing)
    )


# --- In words ---------------------------------------------------------------------------------


@pytest.mark.cross_check
@given(
    bottom=st.integers(1200, 1600),
    worktop=st.integers(800, 1000),
    lip=st.integers(1, 60),
    depth=st.integers(250, 400),
    fixing=st.sampled_from(["clips", "groove"]),
)
def test_its_measures_stand_beside_it(bottom, worktop, lip, depth, fixing):
    job = one_cabinet({"fixing": fixing}, bottom_height=bottom, lip=lip, depth=depth)
    rooms = tuple(each.model_copy(update={"worktop_height": worktop}) for each in job.rooms)
    text = picture(section(plan_of(job.model_copy(update={"rooms": rooms})), "A1", 100))
    light = bottom - (0 if fixing == "groove" else 8)  # the default channel is 8 deep
    for said_so in (
        f"wall cabinet, {depth} deep",
        f"underside at {bottom}",
        f"lip {lip}",
        f"its middle {plain(depth - 48.5)} from wall",
        f"{light - worktop} from light to worktop",
        f"worktop at {worktop}, 600 deep",
    ):
        assert said_so in text


def plain(value: float) -> str:
    return f"{value:g}"


def test_what_nobody_measured_is_marked():
    text = picture(section(plan_of(one_cabinet(assumed=["depth"])), "R1", 78))
    assert "320? deep" in text
    assert "271.5? from wall" in text


def test_a_groove_lets_the_channel_into_the_board():
    def rows(fixing: str) -> tuple[int, int]:
        job = one_cabinet({"fixing": fixing, "channel": "recessed-22"})
        drawing = section(plan_of(job), "R1", 78)
        (channel,) = columns(drawing, "R1", "*")
        return channel, min(columns(drawing, "A1", "="))

    channel, board = rows("groove")
    assert channel == board
    channel, board = rows("clips")
    assert channel == board + 1


def test_a_channel_on_the_front_edge_of_a_shelf_is_level_with_its_board():
    shelf = {"kind": "shelf", "height": 30}
    drawing = section(plan_of(one_cabinet({"line": "edge", "fixing": "tape"}, **shelf)), "R1", 78)
    (channel,) = columns(drawing, "R1", "*")
    assert channel == min(columns(drawing, "A1", "="))


def test_a_door_hangs_down_before_the_front_and_a_lip_behind_it():
    drawing = section(plan_of(one_cabinet(lip=20, door_overhang=40)), "R1", 78)
    board = min(columns(drawing, "A1", "="))
    lip = {row: max(cells) for row, cells in columns(drawing, "A1", "=").items() if row > board}
    door = {row: max(cells) for row, cells in columns(drawing, "A1", "|").items() if row > board}
    assert len(door) > len(lip) > 0
    assert all(door[row] == lip[row] + 1 for row in lip)
    flush = section(plan_of(one_cabinet()), "R1", 78)
    assert max(columns(flush, "A1", "|")) == min(columns(flush, "A1", "="))
    shelf = section(plan_of(one_cabinet(kind="shelf", height=30)), "R1", 78)
    assert not columns(shelf, "A1", "|")


def test_a_worktop_above_the_light_is_not_drawn():
    low = picture(section(plan_of(one_cabinet(bottom_height=850)), "R1", 78))
    assert "worktop" not in low
    assert "_" not in low


@pytest.mark.parametrize(
    ("line", "where"),
    [("front", "near its front"), ("middle", "in its middle"), ("back", "near its back"),
     ("edge", "on its front edge")],
)  # fmt: skip
def test_of_an_upright_words_say_where_its_bar_stands(line, where):
    job = one_cabinet({"line": line}, kind="upright", bottom_height=0, height=2200)
    text = " ".join(section(plan_of(job), "R1", 78).rows)
    assert f"A1 is an upright: the bar stands {where}" in text


# --- Which sections ---------------------------------------------------------------------------


def two_runs(second: dict[str, Any], way: dict[str, Any]) -> list[str]:
    job = said(
        room("K", ("A", 2400)),
        cabinet=[*cabinets("A", 0, 600), *cabinets("A", 1000, 700, first=2, **second)],
        run=[run("R1", "A1"), run("R2", "A2", **way)],
    )
    rows = sections(plan_of(job), 78).rows
    return [row for row in rows if row.startswith("Section")]


def test_runs_that_look_the_same_share_a_section():
    assert two_runs({}, {}) == ["Section through A1, runs R1 R2"]


@pytest.mark.parametrize(
    ("second", "way"),
    [
        ({"depth": 330}, {}),
        ({"lip": 20}, {}),
        ({"bottom_height": 1450}, {}),
        ({"door_overhang": 20}, {}),
        ({"kind": "open unit"}, {}),
        ({}, {"channel": "slim-12"}),
        ({}, {"line": "back"}),
        ({}, {"facing": "45 to wall"}),
        ({}, {"fixing": "tape"}),
    ],
)
def test_runs_that_do_not_look_the_same_do_not(second, way):
    assert two_runs(second, way) == [
        "Section through A1, run R1",
        "Section through A2, run R2",
    ]


def test_with_a_height_the_section_of_the_focus_is_drawn_and_marked():
    done = plan_of(example())
    assert sections(done, 78, 24).rows[0] == "Section through A1, run R1"
    assert sections(done, 78, 24, "R3").rows[0] == "Section through B1, run >R3<"
    assert sections(done, 78, 24, "B3").rows[0] == "Section through >B3<, run R4"
    drawing = sections(done, 78, 24, "R4")
    assert words(drawing, "R4", "focus") == [">R4<"]
    assert picture(drawing).count("<") == 1


def test_what_there_is_to_say_without_a_run():
    bare = plan_of(said(room("K", ("A", 3000)), cabinet=cabinets("A", 0, 600)))
    assert sections(bare, 60).rows == ("No run yet: add a run",)
    assert section(bare, "Z", 60).rows == ("There is no run and no cabinet Z",)
    drawing = section(bare, "A1", 60)
    assert drawing.rows[0] == "Section through A1"
    assert "no bar here" in picture(drawing)

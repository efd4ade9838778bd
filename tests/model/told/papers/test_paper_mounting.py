"""The mounting sheet: every bar once in the order of work, its place and its hold by hand."""

import pytest
from draws import quick
from fed_rooms import FED
from hypothesis import given
from jobs import any_job, many_bars, one_bar, row
from papers import cautions, said

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.paper import Grid, Heading, Paper, Picture
from pelmet.model.told.papers.mounting import mounting_paper

TYPED = "=1|<b>&שלום"


def paper(job: Job) -> Paper:
    return Paper("mounting", "", "", "", "", mounting_paper(plan_job(job)))


def table(job: Job, name: str) -> Grid:
    (found,) = [each for each in paper(job).blocks if isinstance(each, Grid) and each.name == name]
    return found


def only(job: Job, name: str) -> tuple[str, ...]:
    (found,) = table(job, name).rows
    return found


def pictures(job: Job) -> list[Picture]:
    return [each for each in paper(job).blocks if isinstance(each, Picture)]


JOBS = {
    **FED,
    "pantry": lambda: read_example("kitchen-with-pantry"),
    "thirty": many_bars,
}


@pytest.mark.cross_check
@pytest.mark.parametrize("shape", JOBS)
def test_every_bar_stands_once_room_by_room_and_from_left_to_right(shape):
    job = JOBS[shape]()
    plan = plan_job(job)
    bars = {bar.id: bar for bar in plan.bars}
    rooms = {wall.id: wall.room for wall in job.walls}
    for name in ("mounting", "mounting-fixing"):
        own = [bars[each[0]] for each in table(job, name).rows]
        assert sorted(bar.id for bar in own) == sorted(bars)
        order = [room.id for room in job.rooms]
        walls = [wall.id for wall in job.walls]
        ways = [(order.index(rooms[bar.wall]), walls.index(bar.wall)) for bar in own]
        assert ways == sorted(ways)
        for wall in walls:
            lefts = [bar.left for bar in own if bar.wall == wall and not bar.upright]
            assert lefts == sorted(lefts)


def test_one_bar_by_hand():
    # 320 deep, 40 set back, half of 17: 320 - 40 - 8.5. An underside at 1400, a channel of 8.
    # The opening of 883 starts at 500; 2 of air and 2 of cap.
    assert only(one_bar(), "mounting") == (
        "R1.1", "A, Kitchen", "A1", "504", "271.5", "1392", "", "front", "straight down",
    )  # fmt: skip
    assert only(one_bar(), "mounting-fixing") == (
        "R1.1", "clips", "75, 438, 800 mm from the left end", "13 mm", "straight", "1", "0.22",
        "opal-17 873 mm",
    )  # fmt: skip


@pytest.mark.cross_check
@pytest.mark.parametrize("example", ["kitchen", "kitchen-with-pantry"])
def test_places_are_those_of_the_plan(example):
    job = read_example(example)
    plan = plan_job(job)
    mounts = {mount.bar: mount for mount in plan.mounts}
    for own, _, _, left, out, up, *_ in table(job, "mounting").rows:
        bar = next(bar for bar in plan.bars if bar.id == own)
        assert float(out) == pytest.approx(float(mounts[own].from_wall.value), abs=0.006)
        assert float(up) == pytest.approx(float(mounts[own].height.value), abs=0.006)
        assert float(left) + float(bar.length.value) / 2 == pytest.approx(
            float(mounts[own].at), abs=0.006
        )


def test_what_is_assumed_is_marked_beside_its_place():
    guessed = one_bar(A1={"assumed": ["at", "depth"]})
    assert only(guessed, "mounting")[6] == "left end, from wall"
    assert only(one_bar(A1={"assumed": ["bottom_height"]}), "mounting")[6] == "height"
    unread = only(one_bar(A1={"assumed": ["opening"]}), "mounting-fixing")
    assert unread[2] == "75, 438, 800 mm from the left end, assumed"
    assert unread[7] == "opal-17 873 mm, assumed"


def test_the_way_it_is_held_is_told():
    def held(**run: str) -> tuple[str, ...]:
        return only(one_bar(R1=run), "mounting-fixing")

    assert held(fixing="screws")[1:4] == ("screws", "75, 438, 800 mm from the left end", "13 mm")
    assert held(fixing="groove")[1:4] == ("groove, leaves 8 mm of the panel", "", "")
    assert held(fixing="tape")[1:4] == (
        "tape, 89 cm2, and clips", "75, 800 mm from the left end", "13 mm",
    )  # fmt: skip
    assert held(diffuser="no")[7] == "none"
    short = one_bar(allowances={"screw_length": 10})
    assert only(short, "mounting-fixing")[3] == "10 mm"


def test_the_way_in_is_told():
    tight = one_bar(A1={"underside": "framed"}, allowances={"end_clearance": 0})
    assert only(tight, "mounting-fixing")[4] == "level, both ends at once"
    assert (
        only(one_bar(A1={"mouth": 881}), "mounting-fixing")[4] == "straight; 2 mm to spare, mouth"
    )
    assert only(one_bar(A1={"mouth": 840}), "mounting-fixing")[4].startswith("tilted; 4 mm")
    assert only(one_bar(A1={"mouth": 5}), "mounting-fixing")[4] == "does not go in"


def test_a_splice_is_told():
    job = row(3208, underside="flush", R1={"over_length": "splice"},
              allowances={"longest_bar": 2000})  # fmt: skip
    assert "R1.1, channels joined at 1600 mm from the left end: ends square" in said(paper(job))
    assert only(job, "mounting-fixing")[7].endswith("joined at 1750 mm from the left end")
    assert "joined" not in said(paper(one_bar()))


def test_an_upright_bar_is_told_from_its_lower_end():
    job = one_bar(A1={"kind": "upright", "opening": (), "width": 40, "height": 883})
    assert only(job, "mounting-fixing")[2] == "75, 438, 800 mm from the lower end"
    assert "R1.1: upright" in said(paper(job))
    assert "upright" not in said(paper(one_bar()))


def test_two_people_are_asked_for_where_a_bar_is_long():
    assert "Two people hang R1.1." in cautions(paper(row(2500)))
    assert only(row(2500), "mounting-fixing")[5] == "2"
    assert "Two people" not in cautions(paper(one_bar()))


def test_the_hot_check_is_for_bars_that_light_and_get_a_diffuser():
    assert "half an hour" in cautions(paper(one_bar()))
    assert "half an hour" not in cautions(paper(one_bar(R1={"diffuser": "no"})))
    assert cautions(paper(one_bar(drop=["L1"], R1={"leg": None}))) == ""


def test_adhesive_is_minded_only_where_there_is_tape():
    assert "72 hours" in cautions(paper(one_bar(R1={"fixing": "tape"})))
    assert "72 hours" not in cautions(paper(one_bar()))


def test_each_wall_with_bars_is_drawn_and_each_kind_of_run_cut():
    job = read_example("kitchen-with-pantry")
    headings = [each.text for each in paper(job).blocks if isinstance(each, Heading)]
    assert headings[2:] == ["Wall A, Kitchen", "Wall B, Kitchen", "Wall P, Pantry"]
    drawn = pictures(job)
    assert all(len(line) <= 110 for picture in drawn for line in picture.rows)
    cut = [picture.about for picture in drawn if picture.rows[0].startswith("Section through")]
    assert cut == [f"Seen from the left: R{n}." for n in range(1, 6)]
    walls = [picture for picture in drawn if picture.about.startswith("Wall ")]
    assert ["A3" in "".join(each.rows) for each in walls] == [True, False, False]
    assert all("|--" in "".join(picture.rows) for picture in drawn)  # each has its scale


def test_lengths_are_in_the_unit_of_the_job():
    job = one_bar()
    inches = Job.model_validate(job.model_dump(by_alias=True) | {"job": {"length_unit": "in"}})
    found = only(inches, "mounting")
    assert table(inches, "mounting").head[4] == "from wall [in]"
    assert found[4] == "10 11/16"  # 271.5 mm
    assert only(inches, "mounting-fixing")[3] == "1/2 in"


def test_names_stay_as_they_were_typed():
    assert only(one_bar(K={"name": TYPED}), "mounting")[1] == f"A, {TYPED}"


def test_no_bar_is_said():
    assert said(paper(Job())) == "There is no bar to hang."
    assert cautions(paper(Job())) == ""


@pytest.mark.property
@quick(20)
@given(any_job())
def test_any_job_has_each_bar_once_and_pictures_that_fit(job):
    plan = plan_job(job)
    blocks = mounting_paper(plan)
    bars = sorted(bar.id for bar in plan.bars)
    tables = [each for each in blocks if isinstance(each, Grid)]
    assert all(sorted(own for own, *_ in each.rows) == bars for each in tables)
    assert len(tables) == (2 if bars else 0)
    assert all(
        len(line) <= 110 for each in blocks if isinstance(each, Picture) for line in each.rows
    )

"""A width that changes pushes what touches it along its wall, and nothing else anywhere."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from jobs import any_job, built, row

from pelmet.model.edit.add import add_item
from pelmet.model.edit.survey import end_of_wall_things, next_free, resize, touching
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal


def places(job: Job) -> dict[str, Decimal]:
    return {thing.id: thing.at for thing in (*job.cabinets, *job.obstacles)}


def moved(before: Job, after: Job) -> dict[str, Decimal]:
    """Give by how much each thing moved."""
    then, now = places(before), places(after)
    return {name: now[name] - then[name] for name in now if now[name] != then[name]}


def test_neighbours_that_touch_move_along_by_as_much():
    job = row(600, 600, 600)
    assert moved(job, resize(job, "cabinet", "A1", Decimal(650))) == {"A2": 50, "A3": 50}
    assert moved(job, resize(job, "cabinet", "A2", Decimal(550))) == {"A3": -50}
    assert moved(job, resize(job, "cabinet", "A3", Decimal(900))) == {}


def test_a_gap_stops_the_push():
    job = row(600, 600, gap=1)
    assert moved(job, resize(job, "cabinet", "A1", Decimal(650))) == {}


def test_what_stands_to_the_left_stays():
    job = row(600, 600, 600)
    assert "A1" not in moved(job, resize(job, "cabinet", "A3", Decimal(300)))


def test_a_hood_between_cabinets_passes_the_push_on():
    job = read_example("kitchen")
    after = resize(job, "cabinet", "A1", Decimal(650))
    assert moved(job, after) == {"A2": 50, "O1": 50, "A3": 50, "O2": 50}


def test_a_stile_moves_with_the_cabinet_it_stands_in_but_not_with_its_own_width():
    job = read_example("kitchen")
    assert moved(job, resize(job, "cabinet", "A2", Decimal(780)))["O2"] == -20
    assert moved(job, resize(job, "cabinet", "A3", Decimal(900))) == {}


def test_other_walls_and_rooms_never_move():
    job = read_example("kitchen-with-pantry")
    walls = {thing.id: thing.wall for thing in (*job.cabinets, *job.obstacles)}
    for cabinet in job.cabinets:
        after = resize(job, "cabinet", cabinet.id, cabinet.width + 7)
        assert all(walls[name] == cabinet.wall for name in moved(job, after))


def test_an_open_side_has_no_width_and_ends_no_chain_of_its_own():
    job = row(600, 600, at=0, add={"obstacles": [
        {"id": "O1", "wall": "A", "kind": "open side", "at": 600, "width": 0},
    ]})  # fmt: skip
    assert moved(job, resize(job, "cabinet", "A1", Decimal(640))) == {"A2": 40}


def test_the_mark_says_whether_the_new_width_was_measured():
    job = row(600, 600)
    assert resize(job, "cabinet", "A1", Decimal(610), assumed=True).cabinets[0].assumed == (
        "width",
    )
    again = resize(
        resize(job, "cabinet", "A1", Decimal(610), assumed=True), "cabinet", "A1", Decimal(610)
    )
    assert again.cabinets[0].assumed == ()


def test_a_place_that_was_assumed_is_still_assumed_after_a_push():
    job = row(600, 600, A2={"assumed": ["at"]})
    assert resize(job, "cabinet", "A1", Decimal(700)).cabinets[1].assumed == ("at",)


def test_a_push_off_the_longest_wall_there_can_be_is_refused():
    job = built(
        {
            "rooms": [{"id": "K", "name": "K"}],
            "walls": [{"id": "A", "room": "K", "length": 50_000}],
            "cabinets": [
                {"id": f"A{n}", "wall": "A", "at": at, "width": 10_000, "depth": 320,
                 "bottom_height": 1400}
                for n, at in enumerate((30_000, 40_000), 1)
            ],
        }
    )  # fmt: skip
    with pytest.raises(Refusal, match="ange"):
        resize(job, "cabinet", "A1", Decimal(20_001))
    with pytest.raises(Refusal, match="ange"):
        resize(job, "cabinet", "A1", Decimal(20_000) + Decimal("0.5"))


def pushed(job: Job, item_id: str) -> set[str]:
    """Work out what a push reaches by growing a set until it no longer grows: a second way."""
    things = {thing.id: thing for thing in (*job.cabinets, *job.obstacles)}
    cabinets = {cabinet.id for cabinet in job.cabinets}
    pusher = things[item_id]
    reached: set[str] = set()
    while True:
        edges = {things[name].at + things[name].width for name in (*reached, item_id)}
        more = {
            name
            for name, thing in things.items()
            if name != item_id
            and thing.wall == pusher.wall
            and (
                (thing.at in edges and thing.width > 0)
                or any(
                    things[inside].at < thing.at
                    and thing.at + thing.width < things[inside].at + things[inside].width
                    for inside in reached & cabinets
                )
            )
        }
        if more <= reached:
            return reached
        reached |= more


WIDTHS = st.sampled_from([300, 400, 600]).map(Decimal)


@st.composite
def walls_of_things(draw: st.DrawFn) -> Job:
    """A wall of cabinets and obstacles, most of them edge to edge, some with gaps."""
    at = Decimal(0)
    tables: dict[str, list[dict[str, object]]] = {"cabinets": [], "obstacles": []}
    for number in range(draw(st.integers(1, 7))):
        width = draw(WIDTHS)
        at += draw(st.sampled_from([0, 0, 0, 0, 25]))
        if draw(st.integers(0, 3)):
            tables["cabinets"].append(
                {"id": f"A{number}", "wall": "A", "at": at, "width": width, "depth": 320,
                 "bottom_height": 1400}
            )  # fmt: skip
            if draw(st.booleans()):
                tables["obstacles"].append(
                    {"id": f"O{number}", "wall": "A", "kind": "stile", "at": at + 100, "width": 40}
                )
        else:
            tables["obstacles"].append(
                {"id": f"H{number}", "wall": "A", "kind": "hood", "at": at, "width": width}
            )
        at += width
    return built(
        {
            "rooms": [{"id": "K", "name": "K"}],
            "walls": [{"id": "A", "room": "K", "length": 9000}],
            **tables,
        }
    )


@pytest.mark.cross_check
@pytest.mark.property
@given(walls_of_things(), st.sampled_from([-250, -1, 1, 250]))
def test_the_push_reaches_what_a_second_way_of_counting_says(job, by):
    for kind, things in (("cabinet", job.cabinets), ("obstacle", job.obstacles)):
        for thing in things:
            if thing.width + by < 1:
                continue
            after = resize(job, kind, thing.id, thing.width + by)
            assert moved(job, after) == dict.fromkeys(pushed(job, thing.id), by)


@pytest.mark.property
@given(walls_of_things(), st.sampled_from([-7, 1, 7]))
def test_pushing_there_and_back_puts_all_back(job, by):
    for cabinet in job.cabinets:
        there = resize(job, "cabinet", cabinet.id, cabinet.width + by)
        assert resize(there, "cabinet", cabinet.id, cabinet.width) == job


@pytest.mark.property
@settings(max_examples=50)
@given(any_job())
def test_a_chain_has_each_thing_once_and_never_the_pusher(job):
    for thing in (*job.cabinets, *job.obstacles):
        names = [each.id for each in touching(job, thing)]
        assert len(names) == len(set(names))
        assert thing.id not in names


@pytest.mark.property
@settings(max_examples=50)
@given(any_job(), st.integers(0, 4000))
def test_nothing_stands_at_the_next_free_place(job, after):
    for wall in job.walls:
        at = next_free(job, wall.id, Decimal(after))
        assert at >= after
        for thing in (*job.cabinets, *job.obstacles):
            if thing.wall == wall.id:
                assert not thing.at <= at < thing.at + thing.width


def test_the_end_of_a_wall_is_the_right_edge_of_its_last_cabinet():
    job = read_example("kitchen")
    assert (end_of_wall_things(job, "A"), end_of_wall_things(job, "B")) == (2883, 2550)
    assert end_of_wall_things(add_item(job, "wall")[0], "C") == 0

"""Areas of a site: what belongs together, how each is planned, and what is remembered of it."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from unittest.mock import patch

import pytest
from draws import quick
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job, many_bars
from test_plan_total import forget, told

from pelmet.model.edit.change import set_value
from pelmet.model.job.job import Job
from pelmet.model.plan import stages
from pelmet.model.plan.areas import PLANNED, Area, areas_of
from pelmet.model.plan.stages import plan_job


def rooms_of(job: Job) -> list[list[str]]:
    return [[room.id for room in area[0]] for area in areas_of(job)]


def test_rooms_that_nothing_joins_are_areas_of_their_own():
    assert rooms_of(many_bars()) == [["K1"], ["K2"], ["K3"]]


@pytest.mark.parametrize(
    "change", [("run", "K1AR", "leg", "K3AL"), ("supply", "K3S", "cabinet", "K1A1"),
               ("leg", "K1AL", "via", ("K3A1",)), ("leg", "K1AL", "avoid", ("K3A1",)),
               ("leg", "K1AL", "supply", "K3S")],
)  # fmt: skip
def test_what_joins_two_rooms_makes_them_one_area(change):
    assert rooms_of(set_value(many_bars(), *change)) == [["K1", "K3"], ["K2"]]


def in_one(job: Job) -> tuple[Area, ...]:
    """Take a whole site for one area."""
    return (tuple(job.table(kind) for kind in PLANNED),)


@pytest.mark.property
@quick(50)
@given(any_job())
def test_a_site_is_planned_area_by_area_as_it_is_in_one(job):
    apart = told(plan_job(job))
    with patch.object(stages, "areas_of", in_one):
        assert told(plan_job(job)) == apart


@pytest.mark.property
@quick(20)
@given(st.lists(st.tuples(st.integers(0, 29), st.integers(500, 640)), min_size=1, max_size=6))
def test_after_any_edits_a_plan_is_that_of_a_cold_start(edits):
    job = many_bars()
    for row, width in edits:
        job = set_value(job, "cabinet", job.cabinets[row].id, "width", width)
        warm = told(plan_job(job))
    forget()
    assert told(plan_job(job)) == warm


@pytest.mark.property
@quick(30)
@given(st.one_of(any_job(), st.just(many_bars())))
def test_what_is_looked_up_in_the_areas_routes_is_what_all_cables_say(job):
    joined = plan_job(job).routes
    whole = replace(joined, areas=())
    for name in (
        "by_leg", "known_by_leg", "by_run", "passed", "legs_in_walls", "legs_through_holes",
    ):  # fmt: skip
        assert getattr(joined, name) == getattr(whole, name), name
    for routes in (joined, whole):
        assert sorted(
            cable.id for room in routes.in_room.values() for cable in room.cables
        ) == sorted(cable.id for cable in joined.cables)


@contextmanager
def areas_planned() -> Iterator[Callable[[], list[str]]]:
    """Tell of each area that is planned anew the first room."""
    planned: list[str] = []
    lay_out = stages.lay_out_rooms

    def seen(job: Job) -> object:
        planned.append(job.rooms[0].id)
        return lay_out(job)

    with patch.object(stages, "lay_out_rooms", seen):
        yield planned.copy


@pytest.mark.parametrize(
    ("change", "planned"),
    [
        (("cabinet", "K2A3", "width", 590), ["K2"]),
        (("obstacle", "K2P", "width", 40), ["K2"]),
        (("leg", "K3AL", "cable", "pair-20"), ["K3"]),
        (("site", "", "name", "Another name"), []),
        (("cabinet", "K2A3", "note", "its door sticks"), []),
        (("leg", "K3AL", "note", "ask first"), []),
        (("site", "", "needed_by", "2027-05-05"), []),
        (("allowances", "", "end_clearance", 3), ["K1", "K2", "K3"]),
    ],
)
def test_an_edit_plans_only_the_areas_that_it_is_in(change, planned):
    job = many_bars()
    pipe = {"id": "K2P", "wall": "K2A", "kind": "pipe", "at": 900, "width": 30}
    job = Job.model_validate({**job.model_dump(by_alias=True), "obstacle": [pipe]})
    plan_job(job)
    with areas_planned() as anew:
        plan = plan_job(set_value(job, *change))
        assert anew() == planned
        plan_job(job)
        assert anew() == planned, "what was planned before is known still"
    assert plan.job == set_value(job, *change)


def test_what_is_remembered_is_bounded():
    job = many_bars(1)
    with patch.object(stages, "_OTHER_AREAS", 3):
        for lip in range(6):
            plan_job(set_value(job, "cabinet", "K1A1", "lip", lip))
        assert len(stages._plan_area._known) == 1 + 3

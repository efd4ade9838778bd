"""A job that has come some way: new things take over choices, no past, and leave what is there."""

from collections import deque

import pytest
from draws import quick
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job

from pelmet.model.edit.add import add_item
from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.edit.options.feeding import feed_runs
from pelmet.model.edit.propose import propose_power, propose_runs
from pelmet.model.examples import read_example
from pelmet.model.job.built import STATUSES, past
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.order.status import anything_bought, is_bought
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal

PARTS, OWN = bundled_catalogue(), Catalogue()


def at(job: Job, status: str) -> Job:
    """Give a job all of whose runs have come so far."""
    runs = tuple(run.model_copy(update={"status": status, "batch": "B7"}) for run in job.runs)
    return rebuilt(job, runs=runs)


def with_pantry(job: Job, shelves: int = 3) -> Job:
    """Add a pantry of one wall with some cabinets that have no run yet."""
    job, room = add_item(job, "room")
    job, wall = add_item(job, "wall", job.find("room", room))
    near = job.find("wall", wall)
    for _ in range(shelves):
        job, item_id = add_item(job, "cabinet", near)
        job = set_value(job, "cabinet", item_id, "underside", "framed")
        near = job.find("cabinet", item_id)
    return job


def fed(job: Job) -> Job:
    """Give every run that can be fed what is proposed to feed it."""
    if anything_bought(job):
        return deque(feed_runs(job, OWN), maxlen=1).pop().job
    return propose_power(job, PARTS)


@pytest.mark.parametrize("kind", ["run", "supply", "leg", "cabinet"])
def test_the_next_thing_takes_over_no_past(kind):
    job = at(with_pantry(read_example("kitchen")), "proved")
    job = set_value(job, "supply", job.supplies[-1].id, "isolator", "spur beside the hood")
    job = set_value(job, "supply", job.supplies[-1].id, "breaker", "B6")
    for thing in job.table(kind):
        job = set_value(job, kind, thing.id, "note", "scratched")
    job, item_id = add_item(job, kind, job.table(kind)[-1])
    new = job.find(kind, item_id)
    assert not new.note
    own = {
        "run": {"status": "surveyed", "batch": "", "leg": None, "far_leg": None},
        "supply": {"isolator": "", "breaker": "not known", "connection": "not known"},
        "leg": {"length": None, "fuse": None},
        "cabinet": {"opening": ()},
    }
    assert {field: getattr(new, field) for field in own[kind]} == own[kind]


def test_proposed_runs_take_over_the_choices_of_the_last_one_and_are_surveyed():
    job = at(read_example("kitchen"), "proved")
    job = set_value(job, "run", job.runs[-1].id, "facing", "60 to wall")
    more = propose_runs(with_pantry(job))
    old = len(job.runs)
    assert more.runs[:old] == job.runs
    assert len(more.runs) > old
    for run in more.runs[old:]:
        assert (run.status, run.batch, run.leg) == ("surveyed", "", None)
        assert (run.strip, run.channel, run.facing) == (
            job.runs[-1].strip, job.runs[-1].channel, "60 to wall",
        )  # fmt: skip


def test_a_full_supply_that_is_bought_stays_and_what_is_new_gets_its_own_in_its_room():
    job = at(read_example("kitchen"), "proved")
    more = fed(propose_runs(with_pantry(job, 6)))
    assert more.supplies[: len(job.supplies)] == job.supplies
    assert len(more.supplies) == len(job.supplies) + 1
    walls = {wall.id for wall in more.walls if wall.room == more.rooms[-1].id}
    home = more.find("cabinet", more.supplies[-1].cabinet)
    assert home.wall in walls
    found = {finding.code for finding in plan_job(more).findings}
    assert not found & {"supply-overloaded", "terminals-short"}


def test_a_supply_that_is_not_bought_yet_gives_way_to_a_larger_one_as_before():
    job = at(read_example("kitchen"), "approved")
    more = propose_power(propose_runs(with_pantry(job, 6)), PARTS)
    assert len(more.supplies) == len(job.supplies)


@pytest.mark.property
@quick(40)
@given(any_job(), st.data())
def test_no_proposal_changes_what_is_bought(job, data):
    runs = tuple(
        run.model_copy(update={"status": data.draw(st.sampled_from(STATUSES))}) for run in job.runs
    )
    job = more = rebuilt(job, runs=runs)
    for propose in (propose_runs, fed):
        try:
            more = propose(more)
        except Refusal:
            continue
    for run in job.runs:
        if run.leg and past(run, "ordered"):
            assert more.find("run", run.id) == run
            assert more.find("leg", run.leg) == job.find("leg", run.leg)
    for supply in job.supplies:
        if is_bought(job, supply):
            assert more.find("supply", supply.id) == supply

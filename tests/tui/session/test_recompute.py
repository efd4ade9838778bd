"""A plan is worked out when the job changes, once, and not when one only moves or looks."""

import pytest
from frames import heap, press, resize, stand, wizard, write

from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import Catalogue
from pelmet.tui.panes.drawings import DRAWINGS
from pelmet.tui.session import planning as held_by
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import STEPS


@pytest.fixture
def planned(monkeypatch):
    """Count how often a plan is worked out."""
    count = []
    steps = held_by.plan_steps

    def counting(unplanned):
        count.append(unplanned)
        return steps(unplanned)

    monkeypatch.setattr(held_by, "plan_steps", counting)
    return count


def test_one_keystroke_that_changes_the_job_makes_one_plan(planned):
    session = Session(read_example("kitchen"), Catalogue())
    session.go_to("cabinet", "A1", "width")
    planned.clear()
    for text in ("6", "61", "610"):
        session.type(text)
    assert len(planned) == 3
    session.accept()
    assert len(planned) == 3


def test_a_key_that_leaves_the_job_as_it_was_makes_none(planned):
    session = Session(read_example("kitchen"), Catalogue())
    session.go_to("cabinet", "A1", "width")
    session.type("610x")
    planned.clear()
    for text in ("610xy", "610xyz", "", "600"):
        session.type(text)
    assert planned == []


@pytest.mark.journey
async def test_walking_and_looking_make_no_plan(tmp_path, planned):
    async with wizard("kitchen", tmp_path, (120, 40)) as pilot:
        planned.clear()
        for step in STEPS:
            await press(pilot, step.key, "down", "down", "pagedown", "up")
        await press(pilot, "f1", "escape", "ctrl+l", "escape", "f12", "escape")
        await resize(pilot, 80, 24)
        await press(pilot, "f2", "ctrl+b", "enter", "f2")
        for _ in DRAWINGS:
            await press(pilot, "ctrl+d", "right", "down", "left", "up", "space", "escape")
        assert planned == []


@pytest.mark.journey
async def test_a_key_through_the_whole_program_makes_one_plan(tmp_path, planned):
    async with wizard("kitchen", tmp_path, (120, 40)) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        planned.clear()
        await write(pilot, "6")
        assert len(planned) == 1
        await heap(pilot, *"12", "enter")
        assert len(planned) == 3

"""Noting in the wizard how far runs have come, and letting one go back."""

import pytest
from frames import dialog, held, press, stand, told, wizard, write
from screens import frame

from pelmet.model.edit.building import note_built
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.store.store_file import load_store
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.tui.places import offcut_store, remember_name

pytestmark = pytest.mark.journey


@pytest.fixture(autouse=True)
def _named():
    remember_name("Jo")


def proved():
    job = read_example("kitchen")
    return note_built(make_folder(plan_job(job)), [run.id for run in job.runs], "proved")


async def say_day(pilot, day="2027-03-01"):
    await press(pilot, "ctrl+a", "ctrl+k")
    await write(pilot, day)
    await press(pilot, "enter")


async def test_all_runs_are_noted_as_proved_with_one_list_and_a_day(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "f7", "ctrl+f", *["down"] * 6, "enter")
        shown = frame(pilot.app)
        assert "17 pieces out of 8 lengths" in shown
        assert "5 bars hung, 7 holes drilled, 6 cables laid, 1 supply fitted" in " ".join(
            shown.replace("|", " ").split()
        )
        await press(pilot, "down", "enter")
        await say_day(pilot)
        assert told(pilot).startswith("Noted: 17 pieces")
        job = held(pilot).job
        assert {run.status for run in job.runs} == {"proved"}
        assert {(each.day, each.by) for each in (*job.cuts, *job.hung)} == {("2027-03-01", "Jo")}
        await press(pilot, "ctrl+s")
        said = {(cut.part, cut.rest) for cut in job.cuts if cut.kept == "in the store"}
        assert said
        assert {(each.part, each.length) for each in load_store(offcut_store()).pieces} == said
        assert load_job(tmp_path / "job.toml") == held(pilot).job
        await press(pilot, "ctrl+z", "ctrl+s")
        assert load_store(offcut_store()).pieces == ()


async def test_a_status_that_is_typed_notes_what_it_says(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "run", "R1", "status")
        await write(pilot, "cut")
        await press(pilot, "enter")
        assert "R1 cut, as the papers list it: 4 pieces out of 3 lengths" in frame(pilot.app)
        await press(pilot, "enter")
        await say_day(pilot, "tomorrow")
        assert dialog(pilot)
        await say_day(pilot)
        job = held(pilot).job
        assert {name for cut in job.cuts for name in cut.pieces} <= {"R1.1", "spare"}
        assert job.find("run", "R1").status == "cut"


async def test_esc_notes_nothing_and_the_finding_says_how(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "run", "R1", "status")
        await write(pilot, "cut")
        await press(pilot, "enter")
        await press(pilot, "escape")
        assert told(pilot) == "Not noted; Ctrl+F notes it later"
        assert held(pilot).job.cuts == ()
        (found,) = (one for one in held(pilot).plan.findings if one.code == "status-ahead")
        assert "Ctrl+F" in found.remedy


async def test_going_back_asks_why_and_is_one_step(tmp_path):
    async with wizard(proved(), tmp_path) as pilot:
        before = held(pilot).job
        await stand(pilot, "run", "R3", "status")
        await press(pilot, *["left"] * 5, "enter")
        assert "R3 goes back to ordered: why?" in frame(pilot.app)
        await press(pilot, "enter")
        assert dialog(pilot)
        await write(pilot, "hood moved")
        await press(pilot, "enter")
        await say_day(pilot)
        job = held(pilot).job
        assert "R3" not in {each.run for each in job.hung}
        assert (job.diary[-1].run, job.diary[-1].why) == ("R3", "hood moved")
        await press(pilot, "ctrl+z")
        assert held(pilot).job == before


async def test_esc_at_the_reason_leaves_the_status_as_it_was(tmp_path):
    async with wizard(proved(), tmp_path) as pilot:
        await stand(pilot, "run", "R3", "status")
        await press(pilot, *["left"] * 5, "enter", "escape")
        assert held(pilot).job.find("run", "R3").status == "proved"


async def test_a_length_that_came_out_otherwise_is_corrected_in_its_form(tmp_path):
    async with wizard(proved(), tmp_path) as pilot:
        await stand(pilot, "hung", "hung1", "length")
        await write(pilot, "1380")
        await press(pilot, "enter")
        assert next(bar for bar in held(pilot).plan.bars if bar.id == "R1.1").length.value == 1380

"""A job that has come some way opens with how it stands, and is handed over whole."""

import pytest
from frames import dialog, held, place, press, shown, told, wizard, wizard_of
from screens import frame, until

from pelmet.model.edit.change import set_value
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.job.saving import save_job
from pelmet.tui.app import Pelmet
from pelmet.tui.dialogs.standing import StandingPicker
from pelmet.tui.wizard.commands import command_named

pytestmark = pytest.mark.journey


@pytest.fixture
def begun(tmp_path):
    """A kitchen with one run cut."""
    job = set_value(read_example("kitchen"), "run", "R2", "status", "cut")
    save_job(job, tmp_path / "job.toml", None)
    return tmp_path / "job.toml"


def listed(pilot) -> list[str]:
    return pilot.app.screen.query_one("#dialog-options").text.splitlines()


async def test_it_opens_with_how_it_stands_and_enter_goes_to_each_thing(begun):
    async with shown(Pelmet(begun)) as pilot:
        assert isinstance(pilot.app.screen, StandingPicker)
        assert listed(pilot)[0].strip() == "How far each run is"
        assert "How far each run is" in frame(pilot.app)
        await press(pilot, "up", "down")
        assert "its bars and strip are cut" in pilot.app.screen.query_one("#dialog-detail").text
        await press(pilot, "enter")
        assert place(pilot) == ("run", "R2", "status")
        assert not dialog(pilot)
        rows = {}
        await do(pilot, "standing")
        at = len(listed(pilot))
        for _ in range(at):
            row = next(text for text in listed(pilot) if text.startswith(">"))
            rows[row] = None
            await press(pilot, "down")
        assert not any("Supplies" in row or "Joints" in row for row in rows)
        await press(pilot, "enter")
        assert place(pilot)[0] == "offer"


async def do(pilot, name: str) -> None:
    """Run a command that has no key, as the palette does."""
    command_named(name).act(wizard_of(pilot)._actions)
    await until(pilot, lambda: dialog(pilot))


@pytest.mark.parametrize(("key", "step"), [("escape", "Rooms"), ("f6", "Power"), ("f7", "Papers")])
async def test_esc_or_a_steps_key_goes_on_as_usual(begun, key, step):
    async with shown(Pelmet(begun)) as pilot:
        await press(pilot, key)
        assert not dialog(pilot)
        assert held(pilot).place.step.name == step


async def test_a_job_of_which_nothing_was_done_starts_as_ever(tmp_path):
    save_job(read_example("kitchen"), tmp_path / "job.toml", None)
    async with shown(Pelmet(tmp_path / "job.toml")) as pilot:
        assert not dialog(pilot)


async def test_the_whole_job_goes_into_a_new_file_and_never_over_another(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await do(pilot, "hand_over")
        assert "job-handover.toml" in frame(pilot.app)
        await press(pilot, "enter")
        await until(pilot, lambda: told(pilot).startswith("Wrote"))
        assert load_job(tmp_path / "job-handover.toml") == held(pilot).job
        await do(pilot, "hand_over")
        await press(pilot, "enter")
        assert "is there already" in frame(pilot.app)


async def test_on_the_page_of_the_handover_a_toml_name_gets_the_whole_job(tmp_path):
    async with wizard("kitchen", tmp_path, (120, 40)) as pilot:
        await press(pilot, "f7", *["pagedown"] * 13)
        assert place(pilot)[1] == "handover"
        wizard_of(pilot).query_one("#entry-text").value = "mine.toml"
        await press(pilot, "enter")
        await until(pilot, lambda: told(pilot).startswith("Wrote"))
        assert load_job(tmp_path / "mine.toml") == held(pilot).job

"""Somebody else saved the job meanwhile: both versions become one, asked where they differ."""

import pytest
from frames import held, press, stand, told, wizard, write
from screens import frame

from pelmet.model.edit.change import set_value
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.job.saving import save_job

pytestmark = pytest.mark.journey


def saved_meanwhile(folder, *change) -> None:
    """Let a colleague change one thing in the file."""
    theirs = set_value(read_example("kitchen"), *change)
    save_job(theirs, folder / "job.toml", None, overwrite=True)


async def test_what_both_did_is_in_one_job_with_two_keys_and_saved_with_one(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "depth")
        await write(pilot, "310")
        saved_meanwhile(tmp_path, "cabinet", "A2", "lip", 22)
        await press(pilot, "ctrl+s")
        assert "> Save mine under another name" in frame(pilot.app)
        await press(pilot, "down", "down", "enter")
        assert told(pilot).startswith("Both are in the job now")
        assert held(pilot).dirty
        await press(pilot, "ctrl+s")
        assert told(pilot) == "Saved job.toml"
        job = load_job(tmp_path / "job.toml")
        assert (job.find("cabinet", "A1").depth, job.find("cabinet", "A2").lip) == (310, 22)
        await press(pilot, "ctrl+z")
        assert held(pilot).job.find("cabinet", "A1").depth == 310


@pytest.mark.parametrize(("keys", "depth"), [((), 310), (("down",), 290), (("down",) * 2, 320)])
async def test_what_both_changed_is_asked_in_trade_words(tmp_path, keys, depth):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "depth")
        await write(pilot, "310")
        saved_meanwhile(tmp_path, "cabinet", "A1", "depth", 290)
        await press(pilot, "ctrl+s", "down", "down", "enter")
        shown = frame(pilot.app)
        for words in (
            "1 to decide: cabinet A1 Depth",
            "Mine: 310",
            "Theirs: 290",
            "As it was: 320",
        ):
            assert words in shown
        await press(pilot, *keys, "enter")
        assert held(pilot).job.find("cabinet", "A1").depth == depth


async def test_a_value_of_ones_own_is_read_like_a_forms(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "depth")
        await write(pilot, "310")
        saved_meanwhile(tmp_path, "cabinet", "A1", "depth", 290)
        await press(pilot, "ctrl+s", "down", "down", "enter", *["down"] * 3, "enter")
        assert "A value of your own for cabinet A1 Depth" in frame(pilot.app)
        await press(pilot, "escape")
        assert "Another value, to be typed" in frame(pilot.app)
        await press(pilot, *["down"] * 3, "enter")
        await write(pilot, "3,00")
        await press(pilot, "x", "enter")
        assert "A value of your own for cabinet A1 Depth" in frame(pilot.app)
        await press(pilot, "ctrl+a", "ctrl+k")
        await write(pilot, "30.5 cm?")
        await press(pilot, "enter")
        cabinet = held(pilot).job.find("cabinet", "A1")
        assert (cabinet.depth, "depth" in cabinet.assumed) == (305, True)


async def test_esc_leaves_both_as_they_are(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "depth")
        await write(pilot, "310")
        saved_meanwhile(tmp_path, "cabinet", "A1", "depth", 290)
        before = (tmp_path / "job.toml").read_bytes()
        mine = held(pilot).job
        await press(pilot, "ctrl+s", "down", "down", "enter", "escape")
        assert told(pilot) == "Nothing is merged, and nothing is saved"
        assert held(pilot).job == mine
        assert (tmp_path / "job.toml").read_bytes() == before

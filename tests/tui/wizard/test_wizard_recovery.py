"""Work that was never saved: kept as one types, offered again, dropped when it is safe."""

import pytest
from frames import (
    held,
    in_recovery,
    press,
    shown,
    stand,
    told,
    wizard,
    wizard_of,
    write,
)
from jobs import one_bar
from screens import frame, settle, until

from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job, open_job
from pelmet.model.file.job.recovery import find_recoveries, write_recovery
from pelmet.model.file.job.saving import save_job
from pelmet.tui.app import Pelmet
from pelmet.tui.places import recovery_folder

pytestmark = pytest.mark.journey

NOBODY = 2**22 + 1  # more than any process number there is


async def rename(pilot, name="Other"):
    await stand(pilot, "site", "", "name")
    await write(pilot, name)
    await press(pilot, "enter")


async def test_no_place_for_recovery_is_said_and_work_goes_on(tmp_path, own_folders):
    (own_folders / "state").write_text("not a folder")
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "x")
        await until(pilot, lambda: "No recovery file" in told(pilot))
        await press(pilot, "ctrl+s")
        assert told(pilot) == "Saved job.toml"


def names_kept() -> list[str]:
    return [load_job(each).site.name for each in in_recovery()]


async def test_every_edit_is_soon_in_the_recovery_file_and_goes_when_saved(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await write(pilot, "Oth")
        await until(pilot, lambda: names_kept() == ["Oth"])
        await write(pilot, "er")
        await until(pilot, lambda: names_kept() == ["Other"])
        await press(pilot, "ctrl+s")
        assert in_recovery() == []


async def test_taking_everything_back_leaves_nothing_to_recover(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await rename(pilot)
        wizard_of(pilot).keeping.flush()
        await press(pilot, "ctrl+z")
        wizard_of(pilot).keeping.flush()
        assert in_recovery() == []
        await press(pilot, "f10")
    assert pilot.app.return_code == 0


async def test_unsaved_work_is_offered_first_and_never_without_a_file_of_its_own():
    job = one_bar()
    write_recovery(recovery_folder(), job, None, None, NOBODY)
    async with shown(Pelmet()) as pilot:
        assert "> Unsaved work: New job" in frame(pilot.app)
        await pilot.press("enter")
        assert in_recovery()
        await settle(pilot)
        assert held(pilot).job == job
        assert held(pilot).dirty
        assert in_recovery()
        wizard_of(pilot).keeping.flush()
        assert [each.job for each in find_recoveries(recovery_folder()).jobs] == [job]


def lost(path, name="Lost and found"):
    """Leave unsaved work on a file behind, as a killed program does."""
    opened = open_job(path)
    site = opened.job.site.model_copy(update={"name": name})
    job = opened.job.model_copy(update={"site": site})
    write_recovery(recovery_folder(), job, path, opened.digest, NOBODY)


@pytest.mark.parametrize(
    ("keys", "name", "left"),
    [
        (["enter"], "Lost and found", 1),
        (["escape"], None, 1),
        (["down", "enter"], None, 1),
        (["down", "down", "enter"], None, 0),
    ],
    ids=["take it up", "escape", "later", "throw away"],
)
async def test_a_job_with_unsaved_work_offers_it_when_opened(tmp_path, keys, name, left):
    path = tmp_path / "job.toml"
    save_job(read_example("kitchen"), path, None)
    lost(path)
    async with shown(Pelmet(path)) as pilot:
        assert "Unsaved work" in frame(pilot.app)
        await press(pilot, *keys)
        assert held(pilot).job.site.name == (name or read_example("kitchen").site.name)
        assert held(pilot).dirty == bool(name)
        assert len(in_recovery()) == left
        if name:
            await press(pilot, "ctrl+s")
            assert load_job(path).site.name == name


async def test_recovered_work_does_not_write_over_a_file_that_changed_since(tmp_path):
    path = tmp_path / "job.toml"
    save_job(read_example("kitchen"), path, None)
    lost(path)
    path.write_text(path.read_text().replace("Plover Close", "Plover Road"))
    async with shown(Pelmet(path)) as pilot:
        await press(pilot, "enter", "ctrl+s")
        assert "changed the file" in frame(pilot.app)
    assert "Plover Road" in path.read_text()


async def test_what_was_saved_as_the_program_ended_is_no_unsaved_work(tmp_path):
    path = tmp_path / "job.toml"
    save_job(read_example("kitchen"), path, None)
    write_recovery(recovery_folder(), load_job(path), path, "the digest before", NOBODY)
    async with shown(Pelmet(path)) as pilot:
        assert "Unsaved work" not in frame(pilot.app)
        assert not held(pilot).dirty
        assert in_recovery() == []


@pytest.mark.parametrize("gone", [True, False], ids=["file gone", "file there"])
async def test_work_taken_up_from_the_start_can_be_undone_to_what_the_file_holds(tmp_path, gone):
    path = tmp_path / "job.toml"
    save_job(read_example("kitchen"), path, None)
    lost(path)
    if gone:
        path.unlink()
    async with shown(Pelmet()) as pilot:
        await press(pilot, "enter")
        assert held(pilot).job.site.name == "Lost and found"
        assert held(pilot).dirty
        assert held(pilot).path == path
        assert held(pilot).can_undo == (not gone)
        await press(pilot, "ctrl+s")
        if gone:
            assert "gone" in frame(pilot.app)
            await press(pilot, "down", "enter")
    assert load_job(path).site.name == "Lost and found"

"""Saving, opening, leaving: nothing is lost without a person saying so."""

import errno
from itertools import product
from pathlib import Path

import pytest
from frames import (
    dialog,
    held,
    in_recovery,
    place,
    press,
    shown,
    stand,
    told,
    wizard,
    wizard_of,
    write,
)
from jobs import one_bar
from screens import frame

from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.job.saving import previous_path, save_job
from pelmet.tui.app import Pelmet
from pelmet.tui.places import recent_jobs

pytestmark = pytest.mark.journey

NOBODY = 2**22 + 1  # more than any process number there is


async def rename(pilot, name="Other"):
    await stand(pilot, "site", "", "name")
    await write(pilot, name)
    await press(pilot, "enter")


def dialog_file(pilot):
    return pilot.app.screen.query_one("#dialog-text")


async def test_a_saved_file_holds_the_job_and_the_last_version_is_kept(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await rename(pilot)
        assert "* not saved" in frame(pilot.app)
        await press(pilot, "ctrl+s")
        assert told(pilot) == "Saved job.toml"
        assert "* not saved" not in frame(pilot.app)
    path = tmp_path / "job.toml"
    assert load_job(path).site.name == "Other"
    assert load_job(previous_path(path)) == read_example("kitchen")


async def test_what_is_being_typed_is_saved_too(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await write(pilot, "Other")
        await press(pilot, "ctrl+s")
    assert load_job(tmp_path / "job.toml").site.name == "Other"


async def test_a_new_job_is_saved_under_a_name_made_of_its_own(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    async with shown(Pelmet()) as pilot:
        await press(pilot, "enter")
        await write(pilot, "7 Curlew Lane, flat 3!")
        await press(pilot, "ctrl+s")
        assert dialog_file(pilot).value == "7-curlew-lane-flat-3.toml"
        await press(pilot, "enter")
        assert not dialog(pilot)
        assert held(pilot).path == Path("7-curlew-lane-flat-3.toml")
    assert load_job("7-curlew-lane-flat-3.toml").site.name == "7 Curlew Lane, flat 3!"
    assert recent_jobs() == (tmp_path / "7-curlew-lane-flat-3.toml",)


async def test_what_names_no_file_is_refused_and_nothing_closes(tmp_path):
    nameless = ("", " ", ".", "..", "/", "~no-such-person/job", "\x00")
    async with wizard("kitchen", tmp_path) as pilot:
        for key, name in product(("f12", "ctrl+o"), nameless):
            await press(pilot, key)
            dialog_file(pilot).value = name
            await press(pilot, "enter")
            assert dialog(pilot)
            assert pilot.app.screen.query_one("#dialog-message").text.strip()
            await press(pilot, "escape")
            assert not dialog(pilot)
        assert held(pilot).path == tmp_path / "job.toml"


async def test_a_paper_that_cannot_be_written_says_so(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "f7")
        for name in ("", "~no-such-person/plan.txt", ".", "no/such/folder/plan.txt"):
            wizard_of(pilot).query_one("#entry-text").value = name
            await press(pilot, "enter")
            assert pilot.app.is_running
            assert told(pilot)
            assert not told(pilot).startswith("Wrote")


async def test_a_paper_is_written_as_it_is_shown_and_never_over_another(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "f7")
        await stand(pilot, "paper", "findings", "write")
        target = tmp_path / "findings.txt"
        wizard_of(pilot).query_one("#entry-text").value = str(target)
        await press(pilot, "enter")
        assert told(pilot).startswith("Wrote")
        assert target.read_text("utf-8").splitlines()[0].startswith("warn")
        await press(pilot, "enter")
        assert "there already" in told(pilot)
        assert not held(pilot).dirty


async def test_save_as_never_writes_over_a_file_and_goes_on_under_the_new_name(tmp_path):
    (tmp_path / "taken.toml").write_text("mine")
    async with wizard("kitchen", tmp_path) as pilot:
        await rename(pilot)
        await press(pilot, "f12")
        dialog_file(pilot).value = str(tmp_path / "taken")
        await press(pilot, "enter")
        assert "there already" in frame(pilot.app)
        dialog_file(pilot).value = str(tmp_path / "free")
        await press(pilot, "enter")
        assert held(pilot).path == tmp_path / "free.toml"
    assert (tmp_path / "taken.toml").read_text() == "mine"
    assert load_job(tmp_path / "job.toml") == read_example("kitchen")
    assert load_job(tmp_path / "free.toml").site.name == "Other"


async def changed_elsewhere(pilot, path):
    """Change the job here and its file there, then save."""
    await rename(pilot)
    path.write_text(path.read_text() + "\n# somebody else\n")
    await press(pilot, "ctrl+s")
    assert dialog(pilot)


async def test_a_conflict_can_be_settled_by_another_name(tmp_path):
    path = tmp_path / "job.toml"
    async with wizard("kitchen", tmp_path) as pilot:
        await changed_elsewhere(pilot, path)
        await press(pilot, "enter")
        dialog_file(pilot).value = str(tmp_path / "mine.toml")
        await press(pilot, "enter")
        assert not held(pilot).dirty
    assert "somebody else" in path.read_text()
    assert load_job(tmp_path / "mine.toml").site.name == "Other"


async def test_a_conflict_can_be_left_and_the_work_is_kept(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await changed_elsewhere(pilot, tmp_path / "job.toml")
        await press(pilot, "escape")
        assert held(pilot).dirty
        wizard_of(pilot).keeping.flush()
        assert [load_job(each).site.name for each in in_recovery()] == ["Other"]
        await press(pilot, "ctrl+s")
        assert dialog(pilot)


async def test_a_vanished_file_can_be_saved_elsewhere(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await rename(pilot)
        (tmp_path / "job.toml").unlink()
        await press(pilot, "ctrl+s")
        assert "gone" in frame(pilot.app)
        assert "Read the file again" not in frame(pilot.app)
        await press(pilot, "enter")
        dialog_file(pilot).value = str(tmp_path / "mine.toml")
        await press(pilot, "enter")
    assert load_job(tmp_path / "mine.toml").site.name == "Other"
    assert not (tmp_path / "job.toml").exists()


@pytest.mark.parametrize(
    ("number", "says"),
    [(errno.EACCES, "not allowed"), (errno.ENOSPC, "full"), (errno.EROFS, "cannot be written")],
)
async def test_a_disk_that_takes_nothing_is_named_and_the_work_stays(
    tmp_path, monkeypatch, number, says
):
    from pelmet.model.file.disk import replacing as disk

    write = disk._write_new

    def refused(path, *how, **more):
        if path.parent == tmp_path:
            raise OSError(number, "no")
        write(path, *how, **more)

    async with wizard("kitchen", tmp_path) as pilot:
        await rename(pilot)
        wizard_of(pilot).keeping.flush()
        kept = in_recovery()
        with monkeypatch.context() as refusing:
            refusing.setattr(disk, "_write_new", refused)
            await press(pilot, "ctrl+s")
            assert "Not saved" in told(pilot)
            assert says in told(pilot)
            assert held(pilot).dirty
        assert held(pilot).job.site.name == "Other"
        assert in_recovery() == kept
        await press(pilot, "ctrl+s")
        assert told(pilot) == "Saved job.toml"
    assert load_job(tmp_path / "job.toml").site.name == "Other"
    assert not list(tmp_path.glob("*.part"))


async def test_leaving_with_save_saves_and_goes(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await rename(pilot)
        await press(pilot, "f10", "enter")
    assert pilot.app.return_code == 0
    assert load_job(tmp_path / "job.toml").site.name == "Other"
    assert in_recovery() == []


async def test_leaving_with_save_of_a_new_job_asks_its_name_first(tmp_path):
    async with shown(Pelmet()) as pilot:
        await press(pilot, "enter", "ctrl+n", "f10", "enter")
        dialog_file(pilot).value = str(tmp_path / "new")
        await press(pilot, "enter")
    assert pilot.app.return_code == 0
    assert len(load_job(tmp_path / "new.toml").rooms) == 1


@pytest.mark.parametrize(
    "keys", [("f10", "escape"), ("ctrl+q", "escape"), ("f10", "down", "enter")]
)
async def test_one_can_stay(tmp_path, keys):
    async with wizard("kitchen", tmp_path) as pilot:
        await rename(pilot)
        await press(pilot, *keys)
        assert not dialog(pilot)
        assert held(pilot).dirty


async def test_going_without_saving_gives_the_work_up(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await rename(pilot)
        wizard_of(pilot).keeping.flush()
        await press(pilot, "f10", "down", "down", "enter")
    assert pilot.app.return_code == 0
    assert load_job(tmp_path / "job.toml") == read_example("kitchen")
    assert in_recovery() == []


@pytest.mark.parametrize("key", ["f10", "ctrl+q"])
async def test_a_clean_job_is_left_at_once(tmp_path, key):
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, key)
    assert pilot.app.return_code == 0


async def test_the_example_can_be_looked_at_and_left_at_once(tmp_path):
    async with shown(Pelmet(example="kitchen")) as pilot:
        await press(pilot, "f3", "pagedown", "f10")
    assert pilot.app.return_code == 0
    assert in_recovery() == []


async def test_comments_are_carried_into_the_note_when_asked(tmp_path):
    path = tmp_path / "job.toml"
    save_job(read_example("kitchen"), path, None)
    path.write_text("# call before ten\n" + path.read_text())
    async with shown(Pelmet(path)) as pilot:
        await rename(pilot)
        await press(pilot, "ctrl+s")
        assert "1 comment" in frame(pilot.app)
        await press(pilot, "enter")
        assert not dialog(pilot)
        await stand(pilot, "site", "", "note")
        assert "\n" not in wizard_of(pilot).query_one("#entry-text").value
    assert load_job(path).site.note.endswith("\nline 1: call before ten")


async def test_another_job_is_opened_once_this_one_is_safe(tmp_path):
    other = tmp_path / "other.toml"
    save_job(one_bar(), other, None)
    async with wizard("kitchen", tmp_path) as pilot:
        await rename(pilot)
        await press(pilot, "ctrl+o", "enter")
        dialog_file(pilot).value = str(tmp_path / "missing.toml")
        await press(pilot, "enter")
        assert "no such file" in frame(pilot.app)
        dialog_file(pilot).value = str(other)
        await press(pilot, "enter")
        assert held(pilot).job == one_bar()
        assert not held(pilot).dirty
        assert place(pilot) == ("site", "", "name")
        assert in_recovery() == []
    assert load_job(tmp_path / "job.toml").site.name == "Other"


async def test_a_file_that_cannot_be_read_is_refused_on_the_start_screen(tmp_path):
    path = tmp_path / "job.toml"
    save_job(one_bar(), path, None)
    async with shown(Pelmet(path)) as pilot:
        await press(pilot, "f10")
    path.write_text("schema = 1\nnonsense = 3\n")
    async with shown(Pelmet()) as pilot:
        await press(pilot, "down", "enter")
        assert "nonsense" in frame(pilot.app)
        await press(pilot, "escape")
    assert pilot.app.return_code == 0

"""Saving: whole or not at all, never over another's work, the last version kept."""

import codecs
import errno
import os
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NoReturn

import pytest

from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job import saving
from pelmet.model.file.job.comments import comments_as_note
from pelmet.model.file.job.reading import load_job, open_job
from pelmet.model.file.job.saving import (
    ChangedOnDisk,
    VanishedFromDisk,
    previous_path,
    save_job,
)
from pelmet.model.file.toml.faults import FileError
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.items import Room
from pelmet.model.job.job import Job, Site

# Invented.
FIRST = Job(site=Site(name="Curlew Lane"))
SECOND = FIRST.model_copy(update={"rooms": (Room(id="K", name="Kitchen"),)})


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "kitchen.toml"


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def test_a_new_job_is_saved_and_read_back(path: Path) -> None:
    digest = save_job(FIRST, path, None)
    assert load_job(path) == FIRST
    assert open_job(path).digest == digest
    assert names(path.parent) == ["kitchen.toml"]


def test_the_version_before_is_kept_beside_it(path: Path) -> None:
    path.write_text("schema = 1  # by hand\n")
    save_job(SECOND, path, open_job(path).digest)
    assert load_job(path) == SECOND
    assert previous_path(path).read_text() == "schema = 1  # by hand\n"
    assert names(path.parent) == ["kitchen.toml", "kitchen.toml.previous"]


def test_each_save_hands_on_the_digest_for_the_next(path: Path) -> None:
    digest = save_job(FIRST, path, None)
    digest = save_job(SECOND, path, digest)
    save_job(FIRST, path, digest)
    assert load_job(path) == FIRST
    assert load_job(previous_path(path)) == SECOND


def test_an_unchanged_job_is_not_written_again(path: Path) -> None:
    digest = save_job(FIRST, path, None)
    os.utime(path, (1, 1))
    assert save_job(FIRST, path, digest) == digest
    assert path.stat().st_mtime == 1
    assert names(path.parent) == ["kitchen.toml"]


def test_a_file_that_changed_since_it_was_read_is_left_alone(path: Path) -> None:
    digest = save_job(FIRST, path, None)
    path.write_text("schema = 1\n# by a colleague\n")
    with pytest.raises(ChangedOnDisk, match="changed the file since"):
        save_job(SECOND, path, digest)
    assert path.read_text() == "schema = 1\n# by a colleague\n"
    assert names(path.parent) == ["kitchen.toml"]


def test_touching_a_file_is_no_change(path: Path) -> None:
    digest = save_job(FIRST, path, None)
    os.utime(path)
    save_job(SECOND, path, digest)
    assert load_job(path) == SECOND


def test_a_file_that_is_gone_is_not_made_again_unasked(path: Path) -> None:
    digest = save_job(FIRST, path, None)
    path.unlink()
    with pytest.raises(VanishedFromDisk):
        save_job(SECOND, path, digest)
    assert names(path.parent) == []
    save_job(SECOND, path, digest, overwrite=True)
    assert load_job(path) == SECOND


def test_a_new_job_does_not_take_the_place_of_another_file(path: Path) -> None:
    path.write_text("not even TOML")
    with pytest.raises(SaveError, match="of this name is there already; choose another name"):
        save_job(FIRST, path, None)
    assert path.read_text() == "not even TOML"


def test_overwriting_on_purpose_keeps_what_was_overwritten(path: Path) -> None:
    path.write_text("not even TOML")
    save_job(FIRST, path, None, overwrite=True)
    assert load_job(path) == FIRST
    assert previous_path(path).read_text() == "not even TOML"


def test_a_change_made_while_the_save_is_under_way_is_seen(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    digest = save_job(FIRST, path, None)
    real = os.fsync

    def meddle(handle: int) -> None:
        real(handle)
        path.write_text("a colleague's")

    monkeypatch.setattr(os, "fsync", meddle)
    with pytest.raises(ChangedOnDisk):
        save_job(SECOND, path, digest)
    assert path.read_text() == "a colleague's"
    assert names(path.parent) == ["kitchen.toml"]


def test_a_link_stays_a_link(path: Path, tmp_path: Path) -> None:
    real = tmp_path / "shared" / "real.toml"
    real.parent.mkdir()
    digest = save_job(FIRST, real, None)
    path.symlink_to(real)
    save_job(SECOND, path, digest)
    assert path.is_symlink()
    assert load_job(real) == SECOND
    assert names(real.parent) == ["real.toml", "real.toml.previous"]


def test_permissions_are_kept(path: Path) -> None:
    digest = save_job(FIRST, path, None)
    path.chmod(0o640)
    save_job(SECOND, path, digest)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    assert stat.S_IMODE(previous_path(path).stat().st_mode) == 0o640


def test_a_new_file_gets_the_permissions_of_any_new_file(path: Path, tmp_path: Path) -> None:
    (tmp_path / "plain").touch()
    save_job(FIRST, path, None)
    assert path.stat().st_mode == (tmp_path / "plain").stat().st_mode


def fail(number: int) -> Any:
    def failing(*_: Any, **__: Any) -> NoReturn:
        raise OSError(number, os.strerror(number))

    return failing


@pytest.mark.parametrize("step", ["os.open", "os.fsync", "pathlib.Path.replace"])
def test_a_disk_that_fails_at_any_step_leaves_all_as_it_was(
    path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    digest = save_job(FIRST, path, None)
    with monkeypatch.context() as patch:
        patch.setattr(step, fail(errno.ENOSPC))
        with pytest.raises(SaveError, match="not saved: the disk is full; free some space"):
            save_job(SECOND, path, digest)
    assert load_job(path) == FIRST
    assert names(path.parent) == ["kitchen.toml"]


def test_a_failure_between_the_two_files_keeps_the_job_and_loses_no_version(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    digest = save_job(SECOND, path, save_job(FIRST, path, None))
    assert load_job(previous_path(path)) == FIRST
    real = Path.replace

    def only_previous(part: Path, target: Path) -> Path:
        return real(part, target) if target != path else fail(errno.EIO)()

    with monkeypatch.context() as patch:
        patch.setattr(Path, "replace", only_previous)
        with pytest.raises(SaveError, match="the disk failed"):
            save_job(Job(), path, digest)
    assert load_job(path) == SECOND
    assert load_job(previous_path(path)) == SECOND
    assert names(path.parent) == ["kitchen.toml", "kitchen.toml.previous"]


def test_a_write_that_the_system_really_cuts_short_leaves_nothing(path: Path) -> None:
    resource = pytest.importorskip("resource")
    digest = save_job(FIRST, path, None)
    large = FIRST.model_copy(update={"rooms": (Room(id="K", name="K", note="x" * 2000),)})
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, limits[1]))  # bytes a file may have
    try:
        with pytest.raises(SaveError, match="too big for this disk"):
            save_job(large, path, digest)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert load_job(path) == FIRST
    assert names(path.parent) == ["kitchen.toml"]


@pytest.fixture
def folder_of_another() -> Iterator[Path]:
    """A folder with a job in it that the one who runs the test may read but not write."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "kitchen.toml").write_text(job_text(FIRST))
        folder.chmod(0o555)
        root = os.geteuid() == 0
        if root:  # root may write anywhere, so be nobody in particular
            codecs.lookup("utf-8-sig")  # the other person may not read where Python keeps it
            os.seteuid(65534)
        yield folder
        if root:
            os.seteuid(0)
        folder.chmod(0o755)


def test_a_folder_that_may_not_be_written_is_told(folder_of_another: Path) -> None:
    path = folder_of_another / "kitchen.toml"
    with pytest.raises(SaveError, match="not allowed to; change its permissions or use another"):
        save_job(SECOND, path, open_job(path).digest)
    with pytest.raises(SaveError, match="not allowed to"):
        save_job(SECOND, folder_of_another / "new.toml", None)
    assert load_job(path) == FIRST
    assert names(folder_of_another) == ["kitchen.toml"]


def test_a_read_only_file_is_left_alone(path: Path) -> None:
    digest = save_job(FIRST, path, None)
    path.chmod(0o444)
    with pytest.raises(SaveError, match="marked read-only"):
        save_job(SECOND, path, digest, overwrite=True)
    assert load_job(path) == FIRST


@pytest.mark.parametrize(
    ("name", "words"),
    [
        (".", "this is a folder"),
        ("nowhere/job.toml", "no such file or folder"),
        ("file/job.toml", "not a folder"),
        ("x" * 300, "name is too long"),
        ("loop", "link leads back to itself"),
        ("a\0b", "name cannot be used"),
    ],
)
def test_a_place_where_no_file_can_be_is_told(tmp_path: Path, name: str, words: str) -> None:
    (tmp_path / "file").touch()
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    with pytest.raises(SaveError, match=words):
        save_job(FIRST, tmp_path / name, None)
    assert names(tmp_path) == ["file", "loop"]


def test_a_job_that_would_not_read_back_is_never_saved(
    path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    digest = save_job(FIRST, path, None)
    with monkeypatch.context() as patch:
        patch.setattr(saving, "job_text", lambda _: "schema = 1\n")
        with pytest.raises(SaveError, match="read back differently"):
            save_job(SECOND, path, digest)
        patch.setattr(saving, "job_text", lambda _: "schema = 1\nx = \n")
        with pytest.raises(SaveError, match="not be readable again"):
            save_job(SECOND, path, digest)
    assert load_job(path) == FIRST


def test_a_job_too_big_to_be_read_again_is_not_saved(path: Path) -> None:
    many = [Room(id=f"K{row}", name="K", note="\u4e00" * 2000) for row in range(50)]
    full = Job(rooms=tuple(many))
    save_job(full, path, None)  # 300 kB is fine
    cabinets = {
        "wall": "A", "at": 0, "width": 9, "depth": 9, "bottom_height": 9, "note": "\u4e00" * 2000
    }  # fmt: skip
    vast = Job.model_validate(
        {
            "rooms": [{"id": "K", "name": "K"}],
            "walls": [{"id": "A", "room": "K", "length": 9}],
            "cabinets": [{"id": f"C{row}", **cabinets} for row in range(1000)],
        }
    )
    with pytest.raises(SaveError, match="too big for a job"):
        save_job(vast, path, None, overwrite=True)
    assert load_job(path) == full


def test_a_save_that_is_killed_leaves_a_whole_file(path: Path) -> None:
    save_job(FIRST, path, None)
    script = """
import itertools, sys
from pathlib import Path
from pelmet.model.file.job.saving import save_job
from pelmet.model.job.job import Job, Site
path = Path(sys.argv[1])
for turn in itertools.count():
    save_job(Job(site=Site(name=f"turn {turn}")), path, None, overwrite=True)
    if turn == 2:
        print("saving", flush=True)
"""
    with subprocess.Popen(
        [sys.executable, "-c", script, str(path)], stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdout
        assert child.stdout.readline() == "saving\n"
        child.kill()
    for kept in (path, previous_path(path)):
        assert load_job(kept).site.name.startswith("turn")


def test_every_refusal_of_the_system_has_words() -> None:
    for number in errno.errorcode:
        words = os_words(OSError(number, os.strerror(number)))
        assert words
        assert "Errno" not in words


def test_comments_are_told_on_opening_and_carried_into_the_note(path: Path) -> None:
    path.write_text('# measured in June\nschema = 1\n[job]\nname = "#1"  # the blue house\n#\n')
    opened = open_job(path)
    assert opened.comments == ((1, "measured in June"), (4, "the blue house"), (5, ""))
    noted = comments_as_note(opened.job, opened.comments)
    assert noted.site.note == "line 1: measured in June\nline 4: the blue house"
    save_job(noted, path, opened.digest)
    again = open_job(path)
    assert again.comments == ()
    assert comments_as_note(again.job, [(9, "more")]).site.note.endswith("house\nline 9: more")


def test_comments_that_do_not_fit_are_told_to_be_missing() -> None:
    noted = comments_as_note(FIRST, [(line, "x" * 90) for line in range(1, 10_000)])
    lines = noted.site.note.split("\n")
    assert len(noted.site.note) <= 2000
    assert lines[0] == "line 1: " + "x" * 90
    assert lines[-1] == "(more comments did not fit here)"
    assert Job.model_validate(noted.model_dump()) == noted


def test_comments_with_marks_that_turn_text_round_lose_the_marks(path: Path) -> None:
    path.write_text("schema = 1 # a\u202eb\tc\n")
    opened = open_job(path)
    assert comments_as_note(opened.job, opened.comments).site.note == "line 1: a b c"


def test_opening_a_bad_file_raises_as_loading_does(path: Path) -> None:
    path.write_text("schema = 2 # newer\n")
    with pytest.raises(FileError, match="newer program"):
        open_job(path)

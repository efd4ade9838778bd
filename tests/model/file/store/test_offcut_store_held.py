"""The store of off-cuts among other programs and on disks that fail: whole, and nothing twice."""

import errno
import os
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any, NoReturn

import pytest
from stores import added, ids, names, owners, stocked

from pelmet.model.file.disk import locking as holding
from pelmet.model.file.disk.locking import held, lock_path
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.store.pieces import add_piece
from pelmet.model.file.store.store_file import change_store, load_store, undo_store
from pelmet.model.file.toml.faults import FileError
from pelmet.model.job.offcut_store import Store


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "own" / "offcuts.toml"


# --- More than one program ------------------------------------------------------------------------

TAKER = """
import random, sys, time
from pelmet.model.file.store.pieces import add_piece, take_piece
from pelmet.model.file.store.store_file import change_store
from pelmet.model.refusal import Refusal
path, job, pieces = sys.argv[1], sys.argv[2], [f"c{at}" for at in range(1, 25)]
random.Random(0).shuffle(pieces)
print("ready", flush=True)
sys.stdin.readline()
got = []
for piece in pieces:
    def change(store):
        new = take_piece(store, piece, job)
        time.sleep(0.002)
        return new, None
    try:
        change_store(path, change)
        got.append(piece)
    except Refusal as refusal:
        if "is taken by" not in str(refusal):
            raise
own = []
for _ in range(4):
    own += [change_store(path, lambda store: add_piece(store, "opal-17", 500, "", job))]
print(*got)
print(*own)
"""


def test_programs_that_run_at_once_never_both_take_one_piece_or_number(path: Path):
    added(path, *range(500, 524))
    jobs = ["J1", "J2", "J3", "J4"]
    running = [
        subprocess.Popen(
            [sys.executable, "-c", TAKER, str(path), job],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
        )
        for job in jobs
    ]  # fmt: skip
    for one in running:
        assert one.stdout.readline() == "ready\n"
    for one in running:
        one.stdin.write("\n")
        one.stdin.flush()
    told = [one.communicate()[0].splitlines() for one in running]
    assert [one.returncode for one in running] == [0] * len(jobs)
    got = {job: lines[0].split() for job, lines in zip(jobs, told, strict=True)}
    every = [piece for pieces in got.values() for piece in pieces]
    assert sorted(every) == sorted(f"c{at}" for at in range(1, 25))  # each by one job, none twice
    store = load_store(path)
    assert owners(store) == {piece: job for job, pieces in got.items() for piece in pieces}
    own = [piece for lines in told for piece in lines[1].split()]
    assert sorted(own) == sorted(f"c{at}" for at in range(25, 41))
    assert {piece.id: piece.from_job for piece in store.pieces[24:]} == {
        piece: job for job, lines in zip(jobs, told, strict=True) for piece in lines[1].split()
    }


HOLDER = """
import sys, time
from pathlib import Path
from pelmet.model.file.disk.locking import held
with held(Path(sys.argv[1])):
    print("held", flush=True)
    time.sleep(600)
"""


def test_a_store_that_another_program_holds_is_told_and_free_once_that_is_killed(
    path: Path, monkeypatch: pytest.MonkeyPatch
):
    added(path, 800)
    with subprocess.Popen(
        [sys.executable, "-c", HOLDER, str(path)], stdout=subprocess.PIPE, text=True
    ) as other:
        assert other.stdout.readline() == "held\n"
        with monkeypatch.context() as patch:
            patch.setattr(holding, "_PATIENCE", 0.05)
            with pytest.raises(SaveError, match="another program holds this file; close it there"):
                added(path, 900)
            with pytest.raises(SaveError, match="another program holds"):
                undo_store(path)
        assert load_store(path) == stocked(800)  # reading waits for nobody
        other.kill()
    assert added(path, 900) == ["c2"]


def test_a_link_to_a_store_and_the_store_are_one(path: Path, tmp_path: Path, monkeypatch):
    added(path, 800)
    link = tmp_path / "link.toml"
    link.symlink_to(path)
    monkeypatch.setattr(holding, "_PATIENCE", 0.05)
    with held(path), pytest.raises(SaveError, match="another program holds"):
        added(link, 900)
    assert added(link, 900) == ["c2"]
    assert link.is_symlink()
    assert ids(load_store(path)) == ["c1", "c2"]
    assert not lock_path(link).exists()


def test_an_edit_by_hand_in_the_middle_of_a_change_is_seen(path: Path):
    added(path, 800)

    def change(store: Store) -> tuple[Store, str]:
        path.write_text("schema = 1\n")
        return add_piece(store, "opal-17", Decimal(5))

    with pytest.raises(SaveError, match="changed the file just now"):
        change_store(path, change)
    assert path.read_text() == "schema = 1\n"


# --- Disks that fail ------------------------------------------------------------------------------


def fail(number: int) -> Any:
    def failing(*_: Any, **__: Any) -> NoReturn:
        raise OSError(number, os.strerror(number))

    return failing


@pytest.mark.parametrize("step", ["os.open", "os.fsync", "pathlib.Path.replace"])
@pytest.mark.parametrize("act", ["change", "undo", "first"])
def test_a_full_disk_at_any_step_leaves_all_as_it_was(path: Path, monkeypatch, step, act):
    if act == "first":
        path.parent.mkdir()
        lock_path(path).touch()
    else:
        added(path, 800, 900)
    before = {name: (path.parent / name).read_bytes() for name in names(path.parent)}
    with monkeypatch.context() as patch:
        patch.setattr(step, fail(errno.ENOSPC))
        with pytest.raises(SaveError, match="not saved: the disk is full; free some space"):
            undo_store(path) if act == "undo" else added(path, 950)
    assert {name: (path.parent / name).read_bytes() for name in names(path.parent)} == before


def test_a_write_that_the_system_cuts_short_leaves_the_store(path: Path):
    resource = pytest.importorskip("resource")
    added(path, *range(500, 520))
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (500, limits[1]))  # bytes a file may have
    try:
        with pytest.raises(SaveError, match="too big for this disk"):
            added(path, 900)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
    assert len(load_store(path).pieces) == 20


@pytest.fixture
def folder_of_another() -> Iterator[Path]:
    """A folder with a store in it that the one who runs the test may read but not write."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        added(folder / "offcuts.toml", 800)
        lock_path(folder / "offcuts.toml").unlink()
        folder.chmod(0o555)
        root = os.geteuid() == 0
        if root:  # root may write anywhere, so be nobody in particular
            os.seteuid(65534)
        yield folder
        if root:
            os.seteuid(0)
        folder.chmod(0o755)


def test_a_folder_that_may_not_be_written_is_told(folder_of_another: Path):
    path = folder_of_another / "offcuts.toml"
    assert load_store(path) == stocked(800)
    for act in (lambda: added(path, 900), lambda: undo_store(path)):
        with pytest.raises(SaveError, match="not allowed to; change its permissions or use"):
            act()
    with pytest.raises(SaveError, match="not allowed to"):
        added(folder_of_another / "new" / "offcuts.toml", 900)
    assert names(folder_of_another) == ["offcuts.toml", "offcuts.toml.previous"]


def test_a_read_only_store_is_left_alone_and_permissions_are_kept(path: Path):
    added(path, 800)
    path.chmod(0o640)
    added(path, 900)
    assert stat.S_IMODE(path.stat().st_mode) == 0o640
    path.chmod(0o444)
    with pytest.raises(SaveError, match="marked read-only"):
        added(path, 950)
    assert load_store(path) == stocked(800, 900)


@pytest.mark.parametrize(
    ("name", "words"),
    [(".", "this is a folder"), ("file/x.toml", "not a folder"), ("x" * 300, "name is too long"),
     ("loop", "link leads back to itself"), ("a\0b", "name cannot be used")],
)  # fmt: skip
def test_a_place_where_no_store_can_be_is_told(tmp_path: Path, name: str, words: str):
    (tmp_path / "file").touch()
    (tmp_path / "loop").symlink_to(tmp_path / "loop")
    with pytest.raises((SaveError, FileError), match=words):
        added(tmp_path / name, 800)
    with pytest.raises((SaveError, FileError), match=words):
        load_store(tmp_path / name)


def test_a_store_that_would_not_read_back_is_never_written(path: Path, monkeypatch):
    from pelmet.model.file.store import store_file

    added(path, 800)
    with monkeypatch.context() as patch:
        patch.setattr(store_file, "store_text", lambda _: "schema = 1\n")
        with pytest.raises(SaveError, match="read back differently"):
            added(path, 900)
        patch.setattr(store_file, "store_text", lambda _: "schema = 1\nx = \n")
        with pytest.raises(SaveError, match="not be readable again"):
            added(path, 900)
    assert load_store(path) == stocked(800)

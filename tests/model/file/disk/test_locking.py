"""A lock as Windows has it, played on this system: a byte of a file, told of by EACCES."""

from pathlib import Path

import pytest
from stores import added, ids
from systems import run_on

from pelmet.model.file.disk.locking import held
from pelmet.model.file.store.store_file import load_store

ADDER = """
from pathlib import Path
from pelmet.model.file.disk import locking
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.store.pieces import add_piece
from pelmet.model.file.store.store_file import change_store
locking._PATIENCE = 0.05
try:
    print(change_store(Path(sys.argv[1]), lambda store: add_piece(store, "surface-17", 900)))
except SaveError as error:
    print(error)
assert "msvcrt" in vars(locking) and "fcntl" not in vars(locking)
"""
FAILING = """
import msvcrt
from pathlib import Path
from pelmet.model.file.disk.locking import held
modes, locking = [], msvcrt.locking
msvcrt.locking = lambda handle, mode, count: (modes.append(mode), locking(handle, mode, count))
try:
    with held(Path(sys.argv[1])):
        raise KeyError
except KeyError:
    print(modes == [msvcrt.LK_NBLCK, msvcrt.LK_UNLCK])
"""


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "offcuts.toml"


def test_windows_waits_while_another_program_holds_a_store_and_says_so(path: Path):
    added(path, 800)
    with held(path):
        done = run_on("win32", ADDER, str(path))
    assert "another program holds this file; close it there" in done.stdout, done.stderr
    assert ids(load_store(path)) == ["c1"]
    assert run_on("win32", ADDER, str(path)).stdout == "c2\n"
    assert ids(load_store(path)) == ["c1", "c2"]


def test_windows_frees_the_byte_even_if_the_work_failed(path: Path):
    done = run_on("win32", FAILING, str(path))
    assert done.stdout == "True\n", done.stderr

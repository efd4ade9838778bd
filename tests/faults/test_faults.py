"""Small faults are seeded in a copy of the tree, one at a time, and each is noticed by a test.

Run with ``-m faults``, and ``-k`` for those of some words or some area. The tree itself is never
touched.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import pytest
from seeded import Fault, read_faults

pytestmark = pytest.mark.faults

ROOT = Path(__file__).parents[2]
NOT_COPIED = (".git", ".venv", "build", "dist", "__pycache__", ".*_cache", ".hypothesis", "*.part")


@pytest.fixture(scope="session")
def tree(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Copy the tree, so that what is wrong with it is wrong there only."""
    ignored = shutil.ignore_patterns(*NOT_COPIED)
    folder = tmp_path_factory.getbasetemp() / "tree"
    return Path(shutil.copytree(ROOT, folder, symlinks=True, ignore=ignored))


@pytest.mark.parametrize("fault", read_faults(), ids=lambda fault: f"{fault.area}: {fault.done}")
def test_it_is_noticed(fault: Fault, tree: Path):
    file = tree / fault.file
    right, stat = file.read_text("utf-8"), file.stat()
    file.write_text(right.replace(fault.was, fault.wrong), "utf-8")
    # Compiled files are told apart by whole seconds and size: neither need differ.
    os.utime(file, (stat.st_atime, stat.st_mtime - 2))
    noticed = failed(tree, fault.tests)
    file.write_text(right, "utf-8")
    os.utime(file, (stat.st_atime, stat.st_mtime))
    assert noticed
    assert not failed(tree, noticed), "this test fails without the fault too"


def failed(tree: Path, tests: Sequence[str]) -> list[str]:
    """Run tests in a copy of the tree until one fails, and give that one."""
    # The links are found before the installed package, whose modules are those of the tree.
    env = os.environ | {"PYTHONPATH": str(tree / ".types")}
    how = ["-q", "-x", "-p", "no:cacheprovider", "-n", "0", "--tb", "no", "-rf", "--no-header"]
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", *how, *tests],
        cwd=tree, env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert ran.returncode in {0, 1}, ran.stdout + ran.stderr
    return [
        line.removeprefix("FAILED ").partition(" - ")[0]
        for line in ran.stdout.splitlines()
        if line.startswith("FAILED ")
    ]

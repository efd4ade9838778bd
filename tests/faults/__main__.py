"""Seed small faults in a copy of the tree, one at a time, and count those that a test notices.

    .venv/bin/python tests/faults                every fault, two at a time, its own tests alone
    .venv/bin/python tests/faults bars light     those of some areas
    .venv/bin/python tests/faults --all          the whole suite for each: hours

The tree itself is never touched. Ends well if at least 39 of 40 are noticed.
"""

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from queue import SimpleQueue

from seeded import Fault, cannot_be_seeded, read_faults

ROOT = Path(__file__).parents[2]
LEAST_OF_40 = 39
AT_ONCE = 2
NOT_COPIED = (".git", ".venv", "build", "dist", "__pycache__", ".*_cache", ".hypothesis", "*.part")
WHOLE_SUITE = ("tests",)
_FAILED = 1  # what pytest ends with when a test failed, not when it could not begin


def copied(folder: Path) -> Path:
    """Copy the tree, so that what is wrong with it is wrong there only."""
    ignored = shutil.ignore_patterns(*NOT_COPIED)
    return Path(shutil.copytree(ROOT, folder, symlinks=True, ignore=ignored))


def failed(copy: Path, tests: Sequence[str], *more: str) -> tuple[int, list[str]]:
    """Run tests in a copy; give what pytest ends with, and which failed."""
    # The links are found before the installed package, whose modules are those of the tree.
    env = os.environ | {"PYTHONPATH": str(copy / ".types")}
    how = ["-q", "-p", "no:cacheprovider", "-n", "0", "--tb", "no", "-rfE", "--no-header", *more]
    ran = subprocess.run(
        [sys.executable, "-m", "pytest", *how, *tests],
        cwd=copy, env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    names = [
        line.partition(" ")[2] for line in ran.stdout.splitlines() if line.startswith("FAILED")
    ]
    return ran.returncode, [name.partition(" - ")[0] for name in names]


def noticed_by(fault: Fault, copy: Path, tests: Sequence[str]) -> str:
    """Apply a fault to a copy and give the test that fails of it, if one does."""
    file = copy / fault.file
    right, stat = file.read_text(), file.stat()
    file.write_text(right.replace(fault.was, fault.wrong))
    # Compiled files are told apart by whole seconds and size: neither need differ.
    os.utime(file, (stat.st_atime, stat.st_mtime - 2))
    try:
        code, names = failed(copy, tests, "-x")
    finally:
        file.write_text(right)
        os.utime(file, (stat.st_atime, stat.st_mtime))
    return names[0] if code == _FAILED and names else ""


def try_all(faults: Sequence[Fault], *, whole: bool) -> Iterator[tuple[Fault, str]]:
    """Try each fault, and give it with the test that fails of it and passes without it."""
    with tempfile.TemporaryDirectory() as folder:
        copies: SimpleQueue[Path] = SimpleQueue()
        for number in range(AT_ONCE):
            copies.put(copied(Path(folder, str(number))))

        def one(fault: Fault) -> str:
            copy = copies.get()
            found = noticed_by(fault, copy, WHOLE_SUITE if whole else fault.tests)
            by_itself = failed(copy, [found])[1] if found else []
            copies.put(copy)
            return "" if by_itself else found

        with ThreadPoolExecutor(AT_ONCE) as pool:
            yield from zip(faults, pool.map(one, faults), strict=True)


def main() -> int:
    """Try the faults that were asked for, and tell of each."""
    parser = argparse.ArgumentParser("tests/faults", description=(__doc__ or "").partition("\n")[0])
    parser.add_argument("area", nargs="*", help="of these areas only")
    parser.add_argument("--all", action="store_true", help="the whole suite for each fault")
    asked = parser.parse_args()
    faults = [each for each in read_faults() if not asked.area or each.area in asked.area]
    lost = [told for each in faults if (told := cannot_be_seeded(each, ROOT))]
    if lost or not faults:
        sys.stdout.write("\n".join(lost or ["no such area"]) + "\n")
        return 2
    count = 0
    for fault, found in try_all(faults, whole=asked.all):
        count += bool(found)
        told = f"noticed by {found}" if found else "SURVIVED"
        sys.stdout.write(f"{fault.area}: {fault.done}: {told}\n")
        sys.stdout.flush()
    sys.stdout.write(f"{count} of {len(faults)} noticed\n")
    return 0 if count * 40 >= LEAST_OF_40 * len(faults) else 1


sys.exit(main())

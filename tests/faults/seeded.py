"""The faults of ``faults.toml``: small wrong edits, and the tests that should notice each."""

import tomllib
from pathlib import Path
from typing import NamedTuple

_TABLE = Path(__file__).with_name("faults.toml")


class Fault(NamedTuple):
    """One wrong edit: ``was``, which stands once in ``file``, becomes ``wrong``.

    ``done`` says it in words; ``tests`` is what should notice it, as pytest is told.
    """

    area: str
    done: str
    file: str
    was: str
    wrong: str
    tests: tuple[str, ...]


def read_faults() -> tuple[Fault, ...]:
    """Read the table, area by area."""
    return tuple(
        Fault(area, row["done"], row["file"], row["was"], row["wrong"], tuple(row["tests"].split()))
        for area, rows in tomllib.loads(_TABLE.read_text("utf-8")).items()
        for row in rows
    )


def cannot_be_seeded(fault: Fault, root: Path) -> str:
    """Say why a fault cannot be seeded in a tree, or nothing."""
    file = root / fault.file
    times = file.read_text("utf-8").count(fault.was) if file.is_file() else 0
    lost = [
        name for name in fault.tests if name.startswith("tests/") and not (root / name).exists()
    ]
    if times == 1 and not lost:
        return ""
    why = (
        f"there is no {lost[0]}"
        if lost
        else f"{fault.file} has `{fault.was}` {times} times, not once"
    )
    return f"{fault.area}: {fault.done}: {why}; tell it anew in {_TABLE.name}"

"""Write papers into a folder: nothing that is there is written over unless a person says so."""

from collections.abc import Iterable
from pathlib import Path
from typing import NamedTuple

from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.disk.replacing import replace_file
from pelmet.model.file.disk.unsaved import SaveError


class WrittenFile(NamedTuple):
    """What became of a file: ``new``, ``same`` as it was there, ``replaced``, or ``kept``."""

    name: str
    how: str


def make_folder_for(folder: Path) -> None:
    """Make the folder that papers go into; raises ``SaveError`` in words."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as error:
        raise SaveError(folder, *os_words(error)) from error


def write_paper(folder: Path, name: str, data: bytes, *, replace: bool = False) -> WrittenFile:
    """Write one file whole or not at all; raises ``SaveError`` in words.

    One of that name that holds something else is kept, unless ``replace``.
    """
    path = folder / name
    try:
        there = path.read_bytes() if path.exists() else None
        if there == data:
            return WrittenFile(name, "same")
        if there is not None and not replace:
            return WrittenFile(name, "kept")
        replace_file(path, data, lasting=False)
    except (OSError, ValueError) as error:
        raise SaveError(path, *os_words(error)) from error
    return WrittenFile(name, "new" if there is None else "replaced")


def write_papers(
    folder: Path, files: Iterable[tuple[str, bytes]], *, replace: bool = False
) -> tuple[WrittenFile, ...]:
    """Write all files of some papers, one by one."""
    make_folder_for(folder)
    return tuple(write_paper(folder, name, data, replace=replace) for name, data in files)

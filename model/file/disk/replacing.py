"""Files replaced whole or not at all, with nothing left behind when that fails."""

import os
import secrets
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path


def replace_file(target: Path, data: bytes, mode: int | None = None, *, lasting: bool) -> None:
    """Put ``data`` in place of a file, or leave all as it was and raise ``OSError``.

    The arguments are those of ``written_beside``.
    """
    with written_beside(target, data, mode, lasting=lasting) as part:
        part.replace(target)
    if lasting:
        sync_folder(target.parent)


@contextmanager
def written_beside(
    target: Path, data: bytes, mode: int | None = None, *, lasting: bool
) -> Iterator[Path]:
    """Write a new file next to ``target``, to be moved over it; it goes if it is not.

    ``mode`` holds the permission bits; without it they are those of any new file. ``lasting``
    waits until the disk has it all, so that a power cut loses nothing; without, only a killed
    program loses nothing.
    """
    # A short name of its own, so that a long one which the disk just takes is not too long here.
    part = target.with_name(f".pelmet-{secrets.token_hex(8)}.part")
    try:
        _write_new(part, data, mode, lasting=lasting)
        yield part
    finally:
        with suppress(OSError):
            part.unlink()


def _write_new(path: Path, data: bytes, mode: int | None, *, lasting: bool) -> None:
    # The system takes the user's umask off 0o666, as for any file.
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o666 if mode is None else mode)
    with os.fdopen(handle, "wb") as file:
        if mode is not None:
            path.chmod(mode)
        file.write(data)
        if lasting:
            file.flush()
            os.fsync(file.fileno())


def sync_folder(folder: Path) -> None:
    """Have the disk keep a new name too, where a folder can be opened for that."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

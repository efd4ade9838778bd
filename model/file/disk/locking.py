"""One program at a time: a lock beside a file, which the system frees when its holder ends.

The lock is the system's own, on an empty file beside the one that is held: ``flock`` on Linux and
macOS, a locked byte on Windows. A program that is killed holds nothing, so no lock is ever stale.
The empty file stays: if it went, two programs could hold two files of its name.
"""

import errno
import os
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

_PATIENCE: Final = 10.0  # seconds; whoever holds a store is done in a fraction of one
_PAUSE: Final = 0.01  # seconds


def lock_path(path: Path) -> Path:
    """Give the empty file whose lock stands for ``path``: ``offcuts.toml.lock``."""
    return path.with_name(f"{path.name}.lock")


@contextmanager
def held(path: Path) -> Iterator[None]:
    """Keep all others who ask so away from a file, which need not be there.

    Raises ``OSError``: of a folder where no lock can be made, or, after some seconds, ``EBUSY``
    while another program holds it.
    """
    handle = os.open(lock_path(path), os.O_RDWR | os.O_CREAT, 0o666)
    try:
        _wait(handle)
        try:
            yield
        finally:
            _free(handle)
    finally:
        os.close(handle)


def _wait(handle: int) -> None:
    until = time.monotonic() + _PATIENCE
    while not _taken(handle):
        if time.monotonic() > until:
            raise OSError(errno.EBUSY, os.strerror(errno.EBUSY))
        time.sleep(_PAUSE)


def _taken(handle: int) -> bool:
    """Try to take the lock, without waiting."""
    try:
        if sys.platform == "win32":
            msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)
        else:
            fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except (BlockingIOError, PermissionError):  # the second is what Windows says
        return False
    return True


def _free(handle: int) -> None:
    if sys.platform == "win32":
        msvcrt.locking(handle, msvcrt.LK_UNLCK, 1)
    else:
        fcntl.flock(handle, fcntl.LOCK_UN)

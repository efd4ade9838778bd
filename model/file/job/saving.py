"""A job saved to disk: whole or not at all, never over another's work, the last version kept."""

import os
import stat
from os import PathLike
from pathlib import Path

from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.disk.replacing import replace_file, sync_folder, written_beside
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.reading import digest_of, read_job
from pelmet.model.file.toml.faults import FileError
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job
from pelmet.model.refusal import refusal_text


class ChangedOnDisk(SaveError):  # noqa: N818 - it names what happened, as the reader will say it
    """The file is not the one that was read: reload it, save elsewhere, or overwrite it."""


class VanishedFromDisk(ChangedOnDisk):
    """The file that was read is gone: save elsewhere, or overwrite to write it anew."""


def previous_path(path: str | PathLike[str]) -> Path:
    """Give the file in which a save keeps the version before it: ``kitchen.toml.previous``."""
    path = Path(path)
    return path.with_name(f"{path.name}.previous")


def save_job(
    job: Job,
    path: str | PathLike[str],
    expected_digest: str | None,
    *,
    overwrite: bool = False,
) -> str:
    """Save a job and give the digest of the file as it now is.

    ``expected_digest`` is that of the file as it was read or last saved; None for a new file.
    A file that already holds just this is left alone. Raises ``SaveError`` or one of its kinds,
    and then the file is as it was.
    """
    named = Path(path)
    data = _checked_bytes(job, named)
    try:
        target = Path(os.path.realpath(named))  # a link stays one; its file is replaced
        found = _bytes_on_disk(target, named)
        if found != data:
            if not overwrite:
                _refuse_conflict(named, found, expected_digest)
            replace_keeping(target, found, data, named, overwrite=overwrite)
    except (OSError, ValueError) as error:
        raise SaveError(named, *os_words(error)) from error
    return digest_of(data)


def _checked_bytes(job: Job, named: Path) -> bytes:
    """Write the job and read it back, before anything on disk is touched."""
    data = job_text(job).encode("utf-8")
    try:
        same = read_job(data, str(named)) == job
    except FileError as error:
        raise SaveError(named, f"it would not be readable again: {refusal_text(error)}") from error
    if not same:
        raise SaveError(named, "it would read back differently; this is a fault in the program")
    return data


def _bytes_on_disk(target: Path, named: Path) -> bytes | None:
    try:
        status = target.stat()
    except FileNotFoundError:
        return None
    if not stat.S_ISREG(status.st_mode):
        raise SaveError(named, "this is a folder or a device", "name a file")
    # Replacing a file needs only its folder's leave, so a read-only file must be asked about.
    if not status.st_mode & 0o222 or not os.access(target, os.W_OK):
        raise SaveError(named, "this file is marked read-only", "unmark it or use another name")
    return target.read_bytes()


def _refuse_conflict(named: Path, found: bytes | None, expected: str | None) -> None:
    if found is None and expected is not None:
        why = "the file is gone since it was read; someone moved it"
        raise VanishedFromDisk(named, why, "save under another name, or write it anew")
    if found is not None and expected is None:
        raise SaveError(named, "a file of this name is there already", "choose another name")
    if found is not None and digest_of(found) != expected:
        raise _changed(named, "since it was read")


def _changed(named: Path, when: str) -> ChangedOnDisk:
    why = f"someone has changed the file {when}"
    return ChangedOnDisk(named, why, "read it again, or save under another name")


def replace_keeping(
    target: Path, found: bytes | None, data: bytes, named: Path, *, overwrite: bool
) -> None:
    """Put ``data`` in place of a file that holds ``found``, which becomes the version before.

    Raises ``OSError``, and ``SaveError`` for a file that no longer holds what was found.
    """
    mode = None if found is None else stat.S_IMODE(target.stat().st_mode)
    with written_beside(target, data, mode, lasting=True) as part:
        # Writing takes its time, and a sync program does not wait.
        if not overwrite and _bytes_on_disk(target, named) != found:
            raise _changed(named, "just now")
        if found is not None:
            replace_file(previous_path(target), found, mode, lasting=True)
        part.replace(target)
    sync_folder(target.parent)

"""Work in progress, kept from crashes: an edited job stands in a file of its own until saved.

The file is a job file like any other, with comment lines at its top that say which file it
belongs to: one file, so that the two never part, and one that can be opened by hand if need be.
Its name says which process writes it.
"""

import os
import tomllib
from contextlib import suppress
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple
from urllib.parse import quote, unquote_to_bytes

import tomli_w

from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.disk.processes import is_running, start_mark
from pelmet.model.file.disk.replacing import replace_file
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.reading import read_job
from pelmet.model.file.toml.faults import FileError
from pelmet.model.file.toml.parsing import decode, read_bytes
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job

_SUFFIX = ".recovery.toml"
_BROKEN_SUFFIX = ".recovery.broken"
_OWNER_ONLY_FILE, _OWNER_ONLY_FOLDER = 0o600, 0o700
_COMMENT = "# "


class RecoveredJob(NamedTuple):
    """A job that was not saved, and the file it was read from, with the digest it had then."""

    path: Path
    job: Job
    original: Path | None
    digest: str | None
    edited_at: float  # seconds since 1970


class SetAside(NamedTuple):
    """A recovery file that cannot be read: where it stands now, and why."""

    path: Path
    error: FileError


class Recoveries(NamedTuple):
    """What earlier sessions left behind, the latest first."""

    jobs: tuple[RecoveredJob, ...]
    set_aside: tuple[SetAside, ...]


def recovery_key(original: Path | None, pid: int) -> str:
    """Give the key of one job in one process: no two that run at a time share one."""
    named = os.fsencode(original.absolute()) if original else b""
    return f"{sha256(named).hexdigest()[:16]}-{pid}-{start_mark(pid)}"


def recovery_path(folder: Path, key: str) -> Path:
    """Give the recovery file of a key."""
    return folder / f"{key}{_SUFFIX}"


def write_recovery(
    folder: Path, job: Job, original: Path | None, digest: str | None, pid: int
) -> Path:
    """Keep a job as it now is and give its recovery file; ``SaveError`` if that fails.

    The file is replaced whole, and outlives the program being killed. It does not wait for the
    disk, for that would take a keystroke's time many times over.
    """
    header: dict[str, str] = {}
    if original:  # any bytes may stand in a file name; TOML holds only text
        header["original"] = quote(os.fsencode(original.absolute()), safe="/\\: ")
    if digest:
        header["digest"] = digest
    lines = tomli_w.dumps(header).splitlines(keepends=True)
    data = "".join(_COMMENT + line for line in lines) + job_text(job)
    path = recovery_path(folder, recovery_key(original, pid))
    try:
        folder.mkdir(_OWNER_ONLY_FOLDER, parents=True, exist_ok=True)
        replace_file(path, data.encode("utf-8"), _OWNER_ONLY_FILE, lasting=False)
    except OSError as error:
        raise SaveError(path, *os_words(error)) from error
    return path


def find_recoveries(folder: Path) -> Recoveries:
    """Find the jobs whose program ended without saving them, and those of this very process.

    A file that cannot be read is renamed, so that it is reported once; nothing is deleted.
    """
    jobs: list[RecoveredJob] = []
    set_aside: list[SetAside] = []
    for path in _files(folder):
        if _is_anothers(path):
            continue
        try:
            jobs.append(_recovered(path))
        except FileError as error:
            set_aside.append(SetAside(_renamed(path), error))
    jobs.sort(key=lambda found: (-found.edited_at, found.path.name))
    return Recoveries(tuple(jobs), tuple(set_aside))


def drop_recovery(path: Path) -> None:
    """Delete a recovery file whose job is saved or given up; one that is gone is no fault."""
    with suppress(OSError):
        path.unlink()


def _files(folder: Path) -> list[Path]:
    try:
        return sorted(path for path in folder.iterdir() if path.name.endswith(_SUFFIX))
    except OSError:  # no folder: nothing was ever kept there
        return []


def _is_anothers(path: Path) -> bool:
    """Tell whether another running program still writes this file."""
    *_, pid, mark = ("", "", *path.name.removesuffix(_SUFFIX).split("-"))
    if not (pid.isascii() and pid.isdigit() and len(pid) <= 10):
        return False
    return int(pid) != os.getpid() and is_running(int(pid), mark)


def _recovered(path: Path) -> RecoveredJob:
    data = read_bytes(path)
    job = read_job(data, str(path))
    header = _header(decode(data, str(path)))
    original = header.get("original")
    digest = header.get("digest")
    try:
        edited_at = path.stat().st_mtime
    except OSError:  # gone since; the job is in hand
        edited_at = 0.0
    return RecoveredJob(
        path,
        job,
        Path(os.fsdecode(unquote_to_bytes(original))) if isinstance(original, str) else None,
        digest if isinstance(digest, str) else None,
        edited_at,
    )


def _header(text: str) -> dict[str, Any]:
    """Read the comment lines at the top; a job whose header is spoilt is still a job."""
    lines = []
    for line in text.splitlines():
        if not line.startswith(_COMMENT):
            break
        lines.append(line.removeprefix(_COMMENT))
    try:
        return tomllib.loads("\n".join(lines))
    except (ValueError, RecursionError):
        return {}


def _renamed(path: Path) -> Path:
    aside = path.with_name(path.name.removesuffix(_SUFFIX) + _BROKEN_SUFFIX)
    try:
        return path.replace(aside)
    except OSError:  # it stays, and is reported again next time
        return path

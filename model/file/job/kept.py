"""The job as it was at a revision, kept beside its file: ``kitchen.toml.rev2``.

It does not end in ``.toml``, so that a folder of jobs does not have it as one more job. A file that
is there already is never written over: another job of that revision is ``kitchen.toml.rev2-2``.
"""

from collections.abc import Iterator
from contextlib import suppress
from itertools import count, takewhile
from pathlib import Path

from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.disk.replacing import replace_file
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.toml.faults import FileError
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import Given


def keep_version(job: Job, path: Path, revision: int) -> Path:
    """Keep a job beside its file, and give where; a file that holds just this is left alone.

    Raises ``SaveError``, and then nothing was written.
    """
    data = job_text(job).encode("utf-8")
    for kept in _names(path, revision):
        try:
            if not kept.exists():
                replace_file(kept, data, lasting=True)
                return kept
            if kept.read_bytes() == data:
                return kept
        except (OSError, ValueError) as error:
            raise SaveError(kept, *os_words(error)) from error
    raise AssertionError("there is always one more name")


def kept_versions(path: Path, revision: int) -> tuple[Path, ...]:
    """Give the files in which a revision of a job is kept, the oldest first."""
    return tuple(takewhile(Path.is_file, _names(path, revision)))


def version_with(path: Path, given: Given) -> tuple[Path, Job] | None:
    """Give the oldest version that notes a paper as given out, and its file; None if none does."""
    mark = given.paper, given.digest
    for kept in kept_versions(path, given.revision):
        with suppress(FileError):
            job = load_job(kept)
            if any((each.paper, each.digest) == mark for each in job.given):
                return kept, job
    return None


def _names(path: Path, revision: int) -> Iterator[Path]:
    own = f"{path.name}.rev{revision}"
    yield path.with_name(own)
    yield from (path.with_name(f"{own}-{number}") for number in count(2))

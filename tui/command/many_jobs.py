"""Many jobs at once: which files they are, where the papers of each go, and who works on them."""

import argparse
from collections.abc import Generator, Iterator, Sequence
from functools import partial
from math import ceil
from pathlib import Path
from typing import Final
from unicodedata import normalize

from pelmet.model.refusal import Refusal
from pelmet.tui.command.one_job import (
    Asked,
    Output,
    is_folder,
    own_files,
    refused_among,
    tell_among,
)
from pelmet.tui.command.papers import forms_of, names_of
from pelmet.tui.command.workers import cores, in_order
from pelmet.tui.places import OWN_FILES

_JOBS_A_WORKER: Final = 5  # it takes as long to start as some ten kitchens to be planned

Each = Asked | Refusal


def jobs_named(given: argparse.Namespace) -> tuple[Each, ...]:
    """Give each job once, in the order named, or why a folder has none.

    Each has a folder of its own for papers, called as its file; where an earlier one has that
    name, which letters of either case and any form of accents are, a number makes it another.
    """
    named = [each for name in given.jobs for each in _jobs_of(name)]
    stems = {_alike(Path(name).stem) for name in named if isinstance(name, str)}
    taken: set[str] = set()
    found: list[Each] = []
    for name in dict.fromkeys(named):
        if isinstance(name, Refusal):
            found.append(name)
            continue
        folder, number = Path(name).stem, 1
        while _alike(folder) in (taken if number == 1 else taken | stems):
            number += 1
            folder = f"{Path(name).stem}-{number}"
        taken.add(_alike(folder))
        found.append(Asked(name, Path(getattr(given, "out", ""), folder)))
    return tuple(found)


def tell_each(given: argparse.Namespace, found: Sequence[Each]) -> Generator[Output, None, None]:
    """Tell of each in order, worked on by as many cores as there are and as it is worth.

    Raises ``Refusal`` for what holds for all of them, before it tells of any.
    """
    own = own_files(given)
    if given.command == "papers":
        names_of(given.only)
        forms_of(given.format)
    jobs = [each for each in found if isinstance(each, Asked)]
    share = 1 if given.command == "papers" else _JOBS_A_WORKER
    workers = min(cores(), ceil(len(jobs) / share))
    work = partial(tell_among, given, own)
    tasks = [job._replace(at_once=max(1, cores() // workers)) for job in jobs]
    told = (
        (work(task) for task in tasks)
        if len(tasks) == 1
        else in_order(work, tasks, partial(_lost, given), workers)
    )
    try:
        for each in found:
            if isinstance(each, Refusal):
                yield refused_among(given, each.place, each)
            else:
                yield next(told)
    finally:
        told.close()


def _jobs_of(name: str) -> Iterator[str | Refusal]:
    """Give the job files of a folder by name, or a name that is no folder as it is."""
    if not is_folder(name):
        yield name
        return
    try:
        paths = sorted(Path(name).iterdir())
    except OSError as error:
        from pelmet.model.file.disk.oswords import os_words

        reason, remedy = os_words(error)
        yield Refusal(f"it cannot be read: {reason}", name, remedy)
        return
    jobs = [str(path) for path in paths if _is_job(path)]
    yield from jobs
    if not jobs:
        yield Refusal("no job file is in this folder", name, "one ends in .toml")


def _is_job(path: Path) -> bool:
    """Tell a job file by its name; one that is none after all is refused as it is read."""
    if path.name.startswith(".") or path.name in OWN_FILES:
        return False
    return path.suffix.lower() == ".toml" and not is_folder(str(path))


def _alike(name: str) -> str:
    """Spell a name as all that some disk takes for the same are spelt."""
    return normalize("NFKC", name).casefold().rstrip(". ")


def _lost(given: argparse.Namespace, asked: Asked) -> Output:
    reason = "the process that worked on it ended before it was done"
    return refused_among(given, asked.job, Refusal(reason, asked.job, "try this job alone"))

"""``pelmet diff`` and ``pelmet merge``: two versions of a job."""

import argparse
from collections.abc import Iterator
from pathlib import Path

from pelmet.model.file.job.reading import OpenedJob, open_job
from pelmet.model.file.job.saving import save_job
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.order.folder import make_folder
from pelmet.model.refusal import Refusal
from pelmet.model.told.blocks.standing import how_it_stands
from pelmet.model.told.data.json_text import json_text
from pelmet.model.told.formats.text import ascii_lines
from pelmet.model.versions.follows import what_follows
from pelmet.model.versions.handing import carried_words, whole_job
from pelmet.model.versions.merging import merge
from pelmet.model.versions.said import are_versions, differences
from pelmet.model.versions.telling import conflict_blocks, diff_blocks, diff_data, said_blocks
from pelmet.tui.codes import DONE, STOPPED
from pelmet.tui.command.one_job import Output, plan_named
from pelmet.tui.command.parsers import file_named


def tell_diff(given: argparse.Namespace) -> Output:
    """Tell what two versions say differently, and what follows."""
    old, own = plan_named(given, given.old)
    new, _ = plan_named(given, given.new, own)
    _refuse_others(given.old, old.job, given.new, new.job)
    said = differences(old.job, new.job)
    follows = what_follows(make_folder(old, own.prices), make_folder(new, own.prices))
    code = STOPPED if said else DONE
    if given.json:
        return Output(code, json_text(diff_data(said, follows)))
    blocks = [ascii_lines(block) for block in diff_blocks(said, follows)]
    return Output(code, _text(blocks))


def tell_merge(given: argparse.Namespace) -> Output:
    """Make one job of two versions, and print or write it; or tell what has to be decided."""
    base, mine, theirs = (
        open_job(file_named(name)) for name in (given.base, given.mine, given.theirs)
    )
    for name, version in ((given.mine, mine), (given.theirs, theirs)):
        _refuse_others(given.base, base.job, name, version.job)
    merged = merge(base.job, mine.job, theirs.job)
    if merged.job is None:
        blocks = [ascii_lines(block) for block in conflict_blocks(merged.conflicts)]
        words = f"{len(merged.conflicts)} to decide; nothing is written"
        return Output(STOPPED, _text(blocks), (words,))
    ids = tuple(f"{old} of {given.theirs} is {new} now" for old, new in merged.renumbered.items())
    if given.write is not None:
        return Output(DONE, "", (*ids, *_written(merged.job, mine, file_named(given.write))))
    said = differences(mine.job, merged.job)
    blocks = [ascii_lines(block) for block in said_blocks(said)]
    return Output(DONE, _text(blocks), (*ids, "nothing is written; --write FILE does"))


def tell_handover(given: argparse.Namespace) -> Output:
    """Tell how a job stands; write the whole of it, if that is asked for."""
    plan, own = plan_named(given, given.job)
    folder = make_folder(plan, own.prices)
    says: tuple[str, ...] = ()
    if given.write is not None:
        whole = whole_job(folder, own.parts or Catalogue())
        path = file_named(given.write)
        save_job(whole, path, None)
        says = (f"written: {path}; {carried_words(plan.job, whole)}",)
    blocks = [ascii_lines(block) for matters in how_it_stands(folder) for block in matters.blocks()]
    return Output(DONE, _text(blocks), says)


def _refuse_others(old: str, before: Job, new: str, after: Job) -> None:
    if not are_versions(before, after):
        raise Refusal(f"it has nothing in common with {old}", new, "name two versions of one job")


def _text(blocks: list[list[str]]) -> str:
    return "\n".join("".join(f"{line}\n" for line in lines) for lines in blocks)


def _written(job: Job, mine: OpenedJob, path: Path) -> Iterator[str]:
    same = path.exists() and path.samefile(mine.path)
    if path.exists() and not same:
        raise Refusal("there is a file already", str(path), "name a new one, or MINE")
    save_job(job, path, mine.digest if same else None)
    yield f"written: {path}"
    if mine.comments:
        yield f"{mine.path}: its comments, {len(mine.comments)} in all, are not in that file"

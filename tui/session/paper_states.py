"""How the papers of a job stand: ready, blocked, given out, void; and the text of one.

Loaded when papers are looked at, not before.
"""

from collections.abc import Collection, Iterable
from typing import Final

from pelmet.model.file.job.kept import version_with
from pelmet.model.file.toml.writing import job_text
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.order.release import release_of
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.figures import figures_text
from pelmet.model.told.findings import findings_lines
from pelmet.model.told.formats.text import block_lines, paper_text
from pelmet.model.told.paper import SheetName
from pelmet.model.told.papers.sheets import SHEETS, held_up_by, paper_of
from pelmet.model.told.words import signed_words, wrapped
from pelmet.model.versions.follows import what_follows
from pelmet.model.versions.said import differences
from pelmet.model.versions.telling import diff_blocks
from pelmet.tui.session.outline import CHANGES, FINDINGS, SINCE_GIVEN
from pelmet.tui.session.paperwork import KeptVersion, Version


def states(plan: Plan, findings: Iterable[Finding], void: Collection[str] | None) -> dict[str, str]:
    """Say in a few words how each paper stands; None: what is void is not known yet."""
    given = {each.paper: each.revision for each in plan.job.given}
    release = release_of(plan, findings)
    found: dict[str, str] = {}
    for name in SHEETS:
        if held_up_by(release, name):
            found[name] = "blocked"
        elif name not in given:
            found[name] = "ready"
        elif void is None:
            found[name] = f"given, rev {given[name]} ..."
        else:
            found[name] = f"{'VOID' if name in void else 'given'}, rev {given[name]}"
    return found


def why_blocked(plan: Plan, findings: Iterable[Finding], item_id: str) -> str:
    """Say why a paper cannot go out yet, or nothing."""
    name = paper_named(item_id)
    return held_up_by(release_of(plan, findings), name) if name else ""


def warning(plan: Plan, findings: Iterable[Finding], void: Collection[str], item_id: str) -> str:
    """Say why a paper cannot go out, or that what was given out does not hold, or nothing."""
    reason = why_blocked(plan, findings, item_id)
    if reason:
        return f"Blocked, {reason}. Measure it, or say why it is cut anyway, under Job"
    if item_id in void:
        return "What was given out says something else: Ctrl+N adds a revision, then write it again"
    return ""


def page_rows(folder: Folder, item_id: str) -> tuple[str, ...]:
    """Give the text of a paper row by row."""
    name = paper_named(item_id)
    return tuple(paper_text(paper_of(folder, name)).splitlines()) if name else ()


def plan_rows(plan: Plan, item_id: str) -> tuple[str, ...]:
    """Give the text of one of the pages that only show the plan, row by row."""
    if item_id == FINDINGS:
        return findings_lines(plan)
    text = figures_text(plan) if item_id == "figures" else job_text(plan.job)
    return tuple(text.splitlines())


def change_rows(folder: Folder, before: Version | KeptVersion | None, page: str) -> tuple[str, ...]:
    """Tell row by row what the job says otherwise than as it was, and what follows."""
    if before is None:
        return (_NO_VERSION[page],)
    if isinstance(before, Version):
        return _changes(folder, before)
    given, path = before.given, before.path
    signed = signed_words(given.day, given.by)
    since = f"{given.paper}, revision {given.revision}, was given out {signed}".rstrip()
    if path is None:
        return wrapped(f"The job is in no file yet: none is kept of when {since}.")
    found = version_with(path, given)
    if found is None:
        return wrapped(f"No file beside {path.name} has the job as it was when {since}.")
    kept, job = found
    head = wrapped(f"Since {since}: {kept.name}")
    return (*head, "", *_changes(folder, Version(job, before.parts)))


_NO_VERSION: Final = {
    CHANGES: "Not saved yet: all of it is new.",
    SINCE_GIVEN: "No paper is noted as given out yet.",
}


def _changes(folder: Folder, before: Version) -> tuple[str, ...]:
    said = differences(before.job, folder.plan.job)
    old = make_folder(plan_job(before.job, before.parts), folder.prices)
    blocks = diff_blocks(said, what_follows(old, folder))
    return tuple(row for block in blocks for row in (*block_lines(block), ""))


def paper_named(item_id: str) -> SheetName | None:
    """Give the paper of this name, if it is one."""
    return next((name for name in SHEETS if name == item_id), None)

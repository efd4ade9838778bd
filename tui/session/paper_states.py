"""How the papers of a job stand: ready, blocked, given out, void; and the text of one.

Loaded when papers are looked at, not before.
"""

from pelmet.model.file.toml.writing import job_text
from pelmet.model.order.folder import Folder
from pelmet.model.told.figures import figures_text
from pelmet.model.told.findings import findings_lines
from pelmet.model.told.formats.text import paper_text
from pelmet.model.told.paper import SheetName
from pelmet.model.told.papers.sheets import SHEETS, hold_up, paper_of, void_papers


def states(folder: Folder) -> dict[str, str]:
    """Say in a few words how each paper stands."""
    given = {each.paper: each.revision for each in folder.plan.job.given}
    gone = void_papers(folder)
    found: dict[str, str] = {}
    for name in SHEETS:
        if hold_up(folder, name):
            found[name] = "blocked"
        elif name in gone:
            found[name] = f"VOID, rev {given[name]}"
        else:
            found[name] = f"given, rev {given[name]}" if name in given else "ready"
    return found


def why_blocked(folder: Folder, item_id: str) -> str:
    """Say why a paper cannot go out yet, or nothing."""
    name = paper_named(item_id)
    return hold_up(folder, name) if name else ""


def warning(folder: Folder, item_id: str) -> str:
    """Say why a paper cannot go out, or that what was given out does not hold, or nothing."""
    reason = why_blocked(folder, item_id)
    if reason:
        return f"Blocked, {reason}. Measure it, or say why it is cut anyway, under Job"
    if item_id in void_papers(folder):
        return "What was given out says something else: Ctrl+N adds a revision, then write it again"
    return ""


def page_rows(folder: Folder, item_id: str) -> tuple[str, ...]:
    """Give the text of a paper, or of one of the pages that only show the plan, row by row."""
    plan, name = folder.plan, paper_named(item_id)
    if name:
        return tuple(paper_text(paper_of(folder, name)).splitlines())
    match item_id:
        case "findings":
            return tuple(findings_lines(plan)) or ("No findings.",)
        case "figures":
            return tuple(figures_text(plan).splitlines())
        case _:
            return tuple(job_text(plan.job).splitlines())


def paper_named(item_id: str) -> SheetName | None:
    """Give the paper of this name, if it is one."""
    return next((name for name in SHEETS if name == item_id), None)

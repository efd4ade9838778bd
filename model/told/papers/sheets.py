"""Every paper once: its name, its title, its reader, what stands on it, and what holds it up."""

import hashlib
import json
from collections.abc import Callable, Mapping
from typing import Final, NamedTuple

from pelmet.model.job.paperwork import PaperName
from pelmet.model.order.folder import Folder
from pelmet.model.told.paper import Block, Paper
from pelmet.model.told.papers.approval import approval
from pelmet.model.told.papers.change_log import change_log
from pelmet.model.told.papers.cut_list import cut_list
from pelmet.model.told.papers.drill_list import drill_list
from pelmet.model.told.papers.first_fix import first_fix
from pelmet.model.told.papers.handover import handover
from pelmet.model.told.papers.labels import labels
from pelmet.model.told.papers.mains import mains
from pelmet.model.told.papers.mounting import mounting
from pelmet.model.told.papers.order import order
from pelmet.model.told.papers.quote import quote
from pelmet.model.told.papers.survey import survey
from pelmet.model.told.papers.test_record import test_record
from pelmet.model.told.papers.user import user
from pelmet.model.told.papers.wiring import wiring

_MARK: Final = 16  # letters of a fingerprint that are kept


class Sheet(NamedTuple):
    """One kind of paper. ``cuts``: metal is cut by it, so it waits until the job is released."""

    title: str
    reader: str
    blocks: Callable[[Folder], tuple[Block, ...]]
    cuts: bool = False


SHEETS: Final[Mapping[PaperName, Sheet]] = {
    "survey": Sheet("Survey sheet", "the surveyor and whoever plans", survey),
    "approval": Sheet("Approval", "the client", approval),
    "quote": Sheet("Quote", "the client", quote),
    "order": Sheet("Order list", "the supplier", order),
    "cut-list": Sheet("Cut list", "the bench", cut_list, cuts=True),
    "labels": Sheet("Labels", "the bench and the fitter", labels, cuts=True),
    "first-fix": Sheet("First fix", "whoever lays cable before walls close", first_fix),
    "drill-list": Sheet("Drill list", "the fitter", drill_list),
    "mounting": Sheet("Mounting sheet", "the fitter", mounting),
    "wiring": Sheet("Wiring schedule", "whoever wires the low-voltage side", wiring),
    "mains": Sheet("Mains sheet", "the licensed electrician", mains),
    "test-record": Sheet("Test record", "whoever proves it", test_record),
    "user": Sheet("How to use your lights", "the client", user),
    "handover": Sheet("Handover", "the client, and whoever comes next", handover),
    "change-log": Sheet("Change log", "whoever holds an older paper", change_log),
}
# What changes on these when others are given out is no news of the plan.
_OWN_BOOKS: Final = frozenset({"change-log", "handover"})


def paper_of(folder: Folder, name: PaperName) -> Paper:
    """Make one paper, ready or not."""
    sheet = SHEETS[name]
    site = folder.plan.worked.job.site
    job = f"{site.name}, {site.reference}" if site.reference else site.name
    return Paper(name, sheet.title, sheet.reader, job, revision_words(folder), sheet.blocks(folder))


def revision_words(folder: Folder) -> str:
    """Say which revision the papers of a job are of: 0 before the first."""
    job = folder.plan.worked.job
    return str(len(job.revisions)) if job.revisions or job.given else "0, draft"


def blocked(folder: Folder, name: PaperName) -> str:
    """Say why a paper cannot go out yet, or nothing."""
    if SHEETS[name].cuts and not folder.release.given:
        return "not released to cutting: " + "; ".join(folder.release.reasons)
    return ""


def mark_of(folder: Folder, name: PaperName) -> str:
    """Give the fingerprint of what stands on a paper; the same for the same words."""
    blocks = [[type(block).__name__, *block] for block in SHEETS[name].blocks(folder)]
    text = json.dumps(blocks, default=sorted)
    return hashlib.sha256(text.encode()).hexdigest()[:_MARK]


def void(folder: Folder) -> tuple[PaperName, ...]:
    """Give the papers that somebody holds and that say something else now."""
    last = {each.paper: each.digest for each in folder.plan.worked.job.given}
    return tuple(
        name
        for name in SHEETS
        if name in last and name not in _OWN_BOOKS and last[name] != mark_of(folder, name)
    )

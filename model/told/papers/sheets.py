"""Every paper once: its name, its title, its reader, what stands on it, and what holds it up."""

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from typing import Final, NamedTuple

from pelmet.model.job.paperwork import PAPER_NAMES, PaperName
from pelmet.model.order.folder import Folder
from pelmet.model.order.release import Release
from pelmet.model.plan.result import Plan
from pelmet.model.told.paper import Block, Paper, SheetName, paper_with
from pelmet.model.told.papers.approval import approval_paper
from pelmet.model.told.papers.change_log import change_log_paper
from pelmet.model.told.papers.cut_list import cut_list_paper
from pelmet.model.told.papers.drill_list import drill_list_paper
from pelmet.model.told.papers.first_fix import first_fix_paper
from pelmet.model.told.papers.handover import handed_over, handover_paper
from pelmet.model.told.papers.labels import labels_paper
from pelmet.model.told.papers.mains import mains_paper
from pelmet.model.told.papers.mounting import mounting_paper
from pelmet.model.told.papers.order import order_paper
from pelmet.model.told.papers.plan_sheet import READER, TITLE, sheet_blocks
from pelmet.model.told.papers.proof_record import proof_record_paper
from pelmet.model.told.papers.quote import quote_paper
from pelmet.model.told.papers.survey import survey_paper
from pelmet.model.told.papers.user import user_paper
from pelmet.model.told.papers.wiring import wiring_paper

_MARK: Final = 16  # letters of a fingerprint that are kept
_LONG_MARK: Final = 2 * _MARK  # of a paper that is known by a part of what stands on it


class Sheet(NamedTuple):
    """One kind of paper. ``cuts``: metal is cut by it, so it waits until the job is released.

    ``known_by`` is what of it makes it void when it changes, if that is not all of it.
    """

    title: str
    reader: str
    blocks: Callable[[Folder], tuple[Block, ...]]
    cuts: bool = False
    known_by: Callable[[Folder], tuple[Block, ...]] | None = None


def _of(plan_paper: Callable[[Plan], Iterable[Block]]) -> Callable[[Folder], tuple[Block, ...]]:
    """Make a paper of a folder's plan: what is cut, bought and priced does not stand on it."""
    return lambda folder: tuple(plan_paper(folder.plan))


SHEETS: Final[Mapping[SheetName, Sheet]] = {
    "survey": Sheet("Survey sheet", "the surveyor and whoever plans", _of(survey_paper)),
    "approval": Sheet("Approval", "the client", approval_paper),
    "quote": Sheet("Quote", "the client", quote_paper),
    "order": Sheet("Order list", "the supplier", order_paper),
    "cut-list": Sheet("Cut list", "the bench", cut_list_paper, cuts=True),
    "labels": Sheet("Labels", "the bench and the fitter", _of(labels_paper), cuts=True),
    "first-fix": Sheet("First fix", "whoever lays cable before walls close", _of(first_fix_paper)),
    "drill-list": Sheet("Drill list", "the fitter", _of(drill_list_paper)),
    "mounting": Sheet("Mounting sheet", "the fitter", _of(mounting_paper)),
    "wiring": Sheet("Wiring schedule", "whoever wires the low-voltage side", _of(wiring_paper)),
    "mains": Sheet("Mains sheet", "the licensed electrician", _of(mains_paper)),
    "test-record": Sheet("Test record", "whoever proves it", _of(proof_record_paper)),
    "user": Sheet("How to use your lights", "the client", user_paper),
    "handover": Sheet(
        "Handover", "the client, and whoever comes next", handover_paper, known_by=handed_over
    ),
    "change-log": Sheet("Change log", "whoever holds an older paper", _of(change_log_paper)),
    "sheet": Sheet(TITLE, READER, _of(sheet_blocks)),
}
# What changes on it when others are given out is no news of the plan.
_OWN_BOOK: Final = "change-log"


def paper_of(folder: Folder, name: SheetName) -> Paper:
    """Make one paper, ready or not."""
    sheet = SHEETS[name]
    return paper_with(folder.plan.job, name, sheet.title, sheet.reader, sheet.blocks(folder))


def hold_up(folder: Folder, name: SheetName) -> str:
    """Say why a paper cannot go out yet, or nothing."""
    return held_up_by(folder.release, name)


def held_up_by(release: Release, name: SheetName) -> str:
    """Say it before anything is cut: whether the bars may be, the plan alone decides."""
    if SHEETS[name].cuts and not release.given:
        return "not released to cutting: " + "; ".join(release.reasons)
    return ""


def mark_of(folder: Folder, name: PaperName) -> str:
    """Give the fingerprint of what stands on a paper; the same for the same words."""
    sheet = SHEETS[name]
    known_by = sheet.known_by or sheet.blocks
    blocks = [[type(block).__name__, *block] for block in known_by(folder)]
    text = json.dumps(blocks, default=sorted)
    return hashlib.sha256(text.encode()).hexdigest()[: _LONG_MARK if sheet.known_by else _MARK]


def void_papers(folder: Folder) -> tuple[PaperName, ...]:
    """Give the papers that somebody holds and that say something else now."""
    last = {each.paper: each.digest for each in folder.plan.job.given}
    return tuple(
        name
        for name in PAPER_NAMES
        if name in last and _can_be_void(name, last[name]) and last[name] != mark_of(folder, name)
    )


def _can_be_void(name: PaperName, mark: str) -> bool:
    """Tell whether a mark says by itself what stood on a paper.

    A handover was marked once, with fewer letters, by who held which papers too: nobody can say any
    more whether what was built has changed since.
    """
    return name != _OWN_BOOK and not (SHEETS[name].known_by and len(mark) == _MARK)

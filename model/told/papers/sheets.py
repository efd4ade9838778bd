"""Every paper once: its name, its title, its reader, what stands on it, and what holds it up."""

import hashlib
import json
from collections.abc import Callable, Iterable, Mapping
from typing import Final, NamedTuple, TypeAlias

from pelmet.model.job.paperwork import PAPER_NAMES, PaperName
from pelmet.model.job.prices import PriceBook
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.order.release import Release
from pelmet.model.order.status import anything_built
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.remembered import Remembered
from pelmet.model.told.blocks.two_kinds import Telling
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


Blocks: TypeAlias = tuple[Block, ...]


class Sheet(NamedTuple):
    """One kind of paper. ``cuts``: metal is cut by it, so it waits until the job is released.

    ``apart`` tells whether it knows what is to do from what is built; such a paper is known by what
    it tells of both as one, so that doing what it says does not make it void. ``known_by`` is what
    of another makes it void when it changes, if that is not all of it.
    """

    title: str
    reader: str
    blocks: Callable[[Folder, Telling], Blocks]
    cuts: bool = False
    apart: bool = False
    known_by: Callable[[Folder], Blocks] | None = None


def _of(plan_paper: Callable[[Plan], Iterable[Block]]) -> Callable[[Folder, Telling], Blocks]:
    """Make a paper of a folder's plan: what is cut, bought and priced does not stand on it."""
    return lambda folder, _: tuple(plan_paper(folder.plan))


def _plain(paper: Callable[[Folder], Blocks]) -> Callable[[Folder, Telling], Blocks]:
    """Make a paper on which nothing is built or to do."""
    return lambda folder, _: paper(folder)


def _apart(title: str, reader: str, paper: Callable[[Plan, Telling], Blocks]) -> Sheet:
    """Make a sheet of a folder's plan that knows what is to do from what is built."""
    return Sheet(title, reader, lambda folder, telling: paper(folder.plan, telling), apart=True)


SHEETS: Final[Mapping[SheetName, Sheet]] = {
    "survey": Sheet("Survey sheet", "the surveyor and whoever plans", _of(survey_paper)),
    "approval": Sheet("Approval", "the client", _plain(approval_paper)),
    "quote": Sheet("Quote", "the client", quote_paper, apart=True),
    "order": Sheet("Order list", "the supplier", order_paper, apart=True),
    "cut-list": Sheet("Cut list", "the bench", cut_list_paper, cuts=True, apart=True),
    "labels": _apart("Labels", "the bench and the {fitter}", labels_paper)._replace(cuts=True),
    "first-fix": _apart("{First_fix}", "whoever lays cable before walls close", first_fix_paper),
    "drill-list": _apart("Drill list", "the {fitter}", drill_list_paper),
    "mounting": _apart("Mounting sheet", "the {fitter}", mounting_paper),
    "wiring": _apart("Wiring schedule", "whoever wires the low-voltage side", wiring_paper),
    "mains": Sheet("{Of_mains} sheet", "the licensed electrician", _of(mains_paper)),
    "test-record": _apart("Test record", "whoever proves it", proof_record_paper),
    "user": Sheet("How to use your lights", "the client", _plain(user_paper)),
    "handover": Sheet(
        "Handover",
        "the client, and whoever comes next",
        _plain(handover_paper),
        known_by=handed_over,
    ),
    "change-log": Sheet("Change log", "whoever holds an older paper", _of(change_log_paper)),
    "sheet": Sheet(TITLE, READER, _of(sheet_blocks)),
}
APART: Final[tuple[SheetName, ...]] = tuple(name for name, sheet in SHEETS.items() if sheet.apart)
# What changes on it when others are given out is no news of the plan.
_OWN_BOOK: Final = "change-log"


def paper_of(folder: Folder, name: SheetName, telling: Telling = "apart") -> Paper:
    """Make one paper, ready or not."""
    sheet = SHEETS[name]
    blocks = sheet.blocks(folder, telling)
    said = folder.plan.job.site.words.said
    title, reader = said(sheet.title), said(sheet.reader)
    paper = paper_with(folder.plan.job, name, title, reader, blocks)
    if sheet.apart and telling == "to do":
        paper = paper._replace(title=f"{title}: only what is to do", part="to-do")
    return paper


def hold_up(folder: Folder, name: SheetName) -> str:
    """Say why a paper cannot go out yet, or nothing."""
    return held_up_by(folder.release, name)


def held_up_by(release: Release, name: SheetName) -> str:
    """Say why a paper cannot go out while the bars may not be cut, or nothing."""
    if SHEETS[name].cuts and not release.given:
        return "not released to cutting: " + "; ".join(release.reasons)
    return ""


def mark_of(folder: Folder, name: PaperName) -> str:
    """Give the fingerprint of what stands on a paper; the same for the same words.

    Of all but the handover it is that of the paper as if nothing were built yet: who holds a cut
    list has none the worse for its having been cut.
    """
    sheet = SHEETS[name]
    if sheet.known_by:
        known = sheet.known_by(folder)
    else:
        known = sheet.blocks(_as_planned(folder.plan, folder.prices), "as one")
        _as_planned.keep(_REMEMBERED)
    blocks = [[type(block).__name__, *block] for block in known]
    text = json.dumps(blocks, default=sorted)
    return hashlib.sha256(text.encode()).hexdigest()[: _LONG_MARK if sheet.known_by else _MARK]


def _unbuilt(plan: Plan, prices: PriceBook) -> Folder:
    """Give the folder of a plan as it would be if nothing of it were built."""
    job = plan.job
    if anything_built(job):
        runs = tuple(run.model_copy(update={"status": "surveyed"}) for run in job.runs)
        none = dict.fromkeys(("cuts", "hung", "drilled", "laid", "fitted"), ())
        plan = plan_job(job.model_copy(update={"runs": runs, **none}), plan.parts)
    return make_folder(plan, prices)


_as_planned = Remembered(_unbuilt)
_REMEMBERED: Final = 4


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

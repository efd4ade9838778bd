"""What is worked out of a plan for its papers: asked for, worked out beside the keys, handed back.

Nothing heavy is imported before it is worked out.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import Given, PaperName
from pelmet.model.plan.finding import Finding, gravest_first
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import Unplanned, plan_steps
from pelmet.tui.session.outline import CHANGES, COMPARED, FINDINGS, JOB_PAGES, SINCE_GIVEN

if TYPE_CHECKING:
    from pelmet.model.job.prices import PriceBook
    from pelmet.model.order.folder import Folder
    from pelmet.model.told.blocks.standing import Standing


class Asked(NamedTuple):
    """What is to be worked out of a plan: its folder unless that is known, and a page, if any."""

    plan: Plan
    prices: "PriceBook | None"
    folder: "Folder | None"
    page: str
    before: "Version | KeptVersion | None" = None


class Version(NamedTuple):
    """The job as it was, and the user's own parts that it is planned with."""

    job: Job
    parts: Catalogue


class KeptVersion(NamedTuple):
    """The job as it was when a paper was given out: kept beside its file, if it has one."""

    given: Given
    path: Path | None
    parts: Catalogue


class Found(NamedTuple):
    """One part of it: a plan's folder, with what is void by it, or the rows of a page."""

    plan: Plan
    folder: "Folder | None" = None
    void: tuple[PaperName, ...] = ()
    page: str = ""
    rows: tuple[str, ...] = ()


class Paperwork:
    """What was worked out of a job for its papers, as far as it was asked for and has come.

    ``folder``, ``void`` and ``pages`` are of the plan as it is. But people hold what was accepted:
    what has become void is told of the plan of that, whatever is being typed.
    """

    def __init__(self, plan: Plan, parts: Catalogue, prices: "PriceBook | None") -> None:
        self.prices = prices
        self._parts = parts
        self._opened = plan.job
        self._saved: Job | None = None
        self._path: Path | None = None
        self._picked = ""  # the paper given out that the job is compared with, else the last one
        self._of_order: tuple[Finding, ...] = ()
        self.follow(plan)
        self._accepted = plan
        self._void_by_now: tuple[PaperName, ...] | None = None
        self.void_due = False  # whether something was accepted that may make papers void
        self._told: tuple[PaperName, ...] = ()  # papers that were told to be void

    def follow(self, plan: Plan) -> None:
        """Begin anew with another plan."""
        self.plan = plan
        self.folder: Folder | None = None
        self.void: tuple[PaperName, ...] = ()
        self.pages: dict[str, tuple[str, ...]] = {}

    def compare_with(self, saved: Job | None, path: Path | None) -> None:
        """Tell what has changed since this was saved, and since what is kept beside that file."""
        self._saved, self._path = saved, path
        for page in COMPARED:
            self.forget(page)

    def compare_with_given(self, given: str) -> None:
        """Tell what has changed since this paper was given out."""
        self._picked = given
        self.forget(SINCE_GIVEN)

    def forget(self, page: str) -> None:
        """Have a page worked out again: what it is made of besides the plan is another now."""
        self.pages.pop(page, None)

    def _before(self, page: str) -> Version | KeptVersion | None:
        """Give what a page compares the job with, if there is any such thing."""
        if page == SINCE_GIVEN:
            given = self.plan.job.given
            found = [each for each in given if each.id == self._picked] or given[-1:]
            return KeptVersion(found[0], self._path, self._parts) if found else None
        job = self._saved if page == CHANGES else self._opened
        return None if job is None else Version(job, self._parts)

    def accept(self, plan: Plan) -> None:
        """Take the plan as it is for that of what was accepted, unless it is already."""
        if self._accepted is not plan:
            self._accepted = plan
            self._void_by_now = self.void_if_known

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All that is found; of the order what was found last, until it is worked out again."""
        if self.folder:
            return self.folder.plan.findings
        return gravest_first(self.plan.findings, self._of_order)

    @property
    def void_if_known(self) -> tuple[PaperName, ...] | None:
        """The papers that people hold and that hold no more, once that is worked out."""
        return None if self.folder is None else self.void

    def warning(self, page: str) -> str:
        """Say why a paper cannot go out, or does not hold any more, or nothing."""
        from pelmet.tui.session import paper_states

        return paper_states.warning(self.plan, self.findings, self.void, page)

    def ask(self, page: str = "") -> Asked:
        """Ask for what follows from the plan as it is, and for the text of a page."""
        return Asked(self.plan, self.prices, self.folder, page, self._before(page))

    def wanted(self, page: str, *, whole: bool) -> Asked | None:
        """Ask for what is missing: a page, what follows from the whole plan, what is void."""
        missing = page if page not in self.pages else ""
        if missing or (whole and self.folder is None):
            return self.ask(missing)
        if self.void_due and self._accepted.job.given and self._void_by_now is None:
            return Asked(self._accepted, self.prices, None, "")
        return None

    def wants(self, asked: Asked) -> bool:
        """Whether what was asked is still of use: no newer job stands in its place."""
        return asked.plan is self.plan or asked.plan is self._accepted

    def take(self, found: Found) -> bool:
        """Keep what was worked out, unless it is of an older plan; tell whether a folder came."""
        if found.folder and found.plan is self._accepted:
            self._void_by_now = found.void
        if found.plan is not self.plan:
            return False
        if found.page:
            self.pages[found.page] = found.rows
        if found.folder:
            self.folder, self.void = found.folder, found.void
            own = set(found.plan.findings)
            self._of_order = tuple(each for each in found.folder.plan.findings if each not in own)
        return found.folder is not None

    def newly_void(self) -> tuple[PaperName, ...]:
        """Give the papers that have become void, each once, when that is known."""
        if not self.void_due or self._void_by_now is None:
            return ()
        self.void_due = False
        before, self._told = self._told, self._void_by_now
        return tuple(name for name in self._told if name not in before)


def steps_of(asked: Unplanned | Asked) -> Iterator[Plan | Found | None]:
    """Work out what a session asks for, step by step; nothing is given where one may only stop."""
    yield from plan_steps(asked) if isinstance(asked, Unplanned) else work_out(asked)


def work_out(asked: Asked) -> Iterator[Found | None]:
    """Work out what is asked of a plan."""
    from pelmet.model.order.folder import folder_steps
    from pelmet.model.told.papers.sheets import void_papers
    from pelmet.tui.session.paper_states import change_rows, page_rows, plan_rows

    plan, folder, page = asked.plan, asked.folder, asked.page
    if page in JOB_PAGES and page not in (*COMPARED, FINDINGS):
        yield Found(plan, page=page, rows=plan_rows(plan, page))
    if folder is None:
        folder = yield from folder_steps(plan, asked.prices)
        yield Found(plan, folder, void_papers(folder))
    if page == FINDINGS:
        yield Found(plan, page=page, rows=plan_rows(folder.plan, page))
    elif page in COMPARED:
        yield Found(plan, page=page, rows=change_rows(folder, asked.before, page))
    elif page and page not in JOB_PAGES:
        yield Found(plan, page=page, rows=page_rows(folder, page))


def standing_of(asked: Asked) -> "Iterator[Standing | None]":
    """Work out how the job of a plan stands."""
    from pelmet.model.order.folder import folder_steps
    from pelmet.model.told.blocks.standing import how_it_stands

    folder = asked.folder or (yield from folder_steps(asked.plan, asked.prices))
    yield how_it_stands(folder)

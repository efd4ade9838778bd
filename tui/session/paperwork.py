"""What is worked out of a plan for its papers: asked for, worked out beside the keys, handed back.

Nothing heavy is imported before it is worked out.
"""

from collections.abc import Iterator
from typing import TYPE_CHECKING, NamedTuple

from pelmet.model.job.paperwork import PaperName
from pelmet.model.plan.result import Plan
from pelmet.tui.session.outline import JOB_PAGES

if TYPE_CHECKING:
    from pelmet.model.job.prices import PriceBook
    from pelmet.model.order.folder import Folder


class Asked(NamedTuple):
    """What is to be worked out of a plan: its folder unless that is known, and a page, if any."""

    plan: Plan
    prices: "PriceBook | None"
    folder: "Folder | None"
    page: str


class Found(NamedTuple):
    """One part of it: a plan's folder, with what is void by it, or the rows of a page."""

    plan: Plan
    folder: "Folder | None" = None
    void: tuple[PaperName, ...] = ()
    page: str = ""
    rows: tuple[str, ...] = ()


def work_out(asked: Asked) -> Iterator[Found | None]:
    """Work out what is asked, part by part; nothing is given where one may only stop."""
    from pelmet.model.order.folder import folder_steps
    from pelmet.model.told.papers.sheets import void_papers
    from pelmet.tui.session.paper_states import page_rows, plan_rows

    plan, folder, page = asked.plan, asked.folder, asked.page
    if page in JOB_PAGES:
        yield Found(plan, page=page, rows=plan_rows(plan, page))
    if folder is None:
        folder = yield from folder_steps(plan, asked.prices)
        yield Found(plan, folder, void_papers(folder))
    if page and page not in JOB_PAGES:
        yield Found(plan, page=page, rows=page_rows(folder, page))

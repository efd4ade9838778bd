"""All that follows from a plan and a price book for buying, pricing and handing out."""

from typing import NamedTuple

from pelmet.model.job.prices import PriceBook, bundled_prices
from pelmet.model.order.checks import check_order
from pelmet.model.order.cuts import PartCut, cut_pieces
from pelmet.model.order.labour import Work, labour
from pelmet.model.order.lines import Line, order_lines
from pelmet.model.order.pieces import Piece, pieces_of
from pelmet.model.order.quote import Quote, quote
from pelmet.model.order.release import Release, release
from pelmet.model.order.status import RunStatus, statuses
from pelmet.model.order.sundries import sundries
from pelmet.model.plan.checks import Finding
from pelmet.model.plan.stages import Plan


class Folder(NamedTuple):
    """A job's folder: the plan, and what was worked out of it to buy, price and hand it out."""

    plan: Plan
    prices: PriceBook
    pieces: tuple[Piece, ...]
    cuts: tuple[PartCut, ...]
    lines: tuple[Line, ...]
    work: tuple[Work, ...]
    quote: Quote
    release: Release
    statuses: tuple[RunStatus, ...]
    findings: tuple[Finding, ...]


def make_folder(plan: Plan, prices: PriceBook | None = None) -> Folder:
    """Work out what to buy, how to cut it, what it costs and how long it takes.

    Pure and total like the plan. Not a stage of it: the first time a job is cut takes longer
    than a keystroke may; what does not change is remembered.
    """
    book = prices or bundled_prices()
    worked = plan.worked
    pieces = pieces_of(worked)
    cuts = cut_pieces(worked.job, worked.parts, book, pieces)
    small = sundries(worked)
    lines = order_lines(worked, book, cuts, small)
    work = labour(worked, book, pieces)
    priced = quote(worked.parts, book, lines, work)
    return Folder(
        plan,
        book,
        pieces,
        cuts,
        lines,
        work,
        priced,
        release(plan),
        statuses(worked.job),
        check_order(worked, cuts, lines, small),
    )

"""All that follows from a plan and a price book for buying, pricing and handing out."""

from collections.abc import Generator
from dataclasses import replace
from typing import NamedTuple

from pelmet.model.job.prices import PriceBook, bundled_prices
from pelmet.model.order.checks import check_order
from pelmet.model.order.cuts import PartCut, cut_pieces
from pelmet.model.order.labour import Work, count_labour
from pelmet.model.order.left import all_of, left_of
from pelmet.model.order.lines import OrderLine, order_lines
from pelmet.model.order.pieces import Piece, pieces_of
from pelmet.model.order.quote import Quote, make_quote
from pelmet.model.order.release import Release, release_of
from pelmet.model.order.status import RunStatus, anything_built, statuses
from pelmet.model.order.sundries import count_sundries
from pelmet.model.plan.finding import gravest_first
from pelmet.model.plan.result import Plan


class Change(NamedTuple):
    """What is still to be done and bought of a job of which something is: the time, the price."""

    work: tuple[Work, ...]
    quote: Quote


class Folder(NamedTuple):
    """A job's folder: the plan, and what was worked out of it to buy, price and hand it out.

    ``plan`` has the findings of the order among its own, so that there is one list of them.
    ``work`` and ``quote`` are of all of it, ``change`` of what is neither built nor ordered;
    nothing where nothing is.
    """

    plan: Plan
    prices: PriceBook
    pieces: tuple[Piece, ...]
    cuts: tuple[PartCut, ...]
    lines: tuple[OrderLine, ...]
    work: tuple[Work, ...]
    quote: Quote
    change: Change | None
    release: Release
    statuses: tuple[RunStatus, ...]


def make_folder(plan: Plan, prices: PriceBook | None = None) -> Folder:
    """Work out what to buy, how to cut it, what it costs and how long it takes.

    Pure and total like the plan. Not a stage of it: the first time a job is cut takes longer
    than a keystroke may; what does not change is remembered.
    """
    steps = folder_steps(plan, prices)
    try:
        while True:
            next(steps)
    except StopIteration as end:
        folder: Folder = end.value
        return folder


def folder_steps(plan: Plan, prices: PriceBook | None = None) -> Generator[None, None, Folder]:
    """Make a folder part by part, so that who has no more use for it may stop between."""
    book = prices or bundled_prices()
    pieces = pieces_of(plan)
    found = []
    for cut in cut_pieces(plan.job, plan.parts, book, pieces):
        found.append(cut)
        yield
    cuts = tuple(found)
    small = count_sundries(plan)
    lines = order_lines(plan, book, cuts, small)
    work = count_labour(plan, book, all_of(plan, pieces))
    priced = make_quote(plan, book, lines, work)
    change = None
    if plan.job.ordered or anything_built(plan.job):
        rest = count_labour(plan, book, left_of(plan, pieces))
        change = Change(rest, make_quote(plan, book, lines, rest, now=True))
    found_too = check_order(plan, cuts, lines, small)
    plan = replace(plan, findings=gravest_first(plan.findings, found_too))
    return Folder(
        plan=plan,
        prices=book,
        pieces=pieces,
        cuts=cuts,
        lines=lines,
        work=work,
        quote=priced,
        change=change,
        release=release_of(plan, plan.findings),
        statuses=statuses(plan.job),
    )

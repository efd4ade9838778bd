"""The quote: what it costs, what is in it, what is not; and how it is made up, for the office."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final, get_args

from pelmet.model.job.money import minor_unit, money_text, rounded, share
from pelmet.model.job.prices import Trade
from pelmet.model.order.folder import Folder
from pelmet.model.order.labour import minutes_of, people_of, visits_of
from pelmet.model.order.quote import Sum
from pelmet.model.told.blocks.offered import offered_blocks
from pelmet.model.told.paper import Blanks, Block, Grid, Heading, Points, Words

_HEAD = ("for", "price")
_MADE_HEAD = ("made up of", "", "amount")
_AN_HOUR = Decimal(60)
_TENTH = Decimal("0.1")
_NOT_MAINS: Final[tuple[Trade, ...]] = ("bench", "fitter")
_MAINS: Final[tuple[Trade, ...]] = ("electrician",)


def quote_paper(folder: Folder) -> tuple[Block, ...]:
    """Give the price line by line, options beside it, and the office's own copy."""
    plan, book, priced = folder.plan, folder.prices, folder.quote
    if not plan.bars:
        return (Words("There is nothing to quote yet: no bar is planned."),)
    currency = priced.currency
    rows = [(line.says, money_text(line.amount, currency)) for line in priced.lines]
    rows.append(("Net", money_text(priced.net, currency)))
    rows.append((f"{book.tax_name} {book.tax_percent:f} %", money_text(priced.tax, currency)))
    if priced.rounding:
        rows.append(("Rounding", money_text(priced.rounding, currency)))
    rows.append(("Total", money_text(priced.total, currency)))
    site = plan.job.site
    return (
        Words(
            f"For: {site.client or '________________'}   From: {book.from_name or '____________'}"
        ),
        Grid(_HEAD, tuple(rows), frozenset({1}), name="quote"),
        Words(_rounding(folder)),
        Points(tuple(_terms(folder))),
        Heading("Options"),
        *offered_blocks(folder, "quote-options"),
        Heading("Not in it"),
        Points(tuple(_left_out(folder))),
        *((Words(book.terms),) if book.terms else ()),
        Blanks(("Agreed by the client", "Option", "Date")),
        Heading("How it is made up: office copy, keep back"),
        Grid(_MADE_HEAD, tuple(_made_up(folder)), frozenset({2})),
    )


def _terms(folder: Folder) -> Iterator[str]:
    book, work = folder.prices, folder.work
    yield f"It stands for {book.valid_days} days."
    visits = visits_of(work)
    people = max((people_of(work, visit) for visit in visits), default=1)
    yield (
        f"Visits: {', '.join(visits) or 'none'}; at most {people} "
        f"{'person' if people == 1 else 'people'} at a time."
    )
    hours = ", ".join(f"{trade} {_hours(folder, trade)} h" for trade in _trades(folder))
    yield f"Hours, of all people: {hours or 'none'}. They are estimates."
    if folder.quote.invented:
        count = len(folder.quote.invented)
        parts = "1 part is" if count == 1 else f"{count} parts are"
        yield f"Prices of {parts} invented: they bind nobody until a supplier has given them."
    if any(bar.length.assumed for bar in folder.plan.bars):
        yield "Some lengths are assumed: the price may change once they are measured."


def _left_out(folder: Folder) -> Iterator[str]:
    if folder.quote.unpriced:
        yield f"Parts without a price: {', '.join(folder.quote.unpriced)}."
    yield "Making good, plaster, paint and tiles."
    yield "Permits and fees of an authority."
    if not folder.quote.mains:
        yield "Mains work."
    else:
        yield "New circuits, and faults found on the mains side; that work is a licensed person's."


def _rounding(folder: Folder) -> str:
    currency, step = folder.quote.currency, folder.prices.step
    unit = money_text(minor_unit(currency), currency)
    total = "" if step == minor_unit(currency) else f", the total to {money_text(step, currency)}"
    return f"Each line is rounded to {unit}{total}; a half counts as a whole one."


def _trades(folder: Folder) -> tuple[Trade, ...]:
    return tuple(each for each in get_args(Trade) if minutes_of(folder.work, each))


def _hours(folder: Folder, trade: Trade) -> Decimal:
    return rounded(minutes_of(folder.work, trade) / _AN_HOUR, _TENTH)


def _made_up(folder: Folder) -> Iterator[tuple[str, str, str]]:
    """Give what the price is made of; its lines add up to the net."""
    book, priced = folder.prices, folder.quote
    currency = priced.currency
    material = _total(priced.material)
    yield "Material, bought", "", money_text(priced.bought, currency)
    added = money_text(material - priced.bought, currency)
    yield "Mark-up on it", f"{book.markup_percent:f} %", added
    for trade, cost in _by_trade(folder):
        rate = money_text(book.per_hour(trade), currency)
        yield trade.capitalize(), f"{_hours(folder, trade)} h at {rate}", money_text(cost, currency)
    unforeseen = money_text(priced.contingency.amount, currency)
    yield "Contingency", f"{book.contingency_percent:f} %", unforeseen
    yield "Net", "", money_text(priced.net, currency)
    yield book.tax_name, f"{book.tax_percent:f} %", money_text(priced.tax, currency)
    if priced.rounding:
        yield "Rounding", "", money_text(priced.rounding, currency)
    yield "Total", "", money_text(priced.total, currency)


def _by_trade(folder: Folder) -> Iterator[tuple[Trade, Decimal]]:
    """Part the price of labour by trade, to the last coin; the electrician's is the mains work."""
    book, priced = folder.prices, folder.quote
    for trades, lines in ((_NOT_MAINS, priced.labour), (_MAINS, priced.mains)):
        exact = [minutes_of(folder.work, trade) * book.per_hour(trade) for trade in trades]
        if any(exact):
            costs = share(_total(lines), exact, minor_unit(priced.currency))
            yield from ((trade, cost) for trade, cost in zip(trades, costs, strict=True) if cost)


def _total(lines: Sequence[Sum]) -> Decimal:
    return sum((line.amount for line in lines), Decimal(0))

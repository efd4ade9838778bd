"""The quote: what it costs, what is in it, what is not; and how it is made up, for the office."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final, NamedTuple

from pelmet.model.job.money import minor_unit, money_text, rounded, share
from pelmet.model.job.prices import Trade
from pelmet.model.job.region_words import RegionWords
from pelmet.model.order.folder import Folder
from pelmet.model.order.labour import Work, minutes_of, people_of, visits_of
from pelmet.model.order.quote import Quote, Sum
from pelmet.model.told.blocks.offered import offered_blocks
from pelmet.model.told.blocks.two_kinds import Telling
from pelmet.model.told.paper import Blanks, Block, Grid, Heading, Points, Words

_HEAD = ("for", "price")
_MADE_HEAD = ("made up of", "", "amount")
_AN_HOUR = Decimal(60)
_TENTH = Decimal("0.1")
_NOTHING_DUE: Final = (
    "Nothing is left to be ordered or done: nothing more is to pay than was agreed."
)
_NOT_MAINS: Final[tuple[Trade, ...]] = ("bench", "fitter")
_MAINS: Final[tuple[Trade, ...]] = ("electrician",)


def quote_paper(folder: Folder, telling: Telling = "apart") -> tuple[Block, ...]:
    """Give the price line by line, options beside it, and the office's own copy.

    Where anything is built or ordered, what is still to come is priced first, by itself.
    """
    if not folder.plan.bars:
        return (Words("There is nothing to quote yet: no bar is planned."),)
    whole = _Priced(folder, folder.work, folder.quote)
    if folder.change is None or telling == "as one":
        return tuple(_quoted(whole))
    rest = _Priced(folder, *folder.change)
    due = bool(rest.work) or any(line.packs for line in folder.lines)
    return (
        _for(rest),
        Heading("What is still to come"),
        *(_to_come(rest) if due else (Words(_NOTHING_DUE),)),
        *(_whole(whole) if telling == "apart" else ()),
        *(_closing(rest) if due else ()),
    )


class _Priced(NamedTuple):
    """A price, and the work that it is for: of a whole job, or of what is still to come of it."""

    folder: Folder
    work: Sequence[Work]
    quote: Quote


def _quoted(whole: _Priced) -> Iterator[Block]:
    yield _for(whole)
    yield _price(whole, "quote")
    yield Words(_rounding(whole))
    yield Points(tuple(_terms(whole)))
    yield Heading("Options")
    yield from offered_blocks(whole.folder, "quote-options")
    yield from _closing(whole)


def _for(priced: _Priced) -> Words:
    client, own = priced.folder.plan.job.site.client, priced.folder.prices.from_name
    return Words(f"For: {client or '________________'}   From: {own or '____________'}")


def _price(priced: _Priced, name: str) -> Grid:
    book, quote = priced.folder.prices, priced.quote
    currency = quote.currency
    rows = [(line.says, money_text(line.amount, currency)) for line in quote.lines]
    rows.append(("Net", money_text(quote.net, currency)))
    tax = _tax(priced)
    rows.append((f"{tax} {book.tax_percent:f} %", money_text(quote.tax, currency)))
    if quote.rounding:
        rows.append(("Rounding", money_text(quote.rounding, currency)))
    rows.append(("Total", money_text(quote.total, currency)))
    return Grid(_HEAD, tuple(rows), frozenset({1}), name=name)


def _tax(priced: _Priced) -> str:
    name = priced.folder.prices.tax_called(_words(priced))
    return name[:1].upper() + name[1:]


def _words(priced: _Priced) -> RegionWords:
    return priced.folder.plan.job.site.words


def _closing(priced: _Priced) -> Iterator[Block]:
    book = priced.folder.prices
    yield Heading("Not in it")
    yield Points(tuple(_left_out(priced)))
    if book.terms:
        yield Words(book.terms)
    yield Blanks(("Agreed by the client", "Option", "Date"))
    what = "it" if priced.quote is priced.folder.quote else "what is still to come"
    yield Heading(f"How {what} is made up: office copy, keep back")
    yield Grid(_MADE_HEAD, tuple(_made_up(priced)), frozenset({2}))


def _to_come(rest: _Priced) -> Iterator[Block]:
    yield _price(rest, "quote-to-come")
    yield Words(
        "In it is what is ordered now, and work on what is not noted as built. What was ordered "
        "before, and what is built, is not in it."
    )
    yield Words(_rounding(rest))
    yield Points(tuple(_terms(rest)))


def _whole(whole: _Priced) -> Iterator[Block]:
    yield Heading("All of it, built and to come")
    yield _price(whole, "quote")
    yield Words("To be held against the quote that was given first.")
    yield Heading("Options, each with all of it")
    yield from offered_blocks(whole.folder, "quote-options")


def _terms(priced: _Priced) -> Iterator[str]:
    book, work = priced.folder.prices, priced.work
    yield f"It stands for {book.valid_days} days."
    visits = visits_of(work)
    people = max((people_of(work, visit) for visit in visits), default=1)
    yield (
        f"Visits: {', '.join(map(_words(priced).value, visits)) or 'none'}; at most {people} "
        f"{'person' if people == 1 else 'people'} at a time."
    )
    yield f"Hours, of all people: {', '.join(_apart(priced)) or 'none'}. They are estimates."
    if priced.quote.invented:
        count = len(priced.quote.invented)
        parts = "1 part is" if count == 1 else f"{count} parts are"
        yield f"Prices of {parts} invented: they bind nobody until a supplier has given them."
    if any(bar.length.assumed for bar in priced.folder.plan.bars):
        yield "Some lengths are assumed: the price may change once they are measured."


def _left_out(priced: _Priced) -> Iterator[str]:
    if priced.quote.unpriced:
        yield f"Parts without a price: {', '.join(priced.quote.unpriced)}."
    words = _words(priced)
    yield f"Making good, {words.plaster}, paint and tiles."
    yield "Permits and fees of an authority."
    if not priced.quote.mains:
        yield words.said("{Of_mains} work.")
    else:
        yield (
            f"New circuits, and faults found on the {words.of_mains} side; that work is a licensed "
            "person's."
        )


def _rounding(priced: _Priced) -> str:
    currency, step = priced.quote.currency, priced.folder.prices.step
    unit = money_text(minor_unit(currency), currency)
    total = "" if step == minor_unit(currency) else f", the total to {money_text(step, currency)}"
    return f"Each line is rounded to {unit}{total}; a half counts as a whole one."


def _apart(priced: _Priced) -> Iterator[str]:
    """Tell the hours of each visit apart, and those of mains work from all others."""
    for visit in dict.fromkeys(each.visit for each in priced.work):
        own = [each for each in priced.work if each.visit == visit]
        words = _words(priced)
        name = words.value(visit)
        for trades, says in (
            (_NOT_MAINS, name),
            (_MAINS, f"{words.of_mains} work in the {name}"),
        ):
            minutes = sum((minutes_of(own, trade) for trade in trades), Decimal(0))
            if minutes:
                yield f"{says} {rounded(minutes / _AN_HOUR, _TENTH)} h"


def _hours(priced: _Priced, trade: Trade) -> Decimal:
    return rounded(minutes_of(priced.work, trade) / _AN_HOUR, _TENTH)


def _made_up(priced: _Priced) -> Iterator[tuple[str, str, str]]:
    """Give what the price is made of; its lines add up to the net."""
    book, quote = priced.folder.prices, priced.quote
    currency = quote.currency
    material = _total(quote.material)
    yield "Material, bought", "", money_text(quote.bought, currency)
    added = money_text(material - quote.bought, currency)
    yield "Mark-up on it", f"{book.markup_percent:f} %", added
    for trade, cost in _by_trade(priced):
        rate = money_text(book.per_hour(trade), currency)
        yield (
            _words(priced).value(trade).capitalize(),
            f"{_hours(priced, trade)} h at {rate}",
            money_text(cost, currency),
        )
    unforeseen = money_text(quote.contingency.amount, currency)
    yield "Contingency", f"{book.contingency_percent:f} %", unforeseen
    yield "Net", "", money_text(quote.net, currency)
    yield _tax(priced), f"{book.tax_percent:f} %", money_text(quote.tax, currency)
    if quote.rounding:
        yield "Rounding", "", money_text(quote.rounding, currency)
    yield "Total", "", money_text(quote.total, currency)


def _by_trade(priced: _Priced) -> Iterator[tuple[Trade, Decimal]]:
    """Part the price of labour by trade, to the last coin; the electrician's is the mains work."""
    book, quote = priced.folder.prices, priced.quote
    for trades, lines in ((_NOT_MAINS, quote.labour), (_MAINS, quote.mains)):
        exact = [minutes_of(priced.work, trade) * book.per_hour(trade) for trade in trades]
        if any(exact):
            costs = share(_total(lines), exact, minor_unit(quote.currency))
            yield from ((trade, cost) for trade, cost in zip(trades, costs, strict=True) if cost)


def _total(lines: Sequence[Sum]) -> Decimal:
    return sum((line.amount for line in lines), Decimal(0))

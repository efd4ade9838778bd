"""The price: material marked up, labour by visit, what nobody foresaw, mains work apart, tax.

Every line is rounded to the currency's minor unit, a half away from zero, and lines add up to
what stands below them; the total with tax is rounded once more, to the step of the price book,
and the difference stands as a line of its own.
"""

from collections.abc import Sequence
from decimal import Decimal
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.money import marked_up, minor_unit, rounded, with_tax
from pelmet.model.job.prices import PriceBook
from pelmet.model.job.region_words import RegionWords
from pelmet.model.order.labour import Work
from pelmet.model.order.lines import OrderLine
from pelmet.model.plan.result import Plan

_NONE: Final = Decimal(0)
_AN_HOUR: Final = Decimal(60)
_PERCENT: Final = Decimal(100)
# Which tables of the catalogue stand together on a quote.
_GROUPS: Final = {
    "channels": "Channel, covers and caps",
    "diffusers": "Channel, covers and caps",
    "caps": "Channel, covers and caps",
    "strips": "LED strip",
    "supplies": "Supplies, dimmers and switches",
    "dimmers": "Supplies, dimmers and switches",
    "switches": "Supplies, dimmers and switches",
}
_OTHER: Final = "Cable, connectors and small parts"


class Sum(NamedTuple):
    """One line of a quote: what it is, and its price before tax."""

    says: str
    amount: Decimal


class Quote(NamedTuple):
    """What the job costs. ``unpriced`` are parts without a price: they are not in it.

    ``bought`` is what material costs before mark-up; ``net`` is before tax, ``rounding`` what
    rounding the total added. ``invented`` are priced parts whose price nobody was asked.
    """

    currency: str
    material: tuple[Sum, ...]
    labour: tuple[Sum, ...]
    contingency: Sum
    mains: tuple[Sum, ...]
    bought: Decimal
    net: Decimal
    tax: Decimal
    rounding: Decimal
    unpriced: tuple[str, ...]
    invented: tuple[str, ...]

    @property
    def lines(self) -> tuple[Sum, ...]:
        """Every line, in the order they stand on the quote."""
        contingency = (self.contingency,) if self.contingency.amount else ()
        return (*self.material, *self.labour, *contingency, *self.mains)

    @property
    def total(self) -> Decimal:
        """What the client pays: net, tax and rounding."""
        return self.net + self.tax + self.rounding


def make_quote(
    plan: Plan,
    prices: PriceBook,
    lines: Sequence[OrderLine],
    work: Sequence[Work],
    *,
    now: bool = False,
) -> Quote:
    """Price a job: what it takes, whenever that was ordered, and the time it takes.

    ``now``: of material only what is ordered now.
    """
    if now:
        lines = [line for line in lines if line.packs]
    worth = [(line.part, (line.cost if now else line.worth) or _NONE) for line in lines]
    unit = minor_unit(prices.currency)
    words = plan.job.site.words
    material = _material(plan.parts, prices, worth, unit)
    others = [each for each in work if each.task.trade != "electrician"]
    labour = _labour(prices, others, unit, words)
    licensed = [each for each in work if each.task.trade == "electrician"]
    mains = _labour(prices, licensed, unit, words)
    before = sum((line.amount for line in (*material, *labour)), _NONE)
    unforeseen = rounded(before * prices.contingency_percent / _PERCENT, unit)
    contingency = Sum(f"Contingency, {prices.contingency_percent:g} %", unforeseen)
    net = before + unforeseen + sum((line.amount for line in mains), _NONE)
    gross = with_tax(net, prices.tax_percent, unit)
    return Quote(
        currency=prices.currency,
        material=material,
        labour=labour,
        contingency=contingency,
        mains=tuple(
            each._replace(says=words.said("{Of_mains} work: ") + each.says) for each in mains
        ),
        bought=rounded(sum((cost for _, cost in worth), _NONE), unit),
        net=net,
        tax=gross - net,
        rounding=rounded(gross, prices.step) - gross,
        unpriced=tuple(dict.fromkeys(line.part for line in lines if line.each is None)),
        invented=tuple(dict.fromkeys(line.part for line in lines if line.each and line.invented)),
    )


def _material(
    parts: Catalogue, prices: PriceBook, worth: Sequence[tuple[str, Decimal]], unit: Decimal
) -> tuple[Sum, ...]:
    group = {part.id: says for table, says in _GROUPS.items() for part in getattr(parts, table)}
    costs: dict[str, Decimal] = dict.fromkeys((*dict.fromkeys(_GROUPS.values()), _OTHER), _NONE)
    for part, cost in worth:
        costs[group.get(part, _OTHER)] += cost
    return tuple(
        Sum(says, marked_up(cost, prices.markup_percent, unit))
        for says, cost in costs.items()
        if cost
    )


def _labour(
    prices: PriceBook, work: Sequence[Work], unit: Decimal, words: RegionWords
) -> tuple[Sum, ...]:
    """Price work by visit: minutes at the rate of their trade."""
    by_visit: dict[str, tuple[Decimal, Decimal]] = {}
    for each in work:
        minutes, cost = by_visit.get(each.visit, (_NONE, _NONE))
        rate = prices.per_hour(each.task.trade)
        by_visit[each.visit] = minutes + each.minutes, cost + each.minutes * rate / _AN_HOUR
    return tuple(
        Sum(f"{words.value(visit).capitalize()}, {minutes / _AN_HOUR:.1f} h", rounded(cost, unit))
        for visit, (minutes, cost) in by_visit.items()
        if cost
    )

"""The order, line by line: what the plan takes, what was ordered before, and what is ordered now.

Parts of all rooms are merged. Only whole packs are sold, and no fewer than a supplier's least.
"""

from collections.abc import Iterator, Sequence
from decimal import ROUND_CEILING, Decimal
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.job import Job
from pelmet.model.job.prices import PartPrice, PriceBook
from pelmet.model.order.cuts import PartCut
from pelmet.model.order.on_hand import lengths_sawn
from pelmet.model.order.price_of import length_price, parts_by_id, unit_price
from pelmet.model.order.status import anything_built
from pelmet.model.order.sundries import SundryCount
from pelmet.model.plan.result import Plan

_MM_PER_METRE: Final = Decimal(1000)
_NONE: Final = Decimal(0)
_UNPRICED: Final = PartPrice(id="none", price=_NONE)  # sold one by one


class OrderLine(NamedTuple):
    """One line of the order: pieces, or metres of what goes by the metre.

    ``length`` is of a bar or a reel [mm], None of all else. ``needed`` is what the plan takes,
    ``before`` what was ordered; ``packs`` of ``pack`` are ordered now, and ``over`` is what was
    ordered and is needed no more: whole packs, none of them opened. What goes by the metre came in
    one piece, which is opened by the first length off it. ``each`` is the price of one before tax,
    None if not known.
    """

    part: str
    name: str
    length: Decimal | None
    unit: str
    needed: Decimal
    before: Decimal
    pack: Decimal
    packs: int
    over: Decimal
    each: Decimal | None
    why: str
    code: str = ""
    lead_days: int | None = None
    alternates: bool = True
    invented: bool = False

    @property
    def amount(self) -> Decimal:
        """How much is ordered now."""
        return self.pack * self.packs

    @property
    def cost(self) -> Decimal | None:
        """What is ordered now costs, before tax; not rounded."""
        return None if self.each is None else self.each * self.amount

    @property
    def worth(self) -> Decimal | None:
        """All that the job takes costs, before tax, whenever it was ordered; not rounded."""
        if self.each is None:
            return None
        return self.each * max(self.before + self.amount, self.needed)


class _Need(NamedTuple):
    part: str
    length: Decimal | None
    unit: str
    amount: Decimal
    why: str


def order_lines(
    plan: Plan, prices: PriceBook, cuts: Sequence[PartCut], small: Sequence[SundryCount]
) -> tuple[OrderLine, ...]:
    """Give every line of the order, in the order in which things are handled on the bench."""
    merged: dict[tuple[str, Decimal | None], _Need] = {}
    for need in (*_cut(cuts), *_sawn(plan.job), *_uncut(plan, cuts), *_counted(small)):
        key = (need.part, need.length)
        was = merged.get(key)
        merged[key] = _both(was, need) if was else need
    for each in plan.job.ordered:  # what is needed no more stands in the list all the same
        merged.setdefault(
            (each.part, each.length), _Need(each.part, each.length, "piece", _NONE, "")
        )
    return tuple(_line(need, plan.job, plan.parts, prices) for need in merged.values())


def _both(was: _Need, need: _Need) -> _Need:
    whys = dict.fromkeys(why for why in (was.why, need.why) if why)
    return was._replace(amount=was.amount + need.amount, why=", ".join(whys))


def _cut(cuts: Sequence[PartCut]) -> Iterator[_Need]:
    for cut in cuts:
        for length, count in sorted(cut.bought().items(), reverse=True):
            yield _Need(cut.part, length, "piece", Decimal(count), "")


def _sawn(job: Job) -> Iterator[_Need]:
    """Give the lengths that were cut up: they were bought, whether somebody noted it or not."""
    for part in dict.fromkeys(cut.part for cut in job.cuts):
        for length, count in sorted(lengths_sawn(job, part).items(), reverse=True):
            yield _Need(part, length, "piece", Decimal(count), "")


def _uncut(plan: Plan, cuts: Sequence[PartCut]) -> Iterator[_Need]:
    """Give what is counted in pieces, and cable that goes by the metre."""
    cut = {each.part for each in cuts}
    metres = {cable.id for cable in plan.parts.cables if not cable.reels}
    for need in plan.needs:
        amount = Decimal(str(need.amount.value))
        if need.amount.unit == "1":
            yield _Need(need.part, None, "piece", amount, "")
        elif need.part in metres and need.part not in cut:
            yield _Need(need.part, None, "metre", amount / _MM_PER_METRE, "")


def _counted(small: Sequence[SundryCount]) -> Iterator[_Need]:
    for one in small:
        unit = "metre" if one.amount != one.amount.to_integral_value() else "piece"
        yield _Need(one.part or f"any {one.serves}", None, unit, one.amount, one.why)


def _line(need: _Need, job: Job, parts: Catalogue, prices: PriceBook) -> OrderLine:
    part = parts_by_id(parts).get(need.part)
    row = prices.part(need.part) or _UNPRICED
    sundry = find_part(parts.sundries, need.part)
    unit = "metre" if sundry and sundry.by_the_metre else need.unit
    before = sum(
        (each.amount for each in job.ordered if (each.part, each.length) == need[:2]), _NONE
    )
    if need.length is not None:  # what was cut up was there
        before = max(before, Decimal(lengths_sawn(job, need.part)[need.length]))
    if need.length is None:
        each = unit_price(prices, parts, need.part)
    else:
        each = length_price(prices, parts, need.part, need.length)
    # A pack of what goes by the metre is a reel; bars and reels are told by their length.
    pack = Decimal(1) if need.length is not None else row.pack
    packs = _packs(max(need.amount - before, _NONE), pack, row.least)
    laid = any(each.part == need.part for each in job.laid)
    opened = unit == "metre" and (laid or (sundry is not None and anything_built(job)))
    over = max(before - pack * _packs(need.amount, pack, row.least), _NONE)
    return OrderLine(
        part=need.part,
        name=part.name if part else "not in the catalogue",
        length=need.length,
        unit=unit,
        needed=need.amount,
        before=before,
        pack=pack,
        packs=packs,
        over=_NONE if opened else over,
        each=each,
        why=need.why,
        code=row.code,
        lead_days=row.lead_days,
        alternates=row.alternates,
        invented=row.invented,
    )


def _packs(amount: Decimal, pack: Decimal, least: int) -> int:
    """Count the packs to buy for so much: whole ones, and no fewer than are sold at once."""
    packs = int((amount / pack).to_integral_value(ROUND_CEILING))
    return max(packs, least) if packs else 0

"""Ways to do the job side by side, and in what each differs from the job as it is planned."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from pelmet.model.job.money import money_text, rounded
from pelmet.model.job.paperwork import Offer
from pelmet.model.order.folder import Folder
from pelmet.model.order.offers import Variant, variants
from pelmet.model.told.paper import Block, Grid, Points, Words
from pelmet.model.told.reminders import part_names

SIDE_HEAD: Final = ("option", "lux", "least", "watts", "with tax", "hours", "to settle")
SIDE_NUMBERS: Final = frozenset({1, 2, 3, 4, 5})
_TENTH: Final = Decimal("0.1")


def offered_blocks(folder: Folder, name: str) -> tuple[Block, ...]:
    """Give every option with its light, watts, price and hours, and its differences in words."""
    currency = folder.quote.currency
    found, top = variants(folder), folder.plan.job.site.words.worktop
    planned, *others = found
    offers = folder.plan.job.offers
    differ = tuple(
        f"{offer.name}: {', '.join(_changes(offer, folder))}; {_dearer(side, planned, currency)}"
        for offer, side in zip(offers, others, strict=True)
    )
    return (
        Grid(SIDE_HEAD, tuple(side_row(side, currency) for side in found), SIDE_NUMBERS, name),
        Words(
            f"Lux: average on the worst-lit {top}, shelf or other plane, and its least-lit "
            "spot, both as kept up."
        ),
        Points(differ) if differ else Words("No other option is offered."),
    )


def side_row(side: Variant, currency: str) -> tuple[str, ...]:
    """Give one way to do a job under ``SIDE_HEAD``."""
    return (
        side.name,
        "-" if side.lux is None else f"{side.lux:.0f}",
        "-" if side.least is None else f"{side.least:.0f}",
        f"{side.watts:.1f}",
        money_text(side.price, currency),
        f"{rounded(side.hours, _TENTH)}",
        f"{side.stops} at stop" if side.stops else "nothing",
    )


def _changes(offer: Offer, folder: Folder) -> Iterator[str]:
    names = part_names(folder.plan.parts)
    parts = (("strip", offer.strip), ("cover", offer.diffuser), ("channel", offer.channel))
    for what, item_id in parts:
        if item_id is not None:
            yield f"{what} {names.get(item_id, item_id)}"
    if offer.line is not None:
        yield f"at the {offer.line} of the cabinets"
    if offer.facing is not None:
        yield f"throws {offer.facing}"
    if offer.note:
        yield offer.note
    if all(each is None for each in (offer.line, offer.facing, *(own for _, own in parts))):
        yield "nothing else"


def _dearer(side: Variant, planned: Variant, currency: str) -> str:
    more = side.price - planned.price
    if not more:
        return "at the same price"
    return f"{money_text(abs(more), currency)} {'more' if more > 0 else 'less'}"

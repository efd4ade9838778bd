"""What a part costs: by the price book, else by the catalogue.

An invented price of the bundled book gives way to what a person's own catalogue says.
"""

from decimal import Decimal
from functools import lru_cache

from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.parts import Part
from pelmet.model.job.prices import PriceBook

_MM_PER_METRE = 1000


@lru_cache(maxsize=16)
def parts_by_id(parts: Catalogue) -> dict[str, Part]:
    """Give every part of a catalogue by its id; of two kinds with one id the first."""
    found: dict[str, Part] = {}
    for kind in Catalogue.model_fields:
        for part in getattr(parts, kind):
            found.setdefault(part.id, part)
    return found


def unit_price(prices: PriceBook, parts: Catalogue, item_id: str) -> Decimal | None:
    """Give the price of a piece, or of a metre of what goes by length; None if none is known."""
    row = prices.part(item_id)
    part = parts_by_id(parts).get(item_id)
    own = part.price if part else None
    if row and not (row.invented and own is not None):
        return row.price
    return own


def length_price(
    prices: PriceBook, parts: Catalogue, item_id: str, length: Decimal
) -> Decimal | None:
    """Give the price of one stock length or reel [mm]: its own, else so much a metre."""
    row = prices.part(item_id)
    for each in row.stock if row else ():
        if each.length == length:
            return each.price
    metre = unit_price(prices, parts, item_id)
    return None if metre is None else metre * length / _MM_PER_METRE

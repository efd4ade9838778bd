"""Which piece comes out of which stock length, reel or off-cut: least cost, with its proof.

What is on hand goes first: off-cuts drawn for the job, kept rests of what was cut, and what was
ordered for it and is whole. Only what is beyond that is bought. Strip of an off-cut goes into a
room only where all of the room's strip comes from off-cuts of one batch: whites of two batches
differ.
"""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from functools import lru_cache
from itertools import product
from typing import Final, Literal, NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.job import Job
from pelmet.model.job.prices import PriceBook
from pelmet.model.order.cutting.stock import cut_stock
from pelmet.model.order.cutting.terms import Cut, Cutting, Stock, Want
from pelmet.model.order.on_hand import OnHand, on_hand
from pelmet.model.order.pieces import KINDS, SAWN, Kind, Piece
from pelmet.model.order.price_of import length_price
from pelmet.model.order.reels import Length, Places, cut_reels

Source = Literal["bought", "ordered", "off-cut", "rest"]
_NONE: Final = Decimal(0)
_REMEMBERED: Final = 256


class StockPiece(NamedTuple):
    """Where one stock piece comes from, and its length [mm].

    ``name`` is an off-cut's, or of a rest the cut's that left it; else it is empty.
    """

    source: Source
    length: Decimal
    name: str


class PartCut(NamedTuple):
    """How the pieces of one part are cut. Cuts and stock go together, one by one.

    ``places`` of strip gives the start of each piece on its stock, in the order of its cut [mm].
    """

    kind: Kind
    part: str
    pieces: tuple[Piece, ...]
    cutting: Cutting
    stock: tuple[StockPiece, ...]
    priced: bool
    places: tuple[Places, ...] = ()

    @property
    def cuts(self) -> Iterator[tuple[StockPiece, Cut]]:
        """Give every stock piece with what is cut from it."""
        return zip(self.stock, self.cutting.cuts, strict=True)

    @property
    def before(self) -> dict[str, Decimal]:
        """Give what is cut off the reel before each piece of strip, for its joints' sake [mm]."""
        lengths = {piece.name: piece.length for piece in self.pieces}
        found: dict[str, Decimal] = {}
        for cut, starts in zip(self.cutting.cuts, self.places, strict=False):
            at = _NONE
            for name, start in zip(cut.pieces, starts, strict=True):
                found[name] = start - at
                at = start + lengths[name]
        return found

    def bought(self) -> dict[Decimal, int]:
        """Count the stock pieces that are bought or were ordered, by length [mm]."""
        counts: dict[Decimal, int] = {}
        for piece in self.stock:
            if piece.source in ("bought", "ordered"):
                counts[piece.length] = counts.get(piece.length, 0) + 1
        return counts

    @property
    def proof(self) -> str:
        """Say what is proven of its cost."""
        if self.cutting.proven:
            return "proven least" if self.priced else "proven least in length, no price"
        return (
            f"not proven least: no cutting costs less than {self.cutting.bound:.2f}, this one "
            f"{self.cutting.cost:.2f}, {100 * self.cutting.gap:.1f} % more at most"
        )


def cut_pieces(
    job: Job, parts: Catalogue, prices: PriceBook, pieces: Sequence[Piece]
) -> Iterator[PartCut]:
    """Cut what is not cut yet out of stock lengths or reels, part by part.

    Raises nothing: what no stock takes is left unmet.
    """
    left = [piece for piece in pieces if not piece.cut]
    for kind in KINDS:
        for part in dict.fromkeys(piece.part for piece in left if piece.kind == kind):
            own = tuple(piece for piece in left if (piece.kind, piece.part) == (kind, part))
            lengths = _stock_of(parts, kind, part)
            hand = on_hand(job, part)
            if lengths or hand.off_cuts or hand.rests:
                bought = tuple(length_price(prices, parts, part, each) for each in lengths)
                buyable = tuple(zip(lengths, bought, strict=True))
                done = [piece for piece in pieces if piece.cut and piece.part == part]
                batches = _batches(job, done) if kind == "strip" else ()
                every = _joined_every(parts, part) if kind == "strip" else None
                yield _cut(kind, part, own, buyable, hand, batches, every, job.allowances)


def _joined_every(parts: Catalogue, item_id: str) -> Decimal | None:
    """Give how often a strip's maker joined its reel, where that falls on its cut marks [mm]."""
    strip = find_part(parts.strips, item_id)
    every = strip.factory_joint_every if strip else None
    return None if strip is None or every is None or every % strip.cut_unit else every


def _batches(job: Job, done: Sequence[Piece]) -> tuple[tuple[str, str], ...]:
    """Give the rooms that have strip already, each with the batches of that."""
    of_piece = {(cut.part, name): cut.batch for cut in job.cuts for name in cut.pieces}
    rooms = ((piece.room, of_piece.get((piece.part, piece.name), "")) for piece in done)
    return tuple(dict.fromkeys(each for each in rooms if each[0]))


def _stock_of(parts: Catalogue, kind: Kind, item_id: str) -> tuple[Decimal, ...]:
    """Give the lengths a part is sold in; none if it goes by the metre, or is not known."""
    if kind == "channel":
        channel = find_part(parts.channels, item_id)
        return channel.stock if channel else ()
    if kind == "diffuser":
        diffuser = find_part(parts.diffusers, item_id)
        return diffuser.stock if diffuser else ()
    if kind == "strip":
        strip = find_part(parts.strips, item_id)
        return (strip.reel,) if strip else ()
    cable = find_part(parts.cables, item_id)
    return cable.reels if cable else ()


def keepable(kind: Kind, allowances: Allowances) -> Decimal:
    """Give the shortest rest worth keeping, of what is sawn or of strip and cable [mm]."""
    return allowances.keepable if kind in SAWN else allowances.keepable_cable


@lru_cache(maxsize=_REMEMBERED)
def _cut(
    kind: Kind,
    part: str,
    pieces: tuple[Piece, ...],
    buyable: tuple[tuple[Decimal, Decimal | None], ...],
    hand: OnHand,
    batches: tuple[tuple[str, str], ...],
    every: Decimal | None,
    allowances: Allowances,
) -> PartCut:
    sawn = kind in SAWN
    kerf, trim = (allowances.saw_kerf, allowances.bar_trim) if sawn else (_NONE, _NONE)
    least = keepable(kind, allowances)
    priced = all(price is not None for _, price in buyable)
    stocks = _to_buy(buyable, priced=priced) | _ordered(hand.ordered)
    if kind == "strip":
        return _cut_strip(part, pieces, stocks, hand, batches, every, least, priced=priced)
    stocks |= _trimmed(hand, trim)
    wants = [Want(piece.name, piece.length + piece.saw) for piece in pieces]
    cutting = cut_stock(
        [stock for stock, _ in stocks.values()], wants, kerf=kerf, end_trim=trim, keepable=least
    )
    bought = tuple(stocks[cut.stock][1] for cut in cutting.cuts)
    return PartCut(kind, part, pieces, cutting, bought, priced)


def _cut_strip(
    part: str,
    pieces: tuple[Piece, ...],
    stocks: "_Stocks",
    hand: OnHand,
    batches: tuple[tuple[str, str], ...],
    every: Decimal | None,
    least: Decimal,
    *,
    priced: bool,
) -> PartCut:
    """Cut strip: what is on hand serves whole rooms, all else comes off reels."""
    free = _trimmed(hand, _NONE)
    batch_of = {each.id: each.batch for each in hand.off_cuts}
    batch_of |= {each.id: each.batch for each in hand.rests}
    lengths = {name: Length(stock.length, _NONE) for name, (stock, _) in stocks.items()}
    lengths |= {each.id: Length(each.length, None) for each in hand.off_cuts}
    lengths |= {each.id: Length(each.rest, dict(hand.begins).get(each.id)) for each in hand.rests}
    served: list[tuple[Cut, StockPiece]] = []
    places: list[Places] = []
    left, kept, scrap = list(pieces), _NONE, _NONE
    for cutting, own in _rooms_from_off_cuts(
        pieces, free, batch_of, batches, lengths, every, least
    ):
        served += [(cut, free[cut.stock][1]) for cut in cutting.cuts]
        places += own
        kept, scrap = kept + cutting.kept, scrap + cutting.scrap
        names = {name for cut in cutting.cuts for name in cut.pieces}
        left = [piece for piece in left if piece.name not in names]
    cutting, own = cut_reels([stock for stock, _ in stocks.values()], left, lengths, every, least)
    whole = cutting._replace(
        cuts=(*(cut for cut, _ in served), *cutting.cuts),
        kept=cutting.kept + kept,
        scrap=cutting.scrap + scrap,
    )
    bought = (stocks[cut.stock][1] for cut in cutting.cuts)
    stock = (*(each for _, each in served), *bought)
    return PartCut("strip", part, pieces, whole, stock, priced, (*places, *own))


_Stocks = dict[str, tuple[Stock, StockPiece]]


def _to_buy(buyable: Sequence[tuple[Decimal, Decimal | None]], *, priced: bool) -> _Stocks:
    """Give what can be bought; where a price is missing, what is least is the length."""
    return {
        f"bought {length}": (
            Stock(f"bought {length}", length, price if priced and price is not None else length),
            StockPiece("bought", length, ""),
        )
        for length, price in buyable
    }


def _ordered(before: Sequence[tuple[Decimal, int]]) -> _Stocks:
    """Give what was ordered for the job: it costs nothing more."""
    return {
        f"ordered {row}": (
            Stock(f"ordered {row}", length, _NONE, count),
            StockPiece("ordered", length, ""),
        )
        for row, (length, count) in enumerate(before)
    }


def _trimmed(hand: OnHand, trim: Decimal) -> _Stocks:
    """Give off-cuts and rests. They are trimmed: what a new bar loses by it does not count."""
    lengths: list[tuple[Source, str, Decimal]] = [
        *(("off-cut", each.id, each.length) for each in hand.off_cuts),
        *(("rest", each.id, each.rest) for each in hand.rests),
    ]
    return {
        name: (Stock(name, length + 2 * trim, _NONE, 1), StockPiece(source, length, name))
        for source, name, length in lengths
    }


def _rooms_from_off_cuts(
    pieces: Sequence[Piece],
    free: _Stocks,
    batch_of: Mapping[str, str],
    started: Sequence[tuple[str, str]],
    lengths: Mapping[str, Length],
    every: Decimal | None,
    least: Decimal,
) -> Iterator[tuple[Cutting, tuple[Places, ...]]]:
    """Serve whole rooms from off-cuts of one batch, as long as there are any.

    A room that has strip already gets more of that batch only. The spare piece comes out of the
    same batch, where it is long enough for it too.
    """
    left = dict.fromkeys(free)
    spare = [piece for piece in pieces if not piece.room]
    for room in dict.fromkeys(piece.room for piece in pieces if piece.room):
        own = [piece for piece in pieces if piece.room == room]
        has = {batch for each, batch in started if each == room}
        batches = [each for each in dict.fromkeys(map(batch_of.__getitem__, left))
                   if not has or each in has]  # fmt: skip
        for batch, wants in product(batches, (own + spare, own)):
            stocks = [free[name][0] for name in left if batch_of[name] == batch]
            cutting, places = cut_reels(stocks, wants, lengths, every, least)
            if not cutting.unmet:
                for cut in cutting.cuts:
                    del left[cut.stock]
                yield cutting, places
                spare = [] if len(wants) > len(own) else spare
                break

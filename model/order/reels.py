"""Where on its reel each piece of strip is cut, so that the maker's joints come to stand well.

A piece may start only at some places after a joint, so between two pieces something may be cut
off. What the pieces cost as if there were no joints is the least that they can cost with them; the
cutting is proven least where it costs no more.
"""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Final, NamedTuple

from pelmet.model.order.cutting.stock import cut_stock
from pelmet.model.order.cutting.terms import Cut, Cutting, Stock, Want
from pelmet.model.order.pieces import Piece

_STEPS: Final = 10  # pieces are given room in so many steps, up to all from joint to joint
_MOST_TRIED: Final = 300  # places tried on one reel
_NONE: Final = Decimal(0)

# The start of each piece on its stock, in the order it is cut [mm].
Places = tuple[Decimal, ...]


class Length(NamedTuple):
    """One piece of strip that may be stock: how long it is, and where on its reel it began [mm].

    ``begins`` is unknown of an off-cut: nobody noted where its joints are.
    """

    length: Decimal
    begins: Decimal | None


def cut_reels(
    stocks: Sequence[Stock],
    pieces: Sequence[Piece],
    lengths: Mapping[str, Length],
    every: Decimal | None,
    keepable: Decimal,
) -> tuple[Cutting, tuple[Places, ...]]:
    """Cut pieces of strip out of reels at least cost, each where its joints allow it.

    ``lengths`` gives each stock by its name; ``every`` is how often the maker joined the reel.
    """
    plain = cut_stock(stocks, [Want(each.name, each.length) for each in pieces], keepable=keepable)
    longest = max((each.length for each in stocks), default=_NONE)
    by_name = {each.name: _relaxed(each, longest, every) for each in pieces}
    cutting = plain
    steps = [_NONE] if every is None else [every * step / _STEPS for step in range(_STEPS + 1)]
    for room in steps:
        if room:
            wants = [Want(each.name, min(each.length + room, max(longest, each.length)))
                     for each in pieces]  # fmt: skip
            cutting = cut_stock(stocks, wants, keepable=keepable)
        placed = [
            place([by_name[name] for name in cut.pieces], lengths[cut.stock], every)
            for cut in cutting.cuts
        ]
        if None not in placed:
            break
    found = [each if each is not None else _one_by_one(cut, by_name)
             for each, cut in zip(placed, cutting.cuts, strict=True)]  # fmt: skip
    return _as_placed(cutting, found, by_name, lengths, plain.bound, keepable)


def _relaxed(piece: Piece, longest: Decimal, every: Decimal | None) -> Piece:
    """Give a piece that goes on no reel where it should start as one that may start anywhere."""
    start = first_start(_NONE, piece, Length(longest, _NONE), every)
    return piece if start + piece.length <= longest else piece._replace(starts=())


def _one_by_one(cut: Cut, pieces: Mapping[str, Piece]) -> "_Row":
    """Place pieces end to end, whatever the joints: none goes on this reel where they allow it."""
    at, row = _NONE, []
    for name in cut.pieces:
        row.append((name, at))
        at += pieces[name].length
    return tuple(row)


_Row = tuple[tuple[str, Decimal], ...]


def place(pieces: Sequence[Piece], stock: Length, every: Decimal | None) -> _Row | None:
    """Give an order of pieces on one stock length, with the start of each [mm]; None: no room.

    The one that uses least of it, of those tried.
    """
    best: tuple[Decimal, _Row] | None = None
    total = sum((each.length for each in pieces), _NONE)
    tried = 0
    least = total + min(start for start, _ in _next(_NONE, pieces, stock, every))

    def go_on(at: Decimal, left: tuple[Piece, ...], still: Decimal, row: _Row) -> None:
        nonlocal best, tried
        if not left:
            best = at, row
            return
        for start, each in sorted(_next(at, left, stock, every), key=_soonest):
            tried += 1
            end = start + each.length
            most = best[0] if best else None
            if end + still - each.length > stock.length or tried > _MOST_TRIED:
                continue
            if most is not None and (most == least or end + still - each.length >= most):
                continue
            rest = tuple(other for other in left if other is not each)
            go_on(end, rest, still - each.length, (*row, (each.name, start)))

    go_on(_NONE, tuple(pieces), total, ())
    return best[1] if best else None


def _soonest(one: tuple[Decimal, Piece]) -> tuple[Decimal, Decimal, str]:
    start, piece = one
    return start, -piece.length, piece.name


def _next(
    at: Decimal, left: Sequence[Piece], stock: Length, every: Decimal | None
) -> Iterator[tuple[Decimal, Piece]]:
    """Give where each piece that is left could start next; of alike ones only the first."""
    alike = set()
    for each in left:
        key = each.length, each.starts
        if key not in alike:
            alike.add(key)
            yield first_start(at, each, stock, every), each


def first_start(at: Decimal, piece: Piece, stock: Length, every: Decimal | None) -> Decimal:
    """Give the first place on a stock length, not before this one, where a piece may start [mm]."""
    if every is None or not piece.starts or stock.begins is None:
        return at
    on_reel = stock.begins + at
    joint = on_reel // every * every
    after = next((s for s in piece.starts if joint + s >= on_reel), None)
    start = joint + every + piece.starts[0] if after is None else joint + after
    return start - stock.begins


def _as_placed(
    cutting: Cutting,
    rows: Sequence[_Row],
    pieces: Mapping[str, Piece],
    lengths: Mapping[str, Length],
    bound: Decimal,
    keepable: Decimal,
) -> tuple[Cutting, tuple[Places, ...]]:
    """Tell a cutting as its pieces are placed: in their order, with what is left at the end."""
    cuts = []
    kept = scrap = _NONE
    for cut, row in zip(cutting.cuts, rows, strict=True):
        length = lengths[cut.stock].length
        ends = [start + pieces[name].length for name, start in row]
        left = max(length - ends[-1], _NONE)
        used = sum((pieces[name].length for name, _ in row), _NONE)
        kept += left if left >= keepable else _NONE
        scrap += length - used - (left if left >= keepable else _NONE)
        cuts.append(Cut(cut.stock, tuple(name for name, _ in row), left))
    told = cutting._replace(cuts=tuple(cuts), kept=kept, scrap=scrap, bound=bound)
    return told, tuple(tuple(start for _, start in row) for row in rows)

"""The rows of the cut list: what comes out of each stock piece, in order, and what is left."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from string import ascii_lowercase
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.job import Job, Site
from pelmet.model.order.cuts import PartCut, StockPiece, keepable
from pelmet.model.order.folder import Folder
from pelmet.model.order.pieces import SAWN, Kind, Piece
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.told.blocks.bars import SQUARE, lead_places, sawn
from pelmet.model.told.figures import length_text, to_fraction

CUT_OFF: Final = "cut off"
_NONE: Final = Decimal(0)
HALF_MM: Final = Decimal("0.5")  # as fine as the stop of a saw is set
_MARKS: Final[Mapping[Kind, str]] = {"channel": "C", "diffuser": "D", "strip": "S", "cable": "W"}
# Columns that only a kind has.
_OWN: Final[Mapping[Kind, int]] = {"channel": 2, "diffuser": 2, "strip": 4, "cable": 0}


class _Place(NamedTuple):
    """The bar a piece is of, which of its pieces it is, from its left, and how many there are."""

    bar: Bar
    at: int
    of: int


class Bench(NamedTuple):
    """What pieces are told with: the bar of each, and where wires are soldered to bars."""

    folder: Folder
    places: Mapping[tuple[Kind, str], _Place]
    leads: Mapping[str, tuple[str, ...]]

    @property
    def job(self) -> Job:
        """The job."""
        return self.folder.plan.job

    def length(self, mm: Decimal) -> str:
        """Print a length [mm] as `printed_down` does, without its unit."""
        return printed_down(mm, self.job.site, bare=True)


def bench_of(folder: Folder) -> Bench:
    """Gather what the pieces of a job are told with."""
    return Bench(folder, dict(_places(folder)), lead_places(folder.plan))


def _places(folder: Folder) -> Iterator[tuple[tuple[Kind, str], _Place]]:
    """Give the place of every piece of a bar; those of one bar stand left to right."""
    bars = {bar.id: bar for bar in folder.plan.bars}
    own: dict[tuple[Kind, str], list[str]] = {}
    for piece in folder.pieces:
        if piece.kind != "cable" and piece.run:
            # A bar's own id ends in its number; letters after it tell its pieces apart.
            bar = piece.name.rstrip(ascii_lowercase)
            own.setdefault((piece.kind, bar), []).append(piece.name)
    for (kind, bar), names in own.items():
        for at, name in enumerate(names):
            yield (kind, name), _Place(bars[bar], at, len(names))


def stock_rows(kind: Kind, cuts: Sequence[PartCut], bench: Bench) -> Iterator[tuple[str, ...]]:
    """Give stock piece by stock piece what is cut from it, in order, and what is left."""
    least = keepable(kind, bench.job.allowances)
    number = 0
    for part in cuts:
        pieces = {piece.name: piece for piece in part.pieces}
        before = part.before
        for stock, cut in part.cuts:
            number += 1
            mark = f"{_MARKS[kind]}{number}"
            source = f"{part.part} {_source(stock, bench)}"
            at = Decimal(0)
            for name in cut.pieces:
                gap = before.get(name)
                if gap:
                    on_reel = _on_reel(at, at + gap, bench)
                    yield (mark, CUT_OFF, bench.length(gap), "", "", *on_reel, "", source)
                at += (gap or 0) + pieces[name].length
                yield _row(mark, pieces[name], source, bench, at)
            rest = "keep" if cut.left >= least else "scrap"
            own = ("",) * _OWN[kind]
            if kind == "strip":
                own = ("", *_on_reel(at, stock.length, bench), "")
            yield (mark, rest, bench.length(cut.left), "", *own, source)


def _on_reel(start: Decimal, end: Decimal, bench: Bench) -> tuple[str, str]:
    """Print from where to where something lies on its reel or off-cut [mm]."""
    return bench.length(start), bench.length(end)


def _row(
    mark: str, piece: Piece, source: str, bench: Bench, end: Decimal = _NONE
) -> tuple[str, ...]:
    own: tuple[str, ...] = ()
    if piece.kind == "strip":
        own = _strip(piece, end, bench)
    elif piece.kind in SAWN:
        own = _ends(piece, bench)
    assumed = "assumed" if piece.assumed else ""
    length = piece_length(piece.kind, piece.length, bench.job.site, bare=True)
    return (mark, piece.name, length, assumed, *own, source)


def loose_rows(kind: Kind, cuts: Sequence[PartCut], bench: Bench) -> Iterator[tuple[str, ...]]:
    """Give the pieces of what is bought by the metre."""
    out_of_stock = {name for cut in cuts for _, each in cut.cuts for name in each.pieces}
    for piece in bench.folder.pieces:
        if piece.kind == kind == "cable" and not piece.cut and piece.name not in out_of_stock:
            cable = find_part(bench.folder.plan.parts.cables, piece.part)
            if cable is None or not cable.reels:
                yield _row("", piece, f"{piece.part} by the {bench.job.site.words.metre}", bench)


def _source(stock: StockPiece, bench: Bench) -> str:
    length = bench.length(stock.length)
    if bench.job.site.length_unit == "in":  # not sawn to: as on the order
        length = length_text(stock.length, bench.job.site, bare=True)
    if stock.source != "off-cut":
        return f"{stock.source} {length}"
    own = next(each for each in bench.job.offcuts if each.id == stock.name)
    marked = (f", marked {own.piece}" if own.piece else "") + (
        f", batch {own.batch}" if own.batch else ""
    )
    return f"off-cut {own.id} {length}{marked}"


def _ends(piece: Piece, bench: Bench) -> tuple[str, str]:
    """Say how the ends of a piece are sawn: square where it is joined to the next."""
    bar, at, of = bench.places[piece.kind, piece.name]
    left, right = (sawn(edge, bench.job.site) for edge in bar.opening.ends)
    return left if at == 0 else SQUARE, right if at == of - 1 else SQUARE


def _strip(piece: Piece, end: Decimal, bench: Bench) -> tuple[str, str, str, str]:
    """Give a piece's units, from where to where it lies on its reel, and its wires."""
    strip = find_part(bench.folder.plan.parts.strips, piece.part)
    assert strip is not None, "what is in no catalogue is in no bar"
    place = bench.places.get((piece.kind, piece.name))
    wires = ""
    if place and place.at:
        wires = "joined to the piece before"
    elif place:
        wires = ", ".join(bench.leads[place.bar.id])
    units = f"{piece.length // strip.cut_unit:f}"
    return units, *_on_reel(end - piece.length, end, bench), wires


def printed_down(mm: Decimal, site: Site, *, bare: bool = False) -> str:
    """Print a length [mm] rounded down: to half a millimetre, or to the fraction of inches."""
    if site.length_unit != "in":
        mm = (mm / HALF_MM).to_integral_value(ROUND_FLOOR) * HALF_MM
    return length_text(to_fraction(mm, site), site, bare=bare)


def piece_length(kind: Kind, mm: Decimal, site: Site, *, bare: bool = False) -> str:
    """Print what a piece is cut to [mm], rounded down; a cable in inches up, never short."""
    if kind == "cable":
        mm = to_fraction(mm, site, ROUND_CEILING)
    return printed_down(mm, site, bare=bare)

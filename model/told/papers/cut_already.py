"""What is cut: as it was noted, stock piece by stock piece, with what is left of each."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Final

from pelmet.model.job.built import CutLength, Keeping
from pelmet.model.job.catalogue import find_part
from pelmet.model.job.job import Job, Site
from pelmet.model.job.piece_names import SPARE, SPOILT, bar_of
from pelmet.model.order.folder import Folder
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Block, Grid
from pelmet.model.told.words import signed_words

_KEPT: Final[Mapping[Keeping, str]] = {
    "scrap": "thrown away",
    "kept": "kept for this job",
    "in the store": "in the store of off-cuts",
}


def cut_blocks(folder: Folder) -> Iterator[Block]:
    """Tell every cut that is noted, then what is in its place without one; nothing without any."""
    job = folder.plan.job
    rows = (*(row for cut in job.cuts for row in _rows(cut, folder)), *_in_place(folder))
    if rows:
        head = (
            "cut",
            "piece",
            f"length [{job.site.length_unit}]",
            "from",
            "batch",
            "is now",
            "done",
        )
        yield Grid(head, rows, frozenset({2}), "cut-list", frozenset({0, 1}))


def _rows(cut: CutLength, folder: Folder) -> Iterator[tuple[str, ...]]:
    """Give the pieces of a cut as they came out, then its rest."""
    job = folder.plan.job
    planned = {(piece.part, piece.name) for piece in folder.pieces}
    source = f"{cut.part} {_source(cut, job)}"
    done = signed_words(cut.day, cut.by)
    for at, name in enumerate(cut.pieces):
        length = _length(cut.lengths[at], job.site) if at < len(cut.lengths) else "?"
        spoilt = name != SPOILT and name != SPARE and (cut.part, name) not in planned
        says = "nothing takes it any more" if spoilt else ""
        yield cut.id, name, length, source, cut.batch, says, done
    on = next((each.id for each in job.cuts if each.rest_of == cut.id), "")
    rest = f"cut up as {on}" if on else _KEPT[cut.kept]
    yield cut.id, "rest", _length(cut.rest, job.site), source, cut.batch, rest, done


def _source(cut: CutLength, job: Job) -> str:
    length = _length(cut.stock, job.site)
    if cut.offcut:
        return f"off-cut {cut.offcut} {length}"
    return f"rest of {cut.rest_of} {length}" if cut.rest_of else length


def _in_place(folder: Folder) -> Iterator[tuple[str, ...]]:
    """Give what is in its place though nothing says what it was cut from, as cable by the metre."""
    job = folder.plan.job
    metre = job.site.words.metre
    noted = {(cut.part, name) for cut in job.cuts for name in cut.pieces}
    laid = {each.cable: each for each in job.laid}
    hung = {(each.run, each.bar): each for each in job.hung}
    for piece in folder.pieces:
        if not piece.cut or (piece.part, piece.name) in noted:
            continue
        cable = find_part(folder.plan.parts.cables, piece.part)
        stock = f" by the {metre}" if cable and not cable.reels else ", not noted from what"
        is_cable = piece.kind == "cable"
        row = laid[piece.name] if is_cable else hung[bar_of(piece.name)]
        yield (
            "-",
            piece.name,
            _length(piece.length, job.site),
            f"{piece.part}{stock}",
            "",
            "laid" if is_cable else "in its place",
            signed_words(row.day, row.by),
        )


def _length(mm: Decimal, site: Site) -> str:
    return length_text(mm, site, bare=True)

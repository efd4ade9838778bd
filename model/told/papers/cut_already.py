"""What is cut: as it was noted, stock piece by stock piece, with what is left of each."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Final

from pelmet.model.job.built import CutLength, Keeping
from pelmet.model.job.job import Job, Site
from pelmet.model.job.piece_names import SPARE, SPOILT
from pelmet.model.order.folder import Folder
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Block, Grid, points
from pelmet.model.told.words import signed_words

_KEPT: Final[Mapping[Keeping, str]] = {
    "scrap": "thrown away",
    "kept": "kept for this job",
    "in the store": "in the store of off-cuts",
}


def cut_blocks(folder: Folder) -> Iterator[Block]:
    """Tell every cut that is noted, then what is in its place without one; nothing without any."""
    job = folder.plan.job
    rows = tuple(row for cut in job.cuts for row in _rows(cut, folder))
    if rows:
        head = ("cut", "piece", f"length [{job.site.length_unit}]", "from", "batch", "", "done")
        yield Grid(head, rows, frozenset({2}), "cut-list", frozenset({0, 1}))
    yield from points(_not_noted(folder))


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


def _not_noted(folder: Folder) -> Iterator[str]:
    """Say what is in its place though nothing says what it was cut from."""
    noted = {(cut.part, name) for cut in folder.plan.job.cuts for name in cut.pieces}
    names: dict[str, list[str]] = {}
    for piece in folder.pieces:
        if piece.cut and (piece.part, piece.name) not in noted:
            names.setdefault(piece.part, []).append(piece.name)
    return (
        f"{part}: {' '.join(own)}: in place, and what it was cut from is not noted."
        for part, own in names.items()
    )


def _length(mm: Decimal, site: Site) -> str:
    return length_text(mm, site, bare=True)

"""Draw off-cuts from the store for a job, and tell which rests of its cutting are worth keeping."""

from collections.abc import Iterable

from pelmet.model.edit.change import make_thing, rebuilt, remove
from pelmet.model.edit.ids import fresh_id
from pelmet.model.file.store.pieces import Rest
from pelmet.model.job.job import Job
from pelmet.model.job.offcut_store import StoredPiece
from pelmet.model.job.paperwork import OffCut
from pelmet.model.order.cuts import PartCut, StockPiece, keepable
from pelmet.model.order.cutting.terms import Cut
from pelmet.model.order.folder import Folder
from pelmet.model.order.on_hand import on_hand
from pelmet.model.refusal import Refusal


def draw_piece(job: Job, piece: StoredPiece) -> Job:
    """Draw a piece of the store for a job; ``Refusal`` if the job draws it already."""
    if any(each.piece == piece.id for each in job.offcuts):
        raise Refusal(f"This job draws {piece.id} already")
    values = {
        "id": fresh_id(job, "offcut"),
        "piece": piece.id,
        "part": piece.part,
        "length": piece.length,
        "batch": piece.batch,
    }
    return rebuilt(job, offcuts=(*job.offcuts, make_thing(OffCut, values)))


def put_back(job: Job, item_id: str) -> Job:
    """Put back what a job draws, by the id it has in the job; ``KeyError`` if there is none."""
    job.find("offcut", item_id)
    return remove(job, "offcut", item_id)


def follow_store(job: Job, pieces: Iterable[StoredPiece]) -> Job:
    """Put back of these pieces what a job draws, and draw what it does not."""
    for piece in pieces:
        drawn = [each.id for each in job.offcuts if each.piece == piece.id]
        job = draw_piece(job, piece) if not drawn else job
        for item_id in drawn:
            job = put_back(job, item_id)
    return job


def rests(folder: Folder) -> tuple[Rest, ...]:
    """Give what of a job's cutting is worth keeping: what is cut already, then as it is to be cut.

    Of strip with its batch, where all that is cut from the reel is of one that is known.
    """
    job = folder.plan.job
    parts = dict.fromkeys(cut.part for cut in job.cuts)
    used = {stock.name for part in folder.cuts for stock in part.stock}
    kept = (
        Rest(cut.part, cut.rest, cut.batch)
        for part in parts
        for cut in on_hand(job, part).rests
        if cut.id not in used
    )
    return (*kept, *_to_be_cut(folder))


def _to_be_cut(folder: Folder) -> tuple[Rest, ...]:
    job = folder.plan.job
    return tuple(
        Rest(part.part, cut.left, _batch(job, part, stock, cut))
        for part in folder.cuts
        for stock, cut in part.cuts
        if cut.left >= keepable(part.kind, job.allowances)
    )


def pieces_used(folder: Folder) -> tuple[str, ...]:
    """Give the pieces of the store that a job's cutting cuts up, by their ids in the store."""
    job = folder.plan.job
    drawn = {each.id: each.piece for each in job.offcuts}
    gone = [cut.offcut for cut in job.cuts if cut.offcut]
    gone += [
        stock.name for part in folder.cuts for stock in part.stock if stock.source == "off-cut"
    ]
    return tuple(drawn[name] for name in gone)


def _batch(job: Job, part: PartCut, stock: StockPiece, cut: Cut) -> str:
    if stock.source == "off-cut":
        return next(each.batch for each in job.offcuts if each.id == stock.name)
    if stock.source == "rest":
        return next(each.batch for each in job.cuts if each.id == stock.name)
    if part.kind != "strip":
        return ""
    runs = {piece.run for piece in part.pieces if piece.name in cut.pieces}  # a spare has none
    batches = {run.batch for run in job.runs if run.id in runs}
    return batches.pop() if len(batches) == 1 else ""

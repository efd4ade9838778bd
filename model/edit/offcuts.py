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
    """Give what of a job's cutting is worth keeping, in the order in which it is cut.

    Of strip with its batch, where all that is cut from the reel is of one that is known.
    """
    job = folder.plan.job
    return tuple(
        Rest(part.part, cut.left, _batch(job, part, stock, cut))
        for part in folder.cuts
        for stock, cut in part.cuts
        if cut.left >= keepable(part.kind, job.allowances)
    )


def pieces_used(folder: Folder) -> tuple[str, ...]:
    """Give the pieces of the store that a job's cutting cuts up, by their ids in the store."""
    drawn = {each.id: each.piece for each in folder.plan.job.offcuts}
    return tuple(
        drawn[stock.name]
        for part in folder.cuts
        for stock in part.stock
        if stock.source == "off-cut"
    )


def _batch(job: Job, part: PartCut, stock: StockPiece, cut: Cut) -> str:
    if stock.source == "off-cut":
        return next(each.batch for each in job.offcuts if each.id == stock.name)
    if part.kind != "strip":
        return ""
    runs = {piece.run for piece in part.pieces if piece.name in cut.pieces}  # a spare has none
    batches = {run.batch for run in job.runs if run.id in runs}
    return batches.pop() if len(batches) == 1 else ""

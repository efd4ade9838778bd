"""Have the store of off-cuts agree with a job: after a change of it, its undo and its redo."""

from collections import Counter
from os import PathLike

from pelmet.model.file.store.offcut_store import (
    change_store,
    give_back,
    known,
    no_reference,
    take,
)
from pelmet.model.job.job import Job
from pelmet.model.job.offcut_store import Store
from pelmet.model.job.paperwork import OffCut
from pelmet.model.job.scalars import plain_number
from pelmet.model.refusal import Refusal


def settle(path: str | PathLike[str], job_before: Job, job_after: Job) -> None:
    """Take in the store what a job draws anew, and give back what it draws no more.

    A job with another reference than before is another to the store: all it draws changes hands.
    The file is not touched where nothing differs. What cannot be given back, for it is gone or
    somebody else's by now, is left as it is.

    Raises ``Refusal``, and then nothing at all is changed, if the job has no reference, or
    a piece drawn anew is another job's, gone, drawn twice, or not the piece that the job says.
    Raises ``FileError`` and ``SaveError`` as ``change_store`` does.
    """
    was, now = job_before.site.reference, job_after.site.reference
    before = Counter(each.piece for each in job_before.offcuts)
    drawn = Counter(each.piece for each in job_after.offcuts)
    stays = before if was == now else Counter[str]()
    taken = [each for each in job_after.offcuts if drawn[each.piece] > stays[each.piece]]
    freed = [piece_id for piece_id in before if not (stays[piece_id] and drawn[piece_id])]
    if not taken and not freed:
        return
    if taken and not now:
        raise no_reference()

    def change(store: Store) -> tuple[Store, None]:
        for piece_id in freed:
            piece = store.find(piece_id)
            if was and piece and piece.taken_by == was:
                store = give_back(store, piece_id, was)
        for each in taken:
            store = _taken(store, each, now, drawn[each.piece])
        return store, None

    change_store(path, change)


def _taken(store: Store, drawn: OffCut, reference: str, times: int) -> Store:
    piece = known(store, drawn.piece)
    if times > 1:
        raise Refusal(f"{piece.id} is drawn {times} times by this job")
    if (piece.part, piece.length) != (drawn.part, drawn.length):
        length = plain_number(piece.length)
        raise Refusal(f"{piece.id} is another piece in the store: {piece.part}, {length} mm")
    return take(store, piece.id, reference)

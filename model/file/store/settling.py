"""The store of off-cuts follows the jobs that are saved: settled as one is, or not at all.

What a job draws while it is worked on stands in the job alone. A program that ends between the
saving of a job and the writing of the store leaves the two at odds, which is told when the job is
opened or checked next.
"""

from collections import Counter
from contextlib import ExitStack
from os import PathLike
from typing import NamedTuple

from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.job.saving import previous_path, save_job
from pelmet.model.file.store.pieces import (
    Rest,
    add_piece,
    drop_piece,
    find_piece,
    give_back,
    no_reference,
    take_piece,
)
from pelmet.model.file.store.store_file import HeldStore, held_store
from pelmet.model.file.toml.faults import FileError
from pelmet.model.job.job import Job
from pelmet.model.job.offcut_store import Store, StoredPiece
from pelmet.model.job.paperwork import OffCut
from pelmet.model.job.scalars import plain_number
from pelmet.model.refusal import Refusal, escaped, refusal_text

Filename = str | PathLike[str]


class SavedJob(NamedTuple):
    """A job that is saved: the digest of its file, and why the store is behind it, if it is."""

    digest: str
    behind: str


def save_and_settle(
    job: Job,
    path: Filename,
    expected_digest: str | None,
    store: Filename,
    last: Job | None = None,
    *,
    overwrite: bool = False,
) -> SavedJob:
    """Save a job as ``save_job`` does, and have the store follow what its file draws now.

    ``last`` is the job as this file last held it, for a file that is gone or cannot be read any
    more. The store is held meanwhile, and not even looked for where the file draws nothing else
    than before. Raises ``Refusal`` if the store cannot follow, and ``SaveError`` if the job
    cannot be saved: nothing is saved then, and nothing is taken.
    """
    new_file = expected_digest is None and not overwrite
    before = Job() if new_file else _in_file(path, last)
    with ExitStack() as stack:
        own = None if _drawn(before) == _drawn(job) else _held(stack, store)
        after = settle_store(own.store, before, job) if own else None
        digest = save_job(job, path, expected_digest, overwrite=overwrite)
        if own and after:
            try:
                own.write(after)
            except SaveError as error:
                return SavedJob(digest, refusal_text(error))
    return SavedJob(digest, "")


def settle_store(store: Store, before: Job, after: Job) -> Store:
    """Give the store once a file that held one job holds another.

    What is drawn anew is taken, what is drawn no more is free; under another reference than before
    what is still drawn is carried over. What the store has lost, or has for somebody else, is left
    as it is, unless it is drawn anew.

    Raises ``Refusal`` if the job has no reference, or a piece drawn anew is another job's,
    gone, drawn twice, or not the piece that the job says.
    """
    was, now = before.site.reference, after.site.reference
    had = Counter(each.piece for each in before.offcuts)
    drawn = Counter(each.piece for each in after.offcuts)
    for piece_id in had:
        piece = store.find(piece_id)
        if was and piece and piece.taken_by == was and not (was == now and drawn[piece_id]):
            store = give_back(store, piece_id, was)
    for each in after.offcuts:
        if drawn[each.piece] > had[each.piece]:
            store = _taken(store, each, now, drawn[each.piece])
        elif was != now:
            store = _carried_over(store, each, now)
    return _with_rests(store, before, after)


def _with_rests(store: Store, before: Job, after: Job) -> Store:
    """Put in the rests that a job says are in the store since, and take out what it says no more.

    Only a piece that no job has taken meanwhile is taken out.
    """
    had, has = _rests(before), _rests(after)
    for part, length, batch in (had - has).elements():
        free = next(
            (
                piece
                for piece in reversed(store.pieces)
                if (piece.part, piece.length, piece.batch) == (part, length, batch)
                and piece.from_job == before.site.reference
                and not piece.taken_by
            ),
            None,
        )
        if free:
            store = drop_piece(store, free.id)
    for rest in (has - had).elements():
        store, _ = add_piece(store, *rest, after.site.reference)
    return store


def _rests(job: Job) -> Counter[Rest]:
    return Counter(
        Rest(cut.part, cut.rest, cut.batch)
        for cut in job.cuts
        if cut.kept == "in the store" and cut.rest
    )


def drawable(store: Store, saved: Job, job: Job) -> tuple[StoredPiece, ...]:
    """Give the pieces a job may draw: the free ones, and those it put back since it was saved."""
    drawn = {each.piece for each in job.offcuts}
    own = {each.piece: saved.site.reference for each in saved.offcuts}
    return tuple(
        piece
        for piece in store.pieces
        if piece.id not in drawn and piece.taken_by in ("", own.get(piece.id))
    )


def unsettled_pieces(store: Store, job: Job) -> tuple[StoredPiece, ...]:
    """Give the pieces of which a saved job and the store say different things.

    The job draws them and the store has them free or for another; or the store has them for this
    job, which does not draw them. Those the store has lost are none: a piece is cut up in the end.
    """
    reference = job.site.reference
    drawn = {each.piece: each for each in job.offcuts}
    return tuple(
        piece
        for piece in store.pieces
        if (piece.id in drawn and _is_one(piece, drawn[piece.id]))
        != bool(reference and piece.taken_by == reference)
    )


def catch_up(store: Filename, job: Job, path: Filename) -> None:
    """Have the store follow a job that is saved in a file: for a saving that was cut short.

    A piece that another job has is left to it, unless that was this job by its former reference,
    as the version before its file tells. Raises ``Refusal``.
    """
    former = _in_file(previous_path(path), None)
    with ExitStack() as stack:
        own = _held(stack, store)
        try:
            own.write(_caught_up(own.store, job, former))
        except SaveError as error:
            raise _of_the_store(error) from error


def _caught_up(store: Store, job: Job, former: Job) -> Store:
    own, was = job.site.reference, former.site.reference
    carried = {each.piece for each in former.offcuts if was}
    for piece in unsettled_pieces(store, job):
        if own and piece.taken_by == own:
            store = give_back(store, piece.id, own)
            continue
        if piece.id in carried and piece.taken_by == was:
            store = give_back(store, piece.id, was)
        if not find_piece(store, piece.id).taken_by:
            store = take_piece(store, piece.id, own)
    return store


def unsettled_words(piece: StoredPiece, job: Job) -> str:
    """Say what a saved job and the store each say of a piece."""
    if job.site.reference and piece.taken_by == job.site.reference:
        return f"{piece.id}: your store has it for this job, which does not draw it"
    has = f"for {escaped(piece.taken_by)}" if piece.taken_by else "as free"
    return f"{piece.id}: this job draws it, and your store has it {has}"


def _drawn(job: Job) -> tuple[str, Counter[str], Counter[Rest]]:
    """Give what the store is told of a job: nothing of one that neither draws nor leaves any."""
    drawn = Counter(each.piece for each in job.offcuts)
    return (job.site.reference if drawn else "", drawn, _rests(job))


def _in_file(path: Filename, last: Job | None) -> Job:
    try:
        return load_job(path)
    except FileError:
        return last or Job()


def _held(stack: ExitStack, store: Filename) -> HeldStore:
    try:
        return stack.enter_context(held_store(store))
    except Refusal as refusal:
        raise _of_the_store(refusal) from refusal


def _of_the_store(refusal: Refusal) -> Refusal:
    """Tell it apart from what is refused of the job; which line is at fault is told too."""
    line = f": {refusal.place}" if isinstance(refusal, FileError) else ""
    return Refusal(refusal.reason, f"your store of off-cuts{line}", refusal.remedy)


def _taken(store: Store, drawn: OffCut, reference: str, times: int) -> Store:
    piece = find_piece(store, drawn.piece)
    if times > 1:
        raise Refusal(f"{piece.id} is drawn {times} times by this job")
    if not _is_one(piece, drawn):
        length = plain_number(piece.length)
        raise Refusal(f"{piece.id} is another piece in the store: {piece.part}, {length} mm")
    return take_piece(store, piece.id, reference)


def _carried_over(store: Store, drawn: OffCut, reference: str) -> Store:
    if not reference:
        raise no_reference()
    piece = store.find(drawn.piece)
    lies_free = piece is not None and not piece.taken_by and _is_one(piece, drawn)
    return take_piece(store, drawn.piece, reference) if lies_free else store


def _is_one(piece: StoredPiece, drawn: OffCut) -> bool:
    return (piece.part, piece.length) == (drawn.part, drawn.length)

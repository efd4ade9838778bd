"""What a person asks of a store of off-cuts: pure functions from one store to the next.

A job is known by its reference: two job files of one reference are one job.
"""

from collections.abc import Collection, Sequence
from decimal import Decimal
from typing import Any, NamedTuple

from pydantic import ValidationError

from pelmet.model.file.toml.faults import value_on_a_line
from pelmet.model.file.toml.words import says
from pelmet.model.job.offcut_store import Store, StoredPiece
from pelmet.model.job.references import nearest
from pelmet.model.refusal import SHOWN_CHARACTERS, Refusal, escaped


class Rest(NamedTuple):
    """What is left of a stock piece: of which part, its length [mm], and of strip its batch."""

    part: str
    length: Decimal
    batch: str


def free_pieces(store: Store) -> tuple[StoredPiece, ...]:
    """Give the pieces that no job has taken."""
    return tuple(piece for piece in store.pieces if not piece.taken_by)


def find_piece(store: Store, piece_id: str) -> StoredPiece:
    """Give the piece with this id; ``Refusal`` names the nearest if there is none."""
    piece = store.find(piece_id)
    if piece is None:
        near = nearest(piece_id[:SHOWN_CHARACTERS], (each.id for each in store.pieces))
        why = f"there is no piece {value_on_a_line(piece_id)} in the store{near}"
        raise Refusal(why, remedy="name one that is in it")
    return piece


def add_piece(
    store: Store, part: str, length: Decimal, batch: str = "", from_job: str = ""
) -> tuple[Store, str]:
    """Add a piece of some length [mm]; give the new store and the id of the piece.

    Raises ``Refusal`` for words or numbers that the file could not hold.
    """
    number = store.last + 1
    values = {
        "id": f"c{number}",
        "part": part,
        "length": length,
        "batch": batch,
        "from_job": from_job,
    }
    try:
        piece = StoredPiece.model_validate(values)
        return store.altered(pieces=(*store.pieces, piece), last=number), piece.id
    except ValidationError as error:
        raise _first(error) from None


def keep_pieces(
    store: Store,
    job_reference: str,
    rests: Sequence[Rest],
    used: Collection[str] = (),
    *,
    again: bool = False,
) -> tuple[Store, tuple[str, ...]]:
    """Add what a job leaves, once; give the new store and the ids of the pieces.

    Those of its own pieces that are ``used`` go: they are cut up, and only their rests are left.
    Raises ``Refusal`` for a job without a reference, and the second time unless ``again``.
    """
    if not job_reference:
        raise no_reference()
    if job_reference in store.kept and not again:
        raise Refusal(f"the rests of {escaped(job_reference)} are in the store already")
    ids = []
    for rest in rests:
        store, piece_id = add_piece(store, *rest, job_reference)
        ids.append(piece_id)
    gone = {each for each in store.pieces if each.taken_by == job_reference and each.id in used}
    if not ids and not gone:
        return store, ()
    left = tuple(each for each in store.pieces if each not in gone)
    kept = tuple(dict.fromkeys((*store.kept, job_reference)))
    try:
        return store.altered(pieces=left, kept=kept), tuple(ids)
    except ValidationError as error:
        raise _first(error) from None


def take_piece(store: Store, piece_id: str, job_reference: str) -> Store:
    """Take a piece for a job, which may have it already.

    Raises ``Refusal`` if it is another's, or unknown, or the job has no reference.
    """
    piece = find_piece(store, piece_id)
    if not job_reference:
        raise no_reference()
    if piece.taken_by not in ("", job_reference):
        raise _taken(piece, "draw another, or return it there first")
    return _with_owner(store, piece, job_reference)


def give_back(store: Store, piece_id: str, job_reference: str) -> Store:
    """Give a piece of a job back; ``Refusal`` if it is not that job's, or unknown."""
    piece = find_piece(store, piece_id)
    if not piece.taken_by:
        raise Refusal(f"{piece.id} is not taken")
    if piece.taken_by != job_reference:
        raise _taken(piece, "return it there")
    return _with_owner(store, piece, "")


def drop_piece(store: Store, piece_id: str) -> Store:
    """Take a piece out that was thrown away; ``Refusal`` if a job has it, or unknown."""
    piece = find_piece(store, piece_id)
    if piece.taken_by:
        raise _taken(piece, "return it first")
    return store.altered(pieces=tuple(each for each in store.pieces if each != piece))


def no_reference() -> Refusal:
    """Refuse what needs a job's reference, by which the store knows it."""
    return Refusal("the job has none", "reference", "give the job a reference first (Papers step)")


def _taken(piece: StoredPiece, remedy: str) -> Refusal:
    return Refusal(f"{piece.id} is taken by {escaped(piece.taken_by)}", remedy=remedy)


def _with_owner(store: Store, piece: StoredPiece, reference: str) -> Store:
    new = piece.model_copy(update={"taken_by": reference})
    return store.altered(pieces=tuple(new if each == piece else each for each in store.pieces))


def _first(error: ValidationError) -> Refusal:
    """Refuse for the first fault, in the words of a file."""
    fault = error.errors(include_url=False)[0]
    model: type[Any] = StoredPiece if error.title == StoredPiece.__name__ else Store
    where = ", ".join(str(part) for part in fault["loc"])
    why, remedy = says(model, fault)
    return Refusal(why, f"{where}: {value_on_a_line(fault['input'])}", remedy)

"""The store of off-cuts as a file: read whole, changed by one program at a time, undone once.

The functions on a ``Store`` are pure. A job is known by its reference: two job files of one
reference are one job.
"""

import errno
import os
from collections.abc import Callable, Collection, Sequence
from contextlib import ExitStack
from decimal import Decimal
from os import PathLike
from pathlib import Path
from typing import Any, NamedTuple, TypeVar

from pydantic import ValidationError

from pelmet.model.file.disk.locking import held
from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.disk.replacing import replace_file
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.reading import refuse_schema
from pelmet.model.file.job.saving import previous_path, replace_keeping
from pelmet.model.file.toml.checking import check_store
from pelmet.model.file.toml.faults import FileError, shown
from pelmet.model.file.toml.parsing import decode, parse, read_bytes
from pelmet.model.file.toml.words import says
from pelmet.model.file.toml.writing import store_text
from pelmet.model.job.offcut_store import STORE_SCHEMA, Store, StoredPiece
from pelmet.model.job.references import nearest
from pelmet.model.refusal import SHOWN_CHARACTERS, Refusal, escaped, told

T = TypeVar("T")


class Rest(NamedTuple):
    """What is left of a stock piece: of which part, its length [mm], and of strip its batch."""

    part: str
    length: Decimal
    batch: str


# What a person asks of a store


def free(store: Store, part: str | None = None) -> tuple[StoredPiece, ...]:
    """Give the pieces that no job has taken, all of them or those of one part."""
    return tuple(
        piece for piece in store.pieces if not piece.taken_by and part in (None, piece.part)
    )


def known(store: Store, piece_id: str) -> StoredPiece:
    """Give the piece with this id; ``Refusal`` names the nearest if there is none."""
    piece = store.find(piece_id)
    if piece is None:
        near = nearest(piece_id[:SHOWN_CHARACTERS], (each.id for each in store.pieces))
        why = f"there is no piece {shown(piece_id)} in the store{near}"
        raise Refusal(why, remedy="name one that is in it")
    return piece


def add(
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


def keep(
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
        store, piece_id = add(store, *rest, job_reference)
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


def take(store: Store, piece_id: str, job_reference: str) -> Store:
    """Take a piece for a job, which may have it already.

    Raises ``Refusal`` if it is another's, or unknown, or the job has no reference.
    """
    piece = known(store, piece_id)
    if not job_reference:
        raise no_reference()
    if piece.taken_by not in ("", job_reference):
        raise _taken(piece, "draw another, or return it there first")
    return _with_owner(store, piece, job_reference)


def give_back(store: Store, piece_id: str, job_reference: str) -> Store:
    """Give a piece of a job back; ``Refusal`` if it is not that job's, or unknown."""
    piece = known(store, piece_id)
    if not piece.taken_by:
        raise Refusal(f"{piece.id} is not taken")
    if piece.taken_by != job_reference:
        raise _taken(piece, "return it there")
    return _with_owner(store, piece, "")


def drop(store: Store, piece_id: str) -> Store:
    """Take a piece out that was thrown away; ``Refusal`` if a job has it, or unknown."""
    piece = known(store, piece_id)
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
    return Refusal(why, f"{where}: {shown(fault['input'])}", remedy)


# The file


def load_store(path: str | PathLike[str]) -> Store:
    """Read a store; a missing file is an empty one. ``FileError`` lists all that is wrong."""
    return _found(Path(path))[1]


def change_store(path: str | PathLike[str], change: Callable[[Store], tuple[Store, T]]) -> T:
    """Read a store, change it and write it, with no other program in between.

    Gives what ``change`` gives beside the new store; ``change`` may refuse by raising. The version
    before stands in ``NAME.previous``. Raises ``FileError`` for a store that cannot be read and
    ``SaveError`` for one that cannot be written, and then it is as it was.
    """
    named = Path(path)
    with ExitStack() as stack:
        target = _held(stack, named)
        found, store = _found(named)
        new, answer = change(store)
        if new != store:
            _write(target, found, new, named)
    return answer


def undo_store(path: str | PathLike[str]) -> Store:
    """Bring the version before the last change back, and give it; once more undoes that.

    Numbers given since stay given. Raises ``Refusal`` if there is nothing to bring back, or
    if the change was to take or return pieces: their jobs would go on drawing them. Raises
    ``FileError`` and ``SaveError`` as ``change_store`` does.
    """
    named = Path(path)
    with ExitStack() as stack:
        target = _held(stack, named)
        found, now = _found(named)
        data, old = _found(previous_path(target))
        if data is None:
            raise Refusal("there is no version before this one")
        old = old.altered(last=max(old.last, now.last))
        if old == now:
            raise Refusal("the version before is the same as this one")
        owners = {piece.id: piece.taken_by for piece in old.pieces}
        others = [
            piece.id
            for piece in now.pieces
            if owners.get(piece.id, piece.taken_by) != piece.taken_by
        ]
        if others:
            raise Refusal(
                f"the last change was to take or return {', '.join(others)}",
                remedy="return or take it again for its job, so that job and store agree",
            )
        _write(target, found, old, named)
    return old


def _held(stack: ExitStack, named: Path) -> Path:
    """Lock the file, in a folder that is made if need be; a link and its file are one."""
    try:
        target = Path(os.path.realpath(named))
        if target.is_dir():
            raise SaveError(named, "this is a folder", "name a file in it")
        target.parent.mkdir(parents=True, exist_ok=True)
        stack.enter_context(held(target))
    except FileExistsError as error:  # what should be its folder is not one
        raise SaveError(named, *os_words(OSError(errno.ENOTDIR, ""))) from error
    except (OSError, ValueError) as error:
        raise SaveError(named, *os_words(error)) from error
    return target


def _found(path: Path) -> tuple[bytes | None, Store]:
    try:
        path.stat()
    except FileNotFoundError:
        return None, Store()
    except (OSError, ValueError):
        pass  # who reads it says why it cannot be read
    data = read_bytes(path)
    return data, _read(data, str(path))


def _read(data: bytes, name: str) -> Store:
    text = decode(data, name)
    raw = parse(text, name)
    refuse_schema(raw, text, name, STORE_SCHEMA)
    return check_store(raw, text, name)


def _write(target: Path, found: bytes | None, new: Store, named: Path) -> None:
    """Write a store once it is sure to read back, and keep what was there."""
    data = store_text(new).encode("utf-8")
    try:
        same = _read(data, str(named)) == new
    except FileError as error:
        raise SaveError(named, f"it would not be readable again: {told(error)}") from error
    if not same:
        raise SaveError(named, "it would read back differently; this is a fault in the program")
    try:
        if found is None:  # so that the first change can be undone like any other
            empty = store_text(Store()).encode("utf-8")
            replace_file(previous_path(target), empty, lasting=True)
        replace_keeping(target, found, data, named, overwrite=False)
    except (OSError, ValueError) as error:
        raise SaveError(named, *os_words(error)) from error

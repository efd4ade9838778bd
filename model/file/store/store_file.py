"""The store of off-cuts as a file: read whole, changed by one program at a time, undone once."""

import errno
import os
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from os import PathLike
from pathlib import Path
from typing import NamedTuple, TypeVar

from pelmet.model.file.disk.locking import held
from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.disk.replacing import replace_file
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.reading import refuse_schema
from pelmet.model.file.job.saving import previous_path, replace_keeping
from pelmet.model.file.toml.checking import check_store
from pelmet.model.file.toml.faults import FileError
from pelmet.model.file.toml.parsing import decode, parse, read_bytes
from pelmet.model.file.toml.writing import store_text
from pelmet.model.job.offcut_store import STORE_SCHEMA, Store
from pelmet.model.refusal import Refusal, refusal_text

T = TypeVar("T")


def load_store(path: str | PathLike[str]) -> Store:
    """Read a store; a missing file is an empty one. ``FileError`` lists all that is wrong."""
    return _found(Path(path))[1]


class HeldStore(NamedTuple):
    """A store that no other program changes meanwhile: its file, what that held, and what it is."""

    named: Path
    target: Path
    found: bytes | None
    store: Store

    def write(self, new: Store) -> None:
        """Put another store in its place, if it is another; raises ``SaveError``."""
        if new != self.store:
            _write(self.target, self.found, new, self.named)


@contextmanager
def held_store(path: str | PathLike[str]) -> Iterator[HeldStore]:
    """Hold and read a store; raises ``FileError`` and ``SaveError`` as ``change_store`` does."""
    named = Path(path)
    with ExitStack() as stack:
        target = _held(stack, named)
        yield HeldStore(named, target, *_found(named))


def change_store(path: str | PathLike[str], change: Callable[[Store], tuple[Store, T]]) -> T:
    """Read a store, change it and write it, with no other program in between.

    Gives what ``change`` gives beside the new store; ``change`` may refuse by raising. The version
    before stands in ``NAME.previous``. Raises ``FileError`` for a store that cannot be read and
    ``SaveError`` for one that cannot be written, and then it is as it was.
    """
    with held_store(path) as own:
        new, answer = change(own.store)
        own.write(new)
    return answer


def undo_store(path: str | PathLike[str]) -> Store:
    """Bring the version before the last change back, and give it; once more undoes that.

    Numbers given since stay given. Raises ``Refusal`` if there is nothing to bring back, or
    if the change was to take or return pieces: their jobs would go on drawing them. Raises
    ``FileError`` and ``SaveError`` as ``change_store`` does.
    """
    with held_store(path) as own:
        now = own.store
        data, old = _found(previous_path(own.target))
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
        own.write(old)
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
        raise SaveError(named, f"it would not be readable again: {refusal_text(error)}") from error
    if not same:
        raise SaveError(named, "it would read back differently; this is a fault in the program")
    try:
        if found is None:  # so that the first change can be undone like any other
            empty = store_text(Store()).encode("utf-8")
            replace_file(previous_path(target), empty, lasting=True)
        replace_keeping(target, found, data, named, overwrite=False)
    except (OSError, ValueError) as error:
        raise SaveError(named, *os_words(error)) from error

"""``pelmet offcuts``: the user's store of off-cuts, which jobs draw from and add to."""

import argparse
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

from pelmet.model.refusal import Refusal, told

if TYPE_CHECKING:
    from pelmet.model.job.job import Job
    from pelmet.model.job.offcut_store import Store
    from pelmet.model.order.folder import Folder

_STORE: Final = (
    "your store of off-cuts; else the file that PELMET_OFFCUTS names, else offcuts.toml in your "
    "data folder"
)
_HEAD: Final = ("id", "part", "length mm", "batch", "from")


class Told(NamedTuple):
    """What to print as data, and what to say beside it."""

    data: tuple[str, ...]
    says: tuple[str, ...]


def add_offcuts(parser: argparse.ArgumentParser) -> argparse.ArgumentParser:
    """Add what ``offcuts`` is told, and give the parser of ``keep``, which works a plan out."""
    store = argparse.ArgumentParser(add_help=False)
    # It can stand before what is done, or after.
    store.add_argument("--store", metavar="FILE", default=argparse.SUPPRESS, help=_STORE)
    parser.add_argument("--store", metavar="FILE", help=_STORE)
    doing = parser.add_subparsers(
        title="what to do, if not list them", dest="doing", metavar="ACTION"
    )

    def one(name: str, says: str) -> argparse.ArgumentParser:
        return doing.add_parser(
            name, help=says, description=f"{says}.", parents=[store], allow_abbrev=False
        )

    adding = one("add", "Add a piece that lies about, and print its id")
    adding.add_argument("part", metavar="PART", help="what it was cut from, from the catalogue")
    adding.add_argument("length", metavar="LENGTH", help='in mm, or with its unit: "34 5/8 in"')
    adding.add_argument("--batch", metavar="B", default="", help="of strip: as on its reel")
    for name, says in (
        ("take", "Draw pieces for a job: they are taken in the store, and stand in the job"),
        ("return", "Give pieces of a job back"),
    ):
        drawing = one(name, says)
        drawing.add_argument("job", metavar="JOB", help="job file to change")
        drawing.add_argument("pieces", metavar="ID", nargs="+", help="ids of pieces in the store")
    keeping = one(
        "keep", "Add the rests worth keeping of a job that is cut, once; what it used up goes"
    )
    keeping.add_argument("job", metavar="JOB", help="job file to read")
    keeping.add_argument("--again", action="store_true", help="add them a second time")
    dropping = one("drop", "Take pieces out that were thrown away")
    dropping.add_argument("pieces", metavar="ID", nargs="+", help="ids of pieces in the store")
    one("undo", "Undo the last change of the store, or undo that")
    return keeping


def act(given: argparse.Namespace, folder: "Callable[[], Folder]") -> Told:
    """Do what is asked of the store; ``folder`` works the job of ``keep`` out.

    Raises ``Refusal`` for whatever cannot be done.
    """
    from pelmet.tui.places import offcut_store

    path = offcut_store() if given.store is None else Path(given.store)
    if given.doing == "keep":
        return _keep(given, path, folder())
    return _ACTIONS[given.doing](given, path)


def _list(_: argparse.Namespace, path: Path) -> Told:
    from pelmet.model.file.store.offcut_store import free, load_store
    from pelmet.model.job.scalars import plain_number
    from pelmet.model.told.formats.text import ascii_lines
    from pelmet.model.told.paper import Grid

    rows = tuple(
        (piece.id, piece.part, str(plain_number(piece.length)), piece.batch, piece.from_job)
        for piece in free(load_store(path))
    )
    if not rows:
        return Told((), (f"no free piece in {path}",))
    return Told(tuple(ascii_lines(Grid(_HEAD, rows, frozenset({2})))), ())


def _add(given: argparse.Namespace, path: Path) -> Told:
    from pelmet.model.file.store.offcut_store import add, change_store
    from pelmet.model.measure.lengths import parse_length

    length = parse_length(given.length, "mm")
    item_id = change_store(path, lambda store: add(store, given.part, length, given.batch))
    return Told((item_id,), _doubts(given.part))


def _doubts(part: str) -> tuple[str, ...]:
    """Say if no catalogue has this part; a job may, so it is kept all the same."""
    from pelmet.model.file.job.reading import load_catalogue
    from pelmet.model.job.catalogue import Catalogue, bundled_catalogue, overlay
    from pelmet.model.job.references import nearest
    from pelmet.tui.places import user_catalogue

    path = user_catalogue()
    parts = overlay(bundled_catalogue(), load_catalogue(path) if path else Catalogue())
    cut = (*parts.channels, *parts.diffusers, *parts.strips, *parts.cables)
    ids = {each.id for each in cut}
    if part in ids:
        return ()
    return (f'check: no catalogue has "{part}"{nearest(part, ids)}; added all the same',)


def _take(given: argparse.Namespace, path: Path) -> Told:
    from pelmet.model.edit.offcuts import draw
    from pelmet.model.file.job.comments import comments_as_note
    from pelmet.model.file.job.reading import open_job
    from pelmet.model.file.job.saving import save_job
    from pelmet.model.file.store.offcut_store import known, load_store
    from pelmet.model.file.store.settling import settle

    before, file, digest, comments = open_job(given.job)
    store = load_store(path)
    after = before
    for piece_id in given.pieces:
        after = draw(after, known(store, piece_id))
    settle(path, before, after)
    try:
        save_job(comments_as_note(after, comments), file, digest)
    except Refusal as unsaved:
        raise _given_back(path, before, after, unsaved) from unsaved
    words = f"taken for {after.site.reference}: {', '.join(given.pieces)}"
    return Told((), (words, *_noted(comments)))


def _given_back(path: Path, before: "Job", after: "Job", unsaved: Refusal) -> Refusal:
    """Give back what was taken for a job that could not be saved, and say how that went."""
    from pelmet.model.file.store.settling import settle

    try:
        settle(path, after, before)
    except Refusal as worse:
        return Refusal(
            f"{told(unsaved)}\n{told(worse)}\nstill taken in the store",
            remedy='"pelmet offcuts return" gives it back',
        )
    return Refusal(f"{told(unsaved)}\nnothing is taken")


def _return(given: argparse.Namespace, path: Path) -> Told:
    from pelmet.model.edit.offcuts import put_back
    from pelmet.model.file.job.comments import comments_as_note
    from pelmet.model.file.job.reading import open_job
    from pelmet.model.file.job.saving import save_job
    from pelmet.model.file.store.offcut_store import change_store, give_back, load_store

    before, file, digest, comments = open_job(given.job)
    store, reference = load_store(path), before.site.reference
    wanted = tuple(dict.fromkeys(given.pieces))
    after = before
    for piece_id in wanted:
        drawn = [each.id for each in before.offcuts if each.piece == piece_id]
        for item_id in drawn:
            after = put_back(after, item_id)
        if not drawn:  # taken by a job that was not saved, perhaps
            give_back(store, piece_id, reference)

    def change(store: "Store") -> "tuple[Store, None]":
        for piece_id in wanted:
            piece = store.find(piece_id)
            if piece and reference and piece.taken_by == reference:
                store = give_back(store, piece_id, reference)
        return store, None

    # The job first: a piece that was free already could not be had again for a job not saved.
    if before != after:
        save_job(comments_as_note(after, comments), file, digest)
    change_store(path, change)
    noted = _noted(comments) if before != after else ()
    return Told((), (f"returned: {', '.join(wanted)}", *noted))


def _noted(comments: tuple[tuple[int, str], ...]) -> tuple[str, ...]:
    return ("the comments of the job file are in its note now",) if comments else ()


def _keep(given: argparse.Namespace, path: Path, folder: "Folder") -> Told:
    from pelmet.model.edit.offcuts import rests, used
    from pelmet.model.file.store.offcut_store import change_store, keep

    reference = folder.plan.job.site.reference
    left, gone = rests(folder), used(folder)
    ids = change_store(path, lambda store: keep(store, reference, left, gone, again=given.again))
    says = f"kept of {reference}: {len(ids) or 'nothing'}"
    return Told(ids, (f"{says}; used up: {', '.join(gone)}" if gone else says,))


def _drop(given: argparse.Namespace, path: Path) -> Told:
    from pelmet.model.file.store.offcut_store import change_store, drop

    wanted = tuple(dict.fromkeys(given.pieces))

    def change(store: "Store") -> "tuple[Store, None]":
        for piece_id in wanted:
            store = drop(store, piece_id)
        return store, None

    change_store(path, change)
    return Told((), (f"thrown away: {', '.join(wanted)}",))


def _undo(_: argparse.Namespace, path: Path) -> Told:
    from pelmet.model.file.store.offcut_store import undo_store

    undo_store(path)
    return Told((), (f"{path} is as it was before the last change; once more undoes that",))


_ACTIONS: Final[dict[str | None, Callable[[argparse.Namespace, Path], Told]]] = {
    None: _list,
    "add": _add,
    "take": _take,
    "return": _return,
    "drop": _drop,
    "undo": _undo,
}

"""``pelmet offcuts``: the user's store of off-cuts, which jobs draw from and add to."""

import argparse
import os
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

from pelmet.model.refusal import Refusal, refusal_text

if TYPE_CHECKING:
    from pelmet.model.file.job.reading import OpenedJob
    from pelmet.model.job.job import Job
    from pelmet.model.job.offcut_store import Store

_STORE: Final = (
    "your store of off-cuts; else the file that PELMET_OFFCUTS names, else offcuts.toml in your "
    "data folder"
)
_HEAD: Final = ("id", "part", "length mm", "batch", "from")


class Output(NamedTuple):
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
        gone = " or the reference of one whose file is gone" if name == "return" else ""
        drawing.add_argument("job", metavar="JOB", help=f"job file to change{gone}")
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


def act_on_store(given: argparse.Namespace) -> Output:
    """Do what is asked of the store.

    Raises ``Refusal`` for whatever cannot be done.
    """
    from pelmet.tui.places import offcut_store

    path = offcut_store() if given.store is None else Path(given.store)
    return _ACTIONS[given.doing](given, path)


def at_odds(job: "Job") -> "tuple[str, ...]":
    """Say where a job and the store of off-cuts are at odds; one who draws hears of its faults."""
    from pelmet.tui.places import offcut_store

    path = offcut_store()
    if not (job.offcuts or os.path.lexists(path)):
        return ()
    from pelmet.model.file.store.settling import unsettled_pieces, unsettled_words
    from pelmet.model.file.store.store_file import load_store

    try:
        pieces = unsettled_pieces(load_store(path), job)
    except Refusal as refusal:
        return (refusal_text(refusal),) if job.offcuts else ()
    says = tuple(unsettled_words(piece, job) for piece in pieces)
    return (*says, "open the job in the wizard to put that right") if says else ()


def _list(_: argparse.Namespace, path: Path) -> Output:
    from pelmet.model.file.store.pieces import free_pieces
    from pelmet.model.file.store.store_file import load_store
    from pelmet.model.job.scalars import plain_number
    from pelmet.model.told.formats.text import ascii_lines
    from pelmet.model.told.paper import Grid

    rows = tuple(
        (piece.id, piece.part, str(plain_number(piece.length)), piece.batch, piece.from_job)
        for piece in free_pieces(load_store(path))
    )
    if not rows:
        return Output((), (f"no free piece in {path}",))
    return Output(tuple(ascii_lines(Grid(_HEAD, rows, frozenset({2})))), ())


def _add(given: argparse.Namespace, path: Path) -> Output:
    from pelmet.model.file.store.pieces import add_piece
    from pelmet.model.file.store.store_file import change_store
    from pelmet.model.measure.lengths import parse_length

    length = parse_length(given.length, "mm")
    item_id = change_store(path, lambda store: add_piece(store, given.part, length, given.batch))
    return Output((item_id,), _doubts(given.part))


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


def _take(given: argparse.Namespace, path: Path) -> Output:
    from pelmet.model.edit.offcuts import draw_piece
    from pelmet.model.file.job.reading import open_job
    from pelmet.model.file.store.pieces import find_piece, take_piece
    from pelmet.model.file.store.store_file import load_store

    opened, store = open_job(given.job), load_store(path)
    after, owed = opened.job, []
    drawn = {each.piece for each in after.offcuts}
    for piece_id in given.pieces:
        piece = find_piece(store, piece_id)
        if piece_id in drawn and not piece.taken_by:  # a saving was cut short
            owed.append(piece_id)
        else:
            after = draw_piece(after, piece)
    reference = after.site.reference
    noted = _saved(opened, after, path)

    _change_each(path, owed, lambda store, piece_id: take_piece(store, piece_id, reference))
    return Output((), (f"taken for {reference}: {', '.join(given.pieces)}", *noted))


def _return(given: argparse.Namespace, path: Path) -> Output:
    from pelmet.model.edit.offcuts import put_back
    from pelmet.model.file.job.reading import open_job
    from pelmet.model.file.store.pieces import give_back
    from pelmet.model.file.store.store_file import load_store

    store, wanted = load_store(path), tuple(dict.fromkeys(given.pieces))
    noted: tuple[str, ...] = ()
    try:
        opened = open_job(given.job)
    except Refusal:
        if not any(piece.taken_by == given.job for piece in store.pieces):
            raise
        reference, owed = given.job, wanted  # of a job whose file is gone
    else:
        after, reference = opened.job, opened.job.site.reference
        drawn = {each.piece for each in after.offcuts}
        owed = tuple(piece_id for piece_id in wanted if piece_id not in drawn)
        for piece_id in owed:  # all or nothing
            give_back(store, piece_id, reference)
        for each in opened.job.offcuts:
            after = put_back(after, each.id) if each.piece in wanted else after
        noted = _saved(opened, after, path)

    _change_each(path, owed, lambda store, piece_id: give_back(store, piece_id, reference))
    others = (
        f"{piece.id} is out of the job, and the store has it for {piece.taken_by}; if there is no "
        f'such job any more: pelmet offcuts return "{piece.taken_by}" {piece.id}'
        for piece in load_store(path).pieces
        if piece.id in wanted and piece.taken_by
    )
    return Output((), (f"returned: {', '.join(wanted)}", *others, *noted))


def _change_each(
    path: Path, pieces: Iterable[str], change: "Callable[[Store, str], Store]"
) -> None:
    """Change each of some pieces in the store, or none of them."""
    from functools import reduce

    from pelmet.model.file.store.store_file import change_store

    change_store(path, lambda store: (reduce(change, pieces, store), None))


def _saved(opened: "OpenedJob", after: "Job", path: Path) -> tuple[str, ...]:
    """Save what a job draws now, the store with it; give what is to be said of its comments."""
    from pelmet.model.file.job.comments import comments_as_note
    from pelmet.model.file.store.settling import save_and_settle

    if after == opened.job:
        return ()
    job = comments_as_note(after, opened.comments)
    saved = save_and_settle(job, opened.path, opened.digest, path, opened.job)
    if saved.behind:
        raise Refusal(
            f"{saved.behind}\n{opened.path} is saved all the same",
            remedy="take or return the same pieces again once the store can be written",
        )
    return ("the comments of the job file are in its note now",) if opened.comments else ()


def _keep(given: argparse.Namespace, path: Path) -> Output:
    from pelmet.model.edit.offcuts import pieces_used, rests
    from pelmet.model.file.store.pieces import keep_pieces
    from pelmet.model.file.store.store_file import change_store
    from pelmet.model.order.folder import make_folder
    from pelmet.tui.command.one_job import plan_named

    plan, own = plan_named(given, given.job)
    folder = make_folder(plan, own.prices)
    reference = plan.job.site.reference
    left, gone = rests(folder), pieces_used(folder)
    ids = change_store(
        path, lambda store: keep_pieces(store, reference, left, gone, again=given.again)
    )
    says = f"kept of {reference}: {len(ids) or 'nothing'}"
    return Output(ids, (f"{says}; used up: {', '.join(gone)}" if gone else says,))


def _drop(given: argparse.Namespace, path: Path) -> Output:
    from pelmet.model.file.store.pieces import drop_piece

    wanted = tuple(dict.fromkeys(given.pieces))

    _change_each(path, wanted, drop_piece)
    return Output((), (f"thrown away: {', '.join(wanted)}",))


def _undo(_: argparse.Namespace, path: Path) -> Output:
    from pelmet.model.file.store.store_file import undo_store

    undo_store(path)
    return Output((), (f"{path} is as it was before the last change; once more undoes that",))


_ACTIONS: Final[dict[str | None, Callable[[argparse.Namespace, Path], Output]]] = {
    None: _list,
    "add": _add,
    "take": _take,
    "return": _return,
    "keep": _keep,
    "drop": _drop,
    "undo": _undo,
}

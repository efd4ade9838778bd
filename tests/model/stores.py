"""Stores of off-cuts to try things on."""

from decimal import Decimal
from pathlib import Path

from pelmet.model.edit.offcuts import draw_piece
from pelmet.model.file.store.pieces import add_piece, find_piece, take_piece
from pelmet.model.file.store.store_file import change_store
from pelmet.model.job.job import Job, Site
from pelmet.model.job.offcut_store import Store

D = Decimal


def stocked(*lengths: int, part: str = "surface-17") -> Store:
    store = Store()
    for length in lengths:
        store, _ = add_piece(store, part, D(length))
    return store


def ids(store: Store) -> list[str]:
    return [piece.id for piece in store.pieces]


def owners(store: Store) -> dict[str, str]:
    return {piece.id: piece.taken_by for piece in store.pieces if piece.taken_by}


def added(path: Path, *lengths: int) -> list[str]:
    return [change_store(path, lambda store, each=each: add_piece(store, "surface-17", D(each)))
            for each in lengths]  # fmt: skip


def taken(path: Path, piece: str, job: str) -> None:
    change_store(path, lambda store: (take_piece(store, piece, job), None))


def names(folder: Path) -> list[str]:
    return sorted(entry.name for entry in folder.iterdir())


def named(reference: str) -> Job:
    return Job(site=Site(reference=reference))


def drawing(job: Job, store: Store, *pieces: str) -> Job:
    for piece in pieces:
        job = draw_piece(job, find_piece(store, piece))
    return job

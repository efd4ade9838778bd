"""How far runs have come: what there is to note of it, worked out beside the keys."""

from collections.abc import Iterator
from decimal import Decimal
from typing import TYPE_CHECKING, Final, NamedTuple

from pelmet.model.edit.building import ToNote, to_note
from pelmet.model.job.items import Kind, Status
from pelmet.model.job.job import Job, Site
from pelmet.model.measure.lengths import print_length
from pelmet.model.order.folder import Folder, folder_steps
from pelmet.model.plan.result import Plan

if TYPE_CHECKING:
    from pelmet.model.job.prices import PriceBook

_TOLD: Final = 6  # rests that are named
_WORDS: Final[dict[Kind, tuple[str, str]]] = {
    "hung": ("bar hung", "bars hung"),
    "drilled": ("hole drilled", "holes drilled"),
    "laid": ("cable laid", "cables laid"),
    "fitted": ("supply fitted", "supplies fitted"),
}


class Listed(NamedTuple):
    """What the papers list for some runs that have come so far."""

    folder: Folder
    noted: ToNote


class Came(NamedTuple):
    """A run whose status was just changed: from which, and to which."""

    run: str
    before: Status
    now: Status


def list_work(
    plan: Plan, prices: "PriceBook | None", runs: tuple[str, ...], status: Status
) -> Iterator[Listed | None]:
    """Give, last, what is to be noted of some runs that have come so far."""
    folder = yield from folder_steps(plan, prices)
    yield Listed(folder, to_note(folder, runs, status))


def status_changed(before: Job, now: Job) -> Came | None:
    """Give the run whose status is another one now, if there is one."""
    if before.runs is now.runs:
        return None
    was = {run.id: run.status for run in before.runs}
    for run in now.runs:
        if was.get(run.id, run.status) != run.status:
            return Came(run.id, was[run.id], run.status)
    return None


def noted_words(noted: ToNote) -> str:
    """Say what is to be noted: ``12 pieces out of 5 lengths, 5 bars hung``."""
    cuts = noted.of("cut")
    pieces = sum(len(cut["pieces"]) for cut in cuts)
    words = [f"{_count(pieces, 'piece')} out of {_count(len(cuts), 'length')}"] if cuts else []
    for kind, (one, many) in _WORDS.items():
        if count := len(noted.of(kind)):
            words.append(f"{count} {one if count == 1 else many}")
    return ", ".join(words)


def rest_words(noted: ToNote, site: Site) -> str:
    """Name the rests that are worth keeping."""
    named = [f"{_length(length, site)} of {part}" for part, length in noted.rests]
    more = [f"{len(named) - _TOLD} more"] if len(named) > _TOLD else []
    return ", ".join([*named[:_TOLD], *more])


def _length(length: Decimal, site: Site) -> str:
    return print_length(length, site.length_unit, site.inch_parts)


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"

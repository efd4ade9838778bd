"""Note in the job what went out: papers that somebody holds, an order that was sent."""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Final, NamedTuple

from pelmet.model.edit.change import make_thing, rebuilt
from pelmet.model.edit.ids import fresh_id
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import Given, Ordered, PaperName, Revision

Bought = tuple[str, Decimal | None, Decimal]
"""What is bought: part, length of each bar or reel [mm] or None, and how much."""


class Signed(NamedTuple):
    """On which day, as year-month-day, and by whom; each is "" where nobody said."""

    day: str = ""
    by: str = ""


_UNSIGNED: Final = Signed()


def refuse_revision(why: str = "-", signed: Signed = _UNSIGNED) -> None:
    """Raise ``Refusal``, in words, for what cannot stand in a revision."""
    make_thing(Revision, {"id": "rev1", "why": why, **signed._asdict()})


def give_out(
    job: Job,
    marks: Mapping[PaperName, str],
    revision: int | None = None,
    signed: Signed = _UNSIGNED,
) -> Job:
    """Note papers as given out, each with its mark: as of a revision, or of the present one.

    A paper that was given out as it is stands there already.
    """
    if revision is None:
        revision = len(job.revisions)
    for paper, mark in marks.items():
        last = next((each for each in reversed(job.given) if each.paper == paper), None)
        if last and last.digest == mark:
            continue
        values = {
            "id": fresh_id(job, "given"),
            "paper": paper,
            "revision": revision,
            "digest": mark,
            **signed._asdict(),
        }
        job = rebuilt(job, given=(*job.given, make_thing(Given, values)))
    return job


def note_order(job: Job, bought: Sequence[Bought], signed: Signed = _UNSIGNED) -> Job:
    """Note an order as sent: later only what is needed beyond it is ordered."""
    for part, length, amount in bought:
        values = {
            "id": fresh_id(job, "ordered"),
            "part": part,
            "length": length,
            "amount": amount,
            **signed._asdict(),
        }
        job = rebuilt(job, ordered=(*job.ordered, make_thing(Ordered, values)))
    return job

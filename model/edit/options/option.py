"""One thing that could be chosen, tried out."""

from collections import deque
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple, TypeAlias

from pelmet.model.edit.change import Subject, set_value
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal


class Option(NamedTuple):
    """A choice, what it gives in figures, the reasons for and against, and the job with it.

    ``job`` is nothing when the choice is refused; ``taken`` says that it is how things are now.
    """

    choice: str
    gives: str
    reasons: tuple[str, ...]
    job: Job | None
    taken: bool = False


Search: TypeAlias = Iterator[tuple[Option, ...]]
"""What was tried so far, in its order, after each trial; the last is all there is."""


def whole(search: Search) -> tuple[Option, ...]:
    """Try all there is to try."""
    last = deque(search, maxlen=1)
    return last[0] if last else ()


def in_order(ranked: Iterable[tuple[Any, Option]]) -> tuple[Option, ...]:
    """Put options in the order of their ranks; those of one rank stay as they are."""
    return tuple(option for _, option in sorted(ranked, key=lambda one: one[0]))


def with_fields(job: Job, kind: Subject, item_id: str, fields: Mapping[str, Any]) -> Job | None:
    """Give the job with some fields of a thing set, or nothing if that leaves no valid job."""
    try:
        for field, value in fields.items():
            job = set_value(job, kind, item_id, field, value)
    except Refusal:
        return None
    return job


def try_plan(job: Job | None, parts: Catalogue) -> Plan | None:
    """Plan a job that was tried out."""
    return plan_job(job, parts) if job else None


def count_words(number: int, word: str) -> str:
    """Say how many there are: ``1 hole``, ``2 holes``."""
    return f"{number} {word}" if number == 1 else f"{number} {word}s"

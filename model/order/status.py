"""How far each run has come, and what of it is past recall."""

from typing import Final, NamedTuple, get_args

from pelmet.model.job.feeds import Supply
from pelmet.model.job.items import Run, Status
from pelmet.model.job.job import Job

STATUSES: Final[tuple[Status, ...]] = get_args(Status)
# What cannot be taken back once a run has come so far.
_PAST_RECALL: Final[dict[Status, str]] = {
    "ordered": "its parts are bought",
    "cut": "its bars and strip are cut",
    "mounted": "its holes are drilled and its clips set",
    "wired": "its cables are cut and joined",
}


class RunStatus(NamedTuple):
    """How far a run has come, what is done, what comes next, and what is past recall."""

    run: Run
    done: tuple[Status, ...]
    next: Status | None
    past_recall: tuple[str, ...]


def statuses(job: Job) -> tuple[RunStatus, ...]:
    """Tell it of every run."""
    return tuple(_of(run) for run in job.runs)


def _of(run: Run) -> RunStatus:
    at = STATUSES.index(run.status) + 1
    done = STATUSES[:at]
    past = tuple(_PAST_RECALL[each] for each in done if each in _PAST_RECALL)
    return RunStatus(run, done, STATUSES[at] if at < len(STATUSES) else None, past)


def has_history(job: Job) -> bool:
    """Tell whether anything was done of a job: a run beyond its survey, a paper or an order out."""
    return bool(job.given or job.ordered) or any(past(run, STATUSES[1]) for run in job.runs)


def is_bought(job: Job, supply: Supply) -> bool:
    """Tell whether a supply feeds a run whose parts are bought, and so is bought itself."""
    legs = {leg.id for leg in job.legs if leg.supply == supply.id}
    return any({run.leg, run.far_leg} & legs and past(run, "ordered") for run in job.runs)


def past(run: Run, status: Status) -> bool:
    """Say if a run has come at least so far."""
    return STATUSES.index(run.status) >= STATUSES.index(status)

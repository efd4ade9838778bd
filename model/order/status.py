"""How far each run has come, and what of it is past recall."""

from collections.abc import Set
from typing import Final, NamedTuple

from pelmet.model.job.built import STATUSES, past
from pelmet.model.job.feeds import Leg, Supply
from pelmet.model.job.items import Run, Status
from pelmet.model.job.job import Job

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


def anything_bought(job: Job) -> bool:
    """Tell whether the parts of any run are bought."""
    return any(past(run, "ordered") for run in job.runs)


def anything_built(job: Job) -> bool:
    """Tell whether anything is noted as built."""
    return bool(job.cuts or job.hung or job.drilled or job.laid or job.fitted)


def has_history(job: Job) -> bool:
    """Tell whether anything was done of a job: a run beyond its survey, a paper or an order out."""
    return bool(job.given or job.ordered) or any(past(run, STATUSES[1]) for run in job.runs)


def is_bought(job: Job, supply: Supply) -> bool:
    """Tell whether a supply feeds a run whose parts are bought, and so is bought itself."""
    return is_fitted(job, supply) or any(past(run, "ordered") for run in _fed_from(job, supply))


def is_fitted(job: Job, supply: Supply) -> bool:
    """Tell whether a supply is in its place: it is noted, or feeds a run that is wired."""
    noted = any(each.supply == supply.id for each in job.fitted)
    return noted or any(past(run, "wired") for run in _fed_from(job, supply))


def is_laid(job: Job, leg: Leg) -> bool:
    """Tell whether a leg's cables are cut, laid and joined: as noted, or by the runs it feeds."""
    return any(each.leg == leg.id for each in job.laid) or any(
        past(run, "wired") for run in runs_on(job, {leg.id})
    )


def runs_on(job: Job, legs: Set[str]) -> tuple[Run, ...]:
    """Give the runs that any of these legs feeds, from one end at least."""
    return tuple(run for run in job.runs if {run.leg, run.far_leg} & legs)


def _fed_from(job: Job, supply: Supply) -> tuple[Run, ...]:
    return runs_on(job, {leg.id for leg in job.legs if leg.supply == supply.id})

"""Cases of findings: a job in which a check fires, and one in which it only just does not."""

from collections.abc import Callable
from typing import NamedTuple

from pelmet.model.job.job import Job
from pelmet.model.plan.finding import Finding

Found = Callable[[Job], list[Finding]]


class Case(NamedTuple):
    """A code, where it should point, what makes it fire, and what only just does not."""

    code: str
    level: str
    kind: str
    about: str
    field: str
    fires: Job
    near_miss: Job
    says: tuple[str, ...] = ()


def names(case: Case) -> str:
    """Name a case by its code and level."""
    return f"{case.code}-{case.level}"


def assert_fires(found: Found, case: Case) -> None:
    """Assert that just one finding has the case's code and level, and is what it should be."""
    (one,) = _told(found, case.fires, case)
    assert (one.kind, one.about, one.field) == (case.kind, case.about, case.field)
    for words in case.says:
        assert words in one.says


def assert_silent(found: Found, case: Case) -> None:
    """Assert that no finding has the case's code and level when the limit is just met."""
    assert [one.says for one in _told(found, case.near_miss, case)] == []


def _told(found: Found, job: Job, case: Case) -> list[Finding]:
    return [one for one in found(job) if (one.code, one.level) == (case.code, case.level)]

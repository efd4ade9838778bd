"""A finding: what a check says, about which thing, with a remedy."""

from collections.abc import Iterable
from itertools import chain
from typing import Literal, NamedTuple

from pelmet.model.job.items import Kind
from pelmet.model.plan.formulas import PRACTICE, Source

Level = Literal["stop", "warn", "ask"]
_SMALL = 0.1
LEVELS: tuple[Level, ...] = ("stop", "warn", "ask")


class Finding(NamedTuple):
    """One thing that a check found.

    ``stop``: unsafe or cannot work; ``warn``: will disappoint; ``ask``: a person must decide.
    ``code`` is stable. The place is a thing of the job, and the field where the remedy starts.
    """

    level: Level
    code: str
    kind: Kind
    about: str
    field: str
    says: str
    remedy: str
    source: Source = PRACTICE


def gravest_first(*found: Iterable[Finding]) -> tuple[Finding, ...]:
    """Give findings in one list, the gravest first, those of one level as they came."""
    return tuple(sorted(chain(*found), key=lambda one: LEVELS.index(one.level)))


def said(value: object) -> str:
    """Print a number of a finding: whole if whole, else with one decimal, or two if it is small.

    >>> said(875), said(12.3456), said(0.04)
    ('875', '12.3', '0.04')
    """
    number = float(str(value))
    if 0 < abs(number) < _SMALL:
        return f"{number:.2g}"
    return f"{number:.0f}" if number == round(number) else f"{number:.1f}"

"""Whether the bars may be cut: not while something they come from is assumed, or stands at stop."""

from collections.abc import Iterable
from typing import NamedTuple

from pelmet.model.plan.finding import Finding
from pelmet.model.plan.result import Plan


class Release(NamedTuple):
    """What stands in the way of cutting, and why a person cuts all the same."""

    reasons: tuple[str, ...]
    anyway: str

    @property
    def given(self) -> bool:
        """Whether the bars may be cut."""
        return not self.reasons or bool(self.anyway)


def release_of(plan: Plan, findings: Iterable[Finding]) -> Release:
    """Look for what stands in the way of cutting among all that is found."""
    return Release(tuple(_reasons(plan, findings)), plan.job.site.cut_anyway)


def _reasons(plan: Plan, findings: Iterable[Finding]) -> list[str]:
    bars = plan.bars
    if not bars:
        return ["there is no bar"]
    assumed = [bar.id for bar in bars if bar.length.assumed]
    stops = dict.fromkeys(
        f"{each.kind} {each.about}: {each.code}" for each in findings if each.level == "stop"
    )
    found = [f"readings are assumed behind {' '.join(assumed)}"] if assumed else []
    return found + [f"at stop, {stop}" for stop in stops]

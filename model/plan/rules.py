"""Rules of the region as they hold for a job, and the source each is told with."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from pelmet.model.job.job import Job
from pelmet.model.job.rules import JobRule, Seen, SourcedRow, ruled
from pelmet.model.plan.formulas import Source

# NEC Chapter 9 Table 11(B) [V]: its bands; their edges are from memory.
_LOW_BAND: Final = 20
_MIDDLE_BAND: Final = 30
# The volts that its watts and amps were seen worked out for [V].
_USUAL_LOW: Final = 12
_USUAL_MIDDLE: Final = 24


def rule(job: Job, rule_id: str) -> JobRule | None:
    """Give a rule as it holds for a job; nothing if its region has no such rule."""
    return ruled(job.site.region, job.overrides, rule_id)


def rule_source(one: SourcedRow) -> Source:
    """Give a row's source and edition, and whether it is from memory or common practice."""
    title = f"{one.source}, {one.edition}" if one.edition else one.source
    return source_of(title, one.standing)


def source_of(title: str, standing: Seen) -> Source:
    """Give a source as it is told, so that one from memory says so."""
    match standing:
        case "confirmed":
            return Source(title, "published")
        case "from memory":
            return Source(f"{title}; from memory, check it", "from memory")
        case "common practice":
            return Source(title, "common practice")


def class_2(job: Job, volts: Decimal) -> tuple[JobRule, ...]:
    """Give the limits of a Class 2 source of these direct-current volts [V], as they hold.

    None where the region has no such rule. Source: NEC Chapter 9 Table 11(B).
    """
    found = (rule(job, rule_id) for rule_id in _class_2_ids(volts))
    return tuple(one for one in found if one)


def _class_2_ids(volts: Decimal) -> Iterator[str]:
    if volts <= _LOW_BAND:
        if volts == _USUAL_LOW:
            yield "class-2-watts-low"
        yield "class-2-amps-low"
    elif volts <= _MIDDLE_BAND:
        yield "class-2-watts"
        if volts == _USUAL_MIDDLE:
            yield "class-2-amps"
    else:
        yield "class-2-watts-high"

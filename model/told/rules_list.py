"""The rules of the place as a table: what holds, where it stands in print, what was put aside.

Limits that a person changed are marked, and told again with the reason and who gave it.
"""

from decimal import Decimal
from typing import Final

from pelmet.model.job.feeds import Override
from pelmet.model.job.job import Job
from pelmet.model.job.rule_tables import override_ids
from pelmet.model.job.rules import Rule, Ruled, Sourced, ruled, rules_of
from pelmet.model.measure.decimals import plain
from pelmet.model.told.words import table, wrapped

_HEAD: Final = ("rule", "limit", "what it limits, and where it stands")
_CHANGED_HEAD: Final = ("override", "rule", "was", "now", "why, and who says so")
_CHANGED: Final = "*"
_NONE: Final = "-"
_PUT_ASIDE: Final = "put aside"
_ANSWERED: Final = "answered"
_NO_RULE: Final = "no rule here"


def rules_table(job: Job) -> tuple[str, ...]:
    """Lay out the rules of a job's region and its overrides, in lines of at most 78 columns."""
    region = job.site.region
    held = [
        _held(one)
        for rule in rules_of(region)
        if (one := ruled(region, job.overrides, rule.id)) is not None
    ]
    lines = [*wrapped(f"Rules of region {region}"), *table(_HEAD, held)]
    if job.overrides:
        changed = [_changed(job, each) for each in job.overrides]
        lines += [
            *wrapped(f"{_CHANGED} is changed by an override"),
            "",
            *table(_CHANGED_HEAD, changed),
        ]
    return tuple(lines)


def _held(one: Ruled) -> tuple[str, ...]:
    limit = _PUT_ASIDE if one.put_aside else _amount(one.limit, one.rule)
    mark = f" {_CHANGED}" if one.override else ""
    return one.rule.id, limit + mark, f"{one.rule.says}; {_stands(one.rule)}"


def _amount(limit: Decimal | None, rule: Rule) -> str:
    return _NONE if limit is None else f"{plain(limit)} {rule.unit}".strip()


def _stands(one: Sourced) -> str:
    """Give a row's source, its edition and how sure it is, each once."""
    return ", ".join(
        dict.fromkeys(text for text in (one.source, one.edition, one.standing) if text)
    )


def _changed(job: Job, override: Override) -> tuple[str, ...]:
    region = job.site.region
    rule = next((each for each in rules_of(region) if each.id == override.rule), None)
    first = next(each for each in job.overrides if each.rule == override.rule)
    who = f" ({override.by})" if override.by else ""
    was = _amount(rule.limit, rule) if rule else _NONE
    if override is not first:
        now = f"{first.id} holds"
    elif rule is None:
        asked = override.rule in override_ids(region)
        now = _ANSWERED if asked else _NO_RULE
    else:
        now = _PUT_ASIDE if override.limit is None else _amount(override.limit, rule)
    return override.id, override.rule, was, now, override.reason + who

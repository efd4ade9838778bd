"""The rules of the place: what holds, where it stands in print, what was changed or put aside."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from pelmet.model.job.feeds import Override
from pelmet.model.job.job import Job, Site
from pelmet.model.job.rule_tables import override_ids
from pelmet.model.job.rules import JobRule, Rule, SourcedRow, ruled, rules_of
from pelmet.model.plan.measures import limit_said
from pelmet.model.told.paper import Block, Grid, Words

_HEAD: Final = ("rule", "limit", "what it limits, and where it stands")
_CHANGED_HEAD: Final = ("override", "rule", "was", "now", "why, and who says so")
_CHANGED: Final = "*"
_NONE: Final = "-"
_PUT_ASIDE: Final = "put aside"
_ANSWERED: Final = "answered"
_NO_RULE: Final = "no rule here"


def rule_blocks(job: Job) -> Iterator[Block]:
    """Tell the rules of a job's region; those that an override changed are marked."""
    region = job.site.region
    found = (ruled(region, job.overrides, rule.id) for rule in rules_of(region))
    marked = f"; {_CHANGED} is changed by an override" if job.overrides else ""
    yield Words(f"Rules of region {region}{marked}.")
    rows = tuple(_held(one, job.site) for one in found if one)
    yield Grid(_HEAD, rows, name="rules")


def override_block(job: Job) -> Block:
    """Tell what overrides changed, each with its reason and who gave it."""
    if not job.overrides:
        return Words("No rule is put aside or given another limit.")
    rows = tuple(_changed(job, each) for each in job.overrides)
    return Grid(_CHANGED_HEAD, rows, name="overrides")


def _held(one: JobRule, site: Site) -> tuple[str, ...]:
    limit = _PUT_ASIDE if one.put_aside else _amount(one.limit, one.rule, site)
    mark = f" {_CHANGED}" if one.override else ""
    return one.rule.id, limit + mark, f"{one.rule.says}; {_stands(one.rule)}"


def _amount(limit: Decimal | None, rule: Rule, site: Site) -> str:
    return _NONE if limit is None else limit_said(limit, rule.unit, site)


def _stands(one: SourcedRow) -> str:
    """Give a row's source, its edition and how sure it is, each once."""
    return ", ".join(
        dict.fromkeys(text for text in (one.source, one.edition, one.standing) if text)
    )


def _changed(job: Job, override: Override) -> tuple[str, ...]:
    region = job.site.region
    rule = next((each for each in rules_of(region) if each.id == override.rule), None)
    first = next(each for each in job.overrides if each.rule == override.rule)
    who = f" ({override.by})" if override.by else ""
    was = _amount(rule.limit, rule, job.site) if rule else _NONE
    if override is not first:
        now = f"{first.id} holds"
    elif rule is None:
        asked = override.rule in override_ids(region)
        now = _ANSWERED if asked else _NO_RULE
    else:
        now = _PUT_ASIDE if override.limit is None else _amount(override.limit, rule, job.site)
    return override.id, override.rule, was, now, override.reason + who

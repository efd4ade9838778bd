"""Checks on what a person put in the place of a rule: that there is such a rule, and an effect."""

from collections.abc import Iterator, Mapping

from pelmet.model.job.feeds import Override
from pelmet.model.job.job import Site
from pelmet.model.job.references import nearest
from pelmet.model.job.rule_tables import every_question, override_ids
from pelmet.model.job.rules import Rule, every_rule, rules_of
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.formulas import SURVEY
from pelmet.model.plan.measures import limit_said
from pelmet.model.plan.result import Plan


def unknown_rule(plan: Plan) -> Iterator[Finding]:
    """An override names a rule that the region does not have."""
    if not plan.job.overrides:
        return
    region = plan.job.site.region
    known = override_ids(region)
    elsewhere = {each.id for each in every_rule()} | {each.id for each in every_question()}
    for override in plan.job.overrides:
        if override.rule not in known:
            other = override.rule in elsewhere
            yield Finding(
                "warn",
                "rule-unknown",
                "override",
                override.id,
                "rule",
                f'"{override.rule}" is no rule of region {region}'
                + ("; another region has it" if other else nearest(override.rule, known)),
                "choose a rule of the region, or take the override out",
                SURVEY,
            )


def idle_override(plan: Plan) -> Iterator[Finding]:
    """An override changes nothing."""
    if not plan.job.overrides:
        return
    region = plan.job.site.region
    rules = {each.id: each for each in rules_of(region)}
    known = override_ids(region)
    first: dict[str, str] = {}
    for override in plan.job.overrides:
        if override.rule not in known:
            continue
        why = _idle(override, rules.get(override.rule), first, plan.job.site)
        first.setdefault(override.rule, override.id)
        if why:
            yield Finding(
                "warn",
                "override-idle",
                "override",
                override.id,
                "limit",
                f"{override.id} changes nothing: {why}",
                "give another limit, or none, or take the override out",
                SURVEY,
            )


def _idle(override: Override, one: Rule | None, first: Mapping[str, str], site: Site) -> str:
    """Say why an override has no effect, or nothing if it has one."""
    if override.rule in first:
        return f"{first[override.rule]} speaks of {override.rule} before it, and holds"
    if override.limit is None:
        return ""
    if one is None or one.limit is None:
        return f"{override.rule} has no limit"
    if override.limit == one.limit:
        return f"{limit_said(one.limit, one.unit, site)} is the rule's own limit"
    return ""


CHECKS = (unknown_rule, idle_override)

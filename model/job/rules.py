"""Rules of the place: limits by region, each with its source, edition and standing.

A row that was not seen in print says ``from memory``: it is told as such, and never as a limit
that is known. A person can put a rule aside, or give it another limit, with a reason.
"""

import tomllib
from collections.abc import Iterable
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Annotated, Any, Literal, NamedTuple

from pydantic import Field

from pelmet.model.job.feeds import Override, RuleId
from pelmet.model.job.items import Said
from pelmet.model.job.scalars import Limit

Region = Literal["eu", "uk", "us"]
Seen = Literal["confirmed", "from memory", "common practice"]
Regions = Annotated[tuple[Region, ...], Field(strict=False, min_length=1)]


class SourcedRow(Said):
    """A row of the rules: the regions it holds in, and where it comes from."""

    regions: Regions
    source: str = Field(min_length=1)
    edition: str
    standing: Seen


class Rule(SourcedRow):
    """One limit that holds in some regions; some rules say something without a number."""

    id: RuleId
    says: str = Field(min_length=1)
    limit: Limit | None = None
    unit: str = ""


class JobRule(NamedTuple):
    """A rule as it holds for a job; ``limit`` is nothing when it was put aside."""

    rule: Rule
    limit: Decimal | None
    override: Override | None

    @property
    def put_aside(self) -> bool:
        """Whether a person said that it does not hold here."""
        return self.override is not None and self.override.limit is None


@cache
def raw_tables() -> dict[str, Any]:
    """Give the tables of the bundled rules as they stand in the file, numbers exact."""
    text = files(__package__).joinpath("rules.toml").read_text("utf-8")
    return tomllib.loads(text, parse_float=Decimal)


@cache
def every_rule() -> tuple[Rule, ...]:
    """Give every rule of every region; one id may have a row for each region."""
    return tuple(Rule.model_validate(row) for row in raw_tables()["rule"])


@cache
def _rules_by_id() -> dict[str, list[Rule]]:
    found: dict[str, list[Rule]] = {}
    for rule in every_rule():
        found.setdefault(rule.id, []).append(rule)
    return found


def rules_of(region: Region) -> tuple[Rule, ...]:
    """Give every rule that holds in a region."""
    return tuple(rule for rule in every_rule() if region in rule.regions)


def ruled(region: Region, overrides: Iterable[Override], rule_id: str) -> JobRule | None:
    """Give a rule as it holds, with what a person put in its place; nothing if the region has none.

    Raises ``KeyError`` for an id that no region has.
    """
    rule = next((rule for rule in _rules_by_id()[rule_id] if region in rule.regions), None)
    if rule is None:
        return None
    override = next((each for each in overrides if each.rule == rule_id), None)
    return JobRule(rule, override.limit if override else rule.limit, override)

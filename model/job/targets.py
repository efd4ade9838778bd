"""How much light a worktop needs, by the work done there; each figure with its source."""

import tomllib
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Annotated

from pydantic import Field

from pelmet.model.job.items import Said, Work
from pelmet.model.job.rules import Seen
from pelmet.model.job.scalars import Lux, Share


class Target(Said):
    """Light wanted on a worktop: its average [lx], and the least of it over that average."""

    work: Work
    says: str
    lux: Lux
    source: str
    standing: Seen
    evenness: Share
    evenness_source: str
    evenness_standing: Seen


class _Targets(Said):
    target: Annotated[tuple[Target, ...], Field(strict=False)]


@cache
def targets() -> tuple[Target, ...]:
    """Give the targets of every kind of work."""
    text = files(__package__).joinpath("targets.toml").read_text("utf-8")
    return _Targets.model_validate(tomllib.loads(text, parse_float=Decimal)).target


def target(work: Work) -> Target:
    """Give the target of a kind of work."""
    return next(each for each in targets() if each.work == work)

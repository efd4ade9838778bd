"""How much light is wanted on a worktop: as the job says, else by the work done there."""

import tomllib
from decimal import Decimal
from functools import cache
from importlib.resources import files
from typing import Annotated, NamedTuple

from pydantic import Field

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Room, Said, Work
from pelmet.model.job.rules import Seen
from pelmet.model.job.scalars import Lux, Share
from pelmet.model.plan.formulas import Source
from pelmet.model.plan.rules import source_of


class Target(Said):
    """Light wanted for a kind of work: its average [lx], and the least of it over that average."""

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


class WantedLight(NamedTuple):
    """Light wanted on a worktop: its average [lx], the least of it over that, and for what work."""

    lux: Decimal
    source: Source
    evenness: Decimal
    evenness_source: Source
    work: str


@cache
def targets() -> tuple[Target, ...]:
    """Give the targets of every kind of work."""
    text = files(__package__).joinpath("targets.toml").read_text("utf-8")
    return _Targets.model_validate(tomllib.loads(text, parse_float=Decimal)).target


def light_wanted(room: Room, allowances: Allowances) -> WantedLight:
    """Give the light wanted on a room's worktop, each limit with who says so."""
    asked, own = _for_work(room.work), allowances.worktop_lux
    if own is None:
        return asked
    return asked._replace(lux=own, source=Source("the job's allowance", "said"))


@cache
def _for_work(work: Work) -> WantedLight:
    asked = next(each for each in targets() if each.work == work)
    return WantedLight(
        asked.lux,
        source_of(asked.source, asked.standing),
        asked.evenness,
        source_of(asked.evenness_source, asked.evenness_standing),
        asked.says,
    )

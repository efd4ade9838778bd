"""How much light is wanted on what is used: as the job says, else by the work done there.

Light of the room that was read there counts towards it, and is told apart.
"""

import tomllib
from decimal import Decimal
from functools import cache
from importlib.resources import files
from math import hypot
from typing import Annotated, NamedTuple

from pydantic import Field

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Room, Said, Use, Work
from pelmet.model.job.rules import Seen
from pelmet.model.job.scalars import Lux, Share
from pelmet.model.plan.formulas import Source
from pelmet.model.plan.light.photometry.grid import uniformity
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.rules import source_of


class Target(Said):
    """Light wanted for a kind of work: its average [lx], and the least of it over that average."""

    work: Work | Use
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
    """Light wanted on a plane: its average [lx], the least of it over that, and for what work."""

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


def light_wanted(room: Room, allowances: Allowances, use: Use = "worktop") -> WantedLight:
    """Give the light wanted on what is used in a room, each limit with who says so."""
    if use != "worktop":
        return _for_work(use)
    asked, own = _for_work(room.work), allowances.worktop_lux
    if own is None:
        return asked
    return asked._replace(lux=own, source=Source("the job's allowance", "said"))


@cache
def _for_work(work: Work | Use) -> WantedLight:
    asked = next(each for each in targets() if each.work == work)
    return WantedLight(
        asked.lux,
        source_of(asked.source, asked.standing),
        asked.evenness,
        source_of(asked.evenness_source, asked.evenness_standing),
        asked.says,
    )


class JudgedLight(NamedTuple):
    """The light of a plane against what is wanted there; ``other`` is the room's own light [lx].

    ``average`` and ``evenness`` are with it, as the targets count both.
    """

    wanted: WantedLight
    average: float
    evenness: float
    other: Decimal

    @property
    def enough(self) -> bool:
        """Whether there is as much light as is wanted."""
        return self.average >= float(self.wanted.lux)

    @property
    def even(self) -> bool:
        """Whether it is as even as is wanted."""
        return self.evenness >= float(self.wanted.evenness)


def judge_light(light: RunLight, room: Room, allowances: Allowances) -> JudgedLight:
    """Hold the light of a plane, with that of the room, against what is wanted there."""
    wanted = light_wanted(room, allowances, light.plane.use)
    # The room's light was read on the worktop, or on what the room has in its place.
    other = room.other_lux if light.plane.use == room.in_use else Decimal(0)
    if not other:
        return JudgedLight(wanted, float(light.average.value), float(light.evenness.value), other)
    least, average = (float(each.value) + float(other) for each in (light.least, light.average))
    return JudgedLight(wanted, average, uniformity(least, average), other)


class MeterLux(NamedTuple):
    """What a meter reads where light is kept up: while new, and how far either may be off. [lx]"""

    new: float
    new_range: tuple[float, float]
    kept_range: tuple[float, float]


def meter_lux(kept: float, allowances: Allowances) -> MeterLux:
    """Give what a meter reads of light that is told as kept up [lx].

    Strips, covers and upkeep are off by chance, each for itself, so their shares add up squared.

    Source: combination of uncorrelated uncertainties (JCGM 100:2008, 5.1.2).
    """
    share = float(allowances.maintenance_percent) / 100
    new = kept / share if share else 0.0
    fresh = hypot(float(allowances.lumens_spread), float(allowances.cover_spread)) / 100
    aged = hypot(fresh, float(allowances.upkeep_spread) / 100)
    return MeterLux(new, _spread(new, fresh), _spread(kept, aged))


def _spread(lux: float, part: float) -> tuple[float, float]:
    return max(lux * (1 - part), 0.0), lux * (1 + part)

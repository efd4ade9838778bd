"""What feeds the light: supplies, what is switched together, legs, and rules put aside."""

from typing import Annotated, Literal

from pydantic import Field

from pelmet.model.job.items import Item
from pelmet.model.job.scalars import Amps, CableLength, Id, Limit, Name, Reason, ShortWords, Size

SupplyPlace = Literal["in cabinet", "on top of cabinet", "in plinth", "walled in", "elsewhere"]
Connection = Literal["not known", "plug", "hard-wired"]
# The characteristic letters of IEC 60898-1, and plain ampere ratings where no letter is marked.
Breaker = Literal["not known", "B6", "B10", "B16", "B20", "C6", "C10", "C16", "C20", "15 A", "20 A"]
Protection = Literal["not known", "RCD 30 mA", "GFCI", "AFCI", "GFCI and AFCI", "none"]
Wiring = Literal["branched", "chained", "home run"]
RuleId = Annotated[str, Field(pattern=r"^[a-z][a-z0-9-]{0,39}$")]


class Supply(Item):
    """A power supply and where it sits."""

    part: Id = Field(
        default="supply-24-60", title="Supply", description="Power supply, from the catalogue"
    )
    place: SupplyPlace = Field(
        default="in cabinet", title="Sits", description="Little dust and some air is best"
    )
    cabinet: Id | None = Field(
        default=None, title="At cabinet", description="The cabinet it sits in, on or under"
    )
    space: Annotated[tuple[Size, ...], Field(strict=False, max_length=3)] = Field(
        default=(),
        title="Space there",
        description="Clear width, depth and height where it sits, if measured; parted by ;",
        examples=["60; 320; 700"],
    )
    dimmer: Id | None = Field(
        default=None,
        title="{Mains_dimmer}",
        description="Dimmer on the {of_mains} side, before the supply, or none",
    )
    connection: Connection = Field(
        default="not known",
        title="Connection",
        description="How the licensed person connects it to the {mains}",
    )
    circuit: ShortWords = Field(
        default="",
        title="Circuit",
        description="The {of_mains} circuit it hangs on, as the licensed person names it",
        examples=["kitchen lighting"],
    )
    breaker: Breaker = Field(
        default="not known", title="Breaker", description="What protects that circuit"
    )
    protection: Protection = Field(
        default="not known",
        title="Protection",
        description="Residual-current or arc-fault protection of that circuit",
    )
    isolator: ShortWords = Field(
        default="",
        title="{Isolator}",
        description="Where it is switched off for work",
        examples=["fused spur beside the hood"],
    )


class Zone(Item):
    """What is switched and dimmed together."""

    name: Name = Field(
        default="Worktop",
        title="Zone",
        description="What is switched together",
        examples=["Pantry"],
    )
    switch: Id | None = Field(
        default=None, title="Switch", description="What switches it, from the catalogue"
    )


class Leg(Item):
    """One two-core feed from a supply to one or more runs."""

    supply: Id = Field(title="From supply", description="The supply it comes from")
    cable: Id = Field(
        default="flat-2x0.75", title="Cable", description="Two-core cable, from the catalogue"
    )
    dimmer: Id | None = Field(
        default=None, title="Dimmer", description="Dimmer between supply and strip, or none"
    )
    zone: Id | None = Field(
        default=None, title="Zone", description="What it is switched together with"
    )
    fuse: Amps | None = Field(
        default=None,
        title="Fuse",
        description="Fuse at the supply, if there is one",
        examples=["3.15"],
    )
    length: CableLength | None = Field(
        default=None,
        title="Lead length",
        description="Supply to the first feed end, one way, if measured; else it is reckoned",
        examples=["2.4 m"],
    )
    wiring: Wiring = Field(
        default="branched",
        title="Wiring",
        description="branched: the cheapest tree; chained: from run to run; home run: a cable "
        "from the supply to each",
    )
    via: Annotated[tuple[Id, ...], Field(strict=False, max_length=12)] = Field(
        default=(),
        title="By way of",
        description="Cabinets its cable must go through first, in this order",
        examples=["A2 A3"],
    )
    avoid: Annotated[tuple[Id, ...], Field(strict=False, max_length=60)] = Field(
        default=(), title="Keep out of", description="Cabinets its cable must not touch"
    )


class Override(Item):
    """A rule of the region put aside or given another limit, by a person who says why."""

    rule: RuleId = Field(title="Rule", description="The rule it is about")
    limit: Limit | None = Field(
        default=None,
        title="Limit",
        description="The limit that holds instead; none: the rule does not hold here",
    )
    reason: Reason = Field(
        title="Reason",
        description="Why; printed on the papers",
        examples=["listed for it, see label"],
    )
    by: ShortWords = Field(default="", title="By", description="Who says so")

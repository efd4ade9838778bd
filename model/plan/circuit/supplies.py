"""What each supply may give, what it is asked for, and what is left."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Supply
from pelmet.model.job.job import Job
from pelmet.model.job.parts import SupplyPart
from pelmet.model.plan.circuit.legs import LegCircuit, total
from pelmet.model.plan.circuit.mains import Mains, mains_side
from pelmet.model.plan.circuit.terminals import cables_at_supply
from pelmet.model.plan.figure import Figure, derived, derived_exactly, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.rules import class_2
from pelmet.model.plan.ways.routes import Routes

_PERCENT = 100
_ROUNDING = 1e-9  # watts are sums of floats; a load that is just met is met


class Usable(NamedTuple):
    """What a supply part may give [W]: on its label, in the air it stands in, and of that."""

    rating: Figure
    derated: Figure
    usable: Figure


class SupplyBudget(NamedTuple):
    """What a supply may give, what it is asked for, and what is left [W].

    ``load`` is what it must carry with all of its legs at full, ``amps`` what they draw
    [A], missing while that of a leg is not known. All else is missing when its part is not known.
    What is left may be less than nothing.
    """

    supply: str
    legs: tuple[str, ...]
    load: Figure
    rating: Figure | None = None
    derated: Figure | None = None
    usable: Figure | None = None
    left: Figure | None = None
    amps: Figure | None = None
    terminals_left: Figure | None = None
    mains: Mains | None = None

    @property
    def figures(self) -> Iterator[Figure]:
        """Every figure that is known, those of its mains side last."""
        yield self.load
        some = (self.rating, self.derated, self.usable, self.left, self.amps, self.terminals_left)
        yield from (figure for figure in some if figure)
        if self.mains:
            yield from self.mains.figures


def load_supplies(
    job: Job, parts: Catalogue, routes: Routes, legs: Sequence[LegCircuit]
) -> tuple[SupplyBudget, ...]:
    """Work out the budget of every supply, in the order of the job."""
    return tuple(
        _budget(
            job,
            supply,
            find_part(parts.supplies, supply.part),
            [leg for leg in legs if leg.leg.supply == supply.id],
            routes,
        )
        for supply in job.supplies
    )


def usable_watts(part: SupplyPart, allowances: Allowances, about: str = "") -> Usable:
    """Work out what a supply part may give in its air, and the share of that to be used [W]."""
    rating = given("rating", part.watts, "W", "part", part.id)
    air = given("air at supply", allowances.supply_celsius, "degC", "allowance")
    full_to = given("full up to", part.full_to_celsius, "degC", "part", part.id)
    per_kelvin = given("derating", part.derate_per_kelvin / _PERCENT, "1/K", "part", part.id)
    highest = given("highest air", part.highest_celsius, "degC", "part", part.id)
    derated = derived_exactly(
        "derated", "W", derated_watts, about, rating, air, full_to, per_kelvin, highest
    )
    share = given("supply load", allowances.supply_load, "%", "allowance")
    usable = derived_exactly("usable", "W", usable_share, about, derated, share)
    return Usable(rating, derated, usable)


@works_out("derated")
def derated_watts(
    rating: Decimal, air: Decimal, full_to: Decimal, per_kelvin: Decimal, highest: Decimal
) -> float:
    """Give what a supply may give in air so warm [degrees C]: its rating, less the warmer it is.

    Nothing above the highest that it may stand in. [W]
    """
    if air > highest:
        return 0.0
    return float(rating * max(1 - per_kelvin * max(air - full_to, Decimal(0)), Decimal(0)))


@works_out("usable")
def usable_share(derated: float, share: Decimal) -> float:
    """Give what a supply is to be loaded with at most [W], of what it may give; share in %."""
    return float(Decimal(str(derated)) * share / _PERCENT)


def carries(part: SupplyPart, allowances: Allowances, load: float) -> bool:
    """Say if a supply part carries a load [W] with the share of it that may be used."""
    return load <= float(usable_watts(part, allowances).usable.value) + _ROUNDING


def ceiling_watts(job: Job, volts: Decimal) -> Decimal | None:
    """Give the most watts of a limited source of these volts by the rules of the region.

    In the US a Class 2 source: its watts, or its amps at these volts. Nothing where no region's
    rule that was seen in print says so.
    """
    limits = [
        each.limit * volts if each.rule.unit == "A" else each.limit
        for each in class_2(job, volts)
        if each.limit and each.rule.standing == "confirmed"
    ]
    return min(limits, default=None)


def _budget(
    job: Job,
    supply: Supply,
    part: SupplyPart | None,
    legs: Sequence[LegCircuit],
    routes: Routes,
) -> SupplyBudget:
    ids = tuple(leg.leg.id for leg in legs)
    rated = [leg.watts for leg in legs]
    if part is None:
        return SupplyBudget(supply.id, ids, total("supply load", "W", supply.id, rated))
    volts = given("supply volts", part.volts, "V", "part", part.id)
    load = _load(supply.id, volts, legs)
    drawn = [leg.amps for leg in legs if leg.amps]
    may = usable_watts(part, job.allowances, supply.id)
    terminals = given("terminals", part.terminals, "1", "part", part.id)
    cables = sum(len(cables_at_supply(routes, leg.leg)) for leg in legs)
    taken = given("cables", cables, "1", "choice", supply.id)
    return SupplyBudget(
        supply=supply.id,
        legs=ids,
        load=load,
        rating=may.rating,
        derated=may.derated,
        usable=may.usable,
        left=derived("left", "W", watts_left, supply.id, may.usable, load),
        amps=total("output amps", "A", supply.id, drawn) if len(drawn) == len(legs) else None,
        terminals_left=derived_exactly(
            "terminals left", "1", terminals_left, supply.id, terminals, taken
        ),
        mains=mains_side(job, supply, part, load),
    )


@works_out("left")
def watts_left(usable: float, load: float) -> float:
    """Give what a supply may still be loaded with [W]; less than nothing where it has too much."""
    return usable - load


@works_out("terminals left")
def terminals_left(terminals: int, cables: int) -> int:
    """Count the terminals that no cable starts in; fewer than none where a block is needed."""
    return terminals - cables


def _load(supply_id: str, volts: Figure, legs: Sequence[LegCircuit]) -> Figure:
    """Give the larger of the rated watts and of what flows out of the supply.

    Strip at the end of a long cable may draw less than it is rated; warm strip and strip of
    constant power draw more, and the cables take their own.
    """
    rated = total("rated load", "W", supply_id, [leg.watts for leg in legs])
    drawn = total("drawn load", "W", supply_id, [_drawn(leg, volts) for leg in legs])
    return derived("supply load", "W", supply_load, supply_id, rated, drawn)


@works_out("supply load")
def supply_load(rated: float, drawn: float) -> float:
    """Give what a supply has to carry [W]: the larger of what its legs are rated at and draw."""
    return max(rated, drawn)


def _drawn(leg: LegCircuit, volts: Figure) -> Figure:
    if leg.amps is None:
        return leg.watts
    return derived("drawn", "W", watts_drawn, leg.leg.id, volts, leg.amps)


@works_out("drawn")
def watts_drawn(volts: float, amps: float) -> float:
    """Give what a leg draws out of its supply, its cables too [W]."""
    return volts * amps

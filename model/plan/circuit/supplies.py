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
from pelmet.model.plan.figure import Figure, given, read_off
from pelmet.model.plan.rules import class_2

_PERCENT = 100
_ROUNDING = 1e-9  # watts are sums of floats; a load that is just met is met


class Usable(NamedTuple):
    """What a supply part may give [W]: on its label, in the air it stands in, and of that."""

    rating: Figure
    derated: Figure
    usable: Figure


class SupplyBudget(NamedTuple):
    """What a supply may give, what it is asked for, and what is left [W].

    ``load`` is what it must carry with all of its legs at full, ``amps`` that at its output [A].
    All else is missing when its part is not known. What is left may be less than nothing.
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
    job: Job, parts: Catalogue, legs: Sequence[LegCircuit]
) -> tuple[SupplyBudget, ...]:
    """Work out the budget of every supply, in the order of the job."""
    return tuple(
        _budget(
            job,
            supply,
            find_part(parts.supplies, supply.part),
            [leg for leg in legs if leg.leg.supply == supply.id],
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
    over = max(allowances.supply_celsius - part.full_to_celsius, Decimal(0))
    kept = max(1 - part.derate_per_kelvin / _PERCENT * over, Decimal(0))
    if allowances.supply_celsius > part.highest_celsius:
        kept = Decimal(0)
    derated = read_off(
        "derated", float(part.watts * kept), "W", "derated", about,
        rating, air, full_to, per_kelvin, highest,
    )  # fmt: skip
    share = given("supply load", allowances.supply_load, "%", "allowance")
    watts = float(part.watts * kept * allowances.supply_load / _PERCENT)
    return Usable(rating, derated, read_off("usable", watts, "W", "usable", about, derated, share))


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
    job: Job, supply: Supply, part: SupplyPart | None, legs: Sequence[LegCircuit]
) -> SupplyBudget:
    ids = tuple(leg.leg.id for leg in legs)
    rated = [leg.watts for leg in legs]
    if part is None:
        return SupplyBudget(supply.id, ids, total("supply load", "W", supply.id, rated))
    volts = given("supply volts", part.volts, "V", "part", part.id)
    load = _load(supply.id, volts, legs)
    may = usable_watts(part, job.allowances, supply.id)
    left = float(may.usable.value) - float(load.value)
    terminals = given("terminals", part.terminals, "1", "part", part.id)
    taken = given("legs", len(legs), "1", "choice", supply.id)
    return SupplyBudget(
        supply=supply.id,
        legs=ids,
        load=load,
        rating=may.rating,
        derated=may.derated,
        usable=may.usable,
        left=read_off("left", left, "W", "left", supply.id, may.usable, load),
        amps=read_off(
            "output amps", float(load.value) / float(part.volts), "A", "output amps", supply.id,
            load, volts,
        ),
        terminals_left=read_off(
            "terminals left", part.terminals - len(legs), "1", "terminals left", supply.id,
            terminals, taken,
        ),
        mains=mains_side(job, supply, part, load),
    )  # fmt: skip


def _load(about: str, volts: Figure, legs: Sequence[LegCircuit]) -> Figure:
    """Give the larger of the rated watts and of what flows out of the supply.

    Strip at the end of a long cable may draw less than it is rated; strip of constant power
    draws more, and the cables take their own.
    """
    rated = total("rated load", "W", about, [leg.watts for leg in legs])
    drawn = total("drawn load", "W", about, [_drawn(leg, volts) for leg in legs])
    watts = max(float(rated.value), float(drawn.value))
    return read_off("supply load", watts, "W", "supply load", about, rated, drawn)


def _drawn(leg: LegCircuit, volts: Figure) -> Figure:
    if leg.amps is None:
        return leg.watts
    watts = float(volts.value) * float(leg.amps.value)
    return read_off("drawn", watts, "W", "drawn", leg.leg.id, volts, leg.amps)

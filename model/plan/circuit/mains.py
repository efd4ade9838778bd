"""The mains side of a supply: what it takes, how many go on a breaker, what it costs a year."""

from collections.abc import Iterator
from decimal import Decimal
from math import floor, log
from typing import Final, NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.feeds import Breaker, Supply
from pelmet.model.job.job import Job
from pelmet.model.job.parts import SupplyPart
from pelmet.model.job.rule_tables import breaker_amps, breaker_share
from pelmet.model.plan.figure import Figure, derived, derived_exactly, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.rules import rule

_HOURS_A_YEAR: Final = 8760
_CENT: Final = Decimal("0.01")
_ROUNDING: Final = 1e-9  # a count of floats that just fits fits
_PERCENT: Final = 100

# Regulation (EU) 2019/1782, Annex II, active mode: AC-DC, other than low-voltage ones.
_BIG_WATTS: Final = 49
_PER_LOG_WATT: Final = 0.071
_PER_WATT: Final = -0.0014
_AT_ONE_WATT: Final = 0.67

# From memory: above 25 W IEC 61000-3-2 has lighting in its class C, with 0.9 usual.
_CLASS_C_WATTS: Final = 25
_SMALL_FACTOR: Final = Decimal("0.5")
_BIG_FACTOR: Final = Decimal("0.9")


class Counts(NamedTuple):
    """How many such supplies go on a breaker: by inrush, by steady amps, and the smaller.

    Each is missing when it is not known.
    """

    by_inrush: Figure | None
    by_amps: Figure | None
    fewest: Figure | None


class Mains(NamedTuple):
    """What a supply takes from the mains, and what it asks of its circuit.

    ``input`` [W] and ``amps`` [A] are at the load, by its ``efficiency`` [%], ``power_factor`` and
    the mains ``volts`` [V]; ``inrush`` [A] is the peak when switched on.
    ``by_inrush``, ``by_amps`` and ``on_breaker`` are the `Counts` on the breaker named. ``energy``
    is of a year [kWh], ``cost`` in the currency of the price.
    """

    efficiency: Figure
    power_factor: Figure
    volts: Figure
    input: Figure
    amps: Figure
    standby: Figure
    inrush: Figure | None
    by_inrush: Figure | None
    by_amps: Figure | None
    on_breaker: Figure | None
    energy: Figure
    cost: Figure | None

    @property
    def decided_by(self) -> str:
        """Say what the count on a breaker was decided by: ``inrush``, ``steady amps`` or nothing.

        Inrush, when both give the same.
        """
        if self.on_breaker is None:
            return ""
        inrush = self.by_inrush and self.by_inrush.value == self.on_breaker.value
        return "inrush" if inrush else "steady amps"

    @property
    def figures(self) -> Iterator[Figure]:
        """Every figure that is known."""
        yield from (figure for figure in self if figure)


def mains_side(job: Job, supply: Supply, part: SupplyPart, load: Figure) -> Mains:
    """Work out the mains side of a supply that carries a load [W]."""
    efficiency, factor = _efficiency(job, part), _power_factor(part)
    volts = _by_rule(job, "mains volts", "V", "mains-volts")
    taken = derived("input", "W", input_watts, supply.id, load, efficiency)
    amps = derived("mains amps", "A", mains_amps, supply.id, taken, factor, volts)
    standby = _standby(job, part)
    inrush = given("inrush", part.inrush_amps, "A", "part", part.id) if part.inrush_amps else None
    counts = breaker_counts(job, part, amps, supply.breaker)
    energy = _energy(supply.id, job.allowances, taken, standby)
    cost = _cost(supply.id, job.allowances, energy)
    return Mains(
        efficiency=efficiency,
        power_factor=factor,
        volts=volts,
        input=taken,
        amps=amps,
        standby=standby,
        inrush=inrush,
        by_inrush=counts.by_inrush,
        by_amps=counts.by_amps,
        on_breaker=counts.fewest,
        energy=energy,
        cost=cost,
    )


@works_out("input")
def input_watts(load: float, efficiency: float) -> float:
    """Give what a supply takes from the mains [W] for a load [W], at its efficiency [%]."""
    return load / (efficiency / _PERCENT)


@works_out("mains amps")
def mains_amps(taken: float, power_factor: float, volts: float) -> float:
    """Give the amps that so many watts are on the mains [A]."""
    return taken / (power_factor * volts)


def breaker_counts(job: Job, part: SupplyPart, amps: Figure, breaker: Breaker) -> Counts:
    """Count how many supplies of a part, each drawing so many mains amps [A], go on a breaker."""
    by_inrush = _by_inrush(amps.about, part, breaker)
    by_amps = _by_amps(job, amps, breaker)
    known = [count for count in (by_inrush, by_amps) if count]
    if not known:
        return Counts(by_inrush, by_amps, None)
    least = derived_exactly("on breaker", "1", least_count, amps.about, *known)
    return Counts(by_inrush, by_amps, least)


@works_out("least count")
def least_count(*counts: int) -> int:
    """Give how many go on a breaker by all that limits them."""
    return min(counts)


def circuit_amps(job: Job, breaker: Breaker) -> Figure | None:
    """Give the steady amps that the supplies on a breaker may draw [A]; nothing if not known.

    All of its rating, where the region has no rule for a share or that was put aside.
    """
    amps = breaker_amps(breaker)
    if amps is None:
        return None
    rating = given("breaker", amps, "A", "choice")
    ruled = rule(job, "circuit-share")
    if ruled is None or ruled.limit is None:
        return rating
    share = given("circuit share", ruled.limit, "%", "rule")
    return derived_exactly("circuit amps", "A", share_of_breaker, "", rating, share)


@works_out("circuit amps")
def share_of_breaker(rating: Decimal, share: Decimal) -> float:
    """Give the steady amps that a share [%] of a breaker's rating [A] is."""
    return float(rating * share / _PERCENT)


def _efficiency(job: Job, part: SupplyPart) -> Figure:
    if part.efficiency:
        return given("efficiency", part.efficiency, "%", "part", part.id)
    if part.watts > _BIG_WATTS:
        return _by_rule(job, "efficiency", "%", "efficiency")
    rating = given("rating", part.watts, "W", "part", part.id)
    return derived("efficiency", "%", least_efficiency, part.id, rating)


@works_out("least efficiency")
def least_efficiency(rating: float) -> float:
    """Give the least efficiency that a supply of up to 49 rated watts [W] may have [%].

    Regulation (EU) 2019/1782, Annex II, active mode; below 1 W it is taken as at 1 W.
    """
    watts = max(rating, 1.0)
    return _PERCENT * (_PER_LOG_WATT * log(watts) + _PER_WATT * watts + _AT_ONE_WATT)


def _standby(job: Job, part: SupplyPart) -> Figure:
    if part.standby_watts is not None:
        return given("standby", part.standby_watts, "W", "part", part.id)
    return _by_rule(job, "standby", "W", "standby" if part.watts > _BIG_WATTS else "standby-small")


def _power_factor(part: SupplyPart) -> Figure:
    if part.power_factor:
        return given("power factor", part.power_factor, "1", "part", part.id)
    rating = given("rating", part.watts, "W", "part", part.id)
    return derived_exactly("power factor", "1", usual_power_factor, part.id, rating)


@works_out("usual power factor")
def usual_power_factor(rating: Decimal) -> Decimal:
    """Give the power factor a supply of so many rated watts [W] usually has."""
    return _BIG_FACTOR if rating > _CLASS_C_WATTS else _SMALL_FACTOR


def _by_inrush(supply_id: str, part: SupplyPart, breaker: Breaker) -> Figure | None:
    share = breaker_share(breaker)
    if part.on_c16 is None or share is None:
        return None
    most = given("on a C16", part.on_c16, "1", "part", part.id)
    relative = given("breaker share", share, "%", "breaker share")
    return derived_exactly("by inrush", "1", count_by_inrush, supply_id, most, relative)


@works_out("by inrush")
def count_by_inrush(on_c16: int, share: Decimal) -> int:
    """Count those that go on a breaker which takes a share [%] of what a C16 takes."""
    return floor(on_c16 * share / _PERCENT)


def _by_amps(job: Job, amps: Figure, breaker: Breaker) -> Figure | None:
    may = circuit_amps(job, breaker)
    if may is None or not float(amps.value):
        return None
    return derived("by amps", "1", count_by_amps, amps.about, may, amps)


@works_out("by amps")
def count_by_amps(may: float, each: float) -> int:
    """Count the supplies, drawing so much each, that draw no more than they may [A]."""
    return floor(may / each + _ROUNDING)


def _energy(supply_id: str, allowances: Allowances, taken: Figure, standby: Figure) -> Figure:
    hours = given("hours a day", allowances.hours_a_day, "h", "allowance")
    days = given("days a year", allowances.days_a_year, "1", "allowance")
    return derived("energy", "kWh", energy_a_year, supply_id, taken, hours, days, standby)


@works_out("energy")
def energy_a_year(taken: float, hours: float, days: float, standby: float) -> float:
    """Give what a supply takes a year [kWh]: its watts while lit, else those of standby."""
    lit = hours * days
    dark = max(_HOURS_A_YEAR - lit, 0.0)
    return (taken * lit + standby * dark) / 1000


def _cost(supply_id: str, allowances: Allowances, energy: Figure) -> Figure | None:
    if allowances.price_per_kwh is None:
        return None
    price = given("price a kWh", allowances.price_per_kwh, "1", "allowance")
    return derived_exactly("cost", "1", cost_a_year, supply_id, energy, price)


@works_out("cost")
def cost_a_year(energy: float, price: Decimal) -> Decimal:
    """Give what so many kWh cost, to the hundredth of the money of their price."""
    return (Decimal(energy) * price).quantize(_CENT)


def _by_rule(job: Job, name: str, unit: str, rule_id: str) -> Figure:
    """Give what a rule says as a default; putting the rule aside leaves its own figure."""
    ruled = rule(job, rule_id)
    assert ruled is not None, f"every region has {rule_id}"
    limit = ruled.limit or ruled.rule.limit
    assert limit, f"{rule_id} says how much"
    return given(name, limit, unit, "rule")

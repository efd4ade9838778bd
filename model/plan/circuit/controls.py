"""Control: what is switched together, and what each channel of each dimmer carries."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Supply, Zone
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Dimmer, Strip, Switch
from pelmet.model.plan.bars.feed_points import fed_by
from pelmet.model.plan.circuit.legs import LegCircuit, total
from pelmet.model.plan.circuit.supplies import SupplyBudget, watts_drawn
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.rules import rule

# IEEE Std 1789-2015, Practice 1, from memory: light that goes fully off and on is low risk where
# 0.08 x hertz is 100 % or more.
LOW_RISK_HERTZ: Final = Decimal(1250)


class ZoneControl(NamedTuple):
    """What is switched together: the watts [W] and direct-current amps [A] of its legs at full.

    ``through`` is what goes through its switch [A], inrush aside: on the low-voltage side the amps
    of its legs, on the mains side those of all its supplies; nothing if they are not known.
    """

    zone: Zone
    switch: Switch | None
    legs: tuple[str, ...]
    supplies: tuple[str, ...]
    watts: Figure
    amps: Figure | None
    through: Figure | None

    @property
    def figures(self) -> Iterator[Figure]:
        """What was worked out of the zone."""
        yield self.watts
        yield from dict.fromkeys(figure for figure in (self.amps, self.through) if figure)


class DimmerChannel(NamedTuple):
    """One channel of a dimmer: the leg or, on the mains side, the supply it feeds, and its amps.

    ``amps`` flow while the light is on: pulses make less light on average, not less amps.
    """

    feeds: str
    amps: Figure | None


class DimmerLoad(NamedTuple):
    """One dimmer: the channels used of it, and the watts they get at full [W].

    A low-voltage one stands after its supply, and feeds legs; a mains one before it. ``least`` is
    what it has to work with at least: cold strip at the end of a long cable takes less than rated.
    """

    part: Dimmer
    supply: str
    zone: str | None
    channels: tuple[DimmerChannel, ...]
    watts: Figure
    least: Figure

    @property
    def feeds(self) -> tuple[str, ...]:
        """The legs or the supply it feeds, each once."""
        return tuple(dict.fromkeys(channel.feeds for channel in self.channels))

    @property
    def figures(self) -> Iterator[Figure]:
        """What was worked out of the dimmer."""
        yield from dict.fromkeys(channel.amps for channel in self.channels if channel.amps)
        yield self.watts
        yield self.least


class Controls(NamedTuple):
    """Every zone, in the order of the job, and every dimmer that is needed."""

    zones: tuple[ZoneControl, ...]
    dimmers: tuple[DimmerLoad, ...]

    @property
    def figures(self) -> Iterator[Figure]:
        """What was worked out of zones and dimmers."""
        for zone in self.zones:
            yield from zone.figures
        for load in self.dimmers:
            yield from load.figures


def control_zones(
    job: Job, parts: Catalogue, legs: Sequence[LegCircuit], supplies: Sequence[SupplyBudget]
) -> Controls:
    """Work out every zone and dimmer of a job.

    A dimmer named on the side of the supply that it is not made for is left out; the checks
    tell of it.
    """
    budgets = {budget.supply: budget for budget in supplies}
    zones = tuple(_zone(zone, parts, legs, budgets) for zone in job.zones)
    return Controls(zones, (*_before(job, parts, legs, budgets), *_after(job, parts, legs)))


def fed_strips(job: Job, parts: Catalogue, leg: str) -> tuple[tuple[str, Strip], ...]:
    """Give the runs that a leg feeds, from one end at least, each with its strip."""
    strips = {run.id: find_part(parts.strips, run.strip) for run in job.runs}
    found = ((run, strips[run]) for run in fed_by(job, leg))
    return tuple((run, strip) for run, strip in found if strip)


def mains_volts(job: Job) -> Decimal | None:
    """Give the mains volts of the region [V]; putting that rule aside takes none away."""
    known = rule(job, "mains-volts")
    return (known.limit or known.rule.limit) if known else None


def _zone(
    zone: Zone, parts: Catalogue, legs: Sequence[LegCircuit], budgets: Mapping[str, SupplyBudget]
) -> ZoneControl:
    own = [leg for leg in legs if leg.leg.zone == zone.id]
    supplies = tuple(dict.fromkeys(leg.leg.supply for leg in own))
    switch = find_part(parts.switches, zone.switch)
    watts = total("zone watts", "W", zone.id, [leg.watts for leg in own])
    amps = _all("zone amps", zone.id, [leg.amps for leg in own])
    through = amps if switch else None
    if switch and switch.side == "mains":
        mains = [budgets[supply].mains for supply in supplies]
        through = _all("switched amps", zone.id, [each and each.amps for each in mains])
    ids = tuple(leg.leg.id for leg in own)
    return ZoneControl(zone, switch, ids, supplies, watts, amps, through)


def _all(name: str, about: str, amps: Sequence[Figure | None]) -> Figure | None:
    """Add amps up, if there are any and all are known."""
    known = [each for each in amps if each]
    return total(name, "A", about, known) if len(known) == len(amps) > 0 else None


def _before(
    job: Job, parts: Catalogue, legs: Sequence[LegCircuit], budgets: Mapping[str, SupplyBudget]
) -> Iterator[DimmerLoad]:
    """Give the dimmer before each supply that has one: one channel, all that the supply takes."""
    for supply in job.supplies:
        part = find_part(parts.dimmers, supply.dimmer)
        if part is None or part.side != "mains":
            continue
        budget = budgets[supply.id]
        own = [leg for leg in legs if leg.leg.supply == supply.id]
        zones = {leg.leg.zone for leg in own}
        zone = zones.pop() if len(zones) == 1 else None
        channel = DimmerChannel(supply.id, budget.mains.amps if budget.mains else None)
        least = _least(parts, supply, own)
        yield DimmerLoad(part, supply.id, zone, (channel,), budget.load, least)


def _after(job: Job, parts: Catalogue, legs: Sequence[LegCircuit]) -> Iterator[DimmerLoad]:
    """Give the dimmers after the supplies.

    Legs of one zone share one of several channels, as long as one supply feeds them.
    """
    supplies = {supply.id: supply for supply in job.supplies}
    groups: dict[tuple[str, str, str], list[LegCircuit]] = defaultdict(list)
    for leg in legs:
        part = find_part(parts.dimmers, leg.leg.dimmer)
        if part and part.side == "low voltage":
            together = f"zone {leg.leg.zone}" if leg.leg.zone else leg.leg.id
            groups[together, leg.leg.supply, part.id].append(leg)
    for (_, supply, part_id), group in groups.items():
        part = find_part(parts.dimmers, part_id)
        assert part is not None, "legs are put together by a dimmer that is known"
        by_id = {leg.leg.id: leg for leg in group}
        shares = {leg_id: _channels(part, fed_strips(job, parts, leg_id)) for leg_id in by_id}
        wants = {leg_id: int(share.value) for leg_id, share in shares.items()}
        for unit in pack_dimmers(wants, part.channels):
            fed = [by_id[leg_id] for leg_id in dict.fromkeys(unit)]
            watts = total("dimmed watts", "W", fed[0].leg.id, [leg.watts for leg in fed])
            used = tuple(
                DimmerChannel(leg_id, _share(by_id[leg_id], shares[leg_id])) for leg_id in unit
            )
            least = _least(parts, supplies[supply], fed)
            yield DimmerLoad(part, supply, fed[0].leg.zone, used, watts, least)


def _least(parts: Catalogue, supply: Supply, legs: Sequence[LegCircuit]) -> Figure:
    """Give the least that legs take of their supply at full [W]: rated, or as they draw."""
    part = find_part(parts.supplies, supply.part)
    taken = []
    for leg in legs:
        if part is None or leg.least_amps is None:
            taken.append(leg.watts)
            continue
        volts = given("supply volts", part.volts, "V", "part", part.id)
        drawn = derived("drawn", "W", watts_drawn, leg.leg.id, volts, leg.least_amps)
        taken.append(derived("least load", "W", least_load, leg.leg.id, leg.watts, drawn))
    return total("least load", "W", supply.id, taken)


@works_out("least load")
def least_load(rated: float, drawn: float) -> float:
    """Give the least a leg takes [W]: the smaller of what it is rated at and draws."""
    return min(rated, drawn)


def _channels(part: Dimmer, fed: Sequence[tuple[str, Strip]]) -> Figure:
    """Give the channels a leg takes of a dimmer: two for tunable white, if it has two."""
    most = max((strip for _, strip in fed), key=lambda strip: strip.channels, default=None)
    if most is None or most.channels > part.channels:
        return given("channels", 1, "1", "part", part.id)
    return given("channels", most.channels, "1", "part", most.id)


def _share(leg: LegCircuit, channels: Figure) -> Figure | None:
    if leg.amps is None:
        return None
    return derived("channel amps", "A", channel_amps, leg.leg.id, leg.amps, channels)


@works_out("channel amps")
def channel_amps(leg: float, channels: float) -> float:
    """Give what flows through each of a leg's channels while it is on [A]."""
    return leg / channels


def pack_dimmers(wants: Mapping[str, int], channels: int) -> list[list[str]]:
    """Put legs on the fewest dimmers of so many channels: for each the leg of each channel used.

    ``wants`` are the channels that each leg wants, none more than a dimmer has: they stay on one.

    >>> packed({"L1": 1, "L2": 2, "L3": 1}, 3)
    [['L1', 'L2', 'L2'], ['L3']]
    """
    units: list[list[str]] = []
    # Those that want two go first: then the fewest dimmers are needed.
    for leg in sorted(wants, key=lambda each: -wants[each]):
        piece = [leg] * wants[leg]
        free = next((unit for unit in units if len(unit) + len(piece) <= channels), None)
        if free is None:
            units.append(piece)
        else:
            free += piece
    place = {leg: at for at, leg in enumerate(wants)}
    ordered = (sorted(unit, key=place.__getitem__) for unit in units)
    return sorted(ordered, key=lambda unit: place[unit[0]])

"""Checks on supplies: what they carry, the air they stand in, their terminals and their breaker."""

from collections.abc import Collection, Iterator, Sequence
from fractions import Fraction
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Breaker, Supply
from pelmet.model.job.parts import SupplyPart
from pelmet.model.job.rule_tables import breaker_amps
from pelmet.model.plan.circuit.mains import Mains, circuit_amps
from pelmet.model.plan.circuit.supplies import SupplyBudget
from pelmet.model.plan.circuit.terminals import blocks_of, starts_of
from pelmet.model.plan.circuit.worst import when
from pelmet.model.plan.finding import Finding, Level, said
from pelmet.model.plan.formulas import BREAKERS, PARTS, Source
from pelmet.model.plan.measures import celsius_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.rules import rule, rule_source

_ROUNDING: Final = 1e-9  # watts and amps are sums of floats; a load that is just met is met
_LOADING: Final = Source(
    "common practice; no general standard asks for it, the supply's own sheet wins",
    "common practice",
)
_RATING: Final = Source("the breaker's own rating", "said")


def supply_overloaded(plan: Plan) -> Iterator[Finding]:
    """The load is over the share of what it gives that may be used, or over all it gives."""
    for budget, _, part in _known(plan):
        if budget.derated is None or budget.usable is None or _too_hot(plan, part):
            continue
        load, gives = float(budget.load.value), float(budget.derated.value)
        usable = float(budget.usable.value)
        if load <= usable + _ROUNDING:
            continue
        over = load > gives + _ROUNDING
        hot = plan.job.allowances.supply_celsius
        warm = (
            f"it gives {said(gives)} W in air of {celsius_said(said(hot), plan.job.site)}, "
            f"rated {said(part.watts)} W"
            if gives < float(part.watts)
            else f"it is rated {said(part.watts)} W"
        )
        yield Finding(
            "stop" if over else "warn",
            "supply-overloaded",
            "supply",
            budget.supply,
            "part",
            f"{budget.supply} is asked for {said(load)} W{when(budget.load)}; "
            + (warm if over else f"{said(usable)} W may be used"),
            "choose a bigger supply, or put legs on a second one (never join their outputs)",
            _LOADING,
        )


def supply_too_hot(plan: Plan) -> Iterator[Finding]:
    """The air round a supply is warmer than it may be used in."""
    for budget, _, part in _known(plan):
        if _too_hot(plan, part):
            air = plan.job.allowances.supply_celsius
            now, most = (
                celsius_said(said(each), plan.job.site) for each in (air, part.highest_celsius)
            )
            yield Finding(
                "stop",
                "supply-too-hot",
                "supply",
                budget.supply,
                "place",
                f"the air at {budget.supply} is {now}; {part.id} is not to be used above {most}",
                "put it where there is cooler air, or choose a supply for warmer air",
                PARTS,
            )


def terminals_short(plan: Plan) -> Iterator[Finding]:
    """More cables leave a supply than it has terminals for: some of them share a block."""
    for starts in starts_of(plan.job, plan.parts, plan.routes, plan.circuits.legs):
        block = starts.block
        if block is None:
            continue
        made = (
            f"{' '.join(block.cables)} start in a block of {block.connector.id} at terminal "
            f"{block.terminal}"
            if block.connector
            else "no connector of three ways or more is in the catalogue"
        )
        yield Finding(
            "warn",
            "terminals-short",
            "supply",
            starts.supply,
            "part",
            f"{len(starts.cables)} cables leave {starts.supply}; it has {starts.terminals} "
            f"output terminals: {made}",
            "branch runs off one cable, choose a supply with more terminals, or keep room for the "
            "block",
            PARTS,
        )


def block_over_amps(plan: Plan) -> Iterator[Finding]:
    """The block at a supply carries more than its connectors may."""
    for block in blocks_of(plan.job, plan.parts, plan.routes, plan.circuits.legs):
        connector, amps = block.connector, block.amps
        if connector is None or amps is None or float(amps.value) <= float(connector.amps):
            continue
        yield Finding(
            "stop",
            "block-over-amps",
            "supply",
            block.supply,
            "part",
            f"the block at {block.supply} carries {float(amps.value):.2f} A{when(amps)}; "
            f"{connector.id} may carry {said(connector.amps)} A",
            "choose a supply with more terminals, or put legs on another supply",
            PARTS,
        )


def breaker_trips(plan: Plan) -> Iterator[Finding]:
    """More supplies of one circuit than its breaker takes at the moment of switching on."""
    for on in _circuits(plan):
        taken = {
            each.supply.id: int(each.mains.by_inrush.value) for each in on if each.mains.by_inrush
        }
        if _no_room(taken.values()):
            fewest = ", ".join(f"{count} like {supply_id}" for supply_id, count in taken.items())
            yield _full(
                on, "warn", f"switched on together they may trip it; it takes {fewest}", BREAKERS
            )


def breaker_overloaded(plan: Plan) -> Iterator[Finding]:
    """The supplies of one circuit draw more steady amps than its breaker may carry.

    Over its own rating it trips; over a share of that which nobody has looked up is only told.
    """
    for on in _circuits(plan):
        weakest = min((each.supply.breaker for each in on), key=_rating)
        limit = circuit_amps(plan.job, weakest)
        ruled = rule(plan.job, "circuit-share")
        amps = sum(float(each.mains.amps.value) for each in on)
        if limit is None or amps <= float(limit.value) + _ROUNDING:
            continue
        trips = amps > _rating(weakest) + _ROUNDING
        known = ruled is not None and ruled.rule.standing == "confirmed"
        yield _full(
            on,
            "stop" if trips or known else "warn",
            f"{amps:.2f} A at full; it may carry {said(limit.value)} A",
            _RATING if trips or ruled is None else rule_source(ruled.rule),
        )


def _rating(breaker: Breaker) -> float:
    return float(breaker_amps(breaker) or 0)


class _SupplyMains(NamedTuple):
    supply: Supply
    mains: Mains


def _circuits(plan: Plan) -> Iterator[list[_SupplyMains]]:
    """Give the supplies of each circuit whose breaker is known; of no name, each by itself."""
    found: dict[str, list[_SupplyMains]] = {}
    for budget, supply, _ in _known(plan):
        if budget.mains and breaker_amps(supply.breaker) is not None:
            name = " ".join(supply.circuit.casefold().split())
            found.setdefault(name or f"\n{supply.id}", []).append(
                _SupplyMains(supply, budget.mains)
            )
    yield from found.values()


def _no_room(counts: Collection[int]) -> bool:
    """Say if supplies, of which so many each would go on a breaker alone, are too many for it."""
    return 0 in counts or sum(Fraction(1, count) for count in counts) > 1


def _full(on: Sequence[_SupplyMains], level: Level, says: str, source: Source) -> Finding:
    first = on[0].supply
    breakers = " or ".join(dict.fromkeys(each.supply.breaker for each in on))
    where = f"circuit {first.circuit}" if first.circuit else "the circuit"
    return Finding(
        level,
        "breaker-full",
        "supply",
        first.id,
        "circuit",
        f"{' '.join(each.supply.id for each in on)} on {where}, breaker {breakers}: {says}",
        "ask the licensed person for another circuit, or choose supplies that take less",
        source,
    )


def _known(plan: Plan) -> Iterator[tuple[SupplyBudget, Supply, SupplyPart]]:
    """Give every supply whose part is known, with its budget."""
    for supply, budget in zip(plan.job.supplies, plan.supplies, strict=True):
        part = find_part(plan.parts.supplies, supply.part)
        if part:
            yield budget, supply, part


def _too_hot(plan: Plan, part: SupplyPart) -> bool:
    return plan.job.allowances.supply_celsius > part.highest_celsius


CHECKS = (
    supply_overloaded,
    supply_too_hot,
    terminals_short,
    block_over_amps,
    breaker_trips,
    breaker_overloaded,
)

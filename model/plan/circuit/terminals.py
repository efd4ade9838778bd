"""Which terminal of its supply each cable starts in, and the block for those that find none.

A terminal is a pair, + and -, and takes one cable. Where more cables start at a supply than it has
terminals, the last of these feeds a block of lever connectors, one on each pole (or more, side by
side), which the cables that are left start in.
"""

from collections.abc import Iterator, Sequence
from math import ceil
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Leg, Supply
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Connector
from pelmet.model.plan.circuit.legs import LegCircuit, total
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.ways.routes import Routes

_THREE_WAY: Final = 3  # what joins the fewest cables to a terminal
_IN_AND_ON: Final = 2  # ways that connectors side by side take of each other


class Start(NamedTuple):
    """The terminal that a cable starts in, counted from 1; ``way`` is its way of the block there.

    ``way`` is nothing where it has the terminal to itself.
    """

    cable: str
    leg: str
    terminal: int
    way: int | None


class SupplyBlock(NamedTuple):
    """A block at a terminal of a supply, for several cables: ``each`` connectors on every pole.

    ``connector`` is nothing where the catalogue has none of three ways; ``amps`` is what it
    carries, nothing while that is not known.
    """

    supply: str
    terminal: int
    cables: tuple[str, ...]
    cores: int
    connector: Connector | None
    each: int
    amps: Figure | None

    @property
    def id(self) -> str:
        """What it is called on papers and on its label."""
        return f"{self.supply} block"


class Starts(NamedTuple):
    """Where the cables of a supply start: of each its terminal, and the block if there is one."""

    supply: str
    terminals: int | None
    cables: tuple[Start, ...]
    block: SupplyBlock | None

    def of_leg(self, leg: str) -> tuple[Start, ...]:
        """Give those of one leg."""
        return tuple(each for each in self.cables if each.leg == leg)


def leads_at_supply(routes: Routes, leg: Leg) -> tuple[str, ...]:
    """Give the cables of a leg that start at its supply."""
    return tuple(lead.id for lead in routes.leads_of(leg.id) if lead.before is None)


def cables_at_supply(routes: Routes, leg: Leg) -> tuple[str, ...]:
    """Give what starts at the supply of a leg: its cables, or while it feeds nothing the leg."""
    return leads_at_supply(routes, leg) or (leg.id,)


def starts_of(
    job: Job, parts: Catalogue, routes: Routes, legs: Sequence[LegCircuit]
) -> tuple[Starts, ...]:
    """Give where the cables of every supply start, in the order of the job."""
    return tuple(_starts(job, parts, routes, legs, supply) for supply in job.supplies)


def blocks_of(
    job: Job, parts: Catalogue, routes: Routes, legs: Sequence[LegCircuit]
) -> Iterator[SupplyBlock]:
    """Give the blocks that supplies need."""
    for starts in starts_of(job, parts, routes, legs):
        if starts.block:
            yield starts.block


def _starts(
    job: Job, parts: Catalogue, routes: Routes, legs: Sequence[LegCircuit], supply: Supply
) -> Starts:
    part = find_part(parts.supplies, supply.part)
    own = [leg for leg in job.legs if leg.supply == supply.id]
    cables = [(cable, leg) for leg in own for cable in cables_at_supply(routes, leg)]
    if part is None or len(cables) <= part.terminals:
        alone = (Start(cable, leg.id, at, None) for at, (cable, leg) in enumerate(cables, 1))
        return Starts(supply.id, part.terminals if part else None, tuple(alone), None)
    last = part.terminals
    shared = cables[last - 1 :]
    starts = [
        Start(cable, leg.id, at, None) for at, (cable, leg) in enumerate(cables[: last - 1], 1)
    ]
    starts += [Start(cable, leg.id, last, way) for way, (cable, leg) in enumerate(shared, 1)]
    amps = {flow.cable: flow.amps for leg in legs for flow in leg.flows}
    names = tuple(cable for cable, _ in shared)
    known = [amps[name] for name in names if name in amps]
    cores = [cable.cores for _, leg in shared if (cable := find_part(parts.cables, leg.cable))]
    connector, each = _connectors(parts, len(shared) + 1)
    carried = total("block amps", "A", supply.id, known) if len(known) == len(names) else None
    block = SupplyBlock(supply.id, last, names, max(cores, default=2), connector, each, carried)
    return Starts(supply.id, part.terminals, tuple(starts), block)


def _connectors(parts: Catalogue, ways: int) -> tuple[Connector | None, int]:
    """Give the connector of a pole that has so many ways, and how many of it side by side."""
    known = sorted(
        (each for each in parts.connectors if each.ways >= _THREE_WAY), key=lambda each: each.ways
    )
    if not known:
        return None, 0
    enough = next((each for each in known if each.ways >= ways), None)
    if enough:
        return enough, 1
    return known[-1], ceil((ways - _IN_AND_ON) / (known[-1].ways - _IN_AND_ON))

"""Cables as they are wired: part, cores, marks and joints of each, and what protects it."""

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Leg, Supply
from pelmet.model.job.parts import Cable as CablePart
from pelmet.model.job.parts import SupplyPart
from pelmet.model.plan.circuit.protection import Joint, Protection, joints, section_mm2
from pelmet.model.plan.circuit.sources import label_words
from pelmet.model.plan.circuit.terminals import Starts, SupplyBlock, cables_at_supply, starts_of
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.routes import Routes
from pelmet.model.told.figures import length_text

_MADE: Final = {1: "solid", 2: "stranded", 5: "flexible"}  # by class of IEC 60228
POLES: Final = ("+", "-")
WHITES: Final = ("common", "warm", "cool")  # tunable white: which pole is common, its strip says


class Wires(NamedTuple):
    """What every cable is told with."""

    plan: Plan
    joints: Mapping[tuple[str, str], Joint]
    legs: Mapping[str, Leg]
    guards: Mapping[str, Protection]
    amps: Mapping[str, Figure]
    starts: Mapping[str, Starts]

    def part(self, cable: Cable) -> CablePart | None:
        """Give the part a cable is cut from."""
        leg = self.legs.get(cable.leg or "")
        return find_part(self.plan.parts.cables, leg.cable) if leg else None

    def supply(self, leg: Leg) -> SupplyPart | None:
        """Give the part of a leg's supply."""
        supply = next(one for one in self.plan.job.supplies if one.id == leg.supply)
        return find_part(self.plan.parts.supplies, supply.part)

    def bared(self, mm: Decimal) -> str:
        """Print how much of a core is bared [mm], without its unit."""
        return length_text(mm, self.plan.job.site, bare=True)


def cables_of(plan: Plan) -> tuple[Cable, ...]:
    """Give every cable, those of unknown length too: leads, then links."""
    links = (link.cable for link in plan.routes.links)
    return (*plan.routes.leads, *(cable for cable in links if cable))


def wires_of(plan: Plan) -> Wires:
    """Gather what cables are told with, each by its cable or its leg."""
    made = joints(plan.parts, plan.routes, plan.circuits.legs)
    return Wires(
        plan,
        {(joint.cable, joint.end): joint for joint in made},
        {leg.id: leg for leg in plan.job.legs},
        {guard.leg.id: guard for guard in plan.protections},
        {flow.cable: flow.amps for leg in plan.circuits.legs for flow in leg.flows},
        {
            each.supply: each
            for each in starts_of(plan.job, plan.parts, plan.routes, plan.circuits.legs)
        },
    )


def label_lines(supplies: Iterable[Supply], plan: Plan) -> Iterator[str]:
    """Say what the label of each supply says of its output: how much, and how it is kept apart."""
    for supply in supplies:
        part = find_part(plan.parts.supplies, supply.part)
        if part:
            yield f"{supply.id}, output by its label: {label_words(part)}."


def block_words(block: SupplyBlock) -> str:
    """Say how a block is made, and what starts in it."""
    if block.connector is None:
        made = "the catalogue has no connector of three ways or more"
    else:
        beside = f", {block.each} side by side a pole" if block.each > 1 else ""
        made = f"{block.each * block.cores} x {block.connector.id}{beside}"
    return f"{block.id}, at its terminal {block.terminal}: {made}; for {' '.join(block.cables)}"


def size_words(part: CablePart) -> str:
    """Say how many cores a cable has, of which size, and how they are made."""
    if part.awg is not None:
        made = f"{part.awg} AWG {'solid' if part.solid else 'stranded'}"
    else:
        made = f"{section_mm2(part):g} mm2 {_MADE[part.conductor_class or 5]}"
    return f"{part.cores} x {made}"


def marks_of(part: CablePart | None) -> tuple[str, ...]:
    """Give what the cores of a cable are marked with, after its id."""
    return WHITES if part and part.cores == len(WHITES) else POLES


def protected_words(guard: Protection, routes: Routes) -> str:
    """Say what protects the cables of a leg from too many amps."""
    supply = guard.leg.supply
    several = len(cables_at_supply(routes, guard.leg)) > 1
    where = f"in the + conductor{' of each of its cables' if several else ''} at {supply}"
    fuse = f"a {guard.fuse.value:g} A fuse {where}" if guard.fuse else ""
    carries = f"the cable may carry {float(guard.carries.value):g} A" if guard.carries else ""
    match guard.by:
        case "limited source" if guard.source:
            most = f"it drives {float(guard.source.value):.2f} A at most"
            also = f"; {fuse} as well" if fuse else ""
            return f"protected by {supply}, a limited source: {most}, {carries}{also}"
        case "fuse":
            return f"protected by {fuse}; {carries}"
        case "nothing" if guard.needed:
            return f"protected by nothing yet: it needs a {guard.needed.value:g} A fuse; {carries}"
        case "nothing":
            return f"protected by nothing yet; {carries}"
        case _:
            return "protection not known: a part is not in the catalogue"

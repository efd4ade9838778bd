"""The wiring list: which conductor goes where at both ends of every cable, and what protects it."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Leg
from pelmet.model.job.parts import Cable as CablePart
from pelmet.model.job.parts import SupplyPart
from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.circuit.protection import Joint, Protection, joints, section_mm2
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.told.figures import as_cable, printed
from pelmet.model.told.words import labelled, wrapped

_INDENT: Final = 13
POLES: Final = ("+", "-")
WHITES: Final = ("common", "warm", "cool")  # tunable white: which pole is common, its strip says
_HEAD: Final = (
    "Leave every supply unplugged while its output is wired. Join like with like: + to +, - to -. "
    "Each conductor has its mark at both ends, the same text; its colour is only a hint."
)


class Wires(NamedTuple):
    """What every cable is told with."""

    plan: Plan
    joints: Mapping[tuple[str, str], Joint]
    legs: Mapping[str, Leg]
    guards: Mapping[str, Protection]
    amps: Mapping[str, Figure]

    @property
    def cables(self) -> tuple[Cable, ...]:
        """Every cable, those of unknown length too, in the order of the cable list."""
        links = (link.cable for link in self.plan.routes.links)
        return (*self.plan.routes.leads, *(cable for cable in links if cable))

    def part(self, cable: Cable) -> CablePart | None:
        """Give the part a cable is cut from."""
        leg = self.legs.get(cable.leg or "")
        return find_part(self.plan.parts.cables, leg.cable) if leg else None

    def supply(self, leg: Leg) -> SupplyPart | None:
        """Give the part of a leg's supply."""
        supply = next(one for one in self.plan.job.supplies if one.id == leg.supply)
        return find_part(self.plan.parts.supplies, supply.part)

    def length(self, millimetres: Decimal, *, bare: bool = False) -> str:
        """Print a length in the unit of the job, without the unit when ``bare``."""
        site = self.plan.job.site
        return print_length(millimetres, site.length_unit, site.inch_parts, bare=bare)


def wiring_list(plan: Plan) -> tuple[str, ...]:
    """Tell how every cable is wired: the mark of each conductor, both ends, joints, protection.

    Lines of at most 78 columns of ASCII; cables by the ids and in the order of the cable list.
    """
    site = wires_of(plan)
    if not site.cables:
        return ("no cables",)
    return (*wrapped(_HEAD), *(line for cable in site.cables for line in _cable(cable, site)))


def wires_of(plan: Plan) -> Wires:
    """Gather what cables are told with, each by its cable or its leg."""
    made = joints(plan.parts, plan.routes, plan.circuits.legs)
    return Wires(
        plan,
        {(joint.cable, joint.end): joint for joint in made},
        {leg.id: leg for leg in plan.job.legs},
        {guard.leg.id: guard for guard in plan.protections},
        {flow.cable: flow.amps for leg in plan.circuits.legs for flow in leg.flows},
    )


def _cable(cable: Cable, site: Wires) -> Iterator[str]:
    part, leg = site.part(cable), site.legs.get(cable.leg or "")
    chosen = leg.cable if leg else "part not chosen"
    unit = site.plan.job.site
    length = printed(as_cable(cable.length, unit), unit) if cable.length else "length unknown"
    size = f" ({size_words(part)})" if part else ""
    yield from wrapped(f"{cable.label}: {chosen}{size}, {length}", rest="  ")
    marks = ", ".join(f"{cable.id} {pole}" for pole in marks_of(part))
    yield from labelled("  marks", f"{marks}: the same at both ends", _INDENT)
    yield from labelled("  from", _start(cable, leg, site), _INDENT)
    yield from labelled("  to", _joint(cable, "end", cable.end, site), _INDENT)
    yield from labelled("  carries", _amps(site.amps.get(cable.id)), _INDENT)
    if leg:
        yield from labelled("  protected", protected_words(site.guards[leg.id], site), _INDENT)


def size_words(part: CablePart) -> str:
    """Say how many cores a cable has, and of which size."""
    gauge = f"{part.awg} AWG" if part.awg is not None else f"{section_mm2(part):g} mm2"
    return f"{part.cores} x {gauge}"


def marks_of(part: CablePart | None) -> tuple[str, ...]:
    """Give what the cores of a cable are marked with, after its id."""
    return WHITES if part and part.cores == len(WHITES) else POLES


def _amps(amps: Figure | None) -> str:
    return f"{float(amps.value):.2f} A" if amps else "not known yet"


def _start(cable: Cable, leg: Leg | None, site: Wires) -> str:
    if cable.before is not None:
        tee = site.joints.get((cable.before, "end"))
        bare = f"; bare {site.length(tee.connector.bare_wire)}" if tee and tee.connector else ""
        return f"{cable.origin}: like with like, in the joint at the end of {cable.before}{bare}"
    if leg is None or cable.origin != leg.supply:
        return _joint(cable, "start", cable.origin, site)
    part = site.supply(leg)
    bare = (
        f"bare {site.length(part.bare_wire)}"
        if part and part.bare_wire is not None
        else "bare as its label says"
    )
    like = _like(site.part(cable))
    if leg.dimmer:
        like = f"{_pairs(POLES)} into {leg.dimmer}, out of it {like}"
    return f"{leg.supply}: {like}; {bare}"


def _joint(cable: Cable, end: str, place: str, site: Wires) -> str:
    part, joint = site.part(cable), site.joints.get((cable.id, end))
    like = _like(part)
    if joint is None:
        return f"{place}: {like}"
    if joint.connector is None:
        return f"{place}: {like}; the catalogue has no {joint.ways}-way connector"
    count = joint.each * len(marks_of(part))
    each = "one" if joint.each == 1 else f"{joint.each} side by side"
    bare = site.length(joint.connector.bare_wire)
    return f"{place}: {like}; {count} x {joint.connector.id}, {each} a conductor; bare {bare}"


def _like(part: CablePart | None) -> str:
    """Say what is joined to what: conductors of one mark."""
    return _pairs(marks_of(part))


def _pairs(marks: Sequence[str]) -> str:
    return ", ".join(f"{mark} to {mark}" for mark in marks)


def protected_words(guard: Protection, site: Wires) -> str:
    """Say what protects the cables of a leg from too many amps."""
    supply = guard.leg.supply
    fuse = f"a {guard.fuse.value:g} A fuse in the + conductor at {supply}" if guard.fuse else ""
    carries = f"the cable may carry {float(guard.carries.value):g} A" if guard.carries else ""
    match guard.by:
        case "limited source" if guard.source:
            part = site.supply(guard.leg)
            read = ", its label not read" if part and part.limited == "not known" else ""
            full = f"{float(guard.source.value):.2f} A at full load{read}"
            also = f"; {fuse} as well" if fuse else ""
            return f"by {supply}, a limited source: {full}, {carries}{also}"
        case "fuse":
            return f"by {fuse}; {carries}"
        case "nothing" if guard.needed:
            return f"by nothing yet: it needs a {guard.needed.value:g} A fuse; {carries}"
        case "nothing":
            return f"by nothing yet; {carries}"
        case _:
            return "not known: a part is not in the catalogue"

"""The wiring schedule: every low-voltage cable with both its ends, every supply, and a diagram."""

from collections.abc import Iterator
from typing import Final

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Supply
from pelmet.model.order.folder import Folder
from pelmet.model.plan.circuit.legs import CableFlow, voltage_drop
from pelmet.model.plan.circuit.protection import CableEnd
from pelmet.model.plan.figure import derived, given
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.told.figures import as_cable, bare
from pelmet.model.told.paper import Block, Cautions, Grid, Heading, Picture, Points, Words
from pelmet.model.told.papers.one_line import KEY, draw_one_line
from pelmet.model.told.wiring_list import Wires, marks_of, protected_words, size_words, wires_of

_UNKNOWN: Final = "?"
_LABEL: Final = "label"  # of the supply: it says how much to bare
_UNPLUGGED: Final = "Leave every supply unplugged while its output is wired."
_APART: Final = "Never join the outputs of two supplies, not even for a moment and not one pole."
_POLARITY: Final = (
    "Mark polarity at both ends of every cable, and check it before anything is joined: like goes "
    "with like."
)


def wiring_paper(folder: Folder) -> tuple[Block, ...]:
    """Tell the wirer every cable and where its ends go, then the supplies, then all in one line."""
    plan = folder.plan
    wires = wires_of(plan)
    drawn = draw_one_line(plan)
    if not drawn and not wires.cables:
        return (Words("There is nothing to wire."),)
    cautions, fuses = tuple(_minded(wires)), tuple(_fuses(wires))
    return (
        *((Cautions(cautions),) if cautions else ()),
        *(_cables(wires) if wires.cables else (Words("There is no cable yet."),)),
        *((Heading("Fuses"), Points(fuses)) if fuses else ()),
        *(_supplies(plan) if plan.job.supplies else (Words("There is no supply yet."),)),
        *((Heading("One line"), Picture(drawn, KEY)) if drawn else ()),
    )


def _minded(wires: Wires) -> Iterator[str]:
    supplies = wires.plan.job.supplies
    if supplies:
        yield _UNPLUGGED
    if len(supplies) > 1:
        yield _APART
    if wires.cables:
        yield _POLARITY


def _cables(wires: Wires) -> Iterator[Block]:
    plan = wires.plan
    unit = f"[{plan.job.site.length_unit}]"
    flows = {flow.cable: flow for leg in plan.circuits.legs for flow in leg.flows}
    volts = _supply_volts(plan)
    ways = tuple(_way(cable, flows.get(cable.id), volts, wires) for cable in wires.cables)
    yield Heading("Cables")
    yield Grid(
        ("cable", "from", "to", "part", f"length {unit}", "A", "V after", "drop [%]", "assumed"),
        ways,
        frozenset({4, 5, 6, 7}),
        "wiring",
        frozenset({0}),
    )
    if any(_UNKNOWN in way for way in ways):
        yield Words(f"{_UNKNOWN} cannot be worked out yet.")
    terminals = _terminals(plan)
    yield Heading("Ends")
    yield Words(
        "Each core has its mark at both ends, the same text; its colour is only a hint. Like goes "
        "with like."
    )
    yield Grid(
        (
            "cable",
            "cores",
            "marks",
            "starts in",
            f"bare there {unit}",
            "ends in",
            f"bare at end {unit}",
        ),
        tuple(_ends(cable, terminals, wires) for cable in wires.cables),
        frozenset({4, 6}),
        "wiring-ends",
        frozenset({0}),
    )


def _supply_volts(plan: Plan) -> dict[str, float]:
    """Give the volts of each leg's supply whose part is known [V]."""
    parts = {one.id: find_part(plan.parts.supplies, one.part) for one in plan.job.supplies}
    return {leg.id: float(part.volts) for leg in plan.job.legs if (part := parts[leg.supply])}


def _terminals(plan: Plan) -> dict[str, int]:
    """Number the legs of each supply: a leg takes one terminal."""
    taken: dict[str, list[str]] = {}
    for leg in plan.job.legs:
        taken.setdefault(leg.supply, []).append(leg.id)
    return {leg: number for legs in taken.values() for number, leg in enumerate(legs, 1)}


def _way(
    cable: Cable, flow: CableFlow | None, volts: dict[str, float], wires: Wires
) -> tuple[str, ...]:
    site = wires.plan.job.site
    leg = wires.legs.get(cable.leg or "")
    amps, after, drop = _UNKNOWN, _UNKNOWN, _UNKNOWN
    assumed = {"length"} if cable.length and cable.length.assumed else set()
    if flow and leg:
        source = given("supply volts", volts[leg.id], "V", "part", leg.supply)
        lost = derived("drop", "%", voltage_drop, cable.id, source, flow.volts)
        amps, after, drop = (bare(each, site) for each in (flow.amps, flow.volts, lost))
        assumed |= {"A"} if flow.amps.assumed else set()
        assumed |= {"V"} if flow.volts.assumed else set()
    return (
        cable.id,
        cable.origin,
        cable.end,
        leg.cable if leg else "not chosen",
        bare(as_cable(cable.length, site), site) if cable.length else _UNKNOWN,
        amps,
        after,
        drop,
        ", ".join(each for each in ("length", "A", "V") if each in assumed),
    )


def _ends(cable: Cable, terminals: dict[str, int], wires: Wires) -> tuple[str, ...]:
    part = wires.part(cable)
    return (
        cable.id,
        size_words(part) if part else _UNKNOWN,
        ", ".join(f"{cable.id} {mark}" for mark in marks_of(part)),
        *_start(cable, terminals, wires),
        *_joint(cable, "end", wires),
    )


def _start(cable: Cable, terminals: dict[str, int], wires: Wires) -> tuple[str, str]:
    """Give what a cable starts in, and how much of its cores is bared."""
    leg = wires.legs.get(cable.leg or "")
    if cable.before is not None:
        tee = wires.joints.get((cable.before, "end"))
        bared = wires.length(tee.connector.bare_wire, bare=True) if tee and tee.connector else ""
        return f"the joint at the end of {cable.before}", bared
    if leg is None or cable.origin != leg.supply:
        return _joint(cable, "start", wires)
    part, number = wires.supply(leg), terminals[leg.id]
    over = f", of {part.terminals}" if part and number > part.terminals else ""
    through = f", through {leg.dimmer}" if leg.dimmer else ""
    said = part.bare_wire if part else None
    bared = wires.length(said, bare=True) if said is not None else _LABEL
    return f"{leg.supply} terminal {number}{over}{through}", bared


def _joint(cable: Cable, end: CableEnd, wires: Wires) -> tuple[str, str]:
    joint = wires.joints.get((cable.id, end))
    if joint is None:
        return "a joint", ""
    if joint.connector is None:
        return f"the catalogue has no {joint.ways}-way connector", ""
    count = joint.each * len(marks_of(wires.part(cable)))
    return f"{count} x {joint.connector.id}", wires.length(joint.connector.bare_wire, bare=True)


def _fuses(wires: Wires) -> Iterator[str]:
    """Say what legs have a fuse, or need one."""
    for guard in wires.guards.values():
        if guard.fuse or guard.by == "nothing":
            yield f"{guard.leg.id}: protected {protected_words(guard, wires)}"


def _supplies(plan: Plan) -> Iterator[Block]:
    yield Heading("Supplies")
    yield Words("A leg takes one terminal, + and -. The mains side is the electrician's.")
    yield Grid(
        ("supply", "part", "terminals", "taken", "free", "which"),
        tuple(_supply(supply, plan) for supply in plan.job.supplies),
        frozenset({2, 4}),
        "wiring-supplies",
        frozenset({0}),
    )


def _supply(supply: Supply, plan: Plan) -> tuple[str, ...]:
    part = find_part(plan.parts.supplies, supply.part)
    legs = [leg.id for leg in plan.job.legs if leg.supply == supply.id]
    taken = ", ".join(f"{number} {leg}" for number, leg in enumerate(legs, 1))
    if part is None:
        return (supply.id, supply.part, _UNKNOWN, taken, _UNKNOWN, "")
    free = range(len(legs) + 1, part.terminals + 1)
    which = " ".join(map(str, free))
    return (supply.id, supply.part, str(part.terminals), taken, str(len(free)), which)

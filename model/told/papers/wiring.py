"""The wiring schedule: every low-voltage cable with both its ends, every supply, and a diagram."""

from collections.abc import Iterator, Mapping, Sequence
from typing import Final, TypeAlias

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Supply
from pelmet.model.order.left import fitted_supplies
from pelmet.model.plan.circuit.legs import CableFlow, voltage_drop
from pelmet.model.plan.circuit.protection import CableEnd, Protection
from pelmet.model.plan.circuit.terminals import Start
from pelmet.model.plan.figure import derived, given
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.routes import Routes
from pelmet.model.told.blocks.one_line import KEY, draw_one_line
from pelmet.model.told.blocks.power import WORST
from pelmet.model.told.blocks.two_kinds import Telling, done_words, told_apart
from pelmet.model.told.blocks.wires import (
    Wires,
    block_words,
    cables_of,
    label_lines,
    marks_of,
    protected_words,
    size_words,
    wires_of,
)
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.figures import as_cable, bare
from pelmet.model.told.paper import Block, Grid, Heading, Picture, Points, Words, points

_UNKNOWN: Final = "?"
_LABEL: Final = "label"  # of the supply: it says how much to bare
_Thing: TypeAlias = Cable | Supply


def wiring_paper(plan: Plan, telling: Telling = "apart") -> tuple[Block, ...]:
    """Tell the wirer every cable and where its ends go, then the supplies, then all in one line."""
    worst = (Words(WORST),) if plan.circuits.legs else ()
    return (*cautions_on(plan, "wiring"), *worst, *_told(plan, telling))


def wiring_blocks(plan: Plan) -> Iterator[Block]:
    """Tell every cable, its ends and what protects it, every supply, and draw all in one line."""
    return _told(plan, "as one")


def _told(plan: Plan, telling: Telling) -> Iterator[Block]:
    drawn, cables = draw_one_line(plan), cables_of(plan)
    if not drawn and not cables:
        yield Words("There is nothing to wire.")
        return
    wires, fitted = wires_of(plan), fitted_supplies(plan)
    laid = {each.cable: each for each in plan.job.laid}
    things: Sequence[_Thing] = (*cables, *plan.job.supplies)

    def is_built(thing: _Thing) -> bool:
        return thing.id in fitted if isinstance(thing, Supply) else thing.laid

    def blocks(some: Sequence[_Thing]) -> Iterator[Block]:
        yield from _things(some, wires, whole=len(some) == len(things))
        if telling != "as one":
            named = [(each.id, laid[each.id]) for each in some if each.id in laid]
            yield from points(done_words("laid", named))

    yield from told_apart(telling, things, is_built, blocks)
    if drawn:
        yield Heading("One line")
        yield Picture(drawn, plan.job.site.words.said(KEY))


def _things(things: Sequence[_Thing], wires: Wires, *, whole: bool) -> Iterator[Block]:
    """Tell cables, what protects their legs, and supplies; of the whole also what there is not."""
    cables = [each for each in things if isinstance(each, Cable)]
    supplies = [each for each in things if isinstance(each, Supply)]
    if cables:
        yield from _cables(cables, wires)
    elif whole:
        yield Words("There is no cable yet.")
    legs = {cable.leg for cable in cables}
    guards = {leg: guard for leg, guard in wires.guards.items() if whole or leg in legs}
    if guards:
        yield Heading("Protection")
        yield Points(tuple(_protected(guards, wires.plan.routes)))
    if supplies:
        yield from _supplies(supplies, wires)
    elif whole:
        yield Words("There is no supply yet.")


def _cables(cables: Sequence[Cable], wires: Wires) -> Iterator[Block]:
    plan = wires.plan
    unit = f"[{plan.job.site.length_unit}]"
    flows = {flow.cable: flow for leg in plan.circuits.legs for flow in leg.flows}
    volts = _supply_volts(plan)
    ways = tuple(_way(cable, flows.get(cable.id), volts, wires) for cable in cables)
    yield Heading("Cables")
    head = (
        "cable",
        "from",
        "to",
        "part",
        f"length {unit}",
        "A",
        "lowest V after",
        "drop [%]",
        "assumed",
    )
    yield Grid(head, ways, frozenset({4, 5, 6, 7}), "wiring", frozenset({0}))
    if any(_UNKNOWN in way for way in ways):
        yield Words(f"{_UNKNOWN} cannot be worked out yet.")
    starts = {each.cable: each for one in wires.starts.values() for each in one.cables}
    yield Heading("Ends")
    yield Words(
        "Each core has its mark at both ends, the same text; its "
        f"{plan.job.site.words.colour} is only a hint."
    )
    ends = tuple(_ends(cable, starts, wires) for cable in cables)
    ends_head = ("cable", "cores", "marks", "starts in", f"bare there {unit}", "ends in",
                 f"bare at end {unit}")  # fmt: skip
    yield Grid(ends_head, ends, frozenset({4, 6}), "wiring-ends", frozenset({0}))


def _supply_volts(plan: Plan) -> dict[str, float]:
    """Give the volts of each leg's supply whose part is known [V]."""
    parts = {one.id: find_part(plan.parts.supplies, one.part) for one in plan.job.supplies}
    return {leg.id: float(part.volts) for leg in plan.job.legs if (part := parts[leg.supply])}


def _way(
    cable: Cable, flow: CableFlow | None, volts: dict[str, float], wires: Wires
) -> tuple[str, ...]:
    site = wires.plan.job.site
    leg = wires.legs.get(cable.leg or "")
    amps, after, drop = (_UNKNOWN,) * 3
    assumed = {"length"} if cable.length and cable.length.assumed else set()
    if flow and leg:
        source = given("supply volts", volts[leg.id], "V", "part", leg.supply)
        fallen = derived("drop", "%", voltage_drop, cable.id, source, flow.volts)
        amps, after, drop = (bare(each, site) for each in (flow.amps, flow.volts, fallen))
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


def _ends(cable: Cable, starts: Mapping[str, Start], wires: Wires) -> tuple[str, ...]:
    part = wires.part(cable)
    return (
        cable.id,
        size_words(part) if part else _UNKNOWN,
        ", ".join(f"{cable.id} {mark}" for mark in marks_of(part)),
        *_start(cable, starts, wires),
        *_joint(cable, "end", wires),
    )


def _start(cable: Cable, starts: Mapping[str, Start], wires: Wires) -> tuple[str, str]:
    """Give what a cable starts in, and how much of its cores is bared."""
    leg = wires.legs.get(cable.leg or "")
    if cable.before is not None:
        tee = wires.joints.get((cable.before, "end"))
        bared = wires.bared(tee.connector.bare_wire) if tee and tee.connector else ""
        return f"the joint at the end of {cable.before}", bared
    if leg is None or cable.origin != leg.supply:
        return _joint(cable, "start", wires)
    part, start = wires.supply(leg), starts[cable.id]
    through = f", through {leg.dimmer}" if leg.dimmer else ""
    said = part.bare_wire if part else None
    bared = _LABEL if said is None else wires.bared(said)
    if start.way is None:
        return f"{leg.supply} terminal {start.terminal}{through}", bared
    block = wires.starts[leg.supply].block
    bare = block.connector.bare_wire if block and block.connector else None
    return f"{leg.supply} block, way {start.way}{through}", wires.bared(bare) if bare else ""


def _joint(cable: Cable, end: CableEnd, wires: Wires) -> tuple[str, str]:
    joint = wires.joints.get((cable.id, end))
    if joint is None:
        return "a joint", ""
    if joint.connector is None:
        return f"the catalogue has no {joint.ways}-way connector", ""
    count = joint.each * len(marks_of(wires.part(cable)))
    beside = f", {joint.each} side by side a core" if joint.each > 1 else ""
    return f"{count} x {joint.connector.id}{beside}", wires.bared(joint.connector.bare_wire)


def _protected(guards: Mapping[str, Protection], routes: Routes) -> Iterator[str]:
    """Say what protects the cables of each leg, once for those it is the same for."""
    legs: dict[str, list[str]] = {}
    for leg, guard in guards.items():
        legs.setdefault(protected_words(guard, routes), []).append(leg)
    return (f"{' '.join(own)}: {words}" for words, own in legs.items())


def _supplies(supplies: Sequence[Supply], wires: Wires) -> Iterator[Block]:
    yield Heading("Supplies")
    yield Words(
        "A cable takes one terminal, + and -. The "
        f"{wires.plan.job.site.words.of_mains} side is the electrician's."
    )
    yield Grid(
        ("supply", "part", "terminals", "taken", "free", "which"),
        tuple(_supply(supply, wires) for supply in supplies),
        frozenset({2, 4}),
        "wiring-supplies",
        frozenset({0}),
    )
    yield from points((*_blocks(supplies, wires), *label_lines(supplies, wires.plan)))


def _blocks(supplies: Sequence[Supply], wires: Wires) -> Iterator[str]:
    """Say how the block of a supply is made, and what starts in it."""
    for supply in supplies:
        block = wires.starts[supply.id].block
        if block:
            yield f"{block_words(block)}."


def _supply(supply: Supply, wires: Wires) -> tuple[str, ...]:
    part = find_part(wires.plan.parts.supplies, supply.part)
    starts = wires.starts[supply.id]
    alone = [f"{each.terminal} {each.cable}" for each in starts.cables if each.way is None]
    taken = ", ".join((*alone, *([f"{starts.block.terminal} block"] if starts.block else ())))
    if part is None:
        return (supply.id, supply.part, _UNKNOWN, taken, _UNKNOWN, "")
    free = range(len(starts.cables) + 1, part.terminals + 1)
    which = " ".join(map(str, free))
    return (supply.id, supply.part, str(part.terminals), taken, str(len(free)), which)

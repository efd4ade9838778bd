"""Checks on what cables, fuses, joints and terminals may carry."""

from collections.abc import Iterator

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Leg
from pelmet.model.job.parts import Connector, SupplyPart
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.circuit.protection import (
    Joint,
    Protection,
    Takes,
    cord_row,
    heaviest_amps,
    limited_to,
    section_mm2,
    steady_amps,
)
from pelmet.model.plan.circuit.sources import full_load, is_class_2, is_selv, overload
from pelmet.model.plan.circuit.worst import when
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.formulas import PARTS, Source
from pelmet.model.plan.result import Plan
from pelmet.model.plan.rules import rule_source

_CABLE = Source(
    "common practice: a cable is protected by a source that cannot overload it, or by a fuse",
    "common practice",
)
_FUSE = Source("fuse makers' common guide, at 25 C", "common practice")


# Cables and fuses


def cable_over_amps(plan: Plan) -> Iterator[Finding]:
    """A cable carries more than it may, by its own figure or the region's for cords."""
    for guard, circuit in _guarded(plan):
        amps, carries = heaviest_amps(circuit), guard.carries
        if amps is None or carries is None or float(amps.value) <= float(carries.value):
            continue
        yield Finding(
            "stop",
            "cable-over-amps",
            "leg",
            guard.leg.id,
            "cable",
            f"a cable of {guard.leg.id} carries {float(amps.value):.2f} A{when(amps)}; "
            f"{guard.leg.cable} may carry {_amps(carries.value)}",
            "split the leg, or choose a thicker cable",
            _carries_source(plan, guard),
        )


def _carries_source(plan: Plan, guard: Protection) -> Source:
    cable = find_part(plan.parts.cables, guard.leg.cable)
    row = cord_row(cable, plan.job.site.region) if cable else None
    return rule_source(row) if cable and row and row.amps < cable.amps else PARTS


def unprotected_cable(plan: Plan) -> Iterator[Finding]:
    """A supply can drive more than a leg's cable carries, and no fuse is chosen.

    Only a question where a label that is not read, or a sheet, may say that it cannot.
    """
    supplies = {supply.id: supply.part for supply in plan.job.supplies}
    for guard, circuit in _guarded(plan):
        if guard.by != "nothing" or guard.fuse is not None or guard.carries is None:
            continue
        part = find_part(plan.parts.supplies, supplies[guard.leg.supply])
        assert part is not None, "of an unknown part nothing is known"
        asks = _may_be_limited(plan, part, float(guard.carries.value))
        yield Finding(
            "ask" if asks else "stop",
            "unprotected-cable",
            "leg",
            guard.leg.id,
            "fuse",
            f"{_drives(guard, part)}; {guard.leg.cable} of {guard.leg.id} may carry "
            f"{_amps(guard.carries.value)}, and no fuse protects it",
            (f"say in its row what label and sheet of {part.id} say, or " if asks else "")
            + _fuse_to_fit(guard, circuit),
            _CABLE,
        )


def _may_be_limited(plan: Plan, part: SupplyPart, carries: float) -> bool:
    """Say if a label that nobody has read could say that a source cannot overload a cable."""
    if is_class_2(part) is not None or part.most_amps:
        return False
    most = overload(plan.job, part)
    return most is not None and limited_to(float(most.value), carries)


def _drives(guard: Protection, part: SupplyPart) -> str:
    """Say what a supply drives into a fault."""
    supply = guard.leg.supply
    if guard.source is not None:
        return f"{supply} drives up to {float(guard.source.value):.2f} A"
    if is_class_2(part) is False:
        return f"no label limits what {supply} drives into a fault"
    full = f"{supply} is rated {float(full_load(part).value):.2f} A"
    read = "; SELV limits no amps" if is_selv(part) else ""
    return f"{full}, and nobody has read what it drives into a fault{read}"


def fuse_too_big(plan: Plan) -> Iterator[Finding]:
    """A fuse of more amps than its cable carries: the cable would burn before it opens."""
    for guard, circuit in _guarded(plan):
        if guard.by != "nothing" or guard.fuse is None or guard.largest is None:
            continue
        yield Finding(
            "stop",
            "fuse-too-big",
            "leg",
            guard.leg.id,
            "fuse",
            f"a fuse of {_amps(guard.fuse.value)} does not protect {guard.leg.cable}: one of "
            f"{_amps(guard.largest.value)} is the most that does",
            _fuse_to_fit(guard, circuit),
            _CABLE,
        )


def _fuse_to_fit(guard: Protection, circuit: LegCircuit) -> str:
    """Say which fuse to fit, or what to do when none carries the leg and protects the cable."""
    if guard.needed is not None:
        return f"fit a {_amps(guard.needed.value)} fuse in the + conductor at {guard.leg.supply}"
    if circuit.amps is None:
        return "fit a fuse in the + conductor at the supply, of no more than the cable may carry"
    return (
        f"take a thicker cable, or split the leg: no standard fuse that carries its "
        f"{float(circuit.amps.value):.2f} A{when(circuit.amps)} protects this cable"
    )


def fuse_too_small(plan: Plan) -> Iterator[Finding]:
    """A leg draws more than its fuse may carry all the time, or more than its rating."""
    share = float(plan.job.allowances.fuse_share)
    for guard, circuit in _guarded(plan):
        if guard.fuse is None or circuit.amps is None:
            continue
        amps, fuse = float(circuit.amps.value), float(guard.fuse.value)
        steady = steady_amps(fuse, share)
        if amps <= steady:
            continue
        opens = amps > fuse
        may = "it opens" if opens else f"it may carry {steady:.2f} A all the time"
        yield Finding(
            "stop" if opens else "warn",
            "fuse-too-small",
            "leg",
            guard.leg.id,
            "fuse",
            f"{guard.leg.id} draws {amps:.2f} A{when(circuit.amps)} through a fuse of "
            f"{_amps(fuse)}: {may}",
            "take a bigger fuse, or none: the supply cannot overload this cable"
            if guard.by == "limited source"
            else _fuse_to_fit(guard, circuit),
            _FUSE,
        )


def _guarded(plan: Plan) -> Iterator[tuple[Protection, LegCircuit]]:
    yield from zip(plan.protections, plan.circuits.legs, strict=True)


def _amps(value: object) -> str:
    return f"{float(str(value)):g} A"


# Joints and terminals


def connector_over_amps(plan: Plan) -> Iterator[Finding]:
    """A connector of a leg carries more than it may."""
    for leg, connector, own in _joints(plan):
        known = [(joint.amps, joint) for joint in own if joint.amps]
        amps, joint = max(known, key=lambda one: float(one[0].value), default=(None, None))
        if amps is None or joint is None or float(amps.value) <= float(connector.amps):
            continue
        yield Finding(
            "stop",
            "connector-over-amps",
            "leg",
            leg.id,
            "cable",
            f"the joint at the {joint.end} of {joint.cable} carries {float(amps.value):.2f} A"
            f"{when(amps)}; {connector.id} may carry {_amps(connector.amps)}",
            "split the leg, or choose a connector that carries more",
            PARTS,
        )


def terminal_range(plan: Plan) -> Iterator[Finding]:
    """A leg's cable is too thin or too thick for its supply's terminals or for its connectors."""
    supplies = {supply.id: supply.part for supply in plan.job.supplies}
    for leg in plan.job.legs:
        part = find_part(plan.parts.supplies, supplies[leg.supply])
        if part:
            yield from _misfit(plan, leg, part.id, Takes.of(part), "the terminals of ")
    for leg, connector, _ in _joints(plan):
        yield from _misfit(plan, leg, connector.id, Takes.of(connector), "")


def _misfit(plan: Plan, leg: Leg, part: str, takes: Takes, what: str) -> Iterator[Finding]:
    cable = find_part(plan.parts.cables, leg.cable)
    if cable is None or takes.takes(section_mm2(cable)):
        return
    size = f"{section_mm2(cable):.3g} mm2" + (f" ({cable.awg} AWG)" if cable.awg else "")
    yield Finding(
        "warn",
        "terminal-range",
        "leg",
        leg.id,
        "cable",
        f"{cable.id} is {size}; {what}{part} take {takes.words}",
        "choose a cable and a part that fit each other, or join a tail that fits",
        PARTS,
    )


def _joints(plan: Plan) -> Iterator[tuple[Leg, Connector, list[Joint]]]:
    """Give the joints of each leg, by the connector they are made with."""
    leg_of = {cable.id: cable.leg for cable in plan.routes.leads}
    leg_of |= {link.cable.id: link.cable.leg for link in plan.routes.links if link.cable}
    legs = {leg.id: leg for leg in plan.job.legs}
    found: dict[tuple[str, str], list[Joint]] = {}
    parts: dict[str, Connector] = {}
    for joint in plan.joints:
        leg = leg_of[joint.cable]
        if joint.connector and leg in legs:
            parts[joint.connector.id] = joint.connector
            found.setdefault((leg, joint.connector.id), []).append(joint)
    for (leg, part), own in found.items():
        yield legs[leg], parts[part], own


CHECKS = (
    cable_over_amps,
    unprotected_cable,
    fuse_too_big,
    fuse_too_small,
    connector_over_amps,
    terminal_range,
)

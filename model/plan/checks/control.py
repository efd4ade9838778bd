"""Checks on zones, on what switches them, and on outputs that must not meet."""

from collections.abc import Iterator, Sequence
from typing import Final

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Leg
from pelmet.model.job.items import Kind, Run
from pelmet.model.job.parts import Switch
from pelmet.model.plan.circuit.controls import ZoneControl, mains_volts
from pelmet.model.plan.circuit.worst import when
from pelmet.model.plan.finding import Finding, said
from pelmet.model.plan.formulas import PARTS, SURVEY, Source
from pelmet.model.plan.result import Plan

_LEAST_HOLD: Final = (
    60  # [s] common practice: a shorter one leaves whoever stands still in the dark
)
_OUTPUTS: Final = Source("common practice: outputs are never joined", "common practice")


# Zones


def zone_empty(plan: Plan) -> Iterator[Finding]:
    """A zone has no leg."""
    for own in plan.controls.zones:
        if not own.legs:
            yield Finding(
                "ask",
                "zone-empty",
                "zone",
                own.zone.id,
                "name",
                f"no leg is in {own.zone.id}",
                "name it on the legs it is for, or take it out",
                SURVEY,
            )


def leg_in_no_zone(plan: Plan) -> Iterator[Finding]:
    """There are zones, and a leg is in none of them."""
    for leg in plan.job.legs:
        if plan.job.zones and leg.zone is None:
            yield Finding(
                "ask",
                "leg-in-no-zone",
                "leg",
                leg.id,
                "zone",
                f"{leg.id} is in no zone: nothing says what switches it",
                "put it in a zone, or say in its note that it is on with its supply",
                SURVEY,
            )


def zones_together(plan: Plan) -> Iterator[Finding]:
    """Zones hang on one thing: what is meant to be apart goes on, or dims, together.

    A mains dimmer and a mains switch have the whole of a supply; a run that two legs feed is lit
    by either.
    """
    zones = {leg.id: leg.zone for leg in plan.job.legs}
    apart = {
        supply.id: list(
            dict.fromkeys(leg.zone for leg in plan.job.legs if leg.supply == supply.id and leg.zone)
        )
        for supply in plan.job.supplies
    }
    for load in plan.controls.dimmers:
        if load.part.side == "mains":
            says = f"{load.part.id} dims all of {load.supply}"
            yield from _together("supply", load.supply, "dimmer", says, apart[load.supply])
    for own, switch in _switched(plan):
        for supply in own.supplies if switch.side == "mains" else ():
            says = f"{switch.id} of {own.zone.id} switches all of {supply}"
            yield from _together("zone", own.zone.id, "switch", says, apart[supply])
    for run, one, other in _fed_by_two(plan):
        both = list(dict.fromkeys(zones[leg.id] or "no zone" for leg in (one, other)))
        yield from _together(
            "run", run.id, "far_leg", f"{one.id} and {other.id} light {run.id}", both
        )


def _together(
    kind: Kind, item_id: str, field: str, says: str, zones: Sequence[str]
) -> Iterator[Finding]:
    if len(zones) > 1:
        yield Finding(
            "warn",
            "zones-together",
            kind,
            item_id,
            field,
            f"{says}: {' and '.join(zones)} cannot be apart",
            "put them on supplies of their own, or control them on the low-voltage side"
            if kind != "run"
            else "put both legs in one zone, or feed the run by one",
        )


# Switches


def switch_over_amps(plan: Plan) -> Iterator[Finding]:
    """A switch carries more than it may, inrush aside."""
    for own, switch in _switched(plan):
        if own.through and float(own.through.value) > float(switch.amps):
            side = (
                f"from the {plan.job.site.words.mains}"
                if switch.side == "mains"
                else "of direct current"
            )
            yield Finding(
                "stop",
                "switch-over-amps",
                "zone",
                own.zone.id,
                "switch",
                f"{own.zone.id} draws {float(own.through.value):.2f} A {side}{when(own.through)}; "
                f"{switch.id} carries {said(switch.amps)} A",
                "choose a bigger switch, or put legs in another zone",
                PARTS,
            )


def switch_over_volts(plan: Plan) -> Iterator[Finding]:
    """A switch is made for fewer volts than it gets."""
    sources = {
        supply.id: find_part(plan.parts.supplies, supply.part) for supply in plan.job.supplies
    }
    for own, switch in _switched(plan):
        known = [source.volts for each in own.supplies if (source := sources[each])]
        volts = mains_volts(plan.job) if switch.side == "mains" else max(known, default=None)
        if volts is not None and volts > switch.max_volts:
            yield Finding(
                "stop",
                "switch-over-volts",
                "zone",
                own.zone.id,
                "switch",
                f"{switch.id} takes up to {said(switch.max_volts)} V; it gets {said(volts)} V",
                "choose a switch for these volts",
                PARTS,
            )


def outputs_joined(plan: Plan) -> Iterator[Finding]:
    """Outputs of two supplies, or of two channels of dimmers, meet in a switch or in a run."""
    for own, switch in _switched(plan):
        if switch.side == "low voltage" and len(own.supplies) > 1:
            yield Finding(
                "stop",
                "outputs-joined",
                "zone",
                own.zone.id,
                "switch",
                f"{switch.id} would join the outputs of {' and '.join(own.supplies)}",
                "make a zone for each supply, or switch them on the "
                f"{plan.job.site.words.of_mains} side",
                _OUTPUTS,
            )
    for run, one, other in _fed_by_two(plan):
        dimmed = [leg.dimmer for leg in (one, other) if leg.dimmer]
        if one.supply != other.supply or dimmed:
            what = (
                f"the outputs of {one.supply} and {other.supply}"
                if one.supply != other.supply
                else f"what {' and '.join(dict.fromkeys(dimmed))} gives"
            )
            yield Finding(
                "stop",
                "outputs-joined",
                "run",
                run.id,
                "far_leg",
                f"{one.id} and {other.id} would join {what} in {run.id}",
                "feed both ends by one leg, or split the run in two",
                _OUTPUTS,
            )


def hold_short(plan: Plan) -> Iterator[Finding]:
    """A motion sensor keeps the light on for less than a minute."""
    for own, switch in _switched(plan):
        if switch.kind == "motion sensor" and switch.hold_seconds is not None:
            if switch.hold_seconds >= _LEAST_HOLD:
                continue
            yield Finding(
                "ask",
                "hold-short",
                "zone",
                own.zone.id,
                "switch",
                f"{switch.id} holds for {said(switch.hold_seconds)} s: whoever stands still is "
                "left in the dark",
                f"set or choose one that holds for {_LEAST_HOLD} s at least, and sees past shelves",
            )


def door_leaves(plan: Plan) -> Iterator[Finding]:
    """A door switches a zone: each of its leaves wants a switch."""
    for own, switch in _switched(plan):
        if switch.kind == "door switch":
            yield Finding(
                "ask",
                "door-leaves",
                "zone",
                own.zone.id,
                "switch",
                f"{switch.id} switches {own.zone.id} by one leaf of a door",
                "count the leaves, and order a switch for each",
            )


def _switched(plan: Plan) -> Iterator[tuple[ZoneControl, Switch]]:
    """Give the zones that have a switch and a leg."""
    yield from ((own, own.switch) for own in plan.controls.zones if own.switch and own.legs)


def _fed_by_two(plan: Plan) -> Iterator[tuple[Run, Leg, Leg]]:
    """Give the runs that have a leg at each end, and those two legs."""
    legs = {leg.id: leg for leg in plan.job.legs}
    for run in plan.job.runs:
        if run.feed_end == "both" and run.leg and run.far_leg and run.leg != run.far_leg:
            yield run, legs[run.leg], legs[run.far_leg]


CHECKS = (
    zone_empty,
    leg_in_no_zone,
    zones_together,
    switch_over_amps,
    switch_over_volts,
    outputs_joined,
    hold_short,
    door_leaves,
)

"""Checks on power: supplies, legs, cables and what stands between bars."""

from collections.abc import Iterator

from pelmet.model.job.catalogue import find_part
from pelmet.model.plan.checks.finding import Finding, said
from pelmet.model.plan.formulas import CABLE_EQUATION, PARTS, SURVEY, Source
from pelmet.model.plan.legs import LegCircuit
from pelmet.model.plan.worked import Worked

_ROUNDING = 1e-9  # watts are sums of floats; a load that is just met is met
_LOADING = Source(
    "common practice; no general standard asks for it, the supply's own sheet wins",
    "common practice",
)


def no_supply(worked: Worked) -> Iterator[Finding]:
    """A run hangs on no leg."""
    for run in worked.job.runs:
        if run.leg is None:
            yield Finding(
                "stop",
                "no-supply",
                "run",
                run.id,
                "leg",
                f"nothing feeds run {run.id}",
                "add a supply and a leg in the Power step, and put the run on the leg",
                SURVEY,
            )


def no_light(worked: Worked) -> Iterator[Finding]:
    """A run has no opening left: what stands in it covers all of it."""
    for fit in worked.fits:
        channel = find_part(worked.parts.channels, fit.run.channel)
        known = channel and find_part(worked.parts.caps, channel.cap)
        strip = find_part(worked.parts.strips, fit.run.strip)
        if known and strip and not fit.bars and not fit.too_short:
            yield Finding(
                "stop",
                "no-light",
                "run",
                fit.run.id,
                "cabinets",
                f"run {fit.run.id} has no clear width left for a bar",
                "check the obstacles that stand in it, or take the run out",
                SURVEY,
            )


def supply_overloaded(worked: Worked) -> Iterator[Finding]:
    """The load is over the share of the rating that may be used, or over the rating itself."""
    ratings = {supply.id: supply.part for supply in worked.job.supplies}
    for budget in worked.circuits.supplies:
        part = find_part(worked.parts.supplies, ratings[budget.supply])
        if part is None or budget.usable is None:
            continue
        load, usable = float(budget.load.value), float(budget.usable.value)
        if load > usable + _ROUNDING:
            over = load > float(part.watts) + _ROUNDING
            yield Finding(
                "stop" if over else "warn",
                "supply-overloaded",
                "supply",
                budget.supply,
                "part",
                f"{budget.supply} is asked for {said(load)} W; "
                + (
                    f"it is rated {said(part.watts)} W" if over else f"{said(usable)} W may be used"
                ),
                "choose a bigger supply, or put legs on a second one (never join their outputs)",
                _LOADING,
            )


def mixed_volts(worked: Worked) -> Iterator[Finding]:
    """A strip's volts are not its supply's: 12 V strip on 24 V is destroyed."""
    legs = {leg.id: leg for leg in worked.job.legs}
    supplies = {supply.id: supply for supply in worked.job.supplies}
    for run in worked.job.runs:
        if run.leg is None:
            continue
        supply = supplies[legs[run.leg].supply]
        strip = find_part(worked.parts.strips, run.strip)
        part = find_part(worked.parts.supplies, supply.part)
        if strip and part and strip.volts != part.volts:
            yield Finding(
                "stop",
                "mixed-volts",
                "run",
                run.id,
                "strip",
                f"{strip.id} is a {said(strip.volts)} V strip; {supply.id} gives "
                f"{said(part.volts)} V",
                f"choose a {said(part.volts)} V strip, or a leg from a {said(strip.volts)} V "
                "supply",
                PARTS,
            )


def volts_low(worked: Worked) -> Iterator[Finding]:
    """The volts at a bar's end are lower than the allowance, or too low for the strip to work."""
    allowances = worked.job.allowances
    for leg in worked.circuits.legs:
        if leg.drop is None or leg.worst is None:
            continue
        faded = [bar.bar for bar in leg.bars if not bar.above_least]
        drop = float(leg.drop.value)
        if faded:
            yield _low(leg, "stop", f"below what {' '.join(faded)} needs to light; no figure holds")
        elif drop > float(allowances.drop_stop):
            yield _low(leg, "stop", f"{drop:.1f} % down, over {said(allowances.drop_stop)} %")
        elif drop > float(allowances.drop_warn):
            yield _low(leg, "warn", f"{drop:.1f} % down, over {said(allowances.drop_warn)} %")


def _low(leg: LegCircuit, level: str, says: str) -> Finding:
    worst = leg.worst
    volts = float(worst.value) if worst else 0.0
    return Finding(
        "stop" if level == "stop" else "warn",
        "volts-low",
        "leg",
        leg.leg.id,
        "cable",
        f"{volts:.2f} V at the end of {worst.about if worst else ''}: {says}",
        "take a thicker or shorter cable, split the leg, or use 24 V in place of 12 V",
        CABLE_EQUATION,
    )


def cable_over_amps(worked: Worked) -> Iterator[Finding]:
    """A leg draws more than its cable or its dimmer may carry."""
    for circuit in worked.circuits.legs:
        if circuit.amps is None:
            continue
        amps = float(circuit.amps.value)
        cable = find_part(worked.parts.cables, circuit.leg.cable)
        dimmer = find_part(worked.parts.dimmers, circuit.leg.dimmer)
        for field, part in (("cable", cable), ("dimmer", dimmer)):
            if part and amps > float(part.amps):
                yield Finding(
                    "stop",
                    f"{field}-over-amps",
                    "leg",
                    circuit.leg.id,
                    field,
                    f"{circuit.leg.id} draws {amps:.2f} A; {part.id} carries {said(part.amps)} A",
                    "split the leg, or choose a bigger one",
                    PARTS,
                )


def dimmer_out_of_range(worked: Worked) -> Iterator[Finding]:
    """A dimmer does not take the supply's volts."""
    supplies = {supply.id: supply.part for supply in worked.job.supplies}
    for leg in worked.job.legs:
        dimmer = find_part(worked.parts.dimmers, leg.dimmer)
        part = find_part(worked.parts.supplies, supplies[leg.supply])
        if dimmer and part and not dimmer.min_volts <= part.volts <= dimmer.max_volts:
            yield Finding(
                "stop",
                "dimmer-out-of-range",
                "leg",
                leg.id,
                "dimmer",
                f"{dimmer.id} takes {said(dimmer.min_volts)} to {said(dimmer.max_volts)} V; "
                f"{leg.supply} gives {said(part.volts)} V",
                "choose another dimmer",
                PARTS,
            )


def terminals_short(worked: Worked) -> Iterator[Finding]:
    """More legs than the supply has terminals for."""
    supplies = {supply.id: supply.part for supply in worked.job.supplies}
    for budget in worked.circuits.supplies:
        part = find_part(worked.parts.supplies, supplies[budget.supply])
        if part and len(budget.legs) > part.terminals:
            yield Finding(
                "warn",
                "terminals-short",
                "supply",
                budget.supply,
                "part",
                f"{len(budget.legs)} legs leave {budget.supply}; it has {part.terminals} "
                "output terminals",
                "put runs on fewer legs, or choose a supply with more terminals",
                PARTS,
            )


CHECKS = (
    no_supply,
    no_light,
    mixed_volts,
    supply_overloaded,
    volts_low,
    cable_over_amps,
    dimmer_out_of_range,
    terminals_short,
)

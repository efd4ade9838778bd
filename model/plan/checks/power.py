"""Checks on power: supplies, legs, cables and what stands between bars."""

from collections.abc import Iterator

from pelmet.model.job.catalogue import find_part
from pelmet.model.plan.circuit.legs import UNSOLVED, LegCircuit
from pelmet.model.plan.finding import Finding, said
from pelmet.model.plan.formulas import CABLE_EQUATION, PARTS, SURVEY
from pelmet.model.plan.result import Plan


def no_supply(plan: Plan) -> Iterator[Finding]:
    """A run hangs on no leg."""
    for run in plan.job.runs:
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


def no_light(plan: Plan) -> Iterator[Finding]:
    """A run has no opening left: what stands in it covers all of it."""
    for fit in plan.fits:
        channel = find_part(plan.parts.channels, fit.run.channel)
        known = channel and find_part(plan.parts.caps, channel.cap)
        strip = find_part(plan.parts.strips, fit.run.strip)
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


def mixed_volts(plan: Plan) -> Iterator[Finding]:
    """A strip's volts are not its supply's: 12 V strip on 24 V is destroyed."""
    legs = {leg.id: leg for leg in plan.job.legs}
    supplies = {supply.id: supply for supply in plan.job.supplies}
    for run in plan.job.runs:
        if run.leg is None:
            continue
        supply = supplies[legs[run.leg].supply]
        strip = find_part(plan.parts.strips, run.strip)
        part = find_part(plan.parts.supplies, supply.part)
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


def volts_low(plan: Plan) -> Iterator[Finding]:
    """The volts at a bar's end are lower than the allowance, or too low for the strip to work."""
    allowances = plan.job.allowances
    for leg in plan.circuits.legs:
        if leg.drop is None or leg.worst is None:
            continue
        faded = [bar.bar for bar in leg.bars if not bar.above_least]
        drop = float(leg.drop.value)
        if faded:
            yield _low(leg, "stop", f"below what {' '.join(faded)} needs to work fully")
        elif drop > float(allowances.drop_stop):
            yield _low(leg, "stop", f"{drop:.1f} % down, over {said(allowances.drop_stop)} %")
        elif drop > float(allowances.drop_warn):
            yield _low(leg, "warn", f"{drop:.1f} % down, over {said(allowances.drop_warn)} %")


def unsolved(plan: Plan) -> Iterator[Finding]:
    """A leg has no solution, or none was come to: none of its figures is shown."""
    for leg in plan.circuits.legs:
        for trouble in leg.troubles:
            if trouble.code in UNSOLVED:
                yield Finding(
                    "stop",
                    trouble.code,
                    "leg",
                    leg.leg.id,
                    "cable",
                    trouble.says,
                    "take a thicker or shorter cable, feed both ends, or split the leg",
                    CABLE_EQUATION,
                )


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
        "F8 on the leg tries a thicker cable, other feed points, a leg for each run, 24 V",
        CABLE_EQUATION,
    )


CHECKS = (
    no_supply,
    no_light,
    mixed_volts,
    volts_low,
    unsolved,
)

"""Checks on power: supplies, legs, cables and what stands between bars."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.job import Site
from pelmet.model.plan.circuit.dc.law import light_share
from pelmet.model.plan.circuit.leg_network import MM_PER_METRE, law_of
from pelmet.model.plan.circuit.legs import UNSOLVED, LegCircuit
from pelmet.model.plan.circuit.worst import when
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.finding import Finding, Level, said
from pelmet.model.plan.formulas import CABLE_EQUATION, PARTS, SURVEY
from pelmet.model.plan.measures import length_said
from pelmet.model.plan.result import Plan

_LOW_VOLTS: Final = 12  # of such a supply twice the volts are to be had: half the amps
_LIGHT_LOST: Final = 1  # [%] less light than that is not worth telling
_PERCENT: Final = 100


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
            yield _low(plan, leg, "stop", f"below what {' '.join(faded)} needs to work fully")
        elif drop > float(allowances.drop_stop):
            yield _low(plan, leg, "stop", _down(plan, leg, allowances.drop_stop))
        elif drop > float(allowances.drop_warn):
            yield _low(plan, leg, "warn", _down(plan, leg, allowances.drop_warn))


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


def _down(plan: Plan, leg: LegCircuit, limit: Decimal) -> str:
    """Say how far a leg's volts are down, and how much light that takes."""
    assert leg.drop is not None
    assert leg.worst is not None
    lost = _light_lost(plan, leg, leg.worst)
    less = f", {lost:.0f} % less light there" if lost >= _LIGHT_LOST else ""
    return f"{float(leg.drop.value):.1f} % down{less}, over {said(limit)} %"


def _light_lost(plan: Plan, leg: LegCircuit, worst: Figure) -> float:
    """Give how much less light a strip gives at some volts than at its rated ones [%]."""
    assert leg.operating_point is not None
    law = law_of(leg.operating_point.network.strips[worst.about], plan.job.allowances)
    return _PERCENT * (1 - light_share(law, float(worst.value)))


def _low(plan: Plan, leg: LegCircuit, level: Level, says: str) -> Finding:
    assert leg.worst is not None
    supply = next(each for each in plan.job.supplies if each.id == leg.leg.supply)
    part = find_part(plan.parts.supplies, supply.part)
    more_volts = ", 24 V" if part and part.volts == _LOW_VOLTS else ""
    return Finding(
        level,
        "volts-low",
        "leg",
        leg.leg.id,
        "cable",
        f"{float(leg.worst.value):.2f} V{when(leg.worst)} "
        f"{_lowest_place(leg, plan.job.site)}: {says}",
        "F8 on the leg tries a thicker cable, other feed points, a leg for each run" + more_volts,
        CABLE_EQUATION,
    )


def _lowest_place(leg: LegCircuit, site: Site) -> str:
    """Say where the volts of a leg are lowest: at an end of a bar, or along it."""
    assert leg.worst is not None
    assert leg.operating_point is not None
    own = next(bar for bar in leg.bars if bar.bar == leg.worst.about)
    network, solution = leg.operating_point
    near, far = ("lower", "upper") if network.bars[own.bar].upright else ("left", "right")
    for end, name in ((own.left, near), (own.right, far)):
        if end.value == own.lowest.value:
            return f"at the {name} end of {own.bar}"
    along = round(solution.strips[own.bar].lowest_metres * MM_PER_METRE)
    return f"{length_said(along, site)} from the {near} end of the strip of {own.bar}"


CHECKS = (
    no_supply,
    no_light,
    mixed_volts,
    volts_low,
    unsolved,
)

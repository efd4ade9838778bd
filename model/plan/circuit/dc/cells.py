"""A strip as a chain of cut units, each with its load in its middle, for laws that are curved.

Between two taps lies the rail of one unit, and half as much at both ends of the strip. A chain
is linearised at its voltages, taken out cell by cell so that only its two ends are left
(star-mesh, as in ``elimination``), and filled in again once the ends' voltages are known.

Voltages are given as drops below a reference, for the digits of their differences.
"""

from dataclasses import dataclass, field
from itertools import pairwise
from typing import Final, NamedTuple

from pelmet.model.plan.circuit.dc.elements import Strip, StripFlow
from pelmet.model.plan.circuit.dc.law import StripLaw
from pelmet.model.plan.circuit.dc.strip import ROUNDING_VOLTS

_MOST_CELLS: Final = 10_000  # of one strip: none that is sold has as many units


class Ends(NamedTuple):
    """A linearised strip as seen at its ends: a conductance, and at each end what it draws."""

    siemens: float
    """Conductance between start and end. [S]"""
    start_ground: float
    """How much less the start draws per volt of drop. [S]"""
    start_drawn: float
    """What the start draws without drop. [A]"""
    end_ground: float
    end_drawn: float


@dataclass(slots=True)
class Cells:
    """A strip in units, and the drops at their taps; `rail` 0 is for a strip without ohms."""

    law: StripLaw
    each: float
    """Length of a unit. [m]"""
    rail: float
    """Conductance of the rail between two taps; 0 if it is all one point. [S]"""
    reference: float
    """Voltage that drops are from. [V]"""
    drops: list[float]
    """Drop at each tap. [V]"""
    back: list[tuple[float, float, float]] = field(default_factory=list)
    ground: list[float] = field(default_factory=list)


def cut_strip(strip: Strip, reference: float, *, point: bool) -> Cells:
    """Cut a strip into its units, at the reference voltage [V] all along.

    Into equal longer pieces if there are more units than any strip that is sold has.
    """
    units = min(strip.metres / strip.unit_metres, _MOST_CELLS)
    count = 1 if point else max(1, round(units))
    each = strip.metres / count
    rail = 0.0 if point else 1 / (strip.ohms_per_metre * each)
    return Cells(strip.law, each, rail, reference, [0.0] * count)


def drawn_amps(cells: Cells, drops: list[float]) -> list[float]:
    """Give the current each unit draws [A] at the drops of the taps [V]."""
    law, each = cells.law, cells.each
    dark = cells.reference - law.led_volts
    if law.kind == "constant-power":
        watts, reference = law.watts_per_metre * each, cells.reference
        return [watts / (reference - drop) if drop < reference else 0.0 for drop in drops]
    siemens = law.siemens_per_metre * each
    if law.kind == "resistor-limited":
        return [siemens * (dark - drop) if drop < dark else 0.0 for drop in drops]
    amps, full = law.amps_per_metre * each, cells.reference - law.least_volts
    return [
        amps if drop <= full else siemens * (dark - drop) if drop < dark else 0.0 for drop in drops
    ]


def _linearise(cells: Cells, *, chord: bool) -> tuple[list[float], list[float]]:
    """Give each unit's draw as a straight line: drawn without drop [A], less per volt of it [S].

    It is the tangent at the tap's drop. With `chord`, a regulated unit above drop-out has the line
    down to where it is dark instead: below the tap's voltage that line never draws more than the
    unit does, so that a step taken with it never passes the solution.
    """
    law, each, reference, drops = cells.law, cells.each, cells.reference, cells.drops
    if law.kind == "constant-power":
        watts = law.watts_per_metre * each
        grounds, amps = [], []
        for drop in drops:
            volts = reference - drop
            at = watts / volts
            grounds.append(-at / volts)
            amps.append(at * (1 - drop / volts))
        return grounds, amps
    dark = reference - law.led_volts
    siemens = law.siemens_per_metre * each
    if law.kind == "resistor-limited":
        grounds = [siemens if drop < dark else 0.0 for drop in drops]
        return grounds, [ground * dark for ground in grounds]
    full, rated = reference - law.least_volts, law.amps_per_metre * each
    if chord:
        grounds = [
            (rated / (dark - drop) if drop <= full else siemens) if drop < dark else 0.0
            for drop in drops
        ]
        return grounds, [ground * dark for ground in grounds]
    grounds = [siemens if full < drop < dark else 0.0 for drop in drops]
    return grounds, [
        rated if drop <= full else ground * dark
        for drop, ground in zip(drops, grounds, strict=True)
    ]


def see_ends(cells: Cells, *, chord: bool = False) -> Ends | None:
    """Linearise a strip and take out its cells; None if that is not positive definite."""
    grounds, amps = _linearise(cells, chord=chord)
    cells.ground = grounds
    rail = cells.rail
    if not rail:
        return Ends(0.0, grounds[0], amps[0], 0.0, 0.0)
    back = cells.back = []
    last = len(grounds) - 1
    across = 2 * rail
    start_ground = start_drawn = ground = drawn = 0.0
    for row, (own, drew) in enumerate(zip(grounds, amps, strict=True)):
        onward = rail if row < last else 2 * rail
        ground += own
        drawn += drew
        total = across + onward + ground
        if not total > 0:
            return None
        before, after = across / total, onward / total
        back.append((drawn / total, before, after))
        start_ground += before * ground
        start_drawn += before * drawn
        ground *= after
        drawn *= after
        across *= after
    return Ends(across, start_ground, start_drawn, ground, drawn)


def fill_in(cells: Cells, start_drop: float, end_drop: float) -> list[float]:
    """Give the drop at each tap [V] once those of the ends are known, after `see_ends`."""
    if not cells.rail:
        return [start_drop]
    found = []
    drop = end_drop
    for own, before, after in reversed(cells.back):
        drop = own + before * start_drop + after * drop
        found.append(drop)
    found.reverse()
    return found


def rail_steps(cells: Cells, drops: list[float], start: float, end: float) -> list[float]:
    """Give the current past each tap and both ends [A]: in at the start, on from tap to tap."""
    rail = cells.rail
    steps = [2 * rail * (drops[0] - start)]
    steps += [rail * (far - near) for near, far in pairwise(drops)]
    steps.append(2 * rail * (end - drops[-1]))
    return steps


def unbalanced(cells: Cells, start: float, end: float) -> float:
    """Give the largest current that does not go on or into the load at a tap [A]."""
    if not cells.rail:
        return 0.0
    steps = rail_steps(cells, cells.drops, start, end)
    drawn = drawn_amps(cells, cells.drops)
    return max(
        abs(into - on - amps) for (into, on), amps in zip(pairwise(steps), drawn, strict=True)
    )


def flow_of_cells(cells: Cells, start: float, end: float) -> StripFlow:
    """Give what a strip does between its ends' drops [V]."""
    reference, least = cells.reference, cells.law.least_volts
    steps = rail_steps(cells, cells.drops, start, end)
    taps = tuple(reference - drop for drop in cells.drops)
    amps = drawn_amps(cells, cells.drops)
    volts = (reference - start, *taps, reference - end)
    lowest = min(volts)
    row = volts.index(lowest)
    if volts[-1] <= lowest + ROUNDING_VOLTS:
        row = len(taps) + 1
    metres = cells.each * (row - 0.5 if 0 < row <= len(taps) else row and len(taps))
    rail = 0.0
    if cells.rail:
        inner = sum(step * step for step in steps[1:-1])
        rail = (inner + 0.5 * (steps[0] ** 2 + steps[-1] ** 2)) / cells.rail
    return StripFlow(
        start_volts=volts[0],
        end_volts=volts[-1],
        start_amps=steps[0] if cells.rail else amps[0],
        end_amps=-steps[-1] if cells.rail else 0.0,
        lowest_volts=lowest,
        lowest_metres=metres,
        load_watts=sum(v * i for v, i in zip(taps, amps, strict=True)),
        rail_watts=rail,
        holds=lowest >= least - ROUNDING_VOLTS,
        tap_volts=taps,
    )

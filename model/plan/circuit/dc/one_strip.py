"""One LED strip on its own: volts, amps and watts along it, fed from one end, both or the middle.

For any program that wants the figures of a single length of strip without building a network.
"""

from collections.abc import Sequence
from math import isfinite
from typing import Final, Literal, NamedTuple

from pelmet.model.plan.circuit.dc.constant_power import (
    NoSolutionError,
    longest_metres,
    one_end_fed_power,
)
from pelmet.model.plan.circuit.dc.elements import Network, Source, Strip, Wire, place_on
from pelmet.model.plan.circuit.dc.law import StripLaw
from pelmet.model.plan.circuit.dc.network import amps_along, solve_network, volts_along

Feed = Literal["one end", "both ends", "middle"]

LARGEST_CHANGE: Final = 1e-7
"""Most that any voltage may still change when the cells are halved. [V]"""
FIRST_CELLS: Final = 256
MOST_CELLS: Final = 2**17


class OneStrip(NamedTuple):
    """What one strip does."""

    start_volts: float
    """Voltage at its start. [V]"""
    end_volts: float
    """Voltage at its end. [V]"""
    lowest_volts: float
    """Lowest voltage anywhere on it. [V]"""
    lowest_metres: float
    """Where that is, from the start; the start, if both ends of one fed in the middle are. [m]"""
    start_amps: float
    """Current into its start. [A]"""
    end_amps: float
    """Current into its end. [A]"""
    middle_amps: float
    """Current into its middle. [A]"""
    load_watts: float
    """Power taken by LEDs and their resistors, regulators or converters. [W]"""
    rail_watts: float
    """Power lost in its rails. [W]"""
    lead_watts: float
    """Power lost in its leads. [W]"""
    holds: bool
    """It is at its law's least volts or above, everywhere."""
    volts: tuple[float, ...]
    """Voltage at each asked point. [V]"""
    amps: tuple[float, ...]
    """Current past each asked point, from the start to the end. [A] At the middle that feeds it,
    what goes on to the end."""
    residual: float
    """0 if solved in closed form; else how far any voltage moved when the cells were halved. [V]"""


def along_one_strip(
    law: StripLaw,
    metres: float,
    ohms_per_metre: float,
    feed: Feed,
    source_volts: float,
    lead_ohms: float = 0.0,
    other_source_volts: float | None = None,
    other_lead_ohms: float | None = None,
    points: Sequence[float] = (),
) -> OneStrip:
    """Work out one strip whose load is spread evenly along it.

    It is solved in closed form where there is one: above its law's least volts everywhere, or of
    constant power and fed from one end or the middle. Otherwise it is cut into cells, halved until
    no voltage at its ends, at the asked points, or its lowest, moves by more than 1e-7 V.

    Args:
        law: What a metre of it draws, from ``law``.
        metres: Length, above 0. [m]
        ohms_per_metre: Loop resistance of both rails, 0 or more. [ohm/m]
        feed: "one end" (its start), "both ends" or "middle".
        source_volts: Voltage at the supply end of the lead, above 0. [V]
        lead_ohms: Loop resistance of the lead, both cores, 0 or more. [ohm]
        other_source_volts: The same for the lead to its end, if both ends are fed; else the same
            voltage as at the start. [V]
        other_lead_ohms: The same for the lead to its end, if both ends are fed; else as that to
            the start. [ohm]
        points: Distances from the start at which to give voltage and current, on the strip. [m]

    Returns:
        Volts [V], amps [A] and watts [W].

    Raises:
        ValueError: A figure is out of its range, or a second lead is given for another feed.
        NoSolutionError: No voltage satisfies constant power at this length; it says how long
            the strip can be, where that is known.

    Source: long-line theory; Dawson's function for constant power (see ``constant_power``).

    >>> from pelmet.model.plan.circuit.dc.law import current_regulated_law
    >>> law = current_regulated_law(
    ...     watts_per_metre=9.6, rated_volts=12, dropout_volts=10, led_volts=8.4
    ... )
    >>> fed = along_one_strip(law, 5, 0.06, "one end", 12, points=(1, 2.5))
    >>> round(fed.end_volts, 6), [round(volts, 6) for volts in fed.volts]
    (11.4, [11.784, 11.55])
    >>> both = along_one_strip(law, 5, 0.06, "both ends", 12)
    >>> round(both.lowest_volts, 6), round(both.lowest_metres, 6)
    (11.85, 2.5)
    """
    _check(metres, source_volts, other_source_volts)
    points = tuple(place_on(metres, point) for point in points)
    if feed != "both ends" and (other_source_volts is not None or other_lead_ohms is not None):
        raise ValueError(f"fed from the {feed} it has one lead; give the other for both ends")
    if feed == "middle":
        return _from_middle(law, metres, ohms_per_metre, source_volts, lead_ohms, points)
    if feed == "one end":
        return _from_one_end(law, metres, ohms_per_metre, source_volts, lead_ohms, points)
    if feed != "both ends":
        raise ValueError(f"no feed {feed!r}; choose one end, both ends or middle")
    if other_source_volts is None:
        other_source_volts = source_volts
    if other_lead_ohms is None:
        other_lead_ohms = lead_ohms
    sources = (Source("one source", source_volts), Source("other source", other_source_volts))
    wires = (
        Wire("lead", "one source", "start", lead_ohms),
        Wire("other lead", "other source", "end", other_lead_ohms),
    )
    try:
        return _refined(_Case(law, metres, ohms_per_metre, sources, wires, tuple(points)))
    except NoSolutionError:
        longest = 2 * longest_metres(source_volts, lead_ohms, ohms_per_metre, law.watts_per_metre)
        alike = other_source_volts == source_volts and other_lead_ohms == lead_ohms
        if law.kind != "constant-power" or not alike or metres < longest:
            raise
    raise NoSolutionError(
        f"no voltage feeds {metres:g} m of {law.watts_per_metre:g} W/m from {source_volts:g} V"
        f" through {lead_ohms:g} ohm at both ends",
        remedy=f"it can be {longest:.4g} m long at most",
    )


def _check(metres: float, volts: float, other_volts: float | None) -> None:
    if not metres > 0 or not isfinite(metres):
        raise ValueError(f"{metres:g} m is no length of strip; give one above 0 m")
    for value in (volts, volts if other_volts is None else other_volts):
        if not value > 0 or not isfinite(value):
            raise ValueError(f"a source of {value:g} V lights nothing; give volts above 0")


def _from_one_end(
    law: StripLaw,
    metres: float,
    ohms_per_metre: float,
    volts: float,
    lead_ohms: float,
    points: Sequence[float],
) -> OneStrip:
    if law.kind != "constant-power":
        sources = (Source("one source", volts),)
        wires = (Wire("lead", "one source", "start", lead_ohms),)
        return _refined(_Case(law, metres, ohms_per_metre, sources, wires, tuple(points)))
    fed = one_end_fed_power(
        metres, ohms_per_metre, law.watts_per_metre, volts, lead_ohms, tuple(points)
    )
    return OneStrip(
        start_volts=fed.start_volts,
        end_volts=fed.end_volts,
        lowest_volts=fed.end_volts,
        lowest_metres=metres,
        start_amps=fed.amps,
        end_amps=0.0,
        middle_amps=0.0,
        load_watts=fed.load_watts,
        rail_watts=fed.rail_watts,
        lead_watts=fed.lead_watts,
        holds=fed.end_volts >= law.least_volts,
        volts=tuple(volts for volts, _ in fed.points),
        amps=tuple(amps for _, amps in fed.points),
        residual=0.0,
    )


def _from_middle(
    law: StripLaw,
    metres: float,
    ohms_per_metre: float,
    volts: float,
    lead_ohms: float,
    points: Sequence[float],
) -> OneStrip:
    """Take it as two strips side by side, each behind a lead of twice the ohms of the one."""
    middle = 0.5 * metres
    out = [min(abs(point - middle), middle) for point in points]
    try:
        half = _from_one_end(law, middle, ohms_per_metre, volts, 2 * lead_ohms, out)
    except NoSolutionError as error:
        place = "of each half, fed in the middle"
        raise NoSolutionError(error.reason, place, error.remedy) from None
    return OneStrip(
        start_volts=half.end_volts,
        end_volts=half.end_volts,
        lowest_volts=half.lowest_volts,
        lowest_metres=0.0,
        start_amps=0.0,
        end_amps=0.0,
        middle_amps=2 * half.start_amps,
        load_watts=2 * half.load_watts,
        rail_watts=2 * half.rail_watts,
        lead_watts=2 * half.lead_watts,
        holds=half.holds,
        volts=half.volts,
        amps=tuple(
            amps if point >= middle else -amps
            for point, amps in zip(points, half.amps, strict=True)
        ),
        residual=half.residual,
    )


class _Case(NamedTuple):
    law: StripLaw
    metres: float
    ohms_per_metre: float
    sources: tuple[Source, ...]
    wires: tuple[Wire, ...]
    points: tuple[float, ...]


def _refined(case: _Case) -> OneStrip:
    """Solve it with more and more cells, until they no longer matter."""
    cells = FIRST_CELLS
    found, closed = _solved(case, cells)
    while not closed:
        cells *= 2
        finer, closed = _solved(case, cells)
        moved = max(abs(a - b) for a, b in zip(_volts(found), _volts(finer), strict=True))
        found = finer._replace(residual=0.0 if closed else moved)
        if moved <= LARGEST_CHANGE:
            break
        if cells >= MOST_CELLS:
            raise NoSolutionError(
                f"a voltage still moves by {moved:.2g} V with {cells} cells, so none is given; the"
                " strip is all but too long"
            )
    return found


def _volts(found: OneStrip) -> tuple[float, ...]:
    return (found.start_volts, found.end_volts, found.lowest_volts, *found.volts)


def _solved(case: _Case, cells: int) -> tuple[OneStrip, bool]:
    """Solve it with so many cells; say if it was solved in closed form after all."""
    law, metres, ohms, sources, wires, points = case
    strip = Strip("strip", "start", "end", law, metres, ohms, metres / cells)
    solved = solve_network(Network(sources, wires, (strip,)))
    flow = solved.strips.get(strip.id)
    if flow is None:
        says = next(
            (trouble.says for trouble in solved.troubles if trouble.code == "no-solution"),
            solved.troubles[-1].says if solved.troubles else "",
        )
        raise NoSolutionError(says)
    lead_watts = sum(wire.watts for wire in solved.wires.values())
    closed = not flow.tap_volts or ohms == 0
    return (
        OneStrip(
            start_volts=flow.start_volts,
            end_volts=flow.end_volts,
            lowest_volts=flow.lowest_volts,
            lowest_metres=flow.lowest_metres,
            start_amps=flow.start_amps,
            end_amps=flow.end_amps,
            middle_amps=0.0,
            load_watts=flow.load_watts,
            rail_watts=flow.rail_watts,
            lead_watts=lead_watts,
            holds=flow.holds,
            volts=tuple(volts_along(strip, flow, point) for point in points),
            amps=tuple(amps_along(strip, flow, point) for point in points),
            residual=0.0,
        ),
        closed,
    )

"""An LED strip whose load is a straight line in its voltage: exact closed forms, no cells.

Per metre such a strip draws g V + c [A/m]: resistor-limited g (V - Vf), where Vf is the sum of the
LED forward voltages; current-regulated c alone, so that the voltage falls as a parabola. Its rails
have a loop resistance r [ohm/m], so V'' = r (g V + c): the equation of a passive cable, of a
cooling fin, or of a power line at zero frequency. Hence, as for a power line, a strip of any
length is exactly three lumped parts: an "equivalent pi" of one series resistance with an equal
load at each end.

The forms are exact only while the whole strip is above its least voltage (Vf or drop-out): below
it the straight line would go on to draw too much, or even a negative current.
"""

from math import atanh, sinh, sqrt, tanh
from typing import Final, NamedTuple

from pelmet.model.plan.circuit.dc.one_port import Port, parallel

# Beyond this the far end hears nothing of the near one in any digit; it only stops overflow.
LONGEST_HALF_ANGLE: Final = 150.0
SMALL_HALF_ANGLE: Final = 0.02
ROUNDING_VOLTS: Final = 1e-9


class StripLine(NamedTuple):
    """A length of strip as a circuit sees it. Make one from data-sheet terms, below."""

    metres: float
    """Length. [m]"""
    ohms_per_metre: float
    """Loop resistance: both rails. [ohm/m]"""
    siemens_per_metre: float
    """Slope g of the current drawn, against voltage. [S/m]"""
    amperes_per_metre: float
    """The part c of the current drawn that does not follow the voltage. [A/m]"""
    least_volts: float
    """LED forward voltage or drop-out: below this these constants do not hold. [V]"""


class EquivalentPi(NamedTuple):
    """A strip as three lumped parts: a series resistance between two equal loads."""

    ohms: float
    """Resistance between the two ends, out and back. [ohm]"""
    load: Port
    """Load across each of the two ends."""


def holds(strip: StripLine, lowest_volts: float) -> bool:
    """Say if the closed forms hold for a strip, by its lowest (far end) voltage [V]."""
    return lowest_volts >= strip.least_volts - ROUNDING_VOLTS


def equivalent_pi(strip: StripLine) -> EquivalentPi:
    """Give the three lumped parts that a strip is exactly equal to, seen at its two ends.

    Between the ends: r L sinh(a)/a [ohm], a = L sqrt(r g). At each end: half the strip's
    load, times tanh(a/2)/(a/2). Both factors are 1 for a current-regulated strip (a = 0).

    Source: long-line theory, the equivalent pi circuit (power-system texts), at zero frequency.
    """
    half, tanhc = half_angle(strip)
    each = 0.5 * strip.metres * tanhc
    ohms = strip.metres * strip.ohms_per_metre
    if half > 0:
        angle = 2 * min(half, LONGEST_HALF_ANGLE)
        ohms *= sinh(angle) / angle
    return EquivalentPi(ohms, Port(strip.siemens_per_metre * each, -strip.amperes_per_metre * each))


def half_angle(strip: StripLine) -> tuple[float, float]:
    """Give a/2 = L sqrt(r g)/2, and tanh(a/2)/(a/2), which is 1 when a is 0."""
    half = 0.5 * strip.metres * sqrt(strip.ohms_per_metre * strip.siemens_per_metre)
    return half, tanh(half) / half if half > 0 else 1.0


def _piece(strip: StripLine, metres: float) -> StripLine:
    """Cut another length of the same strip."""
    _, ohms_per_metre, siemens_per_metre, amperes_per_metre, least_volts = strip
    return StripLine(metres, ohms_per_metre, siemens_per_metre, amperes_per_metre, least_volts)


def rail_watts(strip: StripLine, start_amperes: float, end_amperes: float) -> float:
    """Give the power lost in the rails of a strip.

    The current along it is a cosh about the strip's middle plus a sinh, so the integral of its
    square has no cross term. Without slope (g = 0) it is r L (m² + d²/3), where m is the mean
    and d half the difference of the end currents; so r L I²/3 when fed from one end.

    Args:
        strip: The strip.
        start_amperes: Current that flows in at the start. [A]
        end_amperes: Current that flows on, out of the other end; 0 if open. [A]

    Returns:
        Loss in both rails. [W]
    """
    even, odd = square_shares(strip)
    mean = 0.5 * (start_amperes + end_amperes)
    difference = 0.5 * (start_amperes - end_amperes)
    ohms = strip.ohms_per_metre * strip.metres
    return ohms * (mean * mean * even + difference * difference * odd)


def square_shares(strip: StripLine) -> tuple[float, float]:
    """Give the mean square along a strip of a cosh and of a sinh about its middle, 1 at its ends.

    They are 1 and 1/3 when a is 0.
    """
    half, tanhc = half_angle(strip)
    square = half * half
    even = 0.5 * (1 + tanhc - square * tanhc * tanhc)
    odd = (
        (1 - square * 2 / 15 + square * square * 2 / 105) / 3  # the other form loses digits
        if half < SMALL_HALF_ANGLE
        else 0.5 * (1 + (tanhc - 1) / (square * tanhc * tanhc))
    )
    return even, odd


def volts_between(strip: StripLine, start_volts: float, end_volts: float, metres: float) -> float:
    """Give the voltage along a strip whose two end voltages are known.

    Args:
        strip: The strip.
        start_volts: Voltage at its start. [V]
        end_volts: Voltage at its end. [V]
        metres: Distance from the start, 0 to the strip's length. [m]

    Returns:
        Voltage there. [V]
    """
    if metres <= 0:
        return start_volts
    before, load_before = equivalent_pi(_piece(strip, metres))
    after, load_after = equivalent_pi(_piece(strip, strip.metres - metres))
    siemens, amperes = parallel(load_before, load_after)
    both = before * after
    given = start_volts * after + end_volts * before + both * amperes
    return given / (before + after + both * siemens)


def where_current_turns(strip: StripLine, start_amperes: float, end_amperes: float) -> float:
    """Give the distance from the start at which no current flows: the lowest voltage."""
    if end_amperes <= 0:
        return strip.metres
    if start_amperes <= 0:
        return 0.0
    half, tanhc = half_angle(strip)
    lean = (start_amperes - end_amperes) / (start_amperes + end_amperes)
    z = lean * half * tanhc
    if z:
        lean *= atanh(z) / z
    return 0.5 * strip.metres * (1 + lean * tanhc)

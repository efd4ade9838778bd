"""Voltage and current along an LED strip: exact closed forms, no cells and no iteration.

Per metre a strip draws a current that is a straight line in its voltage, g V + c [A/m]:
- resistor-limited: g (V - Vf), where Vf is the sum of the LED forward voltages;
- current-regulated above its drop-out voltage: c alone, so the voltage falls as a parabola.
Its rails have a loop resistance r [ohm/m], so V'' = r (g V + c): the equation of a passive
cable, of a cooling fin, or of a power line at zero frequency. Hence, as for a power line, a
strip of any length is exactly three lumped parts: an "equivalent pi" of one series resistance
with an equal load at each end.

THE FORMS ARE EXACT ONLY WHILE THE WHOLE STRIP IS ABOVE ITS LEAST VOLTAGE (Vf or drop-out):
below it the straight line would go on to draw too much, or even a negative current.
Fed from one end the voltage falls all the way along, so `holds` at the far end is enough. On a
chain or a branching leg, it is enough if `holds` is true at the far end of every strip.
"""

from math import atanh, sinh, sqrt, tanh
from typing import Final, NamedTuple

from pelmet.model.plan.circuit.one_port import (
    OPEN,
    Feed,
    Port,
    amperes_drawn,
    feed_through,
    parallel,
)

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


class FedStrip(NamedTuple):
    """What a fed strip does. "Start" is the first end named, "end" the other."""

    start_volts: float
    """Voltage at the start of the strip, after any lead. [V]"""
    end_volts: float
    """Voltage at its end. [V]"""
    start_amperes: float
    """Current into the strip at its start. [A]"""
    end_amperes: float
    """Current into the strip at its end; 0 if it is fed from the start only. [A]"""
    lowest_volts: float
    """Lowest voltage anywhere on it. [V]"""
    lowest_metres: float
    """Where the lowest voltage is, from the start. [m]"""
    strip_watts: float
    """Power taken by LEDs and their resistors or regulators, without the rails. [W]"""
    rail_watts: float
    """Power lost in the rails. [W]"""


def resistor_limited(
    metres: float,
    ohms_per_metre: float,
    watts_per_metre: float,
    rated_volts: float,
    led_volts: float,
) -> StripLine:
    """Describe a strip whose LEDs are limited by resistors, from its data sheet.

    Args:
        metres: Length. [m]
        ohms_per_metre: Loop resistance, both rails. [ohm/m]
        watts_per_metre: Power at the rated voltage, without rail loss. [W/m]
        rated_volts: Rated voltage. [V]
        led_volts: Sum of the forward voltages of the LEDs in one series string. [V]

    Returns:
        The strip; it draws g (V - Vf), and the rated current at the rated voltage.

    Raises:
        ValueError: The LEDs' voltage is not below the rated voltage.

    Source: circuit theory (a fixed forward voltage behind a resistance).
    """
    if not 0 <= led_volts < rated_volts:
        raise ValueError(
            f"LED forward voltages of {led_volts:g} V leave nothing for the resistors of a"
            f" {rated_volts:g} V strip; give the sum for one string, below {rated_volts:g} V"
        )
    siemens = watts_per_metre / rated_volts / (rated_volts - led_volts)
    return StripLine(metres, ohms_per_metre, siemens, -siemens * led_volts, led_volts)


def current_regulated(
    metres: float,
    ohms_per_metre: float,
    watts_per_metre: float,
    rated_volts: float,
    dropout_volts: float,
) -> StripLine:
    """Describe a strip with a current regulator in each cut unit, from its data sheet.

    Args:
        metres: Length. [m]
        ohms_per_metre: Loop resistance, both rails. [ohm/m]
        watts_per_metre: Power at the rated voltage, without rail loss. [W/m]
        rated_volts: Rated voltage. [V]
        dropout_volts: Least voltage at which the current is still held. [V]

    Returns:
        The strip; it draws the rated current at every voltage from drop-out up.

    Raises:
        ValueError: The drop-out voltage is above the rated voltage.

    Source: circuit theory (a constant-current load).
    """
    if not 0 <= dropout_volts <= rated_volts:
        raise ValueError(
            f"a drop-out of {dropout_volts:g} V is above the rated {rated_volts:g} V;"
            " check the data sheet for the least working voltage"
        )
    return StripLine(metres, ohms_per_metre, 0.0, watts_per_metre / rated_volts, dropout_volts)


def holds(strip: StripLine, lowest_volts: float) -> bool:
    """Say if the closed forms hold for a strip, by its lowest (far end) voltage [V]."""
    return lowest_volts >= strip.least_volts - ROUNDING_VOLTS


def equivalent_pi(strip: StripLine) -> EquivalentPi:
    """Give the three lumped parts that a strip is exactly equal to, seen at its two ends.

    Between the ends: r L sinh(a)/a [ohm], a = L sqrt(r g). At each end: half the strip's
    load, times tanh(a/2)/(a/2). Both factors are 1 for a current-regulated strip (a = 0).

    Source: long-line theory, the equivalent pi circuit (power-system texts), at zero frequency.
    """
    half, tanhc = _half_angle(strip)
    each = 0.5 * strip.metres * tanhc
    ohms = strip.metres * strip.ohms_per_metre
    if half > 0:
        angle = 2 * min(half, LONGEST_HALF_ANGLE)
        ohms *= sinh(angle) / angle
    return EquivalentPi(ohms, Port(strip.siemens_per_metre * each, -strip.amperes_per_metre * each))


def _half_angle(strip: StripLine) -> tuple[float, float]:
    """Give a/2 = L sqrt(r g)/2, and tanh(a/2)/(a/2), which is 1 when a is 0."""
    half = 0.5 * strip.metres * sqrt(strip.ohms_per_metre * strip.siemens_per_metre)
    return half, tanh(half) / half if half > 0 else 1.0


def through_strip(port: Port, strip: StripLine) -> Port:
    """See a port through a strip: the strip's own load and all that its far end feeds.

    Args:
        port: What the far end of the strip feeds; `OPEN` if nothing.
        strip: The strip.

    Returns:
        The port seen from the strip's near end.
    """
    ohms, load = equivalent_pi(strip)
    siemens = port.siemens + load.siemens
    amperes = port.amperes + load.amperes
    share = 1 / (1 + siemens * ohms)
    return Port(load.siemens + siemens * share, load.amperes + amperes * share)


def end_of_strip(strip: StripLine, far_port: Port, start_volts: float) -> Feed:
    """Give the voltage at the far end of a strip fed from its start, and the current leaving it.

    Args:
        strip: The strip.
        far_port: What the far end of the strip feeds; `OPEN` if nothing.
        start_volts: Voltage at the strip's start. [V]

    Returns:
        Voltage at the far end and the current into what it feeds.
    """
    ohms, load = equivalent_pi(strip)
    volts = feed_through(parallel(far_port, load), start_volts, ohms).volts
    return Feed(volts, amperes_drawn(far_port, volts))


def along_strip(strip: StripLine, far_port: Port, start_volts: float, metres: float) -> Feed:
    """Give the voltage and current at a point along a strip fed from its start.

    Args:
        strip: The strip.
        far_port: What the far end of the strip feeds; `OPEN` if nothing.
        start_volts: Voltage at the strip's start. [V]
        metres: Distance of the point from the start, 0 to the strip's length. [m]

    Returns:
        Voltage there and the current that flows on past it, away from the supply.
    """
    rest = through_strip(far_port, _piece(strip, strip.metres - metres))
    return end_of_strip(_piece(strip, metres), rest, start_volts)


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
    half, tanhc = _half_angle(strip)
    square = half * half
    even = 0.5 * (1 + tanhc - square * tanhc * tanhc)
    odd = (
        (1 - square * 2 / 15 + square * square * 2 / 105) / 3  # the other form loses digits
        if half < SMALL_HALF_ANGLE
        else 0.5 * (1 + (tanhc - 1) / (square * tanhc * tanhc))
    )
    mean = 0.5 * (start_amperes + end_amperes)
    difference = 0.5 * (start_amperes - end_amperes)
    ohms = strip.ohms_per_metre * strip.metres
    return ohms * (mean * mean * even + difference * difference * odd)


def one_end_fed(strip: StripLine, source_volts: float, lead_ohms: float = 0.0) -> FedStrip:
    """Work out one strip fed at its start, its other end open.

    Args:
        strip: The strip. Check `holds(strip, result.end_volts)`.
        source_volts: Voltage at the supply end of the lead. [V]
        lead_ohms: Loop resistance of the lead, both cores. [ohm]

    Returns:
        Voltages, current and power.
    """
    start = feed_through(through_strip(OPEN, strip), source_volts, lead_ohms)
    end = end_of_strip(strip, OPEN, start.volts)
    lost = rail_watts(strip, start.amperes, 0.0)
    return FedStrip(
        start_volts=start.volts,
        end_volts=end.volts,
        start_amperes=start.amperes,
        end_amperes=0.0,
        lowest_volts=end.volts,
        lowest_metres=strip.metres,
        strip_watts=start.volts * start.amperes - lost,
        rail_watts=lost,
    )


def both_ends_fed(
    strip: StripLine,
    start_source_volts: float,
    end_source_volts: float,
    start_lead_ohms: float = 0.0,
    end_lead_ohms: float = 0.0,
) -> FedStrip:
    """Work out one strip fed at both ends, from equal or unequal voltages.

    Args:
        strip: The strip. Check `holds(strip, result.lowest_volts)`.
        start_source_volts: Voltage at the supply end of the lead to the start. [V]
        end_source_volts: Voltage at the supply end of the lead to the end. [V]
        start_lead_ohms: Loop resistance of the lead to the start. [ohm]
        end_lead_ohms: Loop resistance of the lead to the end. [ohm]

    Returns:
        Voltages, currents and power.

    Raises:
        ValueError: The strip has no length or no rail resistance, so its ends are one point.
    """
    ohms, load = equivalent_pi(strip)
    if ohms == 0:
        raise ValueError("a strip without rail resistance is one point: feed it from one end")
    # Ohm's law across each lead; the two currents follow from the equivalent pi.
    across = 1 / ohms
    own = load.siemens + across
    start_sum = start_source_volts + start_lead_ohms * load.amperes
    end_sum = end_source_volts + end_lead_ohms * load.amperes
    start_own = 1 + start_lead_ohms * own
    end_own = 1 + end_lead_ohms * own
    start_cross = start_lead_ohms * across
    end_cross = end_lead_ohms * across
    whole = start_own * end_own - start_cross * end_cross
    start_volts = (start_sum * end_own + start_cross * end_sum) / whole
    end_volts = (end_sum * start_own + end_cross * start_sum) / whole
    through = (start_volts - end_volts) * across
    start_amperes = amperes_drawn(load, start_volts) + through
    end_amperes = amperes_drawn(load, end_volts) - through

    lowest_metres = _where_current_turns(strip, start_amperes, end_amperes)
    lost = rail_watts(strip, start_amperes, -end_amperes)
    return FedStrip(
        start_volts=start_volts,
        end_volts=end_volts,
        start_amperes=start_amperes,
        end_amperes=end_amperes,
        lowest_volts=volts_between(strip, start_volts, end_volts, lowest_metres),
        lowest_metres=lowest_metres,
        strip_watts=start_volts * start_amperes + end_volts * end_amperes - lost,
        rail_watts=lost,
    )


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


def _where_current_turns(strip: StripLine, start_amperes: float, end_amperes: float) -> float:
    """Give the distance from the start at which no current flows: the lowest voltage."""
    if end_amperes <= 0:
        return strip.metres
    if start_amperes <= 0:
        return 0.0
    half, tanhc = _half_angle(strip)
    lean = (start_amperes - end_amperes) / (start_amperes + end_amperes)
    z = lean * half * tanhc
    if z:
        lean *= atanh(z) / z
    return 0.5 * strip.metres * (1 + lean * tanhc)

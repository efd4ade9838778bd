"""A strip between two known voltages: currents, watts and least voltage, in closed form."""

from math import exp, expm1

from pelmet.model.plan.circuit.dc.elements import StripFlow
from pelmet.model.plan.circuit.dc.one_port import amperes_drawn
from pelmet.model.plan.circuit.dc.strip import (
    SMALL_HALF_ANGLE,
    EquivalentPi,
    StripLine,
    half_angle,
    holds,
    rail_watts,
    square_shares,
    volts_between,
    where_current_turns,
)


def flow_between(
    line: StripLine, pi: EquivalentPi, start_volts: float, end_volts: float, through: float
) -> StripFlow:
    """Give what a strip does between two known voltages.

    Args:
        line: The strip.
        pi: Its `equivalent_pi`.
        start_volts: Voltage at its start. [V]
        end_volts: Voltage at its end. [V]
        through: Current in the pi's resistance from start to end: the difference of the voltages
            over the ohms, got by the caller from more digits than the voltages have. [A]

    Returns:
        Its currents, its lowest voltage and its watts.
    """
    start_amps = amperes_drawn(pi.load, start_volts) + through
    end_amps = amperes_drawn(pi.load, end_volts) - through
    lowest_volts, lowest_metres = end_volts, line.metres
    if end_amps > 0 and start_amps > 0 and pi.ohms:
        lowest_metres = where_current_turns(line, start_amps, end_amps)
        turning = volts_between(line, start_volts, end_volts, lowest_metres)
        lowest_volts = min(turning, start_volts, end_volts)
    elif start_volts < end_volts:
        lowest_volts, lowest_metres = start_volts, 0.0
    return StripFlow(
        start_volts=start_volts,
        end_volts=end_volts,
        start_amps=start_amps,
        end_amps=end_amps,
        lowest_volts=lowest_volts,
        lowest_metres=lowest_metres,
        load_watts=load_watts(line, start_volts, end_volts),
        rail_watts=rail_watts(line, start_amps, -end_amps),
        holds=holds(line, lowest_volts),
    )


def load_watts(line: StripLine, start_volts: float, end_volts: float) -> float:
    """Give the power a strip takes without its rails: the integral of V (g V + c) along it.

    Its voltage is a cosh about the strip's middle, and a constant, plus a sinh, so the integral
    has no cross term of even and odd parts. Without slope (g = 0) it is c L (m - r c L²/12),
    where m is the mean of the end voltages.

    Args:
        line: The strip.
        start_volts: Voltage at its start. [V]
        end_volts: Voltage at its end. [V]

    Returns:
        Power of LEDs and their resistors or regulators. [W]
    """
    metres, ohms, siemens, constant, _ = line
    half, tanhc = half_angle(line)
    square = half * half
    even, odd = square_shares(line)
    # (even - tanhc) / siemens
    bend = (
        ohms * metres**2 / 8 * (square * 8 / 15 - square * square * 34 / 105 - 2 / 3)
        if half < SMALL_HALF_ANGLE
        else (even - tanhc) / siemens
    )
    mean = 0.5 * (start_volts + end_volts)
    difference = 0.5 * (start_volts - end_volts)
    drawn = siemens * mean + constant
    return metres * (drawn * (mean * even + constant * bend) + siemens * difference**2 * odd)


def amps_between(line: StripLine, start_amps: float, end_amps: float, metres: float) -> float:
    """Give the current along a strip whose currents at both ends are known.

    Args:
        line: The strip.
        start_amps: Current that flows in at the start. [A]
        end_amps: Current that flows on, out of the other end. [A]
        metres: Distance from the start, 0 to the strip's length. [m]

    Returns:
        Current there, from start to end. [A]

    Source: i'' = r g i, whose solution is a sum of two sinh, one from either end.
    """
    angle = 2 * half_angle(line)[0]
    share = metres / line.metres

    def part(left: float) -> float:
        """Give sinh(left angle) / sinh(angle)."""
        if angle == 0:
            return left
        return exp((left - 1) * angle) * expm1(-2 * left * angle) / expm1(-2 * angle)

    return start_amps * part(1 - share) + end_amps * part(share)

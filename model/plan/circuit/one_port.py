"""What a cable core pair sees: one-ports, and how they combine.

Looking away from the supply, all that follows on a leg draws a current that is a straight line
in the voltage met there: amperes = siemens * volts - short-circuit amperes. Two numbers stand
for the whole rest of the leg (Norton's theorem), so a leg of any length is worked out exactly,
from its far ends back to the supply, and then once forward for the volts and amperes.
"""

from typing import NamedTuple


class Port(NamedTuple):
    """All that follows from a point of a two-core feed, as a straight line.

    It draws `siemens * volts - amperes`. So a resistance has amperes 0, a constant current I
    drawn has (0, -I), and a supply of V volts behind R ohms has (1/R, V/R).
    Anything a leg is made of has siemens >= 0: more volts never draw less current.
    """

    siemens: float
    """Slope of the current drawn. [S]"""
    amperes: float
    """Norton current: what the port would send back into a short circuit. [A]"""


class Feed(NamedTuple):
    """Voltage across a point of a two-core feed, and current passing it away from the supply."""

    volts: float
    amperes: float


OPEN = Port(0.0, 0.0)
"""Nothing connected."""


def amperes_drawn(port: Port, volts: float) -> float:
    """Give the current [A] a port draws at a voltage [V] across it."""
    return port.siemens * volts - port.amperes


def parallel(*ports: Port) -> Port:
    """Join ports at one point: their currents add. With none, the point is open."""
    siemens = amperes = 0.0
    for port in ports:
        siemens += port.siemens
        amperes += port.amperes
    return Port(siemens, amperes)


def through_resistance(port: Port, ohms: float) -> Port:
    """See a port through a series resistance.

    Args:
        port: What the resistance feeds.
        ohms: Resistance of the loop, out and back: both cores of a cable. [ohm]

    Returns:
        The port seen from the near end.

    Source: Ohm's law and Norton's theorem.
    """
    share = 1 / (1 + port.siemens * ohms)
    return Port(port.siemens * share, port.amperes * share)


def feed_through(port: Port, near_volts: float, ohms: float) -> Feed:
    """Feed a port through a series resistance: a cable, or the supply's own lead.

    Args:
        port: What is fed.
        near_volts: Voltage at the near end, such as the supply's. [V]
        ohms: Resistance of the loop, out and back; 0 for none. [ohm]

    Returns:
        Voltage at the port and the current into it.

    Source: Ohm's law and Norton's theorem.
    """
    # Not near_volts - ohms * amperes: behind a high resistance that would lose every digit.
    volts = (near_volts + ohms * port.amperes) / (1 + ohms * port.siemens)
    return Feed(volts, port.siemens * volts - port.amperes)

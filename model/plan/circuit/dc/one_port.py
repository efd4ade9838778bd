"""A load whose current is a straight line in its voltage: two numbers (Norton's theorem)."""

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

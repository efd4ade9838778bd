"""The parts of a DC network, and what each does when the network is solved."""

from collections.abc import Mapping
from math import isfinite
from typing import Final, NamedTuple

from pelmet.model.plan.circuit.dc.law import StripLaw
from pelmet.model.plan.formulas import works_out

ROUNDING: Final = 1e-12


class Source(NamedTuple):
    """A node held at a voltage: a supply's output, or a dimmer channel at full."""

    node: str
    volts: float
    """Voltage at which the node is held. [V]"""


class Wire(NamedTuple):
    """A two-core cable, or a joint, as one resistance."""

    id: str
    near: str
    far: str
    ohms: float
    """Loop resistance: both cores, with its joints; 0 for none. [ohm]"""


class Tap(NamedTuple):
    """A constant current drawn at a node."""

    node: str
    amps: float
    """Current, 0 or more. [A]"""


class Strip(NamedTuple):
    """A length of strip between two nodes; one that is fed from one end has a node to itself."""

    id: str
    start: str
    end: str
    law: StripLaw
    metres: float
    """Length. [m]"""
    ohms_per_metre: float
    """Loop resistance: both rails. [ohm/m]"""
    unit_metres: float
    """Length of a cut unit. [m]"""


class Network(NamedTuple):
    """All that is joined together; ids of wires and strips are their own."""

    sources: tuple[Source, ...]
    wires: tuple[Wire, ...]
    strips: tuple[Strip, ...]
    taps: tuple[Tap, ...] = ()


class WireFlow(NamedTuple):
    """What a wire carries."""

    amps: float
    """Current from its near end to its far end. [A]"""
    watts: float
    """Power lost in it. [W]"""


@works_out("cable lost")
def watts_lost(amps: float, ohms: float) -> float:
    """Give what a wire of so many ohms loses [W], carrying so many amps. Source: Joule's law."""
    return amps * amps * ohms


class StripFlow(NamedTuple):
    """What a strip does."""

    start_volts: float
    """Voltage at its start. [V]"""
    end_volts: float
    """Voltage at its end. [V]"""
    start_amps: float
    """Current into the strip at its start. [A]"""
    end_amps: float
    """Current into the strip at its end; negative when current goes on out of it. [A]"""
    lowest_volts: float
    """Lowest voltage anywhere on it. [V]"""
    lowest_metres: float
    """Where the lowest voltage is, from the start. [m]"""
    load_watts: float
    """Power taken by LEDs and their resistors, regulators or converters. [W]"""
    rail_watts: float
    """Power lost in the rails. [W]"""
    holds: bool
    """The strip is at its law's least volts or above, everywhere."""
    tap_volts: tuple[float, ...] = ()
    """Voltage in the middle of each cut unit, if it was solved unit by unit. [V]"""


class Trouble(NamedTuple):
    """Something of a network that cannot be, or cannot be solved."""

    code: str
    about: str
    """Id of a wire or strip, or name of a node."""
    says: str


class Solution(NamedTuple):
    """A solved network. What could not be solved is left out, and a trouble says why."""

    volts: Mapping[str, float]
    """Voltage of each node. [V]"""
    wires: Mapping[str, WireFlow]
    strips: Mapping[str, StripFlow]
    source_amps: Mapping[str, float]
    """Current each source's node gives. [A]"""
    input_watts: float
    """Power given by all sources to what was solved. [W]"""
    lost_watts: float
    """Power lost in wires and rails. [W]"""
    load_watts: float
    """Power taken by strips and taps. [W]"""
    residual: float
    """Largest unbalanced current at any node or cut unit. [A]"""
    iterations: int
    """Steps to the solution, of the part that took most; 1 if every law is a straight line."""
    troubles: tuple[Trouble, ...]


def check_network(network: Network) -> None:
    """Raise ValueError, saying what to give, if a figure or an id of a network is unusable."""
    sources, wires, strips, taps = network
    seen: set[str] = set()
    for name in [wire.id for wire in wires] + [strip.id for strip in strips]:
        if name in seen:
            raise ValueError(f"two wires or strips are called {name!r}; give each its own id")
        seen.add(name)
    for source in sources:
        if not isfinite(source.volts):
            raise ValueError(f"source {source.node!r} has {source.volts:g} V; give its volts")
    for wire in wires:
        _at_least_nothing(wire.ohms, f"wire {wire.id!r}", "ohms, 0 for none")
    for tap in taps:
        _at_least_nothing(tap.amps, f"the tap at {tap.node!r}", "amps drawn, 0 or more")
    for strip in strips:
        name = f"strip {strip.id!r}"
        _at_least_nothing(strip.metres, name, "metres, 0 or more")
        _at_least_nothing(strip.ohms_per_metre, name, "ohms per metre of both rails, 0 or more")
        if not strip.unit_metres > 0 or not isfinite(strip.unit_metres):
            raise ValueError(
                f"{name} has cut units of {strip.unit_metres:g} m; give their length, above 0 m"
            )


def _at_least_nothing(value: float, name: str, what: str) -> None:
    if not value >= 0 or not isfinite(value):
        raise ValueError(f"{name} has {value:g}; give its {what}")


def place_on(metres: float, place: float) -> float:
    """Give a place on a strip of a length [m], or raise ValueError if it is past either end.

    A last digit too far, as from adding up lengths, is taken as the end.
    """
    if not 0 <= place <= metres * (1 + ROUNDING):
        raise ValueError(f"{place:g} m is not on a strip of {metres:g} m; give one from 0 m to it")
    return min(place, metres)

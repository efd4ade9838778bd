"""One strip of constant power fed from one end, in closed form, and how long it can be.

Its voltage follows V'' = r p / V. From the far end, where it is Ve and no current flows, a first
integral is V' = sqrt(2 r p ln(V / Ve)). With s = sqrt(ln(V / Ve)), the distance from the far end
is Ve sqrt(2 / (r p)) F(s) and the current sqrt(2 p / r) s, where F(s) is the integral of exp(t²)
from 0 to s. As a length over the near end's voltage this is Dawson's function, which has a
greatest value, 0.541044: a strip any longer has no solution, however it is fed from that end.

Derived here. Dawson's function is in Abramowitz and Stegun, Handbook of Mathematical Functions,
chapter 7.
"""

from collections.abc import Callable
from math import exp, isfinite, sqrt
from typing import Final, NamedTuple

from pelmet.model.refusal import Refusal

GREATEST_AT: Final = 0.9241388730045916
"""Where Dawson's function is greatest; computed."""
GREATEST: Final = 0.5410442246351817
"""Its greatest value; computed."""


class NoSolutionError(Refusal, ValueError):
    """No voltage satisfies a strip of constant power: it asks for more than reaches it.

    A ``ValueError`` too, as for any figure that cannot be.
    """


class ConstantPowerFlow(NamedTuple):
    """A strip of constant power fed from one end."""

    start_volts: float
    """Voltage at its fed end, after any lead. [V]"""
    end_volts: float
    """Voltage at its far end, the lowest. [V]"""
    amps: float
    """Current into it. [A]"""
    load_watts: float
    """Power it takes. [W]"""
    rail_watts: float
    """Power lost in its rails. [W]"""
    lead_watts: float
    """Power lost in the lead. [W]"""
    points: tuple[tuple[float, float], ...]
    """Voltage and current on past each asked point. [V, A]"""


def collapse_metres(source_volts: float, ohms_per_metre: float, watts_per_metre: float) -> float:
    """Give the greatest length of a strip of constant power fed from one end without a lead.

    Args:
        source_volts: Voltage at its fed end, above 0. [V]
        ohms_per_metre: Loop resistance of its rails; with 0 the length has no limit. [ohm/m]
        watts_per_metre: Power it takes at any voltage, above 0. [W/m]

    Returns:
        Length; there is no solution for more. [m]

    >>> round(collapse_metres(12, 0.06, 9.6), 6)
    12.098117
    """
    if ohms_per_metre == 0:
        return float("inf")
    return GREATEST * source_volts * sqrt(2 / (ohms_per_metre * watts_per_metre))


def longest_metres(
    source_volts: float, lead_ohms: float, ohms_per_metre: float, watts_per_metre: float
) -> float:
    """Give the greatest length of a strip of constant power fed from one end through a lead.

    Args:
        source_volts: Voltage at the supply end of the lead, above 0. [V]
        lead_ohms: Loop resistance of the lead, 0 or more. [ohm]
        ohms_per_metre: Loop resistance of the rails, 0 or more. [ohm/m]
        watts_per_metre: Power it takes at any voltage, above 0. [W/m]

    Returns:
        Length; there is no solution for more. [m]
    """
    if ohms_per_metre == 0:
        # Half of the source's voltage on either side of the lead is all that goes through it.
        most = source_volts**2 / 4 / watts_per_metre
        return most / lead_ohms if lead_ohms else float("inf")
    shape = _Shape(source_volts, lead_ohms, ohms_per_metre, watts_per_metre)
    return shape.metres(shape.longest_at())


def one_end_fed_power(
    metres: float,
    ohms_per_metre: float,
    watts_per_metre: float,
    source_volts: float,
    lead_ohms: float = 0.0,
    points: tuple[float, ...] = (),
) -> ConstantPowerFlow:
    """Work out one strip of constant power fed at its start, its other end open.

    Of two solutions this is the one with the higher voltage, which is where a strip settles.

    Args:
        metres: Length, above 0. [m]
        ohms_per_metre: Loop resistance, both rails, 0 or more. [ohm/m]
        watts_per_metre: Power it takes at any voltage, above 0. [W/m]
        source_volts: Voltage at the supply end of the lead, above 0. [V]
        lead_ohms: Loop resistance of the lead, both cores, 0 or more. [ohm]
        points: Distances from the start to give the voltage and current at. [m]

    Returns:
        Voltages, current and power.

    Raises:
        ValueError: A figure is negative or not a number.
        NoSolutionError: The strip is too long; it says how long it can be.

    >>> fed = one_end_fed_power(5, 0.06, 9.6, 12)
    >>> round(fed.end_volts, 6), round(fed.amps, 6)
    (11.372628, 4.145254)
    """
    for value in (metres, watts_per_metre, source_volts):
        if not value > 0 or not isfinite(value):
            raise ValueError(f"{value:g} cannot be; give a length, watts and volts above 0")
    for value in (ohms_per_metre, lead_ohms):
        if not value >= 0 or not isfinite(value):
            raise ValueError(f"{value:g} ohm cannot be; give 0 or more")
    longest = longest_metres(source_volts, lead_ohms, ohms_per_metre, watts_per_metre)
    if metres > longest:
        raise NoSolutionError(
            f"no voltage feeds {metres:g} m of {watts_per_metre:g} W/m from {source_volts:g} V"
            f" through {lead_ohms:g} ohm",
            remedy=f"it can be {longest:.4g} m long at most",
        )
    load = watts_per_metre * metres
    if ohms_per_metre == 0:
        volts = 0.5 * (source_volts + sqrt(source_volts**2 - 4 * lead_ohms * load))
        amps = load / volts
        along = tuple((volts, amps * (1 - point / metres)) for point in points)
        return ConstantPowerFlow(volts, volts, amps, load, 0.0, lead_ohms * amps * amps, along)
    shape = _Shape(source_volts, lead_ohms, ohms_per_metre, watts_per_metre)
    s = _crossing(lambda s: shape.metres(s) - metres, 0.0, shape.longest_at())
    scale, full = shape.scale, shape.full_amps
    end_volts = metres / (scale * _integral(s))
    found = []
    for point in points:
        beyond = (metres - point) / (scale * end_volts)
        there = _where_integral(beyond, s)
        found.append((end_volts * exp(there * there), full * there))
    amps = full * s
    return ConstantPowerFlow(
        start_volts=end_volts * exp(s * s),
        end_volts=end_volts,
        amps=amps,
        load_watts=load,
        rail_watts=watts_per_metre * scale * end_volts * _bent(s),
        lead_watts=lead_ohms * amps * amps,
        points=tuple(found),
    )


def dawson(s: float) -> float:
    """Give Dawson's function, exp(-s²) times the integral of exp(t²) from 0 to s, for 0 to 5."""
    return exp(-s * s) * _integral(s)


def _integral(s: float) -> float:
    """Give the integral of exp(t²) from 0 to s by its series, whose terms are all above 0."""
    square, power, total, n = s * s, s, s, 0
    while True:
        n += 1
        power *= square / n
        term = power / (2 * n + 1)
        total += term
        if term <= total * 1e-17:
            return total


def _bent(s: float) -> float:
    """Give s exp(s²) less the integral of exp(t²) from 0 to s, by the difference of the series."""
    square, power, total, n = s * s, s, 0.0, 0
    while True:
        n += 1
        power *= square / n
        term = power * 2 * n / (2 * n + 1)
        total += term
        if term <= total * 1e-17:
            return total


def _where_integral(value: float, most: float) -> float:
    """Give the s, 0 to `most`, at which the integral is this."""
    return _crossing(lambda s: _integral(s) - value, 0.0, most)


class _Shape(NamedTuple):
    """A strip of any length behind its lead, by s at its fed end."""

    source_volts: float
    lead_ohms: float
    ohms_per_metre: float
    watts_per_metre: float

    @property
    def scale(self) -> float:
        """Metres per volt, times Dawson's function."""
        return sqrt(2 / (self.ohms_per_metre * self.watts_per_metre))

    @property
    def full_amps(self) -> float:
        """Amps, times s."""
        return sqrt(2 * self.watts_per_metre / self.ohms_per_metre)

    def metres(self, s: float) -> float:
        """Give the length at which the fed end has this s."""
        start_volts = self.source_volts - self.lead_ohms * self.full_amps * s
        return start_volts * self.scale * dawson(s)

    def longest_at(self) -> float:
        """Give the s of the longest strip, up to which a longer strip has a greater s."""
        drop = self.lead_ohms * self.full_amps
        if drop == 0:
            return GREATEST_AT

        def falls(s: float) -> float:
            d = dawson(s)
            return drop * d - (1 - 2 * s * d) * (self.source_volts - drop * s)

        return _crossing(falls, 0.0, min(GREATEST_AT, self.source_volts / drop))


def _crossing(rising: Callable[[float], float], low: float, high: float) -> float:
    """Give where a function comes up through 0 between two points, by halving to the last digit."""
    while True:
        middle = 0.5 * (low + high)
        if not low < middle < high:
            return high if abs(rising(high)) < abs(rising(low)) else low
        if rising(middle) < 0:
            low = middle
        else:
            high = middle

"""What a metre of strip draws at a voltage, and the light it then gives, by kind of strip.

- resistor-limited: g (V - Vf) above the LEDs' forward voltage Vf, nothing below it;
- current-regulated: its rated current from the drop-out voltage Vd up, falling in a straight
  line to nothing at Vf, below which the LEDs are dark;
- constant power, a converter on the strip: p / V.

Fed the wrong way round, below 0 V, each is dark and draws nothing.
"""

from math import isfinite
from typing import Literal, NamedTuple

from pelmet.model.plan.circuit.dc.strip import StripLine

LawKind = Literal["resistor-limited", "current-regulated", "constant-power"]


class StripLaw(NamedTuple):
    """Current of a metre of strip against its voltage. Make one from data-sheet terms, below."""

    kind: LawKind
    watts_per_metre: float
    """Power at the rated voltage, without rail loss. [W/m]"""
    led_volts: float
    """Voltage at and below which it draws nothing. [V]"""
    least_volts: float
    """Voltage from which it works as it is meant to: Vf, drop-out, or the converter's. [V]"""
    amps_per_metre: float
    """Rated current; 0 for constant power, which has none. [A/m]"""
    siemens_per_metre: float
    """Slope of the straight line up from `led_volts`; 0 for constant power. [S/m]"""


def resistor_limited_law(watts_per_metre: float, rated_volts: float, led_volts: float) -> StripLaw:
    """Describe what a strip draws whose LEDs are limited by resistors.

    Args:
        watts_per_metre: Power at the rated voltage, above 0, without rail loss. [W/m]
        rated_volts: Rated voltage. [V]
        led_volts: Sum of the forward voltages of the LEDs in one series string. [V]

    Returns:
        The law i = g max(0, V - Vf), with the rated current at the rated voltage.

    Raises:
        ValueError: A figure is missing, or the LEDs' voltage is not below the rated voltage.

    Source: circuit theory (a fixed forward voltage behind a resistance).
    """
    _check(watts_per_metre)
    if not 0 <= led_volts < rated_volts or not isfinite(rated_volts):
        raise ValueError(
            f"LED forward voltages of {led_volts:g} V leave nothing for the resistors of a"
            f" {rated_volts:g} V strip; give the sum for one string, below {rated_volts:g} V"
        )
    amps = watts_per_metre / rated_volts
    siemens = amps / (rated_volts - led_volts)
    return StripLaw("resistor-limited", watts_per_metre, led_volts, led_volts, amps, siemens)


def current_regulated_law(
    watts_per_metre: float, rated_volts: float, dropout_volts: float, led_volts: float
) -> StripLaw:
    """Describe what a strip draws that has a current regulator in each cut unit.

    Args:
        watts_per_metre: Power at the rated voltage, above 0, without rail loss. [W/m]
        rated_volts: Rated voltage. [V]
        dropout_volts: Least voltage at which the current is still held. [V]
        led_volts: Sum of the forward voltages of the LEDs in one series string. [V]

    Returns:
        The law: the rated current from drop-out up, in a straight line to 0 at `led_volts`.

    Raises:
        ValueError: A figure is missing, or not led_volts < dropout_volts <= rated_volts.

    Source: circuit theory; the straight line below drop-out is a regulator left fully on, as a
    fixed resistance.
    """
    _check(watts_per_metre)
    if not 0 <= led_volts < dropout_volts <= rated_volts or not isfinite(rated_volts):
        raise ValueError(
            f"LED forward voltages of {led_volts:g} V, a drop-out of {dropout_volts:g} V and a"
            f" rating of {rated_volts:g} V do not follow each other upwards; check the data sheet"
        )
    amps = watts_per_metre / rated_volts
    siemens = amps / (dropout_volts - led_volts)
    return StripLaw("current-regulated", watts_per_metre, led_volts, dropout_volts, amps, siemens)


def constant_power_law(watts_per_metre: float, rated_volts: float, least_volts: float) -> StripLaw:
    """Describe what a strip draws that has a voltage converter in each cut unit.

    Args:
        watts_per_metre: Power at any working voltage, above 0, without rail loss. [W/m]
        rated_volts: Rated voltage. [V]
        least_volts: Least working voltage of the converters. [V]

    Returns:
        The law i = p / V.

    Raises:
        ValueError: A figure is missing, or the least voltage is above the rated voltage.

    Source: circuit theory (a constant-power load).
    """
    _check(watts_per_metre)
    if not 0 < least_volts <= rated_volts or not isfinite(rated_volts):
        raise ValueError(
            f"a least voltage of {least_volts:g} V does not suit a {rated_volts:g} V strip; give"
            f" one above 0 V and not above {rated_volts:g} V"
        )
    return StripLaw("constant-power", watts_per_metre, 0.0, least_volts, 0.0, 0.0)


def _check(watts_per_metre: float) -> None:
    if not watts_per_metre > 0 or not isfinite(watts_per_metre):
        raise ValueError(f"{watts_per_metre:g} W/m is no load; give the watts of a metre, above 0")


def warmed(law: StripLaw, less_volts: float) -> StripLaw:
    """Give the law of a strip whose LEDs need less voltage, as warm ones do.

    Resistors and regulators stay as they are, so the line moves down in voltage as a whole.

    Args:
        law: The law at the temperature its strip is rated at.
        less_volts: What one series string needs less; below 0 when it is colder. [V]

    Returns:
        The moved law; that of constant power stays.

    Source: circuit theory; the forward voltage of an LED falls as it warms.
    """
    if law.kind == "constant-power":
        return law
    less = min(less_volts, law.led_volts)
    return law._replace(led_volts=law.led_volts - less, least_volts=law.least_volts - less)


def amperes(law: StripLaw, volts: float) -> float:
    """Give the current drawn by a metre of strip [A/m] at a voltage [V]."""
    if volts <= law.led_volts:
        return 0.0
    if law.kind == "constant-power":
        return law.watts_per_metre / volts
    if law.kind == "current-regulated" and volts >= law.least_volts:
        return law.amps_per_metre
    return law.siemens_per_metre * (volts - law.led_volts)


def light_share(law: StripLaw, volts: float) -> float:
    """Give the share of its rated light that a strip gives at a voltage [V].

    The light of an LED is taken to follow its current, so this is the current over the rated
    current: above 1 for a resistor-limited strip above its rated voltage. A constant-power strip
    holds its light at any voltage.
    """
    if law.kind == "constant-power":
        return 1.0 if volts > 0 else 0.0
    return amperes(law, volts) / law.amps_per_metre


def straight_line(law: StripLaw, metres: float, ohms_per_metre: float) -> StripLine | None:
    """Describe a strip by its closed forms, or give None if its law is nowhere a straight line."""
    _, _, led_volts, least_volts, amps, siemens = law
    if law.kind == "resistor-limited":
        return StripLine(metres, ohms_per_metre, siemens, -siemens * led_volts, least_volts)
    if law.kind == "current-regulated":
        return StripLine(metres, ohms_per_metre, 0.0, amps, least_volts)
    return None

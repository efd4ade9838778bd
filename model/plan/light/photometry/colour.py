"""The colour of white light: what a nominal temperature means, mixing, and steps between lines.

Chromaticities are those of the CIE 1931 2° observer. Left out: how one strip's colour changes as
it warms, ages or is dimmed, and how surfaces change it.
"""

from collections.abc import Iterable
from math import hypot, inf, sqrt
from typing import Final, NamedTuple

LEAST_KELVIN: Final = 1000.0
"""Least temperature that the closed form of the Planckian locus is made for. [K]"""
MOST_KELVIN: Final = 15000.0
FARTHEST_DUV: Final = 0.05
"""Farthest from the locus that light is still called white (CIE 15). [-]"""

WARM_BELOW: Final = 3300.0
"""Warm white is below this, by retail advice in Germany. [K]"""
COOL_ABOVE: Final = 5300.0
"""Cool white is above this, by the same; by EN 12464-1 from memory. [K]"""

STEP_UV: Final = 0.0011
"""One step in u'v' as CIE TN 001:2014 has it, from memory: a default. [-]"""
INVISIBLE_STEPS: Final = 1.0
"""A difference that is about not visible (licht.de, MacAdam ellipses)."""
UNNOTICED_STEPS: Final = 3.0
"""A difference that is in practice not noticed, by the same trade sources."""

GOOD_RA: Final = 90.0
GOOD_R9: Final = 50.0
EXCELLENT_R9: Final = 90.0

_LEAST_Y: Final = 0.001  # even the farthest violet has more
_GOLDEN: Final = (sqrt(5) - 1) / 2
_NARROWINGS: Final = 60  # of the range of mireds, to far below what the locus is good for
_AT_END: Final = 1e-6
_PERFECT: Final = 100.0
_V_DASH: Final = 1.5  # v' of the 1976 diagram is 3/2 of the v of 1960


class NominalWhite(NamedTuple):
    """What a strip sold at a nominal temperature is allowed to be."""

    kelvin: int
    """The nominal temperature. [K]"""
    target: float
    """The correlated colour temperature aimed at. [K]"""
    tolerance: float
    """How far from it it may be, either way. [K]"""
    x: float
    y: float


# ANSI C78.377-2017, as reprinted. The reprint's x of 3000 K (.4439) and of 4000 K (.3813) are
# misprints, for they are 2880 and 3999 K; those below are from memory of the standard and come
# to its targets. The 2024 edition adds 1800 and 2000 K.
NOMINAL_WHITES: Final = (
    NominalWhite(2200, 2238, 102, 0.5018, 0.4153),
    NominalWhite(2500, 2460, 120, 0.4806, 0.4141),
    NominalWhite(2700, 2725, 145, 0.4578, 0.4101),
    NominalWhite(3000, 3045, 175, 0.4339, 0.4033),
    NominalWhite(3500, 3465, 245, 0.4078, 0.3930),
    NominalWhite(4000, 3985, 275, 0.3818, 0.3797),
    NominalWhite(4500, 4503, 243, 0.3613, 0.3670),
    NominalWhite(5000, 5029, 283, 0.3446, 0.3551),
    NominalWhite(5700, 5667, 355, 0.3287, 0.3425),
    NominalWhite(6500, 6532, 510, 0.3123, 0.3283),
)


class Light(NamedTuple):
    """Some light of one colour."""

    x: float
    """CIE 1931 chromaticity. [-]"""
    y: float
    lumens: float
    """How much there is of it, in any unit that all are given in. [lm]"""


class ColourTemperature(NamedTuple):
    """The place of a white beside the Planckian locus."""

    kelvin: float
    """Correlated colour temperature. [K]"""
    duv: float
    """Distance from the locus in CIE 1960 u, v; plus above it, greenish, minus pinkish. [-]"""


class ColourStep(NamedTuple):
    """How far apart two whites are."""

    delta: float
    """Distance in CIE 1976 u'v'. [-]"""

    @property
    def steps(self) -> float:
        """The same, in steps of ``STEP_UV``. [-]"""
        return self.delta / STEP_UV

    @property
    def words(self) -> str:
        """What an eye makes of it, where the two are side by side."""
        if self.steps <= INVISIBLE_STEPS:
            return "not visible"
        if self.steps <= UNNOTICED_STEPS:
            return "hardly noticed"
        return "noticed side by side"


def white_name(kelvin: float) -> str:
    """Give the word for a white: warm, neutral or cool.

    Args:
        kelvin: Correlated colour temperature, above 0. [K]

    Returns:
        The word.

    Raises:
        ValueError: The temperature is not above 0.
    """
    if not kelvin > 0:
        raise ValueError(f"a temperature above 0 K is wanted, not {kelvin}")
    if kelvin < WARM_BELOW:
        return "warm"
    return "cool" if kelvin > COOL_ABOVE else "neutral"


def nominal_white(kelvin: int) -> NominalWhite | None:
    """Give the row of a nominal temperature, nothing where the standard has none. [K]"""
    return next((white for white in NOMINAL_WHITES if white.kelvin == kelvin), None)


def planckian(kelvin: float) -> tuple[float, float]:
    """Give the CIE 1960 u, v of a glowing black body.

    Args:
        kelvin: Its temperature, 1000 to 15000. [K]

    Returns:
        u and v; within 0.0001 of the exact ones. [-]

    Raises:
        ValueError: The temperature is out of range.

    Source: M. Krystek, Color Research and Application 10 (1985), 38-40.
    """
    if not LEAST_KELVIN <= kelvin <= MOST_KELVIN:
        raise ValueError(f"{LEAST_KELVIN:g} to {MOST_KELVIN:g} K is wanted, not {kelvin}")
    square = kelvin * kelvin
    return (
        (0.860117757 + 1.54118254e-4 * kelvin + 1.28641212e-7 * square)
        / (1 + 8.42420235e-4 * kelvin + 7.08145163e-7 * square),
        (0.317398726 + 4.22806245e-5 * kelvin + 4.20481691e-8 * square)
        / (1 - 2.89741816e-5 * kelvin + 1.61456053e-7 * square),
    )


def colour_temperature(x: float, y: float) -> ColourTemperature:
    """Give the correlated colour temperature of a chromaticity, and its distance from the locus.

    Args:
        x: CIE 1931 chromaticity. [-]
        y: The other. [-]

    Returns:
        Temperature and Duv; of whites from 1800 to 7000 K the temperature is within 0.15 %.

    Raises:
        ValueError: The chromaticity is not of a white: beyond 1000 to 15000 K, or more than
            0.05 from the locus.

    Source: CIE 15: the temperature whose point on the Planckian locus is nearest in u, v of the
    CIE 1960 diagram.

    >>> round(colour_temperature(0.4578, 0.4101).kelvin, -1)
    2720.0
    """
    u, v = _uv(x, y)
    low, high = 1 / MOST_KELVIN, 1 / LEAST_KELVIN
    for _ in range(_NARROWINGS):
        part = _GOLDEN * (high - low)
        if _distance(u, v, 1 / (high - part)) < _distance(u, v, 1 / (low + part)):
            high = low + part
        else:
            low = high - part
    kelvin = 2 / (low + high)
    away = _distance(u, v, kelvin)
    at_end = min(kelvin / LEAST_KELVIN, MOST_KELVIN / kelvin) < 1 + _AT_END
    if away > FARTHEST_DUV or at_end:
        raise ValueError(f"x {x}, y {y} is not a white of {LEAST_KELVIN:g} to {MOST_KELVIN:g} K")
    return ColourTemperature(kelvin, away if v > planckian(kelvin)[1] else -away)


def mixed(lights: Iterable[Light]) -> Light:
    """Give the light that several make together.

    Each brings Y in proportion to its flux, X = Y x / y and Z = Y (1 - x - y) / y; they add up.

    Args:
        lights: At least one with some flux; x above 0, y at least 0.001, together at most 1.

    Returns:
        Its chromaticity and the sum of the flux.

    Raises:
        ValueError: There is no light, or a figure is out of range.

    Source: additive mixture, CIE 15.

    >>> warm, neutral = Light(0.4578, 0.4101, 300), Light(0.3818, 0.3797, 300)
    >>> both = mixed([warm, neutral])
    >>> round(both.x, 4), round(both.y, 4), both.lumens
    (0.4183, 0.3943, 600.0)
    """
    over_x = over_all = lumens = 0.0
    for light in lights:
        _check_chromaticity(light.x, light.y)
        if not 0 <= light.lumens < inf:
            raise ValueError(f"a flux of 0 or more is wanted, not {light.lumens}")
        over_x += light.lumens * light.x / light.y
        over_all += light.lumens / light.y
        lumens += light.lumens
    if not 0 < lumens < inf:
        raise ValueError("there is no light to mix")
    return Light(over_x / over_all, lumens / over_all, lumens)


def evenly_mixed(kelvin: float, other: float) -> ColourTemperature:
    """Give what two Planckian whites make together, as much light of the one as of the other.

    Args:
        kelvin: Temperature of the one, 1000 to 15000. [K]
        other: Temperature of the other. [K]

    Returns:
        Temperature and Duv of the mixture: between them, and below the locus.

    Raises:
        ValueError: A temperature is out of range.

    >>> round(evenly_mixed(2700, 5000).kelvin, -2), round(evenly_mixed(2700, 5000).duv, 4)
    (3600.0, -0.0037)
    """
    both = mixed(Light(*_xy(*planckian(each)), 1.0) for each in (kelvin, other))
    return colour_temperature(both.x, both.y)


def colour_step(kelvin: float, other: float) -> ColourStep:
    """Give how far apart two Planckian whites are.

    Args:
        kelvin: Temperature of the one, 1000 to 15000. [K]
        other: Temperature of the other. [K]

    Returns:
        The distance in u'v', for the least that whites of those temperatures differ.

    Raises:
        ValueError: A temperature is out of range.

    Source: CIE 1976 u'v': u' = u, v' = 3 v / 2.

    >>> round(colour_step(2700, 2800).steps, 1)
    4.3
    """
    (u, v), (other_u, other_v) = planckian(kelvin), planckian(other)
    return ColourStep(hypot(u - other_u, _V_DASH * (v - other_v)))


def nominal_spread(white: NominalWhite) -> ColourStep:
    """Give how far apart two strips of one nominal temperature may be, of different bins."""
    return colour_step(white.target - white.tolerance, white.target + white.tolerance)


def rendering_words(ra: float, r9: float | None = None, colours: str = "colours") -> str:
    """Say what a colour rendering index, and its strong red R9 where known, are worth.

    Args:
        ra: General index Ra, the mean of R1 to R8, at most 100. [-]
        r9: Special index R9, which Ra leaves out; may be below 0. [-]
        colours: What they are called.

    Returns:
        A few words.

    Raises:
        ValueError: An index is above 100 or not a number.

    Source: trade guides: R9 of 50 is good, of 90 excellent; Ra 90 with R9 50 is what California
    asks for in homes (Title 24).
    """
    for index in (ra, 0.0 if r9 is None else r9):
        if not index <= _PERFECT:
            raise ValueError(f"an index of at most {_PERFECT:g} is wanted, not {index}")
    general = f"{'good' if ra >= GOOD_RA else 'plain'} {colours}"
    if r9 is None:
        return f"{general}; red not said: ask for R9"
    if r9 >= EXCELLENT_R9:
        return f"{general}, excellent red"
    return f"{general}, good red" if r9 >= GOOD_R9 else f"{general}, dull red"


def _uv(x: float, y: float) -> tuple[float, float]:
    _check_chromaticity(x, y)
    under = -2 * x + 12 * y + 3
    return 4 * x / under, 6 * y / under


def _xy(u: float, v: float) -> tuple[float, float]:
    under = 2 * u - 8 * v + 4
    return 3 * u / under, 2 * v / under


def _distance(u: float, v: float, kelvin: float) -> float:
    near_u, near_v = planckian(min(max(kelvin, LEAST_KELVIN), MOST_KELVIN))
    return hypot(u - near_u, v - near_v)


def _check_chromaticity(x: float, y: float) -> None:
    if not (x > 0 and y >= _LEAST_Y and x + y <= 1):
        raise ValueError(f"x {x}, y {y} is no chromaticity of any light")

"""How far the separate LEDs of a strip show on the diffuser in front of them.

Left out: channel walls and light scattered inside the diffuser. Both only even the light out, so
what is worked out here shows the dots at their worst.
"""

from math import exp, expm1, isfinite, pi
from typing import Final

# The eye begins to see a contrast of 1 to 2 % (Weber's fraction): common practice.
VISIBLE_SHARE: Final = 0.02

_HALVINGS: Final = 100


def dot_modulation(pitch: float, distance: float) -> float:
    """Give how unevenly a row of LEDs lights the diffuser: (max - min) / (max + min).

    The LEDs are Lambertian points in an endless straight row; the diffuser is flat, parallel to
    their board, and the light is looked at along the line in front of the row. The sum over all
    LEDs, E(x) = sum of d^2 / (d^2 + (x - k p)^2)^2, has the closed form

        M = (sinh s + s cosh s) / (s + sinh s cosh s),  s = 2 pi d / p

    by the partial fractions of coth and tanh; it is exact at every distance.

    Args:
        pitch: From LED to LED, 0 or more; 0 stands for one continuous phosphor. [mm]
        distance: From the LEDs' faces to the diffuser, 0 or more. [mm]

    Returns:
        The modulation: 0 for even light, 1 for dots with dark between them. [-]

    Raises:
        ValueError: A length is below 0 or not finite.

    Source: Lambert's cosine law (CIE S 017) and the inverse square, summed in closed form.

    >>> round(dot_modulation(pitch=16.0, distance=16.0), 4)
    0.0272
    >>> dot_modulation(pitch=0.0, distance=5.0)
    0.0
    """
    _check_lengths(pitch, distance)
    return 0.0 if pitch == 0 else _modulation(2 * pi * distance / pitch)


def first_harmonic_modulation(pitch: float, distance: float) -> float:
    """Give the modulation by its first harmonic alone: 2 (1 + 2 pi q) exp(-2 pi q), q = d/p.

    Within 3 % of its value from half a pitch on; too large nearer, where it passes 1.

    Args:
        pitch: From LED to LED, 0 or more; 0 stands for one continuous phosphor. [mm]
        distance: From the LEDs' faces to the diffuser, 0 or more. [mm]

    Returns:
        The modulation. [-]

    Raises:
        ValueError: A length is below 0 or not finite.

    Source: Poisson's sum over the row, its first term.
    """
    _check_lengths(pitch, distance)
    if pitch == 0:
        return 0.0
    around = 2 * pi * distance / pitch
    return 2 * (1 + around) * exp(-around)


def hidden_distance(pitch: float, share: float = VISIBLE_SHARE) -> float:
    """Give the least distance from LEDs to diffuser at which their dots are no longer seen.

    Args:
        pitch: From LED to LED, 0 or more; 0 stands for one continuous phosphor. [mm]
        share: Modulation that is just seen, between 0 and 1. [-]

    Returns:
        The distance; 0 for a continuous phosphor. [mm]

    Raises:
        ValueError: The pitch is below 0 or not finite, or the share is not between 0 and 1.

    Source: `dot_modulation`, turned round.

    >>> round(hidden_distance(pitch=10.0), 2)
    10.57
    """
    _check_lengths(pitch, 0.0)
    if not 0 < share < 1:
        raise ValueError(f"a share between 0 and 1 is wanted, not {share}")
    near, far = 0.0, 1.0
    while _modulation(far) > share:
        near, far = far, 2 * far
    for _ in range(_HALVINGS):
        middle = (near + far) / 2
        near, far = (middle, far) if _modulation(middle) > share else (near, middle)
    return pitch * far / (2 * pi)


def _modulation(around: float) -> float:
    if around == 0:
        return 1.0
    # Written in exp(-s), so that neither end of the range overflows or cancels.
    once = exp(-around)
    twice = once * once
    over = -expm1(-2 * around) + around * (1 + twice)
    under = -expm1(-4 * around) + 4 * around * twice
    return min(2 * once * over / under, 1.0)


def _check_lengths(pitch: float, distance: float) -> None:
    for name, length in (("pitch", pitch), ("distance", distance)):
        if not (isfinite(length) and length >= 0):
            raise ValueError(f"a {name} of 0 or more is wanted, not {length}")

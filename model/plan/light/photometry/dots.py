"""How far the separate LEDs of a strip show on the diffuser in front of them.

Left out: channel walls and light scattered inside the diffuser. Both only even the light out, so
what is worked out here shows the dots at their worst.
"""

from math import exp, expm1, isfinite, pi


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

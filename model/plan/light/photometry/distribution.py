"""How a strip's light is spread: across it by a cosine or a table, and along it by a cosine.

A piece of strip sends I0' f(psi) cos^m(beta) in a direction, where psi is the angle across the
strip from the way it faces, plus towards the room, beta the angle along it from the plane across,
and I0' its greatest intensity for f = 1. Every strip here is the same all along.

A cosine power is the law of one flat face: dark behind it. Left out: light whose spread across
changes along the beam, as from a bat-wing lens over each LED, and colour that changes with it.
"""

from bisect import bisect_right
from collections.abc import Sequence
from itertools import pairwise
from math import exp, inf, isfinite, lgamma, log, log1p, pi, radians, sin, sqrt
from typing import Final, NamedTuple

NARROWEST_BEAM: Final = 1.0
"""Narrowest beam that a power of the cosine is worked out for. [°]"""
LARGEST_EXPONENT: Final = 20_000.0
"""A little over the exponent of the narrowest beam. [-]"""
_FACE: Final = 90.0  # degrees from straight ahead to a flat face's own plane


class Distribution(NamedTuple):
    """The spread of a strip's light. Make one with the functions below."""

    across: float
    """Power n of the cosine across the strip, where there is no table. [-]"""
    along: float
    """Power m of the cosine along the strip. [-]"""
    spread: float
    """Integral of f over psi. [rad]"""
    angles: tuple[float, ...] = ()
    """Angles across the strip that the table gives f at, upwards. [rad]"""
    shares: tuple[float, ...] = ()
    """The f of each angle, 1 at most; outside them it is 0. [-]"""


def cosine_power(across: float, along: float = 1.0) -> Distribution:
    """Spread light by cos^n of the angle across the strip and cos^m of the angle along it.

    Args:
        across: The power n: 1 for a bare or opal flat strip (Lambert), 0 for one that is as
            bright to the sides as ahead. [-]
        along: The power m, 1 for nearly all strips without optics along them. [-]

    Returns:
        The distribution.

    Raises:
        ValueError: A power is negative, not finite or too large.
    """
    for power in (across, along):
        _check_power(power)
    return Distribution(across, along, cosine_integral(across))


def beam(degrees: float) -> Distribution:
    """Spread light across the strip by a beam angle, and by the cosine along it.

    Args:
        degrees: Full angle between the directions of half the greatest intensity, 1 to below
            180; 120 is Lambert. [°]

    Returns:
        The distribution.

    Raises:
        ValueError: The angle is out of range.
    """
    return cosine_power(beam_exponent(degrees))


def tabulated_light(
    degrees: Sequence[float], shares: Sequence[float], along: float = 1.0
) -> Distribution:
    """Spread light across the strip by a table, straight from each angle to the next.

    Args:
        degrees: Angles from the way the strip faces, upwards from -90 to 90 at most, plus
            towards the room. Beyond the first and the last it is dark. [°]
        shares: The intensity at each angle, in any unit. [-]
        along: Power m of the cosine along the strip. [-]

    Returns:
        The distribution.

    Raises:
        ValueError: The angles do not go upwards, or an intensity is missing, below 0, not finite.
    """
    _check_power(along)
    if len(degrees) < 2 or len(degrees) != len(shares):
        raise ValueError("a table needs two or more angles, with one intensity for each")
    upwards = all(low < high for low, high in pairwise(degrees))
    if not upwards or degrees[0] < -_FACE or degrees[-1] > _FACE:
        raise ValueError("the angles of a table go upwards, from -90° to 90° at most")
    if not all(0 <= each < inf for each in shares) or not max(shares) > 0:
        raise ValueError("the intensities of a table are 0 or more, finite, and not all 0")
    angles = tuple(radians(angle) for angle in degrees)
    parts = tuple(each / max(shares) for each in shares)
    ends = zip(pairwise(angles), pairwise(parts), strict=True)
    spread = sum((high - low) * (one + other) / 2 for (low, high), (one, other) in ends)
    return Distribution(0.0, along, spread, angles, parts)


def beam_exponent(degrees: float) -> float:
    """Give the power of the cosine of a beam angle: n = ln 0.5 / ln cos(beam / 2).

    Args:
        degrees: Full angle at half the greatest intensity, 1 to below 180. [°]

    Returns:
        The power n. [-]

    Raises:
        ValueError: The angle is out of range.

    Source: Lambertian order of an emitter, m = -ln 2 / ln cos(half angle), as in texts on
    optical wireless links.
    """
    if not NARROWEST_BEAM <= degrees < 2 * _FACE:
        raise ValueError(
            f"a beam of {degrees:g}° is no power of the cosine: give one from 1° to below 180°"
            " (179° is nearly as bright to its sides as ahead)"
        )
    half = radians(degrees) / 2
    return -log(2) / log1p(-2 * sin(half / 2) ** 2)


def cosine_integral(power: float) -> float:
    """Give the integral of cos^n from -90° to 90°: sqrt(pi) gamma((n+1)/2) / gamma(n/2 + 1).

    Args:
        power: The power n, above -1. [-]

    Returns:
        The integral: pi for 0, 2 for 1, pi/2 for 2. [rad]

    Source: Euler's beta integral (Abramowitz and Stegun, 6.2.1).
    """
    return sqrt(pi) * exp(lgamma((power + 1) / 2) - lgamma(power / 2 + 1))


def peak(distribution: Distribution, lumens_per_metre: float) -> float:
    """Give a strip's I0': its intensity for f = 1, each metre. [cd/m]

    I0' = F' / (S W), where S is the integral of f across and W that of cos^(m+1) along.

    Args:
        distribution: Its spread.
        lumens_per_metre: Luminous flux F' that leaves it. [lm/m]

    Returns:
        The intensity; F'/pi for Lambert, F' (n+1)/(2 pi) for a round power. [cd/m]

    Source: flux is the integral of intensity over solid angle (CIE S 017), which is
    cos(beta) d(beta) d(psi).
    """
    return lumens_per_metre / (distribution.spread * cosine_integral(distribution.along + 1))


def table_share(angles: tuple[float, ...], shares: tuple[float, ...], psi: float) -> float:
    """Give f of a table by straight lines between its angles, 0 outside them.

    Args:
        angles: The angles, upwards. [rad]
        shares: The f of each. [-]
        psi: The angle asked for. [rad]

    Returns:
        The share. [-]
    """
    after = bisect_right(angles, psi)
    if after == 0:
        return 0.0
    if after == len(angles):
        return shares[-1] if psi == angles[-1] else 0.0
    low, first = angles[after - 1], shares[after - 1]
    return first + (shares[after] - first) * (psi - low) / (angles[after] - low)


def _check_power(power: float) -> None:
    if not isfinite(power) or not 0 <= power <= LARGEST_EXPONENT:
        raise ValueError(
            f"{power:g} is no power of the cosine here; give one from 0 to {LARGEST_EXPONENT:g}"
        )


LAMBERT: Final = cosine_power(1.0)
"""A bare or opal flat strip: a beam of 120°."""

"""Spreads of light that no strip of the catalogue has, and what a spread sends in a direction."""

from math import cos, pi

from pelmet.model.plan.light.photometry.distribution import (
    Distribution,
    beam_exponent,
    cosine_power,
    peak,
    table_share,
)


def round_power(power: float) -> Distribution:
    """Spread light by cos^n of the angle to the way the strip faces, alike all round.

    As cos(angle) = cos(psi) cos(beta), it is a cosine power with the same power along as across.
    """
    return cosine_power(power, power)


def round_beam(degrees: float) -> Distribution:
    """Spread light alike all round the way the strip faces, by a beam angle."""
    return round_power(beam_exponent(degrees))


def all_round() -> Distribution:
    """Spread light as an opal tube does: as much to every side, by the cosine along it.

    Its tilt means nothing, and I0' = F'/pi².
    """
    return Distribution(0.0, 1.0, 2 * pi, (-pi, pi), (1.0, 1.0))


def share(spread: Distribution, psi: float) -> float:
    """Give the f of an angle across the strip: 0 behind the face of a cosine power."""
    if spread.angles:
        return table_share(spread.angles, spread.shares, psi)
    return float(cos(psi) ** spread.across) if abs(psi) < pi / 2 else 0.0


def intensity(spread: Distribution, lumens_per_metre: float, psi: float, beta: float = 0) -> float:
    """Give the luminous intensity of each metre in a direction. [cd/m]"""
    ahead = peak(spread, lumens_per_metre) * share(spread, psi)
    return ahead * float(max(cos(beta), 0.0) ** spread.along)

"""How bright a strip's image in the worktop is, against the worktop itself.

A clear, smooth surface of any colour reflects by Fresnel's equations, so a polished black top
and a polished white one mirror a strip alike; it stands out on the black one. Left out: metal,
and what a textured surface does at other angles than gloss is measured at.
"""

from collections.abc import Mapping
from math import cos, hypot, inf, pi, radians, sqrt
from typing import Final, Literal, NamedTuple

FinishName = Literal["polished", "satin", "matt"]

STONE_INDEX: Final = 1.5
"""Refractive index of stone, glass, resin and lacquer, about: common practice. [-]"""
GLOSS_INDEX: Final = 1.567
"""Of the black glass whose gloss is 100 (ISO 2813). [-]"""
GLOSS_ANGLE: Final = 60.0
"""Angle of incidence that gloss is measured at, where none is said (ISO 2813). [°]"""
LARGEST_INDEX: Final = 10.0

_QUARTER: Final = 90.0
_FULL_GLOSS: Final = 100.0


class Finish(NamedTuple):
    """How a worktop's finish mirrors."""

    gloss: tuple[float, float]
    """Its band, at 60°. [GU]"""
    share: float
    """Of a polished surface's reflection that is left in the image. [-]"""
    standing: str


def fresnel_reflectance(incidence: float, index: float = STONE_INDEX) -> float:
    """Give the share of unpolarised light that a clear, smooth surface reflects.

    Half the sum of rs^2 and rp^2, where rs = (cos i - n cos r) / (cos i + n cos r),
    rp = (n cos i - cos r) / (n cos i + cos r) and n sin r = sin i.

    Args:
        incidence: Angle to the surface's normal, 0 to 90. [°]
        index: Refractive index n of the surface against air, 1 to 10. [-]

    Returns:
        The share, ((n - 1) / (n + 1))^2 straight on and 1 at grazing incidence. [-]

    Raises:
        ValueError: The angle or the index is out of range.

    Source: Fresnel's equations (Reflection of light by a transparent medium in air, Springer,
    10.1007/978-1-4419-6247-8_9862).

    >>> round(fresnel_reflectance(0.0, index=1.5), 6)
    0.04
    """
    if not 0 <= incidence <= _QUARTER:
        raise ValueError(f"an angle of 0 to 90 degrees is wanted, not {incidence}")
    if not 1 <= index <= LARGEST_INDEX:
        raise ValueError(f"an index of 1 to {LARGEST_INDEX:g} is wanted, not {index}")
    cosine = cos(radians(incidence))
    inside = hypot(cosine, sqrt((index - 1) * (index + 1)))  # n cos r
    square = (cosine - inside) / (cosine + inside)
    along = (index * index * cosine - inside) / (index * index * cosine + inside)
    return (square * square + along * along) / 2


def gloss_share(gloss: float, index: float = STONE_INDEX) -> float:
    """Give the share of a polished surface's reflection that a gloss reading leaves.

    Gloss counts what goes into a slit about the mirrored direction at 60°. The image of a narrow
    strip is blurred as well, so its luminance is at most this share.

    Args:
        gloss: Reading at 60°, 0 or more. [GU]
        index: Refractive index of the surface, above 1, to 10. [-]

    Returns:
        The share, 1 at most. [-]

    Raises:
        ValueError: The gloss is negative or not finite, or the index is out of range.

    Source: ISO 2813: 100 GU is what polished black glass of index 1.567 reflects.
    """
    if not 0 <= gloss < inf:
        raise ValueError(f"a gloss of 0 or more is wanted, not {gloss}")
    if index == 1:
        raise ValueError("a surface of index 1 reflects nothing")
    glass = fresnel_reflectance(GLOSS_ANGLE, GLOSS_INDEX)
    return min(gloss / _FULL_GLOSS * glass / fresnel_reflectance(GLOSS_ANGLE, index), 1.0)


def strip_luminance(lumens_per_metre: float, width: float) -> float:
    """Give the luminance of a flat, even diffuser: F' / (pi w).

    Args:
        lumens_per_metre: Luminous flux F' that leaves it, 0 or more. [lm/m]
        width: Its lit width w, above 0. [m]

    Returns:
        The luminance. [cd/m2]

    Raises:
        ValueError: The flux is negative or the width is not above 0.

    Source: Lambert's law, M = pi L (CIE S 017).
    """
    if not (0 <= lumens_per_metre < inf and 0 < width < inf):
        raise ValueError(f"lm/m and a width are wanted, not {lumens_per_metre} and {width}")
    return lumens_per_metre / (pi * width)


def top_luminance(lux: float, reflectance: float) -> float:
    """Give the luminance of the worktop itself, taken as matt: rho E / pi.

    Args:
        lux: Illuminance E, 0 or more. [lx]
        reflectance: Diffuse reflectance rho, 0 to 1. [-]

    Returns:
        The luminance. [cd/m2]

    Raises:
        ValueError: A figure is out of range.

    Source: E. F. Kelley, Information Display, February 2008.
    """
    if not (0 <= lux < inf and 0 <= reflectance <= 1):
        raise ValueError(f"lux and a reflectance are wanted, not {lux} and {reflectance}")
    return reflectance * lux / pi


def image_contrast(
    strip: float, incidence: float, top: float, share: float = 1.0, index: float = STONE_INDEX
) -> float:
    """Give how many times as bright as the top itself the image stands out on it: share R L / Lt.

    Args:
        strip: Luminance L of the diffuser, 0 or more. [cd/m2]
        incidence: Angle of the ray to the upright at the top, 0 to 90. [°]
        top: Luminance Lt of the top itself, 0 or more. [cd/m2]
        share: What the finish leaves of a polished surface's reflection, 0 to 1. [-]
        index: Refractive index of the top's surface, 1 to 10. [-]

    Returns:
        The contrast; infinite on a top that is black. [-]

    Raises:
        ValueError: A figure is out of range.

    Source: Weber contrast, of the image over the ground that it lies on.

    >>> on_black_granite = top_luminance(lux=500, reflectance=0.05)
    >>> round(image_contrast(strip_luminance(700, 0.016), 28.7, on_black_granite))
    72
    """
    if not (0 <= strip < inf and 0 <= top < inf and 0 <= share <= 1):
        raise ValueError(f"luminances and a share are wanted, not {strip}, {top} and {share}")
    image = share * fresnel_reflectance(incidence, index) * strip
    if image == 0:
        return 0.0
    return image / top if top > 0 else inf


# Bands: low, semi and high gloss at 60° as gloss meters' users part them (below 10, to 70,
# above). The shares of satin and matt are estimates, at the middle of their bands.
FINISHES: Final[Mapping[FinishName, Finish]] = {
    "polished": Finish((70.0, 100.0), 1.0, "the most there can be, by Fresnel's equations"),
    "satin": Finish((10.0, 70.0), round(gloss_share(40.0), 2), "estimate: 40 GU, mid band"),
    "matt": Finish((0.0, 10.0), round(gloss_share(5.0), 2), "estimate: 5 GU, mid band"),
}

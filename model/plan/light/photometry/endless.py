"""The splashback's light on a worktop so long that its ends do not count, from endless strips.

Coordinates as in ``line``.
"""

from collections.abc import Callable, Sequence
from itertools import pairwise
from math import hypot
from typing import Final

from pelmet.model.plan.light.photometry.bounce import check_reflectance
from pelmet.model.plan.light.photometry.line import GAUSS, LitLine, endless_on_wall

_PANELS: Final = 8  # to begin with
_DEEPEST: Final = 20  # halvings
_EXACT: Final = 1e-9  # of the integral, in each panel


def endless_bounce(lines: Sequence[LitLine], height: float, reflectance: float, x: float) -> float:
    """Give what endless strips give an endless worktop by one bounce off the splashback.

    E(x) = integral from 0 to H of rho E_wall(z) / 2 x z / (x² + z²)^(3/2) dz, to 1e-8 of itself.

    Args:
        lines: The strips, whose ends do not count, without lip.
        height: Height H of the splashback, above 0. [m]
        reflectance: The share of light that it gives back, 0 to 1. [-]
        x: Distance of the point from the wall, above 0. [m]

    Returns:
        Illuminance by bounced light. [lx]

    Raises:
        ValueError: The reflectance is out of range.

    Source: view factor from an element to an endless strip, half the difference of the sines of
    the angles to its edges.
    """
    check_reflectance(reflectance)

    def each(z: float) -> float:
        on_wall = sum(endless_on_wall(line, z) for line in lines)
        return reflectance * on_wall / 2 * x * z / hypot(x, z) ** 3

    edges = [height * panel / _PANELS for panel in range(_PANELS + 1)]
    panels = [(low, high, _gauss(each, low, high)) for low, high in pairwise(edges)]
    least = _EXACT * sum(whole for _, _, whole in panels)
    return sum(_halved(each, *panel, least, _DEEPEST) for panel in panels)


def endless_means(
    direct: tuple[float, float],
    top_depth: float,
    height: float,
    top_reflectance: float,
    wall_reflectance: float,
) -> tuple[float, float]:
    """Give the mean light of a very long worktop and splashback that light each other.

    Each is taken to be as bright all over.

    Args:
        direct: Mean direct illuminance of worktop and splashback. [lx]
        top_depth: Depth D of the worktop, above 0. [m]
        height: Height H of the splashback, above 0. [m]
        top_reflectance: The share of light that the worktop gives back, 0 to 1. [-]
        wall_reflectance: The share that the splashback gives back, 0 to 1. [-]

    Returns:
        Mean illuminance of worktop and splashback, bounced light included. [lx]

    Raises:
        ValueError: A reflectance is out of range.

    Source: radiosity as in ``bounce``, solved; view factor of an endless corner by crossed
    strings (H. Hottel), F = (D + H - sqrt(D² + H²)) / (2 D) from the worktop.
    """
    check_reflectance(top_reflectance)
    check_reflectance(wall_reflectance)
    strings = (top_depth + height - hypot(top_depth, height)) / 2
    to_top = strings / top_depth * wall_reflectance
    to_wall = strings / height * top_reflectance
    on_top, on_wall = direct
    top = (on_top + to_top * on_wall) / (1 - to_top * to_wall)
    return top, on_wall + to_wall * top


def _gauss(each: Callable[[float], float], low: float, high: float) -> float:
    half = (high - low) / 2
    return half * sum(weight * each(low + half * (1 + place)) for place, weight in GAUSS)


def _halved(
    each: Callable[[float], float], low: float, high: float, whole: float, least: float, left: int
) -> float:
    """Integrate by halves until two halves give what the whole gave."""
    middle = (low + high) / 2
    one, other = _gauss(each, low, middle), _gauss(each, middle, high)
    if left == 0 or abs(one + other - whole) <= least:
        return one + other
    return _halved(each, low, middle, one, least, left - 1) + _halved(
        each, middle, high, other, least, left - 1
    )

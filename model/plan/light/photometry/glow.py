"""A lit surface as seen from the one square to it, across the corner that they share.

It is cut into patches: rows, each evenly bright over its depth; columns along which the brightness
goes straight from one side to the other. What a point gets of a patch is exact, so a point close to
the corner is no trouble. Patches over `REACH` away along the wall are left out.

Coordinates as in ``line``; "away" is the distance from the corner, on either surface.
"""

from collections.abc import Sequence
from math import pi
from typing import Final, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from pelmet.model.plan.light.photometry.straight import Array

REACH: Final = 3.0
"""How far along the wall light is followed: under 1 % of it comes from further. [m]"""
_IN_CORNER: Final = 1e-6  # metres; a point nearer to the corner is taken to be this far

Shares: TypeAlias = float | Array
"""The share of light that is given back: of all patches, or by row and edge of the columns."""


class Glow(NamedTuple):
    """A lit surface as seen from the one square to it, across the corner."""

    along: tuple[float, ...]
    """Edges of the columns. [m]"""
    away: tuple[float, ...]
    """Edges of the rows. [m]"""
    bright: Array
    """What each row gives back at each edge of the columns. [lm/m²]"""


def glow_of(
    along: tuple[float, ...],
    away: tuple[float, ...],
    lux: Array | Sequence[Sequence[float]],
    reflectance: Shares,
) -> Glow:
    """Describe a lit surface that gives light back, dull.

    Args:
        along: Edges of its columns along the wall, upwards. [m]
        away: Edges of its rows, distances from the corner, upwards from 0 or more. [m]
        lux: For each row, its mean illuminance at each edge of the columns. [lx]
        reflectance: The share of light that it gives back, 0 to 1. [-]

    Returns:
        The lit surface, for `lux_from`.
    """
    return Glow(along, away, np.asarray(lux, dtype=np.float64) * reflectance)


class Views(NamedTuple):
    """How points of the surface square to a lit one see it."""

    first: NDArray[np.intp]
    """The first edge of columns within reach of each point."""
    weights: Array
    """Of brightness: by point, row, and edge of columns from the first on. [lx of lm/m²]"""


def views_from(along: tuple[float, ...], edges: tuple[float, ...], away: Array, y: Array) -> Views:
    """Look at a surface that is cut into patches from points of the surface square to it.

    A patch of even brightness M from (u1, z1) to (u2, z2), u along from the point, gives
    M / (2 pi) times the difference over z of (x / r) (atan(u1 / r) - atan(u2 / r)), where
    r² = x² + z²; one whose brightness goes as u, x / (4 pi) times that of log(r² + u²).

    Args:
        along: Edges of its columns along the wall, upwards. [m]
        edges: Edges of its rows, distances from the corner, upwards from 0 or more. [m]
        away: Distance of each point from the corner, on its own surface, 0 or more. [m]
        y: Position of each point along the wall. [m]

    Returns:
        How the points see it, however bright it is.

    Source: the integral of cos cos / (pi d²); for an even patch the configuration factor of an
    element and an oblong square to it (J. R. Howell, Radiation heat transfer configuration
    factors, B-4, from memory; the tests integrate it anew).
    """
    places = np.array(along)
    first = np.maximum(np.searchsorted(places, y - REACH, side="right") - 1, 0)
    end = np.minimum(np.searchsorted(places, y + REACH, side="left") + 1, len(along))
    seen = first[:, None] + np.arange(max(int((end - first).max()), 1))
    within = seen < end[:, None]
    offs = places[np.minimum(seen, len(along) - 1)] - y[:, None]
    near, far = column_weights(np.maximum(away, _IN_CORNER)[:, None], edges, offs[:, None, :])
    weights = np.zeros((len(y), len(edges) - 1, offs.shape[1]))
    both = within[:, None, 1:]
    weights[:, :, :-1] = np.where(both, near, 0.0)
    weights[:, :, 1:] += np.where(both, far, 0.0)
    return Views(first, weights)


def column_weights(away: Array, edges: tuple[float, ...], offs: Array) -> tuple[Array, Array]:
    """Give what brightness at the near and at the far end of columns weighs, row by row.

    Args:
        away: Distance of points from the corner, on their own surface, above 0, x 1. [m]
        edges: Edges of the rows, distances from the corner. [m]
        offs: Edges of the columns along the wall, from each point, upwards: points x 1 x edges. [m]

    Returns:
        Both by point, row and column. [lx of lm/m²]
    """
    square = (away * away + np.array(edges) ** 2)[:, :, None]
    distance = np.sqrt(square)
    angles = np.arctan(offs / distance) / distance
    logs = np.log(square + offs * offs) / 2
    # From edge to edge along the wall, and away from it.
    even = angles[:, :, 1:] - angles[:, :, :-1]
    sloped = logs[:, :, 1:] - logs[:, :, :-1]
    even, sloped = even[:, :-1] - even[:, 1:], sloped[:, :-1] - sloped[:, 1:]
    left, right = offs[:, :, :-1], offs[:, :, 1:]
    # Beyond the last edge, where nothing is seen, columns have no width.
    scale = away[:, :, None] / (2 * pi) / np.maximum(right - left, _IN_CORNER)
    return (even * right - sloped) * scale, (sloped - even * left) * scale


def lux_from(glow: Glow, away: float, y: float) -> float:
    """Give what a lit surface gives a point of the surface square to it.

    Args:
        glow: The lit surface.
        away: Distance of the point from the corner, on its own surface, 0 or more. [m]
        y: Position of the point along the wall. [m]

    Returns:
        Illuminance by bounced light. [lx]
    """
    return float(
        lux_seen(glow, views_from(glow.along, glow.away, np.array([away]), np.array([y])))[0]
    )


def lux_seen(glow: Glow, views: Views) -> Array:
    """Give `lux_from` at points whose views of the lit surface's patches are known. [lx]"""
    reach = views.weights.shape[2]
    seen = np.minimum(views.first[:, None] + np.arange(reach), len(glow.along) - 1)
    found = np.einsum("prk,rpk->p", views.weights, glow.bright[:, seen])
    return np.asarray(np.maximum(found, 0.0))

"""A lit surface as seen from the one square to it, across the corner that they share.

It is cut into patches: rows, each evenly bright over its depth; columns along which the brightness
goes straight from one side to the other. What a point gets of a patch is exact, so a point close to
the corner is no trouble. Patches over `REACH` away along the wall are left out.

Coordinates as in ``line``; "away" is the distance from the corner, on either surface.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from itertools import pairwise
from math import atan, hypot, log, pi
from operator import mul, sub
from typing import Final, NamedTuple, TypeAlias

REACH: Final = 3.0
"""How far along the wall light is followed: under 1 % of it comes from further. [m]"""
_IN_CORNER: Final = 1e-6  # metres; a point nearer to the corner is taken to be this far

Rows: TypeAlias = Sequence[Sequence[float]]
"""For each row of patches, something at each edge of its columns."""


class Glow(NamedTuple):
    """A lit surface as seen from the one square to it, across the corner.

    For each edge between rows, and the outer two, how much brighter it is beyond the edge than
    before it: within a column, at y, `level` + `slope` y.
    """

    along: tuple[float, ...]
    """Edges of the columns. [m]"""
    away: tuple[float, ...]
    """Edges of the rows. [m]"""
    level: tuple[tuple[float, ...], ...]
    """For each edge and column. [lm/m² over 2 pi]"""
    slope: tuple[tuple[float, ...], ...]
    """For each edge and column. [lm/m³ over 2 pi]"""


def glow_of(
    along: tuple[float, ...], away: tuple[float, ...], lux: Rows, reflectance: float
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
    dark = [0.0] * len(along)
    levels, slopes = [], []
    for before, beyond in pairwise([dark, *lux, dark]):
        steps = [
            (new - old) * reflectance / (2 * pi) for old, new in zip(before, beyond, strict=True)
        ]
        slope = [
            (high - low) / (right - left)
            for (low, high), (left, right) in zip(pairwise(steps), pairwise(along), strict=True)
        ]
        slopes.append(tuple(slope))
        levels.append(
            tuple(step - each * y for step, each, y in zip(steps, slope, along, strict=False))
        )
    return Glow(along, away, tuple(levels), tuple(slopes))


class PointView(NamedTuple):
    """How a point of the surface square to a lit one sees it."""

    away: float
    """Distance of the point from the corner. [m]"""
    y: float
    """Position of the point along the wall. [m]"""
    here: slice
    """The columns within its reach."""
    weights: tuple[tuple[list[float], list[float]], ...]
    """For each edge between rows, what `column_weights` gives."""


def view_from(
    along: tuple[float, ...], edges: tuple[float, ...], away: float, y: float
) -> PointView:
    """Look at a surface that is cut into patches from a point of the surface square to it.

    Args:
        along: Edges of its columns along the wall, upwards. [m]
        edges: Edges of its rows, distances from the corner, upwards from 0 or more. [m]
        away: Distance of the point from the corner, on its own surface, 0 or more. [m]
        y: Position of the point along the wall. [m]

    Returns:
        How the point sees it, however bright it is.
    """
    away = max(away, _IN_CORNER)
    first = max(bisect_right(along, y - REACH) - 1, 0)
    last = bisect_left(along, y + REACH) + 1
    offs = [edge - y for edge in along[first:last]]
    weights = tuple(column_weights(away, edge, offs) for edge in edges)
    return PointView(away, y, slice(first, first + len(offs) - 1), weights)


def lux_from(glow: Glow, away: float, y: float) -> float:
    """Give what a lit surface gives a point of the surface square to it.

    A patch of even brightness M from (u1, z1) to (u2, z2), u along from the point, gives
    M / (2 pi) times the difference over z of (x / r) (atan(u1 / r) - atan(u2 / r)), where
    r² = x² + z²; one whose brightness goes as u, x / (4 pi) times that of log(r² + u²).

    Args:
        glow: The lit surface.
        away: Distance of the point from the corner, on its own surface, 0 or more. [m]
        y: Position of the point along the wall. [m]

    Returns:
        Illuminance by bounced light. [lx]

    Source: the integral of cos cos / (pi d²); for an even patch the configuration factor of an
    element and an oblong square to it (J. R. Howell, Radiation heat transfer configuration
    factors, B-4, from memory; the tests integrate it anew).
    """
    return lux_seen(glow, view_from(glow.along, glow.away, away, y))


def lux_seen(glow: Glow, view: PointView) -> float:
    """Give `lux_from` at a point whose view of the lit surface's patches is known. [lx]"""
    away, y, here, weights = view
    total = 0.0
    for levels, slopes, (even, sloped) in zip(glow.level, glow.slope, weights, strict=True):
        level, slope = levels[here], slopes[here]
        total += sum(map(mul, level, even)) + y * sum(map(mul, slope, even))
        total += sum(map(mul, slope, sloped))
    return max(total, 0.0) * away


def column_weights(
    away: float, edge: float, offs: Sequence[float]
) -> tuple[list[float], list[float]]:
    """Give what columns weigh in the light of a point, in front of an edge between their rows.

    Args:
        away: Distance of the point from the corner, on its own surface, above 0. [m]
        edge: Distance of the edge from the corner. [m]
        offs: Edges of the columns along the wall, from the point, upwards. [m]

    Returns:
        For each column, its weight by its even brightness [1/m], and by how much brightness
        grows a metre [-]; what they come to is still to be multiplied by ``away``.
    """
    distance = hypot(away, edge)
    square = distance * distance
    angles = [atan(off / distance) / distance for off in offs]
    logs = [log(square + off * off) / 2 for off in offs]
    return list(map(sub, angles[1:], angles)), list(map(sub, logs[1:], logs))

"""The lip or pelmet that hangs before or behind a strip, and what it keeps dark.

The lip is a thin upright board along the whole run, from the cabinet down to its bottom: where it
has ends, the light round them is left out, and so is what the lip itself reflects. A strip right
above or below the lip (at its x) is not shaded by it.

Coordinates as in ``line``.
"""

from collections.abc import Sequence
from math import inf
from typing import NamedTuple

from pelmet.model.plan.light.photometry.line import (
    LitLine,
    lux_on_top,
    lux_on_wall,
)


class Lip(NamedTuple):
    """What hangs down in front of a strip: a lip, a light rail, doors, a channel's own wall.

    Distance of its inner face from the wall, and height of its lower edge above the worktop [m].
    """

    x: float
    bottom: float


def lip_at(x: float, bottom: float) -> Lip:
    """Describe a lip.

    Args:
        x: Its distance from the wall, 0 or more. [m]
        bottom: Height of its lower edge above the worktop, above 0. [m]

    Returns:
        The lip.

    Raises:
        ValueError: It is behind the wall, reaches the worktop, or a figure is not finite.
    """
    if not 0 <= x < inf:
        raise ValueError(f"a lip {x:g} m from the wall cannot be; give metres into the room")
    if not 0 < bottom < inf:
        raise ValueError(f"a lip down to {bottom:g} m leaves no gap; give a height above 0 m")
    return Lip(x, bottom)


def is_seen(line: LitLine, lip: Lip | None, x: float, z: float) -> bool:
    """Say if a point sees a strip past a lip: on the worktop z is 0, on the splashback x is 0.

    Args:
        line: The strip.
        lip: The lip, before or behind the strip, or None.
        x: Distance of the point from the wall. [m]
        z: Height of the point above the worktop. [m]

    Returns:
        Whether the straight way from the strip to the point passes below the lip or beside it.

    Source: similar triangles.
    """
    if lip is None:
        return True
    way, to_lip = x - line.x, lip.x - line.x
    if way * to_lip <= 0 or abs(way) <= abs(to_lip):
        return True
    return line.height + (z - line.height) * to_lip / way <= lip.bottom


def shadow_edge(line: LitLine, lip: Lip) -> float | None:
    """Give where on the worktop a lip's shadow begins: x = xs + (xl - xs) h / (h - zl).

    Args:
        line: The strip.
        lip: The lip; if it is behind the strip, the shadow is on the wall's side of the edge.

    Returns:
        Distance of the edge from the wall [m], below 0 if it falls on the wall instead; None if
        the lip ends above the strip or is right at it, and so keeps nothing dark.

    Source: similar triangles.
    """
    to_lip = lip.x - line.x
    if to_lip == 0 or lip.bottom >= line.height:
        return None
    return line.x + to_lip * line.height / (line.height - lip.bottom)


def top_lux(lines: Sequence[LitLine], lip: Lip | None, x: float, y: float) -> float:
    """Give the direct light of strips behind one lip on a point of the worktop.

    Args:
        lines: The strips.
        lip: Their lip, or None.
        x: Distance of the point from the wall. [m]
        y: Position of the point along the wall. [m]

    Returns:
        Direct illuminance. [lx]
    """
    return sum(lux_on_top(line, x, y) for line in lines if is_seen(line, lip, x, 0.0))


def wall_lux(lines: Sequence[LitLine], lip: Lip | None, y: float, z: float) -> float:
    """Give the direct light of strips behind one lip on a point of the splashback.

    Args:
        lines: The strips.
        lip: Their lip, or None.
        y: Position of the point along the wall. [m]
        z: Height of the point above the worktop. [m]

    Returns:
        Direct illuminance. [lx]
    """
    return sum(lux_on_wall(line, y, z) for line in lines if is_seen(line, lip, 0.0, z))

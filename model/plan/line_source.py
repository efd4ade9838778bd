"""Direct light of a straight strip on a level surface, in closed form.

Left out: light that bounces (splashback, ceiling, worktop), shadow (lip, tap, person), the
strip's own width, its dots, and ageing. All but the ageing matter most close to the strip:
the line stands for a channel seen from several of its widths away.

Coordinates, in metres: x from the wall out into the room, y along the wall, z up. The strip is
level and along y. Tilt 0 shines straight down, plus tilts towards the room, minus to the wall.
"""

from math import atan2, cos, gamma, pi, radians, sin, sqrt
from typing import NamedTuple


class LineSource(NamedTuple):
    """A strip as a line of light. Make one with `line_source`."""

    x: float
    z: float
    y_start: float
    y_end: float
    candela_per_metre: float
    """Greatest intensity of each metre, square to the strip's face. [cd/m]"""
    aim_out: float
    """Towards-the-room part of the direction it faces. [-]"""
    aim_down: float
    """Downward part of the direction it faces. [-]"""
    exponent: float
    """Power of the cosine across the strip. [-]"""


def line_source(
    x: float,
    z: float,
    y_start: float,
    y_end: float,
    lumens_per_metre: float,
    tilt_degrees: float = 0.0,
    exponent: float = 1.0,
) -> LineSource:
    """Describe a strip by where it is, what it gives and where it faces.

    Its intensity is cos^n of the angle across it and the cosine of the angle along it, and
    nothing behind its face: a bare or opal-covered strip is Lambertian (n = 1, a 120° beam).

    Args:
        x: Distance from the wall. [m]
        z: Height, above the same level as the points to be lit. [m]
        y_start: Position of one end of the lit length. [m]
        y_end: Position of the other end. [m]
        lumens_per_metre: Luminous flux that leaves the channel. [lm/m]
        tilt_degrees: Tilt from straight down, plus towards the room. [°]
        exponent: Power n of the cosine across the strip, 0 or more. [-]

    Returns:
        The line source.

    Source: Lambert's cosine law (CIE S 017); greatest intensity I' = F' / (pi/2 * W), where
    W = sqrt(pi) gamma((n+1)/2) / gamma(n/2 + 1) is the integral of cos^n. For n = 1, F'/pi.
    """
    width = sqrt(pi) * gamma((exponent + 1) / 2) / gamma(exponent / 2 + 1)
    tilt = radians(tilt_degrees)
    return LineSource(
        x=x,
        z=z,
        y_start=min(y_start, y_end),
        y_end=max(y_start, y_end),
        candela_per_metre=lumens_per_metre / (pi / 2 * width),
        aim_out=sin(tilt),
        aim_down=cos(tilt),
        exponent=exponent,
    )


def illuminance(line: LineSource, x: float, y: float, z: float = 0.0) -> float:
    """Give the direct illuminance of a level, upward-facing surface at a point.

    E = I' cos^n(psi) * (height / d) / d * (A(end) - A(start)), where d is the distance from
    the line's axis, psi the angle off the way the strip faces, and A(b) = (b + sin b cos b)/2
    for the angle b at the point from the foot of the perpendicular to an end.

    Args:
        line: The strip.
        x: Distance of the point from the wall. [m]
        y: Position of the point along the wall. [m]
        z: Height of the point. [m]

    Returns:
        Direct horizontal illuminance; 0 at or above the strip's level, or behind its face. [lx]

    Source: aspect-factor method for linear sources (Offshore Electrical Engineering Manual,
    ch. 14, eq. 2.14.2 to 2.14.5), with the Lambertian aspect factor.
    """
    down = line.z - z
    out = x - line.x
    facing = out * line.aim_out + down * line.aim_down
    if down <= 0 or facing <= 0:
        return 0.0
    square = out * out + down * down
    distance = sqrt(square)
    start = line.y_start - y
    end = line.y_end - y
    length = end - start
    product = start * end
    # The difference of the two A, put so that nearly equal angles do not lose digits.
    aspect = 0.5 * (
        atan2(distance * length, square + product)
        + distance * length * (square - product) / ((square + start * start) * (square + end * end))
    )
    across = facing / distance
    if line.exponent != 1:
        across = across**line.exponent
    return line.candela_per_metre * across * down / square * aspect

"""Direct light of straight strips on worktop and splashback, in closed form.

Coordinates, in metres: x from the wall into the room, y along the wall, z up from the worktop,
which is z = 0; the wall is x = 0. A strip is a line along y. Tilt 0 shines straight down, plus
tilts towards the room, minus to the wall.

The line has no width: it stands for a diffuser seen from several of its widths away (from 0.45 m,
one 16 mm wide is within 0.02 %, one 100 mm wide within 0.3 %), and no dots. Left out here: shade
(``shade``), what bounces (``bounce``), ageing, and the light of the room.

Source of the method: aspect factors of linear sources (Offshore Electrical Engineering Manual,
ch. 14, eq. 2.14.2 to 2.14.5).
"""

from math import (
    acosh,
    asinh,
    atan2,
    ceil,
    cos,
    cosh,
    exp,
    inf,
    isfinite,
    radians,
    sin,
    sqrt,
)
from typing import Final, NamedTuple

from pelmet.model.plan.light.photometry.distribution import (
    LAMBERT,
    Distribution,
    peak,
    table_share,
)

_IN_PLANE: Final = 1e-6
"""A strip no further than this before a surface lies in it and does not light it. [m]"""
FURTHEST: Final = 1e6
"""Largest coordinate of a strip. [m]"""

# Gauss-Legendre places and weights, n = 8 (Abramowitz and Stegun, table 25.4).
_GAUSS: Final = tuple(
    (sign * place, weight)
    for place, weight in (
        (0.1834346424956498, 0.3626837833783620),
        (0.5255324099163290, 0.3137066458778873),
        (0.7966664774136267, 0.2223810344533745),
        (0.9602898564975363, 0.1012285362903763),
    )
    for sign in (-1, 1)
)
_PANEL: Final = 2.0  # widest panel for eight points, in widths of the bell: 2e-10 of the integral
_FALL: Final = 37.0  # e-folds after which the rest is below 1e-16


class LitLine(NamedTuple):
    """A strip as a line of light. Make one with `lit_line`."""

    x: float
    height: float
    y_start: float
    y_end: float
    aim_out: float
    """Towards-the-room part of the direction it faces. [-]"""
    aim_down: float
    """Downward part of the direction it faces. [-]"""
    candela: float
    """Greatest intensity of each metre, I0'. [cd/m]"""
    distribution: Distribution


def lit_line(
    x: float,
    height: float,
    y_start: float,
    y_end: float,
    lumens_per_metre: float,
    tilt_degrees: float = 0.0,
    distribution: Distribution = LAMBERT,
) -> LitLine:
    """Describe a strip by where it is, what it gives, where it faces and how it spreads.

    Args:
        x: Distance from the wall; a strip behind it (below 0) lights nothing. [m]
        height: Height above the worktop; one that is not above it does not light it. [m]
        y_start: Position of one end of the lit length. [m]
        y_end: Position of the other end, in either order. [m]
        lumens_per_metre: Luminous flux that leaves the channel, 0 or more. [lm/m]
        tilt_degrees: Tilt from straight down, plus towards the room. [°]
        distribution: The spread of its light.

    Returns:
        The strip.

    Raises:
        ValueError: The lumens are negative, or a figure is not finite.
    """
    if not 0 <= lumens_per_metre < inf:
        raise ValueError(f"{lumens_per_metre:g} lm/m cannot be; give the lumens of a metre, from 0")
    for place in (x, height, y_start, y_end):
        if not abs(place) <= FURTHEST:
            raise ValueError(f"{place:g} m is no place for a strip; give metres from the corner")
    if not isfinite(tilt_degrees):
        raise ValueError(f"a tilt of {tilt_degrees:g}° cannot be; give degrees from straight down")
    tilt = radians(tilt_degrees)
    return LitLine(
        x=x,
        height=height,
        y_start=min(y_start, y_end),
        y_end=max(y_start, y_end),
        aim_out=sin(tilt),
        aim_down=cos(tilt),
        candela=peak(distribution, lumens_per_metre),
        distribution=distribution,
    )


def lux_on_top(line: LitLine, x: float, y: float) -> float:
    """Give a strip's direct light on the worktop, facing up.

    E = I0' f(psi) h / d² (A(end) - A(start)), where d is the distance across from the strip, psi
    the angle across it from the way it faces, and A the aspect factor (see `aspect`).

    Args:
        line: The strip.
        x: Distance of the point from the wall; no light passes the wall. [m]
        y: Position of the point along the wall. [m]

    Returns:
        Direct illuminance; 0 if the strip is not above the worktop or faces away. [lx]

    Raises:
        ValueError: The point is not a number.
    """
    at, height, y_start, y_end, _, _, _, _ = line
    if height <= _IN_PLANE or at < 0 or x < 0:
        return 0.0
    return _direct(line, x - at, height, height, y_start - y, y_end - y)


def lux_on_wall(line: LitLine, y: float, z: float) -> float:
    """Give a strip's direct light on the splashback, facing the room.

    Args:
        line: The strip.
        y: Position of the point along the wall. [m]
        z: Height of the point above the worktop; no light passes the worktop. [m]

    Returns:
        Direct illuminance, as `lux_on_top` with the strip's distance from the wall in place of
        its height; 0 if it is not before the wall or faces away. [lx]

    Raises:
        ValueError: The point is not a number.
    """
    at, height, y_start, y_end, _, _, _, _ = line
    if at <= _IN_PLANE or height < 0 or z < 0:
        return 0.0
    return _direct(line, -at, height - z, at, y_start - y, y_end - y)


def aspect(along: float, distance: float, start: float, end: float) -> float:
    """Give A(end) - A(start): the integral of cos^(m+1) of the angle along a strip.

    For m = 1 it is 1/2 (b + sin b cos b) from start to end, put so that nearly equal angles do
    not lose digits. For another m, sinh(w) = length / distance makes it the integral of
    cosh^-(m+2) of w, a bell, by Gauss-Legendre over its part that counts: to 2e-10 of itself.

    Args:
        along: Power m of the cosine along the strip. [-]
        distance: Distance of the point across from the strip, above 0. [m]
        start: From the foot of the perpendicular to the near end, along the strip. [m]
        end: The same to the other end, not less. [m]

    Returns:
        The aspect factor; pi/2 for an endless Lambert strip. [-]
    """
    if along == 1:
        return _lambert_aspect(distance, start, end)
    power = along + 2
    low, high = asinh(start / distance), asinh(end / distance)
    # log cosh is convex, so past this the bell has fallen from its highest by _FALL or more.
    furthest = max(low, -high, 0.0) + acosh(exp(_FALL / power))
    low, high = max(low, -furthest), min(high, furthest)
    width = high - low
    if not width > 0:
        return width  # no length, or no number, which the caller refuses
    panels = ceil(width * sqrt(power) / _PANEL)
    half = width / panels / 2
    total = 0.0
    for panel in range(panels):
        middle = low + half * (2 * panel + 1)
        for place, weight in _GAUSS:
            total += weight * cosh(middle + half * place) ** -power
    return half * total


def _lambert_aspect(distance: float, start: float, end: float) -> float:
    square = distance * distance
    product = start * end
    across = distance * (end - start)
    return 0.5 * (
        atan2(across, square + product)
        + across * (square - product) / ((square + start * start) * (square + end * end))
    )


def _direct(
    line: LitLine, out: float, down: float, lever: float, start: float, end: float
) -> float:
    """Light a surface whose distance from the strip's axis is the lever."""
    across, distance = _across(line, out, down, lever)
    lux = across * aspect(line.distribution.along, distance, start, end) if across else 0.0
    return lux if lux >= 0 else _nearly_dark(lux)


def _across(line: LitLine, out: float, down: float, lever: float) -> tuple[float, float]:
    """Give a strip's light for each unit of its aspect, and how far away it is across."""
    _, _, _, _, aim_out, aim_down, candela, (across, _, _, angles, shares) = line
    facing = out * aim_out + down * aim_down
    square = out * out + down * down
    distance = sqrt(square)
    if angles:
        candela *= table_share(angles, shares, atan2(out * aim_down - down * aim_out, facing))
    elif facing <= 0:
        return 0.0, distance
    else:
        candela *= facing / distance if across == 1 else (facing / distance) ** across
    return candela * lever / square, distance


def _nearly_dark(lux: float) -> float:
    """Give 0 for a rounding below it; a point that is no number has come to none."""
    if lux < 0:
        return 0.0
    raise ValueError("a point to be lit has to be a finite number of metres away")

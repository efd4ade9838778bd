"""Light that comes to the worktop by way of the splashback, and back: dull (Lambert) surfaces.

The splashback stands on the worktop's back edge, over the same length. Each is cut into patches:
rows that are thin by the corner and at the far edge, alike all over; columns along which the
brightness goes straight from one side to the other. What a point gets of a patch is exact, so a
point close to the corner is no trouble. Strips and patches over `REACH` away along the wall are
left out.

How far off, against fine integration: the bounced light of a strip is within 4 % of itself at 19 of
20 points, more where there is next to none, and what a point gets in all is within 2 %; within
4 % by the ends of a narrow beam that hangs 40 mm from the wall and is tilted at it. Where a lip's
shadow falls on the splashback its edge is off by part of a row, and bounced light by up to 10 %.
Light that has bounced more than once is within 6 % of all bounced light.
Left out: ceiling, cabinet floors, end
panels, the shade that they and a lip cast in bounced light, and shiny surfaces.

Coordinates as in ``line``; "away" is the distance from the corner, x on the worktop and z on the
splashback.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterable, Sequence
from itertools import pairwise
from math import atan, ceil, cos, hypot, inf, log, pi, sqrt
from operator import add, mul, sub
from typing import Final, NamedTuple, TypeAlias

from pelmet.model.plan.light.photometry.line import LitLine
from pelmet.model.plan.light.photometry.shade import Lip, top_lux_along, wall_lux_along

REACH: Final = 3.0
"""How far along the wall light is followed: under 1 % of it comes from further. [m]"""
_COLUMN: Final = 0.1  # widest column of patches, in metres
_ROWS: Final = 8
_WIDE_COLUMN: Final = 0.3  # the same for light that has bounced more than once
_WIDE_ROWS: Final = 4
_IN_CORNER: Final = 1e-6  # metres; a point nearer to the corner is taken to be this far
_SETTLED: Final = 0.03  # of its brightest: change at which light has gone to and fro enough
# Gauss-Legendre, n = 3, over 0 to 1 (Abramowitz and Stegun, table 25.4).
_MEAN: Final = ((0.5 - sqrt(0.15), 5 / 18), (0.5, 8 / 18), (0.5 + sqrt(0.15), 5 / 18))

_Light: TypeAlias = Callable[[LitLine, float, Sequence[float]], Sequence[float]]
_Rows: TypeAlias = Sequence[Sequence[float]]


class Splashback(NamedTuple):
    """The wall above a worktop that light bounces off: from where to where, and how high [m]."""

    y_start: float
    y_end: float
    height: float


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


def splashback_at(y_start: float, y_end: float, height: float) -> Splashback:
    """Describe a splashback.

    Args:
        y_start: Where along the wall it begins. [m]
        y_end: Where it ends, further along. [m]
        height: Height of its upper edge above the worktop, above 0. [m]

    Returns:
        The splashback.

    Raises:
        ValueError: It has no length or no height, or a figure is not finite.
    """
    if not -inf < y_start < y_end < inf or not 0 < height < inf:
        raise ValueError(
            f"a splashback from {y_start:g} to {y_end:g} m, {height:g} m high, is no surface;"
            " give where it starts and, further on, ends, and a height above 0 m"
        )
    return Splashback(y_start, y_end, height)


def off_wall(
    lines: Sequence[LitLine],
    lip: Lip | None,
    wall: Splashback,
    reflectance: float,
) -> Glow:
    """Light the splashback by strips, for what it gives the worktop by one bounce.

    Args:
        lines: The strips.
        lip: Their lip, or None.
        wall: The splashback.
        reflectance: The share of light that the splashback gives back, 0 to 1. [-]

    Returns:
        The lit splashback, for `lux_from`.

    Raises:
        ValueError: The reflectance is out of range.
    """
    check_reflectance(reflectance)
    along, away = _columns(wall, _COLUMN), _rows(wall.height, _ROWS)
    return glow_of(along, away, _lit(lines, _on_wall(lip), along, away), reflectance)


def glows_of_wall(
    lines: Sequence[LitLine],
    lip: Lip | None,
    wall: Splashback,
    top_depth: float,
    wall_reflectance: float,
    top_reflectance: float,
) -> tuple[Glow, ...]:
    """Light the splashback by strips, and by the worktop if that gives light back.

    Takes and raises what `to_and_fro` does. First comes what `off_wall` gives, but in patches as
    large as those of light that goes to and fro: some five times as quick, and off by up to a
    tenth of the bounced light. Then comes the first that `to_and_fro` gives.
    """
    check_reflectance(wall_reflectance)
    check_reflectance(top_reflectance)
    along, high = _columns(wall, _WIDE_COLUMN), _rows(wall.height, _WIDE_ROWS)
    direct = _lit(lines, _on_wall(lip), along, high)
    straight = glow_of(along, high, direct, wall_reflectance)
    if not top_reflectance:
        return (straight,)
    _check_depth(top_depth)
    deep = _rows(top_depth, _WIDE_ROWS)
    top_direct = _lit(lines, _on_top(lip), along, deep)
    shares = wall_reflectance, top_reflectance
    return straight, _to_and_fro(along, (high, deep), (direct, top_direct), shares)[0]


def off_top(
    lines: Sequence[LitLine],
    lip: Lip | None,
    wall: Splashback,
    top_depth: float,
    reflectance: float,
) -> Glow:
    """Light the worktop by strips, for what it gives the splashback by one bounce.

    Args:
        lines: The strips.
        lip: Their lip, or None.
        wall: The splashback; the worktop is as long.
        top_depth: Depth of the worktop, above 0. [m]
        reflectance: The share of light that the worktop gives back, 0 to 1. [-]

    Returns:
        The lit worktop, for `lux_from`.

    Raises:
        ValueError: The reflectance or the depth is out of range.
    """
    check_reflectance(reflectance)
    _check_depth(top_depth)
    along, away = _columns(wall, _COLUMN), _rows(top_depth, _ROWS)
    return glow_of(along, away, _lit(lines, _on_top(lip), along, away), reflectance)


def to_and_fro(
    lines: Sequence[LitLine],
    lip: Lip | None,
    wall: Splashback,
    top_depth: float,
    wall_reflectance: float,
    top_reflectance: float,
) -> tuple[Glow, Glow]:
    """Light splashback and worktop by each other, until it changes no more.

    As this light is weak and even, its patches are large.

    Args:
        lines: The strips.
        lip: Their lip, or None.
        wall: The splashback; the worktop is as long.
        top_depth: Depth of the worktop, above 0. [m]
        wall_reflectance: The share of light that the splashback gives back, 0 to 1. [-]
        top_reflectance: The share that the worktop gives back, 0 to 1. [-]

    Returns:
        Splashback and worktop as lit by each other alone, without the strips' direct light.

    Raises:
        ValueError: A reflectance or the depth is out of range.

    Source: radiosity, E_i = Ed_i + sum of F_ij rho_j E_j, in turns (P. Tregenza, S. Sharples,
    Daylight algorithms, 3.24).
    """
    check_reflectance(wall_reflectance)
    check_reflectance(top_reflectance)
    _check_depth(top_depth)
    along = _columns(wall, _WIDE_COLUMN)
    high, deep = _rows(wall.height, _WIDE_ROWS), _rows(top_depth, _WIDE_ROWS)
    direct = _lit(lines, _on_wall(lip), along, high), _lit(lines, _on_top(lip), along, deep)
    shares = wall_reflectance, top_reflectance
    return _to_and_fro(along, (high, deep), direct, shares)


def _to_and_fro(
    along: tuple[float, ...],
    away: tuple[tuple[float, ...], tuple[float, ...]],
    direct: tuple[_Rows, _Rows],
    shares: tuple[float, float],
) -> tuple[Glow, Glow]:
    """Light two surfaces by each other; each pair is of the splashback and the worktop."""
    (high, deep), (wall_direct, top_direct) = away, direct
    wall_reflectance, top_reflectance = shares
    up, down = _views(along, high, deep), _views(along, deep, high)
    on_wall: _Rows = [[0.0] * len(along) for _ in wall_direct]
    while True:
        from_wall = glow_of(along, high, _sum(wall_direct, on_wall), wall_reflectance)
        on_top = _received(from_wall, up)
        from_top = glow_of(along, deep, _sum(top_direct, on_top), top_reflectance)
        before, on_wall = on_wall, _received(from_top, down)
        if _change(before, on_wall) <= _SETTLED * max(map(max, on_wall)):
            return (
                glow_of(along, high, on_wall, wall_reflectance),
                glow_of(along, deep, on_top, top_reflectance),
            )


def glow_of(
    along: tuple[float, ...], away: tuple[float, ...], lux: _Rows, reflectance: float
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
    away = max(away, _IN_CORNER)
    first = max(bisect_right(glow.along, y - REACH) - 1, 0)
    last = bisect_left(glow.along, y + REACH) + 1
    offs = [edge - y for edge in glow.along[first:last]]
    here = slice(first, first + len(offs) - 1)
    weights = (_weights(away, edge, offs) for edge in glow.away)
    return _gathered(glow, weights, here, y) * away


def add_glows(glow: Glow, other: Glow) -> Glow:
    """Add up the light of two glows of the same surface, cut into the same patches."""
    if (glow.along, glow.away) != (other.along, other.away):
        raise ValueError("these are not patches of one surface, so their light cannot be added")
    return glow._replace(
        level=_sum(glow.level, other.level),
        slope=_sum(glow.slope, other.slope),
    )


def check_reflectance(reflectance: float) -> None:
    """Raise ValueError if a share of light given back is not from 0 to 1."""
    if not 0 <= reflectance <= 1:
        raise ValueError(f"a reflectance of {reflectance:g} cannot be; give a share from 0 to 1")


def _check_depth(top_depth: float) -> None:
    if not 0 < top_depth < inf:
        raise ValueError(f"a worktop {top_depth:g} m deep gives nothing back; give its depth")


def _columns(wall: Splashback, widest: float) -> tuple[float, ...]:
    length = wall.y_end - wall.y_start
    columns = ceil(length / widest)
    return tuple(wall.y_start + length * column / columns for column in range(columns + 1))


def _rows(depth: float, rows: int) -> tuple[float, ...]:
    return tuple(depth * (1 - cos(pi * row / rows)) / 2 for row in range(rows + 1))


def _on_wall(lip: Lip | None) -> _Light:
    return lambda line, away, ys: wall_lux_along(line, lip, ys, away)


def _on_top(lip: Lip | None) -> _Light:
    return lambda line, away, ys: top_lux_along(line, lip, away, ys)


def _lit(
    lines: Sequence[LitLine], light: _Light, along: Sequence[float], away: Sequence[float]
) -> _Rows:
    """Give the mean direct light over each row's depth, at each edge of the columns. [lx]"""
    near = [
        slice(bisect_right(along, line.y_start - REACH), bisect_left(along, line.y_end + REACH))
        for line in lines
    ]
    rows = []
    for low, high in pairwise(away):
        row = [0.0] * len(along)
        for at, weight in _MEAN:
            lux = [0.0] * len(along)
            for line, own in zip(lines, near, strict=True):
                some = light(line, low + (high - low) * at, along[own])
                lux[own] = map(add, lux[own], some)
            row = [mean + weight * one for mean, one in zip(row, lux, strict=True)]
        rows.append(row)
    return rows


class _Views(NamedTuple):
    """How rows of one surface are seen from the middles of rows of the other.

    Columns are all of one width, so what weight each has is the same wherever it is seen from.
    ``weights`` are, for each middle, those of every edge between rows, ``far`` columns each way.
    """

    middles: tuple[float, ...]
    far: int
    weights: tuple[list["_Weights"], ...]


def _views(along: Sequence[float], seen: Sequence[float], away: Sequence[float]) -> _Views:
    columns, width = len(along) - 1, along[1] - along[0]
    far = min(ceil(REACH / width), columns)
    offs = [width * column for column in range(-far, far + 1)]
    middles = tuple((low + high) / 2 for low, high in pairwise(away))
    return _Views(
        middles, far, tuple([_weights(middle, edge, offs) for edge in seen] for middle in middles)
    )


def _received(glow: Glow, views: _Views) -> _Rows:
    """Give what a lit surface gives the middle of each row of the other, by column edge. [lx]"""
    along, far = glow.along, views.far
    columns = len(along) - 1
    rows = []
    for middle, weights in zip(views.middles, views.weights, strict=True):
        row = []
        for at, y in enumerate(along):
            first, last = max(at - far, 0), min(at + far, columns)
            own = slice(first - at + far, last - at + far)
            seen = ((angles[own], logs[own]) for angles, logs in weights)
            row.append(_gathered(glow, seen, slice(first, last), y) * middle)
        rows.append(row)
    return rows


_Weights: TypeAlias = tuple[list[float], list[float]]


def _weights(away: float, edge: float, offs: Sequence[float]) -> _Weights:
    """Give the weights of the columns between ``offs``: of even brightness, and of its slope."""
    distance = hypot(away, edge)
    angles = [atan(off / distance) / distance for off in offs]
    logs = [log(distance * distance + off * off) / 2 for off in offs]
    return list(map(sub, angles[1:], angles)), list(map(sub, logs[1:], logs))


def _gathered(glow: Glow, weights: Iterable[_Weights], here: slice, y: float) -> float:
    """Sum the light of some columns, each at its weight, edge by edge."""
    total = 0.0
    for levels, slopes, (even, sloped) in zip(glow.level, glow.slope, weights, strict=True):
        level, slope = levels[here], slopes[here]
        total += sum(map(mul, level, even)) + y * sum(map(mul, slope, even))
        total += sum(map(mul, slope, sloped))
    return max(total, 0.0)


def _sum(some: _Rows, more: _Rows) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(map(add, row, other)) for row, other in zip(some, more, strict=True))


def _change(before: _Rows, after: _Rows) -> float:
    pairs = zip(before, after, strict=True)
    return max(abs(new - old) for row, other in pairs for old, new in zip(row, other, strict=True))

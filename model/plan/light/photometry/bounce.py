"""Light that comes to the worktop by way of the splashback, and back: dull (Lambert) surfaces.

The splashback stands on the worktop's back edge, over the same length. Each is cut into patches
(``glow``): rows that are thin by the corner and at the far edge, columns alike all over. Strips
over `REACH` away along the wall are left out.

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
from collections.abc import Callable, Sequence
from functools import lru_cache
from itertools import chain, pairwise
from math import ceil, cos, inf, pi, sqrt
from operator import add, mul
from typing import Final, NamedTuple, TypeAlias

from pelmet.model.plan.light.photometry.glow import REACH, Glow, Rows, column_weights, glow_of
from pelmet.model.plan.light.photometry.line import LitLine
from pelmet.model.plan.light.photometry.shade import Lip, top_lux_along, wall_lux_along

_COLUMN: Final = 0.1  # widest column of patches, in metres
_ROWS: Final = 8
_WIDE_COLUMN: Final = 0.3  # the same for light that has bounced more than once
_WIDE_ROWS: Final = 4
_SETTLED: Final = 0.03  # of its brightest: change at which light has gone to and fro enough
# Gauss-Legendre, n = 3, over 0 to 1 (Abramowitz and Stegun, table 25.4).
_MEAN: Final = ((0.5 - sqrt(0.15), 5 / 18), (0.5, 8 / 18), (0.5 + sqrt(0.15), 5 / 18))

ShadedLine: TypeAlias = tuple[LitLine, Lip | None, float]
"""A strip, the lip that shades it, and how many times as bright it is: what a strip gives once is
remembered."""
_Light: TypeAlias = Callable[[LitLine, Lip | None, float, Sequence[float]], Sequence[float]]
_REMEMBERED: Final = 1024
_REMEMBERED_VIEWS: Final = 64  # each takes some 30 KB


class Splashback(NamedTuple):
    """The wall above a worktop that light bounces off: from where to where, and how high [m]."""

    y_start: float
    y_end: float
    height: float


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
    return glow_of(
        along, away, _lit([(line, lip, 1.0) for line in lines], _on_wall, along, away), reflectance
    )


def glow_of_wall(
    lines: Sequence[ShadedLine],
    wall: Splashback,
    top_depth: float,
    wall_reflectance: float,
    top_reflectance: float,
) -> Glow:
    """Light the splashback by strips, and by the worktop if that gives light back.

    What `off_wall` and `to_and_fro` give, added up, but with all patches as large as those of
    light that goes to and fro: some five times as quick, and off by up to a tenth of the bounced
    light.

    Args:
        lines: The strips, each with its lip and how many times as bright it is.
        wall: The splashback; the worktop is as long.
        top_depth: Depth of the worktop, above 0. [m]
        wall_reflectance: The share of light that the splashback gives back, 0 to 1. [-]
        top_reflectance: The share that the worktop gives back, 0 to 1. [-]

    Returns:
        The lit splashback, for `lux_from`.

    Raises:
        ValueError: A reflectance or the depth is out of range.
    """
    check_reflectance(wall_reflectance)
    check_reflectance(top_reflectance)
    along, high = _columns(wall, _WIDE_COLUMN), _rows(wall.height, _WIDE_ROWS)
    lit = _lit(lines, _on_wall, along, high)
    if top_reflectance:
        _check_depth(top_depth)
        deep = _rows(top_depth, _WIDE_ROWS)
        direct = lit, _lit(lines, _on_top, along, deep)
        more, _ = _to_and_fro(along, (high, deep), direct, (wall_reflectance, top_reflectance))
        lit = _sum(lit, more)
    return glow_of(along, high, lit, wall_reflectance)


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
    return glow_of(
        along, away, _lit([(line, lip, 1.0) for line in lines], _on_top, along, away), reflectance
    )


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
    shaded = [(line, lip, 1.0) for line in lines]
    direct = _lit(shaded, _on_wall, along, high), _lit(shaded, _on_top, along, deep)
    shares = wall_reflectance, top_reflectance
    on_wall, on_top = _to_and_fro(along, (high, deep), direct, shares)
    return (
        glow_of(along, high, on_wall, wall_reflectance),
        glow_of(along, deep, on_top, top_reflectance),
    )


def _to_and_fro(
    along: tuple[float, ...],
    away: tuple[tuple[float, ...], tuple[float, ...]],
    direct: tuple[Rows, Rows],
    shares: tuple[float, float],
) -> tuple[Rows, Rows]:
    """Light two surfaces by each other; each pair is of the splashback and the worktop. [lx]"""
    (high, deep), (wall_direct, top_direct) = away, direct
    up, down = _views(along, high, deep, shares[0]), _views(along, deep, high, shares[1])
    on_wall: Rows = [[0.0] * len(along) for _ in wall_direct]
    while True:
        on_top = _received(_sum(wall_direct, on_wall), up)
        before, on_wall = on_wall, _received(_sum(top_direct, on_top), down)
        if _change(before, on_wall) <= _SETTLED * max(map(max, on_wall)):
            return on_wall, on_top


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


def _on_wall(line: LitLine, lip: Lip | None, away: float, ys: Sequence[float]) -> Sequence[float]:
    return wall_lux_along(line, lip, ys, away)


def _on_top(line: LitLine, lip: Lip | None, away: float, ys: Sequence[float]) -> Sequence[float]:
    return top_lux_along(line, lip, away, ys)


def _lit(
    lines: Sequence[ShadedLine], light: _Light, along: tuple[float, ...], away: tuple[float, ...]
) -> Rows:
    """Give the mean direct light over each row's depth, at each edge of the columns. [lx]"""
    rows = [[0.0] * len(along) for _ in away[1:]]
    for line, lip, times in lines:
        near = slice(
            bisect_right(along, line.y_start - REACH), bisect_left(along, line.y_end + REACH)
        )
        own = _lit_by(line, lip, light, along[near], away)
        for row, lux in zip(rows, own, strict=True):
            row[near] = [before + times * each for before, each in zip(row[near], lux, strict=True)]
    return rows


@lru_cache(maxsize=_REMEMBERED)
def _lit_by(
    line: LitLine,
    lip: Lip | None,
    light: _Light,
    along: tuple[float, ...],
    away: tuple[float, ...],
) -> Rows:
    rows = []
    for low, high in pairwise(away):
        row = [0.0] * len(along)
        for at, weight in _MEAN:
            lux = light(line, lip, low + (high - low) * at, along)
            row = [mean + weight * one for mean, one in zip(row, lux, strict=True)]
        rows.append(row)
    return rows


class _View(NamedTuple):
    """How a surface is seen from the middle of a row of the other: what brightness there weighs.

    For each edge of columns from ``-far`` to ``far`` off along the wall, in turn for each row. All
    columns are of one width, so this is the same wherever along the wall it is seen from.
    """

    far: int
    both: list[float]
    """Of brightness at an edge, which fades over the column before it and the one after."""
    before: list[float]
    """Of the same over the column before alone, 0 at the first edge."""
    after: list[float]
    """Over the column after alone, 0 at the last edge."""


@lru_cache(maxsize=_REMEMBERED_VIEWS)
def _views(
    along: tuple[float, ...], seen: tuple[float, ...], away: tuple[float, ...], share: float
) -> list[_View]:
    """Give the views of a surface that gives back a share of its light, cut by ``seen``."""
    columns, width = len(along) - 1, along[1] - along[0]
    far = min(ceil(REACH / width), columns)
    offs = [width * column for column in range(far + 1)]
    found = []
    for low, high in pairwise(away):
        middle = (low + high) / 2
        scale = share * middle / (2 * pi)
        edges = [_ends(column_weights(middle, edge, offs), width) for edge in seen]
        nears, fars = (
            [[scale * (low - high) for low, high in zip(*pair, strict=True)]
             for pair in pairwise(side)]
            for side in zip(*edges, strict=True)
        )  # fmt: skip
        dark = [0.0] * len(nears)
        near, beyond = [*zip(*nears, strict=True), dark], [dark, *zip(*fars, strict=True)]
        # On this side the column before an edge is the one it is the far end of.
        before = [*chain.from_iterable([*near[::-1], *beyond[1:]])]
        after = [*chain.from_iterable([*beyond[:0:-1], *near])]
        found.append(_View(far, [*map(add, before, after)], before, after))
    return found


def _ends(weights: tuple[list[float], list[float]], width: float) -> tuple[list[float], ...]:
    """Give what the brightness at the near end of each column weighs, and at its far end."""
    even, sloped = weights
    columns = range(len(even))
    return (
        [even[column] * (column + 1) - sloped[column] / width for column in columns],
        [sloped[column] / width - even[column] * column for column in columns],
    )


def _received(lux: Rows, views: Sequence[_View]) -> Rows:
    """Give what a lit surface gives the middle of each row of the other, by column edge. [lx]"""
    rows, columns = len(lux), len(lux[0]) - 1
    bright = [*chain.from_iterable(zip(*lux, strict=True))]
    found = []
    for far, both, before, after in views:
        row = []
        for at in range(columns + 1):
            first, last = max(at - far, 0), min(at + far, columns)
            start, end = rows * first, rows * last
            off = rows * (far - at)
            total = sum(map(mul, bright[start : end + rows], both[start + off :]))
            total -= sum(map(mul, bright[start : start + rows], before[start + off :]))
            total -= sum(map(mul, bright[end : end + rows], after[end + off :]))
            row.append(max(total, 0.0))
        found.append(row)
    return found


def _sum(some: Rows, more: Rows) -> Rows:
    return [[*map(add, row, other)] for row, other in zip(some, more, strict=True)]


def _change(before: Rows, after: Rows) -> float:
    pairs = zip(before, after, strict=True)
    return max(abs(new - old) for row, other in pairs for old, new in zip(row, other, strict=True))

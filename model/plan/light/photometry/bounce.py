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

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise
from math import ceil, cos, inf, pi, sqrt
from typing import Final, NamedTuple, TypeAlias

import numpy as np

from pelmet.model.plan.light.photometry.boards import Box, hidden_aspects
from pelmet.model.plan.light.photometry.glow import REACH, Glow, Shares, column_weights, glow_of
from pelmet.model.plan.light.photometry.line import LitLine
from pelmet.model.plan.light.photometry.shade import Lip
from pelmet.model.plan.light.photometry.straight import (
    Array,
    Beams,
    across,
    aspects,
    beam_width,
    beams_of,
    behind_lips,
    row_means,
)

_COLUMN: Final = 0.1  # widest column of patches, in metres
_ROWS: Final = 8
_WIDE_COLUMN: Final = 0.3  # the same for light that has bounced more than once
_WIDE_ROWS: Final = 4
_SETTLED: Final = 0.03  # of its brightest: change at which light has gone to and fro enough
# Gauss-Legendre, n = 3, over 0 to 1 (Abramowitz and Stegun, table 25.4).
_MEAN: Final = ((0.5 - sqrt(0.15), 5 / 18), (0.5, 8 / 18), (0.5 + sqrt(0.15), 5 / 18))
_AT, _SHARES = (np.array(each) for each in zip(*_MEAN, strict=True))
_NARROW: Final = 0.35  # radians: a beam that would fall between the places of a row
_IN_PLANE: Final = 1e-6  # metres; a strip this near a surface lies in it
_REMEMBERED_VIEWS: Final = 64  # each takes some 10 KB

ShadedLine: TypeAlias = tuple[LitLine, Lip | None]
"""A strip and the lip that shades it."""
Boards: TypeAlias = Sequence[Box]


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
    lit, _ = _lit([(line, lip) for line in lines], (), along, away, ())
    return glow_of(along, away, lit, reflectance)


class Patches(NamedTuple):
    """Splashback and worktop as cut for light that goes to and fro. Make them with `patches_of`."""

    along: tuple[float, ...]
    """Edges of their columns. [m]"""
    high: tuple[float, ...]
    """Edges of the splashback's rows. [m]"""
    deep: tuple[float, ...]
    """Edges of the worktop's rows; none where it gives nothing back. [m]"""


def patches_of(wall: Splashback, top_depth: float, top_reflectance: float) -> Patches:
    """Cut splashback and worktop into patches.

    Args:
        wall: The splashback; the worktop is as long.
        top_depth: Depth of the worktop, above 0. [m]
        top_reflectance: The greatest share that the worktop gives back, 0 to 1. [-]

    Returns:
        The patches.

    Raises:
        ValueError: The reflectance or the depth is out of range.
    """
    check_reflectance(top_reflectance)
    if top_reflectance:
        _check_depth(top_depth)
    deep = _rows(top_depth, _WIDE_ROWS) if top_reflectance else ()
    return Patches(_columns(wall, _WIDE_COLUMN), _rows(wall.height, _WIDE_ROWS), deep)


def glow_of_wall(
    lines: Sequence[ShadedLine],
    patches: Patches,
    wall_shares: Shares,
    top_shares: Shares,
    boards: Boards = (),
) -> Glow:
    """Light the splashback by strips, and by the worktop if that gives light back.

    What `off_wall` and `to_and_fro` give, added up, but with all patches as large as those of
    light that goes to and fro: some five times as quick, and off by up to a tenth of the bounced
    light.

    Args:
        lines: The strips, each with its lip.
        patches: Splashback and worktop.
        wall_shares: The share of light that the splashback gives back, 0 to 1. [-]
        top_shares: The share that the worktop gives back, 0 to 1. [-]
        boards: What stands between; it keeps strips from patches, not patches from one another.

    Returns:
        The lit splashback, for `lux_from`.
    """
    along, high, deep = patches
    lit, on_top = _lit(lines, boards, along, high, deep)
    if deep:
        more, _ = _to_and_fro(along, (high, deep), (lit, on_top), (wall_shares, top_shares))
        lit = lit + more
    return glow_of(along, high, lit, wall_shares)


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
    _, lit = _lit([(line, lip) for line in lines], (), along, (), away)
    return glow_of(along, away, lit, reflectance)


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
    along, high, deep = patches_of(wall, top_depth, 1.0)
    direct = _lit([(line, lip) for line in lines], (), along, high, deep)
    shares = wall_reflectance, top_reflectance
    on_wall, on_top = _to_and_fro(along, (high, deep), direct, shares)
    return (
        glow_of(along, high, on_wall, wall_reflectance),
        glow_of(along, deep, on_top, top_reflectance),
    )


def _to_and_fro(
    along: tuple[float, ...],
    away: tuple[tuple[float, ...], tuple[float, ...]],
    direct: tuple[Array, Array],
    shares: tuple[Shares, Shares],
) -> tuple[Array, Array]:
    """Light two surfaces by each other; each pair is of the splashback and the worktop. [lx]"""
    (high, deep), (wall_direct, top_direct) = away, direct
    columns, width = len(along) - 1, along[1] - along[0]
    up, down = _views(columns, width, high, deep), _views(columns, width, deep, high)
    on_wall = np.zeros_like(wall_direct)
    while True:
        on_top = _received((wall_direct + on_wall) * shares[0], up)
        before, on_wall = on_wall, _received((top_direct + on_top) * shares[1], down)
        if np.abs(on_wall - before).max() <= _SETTLED * on_wall.max():
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


@lru_cache(maxsize=_REMEMBERED_VIEWS)
def _rows(depth: float, rows: int) -> tuple[float, ...]:
    return tuple(depth * (1 - cos(pi * row / rows)) / 2 for row in range(rows + 1))


def _lit(
    lines: Sequence[ShadedLine],
    boards: Boards,
    along: tuple[float, ...],
    high: tuple[float, ...],
    deep: tuple[float, ...],
) -> tuple[Array, Array]:
    """Give the mean direct light over each row of splashback and worktop, at edges of columns. [lx]

    Edges of rows may be missing: then there is nothing of that surface.
    """
    columns, tall = len(along), max(len(high) - 1, 0)
    rows = tall + max(len(deep) - 1, 0)
    found = np.zeros((rows, columns))
    if lines:
        beams = beams_of([line for line, _ in lines])
        # Each strip reaches so far along the wall and no further: those columns alone are lit.
        places = np.array(along)
        first = np.searchsorted(places, beams.y_start.ravel() - REACH, side="right")
        last = np.searchsorted(places, beams.y_end.ravel() + REACH, side="left")
        count = max(int((last - first).max()), 0)
        seen = first[:, None] + np.arange(count)
        y = places[np.minimum(seen, columns - 1)][:, None, :]
        lux = _straight(beams, lines, boards, _places(high), _places(deep), y)
        means = lux.reshape(len(lines), rows, len(_MEAN), count).transpose(0, 1, 3, 2) @ _SHARES
        for row, (line, lip) in enumerate(lines):
            if beam_width(line.distribution) < _NARROW:
                means[row, :tall] = _on_wall(line, high, y[row, 0])
                means[row, tall:] = row_means(line, lip, [*pairwise(deep)], y[row, 0], y[row, 0])
        for mean, start, end in zip(means, first.tolist(), last.tolist(), strict=True):
            found[:, start:end] += mean[:, : max(end - start, 0)]
    return found[:tall], found[tall:]


@lru_cache(maxsize=_REMEMBERED_VIEWS)
def _places(edges: tuple[float, ...]) -> Array:
    """Give the places of the quadrature over each row, one after another. [m]"""
    rows = np.array(edges)
    if not edges:
        return rows
    return np.asarray((rows[:-1, None] + np.diff(rows)[:, None] * _AT).ravel())


def _straight(
    beams: Beams,
    lines: Sequence[ShadedLine],
    boards: Boards,
    high: Array,
    deep: Array,
    y: Array,
) -> Array:
    """Give the direct light of strips at places up the wall and out on the top. [lx]"""
    x = np.concatenate([np.zeros_like(high), deep])[None, :, None]
    z = np.concatenate([high, np.zeros_like(deep)])[None, :, None]
    on_wall = (np.arange(x.size) < len(high))[None, :, None]
    lever = np.where(on_wall, beams.x, beams.height)
    factor, distance = across(beams, x - beams.x, beams.height - z, np.maximum(lever, _IN_PLANE))
    dark = (
        behind_lips(beams, [lip for _, lip in lines], x, z)
        | (lever <= _IN_PLANE)
        | (beams.x < 0)
        | (beams.height < 0)
    )
    factor = np.where(dark, 0.0, factor)
    seen = aspects(beams, distance, beams.y_start - y, beams.y_end - y)
    if boards:
        boxes = [[board] * len(lines) for board in boards]
        seen = seen - hidden_aspects(beams, boxes, (x, y, z), distance)
    return np.maximum(factor * seen, 0.0)


def _on_wall(line: LitLine, high: tuple[float, ...], y: Array) -> Array:
    """Give what a narrow beam comes to over each row of the wall, at places along it. [lx]

    The wall is taken for the worktop: it lies as far below the strip as that is before it.
    """
    turned = line._replace(
        x=-line.height, height=line.x, aim_out=line.aim_down, aim_down=-line.aim_out
    )
    return row_means(turned, None, [(-top, -low) for low, top in pairwise(high)], y, y)


class _View(NamedTuple):
    """How a surface is seen from the middle of each row of the other: what brightness weighs.

    By row of what sees, row of what is seen, and how many edges off along the wall. All columns
    are of one width, so it goes with that alone; but the outermost edges have a column on one side.
    """

    whole: Array
    """Of brightness at an edge, from the farthest before to the farthest after."""
    first: Array
    """What of it is too much of the first edge, for the edges from there on."""
    last: Array
    """The same of the last edge, for those up to it."""


@lru_cache(maxsize=_REMEMBERED_VIEWS)
def _views(columns: int, width: float, seen: tuple[float, ...], away: tuple[float, ...]) -> _View:
    far = min(ceil(REACH / width), columns)
    middles: Array = (np.array(away[:-1]) + np.array(away[1:])) / 2
    offs: Array = width * np.arange(-far, far + 1, dtype=np.float64)
    near, beyond = column_weights(middles[:, None], seen, offs[None, None, :])
    after, before = (np.zeros((*near.shape[:2], 2 * far + 1)) for _ in range(2))
    after[:, :, :-1], before[:, :, 1:] = near, beyond
    return _View(after + before, before[:, :, far::-1], after[:, :, : far - 1 : -1])


def _received(bright: Array, view: _View) -> Array:
    """Give what a lit surface gives the middle of each row of the other, by column edge. [lx]"""
    rows, edges = bright.shape
    reach, far = view.whole.shape[2], view.first.shape[2]
    padded = np.zeros((rows, edges + reach - 1))
    padded[:, reach // 2 : reach // 2 + edges] = bright
    places = np.arange(edges)[:, None] + np.arange(reach)
    seen = padded[:, places].transpose(0, 2, 1).reshape(rows * reach, edges)
    found = view.whole.reshape(-1, rows * reach) @ seen
    found[:, :far] -= np.einsum("tre,r->te", view.first, bright[:, 0])
    found[:, edges - far :] -= np.einsum("tre,r->te", view.last, bright[:, -1])
    return np.asarray(np.maximum(found, 0.0))

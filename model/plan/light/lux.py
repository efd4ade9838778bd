"""The lux of a plane: its bars' direct light, past boards, and what the wall behind gives back."""

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from functools import lru_cache
from typing import Final, NamedTuple

import numpy as np

from pelmet.model.plan.bars.fitting import REMEMBERED
from pelmet.model.plan.light.around import Turn
from pelmet.model.plan.light.photometry.boards import Box, hidden_aspects
from pelmet.model.plan.light.photometry.bounce import (
    Patches,
    Splashback,
    glow_of_wall,
    patches_of,
)
from pelmet.model.plan.light.photometry.glow import Glow, Shares, Views, lux_seen, views_from
from pelmet.model.plan.light.photometry.grid import Grid, lay_grid
from pelmet.model.plan.light.photometry.line import LitLine
from pelmet.model.plan.light.photometry.shade import Lip
from pelmet.model.plan.light.photometry.straight import (
    Array,
    across,
    aspects,
    beams_of,
    behind_lips,
    is_narrow,
    row_means,
)

_REMEMBERED_VIEWS: Final = 64  # each takes some 100 KB
_BLOCK: Final = 96  # columns of a grid that are worked out at once
_FAR: Final = 6.0  # metres along its wall beyond which a bar is left out
_EVERY: Final = 3  # bounced light changes slowly along a wall: every third column is worked out


class Frame(NamedTuple):
    """How a plane's places are those of a wall's bars, and the boards that stand there."""

    turn: Turn
    boxes: tuple[Box, ...]


class Lit(NamedTuple):
    """A bar over a plane, what shades it, and the row of its frame."""

    line: LitLine
    lip: Lip | None
    frame: int


class Dull(NamedTuple):
    """A part of a wall that gives nothing back: from where to where, and how high. [m]"""

    y_start: float
    y_end: float
    bottom: float
    top: float


class Surfaces(NamedTuple):
    """What light bounces between: the wall, and how much it and the plane give back."""

    wall: Splashback
    depth: float
    wall_share: float
    top_share: float
    dull: tuple[Dull, ...]


cells_of = lru_cache(maxsize=REMEMBERED)(lay_grid)


@lru_cache(maxsize=REMEMBERED)
def lux_on(
    lit: tuple[Lit, ...], frames: tuple[Frame, ...], surfaces: Surfaces | None, cells: Grid
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Give all light, and what of it has bounced, at each point of a plane's grid [lx].

    ``frames`` are those of the bars' walls, the plane's own first; only bars of that one light the
    wall that light bounces off.
    """
    lux = _direct(lit, frames, cells)
    if surfaces is None:
        return tuple(lux.ravel().tolist()), (0.0,) * lux.size
    own = tuple(each for each in lit if each.frame == 0)
    bounced = _bounced(_glow(own, surfaces, frames[0].boxes), cells)
    return tuple((lux + bounced).ravel().tolist()), tuple(bounced.ravel().tolist())


# --- Straight from the bars -----------------------------------------------------------------------


def _direct(lit: Sequence[Lit], frames: Sequence[Frame], cells: Grid) -> Array:
    found = np.zeros((len(cells.xs), len(cells.ys)))
    for first in range(0, len(cells.ys), _BLOCK):
        block = slice(first, first + _BLOCK)
        ys = cells.ys[block]
        near = [
            each for each in lit
            if each.frame
            or (each.line.y_end + _FAR > ys[0] and each.line.y_start - _FAR < ys[-1])
        ]  # fmt: skip
        if near:
            found[:, block] = _of_bars(near, frames, cells, block)
    return found


def _of_bars(lit: Sequence[Lit], frames: Sequence[Frame], cells: Grid, block: slice) -> Array:
    """Give the light of bars on some columns of a grid."""
    x, y = _in_frames(lit, frames, cells, block)
    beams = beams_of([each.line for each in lit])
    factor, distance = across(beams, x - beams.x, beams.height, beams.height)
    z = np.zeros((1, 1, 1))
    if any(each.lip for each in lit):
        factor = np.where(behind_lips(beams, [each.lip for each in lit], x, z), 0.0, factor)
    whole = seen = aspects(beams, distance, beams.y_start - y, beams.y_end - y)
    if any(frame.boxes for frame in frames):
        most = max(len(frame.boxes) for frame in frames)
        boxes = [[_between(frames[each.frame].boxes, row, each.line) for each in lit]
                 for row in range(most)]  # fmt: skip
        seen = np.maximum(whole - hidden_aspects(beams, boxes, (x, y, z), distance), 0.0)
    lux = np.maximum(factor * seen, 0.0)
    _leave_far_out(lit, lux, cells.ys[block])
    size = _size(cells)
    for row, (line, _, frame) in enumerate(lit):
        level = not frame or frames[frame].turn.out[0] != 0
        if is_narrow(line, size[0 if level else 1]) and frames[frame].turn.square:
            lux[row] = _mean(lit[row], frames[frame].turn, cells, block) * (seen[row] / whole[row])
        if frame and not frames[frame].turn.square:
            lux[row][x[row] < 0] = 0.0  # no light passes the wall
    return np.asarray(lux.sum(axis=0))


def _in_frames(
    lit: Sequence[Lit], frames: Sequence[Frame], cells: Grid, block: slice
) -> tuple[Array, Array]:
    """Give the places of a grid in the frame of each bar: out and along."""
    g, h = np.array(cells.xs)[None, :, None], np.array(cells.ys[block])[None, None, :]
    if not any(each.frame for each in lit):
        return g, h
    rows = [each.frame for each in lit]
    out = np.array([frame.turn.out for frame in frames]).T[:, rows, None, None]
    along = np.array([frame.turn.along for frame in frames]).T[:, rows, None, None]
    return out[0] * g + out[1] * h + out[2], along[0] * g + along[1] * h + along[2]


def _leave_far_out(lit: Sequence[Lit], lux: Array, ys: Sequence[float]) -> None:
    """Leave out what bars give of their own wall that are far along it."""
    for row, (line, _, frame) in enumerate(lit):
        if not frame and not (line.y_start - _FAR < ys[0] and line.y_end + _FAR > ys[-1]):
            lux[row, :, : bisect_right(ys, line.y_start - _FAR)] = 0.0
            lux[row, :, bisect_left(ys, line.y_end + _FAR) :] = 0.0


def _between(boxes: Sequence[Box], row: int, line: LitLine) -> Box | None:
    """Give a board, unless it is no lower than a bar or a bar is in it: then it is open."""
    if row >= len(boxes) or boxes[row].bottom >= line.height:
        return None
    box, middle = boxes[row], (line.y_start + line.y_end) / 2
    inside = (
        box.x_start < line.x < box.x_end
        and box.y_start < middle < box.y_end
        and line.height < box.top
    )
    return None if inside else box


def _size(cells: Grid) -> tuple[float, float]:
    """Give how deep and how wide the cells of a grid are [m]."""
    xs, ys = cells
    deep = 2 * xs[0]
    return deep, ys[1] - ys[0] if len(ys) > 1 else deep


def _mean(lit: Lit, by: Turn, cells: Grid, block: slice) -> Array:
    """Give the mean over each cell of a beam that would fall between the points of a grid."""
    line, lip, _ = lit
    level = by.out[0] != 0  # whether rows of the grid are rows of the bar's own wall
    size, beside = _size(cells) if level else _size(cells)[::-1]
    rows = cells.xs if level else cells.ys[block]
    columns = np.array(cells.ys[block] if level else cells.xs)
    out, along = by.out[0 if level else 1], by.along[1 if level else 0]
    places = [out * each + by.out[2] for each in rows]
    middles = along * columns + by.along[2]
    edges = [(each - size / 2, each + size / 2) for each in places]
    means = row_means(line, lip, edges, middles - beside / 2, middles + beside / 2)
    return means if level else means.T


# --- By way of the wall behind --------------------------------------------------------------------


@lru_cache(maxsize=REMEMBERED)
def _glow(lit: tuple[Lit, ...], surfaces: Surfaces, boxes: tuple[Box, ...]) -> Glow:
    """Give the wall as all its bars light it, whatever lip each is behind.

    Lit by them straight; and, where the plane gives light back, by what goes to and fro.
    """
    wall, depth, wall_share, top_share, dull = surfaces
    patches = patches_of(wall, depth, top_share)
    shares: Shares = wall_share * _clear(patches, dull) if dull else wall_share
    boards = [box for box in boxes if box.top > 0]
    return glow_of_wall([(each.line, each.lip) for each in lit], patches, shares, top_share, boards)


def _clear(patches: Patches, dull: Sequence[Dull]) -> Array:
    """Give what share of each row gives light back, at each edge of the columns."""
    along, low, high = np.array(patches.along), np.array(patches.high[:-1]), patches.high[1:]
    half = (along[1] - along[0]) / 2
    start, end = np.maximum(along - half, along[0]), np.minimum(along + half, along[-1])
    found = np.ones((len(low), len(along)))
    for y_start, y_end, bottom, top in dull:
        wide = np.minimum(end, y_end) - np.maximum(start, y_start)
        tall = np.minimum(high, top) - np.maximum(low, bottom)
        found -= np.outer(
            np.maximum(tall, 0.0) / (np.array(high) - low), np.maximum(wide, 0.0) / (end - start)
        )
    return np.maximum(found, 0.0)


def _bounced(glow: Glow, cells: Grid) -> Array:
    """Give the bounced light at each point: some columns worked out, those between by line."""
    columns, views = _views(glow.along, glow.away, cells)
    at = lux_seen(glow, views).reshape(len(cells.xs), len(columns))
    if len(columns) < 2:
        return at
    places = np.arange(len(cells.ys))
    after = np.maximum(np.searchsorted(columns, places, side="left"), 1)
    start = columns[after - 1]
    part = (places - start) / (columns[after] - start)
    return np.asarray(at[:, after - 1] + (at[:, after] - at[:, after - 1]) * part)


@lru_cache(maxsize=_REMEMBERED_VIEWS)
def _views(
    along: tuple[float, ...], edges: tuple[float, ...], cells: Grid
) -> tuple["np.ndarray[tuple[int], np.dtype[np.intp]]", Views]:
    """Give every third column of a grid, and how its points see a wall, row by row."""
    columns = np.array(sorted({*range(0, len(cells.ys), _EVERY), len(cells.ys) - 1}))
    xs, ys = np.array(cells.xs), np.array(cells.ys)[columns]
    return columns, views_from(along, edges, np.repeat(xs, len(ys)), np.tile(ys, len(xs)))

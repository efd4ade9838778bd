"""Direct light of many strips at many points at once: the closed form of ``line``, by arrays.

All points lie in surfaces that run along the strips; arrays are strips x rows x columns [m, lx].
A strip whose beam is narrower than the cells that points stand for would fall between them: its
light is then the mean over each row, integrated across the beam.
"""

from collections.abc import Sequence
from functools import lru_cache
from math import acos, atan, ceil, inf
from typing import Final, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from pelmet.model.plan.light.photometry.distribution import Distribution, table_share
from pelmet.model.plan.light.photometry.line import LitLine, aspect
from pelmet.model.plan.light.photometry.shade import Lip, shadow_edge

Array: TypeAlias = NDArray[np.float64]

_NODES, _WEIGHTS = (tuple(map(float, each)) for each in np.polynomial.legendre.leggauss(8))
_REMEMBERED: Final = 256  # spreads
_FAINT: Final = 1e-8  # of its greatest: beyond it a beam counts as ended
_WIDTHS: Final = 2.0  # cells that a beam must be wide for points to catch it all


class Beams(NamedTuple):
    """Strips as arrays, each figure with two axes to spare for rows and columns of points."""

    lines: tuple[LitLine, ...]
    x: Array
    height: Array
    y_start: Array
    y_end: Array
    aim_out: Array
    aim_down: Array
    candela: Array
    power: Array
    """Of the cosine across, where there is no table."""


def beams_of(lines: Sequence[LitLine]) -> Beams:
    """Put strips side by side."""
    rows = [(*line[:7], line.distribution.across) for line in lines]
    return Beams(
        tuple(lines), *(np.array(rows, dtype=np.float64).reshape(-1, 8).T[:, :, None, None])
    )


def across(beams: Beams, out: Array, down: Array, lever: Array) -> tuple[Array, Array]:
    """Give the light of strips for each unit of their aspect, and how far they are across.

    Args:
        beams: The strips.
        out: From each strip to each point, away from the wall. [m]
        down: The same, downwards. [m]
        lever: From the plane of the points to each strip, above 0. [m]

    Returns:
        Illuminance for an aspect of 1 [lx]; distance across [m].
    """
    facing = out * beams.aim_out + down * beams.aim_down
    square = out * out + down * down
    distance = np.sqrt(square)
    share = np.maximum(facing, 0.0) / distance
    if (beams.power != 1).any():
        share = np.where(facing > 0, share**beams.power, 0.0)
    for row, line in enumerate(beams.lines):
        table = line.distribution
        if table.angles:
            side = out[row] * line.aim_down - down[row] * line.aim_out
            psi = np.arctan2(side, facing[row])
            share[row] = np.interp(psi, table.angles, table.shares, left=0.0, right=0.0)
    return beams.candela * share * lever / square, distance


def aspects(beams: Beams, distance: Array, start: Array, end: Array) -> Array:
    """Give `aspect` of parts of strips, from ``start`` to ``end`` off each point along them [m]."""
    if any(line.distribution.along != 1 for line in beams.lines):
        found = [
            np.vectorize(aspect)(line.distribution.along, *parts)
            for line, *parts in zip(
                beams.lines, *np.broadcast_arrays(distance, start, end), strict=True
            )
        ]
        return np.array(found, dtype=np.float64)
    square = distance * distance
    product = start * end
    reach = distance * (end - start)
    angle: Array = np.arctan2(reach, square + product)
    ends = (square + start * start) * (square + end * end)
    return 0.5 * (angle + reach * (square - product) / ends)


def behind_lips(beams: Beams, lips: Sequence[Lip | None], x: Array, z: Array) -> NDArray[np.bool_]:
    """Say which points do not see a strip past its lip: `is_seen` the other way round.

    Args:
        beams: The strips.
        lips: The lip of each, or None.
        x: Distance of the points from the wall. [m]
        z: Their height above the worktop. [m]

    Returns:
        For each strip and point.
    """
    if not any(lips):
        return np.zeros((1, 1, 1), dtype=np.bool_)
    places = [lip or Lip(inf, inf) for lip in lips]
    at, bottom = (np.array(each)[:, None, None] for each in zip(*places, strict=True))
    way, to_lip = x - beams.x, at - beams.x
    past = (way * to_lip > 0) & (np.abs(way) > np.abs(to_lip))
    part = np.where(past, to_lip, 0.0) / np.where(past, way, 1.0)
    return np.asarray(past & (beams.height + (z - beams.height) * part > bottom))


# --- Beams that are narrower than what a point stands for -----------------------------------------


@lru_cache(maxsize=_REMEMBERED)
def beam_width(spread: Distribution) -> float:
    """Give how wide a beam is across its strip where it is half as bright as at its brightest.

    Of a table with several tops, that of the first of its brightest. [rad]
    """
    if not spread.angles:
        return 2 * acos(0.5 ** (1 / spread.across)) if spread.across else float(np.pi)
    angles, shares = spread.angles, spread.shares
    top = shares.index(max(shares))
    first = next((at for at in range(top, -1, -1) if shares[at] < 0.5), 0)
    last = next((at for at in range(top, len(shares)) if shares[at] < 0.5), len(shares) - 1)
    ends = [
        angles[inner] + (angles[outer] - angles[inner])
        * ((shares[inner] - 0.5) / (shares[inner] - shares[outer]) if shares[outer] < 0.5 else 1.0)
        for inner, outer in ((min(first + 1, top), first), (max(last - 1, top), last))
    ]  # fmt: skip
    return ends[1] - ends[0]


def is_narrow(line: LitLine, cell: float) -> bool:
    """Say if a beam falls between points that stand for cells so deep [m] below it."""
    return 0 < line.height * beam_width(line.distribution) < _WIDTHS * cell


def row_means(
    line: LitLine, lip: Lip | None, edges: Sequence[tuple[float, float]], low: Array, high: Array
) -> Array:
    """Give the mean direct light of rows of worktop that a narrow beam falls on.

    Over a row, x = strip + h tan(psi) turns E dx into I0' f(psi) A d(psi), which is smooth as
    the beam is; along the strip the mean of A has a closed form too.

    Args:
        line: The strip, of a cosine along.
        lip: The lip before it, or None.
        edges: Where each row begins and ends, from the wall. [m]
        low: Where each column begins along the wall. [m]
        high: Where it ends; or the same, for the light at that place. [m]

    Returns:
        Illuminance, rows x columns. [lx]

    Source: substitution in the integral of F03, the aspect factor of a line of light.
    """
    found = np.zeros((len(edges), len(low)))
    if line.height <= 0 or line.distribution.along != 1:
        return found
    tilt = float(np.arctan2(line.aim_out, line.aim_down))
    first, last = _lit_angles(line, lip, tilt)
    for row, (near, far) in enumerate(edges):
        start, end = (max(min(atan((x - line.x) / line.height), last), first) for x in (near, far))
        if end <= start:
            continue
        psis, weights = _quadrature(line.distribution, start - tilt, end - tilt)
        distance = line.height / np.cos(psis + tilt)[:, None]
        means = _mean_aspect(distance, line.y_start, line.y_end, low, high)
        found[row] = line.candela * (weights @ means) / (far - near)
    return found


def _lit_angles(line: LitLine, lip: Lip | None, tilt: float) -> tuple[float, float]:
    """Give the angles from straight down between which a strip lights the worktop [rad]."""
    spread = line.distribution
    if spread.angles:
        ends = spread.angles[0], spread.angles[-1]
    else:
        half = acos(_FAINT ** (1 / spread.across)) if spread.across else float(np.pi) / 2
        ends = -half, half
    level = float(np.pi) / 2 - 1e-9
    first, last = max(tilt + ends[0], -level), min(tilt + ends[1], level)
    edge = shadow_edge(line, lip) if lip else None
    if lip and edge is not None:
        dark = atan((edge - line.x) / line.height)
        first, last = (first, min(last, dark)) if lip.x > line.x else (max(first, dark), last)
    return first, last


def _quadrature(spread: Distribution, start: float, end: float) -> tuple[Array, Array]:
    """Give angles off the way a strip faces, and what light in them weighs: f(psi) d(psi)."""
    if spread.angles:
        inner = [angle for angle in spread.angles if start < angle < end]
    else:
        panels = ceil((end - start) / (beam_width(spread) / 2))
        inner = [start + (end - start) * at / panels for at in range(1, panels)]
    marks = np.array([start, *inner, end])
    half = np.diff(marks)[:, None] / 2
    psis = (marks[:-1, None] + half + half * np.array(_NODES)).ravel()
    weights = (half * np.array(_WEIGHTS)).ravel()
    if spread.angles:
        return psis, weights * [table_share(spread.angles, spread.shares, psi) for psi in psis]
    return psis, weights * np.cos(psis) ** spread.across


def _mean_aspect(distance: Array, start: float, end: float, low: Array, high: Array) -> Array:
    """Give the mean of a Lambert aspect over columns: its integral is u atan(u / d) / 2."""
    wide = high - low
    if not wide.all():
        a, b = start - low, end - low
        return np.asarray(_turned(distance, b) - _turned(distance, a))

    def whole(off: Array) -> Array:
        return np.asarray(off * np.arctan(off / distance) / 2)

    return (whole(end - low) - whole(end - high) - whole(start - low) + whole(start - high)) / wide


def _turned(distance: Array, off: Array) -> Array:
    return np.asarray(0.5 * (np.arctan(off / distance) + off * distance / (distance**2 + off**2)))

"""A measured table of luminous intensities all round a luminaire, whatever file it came from.

Directions are those of type C photometry (CIE 121, LM-63): gamma is the angle from straight
down, C the half-plane through that axis.
"""

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import atan2, cos, degrees, hypot, pi, radians, sin
from typing import Final, Literal, NamedTuple

Across = Literal[0, 90, 180, 270]
"""The C half-plane square to a line of light that plus angles across it lie in. [°]"""

FULL: Final = 360.0
HALF: Final = 180.0
QUARTER: Final = 90.0

_STEP: Final = 5  # [°] symmetry leaves few planes: look between them at least this often


class Intensities(NamedTuple):
    """Luminous intensity by direction, straight between what was measured.

    ``planes`` go from 0 to 360 and ``angles`` from 0 to 90, or over 90 to 180. Above the last
    angle it is dark.
    """

    title: str
    planes: tuple[float, ...]
    """C of each row, upwards. [°]"""
    angles: tuple[float, ...]
    """gamma of each column, upwards. [°]"""
    candela: tuple[tuple[float, ...], ...]
    """Intensity: a row for each plane. [cd]"""
    size: tuple[float, float]
    """Of the lit area, along C0-C180 and along C90-C270. [m]"""
    usual_across: Across
    """What ``across`` is in files of its format, as they are meant to be. [°]"""
    lumens_within: tuple[float, float] | None
    """Least and most light of the luminaire by what the file says of its lamps. [lm]"""
    size_line: int
    """Line of the file that the size stands on."""
    last_line: int
    """Line of the file that the last intensity stands on."""
    doubts: tuple[str, ...]
    """What looks odd in the file but can be read, in words."""

    def row(self, plane: float) -> tuple[float, ...]:
        """Give the intensities of any half-plane, at ``angles``. [cd]"""
        plane %= FULL
        after = bisect_right(self.planes, plane)
        low, high = self.planes[after - 1], self.planes[after]
        return _between(self.candela[after - 1], self.candela[after], (plane - low) / (high - low))


class Curve(NamedTuple):
    """Intensities square to a line of light, from one side of its face to the other."""

    psi: tuple[float, ...]
    """Angles from straight down, -90 to 90. [°]"""
    candela: tuple[float, ...]
    """Intensity at each. [cd]"""

    def at(self, psi: float) -> float:
        """Give the intensity at any angle from -90 to 90. [cd]"""
        after = min(bisect_right(self.psi, psi), len(self.psi) - 1)
        low, high = self.psi[after - 1], self.psi[after]
        first, second = self.candela[after - 1], self.candela[after]
        return first + (second - first) * (psi - low) / (high - low)


class Totals(NamedTuple):
    """A table summed up, and compared with its curve across times the cosine along."""

    lumens: float
    """Flux in all directions. [lm]"""
    before: float
    """Flux before the face: up to gamma 90. [lm]"""
    made: float
    """Flux that the curve across times the cosine along comes to. [lm]"""
    misplaced: float
    """Flux that the latter sends elsewhere, once it is scaled to the same flux. [lm]"""


class _Node(NamedTuple):
    plane: float
    angle: float
    candela: float
    before: float  # solid angle that it stands for [sr], up to gamma 90
    behind: float  # and above


def unfolded(
    planes: Sequence[float], rows: Sequence[Sequence[float]]
) -> dict[float, tuple[float, ...]]:
    """Give the row of every plane from 0 to 360, by the symmetry that the stored ones imply.

    The stored planes are one alone (alike all round), or go from 0 to 90, to 180, or all round,
    from 90 to 270, or from 270 over 360 to 450. [°]
    """
    stored = {plane: tuple(row) for plane, row in zip(planes, rows, strict=True)}
    first, last = planes[0], planes[-1]
    if len(stored) == 1:
        return {0.0: stored[first], FULL: stored[first]}
    if (first, last) == (0.0, QUARTER):
        stored |= {HALF - plane: row for plane, row in stored.items()}
        last = HALF
    if (first, last) == (0.0, HALF):
        stored |= {FULL - plane: row for plane, row in stored.items()}
    if first in {QUARTER, FULL - QUARTER}:
        stored = {plane % FULL: row for plane, row in stored.items()}
        stored |= {(HALF - plane) % FULL: row for plane, row in stored.items()}
    if 0.0 not in stored:
        low, high = max(stored), min(stored)
        part = (FULL - low) / (high + FULL - low)
        stored[0.0] = _between(stored[low], stored[high], part)
    stored.setdefault(FULL, stored[0.0])
    return dict(sorted(stored.items()))


def with_horizon(
    angles: Sequence[float], rows: Sequence[Sequence[float]]
) -> tuple[tuple[float, ...], tuple[tuple[float, ...], ...]]:
    """Put a column at gamma 90 into a table that steps over it."""
    whole = tuple(tuple(row) for row in rows)
    if QUARTER in angles:
        return tuple(angles), whole
    after = bisect_right(angles, QUARTER)
    part = (QUARTER - angles[after - 1]) / (angles[after] - angles[after - 1])
    return (*angles[:after], QUARTER, *angles[after:]), tuple(
        (*row[:after], row[after - 1] + (row[after] - row[after - 1]) * part, *row[after:])
        for row in whole
    )


def curve_across(table: Intensities, across: Across) -> Curve:
    """Give the intensities square to a line of light, before its face."""
    columns = range(1, table.angles.index(QUARTER) + 1)
    plus, minus = table.row(across), table.row(across + HALF)
    return Curve(
        (*(-table.angles[i] for i in reversed(columns)), 0.0, *(table.angles[i] for i in columns)),
        (
            *(minus[i] for i in reversed(columns)),
            (plus[0] + minus[0]) / 2,
            *(plus[i] for i in columns),
        ),
    )


def totals(table: Intensities, across: Across) -> Totals:
    """Sum a table up over the sphere, exactly for a table that is straight between its nodes.

    Source: flux is the integral of intensity over solid angle (CIE S 017); of a curve across
    times the cosine along, it is pi/2 times the integral of the curve.
    """
    curve = curve_across(table, across)
    nodes = list(_nodes(table))
    before = sum(node.before * node.candela for node in nodes)
    behind = sum(node.behind * node.candela for node in nodes)
    across_all = sum(
        radians(high - low) * (one + other) / 2
        for (low, high), (one, other) in zip(
            pairwise(curve.psi), pairwise(curve.candela), strict=True
        )
    )
    made = pi / 2 * across_all
    misplaced = 0.0
    if made > 0:
        for node in nodes:
            if node.before > 0:
                like = _separable(curve, node, across) * before / made
                misplaced += node.before * abs(like - node.candela) / 2
    return Totals(before + behind, before, made, misplaced)


def _between(low: Sequence[float], high: Sequence[float], part: float) -> tuple[float, ...]:
    return tuple(one + (other - one) * part for one, other in zip(low, high, strict=True))


def _separable(curve: Curve, node: _Node, across: Across) -> float:
    turned, gamma = radians(node.plane - across), radians(node.angle)
    out, down = sin(gamma) * cos(turned), max(cos(gamma), 0.0)
    return curve.at(degrees(atan2(out, down))) * hypot(out, down)


def _nodes(table: Intensities) -> Iterator[_Node]:
    planes = sorted({*table.planes, *(float(plane) for plane in range(0, int(FULL), _STEP)), FULL})
    widths = [radians(high - low) for low, high in pairwise(planes)]
    columns = _column_weights(table.angles)
    for plane, left, right in zip(planes, [0.0, *widths], [*widths, 0.0], strict=True):
        row = table.candela[-1] if plane == FULL else table.row(plane)
        width = (left + right) / 2
        for angle, candela, (before, behind) in zip(table.angles, row, columns, strict=True):
            yield _Node(plane, angle, candela, width * before, width * behind)


def _column_weights(angles: Sequence[float]) -> list[tuple[float, float]]:
    """Give what each gamma counts for in the integral of I sin(gamma), below and above 90."""
    weights = [[0.0, 0.0] for _ in angles]
    for column, (low, high) in enumerate(pairwise(angles)):
        side = 0 if high <= QUARTER else 1
        start, end = radians(low), radians(high)
        mean = (sin(end) - sin(start)) / (end - start)
        weights[column][side] += cos(start) - mean
        weights[column + 1][side] += mean - cos(end)
    return [(before, behind) for before, behind in weights]

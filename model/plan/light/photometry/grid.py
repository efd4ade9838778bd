"""Where to work light out on a worktop, and what the lux of such points come to.

Source: EN 12464-1:2011, 4.4: a grid of nearly square cells no larger than p = 0.2 * 5^log10(d),
with a point in the middle of each. The band of 0.5 m by the walls that it leaves out of rooms
does not apply: the task lies in it.
"""

from collections.abc import Sequence
from math import ceil, inf, log10
from typing import Final, NamedTuple

from pelmet.model.plan.formulas import works_out

LARGEST_CELL: Final = 10.0
"""Most that a cell may be long or wide. [m]"""
_LONG: Final = 2.0  # sides in this ratio or more: the shorter one decides
_EXACT: Final = 1e-9  # of a cell; less over a whole number of cells is rounding


class Grid(NamedTuple):
    """Points in the middle of equal cells, row by row from the wall out."""

    xs: tuple[float, ...]
    """Distances from the wall. [m]"""
    ys: tuple[float, ...]
    """Positions along the wall. [m]"""

    @property
    def points(self) -> tuple[tuple[float, float], ...]:
        """The points (x, y), row by row. [m]"""
        return tuple((x, y) for x in self.xs for y in self.ys)


class Summary(NamedTuple):
    """What the lux of many points come to."""

    average: float
    """[lx]"""
    least: float
    """[lx]"""
    most: float
    """[lx]"""
    overall: float
    """Overall uniformity U0: least over average; 0 if all is dark. [-]"""
    diversity: float
    """Ud: least over most; 0 if all is dark. [-]"""
    least_at: int
    """Place in the list of the first of the least lit points. [-]"""


def largest_cell(width: float, depth: float) -> float:
    """Give the largest cell for an area: p = 0.2 * 5^log10(d), at most 10 m.

    Here d is the longer side, or the shorter one if the longer is twice as long or more.

    Args:
        width: One side, above 0. [m]
        depth: The other. [m]

    Returns:
        Largest length of a cell. [m]

    Raises:
        ValueError: A side is not above 0 and finite.

    Source: EN 12464-1:2011, 4.4.
    """
    short, long = sorted((width, depth))
    if not 0 < short <= long < inf:
        raise ValueError(f"{width:g} by {depth:g} m is no area; give both sides, above 0 m")
    deciding = short if long >= _LONG * short else long
    return min(0.2 * 5 ** log10(deciding), LARGEST_CELL)


def odd_count(length: float, cell: float) -> int:
    """Give how many cells a side takes: the next odd number, so that one is in the middle.

    Args:
        length: The side. [m]
        cell: Largest cell. [m]

    Returns:
        Number of cells, 1 or more.
    """
    count = max(ceil(length / cell - _EXACT), 1)
    return count if count % 2 else count + 1


def lay_grid(width: float, depth: float, y_start: float = 0.0) -> Grid:
    """Lay the calculation grid of a worktop.

    Args:
        width: Length along the wall, above 0. [m]
        depth: Depth from the wall out, above 0. [m]
        y_start: Where along the wall it begins. [m]

    Returns:
        The grid.

    Raises:
        ValueError: A side is not above 0 and finite.

    Source: EN 12464-1:2011, 4.4; odd numbers are common practice.
    """
    cell = largest_cell(width, depth)
    xs, ys = middles(depth, odd_count(depth, cell)), middles(width, odd_count(width, cell))
    return Grid(xs, tuple(y_start + y for y in ys))


def middles(length: float, count: int) -> tuple[float, ...]:
    """Give the middles of a number of equal cells.

    Args:
        length: Length of them all. [m]
        count: How many, 1 or more.

    Returns:
        Distances from the start. [m]
    """
    return tuple(length * (2 * cell + 1) / (2 * count) for cell in range(count))


def summary(lux: Sequence[float]) -> Summary:
    """Sum up the lux of points that stand for equal areas.

    Args:
        lux: Illuminance of each, 0 or more. [lx]

    Returns:
        Average, least, most, uniformity, and where the least is.

    Raises:
        ValueError: There are no points.

    Source: EN 12464-1:2011 (U0); an older rule of lighting codes has least over most.
    """
    if not lux:
        raise ValueError("lux of no points come to nothing; give one or more")
    average, least, most = sum(lux) / len(lux), min(lux), max(lux)
    diversity = least / most if most else 0.0
    return Summary(average, least, most, uniformity(least, average), diversity, lux.index(least))


@works_out("evenness")
def uniformity(least: float, average: float) -> float:
    """Give how even light is: the U0 of EN 12464-1, least over average, 0 where there is none."""
    return least / average if average else 0.0

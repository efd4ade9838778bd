"""Light across the depth of a plane: the mean along the wall, from the wall to the front edge.

Of an upright plane from its top to its foot.
"""

from bisect import bisect_right
from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from pelmet.model.job.job import Site
from pelmet.model.measure.decimals import plain
from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.light.lamps import MM_PER_METRE
from pelmet.model.plan.light.planes import edge_words
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.told.drawings.drawing import Canvas, Drawing, Words, flow, stack
from pelmet.model.told.figures import millimetres

LEAST_WIDTH: Final = 24
LEAST_HEIGHT: Final = 6
_CELL, _BETWEEN, _TARGET = "*", ".", "-"
_KEY_SHARE: Final = 3  # no more than a third of the rows say what marks mean


def across_depth(light: RunLight) -> tuple[tuple[float, float], ...]:
    """Give the mean lux of each row of cells by its place out from the wall [m, lx]."""
    along = len(light.cells.ys)
    return tuple(
        (out, sum(light.lux[row * along : (row + 1) * along]) / along)
        for row, out in enumerate(light.cells.xs)
    )


def draw_depth_curve(
    light: RunLight, wanted: Decimal, site: Site, width: int, height: int
) -> Drawing:
    """Draw the mean lux from the wall to the front edge, from 0 lx up, and the average wanted.

    ``wanted`` is that average [lx], a line of dashes. At most ``width`` columns and ``height``
    rows; nothing where there is no room. Never raises.
    """
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        return Drawing((), ())
    marks = (
        Words("mean lux", "key"),
        Words(f"{_CELL} of a row of cells", "key"),
        Words(f"{_TARGET} {plain(wanted)} lx wanted", "key"),
    )
    key = flow(marks, width).first(max(height // _KEY_SHARE, 1))
    chart = _Chart(light, float(wanted), width, height - 1 - len(key.rows))
    return stack([chart.draw(), chart.across(site), key])


class _Chart:
    """The cells that the curve is drawn in: lux up from 0, the depth across."""

    def __init__(self, light: RunLight, wanted: float, width: int, rows: int) -> None:
        self.light, self.points = light, across_depth(light)
        self.wanted, self.width, self.rows = wanted, width, rows
        self.top = max(wanted, *(lux for _, lux in self.points), 1.0)
        self.margin = len(f"{self.top:.0f}") + 1
        # Cells are alike, so the depth is as far past the last middle as the first is out.
        self.depth = self.points[0][0] + self.points[-1][0]

    def row(self, lux: float) -> int:
        return round((self.top - lux) / self.top * (self.rows - 1))

    def column(self, out: float) -> int:
        return self.margin + round(out / self.depth * (self.width - self.margin - 1))

    def draw(self) -> Drawing:
        canvas = Canvas(self.width, self.rows)
        for lux in (0.0, self.top, self.wanted):  # the last one stands where two fall in a row
            text = f"{lux:.0f}"
            for column in range(self.margin - 1):
                canvas.wipe((self.row(lux), column))
            canvas.write((self.row(lux), self.margin - 1 - len(text)), text, "label", "")
        for column in range(self.margin, self.width):
            canvas.put((self.row(self.wanted), column), _TARGET, "scale", "")
        for cell in self._between():
            canvas.put(cell, _BETWEEN, "run", "")
        for out, lux in self.points:
            canvas.put((self.row(lux), self.column(out)), _CELL, "run", "")
        return canvas.drawing()

    def _between(self) -> Iterator[tuple[int, int]]:
        """Give the cells of the straight lines from point to point."""
        outs = [out for out, _ in self.points]
        for column in range(self.column(outs[0]), self.column(outs[-1])):
            out = (column - self.margin) / (self.width - self.margin - 1) * self.depth
            at = min(max(bisect_right(outs, out), 1), len(outs) - 1)
            (one, before), (other, after) = self.points[at - 1], self.points[at]
            lux = before + (after - before) * (out - one) / (other - one)
            yield min(max(self.row(lux), 0), self.rows - 1), column

    def across(self, site: Site) -> Drawing:
        """Write where the wall is and how far out the front edge."""
        far = print_length(
            millimetres(round(self.depth * MM_PER_METRE, 1)), site.length_unit, site.inch_parts
        )
        canvas = Canvas(self.width, 1)
        start, end = edge_words(self.light.plane)
        canvas.write((0, self.margin), start, "scale", "")
        front = f"{end} {far}"
        if self.margin + len(start) + 1 + len(front) <= self.width:
            canvas.write((0, self.width - len(front)), front, "scale", "")
        return canvas.drawing()

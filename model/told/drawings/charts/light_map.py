"""The light on a plane as a map: lux by cell, seen from above, the wall at the top.

An upright plane is seen from the room, its top at the top.

All is said without colour: the least-lit cell stands in ``< >``, what is under the average that is
wanted has a ``-`` behind it. Where there is no room for every cell, neighbours are merged.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Final, NamedTuple

from pelmet.model.job.job import Site
from pelmet.model.measure.decimals import plain
from pelmet.model.measure.lengths import MILLIMETRES
from pelmet.model.plan.light.lamps import MM_PER_METRE
from pelmet.model.plan.light.planes import edge_words
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.told.drawings.drawing import (
    Canvas,
    Drawing,
    Role,
    Words,
    flow,
    plain_ascii,
    stack,
)
from pelmet.model.told.drawings.plan.lines import WALL

FRONT: Final = "_"
_UNDER: Final = "-"
_LEAST: Final = "<", ">"
_MARKS: Final = 3  # columns of a cell beside its number: < and > of the least-lit one, and -
_AROUND: Final = 3  # rows beside those of the cells: places along the wall, wall, front edge


class Cell(NamedTuple):
    """Cells side by side as one: their mean [lx], and whether the least-lit one is of them."""

    lux: float
    holds_least: bool


class CoarseMap(NamedTuple):
    """A map with few enough cells; ``outs`` and ``alongs`` are their middles [mm].

    ``rows`` are from the wall out; ``most`` says how many cells one holds at most, out and along.
    """

    outs: tuple[float, ...]
    alongs: tuple[float, ...]
    rows: tuple[tuple[Cell, ...], ...]
    most: tuple[int, int]


def coarse_map(light: RunLight, rows: int, columns: int) -> CoarseMap:
    """Merge neighbouring cells by their mean until there are no more than this, 1 or more."""
    xs, ys = light.cells.xs, light.cells.ys
    across, along = _groups(len(xs), rows), _groups(len(ys), columns)
    least = light.lux.index(min(light.lux))

    def cell(out: range, beside: range) -> Cell:
        held = [row * len(ys) + column for row in out for column in beside]
        return Cell(sum(light.lux[at] for at in held) / len(held), least in held)

    return CoarseMap(
        _middles(xs, across),
        _middles(ys, along),
        tuple(tuple(cell(out, beside) for beside in along) for out in across),
        (max(map(len, across)), max(map(len, along))),
    )


def _groups(count: int, most: int) -> tuple[range, ...]:
    """Share cells out among so many groups at most, each a cell more or less than another."""
    groups = min(max(most, 1), count)
    edges = [(2 * at * count + groups) // (2 * groups) for at in range(groups + 1)]
    return tuple(range(first, last) for first, last in pairwise(edges))


def _middles(places: Sequence[float], groups: Sequence[range]) -> tuple[float, ...]:
    """Give the middle of each group of equal cells [mm]."""
    return tuple((places[own[0]] + places[own[-1]]) / 2 * MM_PER_METRE for own in groups)


def draw_light_map(
    light: RunLight, wanted: Decimal, site: Site, width: int, height: int | None = None
) -> Drawing:
    """Draw the lux on what a run lights, with the places of the cells and a key.

    ``wanted`` is the average that the work there asks for [lx]. At most ``width`` columns and
    ``height`` rows; the least-lit spot in words where a map has no room. Never raises.
    """
    width = max(width, 1)
    page = _Page(light, float(wanted), site, width)
    if page.columns < 1:
        return _fitted(page.in_words(), height)
    key = page.key(page.map(len(light.cells.xs)))
    if height is None or height >= _AROUND + len(light.cells.xs) + len(key.rows):
        return stack([page.draw(page.map(len(light.cells.xs))), key])
    # Merging may say more in the key, never less.
    rows = height - _AROUND - len(page.key(page.map(1)).rows)
    if rows < 1:
        return _fitted(page.in_words(), height)
    found = page.map(rows)
    return _fitted(stack([page.draw(found), page.key(found)]), height)


def map_width(light: RunLight, site: Site) -> int:
    """Give the columns that a map takes on which no cell along the wall is merged."""
    page = _Page(light, 0.0, site, 1)
    return page.margin + len(light.cells.ys) * page.cell


def _fitted(drawing: Drawing, height: int | None) -> Drawing:
    return drawing if height is None else drawing.first(height)


class _Page:
    """A map to be drawn: how wide its numbers and its margin are, and how many columns fit."""

    def __init__(self, light: RunLight, wanted: float, site: Site, width: int) -> None:
        self.light, self.wanted, self.site, self.width = light, wanted, site, width
        farthest = self.place(light.cells.ys[-1] * MM_PER_METRE)
        deepest = self.place(light.cells.xs[-1] * MM_PER_METRE)
        self.margin = max(len(deepest), len(site.length_unit)) + 1
        self.cell = max(len(f"{max(light.lux):.0f}") + _MARKS, len(farthest) + 1)
        self.columns = min((width - self.margin) // self.cell, len(light.cells.ys))

    def place(self, mm: float) -> str:
        """Print a place in whole units of the job."""
        return f"{mm / float(MILLIMETRES[self.site.length_unit]):.0f}"

    def map(self, rows: int) -> CoarseMap:
        return coarse_map(self.light, rows, self.columns)

    def in_words(self) -> Drawing:
        text = f"{self.light.run}: least {self.light.least.value:.0f} lx, {self.light.why}"
        words = (Words(word, "key", self.light.run) for word in text.split())
        return flow(words, self.width, gap=1)

    def draw(self, found: CoarseMap) -> Drawing:
        right = self.margin + len(found.alongs) * self.cell
        canvas = Canvas(right, _AROUND + len(found.outs))
        canvas.write((0, 0), self.site.length_unit, "scale", "")
        for at, along in enumerate(found.alongs):
            self._write(canvas, 0, at, self.place(along), "scale")
        upper, lower = edge_words(self.light.plane)
        wall = f" {upper} at wall {plain_ascii(self.light.wall)} "
        if not self.light.plane.upright:
            wall = f" wall {plain_ascii(self.light.wall)} "
        self._edge(canvas, 1, WALL, wall, "wall")
        for row, (out, cells) in enumerate(zip(found.outs, found.rows, strict=True), 2):
            place = self.place(out)
            canvas.write((row, self.margin - 1 - len(place)), place, "scale", "")
            for at, cell in enumerate(cells):
                under = cell.lux < self.wanted
                self._write(canvas, row, at, f"{cell.lux:.0f}", "dark" if under else "run")
                right = self.margin + (at + 1) * self.cell
                if under:
                    canvas.put((row, right - 2), _UNDER, "dark", "")
                if cell.holds_least:
                    start = right - 2 - len(f"{cell.lux:.0f}")
                    canvas.put((row, start - 1), _LEAST[0], "dark" if under else "run", "")
                    canvas.put((row, right - 1), _LEAST[1], "dark" if under else "run", "")
        self._edge(
            canvas,
            len(found.outs) + 2,
            FRONT,
            f" {lower} edge " if lower == "front" else f" {lower} ",
            "cabinet",
        )
        return canvas.drawing()

    def _write(self, canvas: Canvas, row: int, at: int, text: str, role: Role) -> None:
        """Write a number so that all of one column end below one another."""
        end = self.margin + (at + 1) * self.cell - 2
        for column, char in enumerate(text, end - len(text)):
            canvas.put((row, column), char, role, "")

    def _edge(self, canvas: Canvas, row: int, char: str, name: str, role: Role) -> None:
        """Draw the wall or the front edge, with its name in the middle if it has room."""
        about = self.light.wall if role == "wall" else ""
        for column in range(self.margin, canvas.width):
            canvas.put((row, column), char, role, about)
        start = self.margin + (canvas.width - self.margin - len(name)) // 2
        if start > self.margin:
            for column, own in enumerate(name, start):
                if own == " ":
                    canvas.wipe((row, column))
                else:
                    canvas.put((row, column), own, "label", about)

    def key(self, found: CoarseMap) -> Drawing:
        return flow(self._key(found), self.width)

    def _key(self, found: CoarseMap) -> Iterator[Words]:
        yield Words("lux by cell", "key")
        least = f"{self.light.least.value:.0f} lx"
        if max(found.most) == 1:
            yield Words(f"{_LEAST[0]} {_LEAST[1]} least-lit, {least}", "key")
        else:
            out, along = found.most
            yield Words(f"mean of up to {along} x {out} cells, along x out", "key")
            yield Words(f"{_LEAST[0]} {_LEAST[1]} holds the least-lit, {least}", "key")
        wanted = plain(Decimal(str(self.wanted)))
        if any(cell.lux < self.wanted for row in found.rows for cell in row):
            yield Words(f"{_UNDER} under {wanted} lx", "key")
        else:
            yield Words(f"none under {wanted} lx", "key")

"""Straight lines in cells: which cells they go through, and with which characters."""

from typing import Final

from pelmet.model.told.drawings.drawing import Cell

WALL: Final = "#"
_SHALLOW: Final = 3  # a wall that goes so many cells across for each one down has no slashes
_STEEP: Final = 2  # a line that falls so many cells for each one across is drawn upright


def line_cells(start: Cell, end: Cell) -> list[Cell]:
    """Give the cells of a straight line, both ends in it, one for each step of its longer way."""
    down, across = end[0] - start[0], end[1] - start[1]
    steps = max(abs(down), abs(across))
    if not steps:
        return [start]
    half, whole = steps, 2 * steps
    return [
        (
            start[0] + (2 * down * step + half) // whole,
            start[1] + (2 * across * step + half) // whole,
        )
        for step in range(steps + 1)
    ]


def line_chars(cells: list[Cell], level: str, upright: str) -> list[str]:
    """Give the characters of a line: its own when level or upright, else slashes."""
    down, across = cells[-1][0] - cells[0][0], cells[-1][1] - cells[0][1]
    if not down:
        return [level] * len(cells)
    if abs(down) > _STEEP * abs(across):
        return [upright] * len(cells)
    slash = "\\" if (down > 0) == (across > 0) else "/"
    if level == WALL:
        inner = WALL if abs(across) > _SHALLOW * abs(down) else slash
        return [WALL, *[inner] * (len(cells) - 2), WALL][: len(cells)]
    # A falling line starts each row with its slash, a rising one ends each row with it.
    rows = [row for row, _ in cells]
    falls_onwards = (across > 0) == (slash == "\\")
    beside = [None, *rows[:-1]] if falls_onwards else [*rows[1:], None]
    return [slash if row != other else "_" for row, other in zip(rows, beside, strict=True)]

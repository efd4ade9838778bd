"""Columns of plain text: lines folded at a width, and tables in which every cell stands whole."""

import re
from collections.abc import Sequence
from itertools import zip_longest
from typing import Final

from pelmet.model.told.formats.letters import columns_of, runs_left
from pelmet.model.told.paper import Grid
from pelmet.model.told.words import WIDTH

_GAP: Final = "  "
# A longer word may be broken to make a table fit, in turn.
_LONGEST_WORDS: Final = (WIDTH, 24, 12, 6)
_LABEL: Final = 24
_LEFT_TO_RIGHT: Final = "\N{LEFT-TO-RIGHT MARK}"  # keeps columns in order around Hebrew, Arabic
_WORD: Final = re.compile(" *[^ ]+")


def folded(text: str, width: int) -> list[str]:
    """Break a text into lines of at most ``width`` columns [2 or more], and lose no letter.

    Lines break at spaces, and within a word only where it is wider than a line.
    """
    lines = []
    for paragraph in text.split("\n"):
        line = ""
        for word in _WORD.findall(paragraph):
            if columns_of(line + word) <= width:
                line += word
                continue
            if line:
                lines.append(line)
            *whole, line = pieces(word.lstrip(" "), width)
            lines += whole
        lines.append(line)
    return lines


def pieces(text: str, width: int) -> list[str]:
    """Cut a text every ``width`` columns [2 or more], wherever that is."""
    if columns_of(text) <= width:
        return [text]
    found, piece, taken = [], "", 0
    for char in text:
        room = columns_of(char)
        if taken + room > width:
            found.append(piece)
            piece, taken = "", 0
        piece += char
        taken += room
    return [*found, piece]


def padded(text: str, width: int, *, right: bool = False) -> str:
    """Fill a text up to a width, on the left if it is to stand to the right."""
    space = " " * (width - columns_of(text))
    if runs_left(text):
        text = f"{_LEFT_TO_RIGHT}{text}{_LEFT_TO_RIGHT}"
    return space + text if right else text + space


def labelled_lines(label: str, text: str, indent: int) -> list[str]:
    """Set a text beside its label, further lines of either below."""
    sides = zip_longest(folded(label, indent - len(_GAP)), folded(text, WIDTH - indent))
    return [f"{padded(left or '', indent)}{right or ''}".rstrip() for left, right in sides]


def table_lines(grid: Grid) -> list[str]:
    """Lay a table out under its head, or cell below cell where it is too wide for a page.

    Numbers and ids are never broken, words only where they are long.
    """
    widths = _widths(grid)
    if widths is None:
        return _cell_below_cell(grid)
    head, *rows = [_row(cells, widths, grid.numbers) for cells in (grid.head, *grid.rows)]
    lines = [*head, _GAP.join("-" * width for width in widths)]
    apart = any(len(row) > 1 for row in rows)
    for place, row in enumerate(rows):
        lines += ["", *row] if apart and place else row
    return lines


def _widths(grid: Grid) -> list[int] | None:
    """Give every column its width, or nothing where numbers or ids would have to be broken."""
    by_column = list(zip(grid.head, *grid.rows, strict=True))
    whole = [
        max(columns_of(line) for cell in cells for line in cell.split("\n")) for cells in by_column
    ]
    room = WIDTH - len(_GAP) * (len(by_column) - 1)

    def at_least(longest: int) -> list[int]:
        kept = grid.numbers | grid.large
        return [
            _least(cells, None if place in kept else longest)
            for place, cells in enumerate(by_column)
        ]

    for longest in _LONGEST_WORDS:
        least = at_least(longest)
        if sum(least) <= room:
            return _widened(_mended(least, at_least(WIDTH), room), whole, room)
    return None


def _least(cells: Sequence[str], longest: int | None) -> int:
    """Say how narrow a column may be: its longest word, or a longest word allowed; 2 at least."""
    head, *rest = cells
    kept = [*head.split(), *(" ".join(rest).split() if longest else "\n".join(rest).split("\n"))]
    widest = max(map(columns_of, kept), default=0)
    return max(min(widest, longest) if longest else widest, 2)


def _mended(widths: list[int], unbroken: list[int], room: int) -> list[int]:
    """Widen columns so that as few as can be have a broken word: those that lack least first."""
    lacks = [most - width for most, width in zip(unbroken, widths, strict=True)]
    for place in sorted(range(len(widths)), key=lacks.__getitem__):
        widths[place] += min(lacks[place], room - sum(widths))
    return widths


def _widened(widths: list[int], whole: list[int], room: int) -> list[int]:
    """Share the room that is left, a column at a time to the one that lacks most."""
    for _ in range(room - sum(widths)):
        lacks = [most - width for most, width in zip(whole, widths, strict=True)]
        neediest = max(range(len(lacks)), key=lacks.__getitem__)
        if lacks[neediest] <= 0:
            break
        widths[neediest] += 1
    return widths


def _row(cells: Sequence[str], widths: Sequence[int], numbers: frozenset[int]) -> list[str]:
    stacks = [folded(cell, width) for cell, width in zip(cells, widths, strict=True)]
    return [
        _GAP.join(
            padded(part, width, right=place in numbers)
            for place, (part, width) in enumerate(zip(parts, widths, strict=True))
        ).rstrip()
        for parts in zip_longest(*stacks, fillvalue="")
    ]


def _cell_below_cell(grid: Grid) -> list[str]:
    indent = min(max(map(columns_of, grid.head)), _LABEL) + len(_GAP)
    lines: list[str] = []
    for place, row in enumerate(grid.rows):
        lines += [""] if place else []
        for label, cell in zip(grid.head, row, strict=True):
            lines += labelled_lines(label, cell, indent)
    return lines

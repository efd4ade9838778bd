"""A drawing in text: rows of plain ASCII, and spans that say what each stretch of a row is.

The spans let a screen colour the drawing and find what was clicked; the rows alone say it all.
"""

from collections.abc import Iterable, Iterator
from itertools import groupby, zip_longest
from typing import Literal, NamedTuple

Role = Literal[
    "wall",
    "cabinet",
    "run",
    "dark",
    "obstacle",
    "supply",
    "feed",
    "cable",
    "hole",
    "label",
    "scale",
    "key",
    "focus",
    "fault",
]
Cell = tuple[int, int]
_FIRST_PRINTABLE, _LAST_PRINTABLE = " ", "~"


class Span(NamedTuple):
    """Columns ``start`` to before ``end`` of a row; ``about`` is the id of a thing, or empty."""

    row: int
    start: int
    end: int
    role: Role
    about: str = ""


class Drawing(NamedTuple):
    """Rows of printable ASCII without trailing spaces, and their spans in reading order."""

    rows: tuple[str, ...]
    spans: tuple[Span, ...]

    def first(self, rows: int) -> "Drawing":
        """Keep no more than this many rows."""
        rows = max(rows, 0)
        if len(self.rows) <= rows:
            return self
        return Drawing(self.rows[:rows], tuple(span for span in self.spans if span.row < rows))


class Words(NamedTuple):
    """A piece of a line of words, kept whole when the line is wrapped."""

    text: str
    role: Role
    about: str = ""


def plain_ascii(text: str) -> str:
    """Put ``?`` for every character that is not printable ASCII.

    >>> plain_ascii("Küche [/]")
    'K?che [/]'
    """
    if text.isascii() and text.isprintable():
        return text
    return "".join(char if _FIRST_PRINTABLE <= char <= _LAST_PRINTABLE else "?" for char in text)


def stack(drawings: Iterable[Drawing]) -> Drawing:
    """Put drawings one below another."""
    rows: list[str] = []
    spans: list[Span] = []
    for drawing in drawings:
        down = len(rows)
        spans += (
            Span(span.row + down, span.start, span.end, span.role, span.about)
            for span in drawing.spans
        )
        rows += drawing.rows
    return Drawing(tuple(rows), tuple(spans))


def side_by_side(left: Drawing, right: Drawing, at: int) -> Drawing:
    """Put one drawing to the right of another, from a column on."""
    if not right.rows:
        return left
    rows = [
        f"{one:<{at}}{other}".rstrip()
        for one, other in zip_longest(left.rows, right.rows, fillvalue="")
    ]
    moved = (span._replace(start=span.start + at, end=span.end + at) for span in right.spans)
    spans = sorted((*left.spans, *moved), key=lambda span: (span.row, span.start))
    return Drawing(tuple(rows), tuple(spans))


def flow(pieces: Iterable[Words], width: int, gap: int = 2) -> Drawing:
    """Write pieces of words one after another, ``gap`` columns apart, wrapped at ``width``."""
    rows: list[str] = []
    spans: list[Span] = []
    for piece in pieces:
        text = plain_ascii(piece.text)[:width].strip()
        if not text:
            continue
        if rows and len(rows[-1]) + gap + len(text) <= width:
            rows[-1] += " " * gap
        else:
            rows.append("")
        start = len(rows[-1])
        rows[-1] += text
        spans.append(Span(len(rows) - 1, start, start + len(text), piece.role, piece.about))
    return Drawing(tuple(rows), tuple(spans))


class Canvas:
    """A sheet of cells to draw on; what falls outside it is not drawn.

    Marks may be drawn over other marks; a label is never drawn over nor next to another one.
    """

    def __init__(self, width: int, height: int) -> None:
        self.width, self.height = width, height
        self._chars = [" "] * (width * height)
        self._marks: list[tuple[Role, str] | None] = [None] * (width * height)
        self._labels = bytearray(width * height)

    def holds(self, cell: Cell) -> bool:
        """Tell whether a cell lies on the sheet."""
        return 0 <= cell[0] < self.height and 0 <= cell[1] < self.width

    def role(self, cell: Cell) -> Role | None:
        """Give the role of the mark in a cell, if it has one."""
        mark = self._marks[cell[0] * self.width + cell[1]] if self.holds(cell) else None
        return mark[0] if mark else None

    def put(self, cell: Cell, char: str, role: Role, about: str) -> None:
        """Draw one mark, unless a label stands there."""
        row, column = cell
        if 0 <= row < self.height and 0 <= column < self.width:
            at = row * self.width + column
            if not self._labels[at]:
                self._chars[at] = char
                self._marks[at] = (role, about)

    def wipe(self, cell: Cell) -> None:
        """Take the mark out of a cell."""
        at = cell[0] * self.width + cell[1]
        self._chars[at], self._marks[at] = " ", None

    def is_free(
        self, cell: Cell, length: int, over: Role | None = None, about: str | None = None
    ) -> bool:
        """Tell whether a label of this length fits from this cell.

        It fits over blanks and over marks of one role, of any thing or of the one named, and
        not next to a letter, with which it would read as one word.
        """
        row, column = cell
        if not (0 <= row < self.height and column >= 0 and column + length <= self.width):
            return False
        start = row * self.width + column
        if self._labels[start] or (over is None and self._marks[start]):
            return False
        end = start + length
        first = start - 1 if column else start
        last = end + (column + length < self.width)
        if 1 in self._labels[first:last]:
            return False
        for at in range(first, last):
            mark = self._marks[at]
            if mark is None or (mark[0] == over and about in (None, mark[1])):
                continue
            if start <= at < end or self._chars[at].isalnum():
                return False
        return True

    def by_label(self, cell: Cell) -> bool:
        """Tell whether a label stands in a cell or right beside it in its row."""
        row, column = cell
        first, last = max(column - 1, 0), min(column + 2, self.width)
        start = row * self.width
        return self.holds(cell) and 1 in self._labels[start + first : start + last]

    def write(self, cell: Cell, text: str, role: Role, about: str) -> None:
        """Write a label; the caller has asked whether it fits."""
        start = cell[0] * self.width + cell[1]
        end = start + len(text)
        self._chars[start:end] = text
        self._marks[start:end] = [(role, about)] * len(text)
        self._labels[start:end] = b"\x01" * len(text)

    def marks(self) -> set[tuple[Role, str]]:
        """Give the roles drawn, each with the characters it has."""
        drawn = set(zip(self._marks, self._chars, strict=True))
        return {(mark[0], char) for mark, char in drawn if mark}

    def drawing(self) -> Drawing:
        """Give the rows from the first to the last that has something on it."""
        lines = [
            "".join(self._chars[row * self.width : (row + 1) * self.width]).rstrip()
            for row in range(self.height)
        ]
        used = [row for row, line in enumerate(lines) if line]
        if not used:
            return Drawing((), ())
        top, bottom = used[0], used[-1] + 1
        spans = (span for row in range(top, bottom) for span in self._spans(row, top))
        return Drawing(tuple(lines[top:bottom]), tuple(spans))

    def _spans(self, row: int, top: int) -> Iterator[Span]:
        start = 0
        marks = self._marks[row * self.width : (row + 1) * self.width]
        for mark, cells in groupby(marks):
            end = start + len(list(cells))
            if mark:
                yield Span(row - top, start, end, *mark)
            start = end

"""Plain ASCII lines of at most 78 columns, whatever names they hold."""

from collections.abc import Collection, Sequence
from textwrap import wrap
from typing import Final

from pelmet.model.told.drawings.drawing import plain_ascii

WIDTH: Final = 78
CUT: Final = "~"

_KEPT_END: Final = 3  # ids differ at their ends, so a cut one keeps its last letters
_NARROWEST: Final = 5
_LAST_COLUMN: Final = 12
_GAP: Final = "  "


def cut(text: str, width: int) -> str:
    """Shorten to ``width`` columns with a ``~`` where letters are left out.

    >>> cut("long-cabinet-12", 10)
    'long-c~-12'
    """
    if len(text) <= width:
        return text
    end = _KEPT_END if width > 2 * _KEPT_END else 0
    return text[: max(width - 1 - end, 0)] + CUT + text[len(text) - end :]


def wrapped(text: str, first: str = "", rest: str = "", width: int = WIDTH) -> tuple[str, ...]:
    """Break a text into ASCII lines; ``first`` and ``rest`` stand in front of them."""
    lines = wrap(
        plain_ascii(text),
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
    )
    return tuple(lines) or (first.rstrip(),)


def labelled(label: str, text: str, indent: int, width: int = WIDTH) -> tuple[str, ...]:
    """Set a text beside its label, further lines below it at ``indent``."""
    return wrapped(text, f"{label:<{indent}}", " " * indent, width)


def heading(text: str, line: str = "-") -> tuple[str, str]:
    """Underline a heading."""
    shown = cut(plain_ascii(text), WIDTH)
    return shown, line * len(shown)


def table(
    head: Sequence[str], rows: Sequence[Sequence[str]], numbers: Collection[int] = ()
) -> tuple[str, ...]:
    """Lay rows out under a head: columns of numbers to the right, the last column wrapped.

    Cells of words are cut when a row would not fit; numbers never are. ``numbers`` are the
    places of the number columns, never the last.
    """
    cells = [[plain_ascii(cell) for cell in row] for row in (head, *rows)]
    *columns, last = zip(*cells, strict=True)
    widths = _shrunk([max(map(len, column)) for column in columns], max(map(len, last)), numbers)
    lines: list[str] = []
    for *row, tail in cells:
        before = "".join(
            f"{cut(cell, width):{'>' if place in numbers else '<'}{width}}{_GAP}"
            for place, (cell, width) in enumerate(zip(row, widths, strict=True))
        )
        lines.extend(line.rstrip() for line in wrapped(tail, before, " " * len(before)))
    return tuple(lines)


def _shrunk(widths: list[int], last: int, numbers: Collection[int]) -> list[int]:
    """Narrow the widest columns of words until the last column has room."""
    room = WIDTH - min(last, _LAST_COLUMN) - len(_GAP) * len(widths)
    words = [place for place in range(len(widths)) if place not in numbers]
    while sum(widths) > room and words:
        widest = max(words, key=widths.__getitem__)
        if widths[widest] <= _NARROWEST:
            break
        widths[widest] -= 1
    return widths

"""Reading a drawing back: its text, what is written about a thing, its scale, and its form."""

import re

from pelmet.model.told.drawings.drawing import Drawing, Span


def picture(drawing: Drawing) -> str:
    """Give the rows as one text."""
    return "\n".join(drawing.rows)


def spans_of(drawing: Drawing, about: str, *roles: str) -> list[Span]:
    """Give the spans about one thing, of these roles if any are named."""
    return [s for s in drawing.spans if s.about == about and (not roles or s.role in roles)]


def words(drawing: Drawing, about: str, *roles: str) -> list[str]:
    """Give what is written or drawn about one thing."""
    return [drawing.rows[s.row][s.start : s.end] for s in spans_of(drawing, about, *roles)]


def mm_a_column(drawing: Drawing) -> float:
    """Read the scale off the drawing: the length beside the bar, over its columns."""
    bar = re.search(r"\|(-*)\| (\d+) mm", picture(drawing))
    assert bar
    return int(bar[2]) / (len(bar[1]) + 1)


def floor_of(drawing: Drawing, wall: str) -> int:
    """Give the row of the floor: the lowest with the wall's own mark."""
    return max(span.row for span in spans_of(drawing, wall, "wall"))


def left_of(drawing: Drawing, wall: str) -> int:
    """Give the column of the wall's left-hand end."""
    floor = floor_of(drawing, wall)
    return min(s.start for s in spans_of(drawing, wall, "wall") if s.row == floor)


def check_form(drawing: Drawing, width: int, height: int | None = None) -> None:
    """Check that a drawing is plain, fits, and that its spans lie on it in reading order."""
    assert height is None or len(drawing.rows) <= height
    for row in drawing.rows:
        assert len(row) <= width
        assert row.isascii()
        assert row.isprintable()
        assert row == row.rstrip()
    before = (0, 0)
    for span in drawing.spans:
        text = drawing.rows[span.row][span.start : span.end]
        assert len(text) == span.end - span.start > 0
        assert text == text.strip()
        assert before <= (span.row, span.start), "spans overlap, or are out of order"
        before = (span.row, span.end)

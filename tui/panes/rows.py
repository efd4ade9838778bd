"""A pane of plain rows: text with roles, drawn row by row, the current row kept in view."""

from itertools import zip_longest

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region, Size
from textual.message import Message
from textual.strip import Strip
from textual.widget import Widget

from pelmet.tui.panes.line import ROLES, Line, Lines, showable

# A screen that shows rows has these as its component classes: kept once a screen, not once a
# pane, they cost a tenth of the time to start.
ROLE_CLASSES = {f"rows--{role}" for role in ROLES}


class Rows(Widget):
    """Rows that are shown as they are: no markup is read, and the current row stays in view."""

    ALLOW_SELECT = False
    DEFAULT_CSS = "Rows { height: 1fr; }"

    def __init__(self, id: str | None = None) -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=id)
        self._lines: Lines = ()
        self._seen: list[tuple[Line, bool]] = []  # and which of them is the current one
        self._current: int | None = None
        self._top = 0

    class Resized(Message):
        """A pane has another size; what is drawn to its size must be drawn anew."""

        def __init__(self, pane: "Rows") -> None:
            super().__init__()
            self.pane = pane

        @property
        def control(self) -> "Rows":
            """The pane, for a handler that is only for some."""
            return self.pane

    def on_resize(self) -> None:
        """Tell whoever fills this pane."""
        self._paint()
        self.post_message(self.Resized(self))

    @property
    def text(self) -> str:
        """All rows as text, for copying and for tests."""
        return "\n".join(self._lines[at].text for at in range(len(self._lines)))

    def show(self, lines: Lines, current: int | None = None) -> None:
        """Show these rows; keep the current one, if any, in view."""
        self._lines, self._current = lines, current
        if current is None:
            self._top = min(self._top, max(len(lines) - 1, 0))
        self._paint()

    def _paint(self) -> None:
        """Have those rows painted that are not on the screen as they are."""
        if not self.size.height:
            return
        first = self._first
        rows = range(first, min(first + self.size.height, len(self._lines)))
        before, self._seen = self._seen, [(self._lines[at], at == self._current) for at in rows]
        changed = [
            Region(0, y, self.size.width, 1)
            for y, (old, new) in enumerate(zip_longest(before, self._seen))
            if old != new
        ]
        if changed:
            self.refresh(*changed)

    def scroll_rows(self, by: int) -> None:
        """Scroll by this many rows, no further than the last screenful."""
        furthest = max(len(self._lines) - self.size.height, 0)
        self._top = min(max(self._top + by, 0), furthest)
        self._paint()

    def to_top(self) -> None:
        """Show the first row at the top again."""
        self._top = 0
        self._paint()

    @property
    def _first(self) -> int:
        height = self.size.height
        if self._current is None:
            return self._top
        if self._current < self._top:
            self._top = self._current
        elif self._current >= self._top + height:
            self._top = self._current - height + 1
        return min(self._top, max(len(self._lines) - height, 0))

    def render_line(self, y: int) -> Strip:
        """Draw one row."""
        at = self._first + y
        width = self.size.width
        if at >= len(self._lines):
            return Strip.blank(width, self.rich_style)
        line = self._lines[at]
        shown = showable(line.text)
        role = "current" if at == self._current else line.role
        own = self.rich_style
        base = own + self._style(role)
        segments, done = [], 0
        for start, end, span_role in sorted(line.spans):
            if start < done:
                continue
            segments.append(Segment(shown[done:start], base))
            segments.append(Segment(shown[start:end], own + self._style(span_role)))
            done = end
        segments.append(Segment(shown[done:], base))
        return Strip(segments).adjust_cell_length(width, base)

    def _style(self, role: str) -> Style:
        return self.screen.get_component_rich_style(f"rows--{role}", partial=True)

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:  # noqa: ARG002
        """Ask for as many rows as there are, where the height is left open."""
        return len(self._lines)

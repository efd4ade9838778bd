"""The dialog of how a job stands: rows that lead to what they are about, under their headings."""

from collections.abc import Callable
from itertools import chain
from typing import TYPE_CHECKING, ClassVar

from textual.await_complete import AwaitComplete
from textual.binding import Binding, BindingType

from pelmet.model.told.words import labelled
from pelmet.tui.dialogs.pickers import WIDTH, Picker
from pelmet.tui.panes.line import Line
from pelmet.tui.session.steps import STEPS, Step

if TYPE_CHECKING:
    from pelmet.model.told.blocks.standing import Matter, Matters, Standing

_HINT = "Enter goes to it  PgUp PgDn scroll below  Esc or F2 to F7 go on"
_LABEL = 18  # columns
_LONGEST = 26  # columns of a cell, where a row is told in one line


class StandingPicker(Picker):
    """How a job stands, once that is worked out; ``closed`` says that nobody wants to know."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding(step.key, f"step({at})", step.name, show=False) for at, step in enumerate(STEPS)
    ]

    def __init__(self, go_to_step: Callable[[Step], None]) -> None:
        waits = (Line("Being worked out ...", "dim"),)
        super().__init__("How the job stands", waits, hint=_HINT, detail=self._told)
        self._go_to_step = go_to_step
        self._rows: tuple[tuple[Matters, Matter] | None, ...] = (None,)
        self.closed = False

    def fill(self, stands: "Standing") -> None:
        """List how it stands, and begin at the first row."""
        shown: list[Line] = []
        rows: list[tuple[Matters, Matter] | None] = []
        for matters in stands:
            shown.append(Line(matters.title, "title"))
            rows.append(None)
            for text, row in zip(_texts(matters), matters.rows, strict=True):
                shown.append(Line(f"  {text}"))
                rows.append((matters, row))
            if not matters.rows:
                shown.append(Line(f"  {matters.none}", "dim"))
                rows.append(None)
        self._rows = tuple(rows)
        self._at = next((at for at, row in enumerate(rows) if row), 0)
        self.show_options(shown, self._at)

    def matter(self, at: int) -> "Matter | None":
        """Give the row of the job that one of the list is about; None of a heading."""
        row = self._rows[at]
        return row[1] if row else None

    def _told(self, at: int) -> list[str]:
        row = self._rows[at]
        if row is None:
            return []
        matters, matter = row
        cells = zip(matters.head, matter.cells, strict=True)
        return [*chain.from_iterable(labelled(head, cell, _LABEL, WIDTH) for head, cell in cells)]

    def action_move(self, by: int) -> None:
        """Go up or down, past headings."""
        step, left, at = (1 if by > 0 else -1), abs(by), self._at
        while left and 0 <= (at := at + step) < len(self._rows):
            if self._rows[at]:
                self._at, left = at, left - 1
        self._refresh()

    def action_take(self) -> None:
        """Give the picked row, if there is one."""
        if self._rows[self._at]:
            super().action_take()

    def action_step(self, at: int) -> None:
        """Leave for a step."""
        self.dismiss(None)
        self._go_to_step(STEPS[at])

    def dismiss(self, result: int | None = None) -> AwaitComplete:
        """Close, whatever closes it."""
        self.closed = True
        return super().dismiss(result)


def _texts(matters: "Matters") -> list[str]:
    """Tell each row in one line, its cells one below the other; what is too long is cut."""
    wide = [
        min(max(len(row.cells[at]) for row in matters.rows), _LONGEST)
        for at in range(len(matters.head))
    ] if matters.rows else []  # fmt: skip
    return [
        "  ".join(
            _cut(cell, width).ljust(width) for cell, width in zip(row.cells, wide, strict=True)
        ).rstrip()
        for row in matters.rows
    ]


def _cut(text: str, width: int) -> str:
    return text if len(text) <= width else f"{text[: width - 1]}~"

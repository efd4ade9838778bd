"""The dialogs: pick one of several, name a file, read a page. Esc always changes nothing."""

from collections.abc import Callable, Sequence
from pathlib import Path
from textwrap import wrap
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input

from pelmet.model.told.words import wrapped
from pelmet.tui.panes.line import Line, lines
from pelmet.tui.panes.rows import ROLE_CLASSES, Rows

WIDTH = 72  # what a dialog shows of a row at 80 columns


class Picker(ModalScreen[int | None]):
    """Pick one row; Enter takes it, Esc none. ``detail`` tells more of the row one stands on."""

    COMPONENT_CLASSES: ClassVar[set[str]] = ROLE_CLASSES
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "move(-1)", "Up", show=False),
        Binding("down", "move(1)", "Down", show=False),
        Binding("pageup", "page(-1)", "Page up", show=False),
        Binding("pagedown", "page(1)", "Page down", show=False),
        Binding("enter", "take", "Take it", show=False),
        Binding("escape", "leave", "Leave", show=False),
    ]

    def __init__(
        self,
        title: str,
        options: Sequence[Line],
        *,
        hint: str = "Up Down  Enter takes it  Esc leaves",
        detail: Callable[[int], Sequence[str]] | None = None,
    ) -> None:
        super().__init__()
        self._title, self._options, self._hint = title, tuple(options), hint
        self._detail = detail
        self._at = 0

    def compose(self) -> ComposeResult:
        """Lay out title, options, detail and hint."""
        with Vertical(classes="dialog" if self._detail is None else "dialog tall"):
            yield Rows(id="dialog-title")
            yield Rows(id="dialog-options")
            if self._detail:
                yield Rows(id="dialog-detail")
            yield Rows(id="dialog-hint")

    def on_mount(self) -> None:
        """Show the first row picked."""
        title = [row for text in self._title.splitlines() for row in wrap(text, WIDTH)]
        self.query_one("#dialog-title", Rows).show(lines(title, "title"))
        self._show_hint()
        if self._detail is None:
            self.query_one("#dialog-options").styles.height = len(self._options)
        self._refresh()

    def say_keys(self, hint: str) -> None:
        """Say which keys do what."""
        self._hint = hint
        if self.is_mounted:
            self._show_hint()

    def _show_hint(self) -> None:
        self.query_one("#dialog-hint", Rows).show(lines([self._hint], "dim"))

    def show_options(self, options: Sequence[Line], at: int) -> None:
        """Show other rows, this one of them picked, where the picked one stood before."""
        moved, self._at, self._options = at - self._at, at, tuple(options)
        if self.is_mounted:
            self._mark()
            self.query_one("#dialog-options", Rows).scroll_rows(moved)
            if self._detail:
                self.query_one("#dialog-detail", Rows).show(lines(self._detail(at)))

    def _refresh(self) -> None:
        self._mark()
        if self._detail:
            page = self.query_one("#dialog-detail", Rows)
            page.show(lines(self._detail(self._at)))
            page.to_top()

    def _mark(self) -> None:
        marked = [
            Line(("> " if at == self._at else "  ") + option.text, option.role)
            for at, option in enumerate(self._options)
        ]
        self.query_one("#dialog-options", Rows).show(marked, self._at)

    def action_move(self, by: int) -> None:
        """Go up or down."""
        self._at = min(max(self._at + by, 0), len(self._options) - 1)
        self._refresh()

    def action_page(self, by: int) -> None:
        """Scroll the detail, or go a page up or down the options."""
        if self._detail:
            page = self.query_one("#dialog-detail", Rows)
            page.scroll_rows(by * max(page.size.height - 1, 1))
        else:
            self.action_move(by * 10)

    def action_take(self) -> None:
        """Give the picked row."""
        self.dismiss(self._at)

    def action_leave(self) -> None:
        """Give nothing."""
        self.dismiss(None)


def typed_path(text: str) -> Path | None:
    """Give the file a person named, or nothing if it names none."""
    try:
        path = Path(text.strip()).expanduser()
    except RuntimeError:  # ~somebody, whom this machine does not know
        return None
    return path if path.name not in ("", "..") else None


class Page(ModalScreen[None]):
    """Read a text; arrows scroll it, Esc or Enter closes it."""

    COMPONENT_CLASSES: ClassVar[set[str]] = ROLE_CLASSES
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "scroll_by(-1)", "Up", show=False),
        Binding("down", "scroll_by(1)", "Down", show=False),
        Binding("pageup", "scroll_by(-15)", "Page up", show=False),
        Binding("pagedown,space", "scroll_by(15)", "Page down", show=False),
        Binding("escape,enter,f1", "leave", "Close", show=False),
    ]

    def __init__(self, title: str, page: Sequence[Line]) -> None:
        super().__init__()
        self._title, self._page = title, tuple(page)

    def compose(self) -> ComposeResult:
        """Lay out title, text and hint."""
        with Vertical(classes="dialog tall"):
            yield Rows(id="dialog-title")
            yield Rows(id="dialog-page")
            yield Rows(id="dialog-hint")

    def on_mount(self) -> None:
        """Show the text from its start."""
        self.query_one("#dialog-title", Rows).show(lines([self._title], "title"))
        self.query_one("#dialog-page", Rows).show(self._page)
        self.query_one("#dialog-hint", Rows).show(lines(["Up Down scroll  Esc closes"], "dim"))

    def action_scroll_by(self, by: int) -> None:
        """Scroll the text."""
        self.query_one("#dialog-page", Rows).scroll_rows(by)

    def action_leave(self) -> None:
        """Close the page."""
        self.dismiss(None)


class AskFile(ModalScreen[Path | None]):
    """Ask for a file name; ``refuse`` says what is wrong with one, and then nothing closes."""

    COMPONENT_CLASSES: ClassVar[set[str]] = ROLE_CLASSES
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Leave", show=False)]

    def __init__(self, title: str, name: str, refuse: Callable[[Path], str]) -> None:
        super().__init__()
        self._title, self._name, self._refuse = title, name, refuse

    def compose(self) -> ComposeResult:
        """Lay out title, field and message."""
        with Vertical(classes="dialog"):
            yield Rows(id="dialog-title")
            yield Input(self._name, compact=True, id="dialog-file")
            yield Rows(id="dialog-message")
            yield Rows(id="dialog-hint")

    def on_mount(self) -> None:
        """Put the cursor in the field."""
        self.query_one("#dialog-title", Rows).show(lines([self._title], "title"))
        self.query_one("#dialog-hint", Rows).show(lines(["Enter takes it  Esc leaves"], "dim"))
        self.query_one("#dialog-message").styles.height = 3
        self.query_one(Input).focus()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take the name, or say why not."""
        path = typed_path(event.value)
        says = self._refuse(path) if path else "Type the name of a file, such as kitchen.toml"
        if says or path is None:
            words = [row for line in says.splitlines() for row in wrapped(line, width=WIDTH)]
            self.query_one("#dialog-message", Rows).show(lines(words, "stop"))
        else:
            self.dismiss(path)

    def action_leave(self) -> None:
        """Give nothing."""
        self.dismiss(None)

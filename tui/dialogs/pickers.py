"""The dialogs: pick one of several, name a file, read a page. Esc always changes nothing."""

from collections.abc import Callable, Sequence
from pathlib import Path
from textwrap import wrap
from typing import ClassVar, NamedTuple

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Input
from textual.widgets.input import Selection

from pelmet.model.told.words import wrapped
from pelmet.tui.panes.line import Line, lines
from pelmet.tui.panes.rows import ROLE_CLASSES, Rows
from pelmet.tui.panes.taking import Ready, TakesKeys

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
        self.query_one("#dialog-title", Rows).show(lines(_title_rows(self._title), "title"))
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


class Asked(NamedTuple):
    """A text that is asked for: what is offered, and what is wrong with one, in words, if anything.

    As long as ``refuse`` says anything, it is asked for again.
    """

    title: str
    offered: str
    refuse: Callable[[str], str]


class AskTexts(TakesKeys, ModalScreen[tuple[str, ...] | None]):
    """Ask for texts, one after another; Esc gives none of them."""

    COMPONENT_CLASSES: ClassVar[set[str]] = ROLE_CLASSES
    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Leave", show=False)]

    def __init__(self, *asked: Asked) -> None:
        super().__init__()
        self._asked = asked
        self._said: tuple[str, ...] = ()
        self.coming = True

    def compose(self) -> ComposeResult:
        """Lay out title, field and message."""
        with Vertical(classes="dialog"):
            yield Rows(id="dialog-title")
            yield Input(compact=True, select_on_focus=False, id="dialog-text")
            yield Rows(id="dialog-message")
            yield Rows(id="dialog-hint")

    def on_mount(self) -> None:
        """Ask for the first, with the cursor in the field."""
        self.query_one("#dialog-hint", Rows).show(lines(["Enter takes it  Esc leaves"], "dim"))
        self.query_one("#dialog-message").styles.height = 3
        self.set_focus(self.query_one(Input))
        self._ask()
        self.coming = False
        self.post_message(Ready())

    def _ask(self) -> None:
        asked, field = self._asked[len(self._said)], self.query_one(Input)
        self.query_one("#dialog-title", Rows).show(lines(_title_rows(asked.title), "title"))
        field.value = asked.offered
        field.selection = Selection(0, len(field.value))
        self._say("")

    def _say(self, words: str) -> None:
        rows = [row for line in words.splitlines() for row in wrapped(line, width=WIDTH)]
        self.query_one("#dialog-message", Rows).show(lines(rows, "stop"))

    async def take(self, event: events.Key | events.Paste) -> bool:
        """Give a key its whole effect at once: what comes after it may be for the next text."""
        field = self.query_one(Input)
        if isinstance(event, events.Paste):
            field.replace("".join(event.text.splitlines()[:1]), *sorted(field.selection))
        elif event.key == "enter":
            self._take(field.value)
        elif (bound := self.active_bindings.get(event.key)) and bound.node in (field, self):
            await self.app.run_action(bound.binding.action, bound.node)
        elif event.is_printable and event.character:
            field.replace(event.character, *sorted(field.selection))
        else:
            return False
        return True

    def _take(self, text: str) -> None:
        """Take the text, or say why not."""
        says = self._asked[len(self._said)].refuse(text)
        if says:
            self._say(says)
            return
        self._said = (*self._said, text)
        if len(self._said) < len(self._asked):
            self._ask()
        else:
            self.dismiss(self._said)

    def action_leave(self) -> None:
        """Give nothing."""
        self.dismiss(None)


def ask_file(title: str, name: str, refuse: Callable[[Path], str]) -> AskTexts:
    """Ask for a file by its name."""

    def refuse_text(text: str) -> str:
        path = typed_path(text)
        return refuse(path) if path else "Type the name of a file, such as kitchen.toml"

    return AskTexts(Asked(title, name, refuse_text))


def _title_rows(title: str) -> list[str]:
    return [row for text in title.splitlines() for row in wrap(text, WIDTH)]

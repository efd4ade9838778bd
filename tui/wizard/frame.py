"""What is painted first: the frame of the wizard, while the model is still being loaded."""

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.screen import Screen

from pelmet.tui.panes.bars import footer_bar, step_bar
from pelmet.tui.panes.line import Line
from pelmet.tui.panes.rows import ROLE_CLASSES, Rows
from pelmet.tui.panes.taking import TakesKeys
from pelmet.tui.wizard.commands import Command, footer_keys


class KeyScreen(TakesKeys, Screen[None]):
    """A screen of its own, not a dialog before another one."""

    give_up: Callable[[], None] | None = None
    """While keys wait for something that is being worked out: what Esc does about it."""

    def leave(self) -> None:
        """Leave the program, once nothing would be lost."""
        self.app.exit(0)

    def keep(self) -> None:
        """Keep what is unsaved, for the program is about to be ended."""

    def hint(self, words: str) -> None:
        """Say something small, where this screen says such things."""

    def action_command(self, name: str) -> None:
        """Run a command by its name in the table."""

    def offered(self) -> tuple[Command, ...]:
        """Give the commands that the palette offers here."""
        return ()


class Frame(Screen[None]):
    """The bars, and what is being opened."""

    COMPONENT_CLASSES: ClassVar[set[str]] = ROLE_CLASSES

    def __init__(self, opening: str) -> None:
        super().__init__()
        self._says = opening

    def compose(self) -> ComposeResult:
        """Lay out the bars."""
        yield Rows(id="title")
        yield Rows(id="steps")
        yield Rows(id="rest")
        yield Rows(id="footer")

    def on_mount(self) -> None:
        """Show the bars."""
        self.query_one("#title", Rows).show([Line(f" {self._says}", "title")])
        self.query_one("#steps", Rows).show([step_bar(None)])
        self.query_one("#footer", Rows).show([footer_bar(footer_keys())])

"""The full-screen program: it paints its frame, then loads the rest, and ends without a loss.

Of the model only how it refuses is imported here: the frame stands on the screen while the rest is
loaded, and keys that are pressed meanwhile wait.
"""

import asyncio
import os
import select
import signal
import sys
from collections.abc import Iterable
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import ClassVar

from rich.text import Text
from textual import events, on
from textual.app import App, SystemCommand
from textual.binding import BindingType
from textual.screen import ModalScreen, Screen

from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.codes import FAILED
from pelmet.tui.failure import refusal_of
from pelmet.tui.panes.taking import Ready, TakesKeys
from pelmet.tui.starting import end_start
from pelmet.tui.wizard.beside import GROUP
from pelmet.tui.wizard.frame import Frame, KeyScreen

_NO_COLOR = "NO_COLOR"
_HEAD_START = 0.01  # seconds
_LOOK_EVERY = 1  # seconds


class Pelmet(App[int]):
    """Holds the screens; the work is in the wizard."""

    CSS_PATH = "pelmet.tcss"
    TITLE = "Pelmet"
    BINDINGS: ClassVar[list[BindingType]] = []
    ENABLE_COMMAND_PALETTE = True

    def __init__(
        self, path: Path | None = None, example: str | None = None, catalogue: Path | None = None
    ) -> None:
        # Without colour the terminal's own two are used, not greys made of the theme.
        # Without that, a theme says itself whether it is of the terminal's own colours.
        super().__init__(ansi_color=bool(os.environ.get(_NO_COLOR)) or None)
        self._path, self._example, self._catalogue = path, example, catalogue
        self._early: list[events.Key | events.Paste] | None = []  # while nothing can take them
        self.refusal: Refusal | None = None
        self.failure: Exception | None = None

    def get_default_screen(self) -> Frame:
        """Begin with the frame."""
        name = self._path.name if self._path else self._example
        return Frame(f"Opening {name} ..." if name else "Pelmet")

    def on_mount(self) -> None:
        """Load the rest once the frame is painted."""
        self._catch_signals()
        if not self.is_headless:
            self.set_interval(_LOOK_EVERY, self._end_without_terminal)
        # Loading would hold up the thread that writes the frame to the terminal.
        self.call_after_refresh(self.set_timer, _HEAD_START, self._open)

    def _open(self) -> None:
        from pelmet.tui.wizard.opening import JobOpener

        try:
            first = JobOpener(self._go, self._catalogue).first(self._path, self._example)
        except Exception as error:  # noqa: BLE001 - a frame that nothing fills is no answer
            self.refusal = error if isinstance(error, Refusal) else refusal_of(error)
            self.exit()
            return
        finally:
            end_start()
        self.push_screen(first)

    def _go(self, screen: Screen[None]) -> None:
        """Go on to another screen; keys wait until it is ready for them."""
        self._early = []
        self.push_screen(screen)

    # Keys

    @property
    def ready(self) -> bool:
        """Whether a screen is shown that keys can have their effect on, and all stands on it."""
        return self._early is None and not any(each.group == GROUP for each in self.workers)

    async def on_event(self, event: events.Event) -> None:
        """Give each key its whole effect before the next: over a slow line they come in heaps."""
        if isinstance(event, events.Key | events.Paste) and not event.is_forwarded:
            screen = self.screen_stack[-1] if self.screen_stack else None
            give_up = screen.give_up if isinstance(screen, KeyScreen) else None
            if give_up and isinstance(event, events.Key) and event.key == "escape":
                self._early = None
                give_up()
                return
            shown: object = screen
            takes = shown if isinstance(shown, TakesKeys) else None
            if self._early is not None or give_up or (takes and takes.coming):
                self._early = [*(self._early or []), event]
                return
            if takes and await takes.take(event):
                return
        await super().on_event(event)

    @on(Ready)
    async def _catch_up(self) -> None:
        """Let the keys act that were pressed while a screen was opening."""
        early, self._early = self._early or [], None
        for event in early:
            await self.on_event(event)

    # Leaving

    async def action_quit(self) -> None:
        """Leave by the screen's own way, which asks; a dialog is left first."""
        screen = self.screen
        if isinstance(screen, KeyScreen):
            screen.leave()
        elif isinstance(screen, ModalScreen):
            screen.dismiss(None)
        else:
            self.exit(0)

    def action_help_quit(self) -> None:
        """Ctrl+C: say how to leave."""
        if isinstance(self.screen, KeyScreen):
            self.screen.hint("Ctrl+Q or F10 leaves")

    def _catch_signals(self) -> None:
        """A closed window or a kill request keeps the work and gives the terminal back."""
        loop = asyncio.get_running_loop()
        # Windows has no SIGHUP, and its event loop takes no handlers.
        for number in (signal.SIGTERM, getattr(signal, "SIGHUP", signal.SIGTERM)):
            with suppress(NotImplementedError):
                loop.add_signal_handler(number, self._ended_by, number)

    def _end_without_terminal(self) -> None:
        """End as a closed window does where nobody says so: what is read then has no end."""
        if sys.platform == "win32":
            return
        poll = select.poll()
        poll.register(sys.__stdin__ or 0, 0)
        if any(event & select.POLLHUP for _, event in poll.poll(0)):
            self._ended_by(signal.SIGHUP)

    def _ended_by(self, number: int) -> None:
        self._keep()
        self.exit(128 + number)

    def _keep(self) -> None:
        for screen in self.screen_stack:
            if isinstance(screen, KeyScreen):
                screen.keep()

    def _handle_exception(self, error: Exception) -> None:
        if self.failure is None:
            self.failure = error
            with suppress(Exception):
                self._keep()
        super()._handle_exception(error)

    def _fatal_error(self) -> None:
        """End in words, with what is unsaved kept: the toolkit would print all variables."""
        if self.failure:
            says = refusal_text(refusal_of(self.failure))
            self.panic(Text(f"{says}. What was not saved is kept and offered at the next start"))

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Give the palette the same commands, each with its key."""
        yield from super().get_system_commands(screen)
        if isinstance(screen, KeyScreen):
            for command in screen.offered():
                yield SystemCommand(
                    f"{command.short} ({command.shown})",
                    command.help,
                    partial(screen.action_command, command.name),
                )


def run(path: Path | None = None, example: str | None = None, catalogue: Path | None = None) -> int:
    """Run the wizard and give the exit code; raises ``Refusal`` for a file that cannot be read."""
    app = Pelmet(path, example, catalogue)
    code = app.run() or 0
    if app.refusal:
        raise app.refusal
    return FAILED if app.failure else code

"""The full-screen program: start screen, wizard, and an end that loses nothing."""

import asyncio
import os
import signal
import sys
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from typing import ClassVar

from textual import events, on
from textual.app import App, SystemCommand
from textual.binding import BindingType
from textual.screen import ModalScreen, Screen

from pelmet.model.examples import read_example
from pelmet.model.file.faults import FileError
from pelmet.model.file.reading import OpenedJob, load_catalogue, open_job
from pelmet.model.file.recovery import Recovered, find_recoveries
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.tui.commands import COMMANDS
from pelmet.tui.dialogs import Picker
from pelmet.tui.places import recent_jobs, recovery_folder, remember
from pelmet.tui.rows import lines
from pelmet.tui.session import Session
from pelmet.tui.start import Start
from pelmet.tui.wizard import Wizard

_NO_COLOR = "NO_COLOR"


class Pelmet(App[int]):
    """Holds the screens; the work is in the wizard."""

    CSS_PATH = "pelmet.tcss"
    TITLE = "Pelmet"
    BINDINGS: ClassVar[list[BindingType]] = []
    ENABLE_COMMAND_PALETTE = True

    def __init__(
        self, parts: Catalogue, opened: OpenedJob | None = None, example: str | None = None
    ) -> None:
        # Without colour the terminal's own two are used, not greys made of the theme.
        # Without that, a theme says itself whether it is of the terminal's own colours.
        super().__init__(ansi_color=bool(os.environ.get(_NO_COLOR)) or None)
        self._parts = parts
        self._opened = opened
        self._example = example
        self._early: list[events.Key | events.Paste] | None = None  # while a wizard opens

    def get_default_screen(self) -> Screen[None]:
        """Begin with what was asked for, else with the start screen."""
        if self._opened:
            return self._opening(Session.of(self._opened, self._parts))
        if self._example:
            return self._opening(self._on_example(self._example))
        return Start(
            find_recoveries(recovery_folder()).jobs,
            recent_jobs(),
            lambda found: self._begin(Session.taken_up(found, self._parts), found.path),
            lambda opened: self._begin(Session.of(opened, self._parts)),
            lambda name: self._begin(self._on_example(name)),
            lambda: self._begin(Session(Job(), self._parts)),
        )

    def on_mount(self) -> None:
        """Offer the unsaved work on the job that was asked for, if any was kept."""
        self._catch_signals()
        if self._opened:
            path = self._opened.path
            remember(path)
            recovered = find_recoveries(recovery_folder()).jobs
            own = [each for each in recovered if each.original == path.absolute()]
            if own:
                self._offer(own[0])

    async def on_event(self, event: events.Event) -> None:
        """Give each key its whole effect before the next: over a slow line they come in heaps."""
        if isinstance(event, events.Key | events.Paste) and not event.is_forwarded:
            screen = self.screen_stack[-1] if self.screen_stack else None
            if self._early is not None:
                self._early.append(event)
                return
            if isinstance(screen, Start | Wizard) and await screen.take(event):
                return
        await super().on_event(event)

    @on(Wizard.Ready)
    async def _catch_up(self) -> None:
        """Let the keys act that were pressed while the wizard was still opening."""
        early, self._early = self._early or [], None
        for event in early:
            await self.on_event(event)

    def _opening(self, session: Session, recovery: Path | None = None) -> Wizard:
        self._early = []
        return Wizard(session, recovery)

    def _begin(self, session: Session, recovery: Path | None = None) -> None:
        self.push_screen(self._opening(session, recovery))

    def _on_example(self, name: str) -> Session:
        session = Session(read_example(name), self._parts)
        session.saved = session.job  # looked at, not worked on: leaving it asks nothing
        return session

    def _offer(self, recovered: Recovered) -> None:
        def decide(at: int | None) -> None:
            if at == 0 and isinstance(self.screen, Wizard):
                self.screen.session = Session.taken_up(recovered, self._parts)
                self.screen.load()
                self.screen.keeping.flush()
            if at in (0, 2):
                recovered.path.unlink(missing_ok=True)

        options = lines(["Take it up", "Leave it for later", "Throw it away"])
        self.push_screen(
            Picker("Unsaved work on this job was kept when it ended.", options), decide
        )

    # Leaving

    async def action_quit(self) -> None:
        """Leave by the wizard's own way, which asks; a dialog is left first."""
        screen = self.screen
        if isinstance(screen, Wizard):
            screen.do_quit()
        elif isinstance(screen, ModalScreen):
            screen.dismiss(None)
        else:
            self.exit(0)

    def action_help_quit(self) -> None:
        """Ctrl+C: say how to leave."""
        if isinstance(self.screen, Wizard):
            self.screen.say("Ctrl+Q or F10 leaves", "dim")

    def _catch_signals(self) -> None:
        """A closed window or a kill request keeps the work and gives the terminal back."""
        loop = asyncio.get_running_loop()
        for number in (signal.SIGTERM, getattr(signal, "SIGHUP", signal.SIGTERM)):
            with suppress(NotImplementedError, RuntimeError, ValueError):
                loop.add_signal_handler(number, self._ended_by, number)

    def _ended_by(self, number: int) -> None:
        for screen in self.screen_stack:
            if isinstance(screen, Wizard):
                screen.keeping.flush()
        self.exit(128 + number)

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        """Give the palette the same commands, each with its key."""
        yield from super().get_system_commands(screen)
        if isinstance(screen, Wizard):
            for command in COMMANDS:
                yield SystemCommand(
                    f"{command.short} ({command.shown})",
                    command.help,
                    lambda name=command.name: screen.action_command(name),
                )


def run(path: Path | None = None, example: str | None = None, catalogue: Path | None = None) -> int:
    """Run the wizard; gives the exit code, 2 for a file that cannot be read."""
    try:
        parts = load_catalogue(catalogue) if catalogue else Catalogue()
        opened = open_job(path) if path else None
    except FileError as error:
        sys.stderr.write(f"{error}\n")
        return 2
    return Pelmet(parts, opened, example).run() or 0

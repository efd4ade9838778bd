"""The ways into a job: from a file, an example, unsaved work, or nothing yet."""

from pathlib import Path
from typing import TYPE_CHECKING

from textual.screen import Screen

from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_catalogue, load_prices, open_job
from pelmet.model.file.job.recovery import Recovered, find_recoveries
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.tui.dialogs.pickers import Picker
from pelmet.tui.panes.rows import lines
from pelmet.tui.places import recent_jobs, recovery_folder, remember, user_prices
from pelmet.tui.session.session import Session
from pelmet.tui.wizard.start import Start
from pelmet.tui.wizard.wizard import Wizard

if TYPE_CHECKING:
    from pelmet.tui.app import Pelmet


class Opening:
    """Opens jobs in an app, with one set of parts and prices; ``Refusal`` for a file at fault."""

    def __init__(self, app: "Pelmet", catalogue: Path | None) -> None:
        self._app = app
        self._parts = load_catalogue(catalogue) if catalogue else Catalogue()
        prices = user_prices()
        self._prices = load_prices(prices) if prices else None

    def first(self, path: Path | None, example: str | None) -> Screen[None]:
        """Give the screen that was asked for: a job, an example, or the start screen."""
        if path:
            opened = open_job(path)
            remember(opened.path)
            return Wizard(Session.of(opened, self._parts, self._prices))
        if example:
            return self._example(example)
        return Start(
            find_recoveries(recovery_folder()).jobs,
            recent_jobs(),
            lambda found: self._go(
                Wizard(Session.taken_up(found, self._parts, self._prices), recovery=found.path)
            ),
            lambda opened: self._go(Wizard(Session.of(opened, self._parts, self._prices))),
            lambda name: self._go(self._example(name)),
            lambda: self._go(Wizard(Session(Job(), self._parts, prices=self._prices))),
        )

    def offer_unsaved(self, path: Path) -> None:
        """Offer the work on a job that was kept when it ended unsaved, if there is any."""
        recovered = find_recoveries(recovery_folder()).jobs
        own = [each for each in recovered if each.original == path.absolute()]
        if own:
            self._offer(own[0])

    def _go(self, wizard: Wizard) -> None:
        self._app.hold_keys()
        self._app.push_screen(wizard)

    def _example(self, name: str) -> Wizard:
        session = Session(read_example(name), self._parts, prices=self._prices)
        session.saved = session.job  # looked at, not worked on: leaving it asks nothing
        return Wizard(session)

    def _offer(self, recovered: Recovered) -> None:
        app = self._app

        def decide(at: int | None) -> None:
            if at == 0 and isinstance(app.screen, Wizard):
                app.screen.session = Session.taken_up(recovered, self._parts, self._prices)
                app.screen.load()
                app.screen.keeping.flush()
            if at in (0, 2):
                recovered.path.unlink(missing_ok=True)

        options = lines(["Take it up", "Leave it for later", "Throw it away"])
        app.push_screen(Picker("Unsaved work on this job was kept when it ended.", options), decide)

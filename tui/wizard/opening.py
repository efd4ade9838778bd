"""The ways into a job: from a file, an example, unsaved work, or nothing yet."""

from collections.abc import Callable
from pathlib import Path

from textual.screen import Screen

from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import OpenedJob, load_catalogue, load_prices, open_job
from pelmet.model.file.job.recovery import RecoveredJob, find_recoveries
from pelmet.model.file.toml.faults import FileError
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.tui.places import recent_jobs, recovery_folder, remember_job, user_prices
from pelmet.tui.session.session import Session
from pelmet.tui.wizard.start import Start
from pelmet.tui.wizard.wizard import Wizard


class JobOpener:
    """Opens jobs with one set of parts and prices; ``Refusal`` for a file at fault."""

    def __init__(self, go: Callable[[Screen[None]], None], catalogue: Path | None) -> None:
        self._go = go
        self._parts = load_catalogue(catalogue) if catalogue else Catalogue()
        prices = user_prices()
        self._prices = load_prices(prices) if prices else None

    def first(self, path: Path | None, example: str | None) -> Screen[None]:
        """Give the screen that was asked for: a job, an example, or the start screen."""
        if path:
            opened = open_job(path)
            remember_job(opened.path)
            unsaved = find_recoveries(recovery_folder()).jobs
            own = (each for each in unsaved if each.original == path.absolute())
            return Wizard(self._of(opened), unsaved=next(own, None))
        if example:
            return self._example(example)
        return Start(
            find_recoveries(recovery_folder()).jobs,
            recent_jobs(),
            lambda found: self._go(Wizard(self._taken_up(found), recovery=found.path)),
            lambda opened: self._go(Wizard(self._of(opened))),
            lambda name: self._go(self._example(name)),
            lambda: self._go(Wizard(self._new(Job()))),
        )

    def _of(self, opened: OpenedJob) -> Session:
        return Session.of(opened, self._parts, self._prices)

    def _new(self, job: Job) -> Session:
        return Session(job, self._parts, prices=self._prices)

    def _taken_up(self, found: RecoveredJob) -> Session:
        """Change what the file holds to what was kept; of a file that cannot be read, begin so."""
        try:
            session = self._of(open_job(found.original)) if found.original else None
        except FileError:
            session = None
        if session:
            session.take_up(found)
            return session
        session = self._new(found.job)
        session.path, session.digest = found.original, found.digest
        return session

    def _example(self, name: str) -> Wizard:
        session = self._new(read_example(name))
        session.saved = session.job  # looked at, not worked on: leaving it asks nothing
        return Wizard(session)

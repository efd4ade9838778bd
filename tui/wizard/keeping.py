"""Saving, opening, leaving: nothing is lost without a person saying so."""

import os
import re
from collections.abc import Callable, Sequence
from pathlib import Path

from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.comments import comments_as_note
from pelmet.model.file.job.reading import OpenedJob, open_job
from pelmet.model.file.job.recovery import RecoveredJob, drop_recovery, write_recovery
from pelmet.model.file.job.saving import ChangedOnDisk, VanishedFromDisk
from pelmet.model.job.job import Job
from pelmet.model.order.status import has_history
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.dialogs.asking import ask_for_job
from pelmet.tui.dialogs.pickers import Picker, ask_file
from pelmet.tui.panes.line import lines
from pelmet.tui.places import offcut_store, recovery_folder, remember_job
from pelmet.tui.wizard.host import Host
from pelmet.tui.wizard.offcuts import OffCuts
from pelmet.tui.wizard.papers import Papers

_RECOVERY_DELAY = 0.5  # seconds; every edit is in the recovery file within one
_NAME_COLUMNS = 40
_PUT_BACK = "What cannot be drawn is put back with Ctrl+R, under Papers"


class Keeping:
    """The file side of one wizard."""

    def __init__(
        self, host: Host, offcuts: OffCuts, papers: Papers, recovery: Path | None = None
    ) -> None:
        self._host = host
        self._offcuts, self._papers = offcuts, papers
        self._recovery = recovery  # kept until a newer one stands beside it
        self._waiting = False
        self._warned = False
        self._behind = ""  # why the store of off-cuts did not follow the last saving

    def begin(self, unsaved: RecoveredJob | None) -> None:
        """Offer the unsaved work there is on a job, then to put right what is at odds with it."""
        if unsaved and unsaved.job == self._host.session.saved:  # it ended just after saving
            drop_recovery(unsaved.path)
            unsaved = None
        if unsaved is None:
            self._offcuts.check(self._show_standing)
            return

        def decide(at: int | None) -> None:
            if at == 0:
                self._host.session.take_up(unsaved)
                self._recovery = unsaved.path
                self._host.load()
                self.flush()
            elif at == 2:
                drop_recovery(unsaved.path)
            self._offcuts.check(self._show_standing)

        self._pick(
            "Unsaved work on this job was kept when it ended.",
            ["Take it up", "Leave it for later", "Throw it away"],
            decide,
        )

    def _show_standing(self) -> None:
        """Begin with how the job stands, where anything was done of it."""
        if has_history(self._host.session.job):
            from pelmet.tui.wizard.handing import show_standing

            show_standing(self._host)

    # Recovery

    def note_change(self) -> None:
        """Have the recovery file written soon; several keystrokes share one writing."""
        if not self._waiting:
            self._waiting = True
            self._host.later(_RECOVERY_DELAY, self.flush)

    def flush(self) -> None:
        """Write the recovery file now, or drop it when all is saved."""
        self._waiting = False
        session = self._host.session
        if not session.dirty:
            self.drop()
            return
        try:
            written = write_recovery(
                recovery_folder(), session.job, session.path, session.digest, os.getpid()
            )
        except Refusal as refusal:
            if not self._warned:
                self._warned = True
                self._host.say(refusal_text(refusal, "No recovery file can be kept"), "warn")
            return
        if self._recovery != written:
            self.drop()
        self._recovery = written

    def drop(self) -> None:
        """Delete the recovery file: all is saved, or was given up by choice."""
        if self._recovery:
            drop_recovery(self._recovery)
            self._recovery = None

    # Saving

    def save(self, then: Callable[[], None] | None = None) -> None:
        """Save under the job's own name, or ask for one; then go on, if it was saved."""
        session = self._host.session
        if session.comments:
            self._ask_about_comments(then)
        elif session.path is None:
            self.save_as(then)
        else:
            self._save_to(session.path, then, overwrite=False)

    def _save_to(self, path: Path, then: Callable[[], None] | None, *, overwrite: bool) -> None:
        try:
            self._write(path, overwrite=overwrite)
        except ChangedOnDisk as conflict:
            self._ask_about_conflict(path, conflict, then)
        except Refusal as refusal:
            self._host.say(_unsaved(refusal, "Not saved"), "stop")
        else:
            self._go_on(then)

    def _go_on(self, then: Callable[[], None] | None) -> None:
        """Go on once the job is saved; but what is amiss with the store is read first."""
        if then and not self._behind:
            then()

    def _write(self, path: Path, *, overwrite: bool = False) -> None:
        self._behind = self._host.session.save(path, offcut_store(), overwrite=overwrite)
        remember_job(path)
        self.flush()
        self._host.refresh_panes()
        if self._behind:
            self._host.say(f"Saved {path.name}, but not the store: {self._behind}", "stop")
        else:
            self._host.say(f"Saved {path.name}")

    def save_as(self, then: Callable[[], None] | None = None) -> None:
        """Ask for a name and save there; a file that is there already is never written over."""
        session = self._host.session
        offered = session.path or Path(f"{_file_name(session.job.site.name)}.toml")

        def attempt(path: Path) -> str:
            path = path if path.suffix else path.with_name(f"{path.name}.toml")
            try:
                self._write(path)
            except Refusal as refusal:
                return _unsaved(refusal, f"{path.name} is not saved")
            return ""

        def go_on(said: tuple[str, ...] | None) -> None:
            if said is not None:
                self._go_on(then)

        self._host.ask(ask_file("Save the job as", str(offered), attempt), go_on)

    def _ask_about_conflict(
        self, path: Path, conflict: ChangedOnDisk, then: Callable[[], None] | None
    ) -> None:
        def decide(at: int | None) -> None:
            if at is not None:
                acts[at]()

        options = {
            "Save mine under another name": lambda: self.save_as(then),
            "Write mine over it": lambda: self._save_to(path, then, overwrite=True),
        }
        if not isinstance(conflict, VanishedFromDisk):
            if base := self._host.session.saved:
                options["Make one of both, then look it over"] = lambda: self._merge(path, base)
            options["Read the file again; my changes are lost"] = lambda: self._reload(path)
        acts = [*options.values()]
        self._pick(f"{refusal_text(conflict, f'{path.name} is not saved')}.", [*options], decide)

    def _reload(self, path: Path) -> None:
        opened = self._opened(path)
        if opened:
            self._replace(opened)

    def _merge(self, path: Path, base: Job) -> None:
        from pelmet.tui.wizard.merging import merge_with

        opened = self._opened(path)
        if opened:
            merge_with(self._host, opened, base)

    def _opened(self, path: Path) -> OpenedJob | None:
        try:
            return open_job(path)
        except Refusal as refusal:
            self._host.say(refusal_text(refusal), "stop")
            return None

    def _ask_about_comments(self, then: Callable[[], None] | None) -> None:
        session = self._host.session

        def decide(at: int | None) -> None:
            if at is None or at == 2:
                return
            if at == 0:
                session.change(comments_as_note(session.job, session.comments))
            session.comments = ()
            self.save(then)

        self._pick(
            f"The file has {len(session.comments)} comment lines; saving cannot keep them there.",
            ["Carry them into the job's note", "Drop them", "Do not save"],
            decide,
        )

    # Opening and leaving

    def open(self) -> None:
        """Ask for another job, once this one is safe."""
        if self._papers.hold_up(self.open):
            return
        self._once_safe(lambda: ask_for_job(self._host.app, self._replace))

    def _replace(self, opened: OpenedJob) -> None:
        self.drop()
        remember_job(opened.path)
        self._host.session = self._host.session.another(opened)
        self._host.load()
        self._host.say(f"Opened {opened.path.name}")
        self._offcuts.check(self._show_standing)

    def quit(self) -> None:
        """Leave, once papers are written and the job is safe."""
        if self._papers.hold_up(self.quit):
            return
        self._once_safe(self._leave)

    def _leave(self) -> None:
        self.drop()
        self._host.app.exit(0)

    def _once_safe(self, then: Callable[[], None]) -> None:
        session = self._host.session
        if not session.dirty:
            then()
            return

        def decide(at: int | None) -> None:
            if at == 0:
                self.save(then)
            elif at == 2:
                then()

        self._pick(
            "This job has changes that are not saved.",
            ["Save, then go on", "Stay here", "Go on without saving"],
            decide,
        )

    def _pick(self, title: str, options: Sequence[str], then: Callable[[int | None], None]) -> None:
        self._host.ask(Picker(title, lines(options)), then)


def _unsaved(refusal: Refusal, what: str) -> str:
    """Say why a job is not saved, and that nothing is lost or how to do without an off-cut."""
    if isinstance(refusal, SaveError):
        return f"{refusal_text(refusal, what)}. The job is safe in memory."
    return f"{what}: {refusal_text(refusal)}. {_PUT_BACK}"


def _file_name(name: str) -> str:
    """Make a plain file name of a job's name."""
    words = re.findall(r"[a-z0-9]+", name.casefold())
    return "-".join(words)[:_NAME_COLUMNS] or "job"

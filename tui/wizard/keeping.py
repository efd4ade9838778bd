"""Saving, opening, leaving: nothing is lost without a person saying so."""

import os
import re
from pathlib import Path
from typing import TYPE_CHECKING

from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.comments import comments_as_note
from pelmet.model.file.job.reading import OpenedJob, open_job
from pelmet.model.file.job.recovery import drop_recovery, write_recovery
from pelmet.model.file.job.saving import ChangedOnDisk, VanishedFromDisk, save_job
from pelmet.model.refusal import Refusal, told
from pelmet.tui.dialogs.asking import ask_for_job
from pelmet.tui.dialogs.pickers import AskFile, Picker, typed_path
from pelmet.tui.panes.rows import Line, lines
from pelmet.tui.places import recovery_folder, remember

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from pelmet.tui.wizard.wizard import Wizard

_RECOVERY_DELAY = 0.5  # seconds; every edit is in the recovery file within one
_NAME_COLUMNS = 40


class Keeping:
    """The file side of one wizard."""

    def __init__(self, wizard: "Wizard", recovery: Path | None = None) -> None:
        self._wizard = wizard
        self._recovery = recovery  # kept until a newer one stands beside it
        self._waiting = False
        self._warned = False

    def begin(self) -> None:
        """Take over a job that is not in its file yet: from the example, or recovered."""
        self.note_change()

    # Recovery

    def note_change(self) -> None:
        """Have the recovery file written soon; several keystrokes share one writing."""
        if not self._waiting:
            self._waiting = True
            self._wizard.set_timer(_RECOVERY_DELAY, self.flush)

    def flush(self) -> None:
        """Write the recovery file now, or drop it when all is saved."""
        self._waiting = False
        session = self._wizard.session
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
                self._wizard.say(told(refusal, "No recovery file can be kept"), "warn")
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

    def save(self, then: "Callable[[], None] | None" = None) -> None:
        """Save under the job's own name, or ask for one; then go on, if it was saved."""
        session = self._wizard.session
        if session.comments:
            self._ask_about_comments(then)
        elif session.path is None:
            self.save_as(then)
        else:
            self._save_to(session.path, then, overwrite=False)

    def _save_to(self, path: Path, then: "Callable[[], None] | None", *, overwrite: bool) -> None:
        try:
            self._write(path, self._wizard.session.digest, overwrite=overwrite)
        except ChangedOnDisk as conflict:
            self._ask_about_conflict(path, conflict, then)
        except Refusal as refusal:
            self._wizard.say(f"{told(refusal, 'Not saved')}. The job is safe in memory.", "stop")
        else:
            if then:
                then()

    def _write(self, path: Path, digest: str | None, *, overwrite: bool = False) -> None:
        session = self._wizard.session
        new_digest = save_job(session.job, path, digest, overwrite=overwrite)
        session.mark_saved(path, new_digest)
        remember(path)
        self.flush()
        self._wizard.refresh_panes()
        self._wizard.say(f"Saved {path.name}")

    def save_as(self, then: "Callable[[], None] | None" = None) -> None:
        """Ask for a name and save there; a file that is there already is never written over."""
        session = self._wizard.session
        offered = session.path or Path(f"{_file_name(session.job.site.name)}.toml")

        def attempt(path: Path) -> str:
            path = path if path.suffix else path.with_name(f"{path.name}.toml")
            try:
                self._write(path, session.digest if path == session.path else None)
            except Refusal as refusal:
                return told(refusal, f"{path.name} is not saved")
            return ""

        def go_on(path: Path | None) -> None:
            if path is not None and then:
                then()

        self._ask(AskFile("Save the job as", str(offered), attempt), go_on)

    def _ask_about_conflict(
        self, path: Path, conflict: ChangedOnDisk, then: "Callable[[], None] | None"
    ) -> None:
        def decide(at: int | None) -> None:
            if at == 0:
                self.save_as(then)
            elif at == 1:
                self._save_to(path, then, overwrite=True)
            elif at == 2:
                self._reload(path)

        options = lines(
            [
                "Save mine under another name",
                "Write mine over it",
                "Read the file again; my changes are lost",
            ]
        )
        kept = options[:2] if isinstance(conflict, VanishedFromDisk) else options
        self._pick(f"{told(conflict, f'{path.name} is not saved')}.", kept, decide)

    def _reload(self, path: Path) -> None:
        try:
            opened = open_job(path)
        except Refusal as refusal:
            self._wizard.say(told(refusal), "stop")
            return
        self._replace(opened)

    def _ask_about_comments(self, then: "Callable[[], None] | None") -> None:
        session = self._wizard.session

        def decide(at: int | None) -> None:
            if at is None or at == 2:
                return
            if at == 0:
                session.change(comments_as_note(session.job, session.comments))
            session.comments = ()
            self.save(then)

        self._pick(
            f"The file has {len(session.comments)} comment lines; saving cannot keep them there.",
            lines(["Carry them into the job's note", "Drop them", "Do not save"]),
            decide,
        )

    # Opening and leaving

    def open(self) -> None:
        """Ask for another job, once this one is safe."""
        self._once_safe(lambda: ask_for_job(self._wizard.app, self._replace))

    def _replace(self, opened: OpenedJob) -> None:
        self.drop()
        remember(opened.path)
        self._wizard.session = self._wizard.session.another(opened)
        self._wizard.load()
        self._wizard.say(f"Opened {opened.path.name}")

    def quit(self) -> None:
        """Leave, once the job is safe."""
        self._once_safe(self._leave)

    def _leave(self) -> None:
        self.drop()
        self._wizard.app.exit(0)

    def _once_safe(self, then: "Callable[[], None]") -> None:
        session = self._wizard.session
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
            lines(["Save, then go on", "Stay here", "Go on without saving"]),
            decide,
        )

    def write_paper(self, name: str, page: "Sequence[Line]") -> None:
        """Write the paper that is shown as a text file; never over a file that is there."""
        path = typed_path(name)
        if path is None:
            self._wizard.say("Type a file name, such as plan.txt", "warn")
            return
        try:
            with path.open("x", encoding="utf-8", newline="\n") as file:
                file.write("\n".join(line.text for line in page) + "\n")
        except FileExistsError:
            self._wizard.say(f"{path.name} is there already; choose another name", "stop")
        except (OSError, ValueError) as error:
            unsaved = SaveError(path, *os_words(error))
            self._wizard.say(told(unsaved, f"{path.name} was not written"), "stop")
        else:
            self._wizard.say(f"Wrote {path.absolute()}")

    def _ask(self, dialog: AskFile, then: "Callable[[Path | None], None]") -> None:
        self._wizard.app.push_screen(dialog, then)

    def _pick(
        self, title: str, options: "Sequence[Line]", then: "Callable[[int | None], None]"
    ) -> None:
        self._wizard.app.push_screen(Picker(title, options), then)


def _file_name(name: str) -> str:
    """Make a plain file name of a job's name."""
    words = re.findall(r"[a-z0-9]+", name.casefold())
    return "-".join(words)[:_NAME_COLUMNS] or "job"

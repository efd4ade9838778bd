"""Ask for a job's file until one can be read, or nobody wants to any more."""

from collections.abc import Callable
from pathlib import Path
from typing import Any

from textual.app import App

from pelmet.model.file.job.reading import OpenedJob, open_job
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.dialogs.pickers import ask_file

_FAULTS_TOLD = 3


def ask_for_job(app: App[Any], take: Callable[[OpenedJob], None]) -> None:
    """Ask for a file, say what is wrong with one that cannot be read, and take the one that can."""
    found: list[OpenedJob] = []

    def refuse(path: Path) -> str:
        try:
            found.append(open_job(path))
        except Refusal as refusal:
            return "\n".join(refusal_text(refusal).splitlines()[:_FAULTS_TOLD])
        return ""

    def done(said: tuple[str, ...] | None) -> None:
        if said is not None:
            take(found[-1])

    app.push_screen(ask_file("Open a job", "", refuse), done)

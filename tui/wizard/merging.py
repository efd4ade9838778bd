"""Making one job of the one in hand and what somebody else saved in its file, by question."""

from collections.abc import Callable
from typing import Final

from pelmet.model.file.job.reading import OpenedJob
from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.model.versions.merging import Conflict, Place, Side, merge
from pelmet.model.versions.said import are_versions
from pelmet.tui.dialogs.pickers import Picker
from pelmet.tui.panes.line import lines
from pelmet.tui.wizard.host import Host

_SIDES: Final[tuple[tuple[Side, str], ...]] = (
    ("mine", "Mine"),
    ("theirs", "Theirs"),
    ("base", "As it was"),
)


def merge_with(host: Host, opened: OpenedJob, base: Job) -> None:
    """Take what both said; what they said differently is asked one by one, and Esc leaves all."""
    mine = host.session.job
    if not are_versions(base, opened.job):
        host.say("The file holds another job now; save yours under another name", "warn")
        return
    decided: dict[Place, Side] = {}

    def go_on() -> None:
        try:
            merged = merge(base, mine, opened.job, decided)
        except Refusal as refusal:
            host.say(refusal_text(refusal, "Not merged"), "stop")
            return
        if merged.job is None:
            _ask(host, merged.conflicts, decide)
            return
        host.session.take_both(opened, merged.job)
        ids = "".join(f"; their {old} is {new}" for old, new in merged.renumbered.items())
        host.changed(f"Both are in the job now{ids}. Look it over; Ctrl+S saves it")

    def decide(conflict: Conflict, side: Side) -> None:
        decided[conflict.place] = side
        go_on()

    go_on()


def _ask(
    host: Host, conflicts: tuple[Conflict, ...], decide: Callable[[Conflict, Side], None]
) -> None:
    conflict = conflicts[0]
    about = " ".join(filter(None, (conflict.kind, conflict.id, conflict.title)))
    said = conflict.mine, conflict.theirs, conflict.base

    def picked(at: int | None) -> None:
        if at is None:
            host.say("Nothing is merged, and nothing is saved", "warn")
        else:
            decide(conflict, _SIDES[at][0])

    host.ask(
        Picker(
            f"{len(conflicts)} to decide: {about}",
            lines(f"{whose}: {text or '-'}" for (_, whose), text in zip(_SIDES, said, strict=True)),
        ),
        picked,
    )

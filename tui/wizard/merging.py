"""Making one job of the one in hand and what somebody else saved in its file, by question."""

from typing import Final

from pelmet.model.file.job.reading import OpenedJob
from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.model.versions.deciding import can_be_typed, typed
from pelmet.model.versions.merging import Conflict, Decision, Merged, Place, Side, merge
from pelmet.model.versions.said import are_versions
from pelmet.tui.dialogs.pickers import Asked, AskTexts, Picker
from pelmet.tui.panes.line import lines
from pelmet.tui.wizard.host import Host

_SIDES: Final[tuple[tuple[Side, str], ...]] = (
    ("mine", "Mine"),
    ("theirs", "Theirs"),
    ("base", "As it was"),
)


def merge_with(host: Host, opened: OpenedJob, base: Job) -> None:
    """Take what both said; what they said differently is asked one by one, and Esc leaves all."""
    if are_versions(base, opened.job):
        _Merging(host, opened, base).go_on()
    else:
        host.say("The file holds another job now; save yours under another name", "warn")


class _Merging:
    """One merging, and what was decided in it so far."""

    def __init__(self, host: Host, opened: OpenedJob, base: Job) -> None:
        self._host, self._opened, self._base = host, opened, base
        self._mine = host.session.job
        self._decided: dict[Place, Decision] = {}

    def go_on(self) -> None:
        """Take both versions as one, or ask what is to be decided first."""
        try:
            merged = self._merged(self._decided)
        except Refusal as refusal:
            self._host.say(refusal_text(refusal, "Not merged"), "stop")
            return
        if merged.job is None:
            self._ask(merged)
            return
        self._host.session.take_both(self._opened, merged.job)
        ids = "".join(f"; their {old} is {new}" for old, new in merged.renumbered.items())
        self._host.changed(f"Both are in the job now{ids}. Look it over; Ctrl+S saves it")

    def _merged(self, decided: dict[Place, Decision]) -> Merged:
        return merge(self._base, self._mine, self._opened.job, decided)

    def _ask(self, merged: Merged) -> None:
        conflict = merged.conflicts[0]

        def picked(at: int | None) -> None:
            if at is None:
                self._host.say("Nothing is merged, and nothing is saved", "warn")
            elif at == len(_SIDES):
                self._ask_value(conflict, merged)
            else:
                self._decide(conflict, _SIDES[at][0])

        said = conflict.mine, conflict.theirs, conflict.base
        rows = [f"{whose}: {text or '-'}" for (_, whose), text in zip(_SIDES, said, strict=True)]
        if can_be_typed(conflict, self._mine):
            rows.append("Another value, to be typed")
        title = f"{len(merged.conflicts)} to decide: {_about(conflict)}"
        self._host.ask(Picker(title, lines(rows)), picked)

    def _ask_value(self, conflict: Conflict, merged: Merged) -> None:
        def read(text: str) -> Decision:
            return typed(conflict, self._mine, self._opened.job, merged.renumbered, text)

        def refused(text: str) -> str:
            try:
                self._merged({**self._decided, conflict.place: read(text)})
            except Refusal as refusal:
                return refusal_text(refusal, "")
            return ""

        def said(texts: tuple[str, ...] | None) -> None:
            if texts is None:
                self._ask(merged)
            else:
                self._decide(conflict, read(texts[0]))

        title = f"A value of your own for {_about(conflict)}"
        self._host.ask(AskTexts(Asked(title, conflict.mine, refused)), said)

    def _decide(self, conflict: Conflict, decision: Decision) -> None:
        self._decided[conflict.place] = decision
        self.go_on()


def _about(conflict: Conflict) -> str:
    return " ".join(filter(None, (conflict.kind, conflict.id, conflict.title)))

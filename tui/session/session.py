"""What the wizard holds: the job, where one stands in it, and the way back. No terminal here."""

from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from pelmet.model.edit.add import add_item
from pelmet.model.edit.answer import choice_value, echo, set_answer, shown
from pelmet.model.edit.change import Subject, remove, set_value
from pelmet.model.edit.propose import propose_power, propose_runs
from pelmet.model.edit.question import Question, options, question_for
from pelmet.model.file.job.reading import OpenedJob
from pelmet.model.file.job.recovery import Recovered
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import KINDS, Item, Kind
from pelmet.model.job.job import Job
from pelmet.model.measure.decimals import Misread
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.refusal import Refusal
from pelmet.tui.session.adding import above_kind, next_kind
from pelmet.tui.session.moving import moved
from pelmet.tui.session.outline import Row, outline_of, paper_rows
from pelmet.tui.session.place import Place
from pelmet.tui.session.steps import (
    OBSTACLES,
    PAPERS,
    POWER,
    ROOMS,
    RUNS,
    STEPS,
    Step,
    form_of,
    step_for,
)

if TYPE_CHECKING:
    from pelmet.model.job.prices import PriceBook
    from pelmet.model.order.folder import Folder
    from pelmet.tui.panes.rows import Line

_UNDO_DEPTH = 1000


class Session:
    """One job being worked on. ``job`` follows every keystroke; ``accept`` makes it stick."""

    def __init__(
        self,
        job: Job,
        parts: Catalogue,
        path: Path | None = None,
        digest: str | None = None,
        *,
        prices: "PriceBook | None" = None,
    ) -> None:
        self.parts, self.prices = parts, prices
        self._folder: Folder | None = None
        self._void: tuple[str, ...] = ()
        self.pages: dict[str, tuple[Line, ...]] = {}  # of that folder, those that were looked at
        self.path = path
        self.digest = digest
        self.saved: Job | None = job if path else None
        self.comments: tuple[tuple[int, str], ...] = ()
        self.moved: tuple[str, ...] = ()
        self.place = Place()
        self._stood: dict[str, Place] = {}
        self.misread: Misread | None = None
        self._accepted = job
        self._undo: list[Job] = []
        self._redo: list[Job] = []
        self._show(job)

    @classmethod
    def of(cls, opened: OpenedJob, parts: Catalogue, prices: "PriceBook | None" = None) -> Self:
        """Begin with a job read from a file."""
        session = cls(opened.job, parts, opened.path, opened.digest, prices=prices)
        session.comments = opened.comments
        return session

    @classmethod
    def taken_up(
        cls, recovered: Recovered, parts: Catalogue, prices: "PriceBook | None" = None
    ) -> Self:
        """Begin with work that was never saved; it stays unsaved until it is."""
        session = cls(recovered.job, parts, recovered.original, recovered.digest, prices=prices)
        session.saved = None
        return session

    def another(self, opened: OpenedJob) -> "Session":
        """Begin anew with another job and the same catalogue."""
        return type(self).of(opened, self.parts, self.prices)

    def _show(self, job: Job) -> None:
        self.job = job
        self.plan: Plan = plan_job(job, self.parts)
        self.rows: tuple[Row, ...] = self._outline(self.place.step)

    @property
    def dirty(self) -> bool:
        """Whether the job differs from the saved one; a new job without a word in it does not."""
        return self.job != (self.saved or Job())

    @property
    def folder(self) -> "Folder":
        """What follows from the plan for buying and papers, once that is asked for."""
        if self._folder is None or self._folder.plan is not self.plan:
            from pelmet.model.order.folder import make_folder

            self._folder = make_folder(self.plan, self.prices)
            self.pages.clear()
        return self._folder

    @property
    def held_up(self) -> str:
        """Why the paper one stands on cannot go out, or does not hold any more."""
        if self.place.kind != "paper":
            return ""
        from pelmet.tui.wizard.papers import held_up

        return held_up(self.folder, self.place.id)

    def newly_void(self) -> tuple[str, ...]:
        """Give the papers that people hold and that hold no more since this was asked last."""
        if not self.job.given:
            return ()
        from pelmet.model.told.papers.sheets import void

        before, self._void = self._void, void(self.folder)
        return tuple(name for name in self._void if name not in before)

    @property
    def can_undo(self) -> bool:
        """Whether there is anything to take back."""
        return bool(self._undo) or self.job is not self._accepted

    @property
    def can_redo(self) -> bool:
        """Whether anything taken back can be done again."""
        return bool(self._redo)

    # Where one stands

    @property
    def fields(self) -> tuple[str, ...]:
        """The fields of the form one stands in."""
        if not any(self._stands_on(row) for row in self.rows):
            return ()
        return form_of(self.place.step, self.place.kind, self.place.id)

    @property
    def subject_kind(self) -> Subject | None:
        """The kind of thing the form is about, if it is one of the job's."""
        kind = self.place.kind
        if kind == "paper" or kind == "bar" or not self.fields:
            return None
        return kind

    @property
    def question(self) -> Question | None:
        """How to ask for the field one stands in."""
        kind = self.subject_kind
        return question_for(kind, self.place.field) if kind else None

    def question_of(self, field: str) -> Question | None:
        """How to ask for another field of the same form."""
        kind = self.subject_kind
        return question_for(kind, field) if kind else None

    @property
    def here(self) -> Item | None:
        """The thing one stands on, if it is one with an id."""
        kind = self.place.kind
        return self.job.find(kind, self.place.id) if kind in KINDS and self.fields else None

    def _stands_on(self, row: Row) -> bool:
        return (row.kind, row.id) == (self.place.kind, self.place.id)

    @property
    def row_index(self) -> int | None:
        """The row of the list one stands on."""
        return next((at for at, row in enumerate(self.rows) if self._stands_on(row)), None)

    def shown(self, field: str) -> str:
        """A field's value as it would be typed."""
        kind = self.subject_kind
        return shown(self.job, kind, self.place.id, field) if kind else ""

    def echo(self, field: str) -> str:
        """How a reading was understood."""
        kind = self.subject_kind
        return echo(self.job, kind, self.place.id, field) if kind else ""

    def options(self) -> tuple[str, ...]:
        """What can be chosen for the field one stands in."""
        asked = self.question
        if asked is None:
            return ()
        found = options(asked, self.job, self.plan.parts)
        now = self.shown(asked.field)  # it may name a part that no catalogue holds any more
        return found if now in found else (now, *found)

    def go(self, step: Step) -> None:
        """Go to a step: to the same thing if it lists it too, else to where one stood there."""
        self._stood[self.place.step.name] = self.place
        first = replace(self.place, kind="paper", id="") if step is PAPERS else self.place
        stays = step is not PAPERS and self.place.kind in step.forms and self.here is not None
        stood = self._stood.get(step.name, first)
        self.place = replace(self.place if stays else stood, step=step)
        self.rows = self._outline(step)
        self._settle()

    def go_to(self, kind: Subject, item_id: str, field: str) -> None:
        """Go to a field of a thing, in the step that asks for it."""
        step = step_for(kind, field, self.place.step)
        self.place = Place(step, kind, item_id, field)
        self.rows = self._outline(step)
        self._settle()

    def go_to_finding(self, finding: Finding) -> None:
        """Go to where a finding's remedy starts."""
        self.go_to(finding.kind, finding.about, finding.field)

    def _outline(self, step: Step) -> tuple[Row, ...]:
        if step is not PAPERS:
            return outline_of(step, self.plan)
        from pelmet.tui.wizard.papers import states

        return (*paper_rows(states(self.folder)), *outline_of(step, self.plan))

    def _settle(self) -> None:
        """Keep standing on something that is there."""
        standable = [row for row in self.rows if row.kind != "bar"]
        if self.row_index is None or self.place.kind == "bar":
            first = standable[0] if standable else Row("site", "", 0, "")
            self.place = replace(self.place, kind=first.kind, id=first.id)
        fields = form_of(self.place.step, self.place.kind, self.place.id)
        if self.place.field not in fields:
            self.place = replace(self.place, field=fields[0] if fields else "")
        self.misread = None

    def move_row(self, by: int) -> None:
        """Go up or down the list, keeping the field where the next form has it too."""
        standable = [row for row in self.rows if row.kind != "bar"]
        now = next((at for at, row in enumerate(standable) if self._stands_on(row)), 0)
        if standable:
            row = standable[min(max(now + by, 0), len(standable) - 1)]
            self.place = replace(self.place, kind=row.kind, id=row.id)
        self._settle()

    def move_on(self, by: int) -> None:
        """Go past a form: to the first field of the next thing, or the last of the one before."""
        before = self.place
        self.move_row(by)
        if self.fields and (self.place.kind, self.place.id) != (before.kind, before.id):
            self.place = replace(self.place, field=self.fields[0 if by > 0 else -1])

    def move_field(self, by: int) -> bool:
        """Go up or down the form; past its ends on to the thing before or after."""
        fields = self.fields
        if not fields:
            return False
        at = fields.index(self.place.field) + by
        if 0 <= at < len(fields):
            self.place = replace(self.place, field=fields[at])
            self.misread = None
            return True
        return False

    # Changing the job

    def type(self, text: str) -> None:
        """Follow what is being typed; what cannot be read leaves the last accepted job shown."""
        kind = self.subject_kind
        if kind is None:
            return
        try:
            job = set_answer(self._accepted, kind, self.place.id, self.place.field, text)
        except Misread as misread:
            self.misread = misread
            job = self._accepted
        else:
            self.misread = None
        if job != self.job:
            self._show(job)

    def choose(self, option: str) -> None:
        """Set the field one stands in to one of its options."""
        asked, kind = self.question, self.subject_kind
        if asked is None or kind is None:
            return
        value: Any = choice_value(asked, option)
        self.misread = None
        try:
            self._show(set_value(self._accepted, kind, self.place.id, asked.field, value))
        except Refusal as refusal:
            self.misread = Misread(refusal.reason, 0, 1, remedy=refusal.remedy)

    def accept(self) -> bool:
        """Make what was typed stick; false, and nothing moves, while it cannot be read."""
        if self.misread:
            return False
        self.moved = moved(self._accepted, self.job, self.place.id)
        if self.job != self._accepted:
            self._undo = [*self._undo[-_UNDO_DEPTH:], self._accepted]
            self._redo.clear()
        self._accepted = self.job
        return True

    def revert(self) -> None:
        """Drop what is being typed."""
        self.misread = None
        self._show(self._accepted)

    def change(self, job: Job) -> None:
        """Take a changed job as one step that can be undone."""
        self._settle_offcuts(job)
        self._show(job)
        self.misread = None
        self.accept()
        self._settle()

    def undo(self) -> None:
        """Take back what is being typed, or else the last accepted change."""
        if self.misread or self.job != self._accepted:
            self.revert()
        elif self._undo:
            self._settle_offcuts(self._undo[-1])
            self._redo.append(self._accepted)
            self._back_to(self._undo.pop())

    def redo(self) -> None:
        """Do again what was taken back."""
        if self._redo:
            self._settle_offcuts(self._redo[-1])
            self._undo.append(self._accepted)
            self._back_to(self._redo.pop())

    def _settle_offcuts(self, job: Job) -> None:
        """Have the user's store agree with what a job draws from it, or refuse the change."""
        if job.offcuts == self._accepted.offcuts:
            return
        from pelmet.tui.wizard.offcuts import settled

        settled(self._accepted, job)

    def _back_to(self, job: Job) -> None:
        self._accepted = job
        self._show(job)
        self._settle()

    def add_next(self) -> None:
        """Add the next thing of the kind one stands on, or its first part if it has none."""
        self._add(next_kind(self.place, self.job, self.here))

    def add_above(self) -> None:
        """Add the next thing of the kind above: a wall after a cabinet, a room after a room."""
        self._add(above_kind(self.place))

    def _add(self, kind: Kind) -> None:
        near = self.here
        if self.place.step is OBSTACLES:
            near = self._last_met() or near
        job, item_id = add_item(self.job, kind, near)
        if kind == "revision":
            from pelmet.model.told.papers.sheets import void

            job = set_value(job, kind, item_id, "void", void(self.folder))
        self.change(job)
        self.go_to(kind, item_id, self.place.step.forms[kind][0])

    def _last_met(self) -> Item | None:
        """The cabinet or wall one stood on last in the Rooms step: an obstacle is met beside it."""
        stood = self._stood.get(ROOMS.name)
        if stood is None or stood.kind not in ("cabinet", "wall"):
            return None
        return next((each for each in self.job.table(stood.kind) if each.id == stood.id), None)

    def remove_here(self) -> str:
        """Remove the thing one stands on; gives its id."""
        kind = self.place.kind
        if self.here is None or kind not in KINDS:
            raise Refusal("This cannot be removed")
        if self.place.step not in (ROOMS, RUNS, OBSTACLES) and kind == "run":
            raise Refusal("Runs are removed in the Runs step, F3")
        gone, at = self.place.id, self.row_index or 0
        self.change(remove(self.job, kind, gone))
        standable = [row for row in self.rows[: at + 1] if row.kind != "bar"]
        if standable:
            self.place = replace(self.place, kind=standable[-1].kind, id=standable[-1].id)
        self._settle()
        return gone

    def propose(self) -> str:
        """Take the step's proposal: runs, or supply and legs; gives what was done in words."""
        before = self.job
        if self.place.step is RUNS:
            self.change(propose_runs(before))
            self.go_to("run", self.job.runs[len(before.runs)].id, "cabinets")
            return _counted(len(self.job.runs) - len(before.runs), "run") + " proposed"
        if self.place.step is POWER:
            self.change(propose_power(before, self.plan.parts))
            self.go_to("leg", self.job.legs[len(before.legs)].id, "supply")
            return _counted(len(self.job.legs) - len(before.legs), "leg") + " proposed"
        raise Refusal("Proposals are for the Runs step (F3) and the Power step (F6)")

    def mark_saved(self, path: Path, digest: str) -> None:
        """Note that the job as it is now stands in this file."""
        self.path, self.digest, self.saved = path, digest, self.job

    @property
    def step_index(self) -> int:
        """Which step one is in, counted from 0."""
        return STEPS.index(self.place.step)


def _counted(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"

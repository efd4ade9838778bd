"""What the wizard holds: the job, where one stands in it, and the way back. No terminal here."""

from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Self

from pelmet.model.edit.add import add_item
from pelmet.model.edit.answer import choice_value, set_answer
from pelmet.model.edit.change import Subject, set_value
from pelmet.model.edit.giving import Signed
from pelmet.model.file.job.reading import OpenedJob
from pelmet.model.file.job.recovery import RecoveredJob
from pelmet.model.file.store.settling import save_and_settle
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import Item, Kind
from pelmet.model.job.job import Job
from pelmet.model.measure.decimals import Misread
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import Unplanned
from pelmet.model.refusal import Refusal
from pelmet.tui.failure import refusal_of
from pelmet.tui.session.adding import (
    Removal,
    above_kind,
    fed_proposal,
    feeding,
    next_kind,
    proposal,
    removal,
)
from pelmet.tui.session.form import Form
from pelmet.tui.session.history import History
from pelmet.tui.session.moving import things_moved
from pelmet.tui.session.noting import Came, status_changed
from pelmet.tui.session.outline import Row, outline_of, paper_rows
from pelmet.tui.session.paperwork import Asked, Found, Paperwork, steps_of
from pelmet.tui.session.place import Place, on_firm_ground, row_beside, row_of, standable
from pelmet.tui.session.planning import Planning
from pelmet.tui.session.steps import OBSTACLES, PAPERS, ROOMS, Step, step_for

if TYPE_CHECKING:
    from pelmet.model.edit.options.feeding import Fed
    from pelmet.model.job.prices import PriceBook


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
        self.parts = parts
        self.path = path
        self.digest = digest
        self.comments: tuple[tuple[int, str], ...] = ()
        self.moved: tuple[str, ...] = ()
        self.came: Came | None = None
        self.misread: Misread | None = None
        self.place = Place()
        self._stood: dict[str, Place] = {}
        self._history = History.of(job)
        self._planning = Planning(job, parts)
        self.paperwork = Paperwork(self.plan, parts, prices)
        self.saved = job if path else None
        self.rows: tuple[Row, ...] = self._outline(self.place.step)
        # The list and the place in it that were last looked for, with the row found.
        self._row: tuple[tuple[Row, ...], Place, int | None] = ((), self.place, None)

    @classmethod
    def of(cls, opened: OpenedJob, parts: Catalogue, prices: "PriceBook | None" = None) -> Self:
        """Begin with a job read from a file."""
        session = cls(opened.job, parts, opened.path, opened.digest, prices=prices)
        session.comments = opened.comments
        return session

    def another(self, opened: OpenedJob) -> "Session":
        """Begin anew with another job and the same catalogue."""
        return type(self).of(opened, self.parts, self.paperwork.prices)

    def take_up(self, recovered: RecoveredJob) -> None:
        """Go on with work that was never saved, as one change of what its file holds."""
        self.change(recovered.job)
        self.path, self.digest = recovered.original, recovered.digest

    # The job and its way through the session

    @property
    def job(self) -> Job:
        """The job as it is now, with what is being typed."""
        return self._history.job

    @property
    def dirty(self) -> bool:
        """Whether the job differs from the saved one; a new job without a word in it does not."""
        return self.job != (self.saved or Job())

    @property
    def can_undo(self) -> bool:
        """Whether there is anything to take back."""
        return bool(self._history.past) or self._history.is_trying

    @property
    def can_redo(self) -> bool:
        """Whether anything taken back can be done again."""
        return bool(self._history.future)

    def _pass(self, history: History) -> None:
        """The one gate: every job this session comes to hold passes here, whatever made it.

        What may not change is refused here, before anything follows it; nothing outside the
        session changes until the job is saved.
        """
        before, changes = self._history, history.job != self.job
        if history.accepted is not self._history.accepted:
            self.paperwork.void_due = True
        self._history = history
        if changes:
            self._follow(history, before)
        elif not history.is_trying and not self.plan_is_behind:
            self.paperwork.accept(self.plan)

    def _follow(self, history: History, before: History) -> None:
        """Plan the job; what is being typed may wait where that takes long."""
        try:
            planned = self._planning.follow(history.job, may_wait=history.is_trying)
        except Exception as error:  # so that the job stays one that has a plan
            self._history = before
            raise refusal_of(error) from error
        if planned:
            self._planned()

    def _planned(self) -> None:
        self.paperwork.follow(self.plan)
        self.rows = self._outline(self.place.step)
        if not self._history.is_trying:
            self.paperwork.accept(self.plan)

    @property
    def plan(self) -> Plan:
        """The plan of the job as it is now, unless it is behind what is being typed."""
        return self._planning.plan

    @property
    def findings(self) -> tuple[Finding, ...]:
        """All that is found, of the order too, which is worked out a little later than the plan."""
        return self.paperwork.findings

    @property
    def plan_is_behind(self) -> bool:
        """Whether the plan is still to follow what is being typed."""
        return self._planning.behind is not None

    def plan_now(self) -> None:
        """Plan at once what was left for later, if anything was."""
        if self._planning.catch_up():
            self._planned()

    def type(self, text: str) -> None:
        """Follow what is being typed; what cannot be read leaves the last accepted job shown."""
        kind = self.form.kind
        if kind is None:
            return
        accepted = self._history.accepted
        self.misread = None
        try:
            job = set_answer(accepted, kind, self.place.id, self.place.field, text)
            self._pass(self._history.trying(job))
        except Refusal as refusal:
            self._misread(refusal, max(len(text.rstrip()), 1))

    def choose(self, option: str) -> None:
        """Set the field one stands in to one of its options."""
        question, kind = self.form.question, self.form.kind
        if question is None or kind is None:
            return
        value: Any = choice_value(question, option)
        self.misread = None
        try:
            job = set_value(self._history.accepted, kind, self.place.id, question.field, value)
            self._pass(self._history.trying(job))
        except Refusal as refusal:
            self._misread(refusal, 1)

    def _misread(self, refusal: Refusal, end: int) -> None:
        """Drop what was typed, and note what is wrong with it: all of it, if no part is named."""
        self.revert()
        if not isinstance(refusal, Misread):
            refusal = Misread(refusal.reason, 0, end, remedy=refusal.remedy)
        self.misread = refusal.with_traceback(None)  # which would keep all it was read with

    def accept(self) -> bool:
        """Make what was typed stick; false, and nothing moves, while it cannot be read."""
        if self.misread:
            return False
        self.moved = things_moved(self._history.accepted, self.job, self.place.id)
        self.came = status_changed(self._history.accepted, self.job)
        self._pass(self._history.kept())
        return True

    def revert(self) -> None:
        """Drop what is being typed."""
        self.misread = None
        self._pass(self._history.reverted())

    def change(self, job: Job) -> None:
        """Take a changed job as one step that can be undone."""
        before = self._history.accepted
        self._pass(self._history.trying(job).kept())
        self.moved = things_moved(before, job, self.place.id)
        self._stand(self.place)

    def note(self, change: Callable[[Job], Job]) -> None:
        """Change the job beneath what is being typed, as one step that can be undone."""
        self._pass(self._history.beneath(change))

    def undo(self) -> None:
        """Take back what is being typed, or else the last accepted change."""
        if self.misread or self._history.is_trying:
            self.revert()
        else:
            self._pass(self._history.undone())
            self._stand(self.place)

    def redo(self) -> None:
        """Do again what was taken back."""
        self._pass(self._history.redone())
        self._stand(self.place)

    def save(self, path: Path, store: Path, *, overwrite: bool = False) -> str:
        """Save the job, the store of off-cuts with it; gives why the store is behind, if it is.

        A file of another name than the job's own must be new. Raises as ``save_and_settle`` does.
        """
        own = path == self.path
        digest, last = (self.digest, self.saved) if own else (None, None)
        saved = save_and_settle(self.job, path, digest, store, last, overwrite=overwrite)
        self.path, self.digest, self.saved = path, saved.digest, self.job
        return saved.behind

    def take_both(self, opened: OpenedJob, both: Job) -> None:
        """Take what was made of this job and of what somebody else saved in its file meanwhile."""
        self.change(both)
        self.saved, self.digest, self.comments = opened.job, opened.digest, opened.comments

    @property
    def saved(self) -> Job | None:
        """The job as its file has it, if it has one."""
        return self._saved

    @saved.setter
    def saved(self, job: Job | None) -> None:
        self._saved = job
        self.paperwork.compare_with(job, self.path)

    # Adding, removing, proposals: each makes a job that passes as one change

    def add_next(self) -> None:
        """Add the next thing of the kind one stands on, or its first part if it has none."""
        self._add(self.adds)

    def add_above(self) -> None:
        """Add the next thing of the kind above: a wall after a cabinet, a room after a room."""
        self._add(above_kind(self.place))

    def _add(self, kind: Kind) -> None:
        near = self.form.here
        if self.place.step is OBSTACLES:
            near = self._last_met() or near
        job, item_id = add_item(self.job, kind, near)
        self.change(job)
        self.go_to(kind, item_id, self.place.step.forms[kind][0])

    def revise(self, why: str, signed: Signed) -> None:
        """Add a revision, which names the papers that are void by now."""
        if self.needs_void:
            self.catch_up()
        job, item_id = add_item(self.job, "revision")
        for field, value in {"why": why, **signed._asdict(), "void": self.paperwork.void}.items():
            job = set_value(job, "revision", item_id, field, value)
        self.change(job)
        self.go_to("revision", item_id, "why")

    def _last_met(self) -> Item | None:
        """The cabinet or wall one stood on last in the Rooms step: an obstacle is met beside it."""
        stood = self._stood.get(ROOMS.name)
        if stood is None or stood.kind not in ("cabinet", "wall"):
            return None
        return next((each for each in self.job.table(stood.kind) if each.id == stood.id), None)

    @property
    def removal(self) -> Removal:
        """What removing the thing one stands on makes of the job, or why not."""
        return removal(self.place, self.job, self.form.here)

    def remove_here(self) -> str:
        """Remove the thing one stands on; gives its id."""
        at, found = self.row_index or 0, self.removal
        self.change(found.job)
        left = standable(self.rows[: at + 1])
        if left:
            self._stand(replace(self.place, kind=left[-1].kind, id=left[-1].id))
        return found.gone

    @property
    def feeding(self) -> "Iterator[Fed] | None":
        """What a proposal has to try out first, if it has to leave be what is bought."""
        return feeding(self.place.step, self.job, self.parts, self.paperwork.prices)

    def propose(self, fed: "Fed | None" = None) -> str:
        """Take the step's proposal, or what was tried out for it; gives what was done in words."""
        if fed is None and (search := self.feeding):
            fed = deque(search, maxlen=1).pop()
        made = fed_proposal(fed) if fed else proposal(self.place.step, self.job, self.plan.parts)
        self.change(made.job)
        self.go_to(made.kind, made.first, made.field)
        return made.words

    # Where one stands

    @property
    def form(self) -> Form:
        """The form of the thing one stands on, as the job is now."""
        return Form(self.job, self.plan.parts, self.place, self.row_index is not None)

    @property
    def row_index(self) -> int | None:
        """The row of the list one stands on."""
        rows, place, row = self._row
        if rows is not self.rows or place is not self.place:
            row = row_of(self.rows, self.place)
            self._row = self.rows, self.place, row
        return row

    def go(self, step: Step) -> None:
        """Go to a step: to the same thing if it lists it too, else to where one stood there."""
        self._stood[self.place.step.name] = self.place
        first = replace(self.place, kind="paper", id="") if step is PAPERS else self.place
        stays = step is not PAPERS and self.place.kind in step.forms and self.form.here is not None
        stood = self._stood.get(step.name, first)
        self.rows = self._outline(step)
        self._stand(replace(self.place if stays else stood, step=step))

    def go_to(self, kind: Subject, item_id: str, field: str) -> None:
        """Go to a field of a thing, in the step that asks for it."""
        step = step_for(kind, field, self.place.step)
        self.rows = self._outline(step)
        self._stand(Place(step, kind, item_id, field))

    def go_to_finding(self, finding: Finding) -> None:
        """Go to where a finding's remedy starts."""
        self.go_to(finding.kind, finding.about, finding.field)

    def _outline(self, step: Step) -> tuple[Row, ...]:
        if step is not PAPERS:
            return outline_of(step, self.plan)
        from pelmet.tui.session import paper_states

        states = paper_states.states(self.plan, self.findings, self.paperwork.void_if_known)
        return (*paper_rows(states), *outline_of(step, self.plan))

    def _stand(self, place: Place) -> None:
        """Stand in a place, or if it is not there on what is."""
        self.place = on_firm_ground(self.rows, place)
        self.misread = None

    def move_row(self, by: int) -> None:
        """Go up or down the list, keeping the field where the next form has it too."""
        self._stand(row_beside(self.rows, self.place, by))

    def move_on(self, by: int) -> None:
        """Go past a form: to the first field of the next thing, or the last of the one before."""
        before = self.place
        self.move_row(by)
        if self.form.fields and (self.place.kind, self.place.id) != (before.kind, before.id):
            self.place = replace(self.place, field=self.form.fields[0 if by > 0 else -1])

    def move_field(self, by: int) -> bool:
        """Go up or down the form; past its ends on to the thing before or after."""
        fields = self.form.fields
        at = fields.index(self.place.field) + by if fields else -1
        if not 0 <= at < len(fields):
            return False
        self._stand(replace(self.place, field=fields[at]))
        return True

    # What takes its time is asked for, worked out beside the keys, and taken here

    @property
    def asks(self) -> Unplanned | Asked | None:
        """What is to be worked out: a plan, how papers stand that are looked at, what is void."""
        if self._planning.behind:
            return self._planning.behind
        here = self.place
        page = here.id if here.kind == "paper" else ""
        settled = not self._history.is_trying
        return self.paperwork.wanted(page, whole=settled or here.step is PAPERS)

    def wants(self, asked: Unplanned | Asked) -> bool:
        """Whether what was asked is still of use: no newer job stands in its place."""
        if isinstance(asked, Unplanned):
            return asked is self._planning.behind
        return self.paperwork.wants(asked)

    def take(self, found: Plan | Found) -> None:
        """The one door for what was worked out; what is of an older job or plan is dropped."""
        if isinstance(found, Plan):
            if self._planning.take(found):
                self._planned()
        elif self.paperwork.take(found):
            self.rows = self._outline(self.place.step)

    def catch_up(self) -> None:
        """Work out at once what is asked for."""
        while asked := self.asks:
            for found in steps_of(asked):
                if found:
                    self.take(found)

    @property
    def adds(self) -> Kind:
        """The kind of thing that Ctrl+N adds here."""
        return next_kind(self.place, self.job, self.form.here)

    @property
    def needs_void(self) -> bool:
        """Whether what Ctrl+N adds here names what is void, and that is not known yet."""
        unknown = self.paperwork.void_if_known is None
        return self.adds == "revision" and bool(self.job.given) and unknown

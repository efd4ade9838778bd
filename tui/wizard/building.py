"""How far runs have come, in the wizard: what was done is noted as listed, or taken back."""

from collections.abc import Callable, Iterator

from pelmet.model.edit.building import note_built, take_back
from pelmet.model.job.built import STATUSES, Keeping, past
from pelmet.model.job.items import Run, Status
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.dialogs.pickers import Asked, AskTexts, Picker
from pelmet.tui.panes.line import lines
from pelmet.tui.session.noting import Came, Listed, list_work, noted_words, rest_words
from pelmet.tui.wizard.host import Host
from pelmet.tui.wizard.signing import refused_why, sign_questions, signed_by

_KEEPINGS: tuple[tuple[Keeping, str], ...] = (
    ("kept", "Note it; the rests are kept for this job"),
    ("in the store", "Note it; the rests go into your store of off-cuts, at saving"),
    ("scrap", "Note it; the rests are scrap"),
)


class Building:
    """What one wizard notes of what was done."""

    def __init__(self, host: Host) -> None:
        self._host = host
        self._listing: object | None = None  # another one each time

    def offer(self) -> None:
        """Ask how far which runs have come; a single one may go back."""
        job = self._host.session.job
        if not job.runs:
            raise Refusal("There is no run yet", remedy="add runs first, in the Runs step")
        here = self._here()
        groups: list[tuple[str, ...]] = [(here.id,)] if here else []
        groups += [tuple(run.id for run in job.runs)] if len(job.runs) > len(groups) else []
        states = (f"{run.id} {run.status}" for run in job.runs)

        def chosen(at: int | None) -> None:
            if at is not None:
                self._ask_status(groups[at])

        if len(groups) == 1:
            self._ask_status(groups[0])
        else:
            rows = [f"{groups[0][0]} alone", "All runs"]
            self._pick(f"Which have come further? {', '.join(states)}"[:280], rows, chosen)

    def follow(self, came: Came) -> None:
        """Go on from a status that was just typed: note what it says, or ask why it went back."""
        if STATUSES.index(came.now) > STATUSES.index(came.before):
            self._list((came.run,), came.now)
        elif STATUSES.index(came.before) >= STATUSES.index("cut"):
            self._ask_why(came.run, came.now, typed=True)

    def _here(self) -> Run | None:
        session = self._host.session
        thing = session.form.here if session.place.kind == "run" else None
        return thing if isinstance(thing, Run) else None

    def _ask_status(self, runs: tuple[str, ...]) -> None:
        job = self._host.session.job
        own = [run for run in job.runs if run.id in runs]
        offered = [
            each for each in STATUSES[1:] if len(own) == 1 or not all(past(r, each) for r in own)
        ]
        # Of several runs the last status stays on offer: what nobody noted yet is noted by it.
        offered = offered or [STATUSES[-1]]
        rows = [_row(each, own) for each in offered]

        def chosen(at: int | None) -> None:
            if at is None:
                return
            status = offered[at]
            if len(own) == 1 and past(own[0], status) and own[0].status != status:
                self._ask_why(own[0].id, status)
            else:
                self._list(runs, status)

        self._pick(f"How far have they come? {' '.join(runs)}"[:140], rows, chosen)

    # On

    def _list(self, runs: tuple[str, ...], status: Status) -> None:
        session = self._host.session
        plan, found = session.plan, list[Listed]()
        steps: Iterator[Listed | None] = list_work(plan, session.paperwork.prices, runs, status)

        own = self._listing = object()

        def take(listed: Listed | None) -> bool:
            if listed:
                found.append(listed)
            return self._listing is own and session.plan is plan

        def then() -> None:
            if self._listing is own:
                self._host.let_keys_go()
                if found and session.plan is plan:
                    self._ask(found[0], runs, status)

        def give_up() -> None:
            self._listing = None

        self._host.hold_keys("What the papers list is being worked out; Esc leaves it", give_up)
        self._host.beside(steps, take, then)

    def _ask(self, listed: Listed, runs: tuple[str, ...], status: Status) -> None:
        noted, site = listed.noted, listed.folder.plan.job.site
        words = noted_words(noted)
        if not words:
            self._sign(listed, runs, status, "kept")
            return
        title = f"{' '.join(runs)[:100]} {status}, as the papers list it: {words}."
        choices = _KEEPINGS if noted.rests else (("kept", "Note it"),)
        if noted.rests:
            title += f"\nWorth keeping: {rest_words(noted, site)}."

        def chosen(at: int | None) -> None:
            if at is None:
                self._host.say("Not noted; Ctrl+F notes it later", "warn")
            else:
                self._sign(listed, runs, status, choices[at][0])

        rows = [row for _, row in choices]
        self._pick(f"{title}\nWhat came out otherwise is corrected after, in Papers.", rows, chosen)

    def _sign(self, listed: Listed, runs: tuple[str, ...], status: Status, rests: Keeping) -> None:
        session = self._host.session

        def signed(said: tuple[str, ...] | None) -> None:
            if said is None:
                self._host.say("Not noted; Ctrl+F notes it later", "warn")
                return
            day, by = signed_by(said)
            if session.job is listed.folder.plan.job:
                job = note_built(listed.folder, runs, status, day=day, by=by, rests=rests)
                words = noted_words(listed.noted) or f"{' '.join(runs)[:60]} {status}"
                self._host.change(job, f"Noted: {words}; Ctrl+Z takes that back")

        self._host.ask(AskTexts(*sign_questions()), signed)

    # Back

    def _ask_why(self, run: str, status: Status, *, typed: bool = False) -> None:
        session = self._host.session
        question = Asked(
            f"{run} goes back to {status}: why? What holds no more is taken off", "", refused_why
        )

        def said(answers: tuple[str, ...] | None) -> None:
            if answers is None:
                if typed:
                    session.undo()
                self._host.changed(f"{run} stays as it was")
                return
            day, by = signed_by(answers[1:])
            if typed:  # so that what was typed and what follows from it are one step
                session.undo()
            try:
                job = take_back(session.job, run, status, answers[0].strip(), day=day, by=by)
            except Refusal as refusal:
                self._host.say(refusal_text(refusal), "warn")
                return
            self._host.change(job, f"{run} is back at {status}; Ctrl+Z brings all back")

        self._host.ask(AskTexts(question, *sign_questions()), said)

    def _pick(self, title: str, options: list[str], then: Callable[[int | None], None]) -> None:
        self._host.ask(Picker(title, lines(options)), then)


def _row(status: Status, runs: list[Run]) -> str:
    if len(runs) == 1 and runs[0].status == status:
        return f"{status}, as it is: note what is not noted yet"
    back = len(runs) == 1 and past(runs[0], status)
    return f"back to {status}, with a reason" if back else status

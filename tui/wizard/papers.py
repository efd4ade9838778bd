"""The papers of one wizard: looked at, written, noted as given out; all worked out beside."""

from collections.abc import Callable
from pathlib import Path

from pelmet.model.edit.giving import Signed
from pelmet.model.order.status import anything_built
from pelmet.model.plan.result import Plan
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.model.told.words import signed_words
from pelmet.tui.dialogs.pickers import AskTexts, Picker, typed_path
from pelmet.tui.panes.line import lines
from pelmet.tui.session.outline import SINCE_GIVEN
from pelmet.tui.session.paperwork import Found, steps_of
from pelmet.tui.wizard.host import Host
from pelmet.tui.wizard.signing import sign_questions, signed_by, why_question
from pelmet.tui.wizard.writing import (
    FORM_OF,
    AllWritten,
    Ended,
    Marks,
    Noted,
    Steps,
    keep_revision,
    note_papers,
    write_all,
    write_one,
    write_over,
    write_page,
    write_whole,
)

_FOLDER_ENDS = ("/", "\\")


class Papers:
    """What one wizard works out for its papers, and what it writes of them."""

    def __init__(self, host: Host) -> None:
        self._host = host
        self._looking = False
        self._once_known: Callable[[], None] | None = None
        self._writing: object | None = None  # another one each time
        self._go_on: Callable[[], None] | None = None  # once all is written

    # Looking

    def look(self) -> None:
        """Have worked out what the session asks for; what is under way comes to its end first.

        As soon as it is of an older plan, that is at its next step, and that plan's is not taken.
        """
        asked = self._host.session.asks
        if asked is None or self._looking:
            return
        self._looking = True

        def take(found: Plan | Found | None) -> bool:
            session = self._host.session
            if found:
                session.take(found)
                self._host.filled_in()
                self._tell_known()
            return session.wants(asked)

        def again() -> None:
            self._looking = False
            self.look()

        self._host.beside(steps_of(asked), take, again)

    def once_known(self, act: Callable[[], None]) -> None:
        """Do something once it is known what is void; keys wait for it, and Esc gives it up."""

        def give_up() -> None:
            self._once_known = None

        self._once_known = act
        self._host.hold_keys("What is void is being worked out; Esc leaves it", give_up)

    def _tell_known(self) -> None:
        if self._once_known and self._host.session.paperwork.folder:
            act, self._once_known = self._once_known, None
            self._host.let_keys_go()
            act()

    # Revisions, and what the job is compared with

    def pick_given(self) -> None:
        """Pick the paper given out that the job is compared with, the last one first."""
        session = self._host.session
        given = session.job.given[::-1]
        if not given:
            self._host.say("No paper is noted as given out yet", "warn")
            return

        def decide(at: int | None) -> None:
            if at is not None:
                session.paperwork.compare_with_given(given[at].id)
                self._host.refresh_panes()

        rows = (
            f"{each.paper}, revision {each.revision} {signed_words(each.day, each.by)}".rstrip()
            for each in given
        )
        self._host.ask(Picker("Changed since which paper was given out?", lines(rows)), decide)

    def revise(self) -> None:
        """Add a revision once it is said why, by whom and when; Esc leaves the job as it was."""
        session = self._host.session
        number = len(session.job.revisions) + 1

        def add(said: tuple[str, ...] | None) -> None:
            if said is None:
                self._host.say("No revision is added", "warn")
                return
            session.revise(said[0].strip(), signed_by(said[1:]))
            self._host.changed(f"Revision {number} is noted")
            steps = keep_revision(session.path, session.saved, session.job)
            self._host.beside(steps, tell, lambda: None)

        def tell(step: object) -> bool:
            if isinstance(step, Ended):
                self._host.say(*step)
            return True

        self._host.ask(AskTexts(why_question(number), *sign_questions()), add)

    # Writing

    def write(self, typed: str) -> None:
        """Write the paper one stands on to the file named, or all of them into a folder."""
        if self._writing:
            self._host.say("Papers are still being written; this one after that", "warn")
            return
        steps = self._steps(typed.strip())
        if steps:
            self._begin(steps)

    def _begin(self, steps: Steps) -> None:
        self._writing = object()
        self._host.say("Writing ...", "dim")
        self._do(steps)

    def _write_into(self, into: Path) -> None:
        """Write all papers; where anything is built, ask first whether only what is to do."""
        session = self._host.session
        if not anything_built(session.job):
            self._begin(write_all(session.paperwork.ask(), into))
            return

        def decide(at: int | None) -> None:
            if at is not None:
                asked = session.paperwork.ask()
                self._begin(write_all(asked, into, "to do" if at == 1 else "apart"))

        self._pick(
            "Some of it is built. What are the papers to tell?",
            ["What is to do, then what is built", "Only what is to do"],
            decide,
        )

    def hold_up(self, then: Callable[[], None]) -> bool:
        """Where papers are being written, ask what is to be done before going on."""
        if not self._writing:
            return False

        def decide(at: int | None) -> None:
            if at == 0 and self._writing:
                self._go_on = then
                self._host.say("Goes on once the papers are written", "dim")
            elif at == 0 or at == 2:
                self._writing = None
                then()

        self._pick(
            "Papers are still being written.",
            ["Wait for them, then go on", "Stay here", "Stop writing, and go on"],
            decide,
        )
        return True

    def _steps(self, text: str) -> Steps | None:
        from pelmet.tui.session.paper_states import paper_named, why_blocked

        session = self._host.session
        here = session.place.id
        path, own = typed_path(text), paper_named(here)
        if path is None:
            example = "folder, such as kitchen-papers/"
            if not text.endswith(_FOLDER_ENDS):
                example = "file name, such as plan.txt"
            self._host.say(f"Type a {example}", "warn")
            return None
        beside = session.path.parent / path if session.path else path
        if text.endswith(_FOLDER_ENDS):
            self._write_into(beside)
            return None
        if own == "handover" and path.suffix == ".toml":
            return write_whole(session.paperwork.ask(), session.parts, beside)
        if own and path.suffix in FORM_OF:
            return write_one(session.paperwork.ask(), own, beside)
        reason = why_blocked(session.plan, session.findings, here)
        above = [f"BLOCKED, {reason}", ""] if reason else []
        return write_page(session.paperwork.ask(here), above, path)

    def _do(self, steps: Steps, then: Callable[[], None] = lambda: None) -> None:
        """Do the next part of a writing, unless that is stopped or came to its end."""
        writing = self._writing

        def take(step: str | Ended | AllWritten | Marks | None) -> bool:
            if self._writing is not writing:
                return False
            match step:
                case str():
                    self._host.say(step, "dim")
                case Ended():
                    self._end(*step)
                case AllWritten():
                    self._all_written(step)
            return True

        def go_on() -> None:
            if self._writing is writing:
                then()

        self._host.beside(steps, take, go_on)

    def _end(self, words: str, role: str = "good") -> None:
        self._writing = None
        self._host.say(words, role)
        go_on, self._go_on = self._go_on, None
        if go_on:
            go_on()

    def _all_written(self, written: AllWritten) -> None:
        if not written.older:
            self._ask_if_given(written)
            return
        many = len(written.older)

        def decide(at: int | None) -> None:
            if at == 1:
                over = write_over(written.into, written.older)
                self._do(over, lambda: self._ask_if_given(written))
            else:
                self._end(f"{written.words}; {many} older ones left as they were", "warn")

        names = ", ".join(written.older)[:120]
        self._pick(
            f"{many} files in {written.into.name} hold something else: {names}",
            ["Leave them as they are", "Write over them"],
            decide,
        )

    def _ask_if_given(self, written: AllWritten) -> None:
        """What went out is noted in the job, so that a later change can say what is void."""

        def decide(at: int | None) -> None:
            if not at:
                self._end(written.words)
            elif written.void:
                self._end(
                    f"Void since they were given out: {', '.join(written.void)}. Ctrl+N adds a "
                    "revision that says why; then write them again",
                    "warn",
                )
            else:
                self._host.ask(
                    AskTexts(*sign_questions()), lambda said: sign(said, ordered=at == 2)
                )

        def sign(said: tuple[str, ...] | None, *, ordered: bool) -> None:
            if said is None:
                self._end(f"{written.words}; not noted in the job", "warn")
            else:
                self._note(written, signed_by(said), ordered=ordered)

        order = ["Note them, and the order as sent"] if written.bought else []
        self._pick(
            "Written. Do people hold them now? Then the job notes what they say.",
            ["No, only for me to look at", "Note them as given out", *order],
            decide,
        )

    def _note(self, written: AllWritten, signed: Signed, *, ordered: bool) -> None:
        """Note in the job, whatever it has become meanwhile, what was written of it before."""
        session, writing = self._host.session, self._writing
        revision = len(written.folder.plan.job.revisions)
        note = Noted(revision, signed, written.bought if ordered else ())

        def take(step: object) -> bool:
            if self._writing is not writing:
                return False
            if isinstance(step, Marks):
                marks = step
                try:
                    session.note(lambda job: note.noted(job, marks))
                except Refusal as refusal:
                    self._end(refusal_text(refusal, "Not noted"), "stop")
                    return False
                self._host.noted()
            elif isinstance(step, Ended):
                self._end(*step)
                session.paperwork.forget(SINCE_GIVEN)
            return True

        self._host.say("Noting what went out ...", "dim")
        own, prices = session.parts, session.paperwork.prices
        steps = note_papers(written, note, own, prices, session.path)
        self._host.beside(steps, take, lambda: None)

    def _pick(self, title: str, options: list[str], then: Callable[[int | None], None]) -> None:
        self._host.ask(Picker(title, lines(options)), then)

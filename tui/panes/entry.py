"""The entry line: the one place where anything is typed, with what was understood beside it."""

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.containers import Horizontal, Vertical
from textual.widgets import Input
from textual.widgets.input import Selection

from pelmet.model.edit.question import part_name
from pelmet.model.refusal import refusal_text
from pelmet.model.told.words import wrapped
from pelmet.tui.panes.chooser import Chooser
from pelmet.tui.panes.line import Line, lines
from pelmet.tui.panes.rows import Rows
from pelmet.tui.session.outline import SINCE_GIVEN
from pelmet.tui.session.session import Session

LABEL = 17
_HELP_ROWS = 2
_ON_PAPER = (
    "PgUp PgDn change the paper, Up Down scroll it; Enter writes all into a folder, "
    "a file name (.txt .html .pdf) just this one"
)
_ON_PAGES = {
    SINCE_GIVEN: "F8 picks the paper given out to compare with",
    "handover": "Enter writes all into a folder, a file name (.txt .html .pdf) just this one; one "
    "that ends in .toml gets the whole job, with the parts it rests on",
}


class Entry(Vertical):
    """A label, a field or a choice, how the reading was understood, and two rows of words."""

    _said: tuple[Session, str, str] | None = None

    def on_resize(self) -> None:
        """Fold the words to the new width."""
        self.tell_again()

    def compose(self) -> ComposeResult:
        """Lay out the line, the marks under it, and the words."""
        with Horizontal(id="entry-line"):
            yield Rows(id="entry-label")
            yield Input(id="entry-text", compact=True, select_on_focus=False)
            yield Chooser(id="entry-choice")
            yield Rows(id="entry-echo")
        yield Rows(id="entry-marks")
        yield Rows(id="entry-help")

    @property
    def field(self) -> Input:
        """The text field."""
        return self.query_one("#entry-text", Input)

    @property
    def choice(self) -> Chooser:
        """The choice."""
        return self.query_one("#entry-choice", Chooser)

    @property
    def value(self) -> str:
        """What is typed or picked now."""
        return self.choice.value if self.choice.display else self.field.value

    def put(self, text: str) -> None:
        """Type a text over what is selected, or pick the option it begins."""
        shown = "".join(letter for letter in text if letter.isprintable())
        if self.choice.display:
            self.choice.pick(shown)
        else:
            self.field.replace(shown, *sorted(self.field.selection))

    def load(self, session: Session) -> None:
        """Show the field one stands in, ready to be typed over."""
        question = session.form.question
        is_choice = question is not None and question.shape == "choice"
        self.field.display, self.choice.display = not is_choice, is_choice
        if is_choice and question:
            self.choice.offer(session.form.choices(), session.form.shown(question.field))
            self.screen.set_focus(self.choice)
        else:
            with self.prevent(Input.Changed):
                self.field.value = (
                    session.form.shown(question.field) if question else _offered(session)
                )
            self.field.disabled = False
            self.screen.set_focus(self.field)
            self.field.selection = Selection(0, len(self.field.value))
        self.tell(session, "", "plain")

    def tell_again(self) -> None:
        """Say what was said last, as it is now."""
        if self._said:
            self.tell(*self._said)

    def tell(self, session: Session, message: str, role: str) -> None:
        """Say how the reading was understood, or what is wrong with it, or a message."""
        self._said = (session, message, role)
        question, misread = session.form.question, session.misread
        label = (
            question.title_in(session.job.site)
            if question
            else {"paper": "Write to"}.get(session.place.kind, "")
        )
        self.query_one("#entry-label", Rows).show(
            [Line(f"{label[: LABEL - 2]:>{LABEL - 2}} >", "title")]
        )
        echo, marks = "", ""
        if misread:
            typed = self.field.value
            before = cell_len(typed[: misread.start])
            marks = " " * (LABEL + before) + "^" * max(misread.end - misread.start, 1)
            message, role = refusal_text(misread, ""), "stop"
        elif question:
            value = session.form.echo(question.field)
            named = part_name(question, session.plan.parts, session.form.shown(question.field))
            echo = f"= {value}" if value else named
        if not message:
            message, role = (
                question.help_in(session.job.site) if question else _on_paper(session),
                "dim",
            )
            here = session.place
            warning = session.paperwork.warning(here.id) if here.kind == "paper" else ""
            if warning:
                message, role = warning, "warn"
        self.query_one("#entry-echo", Rows).show([Line(echo, "good")])
        self.query_one("#entry-echo").styles.width = max(len(echo) + 1, 1)
        self.query_one("#entry-marks", Rows).show([Line(marks, "stop")])
        width = max(self.size.width - 2, 20)
        rows = [row for line in message.splitlines() for row in wrapped(line, width=width)]
        shown = [Line(f" {row}", role) for row in rows[:_HELP_ROWS]]
        self.query_one("#entry-help", Rows).show(shown or lines([""]))


def _on_paper(session: Session) -> str:
    if session.place.kind != "paper":
        return ""
    return _ON_PAGES.get(session.place.id, _ON_PAPER)


def _offered(session: Session) -> str:
    """Offer a folder, where papers are about to be written: it is made beside the job."""
    if session.place.kind != "paper":
        return ""
    return f"{session.path.stem if session.path else 'job'}-papers/"

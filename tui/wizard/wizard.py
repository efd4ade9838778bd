"""The wizard: the step's list and form on one side, the plan on the other, the budget below.

It shows and asks; what follows from an answer is the session's and the model's business.
"""

import asyncio
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import ClassVar, TypeVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Horizontal, Vertical
from textual.geometry import Size
from textual.screen import ModalScreen
from textual.widgets import Input

from pelmet.model.file.job.recovery import RecoveredJob
from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.tui.panes import contents
from pelmet.tui.panes.bars import footer_bar, step_bar
from pelmet.tui.panes.entry import Entry
from pelmet.tui.panes.line import Line
from pelmet.tui.panes.rows import ROLE_CLASSES, Rows
from pelmet.tui.panes.taking import Ready
from pelmet.tui.session.session import Session
from pelmet.tui.wizard.actions import Actions
from pelmet.tui.wizard.beside import GROUP, done_beside
from pelmet.tui.wizard.building import Building
from pelmet.tui.wizard.commands import COMMANDS, Command, bindings, command_named, footer_keys
from pelmet.tui.wizard.frame import KeyScreen
from pelmet.tui.wizard.keeping import Keeping
from pelmet.tui.wizard.offcuts import OffCuts
from pelmet.tui.wizard.papers import Papers
from pelmet.tui.wizard.walking import Walking

T = TypeVar("T")
LEAST_WIDTH, LEAST_HEIGHT = 60, 18
_NARROW, _WIDE = "-narrow", "-wide"
_BARS = 8  # rows: title and steps above a drawing, entry line, budget and footer below

_KEYS = (
    Binding("up", "field(-1)", "Field before", show=False),
    Binding("down", "field(1)", "Next field", show=False),
    Binding("shift+tab", "field(-1)", "Field before", show=False),
    Binding("tab", "field(1)", "Next field", show=False),
    Binding("pageup", "row(-1)", "Thing before", show=False),
    Binding("pagedown", "row(1)", "Next thing", show=False),
    Binding("escape", "revert", "Put back", show=False),
    *bindings(),
)
_OWN = {binding.key: binding.action for binding in _KEYS}


class Wizard(KeyScreen):
    """One job, worked on by keyboard."""

    COMPONENT_CLASSES: ClassVar[set[str]] = ROLE_CLASSES
    HORIZONTAL_BREAKPOINTS = [(0, _NARROW), (100, _WIDE)]
    BINDINGS: ClassVar[list[BindingType]] = [*_KEYS]

    def __init__(
        self,
        session: Session,
        recovery: Path | None = None,
        unsaved: RecoveredJob | None = None,
    ) -> None:
        super().__init__()
        self.session = session
        self._unsaved = unsaved
        offcuts = OffCuts(self)
        self._papers = Papers(self)
        self.keeping = Keeping(self, offcuts, self._papers, recovery)
        self.walking = Walking(self)
        self._building = Building(self)
        self._actions = Actions(
            self, self.keeping, self.walking, offcuts, self._papers, self._building
        )
        self._shows_plan = False
        self._followed = ""
        self._news = ""  # what became void: told until one goes on

    def compose(self) -> ComposeResult:
        """Lay out the panes."""
        yield Rows(id="title")
        yield Rows(id="steps")
        with Horizontal(id="body"):
            with Vertical(id="side"):
                yield Rows(id="things")
                yield Rows(id="form")
            yield Rows(id="plan")
        yield Entry(id="entry")
        yield Rows(id="budget")
        yield Rows(id="footer")
        yield Rows(id="too-small")

    def on_mount(self) -> None:
        """Show the job."""
        self.keeping.note_change()  # of a job that is in no file yet
        self.call_after_refresh(self._begin)

    def _begin(self) -> None:
        self.load()
        self.keeping.begin(self._unsaved)
        self.post_message(Ready())

    @on(Rows.Resized, "#plan, #title, #too-small")
    def _resized(self) -> None:
        """Draw everything to the new size of the screen, or of the plan's pane."""
        self.refresh_panes()

    # Showing

    def load(self) -> None:
        """Show where one stands now, and put the cursor there."""
        entry = self.query_one(Entry)
        entry.load(self.session)
        self._followed, self._news = entry.value, ""
        self.query_one("#plan", Rows).to_top()
        self.refresh_panes()

    def say(self, message: str, role: str = "good") -> None:
        """Say something under the entry line; the next key puts the field's words back."""
        if self._news and not message:
            message, role = self._news, "warn"
        self.query_one(Entry).tell(self.session, message, role)

    def refresh_panes(self) -> None:
        """Show all panes as the job is now."""
        width, height = self.size
        self.set_class(width < LEAST_WIDTH or height < LEAST_HEIGHT, "-small")
        small = f" {width} x {height} is too small: make the window {LEAST_WIDTH} x {LEAST_HEIGHT}"
        self._pane("too-small").show([Line(small, "stop")])
        session = self.session
        on_paper = session.place.kind == "paper"
        self.set_class(on_paper, "-paper")
        self.set_class(self._shows_plan or self.walking.on, "-plan")
        self._pane("title").show([contents.title_line(session, width)])
        self._pane("steps").show([step_bar(session.place.step)])
        self._pane("things").show(contents.list_lines(session), session.row_index)
        form = self._pane("form")
        rows, current = contents.form_lines(session, form.size.width or width)
        form.show(rows, current)
        self._pane("budget").show([contents.budget_line(session, width)])
        self._pane("footer").show([footer_bar(footer_keys())])
        self._show_plan(on_paper)
        self._papers.look()

    def filled_in(self) -> None:
        """Show what was worked out meanwhile; the entry line stays as it is."""
        self.refresh_panes()
        self.query_one(Entry).tell_again()
        gone = self.session.paperwork.newly_void()
        if gone:
            self._news = f"Given out, and void now: {', '.join(gone)}. F7 tells more"
            self.say("")

    def _show_plan(self, on_paper: bool) -> None:  # noqa: FBT001 - the one caller names it
        pane = self._pane("plan")
        if on_paper:
            pane.show(contents.page_lines(self.session))
            return
        size = pane.size
        if size.width and size.height:
            pane.show(contents.drawing_lines(self.walking.draw(size.width, size.height)))

    def plan_size(self) -> Size:
        """Give the size of the pane that shows the drawing; nothing in too small a window."""
        if self.has_class("-small"):
            return Size(0, 0)
        # A pane that was only just asked for has no size yet: it gets all that the bars leave.
        return self._pane("plan").size or Size(self.size.width, self.size.height - _BARS)

    def _pane(self, name: str) -> Rows:
        return self.query_one(f"#{name}", Rows)

    # Typing

    async def take(self, event: events.Key | events.Paste) -> bool:
        """Give a key its whole effect at once, so that the next one meets what it left behind.

        False for a key that is no business of the form.
        """
        self.follow()
        entry = self.query_one(Entry)
        if self.walking.on and (isinstance(event, events.Paste) or self.walking.take(event)):
            return True
        if isinstance(event, events.Paste):
            entry.put("".join(event.text.splitlines()[:1]))
        elif event.key == "enter":
            self._enter()
        elif event.key in _OWN:  # the field's own up and down scroll, so ours come first
            await self.app.run_action(_OWN[event.key], self)
        elif (bound := self.active_bindings.get(event.key)) and bound.node is self.focused:
            await self.app.run_action(bound.binding.action, bound.node)
        elif event.is_printable and event.character:
            entry.put(event.character)
        else:
            return False
        if self.is_current:
            self.follow()
        return True

    @on(Input.Changed, "#entry-text")
    def follow(self) -> None:
        """Have the session follow what now stands in the entry line."""
        entry = self.query_one(Entry)
        if entry.value == self._followed:
            return
        self._followed = entry.value
        if entry.choice.display:
            self.session.choose(entry.value)
        else:
            self.session.type(entry.value)
        self.say("")
        self.refresh_panes()
        self.keeping.note_change()

    def _enter(self) -> None:
        if self.session.place.kind == "paper":
            self._papers.write(self.query_one(Entry).value)
            return
        if not self._accepted():
            return
        moved = self.session.moved
        went_on = self.session.move_field(1)
        self.load()
        if moved:
            self.say(
                f"{' '.join(moved)} moved along the wall with it; Ctrl+Z puts all back", "warn"
            )
        elif not went_on:
            self.say("The last field of this form. Ctrl+N adds the next, PgDn goes on.", "dim")

    def _accepted(self) -> bool:
        """Make the field stick, or say why it cannot."""
        if self.session.accept():
            if self.session.came:
                self._building.follow(self.session.came)
            return True
        self.say("", "stop")
        self.app.bell()
        return False

    def action_field(self, by: int) -> None:
        """Go to the field beside; past the end on to the next thing, or scroll a paper."""
        if self.session.place.kind == "paper":
            self._on_a_paper(by)
        elif self._accepted():
            if not self.session.move_field(by):
                self.session.move_on(by)
            self.load()

    def _on_a_paper(self, by: int) -> None:
        """Scroll the paper, or where only the list is shown go to the next one."""
        if self._shows_plan or self.has_class(_WIDE):
            self._pane("plan").scroll_rows(by)
        else:
            self.session.move_row(by)
            self.load()

    def action_row(self, by: int) -> None:
        """Go to the thing before or after, in the same field."""
        if self._accepted():
            self.session.move_row(by)
            self.load()

    def action_revert(self) -> None:
        """Put the field back as it was."""
        self.session.revert()
        self.load()

    # Commands

    def action_command(self, name: str) -> None:
        """Run a command of the table, or say why it cannot act now."""
        command = command_named(name)
        self.session.plan_now()
        reason = command.why_not(self.session)
        if reason:
            self.say(reason, "warn")
            return
        if not command.looks and not self._accepted():
            return
        try:
            command.act(self._actions)
        except Refusal as refusal:
            self.say(refusal_text(refusal), "warn")

    def change(self, job: Job, message: str) -> None:
        """Change the job and say what was done, or why it is refused."""
        try:
            self.session.change(job)
        except Refusal as refusal:
            self.say(refusal_text(refusal), "warn")
        else:
            self.changed(message)

    def changed(self, message: str = "") -> None:
        """Show a job that was changed, and say what was done."""
        self.keeping.note_change()
        self.load()
        if message:
            self.say(message)

    def noted(self) -> None:
        """Show a job that was changed beneath what is being typed."""
        self.keeping.note_change()
        self.refresh_panes()

    # What its parts ask of it

    def ask(self, dialog: ModalScreen[T], then: Callable[[T | None], None]) -> None:
        """Show a dialog, and go on with its answer."""
        self.app.push_screen(dialog, then)

    def beside(
        self, steps: Iterator[T], take: Callable[[T], bool], then: Callable[[], None]
    ) -> None:
        """Do work beside the event loop, as long as what its steps give is wanted; then go on."""
        painted = asyncio.Event()
        self.call_after_refresh(painted.set)
        self.run_worker(done_beside(painted, steps, take, then), group=GROUP)

    def hold_keys(self, words: str, give_up: Callable[[], None]) -> None:
        """Say what keys wait for from now on, and what to do if Esc gives that up."""

        def given_up() -> None:
            self.give_up = None
            give_up()
            self.say("")

        self.give_up = given_up
        self.hint(words)

    def let_keys_go(self) -> None:
        """Let the keys act that waited."""
        self.give_up = None
        self.say("")
        self.post_message(Ready())

    def later(self, seconds: float, act: Callable[[], None]) -> None:
        """Do something a little later."""
        self.set_timer(seconds, act)

    def show_form(self) -> None:
        """On a narrow screen, show the form in place of the drawing."""
        self._shows_plan = False

    def swap_panes(self) -> bool:
        """On a narrow screen, swap form and drawing; false where both are shown."""
        if self.has_class(_WIDE):
            return False
        self._shows_plan = not self._shows_plan
        self.refresh_panes()
        return True

    # What the program asks of it

    def leave(self) -> None:
        """Leave, never losing anything."""
        self.keeping.quit()

    def keep(self) -> None:
        """Have the recovery file written now."""
        self.keeping.flush()

    def hint(self, words: str) -> None:
        """Say something small under the entry line."""
        self.say(words, "dim")

    def offered(self) -> tuple[Command, ...]:
        """Give every command of the table."""
        return COMMANDS

"""The start screen: take up unsaved work, open a recent job, begin a new one, see the example."""

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import ClassVar, NamedTuple

from textual import events
from textual.app import ComposeResult
from textual.binding import Binding, BindingType

from pelmet.model.examples import EXAMPLES
from pelmet.model.file.job.reading import OpenedJob, open_job
from pelmet.model.file.job.recovery import RecoveredJob
from pelmet.model.refusal import Refusal, refusal_text
from pelmet.model.told.words import wrapped
from pelmet.tui.dialogs.asking import ask_for_job
from pelmet.tui.panes.line import Line, lines
from pelmet.tui.panes.rows import ROLE_CLASSES, Rows
from pelmet.tui.panes.taking import Ready
from pelmet.tui.wizard.frame import KeyScreen

_WELCOME = (
    "Pelmet plans low-voltage LED strip under cabinets,",
    "from the tape measure to a job file that lasts.",
)


class Beginning(NamedTuple):
    """One way to begin, and what it does."""

    text: str
    begin: Callable[[], None]


_KEYS = (
    Binding("up", "move(-1)", "Up", show=False),
    Binding("down", "move(1)", "Down", show=False),
    Binding("enter", "take", "Take it", show=False),
    Binding("escape", "leave", "Leave", show=False),
    Binding("f10", "leave", "Leave", show=False),
)
_OWN = {binding.key: binding.action for binding in _KEYS}


class Start(KeyScreen):
    """Pick a way to begin; Enter takes it."""

    COMPONENT_CLASSES: ClassVar[set[str]] = ROLE_CLASSES
    BINDINGS: ClassVar[list[BindingType]] = [*_KEYS]

    def __init__(
        self,
        recovered: Sequence[RecoveredJob],
        recent: Sequence[Path],
        take_up: Callable[[RecoveredJob], None],
        opened: Callable[[OpenedJob], None],
        example: Callable[[str], None],
        new: Callable[[], None],
    ) -> None:
        super().__init__()
        self._opened = opened
        self._at = 0
        self._ways = [
            *(
                Beginning(
                    f"Unsaved work: {each.job.site.name}"
                    + (f" ({each.original.name})" if each.original else ""),
                    lambda each=each: take_up(each),  # type: ignore[misc]
                )
                for each in recovered
            ),
            Beginning("New job", new),
            *(
                Beginning(f"Open {each.name}  in {each.parent}", lambda each=each: self._open(each))  # type: ignore[misc]
                for each in recent
            ),
            Beginning("Open another file", lambda: ask_for_job(self.app, opened)),
            *(
                Beginning(f"Example: {words} (invented)", lambda name=name: example(name))  # type: ignore[misc]
                for name, words in EXAMPLES.items()
            ),
        ]

    async def take(self, event: events.Key | events.Paste) -> bool:
        """Give a key its whole effect at once: what comes after it is for the wizard."""
        action = isinstance(event, events.Key) and _OWN.get(event.key)
        return bool(action) and await self.app.run_action(str(action), self)

    def compose(self) -> ComposeResult:
        """Lay out the welcome, the ways to begin, a message and the keys."""
        yield Rows(id="welcome")
        yield Rows(id="ways")
        yield Rows(id="message")
        yield Rows(id="footer")

    def on_mount(self) -> None:
        """Show the ways to begin."""
        self.query_one("#welcome", Rows).show([Line(""), *(Line(f"  {text}") for text in _WELCOME)])
        keys = " Up Down pick   Enter begins   Esc leaves"
        self.query_one("#footer", Rows).show([Line(keys, "dim")])
        self._refresh()
        self.post_message(Ready())

    def _refresh(self) -> None:
        rows = [
            Line(("  > " if at == self._at else "    ") + way.text)
            for at, way in enumerate(self._ways)
        ]
        self.query_one("#ways", Rows).show(rows, self._at)

    def action_move(self, by: int) -> None:
        """Go up or down."""
        self._at = min(max(self._at + by, 0), len(self._ways) - 1)
        self._refresh()

    def action_take(self) -> None:
        """Begin this way."""
        self._ways[self._at].begin()

    def action_leave(self) -> None:
        """Leave; nothing has been begun."""
        self.leave()

    def _open(self, path: Path) -> None:
        try:
            self._opened(open_job(path))
        except Refusal as refusal:
            says = refusal_text(refusal).splitlines()
            rows = [row for text in says for row in wrapped(text, "  ", "  ", 76)]
            self.query_one("#message", Rows).show(lines(rows[:4], "stop"))

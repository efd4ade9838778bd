"""What the parts of a wizard may ask of it: to show, to say, to ask, to change the job."""

from collections.abc import Callable, Iterator
from typing import Any, Protocol, TypeVar

from textual.app import App
from textual.geometry import Size
from textual.screen import ModalScreen

from pelmet.model.job.job import Job
from pelmet.tui.session.session import Session

T = TypeVar("T")


class Host(Protocol):
    """The wizard, as its parts see it."""

    session: Session

    @property
    def app(self) -> App[Any]:
        """The program."""

    def plan_size(self) -> Size:
        """Give the size of the pane that shows the drawing; nothing in too small a window."""

    def load(self) -> None:
        """Show where one stands now, and put the cursor there."""

    def refresh_panes(self) -> None:
        """Show all panes as the job is now."""

    def say(self, message: str, role: str = "good") -> None:
        """Say something under the entry line."""

    def ask(self, dialog: ModalScreen[T], then: Callable[[T | None], None]) -> None:
        """Show a dialog, and go on with its answer."""

    def later(self, seconds: float, act: Callable[[], None]) -> None:
        """Do something a little later."""

    def beside(
        self, steps: Iterator[T], take: Callable[[T], bool], then: Callable[[], None]
    ) -> None:
        """Do work beside the event loop, as long as what its steps give is wanted; then go on."""

    def hold_keys(self, words: str, give_up: Callable[[], None]) -> None:
        """Say what keys wait for from now on, and what to do if Esc gives that up."""

    def let_keys_go(self) -> None:
        """Let the keys act that waited."""

    def filled_in(self) -> None:
        """Show what was worked out meanwhile; the entry line stays as it is."""

    def noted(self) -> None:
        """Show a job that was changed beneath what is being typed."""

    def changed(self, message: str = "") -> None:
        """Show a job that was changed, and say what was done."""

    def change(self, job: Job, message: str) -> None:
        """Change the job and say what was done, or why it is refused."""

    def show_form(self) -> None:
        """On a narrow screen, show the form in place of the drawing."""

    def swap_panes(self) -> bool:
        """On a narrow screen, swap form and drawing; false where both are shown."""

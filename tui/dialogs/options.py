"""The dialog of what else could be chosen: rows as they are tried, one of them taken."""

from textual.await_complete import AwaitComplete

from pelmet.model.edit.options import Option
from pelmet.model.told.words import wrapped
from pelmet.tui.dialogs.pickers import WIDTH, Picker
from pelmet.tui.panes.line import Line

_WIDEST = 32  # of the choices' column: a longer choice must not hide what the others give
_HINT = "* as it is now  Enter takes one  Esc closes"


class OptionsPicker(Picker):
    """What else could be chosen for a thing, while more is tried.

    One stays on the first row, which is the best, until one moves; then on the row one is on.

    ``closed`` says that nobody wants to know of more.
    """

    def __init__(self, about: str) -> None:
        super().__init__(
            f"Options for {about}", (), hint=f"{_HINT}  trying more", detail=self._told
        )
        self.options: tuple[Option, ...] = ()
        self.closed = False
        self._moved = False

    def close(self) -> None:
        """Want no more options."""
        self.closed = True

    def offer(self, options: tuple[Option, ...]) -> None:
        """List what is known by now, and stay on what one went to, wherever it is now."""
        here = self.options[self._at].choice if self._moved else None
        at = next((at for at, each in enumerate(options) if each.choice == here), 0)
        self.options = options
        wide = min(max((len(option.choice) for option in options), default=0), _WIDEST)
        rows = [
            Line(
                f"{'*' if option.taken else ' '} {option.choice:<{wide}}  {option.gives}",
                "plain" if option.job else "dim",
            )
            for option in options
        ]
        self.show_options(rows, at)

    def action_move(self, by: int) -> None:
        """Go up or down, to stay there."""
        self._moved = True
        super().action_move(by)

    def complete(self) -> None:
        """Say that these are all."""
        if not self.closed:
            self.say_keys(_HINT)

    def dismiss(self, result: int | None = None) -> AwaitComplete:
        """Close, whatever closes it."""
        self.close()
        return super().dismiss(result)

    def _told(self, at: int) -> list[str]:
        option = self.options[at]
        words = (option.choice, option.gives, *option.reasons)
        return [line for text in words for line in wrapped(text, rest="  ", width=WIDTH)]

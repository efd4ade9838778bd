"""Pick one of a few: left and right, or the option's first letters; Enter accepts."""

from typing import ClassVar

from rich.segment import Segment
from textual.binding import Binding, BindingType
from textual.strip import Strip
from textual.widget import Widget

NONE = "none"


class Chooser(Widget, can_focus=True):
    """One option out of several, always shown with how many there are."""

    ALLOW_SELECT = False
    COMPONENT_CLASSES: ClassVar[set[str]] = {"chooser--chosen", "chooser--other"}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("left", "turn(-1)", "Option before", show=False),
        Binding("right", "turn(1)", "Next option", show=False),
        Binding("space", "turn(1)", "Next option", show=False),
    ]

    def __init__(self, id: str | None = None) -> None:  # noqa: A002 - Textual's own name
        super().__init__(id=id)
        self._options: tuple[str, ...] = ()
        self._at = 0
        self._typed = ""

    @property
    def value(self) -> str:
        """The option that is picked now; "" when there is none."""
        return self._options[self._at] if self._options else ""

    def offer(self, options: tuple[str, ...], value: str) -> None:
        """Offer these options, this one picked."""
        self._options = options
        self._at = options.index(value) if value in options else 0
        self._typed = ""
        self.refresh()

    def action_turn(self, by: int) -> None:
        """Pick the option beside this one, round the ends."""
        if self._options:
            self._typed = ""
            self._pick((self._at + by) % len(self._options))

    def pick(self, letter: str) -> None:
        """Pick by first letters; the same letter again goes on to the next option it begins."""
        count = len(self._options)
        for typed in (self._typed + letter, letter):
            again = len(typed) == 1 and self._typed
            first = self._at + 1 if again else self._at
            for at in (each % count for each in range(first, first + count)):
                if (self._options[at] or NONE).casefold().startswith(typed.casefold()):
                    self._typed = typed
                    self._pick(at)
                    return

    def _pick(self, at: int) -> None:
        self._at = at
        self.refresh()

    def render_line(self, y: int) -> Strip:  # noqa: ARG002
        """Draw the options in a row, the picked one in brackets, as many as fit."""
        width = self.size.width
        chosen = self.get_component_rich_style("chooser--chosen")
        other = self.get_component_rich_style("chooser--other")
        if not self._options:
            return Strip([Segment("nothing to choose from yet", other)]).adjust_cell_length(width)
        count = f"  {self._at + 1}/{len(self._options)}"
        first, last = self._window(width - len(count))
        segments = []
        for at in range(first, last):
            name = self._options[at] or NONE
            picked = at == self._at
            segments.append(
                Segment(f"[{name}]" if picked else f" {name} ", chosen if picked else other)
            )
        segments.append(Segment(count, other))
        return Strip(segments).adjust_cell_length(width, self.rich_style)

    def _window(self, room: int) -> tuple[int, int]:
        """Give the options that fit around the picked one."""
        widths = [len(option or NONE) + 2 for option in self._options]
        first, last = self._at, self._at + 1
        used = widths[self._at]
        while True:
            if last < len(widths) and used + widths[last] <= room:
                used += widths[last]
                last += 1
            elif first > 0 and used + widths[first - 1] <= room:
                first -= 1
                used += widths[first]
            else:
                return first, last

"""A row of text with roles, which knows no screen."""

from collections.abc import Iterable
from typing import NamedTuple, Protocol, get_args
from unicodedata import category

from pelmet.model.told.drawings.drawing import Role

_UNSHOWABLE = frozenset({"Cc", "Cs", "Zl", "Zp"})
ROLES = ("plain", "current", "dim", "title", "good", "stop", "warn", "ask", *get_args(Role))


class Line(NamedTuple):
    """One row of text; ``spans`` give (start, end, role), the rest has the line's own role."""

    text: str
    role: str = "plain"
    spans: tuple[tuple[int, int, str], ...] = ()


class Lines(Protocol):
    """Rows of text that are looked at one by one."""

    def __len__(self) -> int:
        """How many there are."""

    def __getitem__(self, at: int, /) -> Line:
        """Give one."""


def lines(texts: Iterable[str], role: str = "plain") -> tuple[Line, ...]:
    """Make rows that all have one role."""
    return tuple(Line(text, role) for text in texts)


def showable(text: str) -> str:
    """Put ``?`` for what a terminal would obey or cannot show; the length stays."""
    if text.isprintable():
        return text
    return "".join("?" if category(letter) in _UNSHOWABLE else letter for letter in text)

"""Plain ASCII lines of at most 78 columns, whatever names they hold."""

from textwrap import wrap
from typing import Final

from pelmet.model.told.drawings.drawing import plain_ascii

WIDTH: Final = 78
CUT: Final = "~"

_KEPT_END: Final = 3  # ids differ at their ends, so a cut one keeps its last letters


def shortened(text: str, width: int) -> str:
    """Shorten to ``width`` columns with a ``~`` where letters are left out.

    >>> shortened("long-cabinet-12", 10)
    'long-c~-12'
    """
    if len(text) <= width:
        return text
    end = _KEPT_END if width > 2 * _KEPT_END else 0
    return text[: max(width - 1 - end, 0)] + CUT + text[len(text) - end :]


def wrapped(text: str, first: str = "", rest: str = "", width: int = WIDTH) -> tuple[str, ...]:
    """Break a text into ASCII lines; ``first`` and ``rest`` stand in front of them."""
    lines = wrap(
        plain_ascii(text),
        width,
        initial_indent=first,
        subsequent_indent=rest,
        break_on_hyphens=False,
    )
    return tuple(lines) or (first.rstrip(),)


def labelled(label: str, text: str, indent: int, width: int = WIDTH) -> tuple[str, ...]:
    """Set a text beside its label, further lines below it at ``indent``."""
    return wrapped(text, f"{label:<{indent}}", " " * indent, width)


def signed_words(day: str, by: str) -> str:
    """Say on which day and by whom something was done, as far as that was noted.

    >>> signed_words("2027-03-01", "Ann"), signed_words("", "Ann")
    ('on 2027-03-01 by Ann', 'by Ann')
    """
    return " ".join([*([f"on {day}"] if day else []), *([f"by {by}"] if by else [])])

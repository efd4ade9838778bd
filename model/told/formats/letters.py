"""Letters that would hide, or turn others round, made visible; and the room that letters take."""

import re
from typing import Final
from unicodedata import bidirectional, category, combining, east_asian_width

MARK: Final = "\N{REPLACEMENT CHARACTER}"

_LINE_ENDS: Final = re.compile("\r\n?|[\u2028\u2029]")
_HIDDEN: Final = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f"  # controls but the tab and the line feed
    "\u202a-\u202e\u2066-\u2069"  # what turns the letters after it round (UAX #9)
    "\ud800-\udfff\ufffe\uffff]"  # no letters at all: XML and UTF-8 refuse them
)
_NO_ROOM: Final = ("Mn", "Me", "Cf")
_TWO_COLUMNS: Final = ("W", "F")  # Unicode Standard Annex #11, East Asian Width
_TO_THE_LEFT: Final = ("R", "AL", "AN")  # Unicode Standard Annex #9, bidirectional classes


def visible(text: str, mark: str = MARK) -> str:
    """Put ``mark`` for every control character and every one that turns letters round.

    Tabs stay, and every kind of line end becomes a line feed.

    >>> visible("a\\x1b[2Jb\\r\\nc", "?")
    'a?[2Jb\\nc'
    """
    return _HIDDEN.sub(mark, _LINE_ENDS.sub("\n", text))


def columns_of(text: str) -> int:
    """Count the columns that a text takes in letters of one width."""
    return len(text) if text.isascii() else sum(map(_columns, text))


def runs_left(text: str) -> bool:
    """Say if a text has letters that are read from right to left."""
    return not text.isascii() and any(bidirectional(char) in _TO_THE_LEFT for char in text)


def _columns(char: str) -> int:
    if combining(char) or category(char) in _NO_ROOM:
        return 0
    return 2 if east_asian_width(char) in _TWO_COLUMNS else 1

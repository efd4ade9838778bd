"""What bars and their pieces are called on papers: the run, a dot, the bar's number, a letter."""

import re
from typing import Final

SPARE: Final = "spare"  # a piece of strip that stays with the client
SPOILT: Final = "spoilt"  # a piece that came to nothing
_BAR: Final = re.compile(r"(?P<run>.+)\.(?P<bar>[0-9]{1,6})[a-z]*")


def bar_of(name: str) -> tuple[str, int]:
    """Give the run and the number of the bar that a piece is of; ``("", 0)`` if it is of none.

    >>> bar_of("R1.2b"), bar_of("spare")
    (('R1', 2), ('', 0))
    """
    found = _BAR.fullmatch(name)
    return (found["run"], int(found["bar"])) if found else ("", 0)

"""What bars and their pieces are called on papers: the run, a dot, the bar's number, a letter.

A cable is called by its leg and its number alike, one from bar to bar by both: ``R1.1-2``.
"""

import re
from collections.abc import Mapping
from typing import Final

SPARE: Final = "spare"  # a piece of strip that stays with the client
SPOILT: Final = "spoilt"  # a piece that came to nothing
_BAR: Final = re.compile(r"(?P<run>.+)\.(?P<bar>[0-9]{1,6})[a-z]*")
_OF: Final = re.compile(r"(?P<of>.+)(?P<own>\.[0-9]{1,6}[a-z]*(-[0-9]{1,6})?)")


def bar_of(name: str) -> tuple[str, int]:
    """Give the run and the number of the bar that a piece is of; ``("", 0)`` if it is of none.

    >>> bar_of("R1.2b"), bar_of("spare")
    (('R1', 2), ('', 0))
    """
    found = _BAR.fullmatch(name)
    return (found["run"], int(found["bar"])) if found else ("", 0)


def with_new_ids(name: str, new: Mapping[str, str]) -> str:
    """Give the name of a bar, a piece or a cable when its run or its leg is called otherwise.

    >>> [with_new_ids(name, {"R9": "R12"}) for name in ("R9.1a", "R9.1-2", "R90.1", "spare")]
    ['R12.1a', 'R12.1-2', 'R90.1', 'spare']
    """
    found = _OF.fullmatch(name)
    return f"{new.get(found['of'], found['of'])}{found['own']}" if found else name

"""What is wrong with a file: each fault with its place, what stands there, and what to do."""

from collections.abc import Iterable
from datetime import date, time
from decimal import Decimal
from os import PathLike, fspath
from typing import Any, NamedTuple

SHOWN_FAULTS = 50
SHOWN_CHARACTERS = 60
_LONGEST_INTEGER = 10**4000  # Python refuses to print integers of more than 4300 digits


class Fault(NamedTuple):
    """One thing wrong: its line, its path in words, what was found and what to do."""

    line: int | None
    where: str
    found: str
    says: str


class FileError(Exception):
    """A file that cannot be taken, with all that is wrong with it.

    ``faults`` holds the first ``SHOWN_FAULTS``; ``more`` counts the others.
    """

    def __init__(self, path: str | PathLike[str], faults: Iterable[Fault], more: int = 0) -> None:
        self.path = fspath(path)
        self.faults = tuple(faults)
        self.more = more
        super().__init__(self.path, self.faults, more)

    def __str__(self) -> str:
        name = escaped(self.path, limit=200)
        lines = [_line(name, fault) for fault in self.faults]
        if self.more:
            lines.append(f"{name}: and {self.more} more")
        return "\n".join(lines)


def _line(name: str, fault: Fault) -> str:
    place = name if fault.line is None else f"{name}:{fault.line}"
    return ": ".join(part for part in (place, fault.where, fault.found, fault.says) if part)


def escaped(text: str, limit: int = SHOWN_CHARACTERS) -> str:
    r"""Cut to ``limit`` characters, with all that a terminal might obey spelt out.

    >>> escaped("red \x1b[31m")
    'red \\x1b[31m'
    """
    shown = "".join(
        letter if letter.isprintable() else letter.encode("unicode_escape").decode("ascii")
        for letter in text[:limit]
    )
    return shown if len(text) <= limit else shown + "..."


def shown(value: Any) -> str:
    """Show a value that was found in a TOML file, on one short line."""
    match value:
        case None:
            return ""
        case bool():
            return "true" if value else "false"
        case str():
            return f'"{escaped(value)}"'
        case int() if abs(value) >= _LONGEST_INTEGER:
            return "a number of thousands of digits"
        case int() | Decimal() | date() | time():
            return escaped(str(value).lower())
        case dict():
            return "a table"
        case list() | tuple():
            return f"a list of {len(value)}"
    return f"a {type(value).__name__}"

"""What is wrong with a file: each fault with its place, what stands there, and what to do."""

from collections.abc import Iterable
from datetime import date, time
from decimal import Decimal
from os import PathLike, fspath
from typing import Any, NamedTuple

from pelmet.model.refusal import SHOWN_PATH, Refusal, escaped, joined

SHOWN_FAULTS = 50
_LONGEST_INTEGER = 10**4000  # Python refuses to print integers of more than 4300 digits


class Fault(NamedTuple):
    """One thing wrong: its line, its path in words, what was found, why not, and what to do."""

    line: int | None
    where: str
    found: str
    reason: str
    remedy: str = ""

    @property
    def says(self) -> str:
        """Reason and remedy as they are told."""
        return joined(self.reason, self.remedy)


class FileError(Refusal):
    """A file that cannot be taken, with all that is wrong with it.

    ``faults`` holds the first ``SHOWN_FAULTS``; ``more`` counts the others. Reason, place and
    remedy are those of the first.
    """

    def __init__(self, path: str | PathLike[str], faults: Iterable[Fault], more: int = 0) -> None:
        self.path = fspath(path)
        self.faults = tuple(faults)
        self.more = more
        first = self.faults[0]
        super().__init__(first.reason, _place(self.path, first), first.remedy)

    def __str__(self) -> str:
        lines = [f"{_place(self.path, fault)}: {fault.says}" for fault in self.faults]
        if self.more:
            lines.append(f"{escaped(self.path, SHOWN_PATH)}: and {self.more} more")
        return "\n".join(lines)


def _place(path: str, fault: Fault) -> str:
    name = escaped(path, SHOWN_PATH)
    place = name if fault.line is None else f"{name}:{fault.line}"
    return ": ".join(part for part in (place, fault.where, fault.found) if part)


def value_on_a_line(value: Any) -> str:
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

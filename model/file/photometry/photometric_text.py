"""Walking through a photometric file: its lines and numbers in turn, or a refusal with the line."""

import re
from typing import Final, NoReturn

from pelmet.model.file.toml.faults import Fault, FileError
from pelmet.model.refusal import escaped

# Half a degree from plane to plane and from angle to angle: finer than laboratories measure.
MOST_PLANES: Final = 721
MOST_ANGLES: Final = 361

LARGEST: Final = 1e9
"""Largest number of any field: far above what any lamp gives, far below what overflows."""
LEAST_STEP: Final = 0.01
"""Least from one angle of a list to the next. [°]"""

_LEVEL: Final = 90.0
_UP: Final = 180.0
_LINES = re.compile(r"\r\n|\n|\r")
# Not left to float(), which takes "nan", "1_000" and the digits of other scripts too.
_NUMBER = re.compile(r"[+-]?(?:[0-9]{1,30}\.?[0-9]{0,30}|\.[0-9]{1,30})(?:[eE][+-]?[0-9]{1,3})?")
_DOS_END = "\x1a"


class Walk:
    """The place reached in a file, and what stands next.

    ``comma`` says that a comma is the mark of decimals, not a gap between two numbers.
    """

    def __init__(self, text: str, name: str, *, comma: bool) -> None:
        self.name = name
        self.lines = lines_of(text)
        self.comma = comma
        self.line = 0
        """Number of the line last read from, 1 for the first."""
        self._waiting: list[str] = []

    @property
    def has_more(self) -> bool:
        """Say if there are lines after this one."""
        return self.line < len(self.lines)

    def next_line(self, where: str) -> str:
        """Give the next whole line, stripped."""
        if not self.has_more:
            self.line = len(self.lines)
            self.refuse(where, "", "the file ends before it")
        self.line += 1
        return self.lines[self.line - 1].strip()

    def skip_lines(self, count: int, where: str) -> None:
        """Pass over lines that say nothing we need."""
        for _ in range(count):
            self.next_line(where)

    def field(self, where: str, least: float, most: float = LARGEST) -> float:
        """Give the number that has the next line to itself."""
        return self._checked(self.next_line(where), where, least, most)

    def open_field(self, where: str, empty: float) -> float:
        """Give the number that has the next line to itself, or ``empty`` from an empty one."""
        line = self.next_line(where)
        return self._checked(line, where, -LARGEST, LARGEST) if line else empty

    def count_field(self, where: str, least: int, most: int) -> int:
        """Give the whole number that has the next line to itself."""
        return self._whole(self.field(where, least, most), where, least, most)

    def number(self, where: str, least: float, most: float = LARGEST) -> float:
        """Give the next number, on this line or on one below."""
        while not self._waiting:
            line = self.next_line(where)
            self._waiting = (line if self.comma else line.replace(",", " ")).split()[::-1]
        return self._checked(self._waiting.pop(), where, least, most)

    def count(self, where: str, least: int, most: int) -> int:
        """Give the next number, which is whole."""
        return self._whole(self.number(where, least, most), where, least, most)

    def numbers(self, count: int, where: str, least: float, most: float = LARGEST) -> list[float]:
        """Give the next numbers."""
        return [self.number(where, least, most) for _ in range(count)]

    def angles(self, count: int, where: str, firsts: tuple[float, ...], most: float) -> list[float]:
        """Give the next numbers, which are angles, each larger than the one before. [°]"""
        found: list[float] = []
        for _ in range(count):
            angle = self.number(where, 0, most)
            if not found and angle not in firsts:
                says = f"{' or '.join(f'{first:g}' for first in firsts)} is wanted for the first"
                self.refuse(where, f"{angle:g}", says)
            if found and angle < found[-1] + LEAST_STEP:
                says = f"at least {LEAST_STEP:g} more than the {found[-1]:g} before is wanted"
                self.refuse(where, f"{angle:g}", says)
            found.append(angle)
        return found

    def gammas(self, count: int) -> list[float]:
        """Give the next numbers, which are angles from straight down. [°]"""
        found = self.angles(count, "angle from straight down", (0.0,), _UP)
        if found[-1] not in {_LEVEL, _UP}:
            says = f"{_LEVEL:g} or {_UP:g} is wanted for the last"
            self.refuse("angle from straight down", f"{found[-1]:g}", says)
        return found

    def end(self) -> None:
        """Refuse what stands after the last number."""
        while not self._waiting and self.has_more:
            self._waiting = self.next_line("").split()[::-1]
        if self._waiting:
            says = "the file was to end before this; a count at its top may be wrong"
            self.refuse("", shown_text(self._waiting[-1]), says)

    def refuse(self, where: str, found: str, says: str, line: int | None = None) -> NoReturn:
        """Refuse the file for what stands on this line, or on another."""
        raise FileError(self.name, [Fault(line or max(self.line, 1), where, found, says)])

    def _checked(self, text: str, where: str, least: float, most: float) -> float:
        plain = text.replace(",", ".") if self.comma else text
        if not _NUMBER.fullmatch(plain):
            self.refuse(where, shown_text(text), "a number is wanted here")
        number = float(plain)
        if not least <= number <= most:
            self.refuse(where, shown_text(text), f"a number {span(least, most)} is wanted")
        return number

    def _whole(self, number: float, where: str, least: int, most: int) -> int:
        if number != int(number):
            self.refuse(where, f"{number:g}", f"a whole number {span(least, most)} is wanted")
        return int(number)


def lines_of(text: str) -> list[str]:
    """Give the lines of a file, one at least, without what may stand before and after them."""
    return _LINES.split(text.removeprefix("\ufeff").rstrip(_DOS_END + " \t\r\n"))


def span(least: float, most: float) -> str:
    """Give a range in words.

    >>> span(0, 1e9)
    'from 0 to 1e+09'
    """
    return f"from {least:g} to {most:g}"


def shown_text(text: str) -> str:
    """Show what was found, on one short line."""
    return f'"{escaped(text)}"'

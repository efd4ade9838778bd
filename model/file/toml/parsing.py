"""From the bytes of a file to TOML tables, with every refusal worded and placed."""

import re
import tomllib
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any, NoReturn

from pelmet.model.file.disk.oswords import os_words
from pelmet.model.file.toml.faults import Fault, FileError
from pelmet.model.file.toml.lines import DEEPEST_KEY, scan
from pelmet.model.refusal import escaped

BIGGEST_MIB = 5
BIGGEST_BYTES = BIGGEST_MIB * 1024 * 1024

_UTF8_MARK = b"\xef\xbb\xbf"
_UTF16_MARKS = (b"\xff\xfe", b"\xfe\xff")
_PLACE = re.compile(r"\s*\(at (?:line (\d+), column (\d+)|end of document)\)$")
_LONG_INTEGER = re.compile(r"[0-9](?:_?[0-9]){4300}")
_SHOWN_REASON = 160


def read_bytes(path: Path) -> bytes:
    """Read a file that is a plain file and not too big; ``FileError`` says why not."""
    try:
        status = path.stat()
        if path.is_dir():
            _refuse(path, None, "", "this is a folder", "name a file in it")
        if not path.is_file():  # reading a pipe or a device could wait for ever
            _refuse(path, None, "", "this is not a file that can be read as a job")
        if status.st_size > BIGGEST_BYTES:
            _refuse_size(path, status.st_size)
        with path.open("rb") as file:
            data = file.read(BIGGEST_BYTES + 1)
    except (OSError, ValueError) as error:
        reason, remedy = os_words(error)
        _refuse(path, None, "", f"it cannot be read: {reason}", remedy)
    if len(data) > BIGGEST_BYTES:
        _refuse_size(path, len(data))
    return data


def decode(data: bytes, name: str | Path) -> str:
    """Give the text of a file's bytes, which are UTF-8, with or without a mark that says so."""
    if len(data) > BIGGEST_BYTES:
        _refuse_size(name, len(data))
    if data.startswith(_UTF16_MARKS):
        _refuse(name, 1, "", "this text is UTF-16", "save it again as UTF-8")
    try:
        return data.removeprefix(_UTF8_MARK).decode("utf-8")
    except UnicodeDecodeError as error:
        offset = error.start + (len(_UTF8_MARK) if data.startswith(_UTF8_MARK) else 0)
        line = data.count(b"\n", 0, offset) + 1
        found = f"byte {offset}, 0x{data[offset]:02x}"
        _refuse(name, line, found, "this is not UTF-8 text", "save the file again as UTF-8")


def parse(text: str, name: str | Path) -> dict[str, Any]:
    """Read TOML, its decimals exactly; numbers beyond all reckoning become infinite."""
    _refuse_deep_keys(text, name)
    try:
        return tomllib.loads(text, parse_float=_exact)
    except tomllib.TOMLDecodeError as error:
        reason = str(error)
        place = _PLACE.search(reason)
        line, column = place.groups() if place else (None, None)
        last = text.count("\n", 0, len(text.rstrip())) + 1
        says = f"this is not TOML: {escaped(_PLACE.sub('', reason), _SHOWN_REASON)}"
        _refuse(name, int(line) if line else last, f"column {column}" if column else "", says)
    except RecursionError:
        _refuse(name, None, "", "lists or tables stand too deep inside each other")
    except ValueError:  # Python refuses to read an integer of more than 4300 digits
        long = _LONG_INTEGER.search(text)
        place_of = text.count("\n", 0, long.start()) + 1 if long else None
        _refuse(name, place_of, "a number of thousands of digits", "no number here is that long")


def _exact(number: str) -> Decimal:
    try:
        return Decimal(number)
    except InvalidOperation:  # an exponent beyond what Decimal holds
        return Decimal("Infinity")


def _refuse_deep_keys(text: str, name: str | Path) -> None:
    # tomllib takes the square of a key's parts: a stranger's a.a.a.a... could stop the program.
    if any(line.count(".") >= DEEPEST_KEY for line in text.split("\n")):
        deep = scan(text).deep_key
        if deep is not None:
            _refuse(name, deep, "", f"a key here has more than {DEEPEST_KEY} parts")


def _refuse_size(name: str | Path, size: int) -> NoReturn:
    remedy = f"at most {BIGGEST_MIB} MiB are read"
    _refuse(name, None, f"{size} bytes", "too big for a job", remedy)


def _refuse(
    name: str | Path, line: int | None, found: str, says: str, remedy: str = ""
) -> NoReturn:
    raise FileError(name, [Fault(line, "", found, says, remedy)])

"""Where in a TOML text each key stands, and its comments: one pass, in time linear in the text."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import NamedTuple

Path = tuple[str | int, ...]

DEEPEST_KEY = 16  # parts; far more than any file of ours has
_KEPT_PARTS = 8
_KEPT_ITEMS = 1000  # of one array; the line of the key serves for the rest

# A string that is never closed runs to the end of its line, or of the text if it may hold lines,
# so that no character is looked at twice.
_TOKEN = re.compile(
    r"""
    (?P<newline> \n )
  | (?P<space> [ \t\r]++ )
  | (?P<comment> \# [^\n]*+ )
  | (?P<string>
        \"{3} (?: [^"\\]++ | \\ [\s\S]? | "(?!"") )*+ (?: "{3,5} | \Z )
      | '{3} (?: [^']++ | '(?!'') )*+ (?: '{3,5} | \Z )
      | " (?: [^"\\\n]++ | \\ [^\n] )*+ "?
      | ' [^'\n]*+ '?
    )
  | (?P<bare> [A-Za-z0-9_+:-]++ )
  | (?P<mark> [\s\S] )
    """,
    re.VERBOSE,
)
_ESCAPE = re.compile(r"\\(?:u([0-9a-fA-F]{4})|U([0-9a-fA-F]{8})|([\s\S]))")
_SHORT_ESCAPES = {"b": "\b", "t": "\t", "n": "\n", "f": "\f", "r": "\r"}


class Scan(NamedTuple):
    """The lines of a TOML text: of each key, of each comment, of the first over-long key."""

    keys: Mapping[Path, int]
    comments: tuple[tuple[int, str], ...]
    deep_key: int | None


@dataclass
class _Reader:
    """What one pass over the tokens has gathered so far."""

    keys: dict[Path, int] = field(default_factory=dict)
    comments: list[tuple[int, str]] = field(default_factory=list)
    deep_key: int | None = None
    table: Path = ()  # the table the statements now belong to
    last: dict[Path, int] = field(default_factory=dict)  # of each [[array]], its latest item
    parts: list[str] = field(default_factory=list)  # of the key being read
    brackets: int = 0  # that opened the header being read
    at: Path | None = None  # of the value being read; none while a key is read
    # The arrays and inline tables around the value: the path of each, and its item's number.
    inside: list[tuple[Path, int | None]] = field(default_factory=list)


def find_lines(text: str) -> Mapping[Path, int]:
    """Give the line, from 1, of each key path in a TOML text; it never raises.

    Items of ``[[arrays]]`` and of arrays are numbered from 0. For a text that is not TOML the
    lines hold up to the first mistake.
    """
    return scan(text).keys


def scan(text: str) -> Scan:
    """Read the places of keys and comments in one pass; it never raises."""
    reader = _Reader()
    for kind, piece, line in _tokens(text):
        if kind == "comment":
            reader.comments.append((line, piece[1:].strip()))
        elif kind == "newline":
            _newline(reader)
        elif reader.at is None:
            _key_token(reader, kind, piece, line)
        else:
            _value_token(reader, reader.at, kind, piece, line)
    return Scan(reader.keys, tuple(reader.comments), reader.deep_key)


def _tokens(text: str) -> Iterator[tuple[str, str, int]]:
    line = 1
    for match in _TOKEN.finditer(text):
        kind = match.lastgroup or ""
        if kind != "space":
            yield kind, match.group(), line
        if kind in ("newline", "string"):
            line += match.group().count("\n")


def _newline(reader: _Reader) -> None:
    if not reader.inside:
        reader.at = None
        reader.parts.clear()
        reader.brackets = 0


def _key_token(reader: _Reader, kind: str, piece: str, line: int) -> None:
    if kind in ("bare", "string"):
        reader.parts.append(_key_part(kind, piece))
        if len(reader.parts) > DEEPEST_KEY and reader.deep_key is None:
            reader.deep_key = line
    elif piece == "[" and not reader.parts:
        reader.brackets += 1
    elif piece == "]" and reader.brackets:
        _header(reader, line)
    elif piece == "=":
        base = reader.inside[-1][0] if reader.inside else reader.table
        reader.at = _longer(base, *reader.parts)
        _note(reader, base, tuple(reader.parts), line)
        reader.parts.clear()
    elif piece == "}" and reader.inside:
        _close(reader)


def _header(reader: _Reader, line: int) -> None:
    path: Path = ()
    for place, part in enumerate(reader.parts[:_KEPT_PARTS], start=1):
        path = (*path, part)
        if reader.brackets > 1 and place == len(reader.parts):
            reader.keys.setdefault(path, line)
            reader.last[path] = reader.last.get(path, -1) + 1
        if path in reader.last:
            path = (*path, reader.last[path])
        reader.keys.setdefault(path, line)
    reader.table = path
    reader.parts.clear()
    reader.at = path  # whatever follows on this line is no key


def _value_token(reader: _Reader, at: Path, kind: str, piece: str, line: int) -> None:
    if reader.inside and kind == "mark" and piece in "]}":
        _close(reader)
        return
    if reader.inside and piece == ",":
        around, item = reader.inside[-1]
        if item is None:
            reader.at = None  # the next key of an inline table
        else:
            reader.inside[-1] = (around, item + 1)
            reader.at = _longer(around, item + 1) if item + 1 < _KEPT_ITEMS else around
        return
    if reader.inside and reader.inside[-1][1] is not None:
        reader.keys.setdefault(at, line)
    if piece == "[":
        reader.inside.append((at, 0))
        reader.at = _longer(at, 0)
    elif piece == "{":
        reader.inside.append((at, None))
        reader.at = None
        reader.parts.clear()


def _close(reader: _Reader) -> None:
    reader.at, _ = reader.inside.pop()
    reader.parts.clear()


def _longer(path: Path, *parts: str | int) -> Path:
    """Add parts to a path, up to the length that is kept."""
    return path + parts[: max(0, _KEPT_PARTS - len(path))]


def _note(reader: _Reader, base: Path, parts: tuple[str, ...], line: int) -> None:
    for length in range(1, min(len(parts), _KEPT_PARTS) + 1):
        reader.keys.setdefault(_longer(base, *parts[:length]), line)


def _key_part(kind: str, piece: str) -> str:
    if kind == "bare":
        return piece
    quotes = 3 if piece.startswith(('"""', "'''")) and len(piece) > 3 else 1
    inner = piece[quotes : -quotes if len(piece) > quotes else None]
    return _ESCAPE.sub(_unescape, inner) if piece[0] == '"' else inner


def _unescape(match: re.Match[str]) -> str:
    short, long, other = match.groups()
    if other:
        return _SHORT_ESCAPES.get(other, other)
    code = int(short or long, 16)
    return chr(code) if code <= 0x10FFFF else ""

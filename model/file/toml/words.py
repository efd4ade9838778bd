"""What pydantic found wrong, in the words of the file: its path, and what to write instead."""

import re
from collections.abc import Callable, Mapping
from typing import Any, get_args

from pydantic import BaseModel
from pydantic_core import ErrorDetails, core_schema

from pelmet.model.file.toml.faults import value_on_a_line
from pelmet.model.file.toml.shape import file_keys, is_list, model_at
from pelmet.model.job.references import Path, nearest
from pelmet.model.job.region_words import words_of
from pelmet.model.refusal import SHOWN_CHARACTERS, escaped

_LONGEST_REASON = 300
_MOST_KEYS = 40  # more than these make a line that nobody reads
_STOCK = frozenset(get_args(core_schema.ErrorType))
_QUOTED = re.compile(r"'([^']*)'")

Words = tuple[str, str]
"""What is wrong, and what to write instead if that is not said yet."""

_SAYS: Mapping[str, Callable[[dict[str, Any]], Words]] = {
    "string_type": lambda _: ('text is wanted here, between quotes: "..."', ""),
    "string_too_short": lambda ctx: ("too short", f"at least {_letters(ctx['min_length'])}"),
    "string_too_long": lambda ctx: ("too long", f"at most {_letters(ctx['max_length'])}"),
    "string_pattern_mismatch": lambda _: (
        "an id starts with a letter, and has up to 24 of A-Z, a-z, 0-9, dot, dash and underscore",
        "",
    ),
    "int_type": lambda _: ("a whole number is wanted here", ""),
    "greater_than_equal": lambda ctx: ("too small", f"at least {ctx['ge']}"),
    "less_than_equal": lambda ctx: ("too big", f"at most {ctx['le']}"),
    "bool_type": lambda _: ("true or false is wanted here", ""),
    "too_short": lambda ctx: ("too few", f"at least {ctx['min_length']}"),
    "too_long": lambda ctx: ("too many", f"at most {ctx['max_length']}"),
}


def path_in_words(raw: Any, path: Path) -> str:
    """Say a path in words: ``cabinet A1, opening 2``; by number, from 1, where there is no id."""
    words: list[str] = []
    here = raw
    for part in path:
        if isinstance(part, int):
            here = here[part] if isinstance(here, list) and part < len(here) else None
            own = here.get("id") if isinstance(here, dict) else None
            number = escaped(own, 24) if isinstance(own, str) and own else str(part + 1)
            words[-1:] = [" ".join([*words[-1:], number])]
        else:
            here = here.get(part) if isinstance(here, dict) else None
            words.append(escaped(part))
    return ", ".join(words)


def found_text(root: type[BaseModel], error: ErrorDetails) -> str:
    """Show what stands there, unless nothing does or the fault is of a block as a whole."""
    whole = error["type"] not in _STOCK and model_at(root, error["loc"]) is not None
    return "" if whole or error["type"] == "missing" else value_on_a_line(error["input"])


def says(root: type[BaseModel], error: ErrorDetails) -> Words:
    """Say why pydantic refused something, and what to write in its place."""
    kind, ctx, path = error["type"], error.get("ctx", {}), error["loc"]
    if kind not in _STOCK:  # our own types bring their own words
        return escaped(error["msg"], _LONGEST_REASON), ""
    match kind:
        case "literal_error":
            return _choice(ctx["expected"], error["input"]), ""
        case "extra_forbidden":
            return _unknown_key(root, path)
        case "missing":
            return _missing(root, path)
        case "model_type" | "tuple_type":
            return _wrong_shape(root, path), ""
    return _SAYS[kind](ctx) if kind in _SAYS else ("this cannot stand here", "")


def _letters(number: int) -> str:
    return "1 letter" if number == 1 else f"{number} letters"


def _choice(expected: str, found: Any) -> str:
    """``expected`` is pydantic's list of the choices: 'left' or 'right'."""
    near = ""
    if isinstance(found, str):
        near = nearest(found[:SHOWN_CHARACTERS].lower(), _QUOTED.findall(expected))
    return "use " + expected.replace("'", '"') + near


def _unknown_key(root: type[BaseModel], path: Path) -> Words:
    model = model_at(root, path[:-1])
    known = file_keys(model) if model else {}
    near = nearest(str(path[-1])[:SHOWN_CHARACTERS], known)
    more = len(known) - _MOST_KEYS
    some = f" and {more} more, which pelmet schema tells" if more > 0 else ""
    shown = ", ".join(list(known)[:_MOST_KEYS])
    return f"there is no such key here{near}", f"the keys here are {shown}{some}"


def _missing(root: type[BaseModel], path: Path) -> Words:
    key, model = str(path[-1]), model_at(root, path[:-1])
    meaning = model.model_fields[file_keys(model)[key]].description if model else None
    meaning = words_of("eu").said(meaning) if meaning else None
    return "this is missing", f'add a line "{key} = ..."' + (f": {meaning}" if meaning else "")


def _wrong_shape(root: type[BaseModel], path: Path) -> str:
    header = ".".join(part for part in path if isinstance(part, str))
    if model_at(root, path) is None:
        return "a list is wanted here: [..., ...]"
    *around, key = path
    outer = model_at(root, tuple(around))
    if isinstance(key, int) or (outer and is_list(outer, key)):
        return f"each one is a block of its own, under the line [[{header}]]"
    return f"this is a block, under the line [{header}]"

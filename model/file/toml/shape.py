"""The shape of a file: which keys a table has, in which order, and which model stands where."""

from collections.abc import Mapping
from functools import cache
from typing import Any, get_args, get_origin

from pydantic import BaseModel

from pelmet.model.job.references import Path

_LAST = ("assumed", "measured_by", "note")  # what is said about the other keys follows them


@cache
def file_keys(model: type[BaseModel]) -> Mapping[str, str]:
    """Give the keys of a table as a file has them, in file order, each with its field's name."""
    keys = {field.alias or name: name for name, field in model.model_fields.items()}
    last = {key: keys.pop(key) for key in _LAST if key in keys}
    return keys | last


@cache
def tables_in(model: type[BaseModel]) -> Mapping[str, type[BaseModel]]:
    """Give the keys under which a table, or a list of tables, stands, each with its model."""
    found = {}
    for key, name in file_keys(model).items():
        annotation: Any = model.model_fields[name].annotation
        inner = get_args(annotation)[0] if get_origin(annotation) is tuple else annotation
        if isinstance(inner, type) and issubclass(inner, BaseModel):
            found[key] = inner
    return found


def model_at(root: type[BaseModel], path: Path) -> type[BaseModel] | None:
    """Give the model of the table, or of each table in the list, at a path; none for a value."""
    model: type[BaseModel] | None = root
    for part in path:
        if isinstance(part, str):
            model = tables_in(model).get(part) if model else None
    return model


def is_list(model: type[BaseModel], key: str) -> bool:
    """Tell whether a list stands under a key of a table."""
    return get_origin(model.model_fields[file_keys(model)[key]].annotation) is tuple


def most_of(model: type[BaseModel], field: str) -> int | None:
    """Give how many letters or things a field may hold, where that is limited."""
    rules = model.model_fields[field].metadata
    return next((rule.max_length for rule in rules if hasattr(rule, "max_length")), None)

"""A job as TOML text: one block per thing, in fixed order, only what differs from the defaults.

The block headers are written here, for tomli-w writes a list of short tables inline and turns
it into blocks once one grows past 100 columns: one longer note would change every line.
A list of values stands on one line, for readings and ids are read across, as they were taken,
and one changed reading is one changed line. A note with line breaks keeps its lines.
"""

from typing import Any

import tomli_w
from pydantic import BaseModel

from pelmet.model.file.toml.shape import file_keys, tables_in
from pelmet.model.job.job import Job
from pelmet.model.job.offcut_store import Store


def job_text(job: Job) -> str:
    """Write a job as TOML; equal jobs give equal text, and it reads back as an equal job."""
    return _text(job, job.schema_version)


def store_text(store: Store) -> str:
    """Write a store of off-cuts as TOML, in the same way."""
    return _text(store, store.schema_version)


def _text(whole: BaseModel, schema: int) -> str:
    said = whole.model_dump(by_alias=True, exclude_defaults=True, exclude_none=True)
    return "\n".join(_blocks(type(whole), {**said, "schema": schema}, ()))


def _blocks(
    model: type[BaseModel], said: dict[str, Any], path: tuple[str, ...], header: str = ""
) -> list[str]:
    """Write a table: the block of its own values, then the blocks of the tables in it."""
    values, tables = "", []
    for key in file_keys(model):
        if key not in said:
            continue
        below, inner = (*path, key), tables_in(model).get(key)
        if inner is None:
            values += f"{key} = {_value(said[key])}\n"
        elif isinstance(said[key], dict):
            tables += _blocks(inner, said[key], below, f"[{'.'.join(below)}]\n")
        else:
            for item in said[key]:
                tables += _blocks(inner, item, below, f"[[{'.'.join(below)}]]\n")
    return [header + values, *tables] if values else tables


def _value(value: Any) -> str:
    if isinstance(value, list | tuple):
        return f"[{', '.join(_value(one) for one in value)}]"
    return tomli_w.dumps({"x": value}, multiline_strings=True).removeprefix("x = ").rstrip("\n")

"""A job as TOML text: one block per thing, in fixed order, only what differs from the defaults.

The block headers are written here, for tomli-w writes a list of short tables inline and turns
it into blocks once one grows past 100 columns: one longer note would change every line.
A list of values stands on one line, for readings and ids are read across, as they were taken,
and one changed reading is one changed line. A note with line breaks keeps its lines.
"""

from collections.abc import Mapping
from typing import Any, Final

import tomli_w
from pydantic import BaseModel

from pelmet.model.file.toml.shape import file_keys, tables_in
from pelmet.model.job.job import Job
from pelmet.model.job.offcut_store import Store
from pelmet.model.remembered import Remembered

_KEPT: Final = 200  # blocks besides those written last


def job_text(job: Job) -> str:
    """Write a job as TOML; equal jobs give equal text, and it reads back as an equal job."""
    return _text(job, job.schema_version)


def store_text(store: Store) -> str:
    """Write a store of off-cuts as TOML, in the same way."""
    return _text(store, store.schema_version)


def _text(whole: BaseModel, schema: int) -> str:
    blocks = _blocks(whole, (), "", {"schema": schema})
    _block.keep(len(blocks) + _KEPT)
    return "\n".join(blocks)


def _blocks(
    thing: BaseModel, path: tuple[str, ...], header: str, besides: Mapping[str, Any]
) -> list[str]:
    """Write a table: the block of its own values, then the blocks of the tables in it."""
    model = type(thing)
    if not tables_in(model):
        own = _block(thing, header)
        return [own] if own else []
    names, tables = file_keys(model), []
    for key in tables_in(model):
        below, inner = (*path, key), getattr(thing, names[key])
        if isinstance(inner, tuple):
            for each in inner:
                tables += _blocks(each, below, f"[[{'.'.join(below)}]]\n", {})
        elif inner is not None:
            tables += _blocks(inner, below, f"[{'.'.join(below)}]\n", {})
    values = _values(thing, besides)
    return [header + values, *tables] if values else tables


def _block_of(thing: BaseModel, header: str) -> str:
    values = _values(thing, {})
    return header + values if values else ""


_block = Remembered(_block_of)  # a job is written again and again, and little of it changes


def _values(thing: BaseModel, besides: Mapping[str, Any]) -> str:
    model = type(thing)
    names = file_keys(model)
    said = thing.model_dump(
        by_alias=True,
        exclude_defaults=True,
        exclude_none=True,
        exclude={names[key] for key in tables_in(model)},
    )
    own = {**said, **besides}
    return "".join(f"{key} = {_value(own[key])}\n" for key in names if key in own)


def _value(value: Any) -> str:
    if isinstance(value, list | tuple):
        return f"[{', '.join(_value(one) for one in value)}]"
    return tomli_w.dumps({"x": value}, multiline_strings=True).removeprefix("x = ").rstrip("\n")

"""Jobs as they would be if all of them had been read off a tape in inches."""

from decimal import Decimal
from typing import Any

from pydantic import BaseModel

from pelmet.model.edit.question import asked_of
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Item
from pelmet.model.job.job import TABLES, Job
from pelmet.model.measure.lengths import inches_text, parse_length

SIXTEENTH = Decimal("25.4") / 16


def typed_in_inches(job: Job, *, region: str = "us", parts: int = 16) -> Job:
    """Give a job with every length of it typed in sixteenths of an inch, in a job of inches."""
    tables: dict[str, Any] = {
        table: tuple(_typed(kind, thing) for thing in job.table(kind))
        for kind, table in TABLES.items()
    }
    site = {"length_unit": "in", "region": region, "inch_parts": parts}
    fields = {name: getattr(job, name) for name in Job.model_fields}
    tables["site"] = type(job.site).model_validate({**_fields(job.site), **site})
    tables["allowances"] = _typed("allowances", job.allowances)
    return Job.model_validate({**fields, **tables}, by_alias=False, by_name=True)


def _fields(thing: BaseModel) -> dict[str, Any]:
    return {name: getattr(thing, name) for name in type(thing).model_fields}


def _typed(kind: str, thing: Item | Allowances) -> Any:
    values = _fields(thing)
    for name, value in values.items():
        shape = asked_of(type(thing), kind, name).shape
        if shape == "length" and value is not None:
            values[name] = _inches(value)
        elif shape == "lengths":
            values[name] = tuple(_inches(each) for each in value)
    return type(thing).model_validate(values)


def _inches(mm: Decimal) -> Decimal:
    sixteenths = int(mm / SIXTEENTH) or bool(mm)  # never over what it was: that may be the most
    return parse_length(f"{inches_text(sixteenths * SIXTEENTH, 16)} in", "mm")

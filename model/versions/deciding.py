"""A value of one's own where two versions of a job say different things: read like a form's."""

from collections.abc import Mapping
from typing import Any

from pydantic import BaseModel

from pelmet.model.edit.answer import read_marked
from pelmet.model.edit.change import make_thing
from pelmet.model.edit.question import asked_of
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import TABLES, Job
from pelmet.model.job.references import REFERENCES
from pelmet.model.refusal import Refusal
from pelmet.model.versions.merging import Conflict, Typed
from pelmet.model.versions.said import part_kind


def can_be_typed(conflict: Conflict, mine: Job) -> bool:
    """Tell whether a conflict is about a field: of a whole thing, or an order, nothing is typed."""
    thing = _thing(conflict, mine)
    return thing is not None and conflict.field in type(thing).model_fields


def typed(
    conflict: Conflict, mine: Job, theirs: Job, renumbered: Mapping[str, str], text: str
) -> Typed:
    """Read what somebody typed for a field that two versions say differently.

    ``renumbered`` gives for ids of theirs what they are in the one job. Raises ``Refusal`` for what
    cannot be read, or cannot stand in that field.
    """
    thing = _thing(conflict, mine)
    model: type[BaseModel] = type(thing)
    asked = asked_of(model, conflict.kind, conflict.field)
    value, assumed = read_marked(asked, text, mine, thing)
    new = make_thing(model, {**dict(thing), conflict.field: value})
    value = getattr(new, conflict.field)
    for kind, field, target in REFERENCES:
        if (kind, field) == (conflict.kind, conflict.field):
            known = {each.id for each in mine.table(target)}
            known |= {renumbered.get(each.id, each.id) for each in theirs.table(target)}
            named = value if isinstance(value, tuple) else (value,)
            for name in named:
                if name is not None and name not in known:
                    raise Refusal(f'There is no {target} "{name}"')
    return Typed(value, assumed)


def _thing(conflict: Conflict, job: Job) -> Any:
    """Give the thing a conflict is about; None where it is about no single one that is there."""
    if conflict.kind == "site":
        return job.site
    if conflict.kind == "allowances":
        return job.allowances
    tables: dict[str, tuple[Any, ...]] = {kind: job.table(kind) for kind in TABLES}
    for name in Catalogue.model_fields:
        tables[part_kind(name)] = getattr(job.catalogue, name)
    return next((each for each in tables[conflict.kind] if each.id == conflict.id), None)

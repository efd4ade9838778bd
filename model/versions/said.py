"""What two versions of a job say differently: thing by thing, field by field, in a form's words."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from difflib import SequenceMatcher
from typing import Any, Final, Literal, NamedTuple

from pydantic import BaseModel

from pelmet.model.edit.answer import value_text
from pelmet.model.edit.question import asked_of
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import TABLES, Job, Site

How = Literal["added", "removed", "moved", "changed", "reordered"]
_WHERE: Final = frozenset({"at", "wall"})
_OWN: Final = frozenset({"id", "assumed"})
_ASSUMED: Final = "?"


class FieldChange(NamedTuple):
    """One field, and what it said before and says after; empty where it says nothing."""

    field: str
    title: str
    before: str
    after: str


class Difference(NamedTuple):
    """One thing that two versions do not say alike.

    ``moved`` is a thing of which only its place changed, ``reordered`` one that stands after
    another one in its list. Of what was added or removed the fields are those that say something.
    """

    how: How
    kind: str
    id: str
    fields: tuple[FieldChange, ...]


def differences(old: Job, new: Job) -> tuple[Difference, ...]:
    """Give all that two versions do not say alike, lengths in the unit of the new one.

    In the order of the file; of one table first what went, then what changed and came. Nothing
    exactly when their files say the same.
    """
    site = new.site
    found = [
        *_one("site", "", old.site, new.site, site),
        *_one("allowances", "", old.allowances, new.allowances, site),
    ]
    for table in Catalogue.model_fields:
        found += _table(
            part_kind(table), getattr(old.catalogue, table), getattr(new.catalogue, table), site
        )
    for each, table in TABLES.items():
        found += _table(each, getattr(old, table), getattr(new, table), site)
    return tuple(found)


def part_kind(table: str) -> str:
    """Give what the parts of one table of a catalogue are told as: ``supply part``."""
    return f"{Catalogue.model_fields[table].alias} part"


def are_versions(old: Job, new: Job) -> bool:
    """Tell whether two jobs can be versions of one: they share a thing, or one holds nothing."""
    before, after = (
        {(kind, thing.id) for kind in TABLES for thing in job.table(kind)} for job in (old, new)
    )
    return not before or not after or bool(before & after)


def _one(kind: str, name: str, old: BaseModel, new: BaseModel, site: Site) -> Iterator[Difference]:
    fields = tuple(_changes(kind, old, new, site))
    if fields:
        moved = {each.field for each in fields} <= _WHERE
        yield Difference("moved" if moved else "changed", kind, name, fields)


def _table(kind: str, old: Sequence[Any], new: Sequence[Any], site: Site) -> Iterator[Difference]:
    before, after = _by_id(old), _by_id(new)
    for name, thing in before.items():
        if name not in after:
            yield Difference("removed", kind, name, _all(kind, thing, site, gone=True))
    for name, thing in after.items():
        if name in before:
            yield from _one(kind, name, before[name], thing, site)
        else:
            yield Difference("added", kind, name, _all(kind, thing, site, gone=False))
    kept = [name for name in before if name in after], [name for name in after if name in before]
    for name in _reordered(*kept):
        places = (_before(own, name) for own in kept)
        yield Difference("reordered", kind, name, (FieldChange("order", "Comes after", *places),))


def _by_id(things: Iterable[Any]) -> Mapping[str, Any]:
    return {thing.id: thing for thing in things}


def _reordered(old: Sequence[str], new: Sequence[str]) -> Iterator[str]:
    """Give those ids that have to be moved for one order to become the other."""
    match = SequenceMatcher(None, old, new, autojunk=False)
    still = {old[block.a + at] for block in match.get_matching_blocks() for at in range(block.size)}
    yield from (name for name in new if name not in still)


def _before(names: Sequence[str], name: str) -> str:
    at = names.index(name)
    return names[at - 1] if at else ""


def _changes(kind: str, old: Any, new: Any, site: Site) -> Iterator[FieldChange]:
    for field in type(new).model_fields:
        if field in _OWN:
            continue
        marks = _is_assumed(old, field) != _is_assumed(new, field)
        if marks or getattr(old, field) != getattr(new, field):
            said = (value_as_typed(each, kind, field, site) for each in (old, new))
            yield FieldChange(field, title_of(new, field, site), *said)


def _all(kind: str, thing: Any, site: Site, *, gone: bool) -> tuple[FieldChange, ...]:
    """Give the fields of a thing that say something but what goes without saying."""
    found = []
    for field, info in type(thing).model_fields.items():
        usual = not info.is_required() and getattr(thing, field) == info.get_default()
        if field not in _OWN and (_is_assumed(thing, field) or not usual):
            text = value_as_typed(thing, kind, field, site)
            said = (text, "") if gone else ("", text)
            found.append(FieldChange(field, title_of(thing, field, site), *said))
    return tuple(found)


def title_of(thing: BaseModel, field: str, site: Site) -> str:
    """Give what a form calls a field."""
    title = type(thing).model_fields[field].title or field.replace("_", " ").capitalize()
    return site.words.said(title)


def value_as_typed(thing: BaseModel, kind: str, field: str, site: Site) -> str:
    """Give a field's value as it would be typed; ``?`` marks what is assumed."""
    value = getattr(thing, field)
    if isinstance(value, bool):
        text = "yes" if value else "no"
    else:
        text = value_text(asked_of(type(thing), kind, field), value, site)
    return text + _ASSUMED if _is_assumed(thing, field) else text


def _is_assumed(thing: Any, field: str) -> bool:
    return field in getattr(thing, "assumed", ())

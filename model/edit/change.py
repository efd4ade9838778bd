"""Change one thing of a job. Each function gives a new Job; what is refused raises ``Refusal``."""

from collections.abc import Iterable, Iterator, Mapping
from typing import Any, Literal

from pydantic import ValidationError

from pelmet.model.job.built import LaidCable
from pelmet.model.job.items import Item, Kind, Said, SurveyedItem
from pelmet.model.job.job import TABLES, Job
from pelmet.model.job.references import REFERENCES
from pelmet.model.refusal import Refusal

# The job's own two tables can be changed like things; they have no id.
Subject = Kind | Literal["site", "allowances"]


def subject(job: Job, kind: Subject, item_id: str = "") -> Said:
    """Give the thing a form shows; ``KeyError`` if there is none with this id."""
    if kind == "site":
        return job.site
    if kind == "allowances":
        return job.allowances
    return job.find(kind, item_id)


def set_value(
    job: Job, kind: Subject, item_id: str, field: str, value: Any, *, assumed: bool = False
) -> Job:
    """Set one field; for a surveyed reading also whether it is assumed or measured."""
    new = with_value(subject(job, kind, item_id), field, value, assumed=assumed)
    if kind == "site":
        return rebuilt(job, site=new)
    if kind == "allowances":
        return rebuilt(job, allowances=new)
    items = tuple(new if item.id == item_id else item for item in job.table(kind))
    return rebuilt(job, **{TABLES[kind]: items})


def with_value(old: Any, field: str, value: Any, *, assumed: bool = False) -> Any:
    """Give a thing with one field set, and noted as assumed or measured where it was surveyed."""
    changes: dict[str, Any] = {field: value}
    if isinstance(old, SurveyedItem):
        if assumed and field not in old.assumed:
            changes["assumed"] = (*old.assumed, field)
        elif not assumed:
            changes["assumed"] = tuple(name for name in old.assumed if name != field)
    return altered(old, changes)


def rebuilt(job: Job, **tables: Any) -> Job:
    """Give the job with whole tables replaced, checked again."""
    new: Job = altered(job, tables)
    return new


def remove(job: Job, kind: Kind, item_id: str) -> Job:
    """Take a thing out, with all that cannot be without it; their ids are retired.

    A run that loses some of its cabinets stays; a run that loses its leg is fed by nothing.
    """
    return remove_all(job, {item_id: kind})


def remove_all(job: Job, ids: Mapping[str, Kind]) -> Job:
    """Take several things out at once, as ``remove`` does one; some may be gone already."""
    gone = dict(ids)
    # In the order of REFERENCES what is named comes before what names it.
    for each, field, target in REFERENCES:
        for item in job.table(each):
            named = getattr(item, field)
            optional = not type(item).model_fields[field].is_required()
            if isinstance(named, tuple):
                if not optional and all(gone.get(name) == target for name in named):
                    gone[item.id] = each
            elif not optional and gone.get(named) == target:
                gone[item.id] = each
    gone.update(dict.fromkeys(_to_nowhere(job.laid, gone), "laid"))
    tables: dict[str, tuple[Item, ...]] = {}
    for each in TABLES:
        kept = (item for item in job.table(each) if gone.get(item.id) != each)
        tables[TABLES[each]] = tuple(_without(item, each, gone) for item in kept)
    retired = (*job.site.retired, *(name for name in gone if name not in job.site.retired))
    return rebuilt(job, site=altered(job.site, {"retired": retired}), **tables)


def _without(item: Item, kind: Kind, gone: dict[str, Kind]) -> Item:
    """Drop from a thing that stays the names of things that went."""
    changes: dict[str, Any] = {}
    for each, field, target in REFERENCES:
        if each != kind:
            continue
        named = getattr(item, field)
        if isinstance(named, tuple):
            left = tuple(name for name in named if gone.get(name) != target)
            if left != named:
                changes[field] = left
        elif gone.get(named) == target:
            changes[field] = None
    return altered(item, changes) if changes else item


def _to_nowhere(laid: Iterable[LaidCable], gone: Mapping[str, Kind]) -> Iterator[str]:
    """Give the laid cables that end at a run that goes, and that no other one goes on from."""
    left = {each.id: each for each in laid if each.id not in gone}
    while True:
        goes_on = {each.before for each in left.values()}
        dead = [
            each.id
            for each in left.values()
            if gone.get(each.run or "") == "run" and each.wall is None and each.cable not in goes_on
        ]
        if not dead:
            return
        yield from dead
        for each in dead:
            del left[each]


def altered(old: Any, changes: dict[str, Any]) -> Any:
    """Give a thing with some of its fields changed, checked again."""
    fields = {name: getattr(old, name) for name in type(old).model_fields}
    return make_thing(type(old), {**fields, **changes})


def make_thing(model: type[Any], values: dict[str, Any]) -> Any:
    """Make a thing of its values, or refuse in words."""
    try:
        return model.model_validate(values)
    except ValidationError as error:
        raise Refusal(_first(error)) from None


def _first(error: ValidationError) -> str:
    """Say the first fault in plain words."""
    fault = error.errors(include_url=False)[0]
    context = fault.get("ctx", {})
    words = {
        "string_too_short": "This cannot be empty",
        "string_too_long": f"At most {context.get('max_length')} characters",
        "too_short": "Name at least one",
        "too_long": f"At most {context.get('max_length')}",
        "literal_error": f"Choose one of {context.get('expected')}",
        "greater_than_equal": f"At least {context.get('ge')}",
        "less_than_equal": f"At most {context.get('le')}",
        "string_pattern_mismatch": "An id is letters and digits, a letter first, such as A1",
        "int_type": "A whole number is wanted here",
    }
    says = words.get(fault["type"], fault["msg"])
    return says[0].upper() + says[1:]

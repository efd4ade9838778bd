"""What a person typed into a form, read into the field's value, and the value shown again."""

from decimal import Decimal
from typing import Any

from pydantic import BaseModel

from pelmet.model.edit.change import Subject, set_value, subject
from pelmet.model.edit.question import MANY, Question, question_for
from pelmet.model.edit.survey import resize
from pelmet.model.job.items import SurveyedItem
from pelmet.model.job.job import Job, Site
from pelmet.model.job.scalars import plain_number
from pelmet.model.measure.lengths import (
    Misread,
    exact_length,
    parse_decimal,
    parse_length,
    print_length,
)
from pelmet.model.refusal import Refusal

_ASSUMED = "?"
_NEW_LINE = "¶"  # a note may have many lines, a form's field has one
_READINGS = ("length", "lengths")
_SURVEYED = (*_READINGS, "number")


def set_answer(job: Job, kind: Subject, item_id: str, field: str, text: str) -> Job:
    """Give the job with this field set to what was typed.

    A reading that ends in ``?`` is assumed, not measured. Raises ``Misread``.
    """
    asked = question_for(kind, field)
    try:
        value, assumed = read_marked(asked, text, job, subject(job, kind, item_id))
        if kind in ("cabinet", "obstacle") and field == "width":
            return resize(job, kind, item_id, value, assumed=assumed)
        if asked.shape not in _SURVEYED:
            assumed = _is_marked(job, kind, item_id, field)
        return set_value(job, kind, item_id, field, value, assumed=assumed)
    except Misread:
        raise
    except Refusal as refusal:  # it is of the answer as a whole
        raise Misread(
            refusal.reason, 0, max(len(text.rstrip()), 1), remedy=refusal.remedy, text=text
        ) from None


def read_marked(asked: Question, text: str, job: Job, thing: BaseModel) -> tuple[Any, bool]:
    """Read typed text for a field of a thing, and whether the reading is marked as assumed."""
    kept = text.rstrip()
    assumed = _is_surveyed(asked, thing) and kept.endswith(_ASSUMED)
    return read_answer(asked, kept[:-1] if assumed else kept, job), assumed


def _is_surveyed(asked: Question, thing: BaseModel) -> bool:
    return isinstance(thing, SurveyedItem) and asked.shape in _SURVEYED


def _is_marked(job: Job, kind: Subject, item_id: str, field: str) -> bool:
    """Whether a field that is no reading is marked as assumed; typing it leaves that alone."""
    return field in getattr(subject(job, kind, item_id), "assumed", ())


def read_answer(asked: Question, text: str, job: Job) -> Any:
    """Read typed text into the value its field wants; ``Misread`` if it cannot be read."""
    if asked.optional and not text.strip():
        return None
    match asked.shape:
        case "length":
            return parse_length(text, job.site.length_unit)
        case "lengths":
            return _lengths(text, job.site)
        case "number":
            return parse_decimal(text, signed=True)
        case "count":
            return _count(text)
        case "names":
            return _names(text, job)
        case "text" if asked.field == "note":
            return text.strip().replace(_NEW_LINE, "\n")
        case "text":
            return text.strip()
        case "choice":
            return choice_value(asked, text)


def choice_value(asked: Question, chosen: str) -> Any:
    """Give the value of a chosen option: text, a whole number, or nothing for ""."""
    if asked.optional and not chosen:
        return None
    return int(chosen) if chosen.isdecimal() and asked.choices else chosen


def field_text(job: Job, kind: Subject, item_id: str, field: str) -> str:
    """Give a field's value as a person would type it; ``?`` marks what is assumed."""
    thing = subject(job, kind, item_id)
    value = getattr(thing, field)
    asked = question_for(kind, field)
    assumed = _is_surveyed(asked, thing) and field in getattr(thing, "assumed", ())
    mark = _ASSUMED if assumed and value != () else ""
    return value_text(asked, value, job.site) + mark


def value_text(asked: Question, value: Any, site: Site) -> str:
    """Write a value so that reading it gives it back."""
    if value is None:
        return ""
    if asked.shape == "length":
        return _bare(value, site)
    if asked.shape == "lengths":
        return f"{MANY} ".join(_bare(each, site) for each in value)
    if asked.shape == "names":
        return " ".join(map(str, value))
    if asked.shape == "text":
        return str(value).replace("\n", _NEW_LINE)
    return str(plain_number(value)) if isinstance(value, Decimal) else str(value)


def echo(job: Job, kind: Subject, item_id: str, field: str) -> str:
    """Say back how a reading was understood: with its unit, and the least of several."""
    thing = subject(job, kind, item_id)
    value = getattr(thing, field)
    asked = question_for(kind, field)
    if value is None or asked.shape not in _READINGS:
        return ""
    if asked.shape == "length":
        says = _with_unit(value, job.site)
    elif not value:
        says = "not measured"
    else:
        says = ("least " if len(value) > 1 else "") + _with_unit(min(value), job.site)
    assumed = isinstance(thing, SurveyedItem) and field in thing.assumed
    return says + (", assumed" if assumed and value != () else "")


def _lengths(text: str, site: Site) -> tuple[Decimal, ...]:
    """Read several lengths; a fault's place is counted in the whole text."""
    values: list[Decimal] = []
    before = 0
    for piece in text.split(MANY) if text.strip() else []:
        try:
            values.append(parse_length(piece, site.length_unit))
        except Misread as one:
            raise Misread(
                one.reason, before + one.start, before + one.end, remedy=one.remedy, text=text
            ) from None
        before += len(piece) + 1
    return tuple(values)


def _names(text: str, job: Job) -> tuple[str, ...]:
    """Read ids parted by blanks or commas; capitals need not be typed."""
    known = {cabinet.id.casefold(): cabinet.id for cabinet in job.cabinets}
    words = text.replace(",", " ").split()
    return tuple(known.get(word.casefold(), word) for word in words)


def _count(text: str) -> int:
    value = parse_decimal(text)
    if value != value.to_integral_value():
        raise Misread("A whole number is wanted here", 0, len(text), text=text)
    return int(value)


def _bare(value: Decimal, site: Site) -> str:
    """Leave the unit off where a bare number means the same."""
    text = exact_length(value, site.length_unit)
    return text if " ft" in text else text.removesuffix(f" {site.length_unit}")


def _with_unit(value: Decimal, site: Site) -> str:
    return print_length(value, site.length_unit, site.inch_parts, about=True)

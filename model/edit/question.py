"""What a form asks for a field, read off the model that declares it."""

from functools import cache
from types import NoneType, UnionType
from typing import Any, Literal, NamedTuple, Union, get_args, get_origin

from pydantic import BaseModel

from pelmet.model.edit.change import Subject
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import Said
from pelmet.model.job.job import MODELS, TABLES, Job, Site
from pelmet.model.job.references import PART_FIELDS, REFERENCES
from pelmet.model.job.rule_tables import override_ids
from pelmet.model.job.scalars import Length, Number
from pelmet.model.measure.lengths import parse_length, print_length

_RULE = ("override", "rule")  # its choices are the rules and questions of the job's region

MANY = ";"  # between several readings of one field

Shape = Literal["length", "lengths", "number", "count", "text", "choice", "names"]


class Question(NamedTuple):
    """One field as a form asks for it."""

    kind: str
    field: str
    title: str
    help: str
    shape: Shape
    optional: bool
    choices: tuple[str, ...] = ()
    example: str = ""

    def help_in(self, site: Site) -> str:
        """What it means, with an example of what to type in this job."""
        example = self.example
        if self.shape in ("length", "lengths") and site.length_unit != "mm":
            example = f"{MANY} ".join(
                print_length(parse_length(each, "mm"), site.length_unit, site.inch_parts, bare=True)
                for each in filter(None, example.split(MANY))
            )
        means = site.words.said(self.help)
        return f"{means} - for example {example}" if example else means

    def title_in(self, site: Site) -> str:
        """What the field is called in this job."""
        return site.words.said(self.title)


@cache
def question_for(kind: Subject, field: str) -> Question:
    """Read off the model how to ask for this field."""
    return asked_of(model_of(kind), kind, field)


@cache
def asked_of(model: type[BaseModel], kind: str, field: str) -> Question:
    """Read off a model, of a thing or of a part, how to ask for a field."""
    info = model.model_fields[field]
    shape, choices, optional = _shape(kind, field, info.annotation, info.metadata)
    example = str(info.examples[0]) if info.examples else ""
    title, means = info.title or field, info.description or ""
    return Question(kind, field, title, means, shape, optional, choices, example)


def model_of(kind: Subject) -> type[Said]:
    """Give the model that declares the fields of this kind of thing."""
    if kind == "site":
        return Site
    if kind == "allowances":
        return Allowances
    return MODELS[kind]


def options(asked: Question, job: Job, parts: Catalogue) -> tuple[str, ...]:
    """Give what can be chosen: fixed choices, ids in the job, of parts or of rules; "" for none."""
    found = asked.choices
    if (asked.kind, asked.field) == _RULE:
        found = override_ids(job.site.region)
    for kind, field, target in REFERENCES:
        if (kind, field) == (asked.kind, asked.field):
            found = tuple(item.id for item in getattr(job, TABLES[target]))
    for kind, field, table in PART_FIELDS:
        if (kind, field) == (asked.kind, asked.field):
            found = tuple(part.id for part in getattr(parts, table))
    return ("", *found) if asked.optional else found


def part_name(asked: Question, parts: Catalogue, item_id: str) -> str:
    """Give the catalogue's name for a part that a field names, or nothing."""
    for kind, field, table in PART_FIELDS:
        if (kind, field) == (asked.kind, asked.field):
            return next((part.name for part in getattr(parts, table) if part.id == item_id), "")
    return ""


def _shape(
    kind: str, field: str, annotation: Any, metadata: list[Any]
) -> tuple[Shape, tuple[str, ...], bool]:
    members = get_args(annotation) if get_origin(annotation) in (Union, UnionType) else ()
    optional = NoneType in members
    if optional:
        annotation = next(member for member in members if member is not NoneType)
        metadata = [*metadata, *getattr(annotation, "__metadata__", ())]
    named = {(each, name) for each, name, _ in (*REFERENCES, *PART_FIELDS)}
    if get_origin(annotation) is tuple:
        inner = getattr(get_args(annotation)[0], "__metadata__", ())
        lengths = any(isinstance(mark, Length) for mark in inner)
        return ("lengths" if lengths else "names"), (), optional
    if (kind, field) in named or (kind, field) == _RULE:
        return "choice", (), optional
    if get_origin(annotation) is Literal:
        return "choice", tuple(str(choice) for choice in get_args(annotation)), optional
    if any(isinstance(mark, Length) for mark in metadata):
        return "length", (), optional
    if any(isinstance(mark, Number) for mark in metadata):
        return "number", (), optional
    return ("count" if annotation is int else "text"), (), optional

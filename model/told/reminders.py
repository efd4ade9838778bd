"""What a reader must know beside the figures: what is assumed, defaulted, and to be minded."""

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from typing import Any, Final, get_args

from pydantic.fields import FieldInfo

from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.items import Item, SurveyedItem
from pelmet.model.job.job import Job, Site
from pelmet.model.job.parts import Part
from pelmet.model.job.scalars import Length, Number
from pelmet.model.measure.decimals import plain
from pelmet.model.plan.measures import celsius_said
from pelmet.model.plan.result import Plan
from pelmet.model.told.figures import length_text

_NAMED_IDS: Final = 6  # more than this are counted, not named


def assumed_things(job: Job) -> tuple[tuple[str, tuple[str, ...]], ...]:
    """Give the id of each thing with fields that nobody has measured, and those fields."""
    things: tuple[SurveyedItem, ...] = (*job.rooms, *job.walls, *job.cabinets, *job.obstacles)
    return tuple((thing.id, thing.assumed) for thing in things if thing.assumed)


def measured_by(job: Job) -> dict[str, str]:
    """Give who still measures what, by the id of each thing where that was said."""
    things: tuple[SurveyedItem, ...] = (*job.rooms, *job.walls, *job.cabinets, *job.obstacles)
    return {thing.id: thing.measured_by for thing in things if thing.measured_by}


def assumed_bars(plan: Plan) -> tuple[str, ...]:
    """Give the bars that are cut from something assumed."""
    return tuple(bar.id for bar in plan.bars if bar.length.assumed)


def assumed_words(plan: Plan) -> tuple[str, ...]:
    """Say what is assumed, one sentence each."""
    who = measured_by(plan.job)
    words = [
        f"{item_id}: {', '.join(field.replace('_', ' ') for field in fields)} not measured yet"
        + (f"; {who[item_id]} measures it" if item_id in who else "")
        for item_id, fields in assumed_things(plan.job)
    ]
    bars = assumed_bars(plan)
    if bars:
        words.append(f"bars cut from assumed readings: {', '.join(bars)}")
    return tuple(words) or ("nothing: no reading is marked as assumed",)


def default_allowances(job: Job) -> tuple[str, ...]:
    """Give the names of the allowances that stand at their defaults."""
    fields = type(job.allowances).model_fields
    return tuple(
        name for name, info in fields.items() if getattr(job.allowances, name) == info.default
    )


def defaults_words(job: Job) -> str:
    """List the defaults used, allowances first, then what the survey left out."""
    fields = type(job.allowances).model_fields
    said = job.site.words.said
    words = [
        f"{said(fields[name].title or name)} "
        f"{_value(getattr(job.allowances, name), fields[name], job.site)}"
        for name in default_allowances(job)
    ]
    return "; ".join([*words, *survey_defaults(job)]) or "none"


def generic_parts(plan: Plan) -> tuple[str, ...]:
    """Give the parts the plan takes that are still the bundled, invented ones."""
    own, bundled = _by_id(plan.parts), _by_id(bundled_catalogue())
    wanted = [need.part for need in plan.needs]
    return tuple(part for part in wanted if part in own and own[part] == bundled.get(part))


def part_names(parts: Catalogue) -> dict[str, str]:
    """Give the name of every part by its id."""
    return {item_id: part.name for item_id, part in _by_id(parts).items()}


def _by_id(parts: Catalogue) -> dict[str, Part]:
    return {part.id: part for kind in Catalogue.model_fields for part in getattr(parts, kind)}


def survey_defaults(job: Job) -> Iterator[str]:
    """Give sizes of rooms, walls and cabinets that nobody said, with what they stand for."""
    tables: tuple[tuple[Item, ...], ...] = (job.rooms, job.walls, job.cabinets)
    for things in tables:
        left_out: dict[str, list[str]] = defaultdict(list)
        for thing in things:
            for name, info in type(thing).model_fields.items():
                if isinstance(info.default, Decimal) and getattr(thing, name) == info.default:
                    title = job.site.words.said(info.title or name)
                    text = f"{title} {_value(info.default, info, job.site)}"
                    left_out[text].append(thing.id)
        for text, ids in left_out.items():
            names = " ".join(ids) if len(ids) <= _NAMED_IDS else f"{len(ids)} of them"
            yield f"{text} ({names})"


def _value(value: Decimal | None, info: FieldInfo, site: Site) -> str:
    if value is None:
        return "not said"
    number = next(mark for mark in _marks(info) if isinstance(mark, Number))
    if isinstance(number, Length):
        return length_text(value, site)
    if number.unit == "degC":
        return celsius_said(plain(value), site, "degC")
    return f"{plain(value)} {number.unit}".rstrip()


def _marks(info: FieldInfo) -> Iterator[Any]:
    yield from info.metadata
    for member in get_args(info.annotation):
        yield from getattr(member, "__metadata__", ())

"""Hypothesis strategies for whole Jobs, made from the models' own fields and limits."""

from decimal import Decimal
from functools import cache
from types import NoneType, UnionType
from typing import Annotated, Any, Literal, Union, get_args, get_origin

from draws import IDS, decimals, ids, listed, one_of, sparse, whole
from hypothesis import strategies as st
from pydantic import BaseModel

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import KINDS, Kind
from pelmet.model.job.job import MODELS, TABLES, Job, Site
from pelmet.model.job.references import REFERENCES
from pelmet.model.job.scalars import Number

_LETTERS = st.characters(
    exclude_categories=("Cc", "Cs", "Zl", "Zp"),
    exclude_characters="\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069",
    include_characters="\"'\\[]=#/😀",
)
NAMES = st.text(_LETTERS, min_size=1, max_size=120)
NOTES = st.one_of(st.just(""), st.text(_LETTERS | st.just("\n"), max_size=200))
_SHORT = NAMES.map(lambda text: text[:60])
_DAYS = st.just("") | st.dates().map(str)
_TEXTS = {
    "name": NAMES,
    "note": NOTES,
    "reason": NAMES,
    "why": NAMES,
    "digest": st.text("0123456789abcdef", min_size=16, max_size=16),
    **dict.fromkeys(("day", "needed_by", "walls_close"), _DAYS),
    "rule": st.sampled_from(["class-2-watts", "mains-volts", "no-such-rule"]),
    **dict.fromkeys(("measured_by", "by", "circuit", "isolator", "piece", "batch"), _SHORT),
    **dict.fromkeys(("reference", "client", "electrician", "cut_anyway"), _SHORT),
}


def _limit(rules: list[Any], name: str, otherwise: int) -> int:
    return next((getattr(rule, name) for rule in rules if hasattr(rule, name)), otherwise)


def _values(key: str, annotation: Any, rules: list[Any]) -> st.SearchStrategy[Any]:
    """Give values of one field, from what its type and its rules allow."""
    if get_origin(annotation) is Annotated:
        annotation, *more = get_args(annotation)
        rules = [*rules, *(one for rule in more for one in getattr(rule, "metadata", [rule]))]
    for rule in rules:
        if isinstance(rule, Number):
            return decimals(rule.low, rule.high)
    origin, inner = get_origin(annotation), get_args(annotation)
    if origin is Literal:
        return one_of(inner)
    if origin in (Union, UnionType):
        some = next(one for one in inner if one is not NoneType)
        return st.none() | _values(key, some, rules)
    if origin is tuple:
        few = min(4, _limit(rules, "max_length", 4))
        items = _values(key, inner[0], [])
        return st.lists(items, min_size=_limit(rules, "min_length", 0), max_size=few).map(tuple)
    if annotation is bool:
        return st.booleans()
    if annotation is int:
        return whole(_limit(rules, "ge", 0), _limit(rules, "le", 100))
    return _TEXTS.get(key, IDS)


@cache
def fields(model: type[BaseModel]) -> st.SearchStrategy[dict[str, Any]]:
    """Give the fields of a model, those with a default now and then left out."""
    needed, optional = {}, {}
    for name, info in model.model_fields.items():
        values = _values(name, info.annotation, info.metadata)
        if name == "assumed":
            values = st.lists(st.sampled_from(sorted(model.model_fields)), max_size=4, unique=True)
        (needed if info.is_required() else optional)[name] = values
    return st.tuples(st.fixed_dictionaries(needed), sparse(optional, share=0.35)).map(
        lambda two: two[0] | two[1]
    )


def without_names(text: str, job: Job) -> str:
    """Give what the program says by itself: people who measured have names of any letters."""
    for name in {cabinet.measured_by for cabinet in job.cabinets} - {""}:
        text = text.replace(f" ({name})", "")
    return text


_WHITE: dict[int, dict[str, Any]] = {
    1: {"warm_kelvin": None, "cool_kelvin": None},
    2: {"warm_kelvin": 2000, "kelvin": 3000, "cool_kelvin": 6000},
}


def _strip(part: dict[str, Any]) -> dict[str, Any]:
    """Give a strip the volts at which it fades as its kind asks, and both ends of white or none."""
    knee = "led_volts" if part["kind"] == "resistor-limited" else "dropout_volts"
    leds = {"led_volts": Decimal("0.3")} if part["kind"] == "current-regulated" else {}
    return {
        **part,
        "cut_unit": max(part["cut_unit"], Decimal(1)),
        "volts": max(part["volts"], Decimal(1)),
        **leds,
        knee: Decimal("0.5"),
        **_WHITE[part.get("channels", 1)],
    }


def _cable(part: dict[str, Any]) -> dict[str, Any]:
    """Give a cable one kind of size, and a metric one of those that are made."""
    if part.get("mm2") is not None and part.get("conductor_class") is not None:
        made = [Decimal("0.75"), Decimal("1.5"), Decimal(6)]  # [mm2]
        return {**part, "awg": None, "mm2": made[int(part["mm2"]) % len(made)]}
    return {**part, "mm2": None, "conductor_class": None, "awg": part.get("awg") or 18}


_FIXED = {"strips": _strip, "cables": _cable}


def _parts(kind: str, part: type[BaseModel]) -> st.SearchStrategy[Any]:
    one = fields(part).map(_FIXED.get(kind, dict))
    return st.lists(one, max_size=2, unique_by=lambda row: row["id"])


CATALOGUES = sparse(
    {
        kind: _parts(kind, get_args(info.annotation)[0])
        for kind, info in Catalogue.model_fields.items()
    },
    share=0.2,
)
_COUNTS = one_of((1, 0, 1, 2, 0, 3))
# Runs late, and what was done of them last: what they point at must by then be known to stand.
_LATE = ("run", "cut", "hung", "drilled", "laid", "fitted", "diary")
_WAYS = sorted(REFERENCES, key=lambda way: _LATE.index(way[0]) if way[0] in _LATE else -1)


@st.composite
def jobs(draw: st.DrawFn) -> Job:
    """Give a valid Job: every id its own, every reference to a thing that is there."""
    rows = {kind: [draw(fields(MODELS[kind])) for _ in range(draw(_COUNTS))] for kind in KINDS}
    names = draw(ids(sum(map(len, rows.values())) + 2))
    for kind in KINDS:
        for row in rows[kind]:
            row["id"] = names.pop()
    for kind, field, target in _WAYS:
        known = listed(rows[target])
        rows[kind] = [row for row in rows[kind] if _pointed(draw, kind, field, row, known)]
    return Job.model_validate(
        {
            "site": draw(fields(Site)) | {"retired": names},
            "allowances": draw(fields(Allowances)),
            "catalogue": draw(CATALOGUES),
            **{TABLES[kind]: rows[kind] for kind in KINDS},
        }
    )


def _pointed(
    draw: st.DrawFn, kind: Kind, field: str, row: dict[str, Any], known: tuple[str, ...]
) -> bool:
    """Point one field at things that are there; tell whether the row can stand."""
    needed = MODELS[kind].model_fields[field].is_required()
    if not known:
        row.pop(field, None)
        return not needed
    several = get_origin(MODELS[kind].model_fields[field].annotation) is tuple
    one = st.sampled_from(known)
    row[field] = draw(st.lists(one, min_size=needed, max_size=4) if several else one)
    return True

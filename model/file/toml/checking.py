"""From TOML tables to what a file holds, or to all their faults, in file order."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import islice
from operator import itemgetter
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from pelmet.model.file.toml.faults import SHOWN_FAULTS, Fault, FileError, value_on_a_line
from pelmet.model.file.toml.lines import find_lines
from pelmet.model.file.toml.shape import file_keys, most_of, tables_in
from pelmet.model.file.toml.words import found_text, path_in_words, says
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import KINDS
from pelmet.model.job.job import Job
from pelmet.model.job.offcut_store import Store
from pelmet.model.job.prices import PriceBook
from pelmet.model.job.references import REFERENCES, Path, ReferenceFault, reference_faults

Model = TypeVar("Model", bound=BaseModel)

_SAID_BY_NAMES = ("reference", "part_id")
_LONGEST_ID = 60  # what is longer is no id, and its type check says so
_REFERENCE_KEYS = frozenset({"id"} | {key for _, key, _ in REFERENCES})


def check_job(raw: dict[str, Any], text: str, name: str) -> Job:
    """Make a Job of a file's tables; ``FileError`` lists everything that is wrong with them."""
    return _check(Job, raw, text, name)


def check_catalogue(raw: dict[str, Any], text: str, name: str) -> Catalogue:
    """Make a Catalogue of a file's tables, in the same way."""
    return _check(Catalogue, raw, text, name)


def check_prices(raw: dict[str, Any], text: str, name: str) -> PriceBook:
    """Make a PriceBook of what a file's tables say, in the same way."""
    return _check(PriceBook, raw, text, name)


def check_store(raw: dict[str, Any], text: str, name: str) -> Store:
    """Make a Store of off-cuts of a file's tables, in the same way."""
    return _check(Store, raw, text, name)


def _check(model: type[Model], raw: dict[str, Any], text: str, name: str) -> Model:
    crowded = list(_crowded(model, raw))
    if crowded:  # to look at each of a million bars would take minutes
        lines = find_lines(text)
        raise FileError(name, (fault._replace(line=_line(lines, path)) for path, fault in crowded))
    errors: list[ErrorDetails] = []
    made = None
    try:
        made = model.model_validate(raw, by_alias=True, by_name=False)
    except ValidationError as refused:
        errors = refused.errors(include_url=False)
    names = list(islice(_name_faults(model, raw), SHOWN_FAULTS + 1))
    if names:  # they say the same, and each in its place
        errors = [error for error in errors if error["type"] not in _SAID_BY_NAMES]
    if made is None or names:
        raise _file_error(model, raw, text, name, errors, names)
    return made


def _crowded(
    model: type[BaseModel], raw: dict[str, Any], around: Path = ()
) -> Iterator[tuple[Path, Fault]]:
    """Find the tables that hold more than they may."""
    for key, below in tables_in(model).items():
        found, path = raw.get(key), (*around, key)
        if isinstance(found, dict):
            yield from _crowded(below, found, path)
        most = most_of(model, file_keys(model)[key])
        if most and isinstance(found, list) and len(found) > most:
            where = path_in_words(raw, path)
            yield path, Fault(None, where, value_on_a_line(found), "too many", f"at most {most}")


def _file_error(
    model: type[BaseModel],
    raw: dict[str, Any],
    text: str,
    name: str,
    errors: Iterable[ErrorDetails],
    names: Iterable[ReferenceFault],
) -> FileError:
    """Put the faults in the order of the file, and word those that will be shown."""
    lines = find_lines(text)
    placed: list[tuple[int, ErrorDetails | ReferenceFault]] = [
        *((_line(lines, _key_path(error)), error) for error in errors),
        *((_line(lines, fault.path), fault) for fault in names),
    ]
    placed.sort(key=itemgetter(0))
    faults = (_fault(model, raw, line, wrong) for line, wrong in placed[:SHOWN_FAULTS])
    return FileError(name, dict.fromkeys(faults), max(0, len(placed) - SHOWN_FAULTS))


def _fault(
    model: type[BaseModel], raw: Any, line: int, wrong: ErrorDetails | ReferenceFault
) -> Fault:
    if isinstance(wrong, ReferenceFault):
        return Fault(line, path_in_words(raw, wrong.path), value_on_a_line(wrong.found), wrong.says)
    return Fault(
        line, path_in_words(raw, wrong["loc"]), found_text(model, wrong), *says(model, wrong)
    )


def _key_path(error: ErrorDetails) -> Path:
    """Give the path of the key at fault; the check of ``assumed`` is one of the whole block."""
    return (*error["loc"], "assumed") if error["type"] == "assumed" else error["loc"]


def _line(lines: Mapping[Path, int], path: Path) -> int:
    """Give the line of a path, or of the nearest thing around it that stands in the file."""
    for length in range(len(path), 0, -1):
        if path[:length] in lines:
            return lines[path[:length]]
    return 1


def _name_faults(model: type[BaseModel], raw: dict[str, Any]) -> Iterator[ReferenceFault]:
    """Find ids used twice or named but not given, in a job, catalogue, price book or store."""
    if model in (Catalogue, PriceBook, Store):
        yield from _part_faults(raw, ())
        return
    site = raw.get("job")
    retired = site.get("retired") if isinstance(site, dict) else ()
    gone = [own for own in retired if isinstance(own, str)] if isinstance(retired, list) else ()
    yield from reference_faults({kind: _names(raw.get(kind)) for kind in KINDS}, gone)
    yield from _part_faults(raw.get("catalogue"), ("catalogue",))


def _part_faults(catalogue: Any, around: Path) -> Iterator[ReferenceFault]:
    for kind, parts in catalogue.items() if isinstance(catalogue, dict) else ():
        for fault in reference_faults({kind: _names(parts)}):
            yield ReferenceFault(around + fault.path, fault.found, fault.says)


def _names(table: Any) -> list[dict[str, Any]]:
    """Keep of each block only the ids in it, and only those short enough to be one."""
    rows = table if isinstance(table, list) else [table]  # [room] is a slip for [[room]]
    return [
        {key: _short(row[key]) for key in _REFERENCE_KEYS & row.keys()}
        if isinstance(row, dict)
        else {}
        for row in rows
    ]


def _short(value: Any) -> Any:
    if isinstance(value, list):
        return [_short(one) for one in value]
    return value if isinstance(value, str) and len(value) <= _LONGEST_ID else None

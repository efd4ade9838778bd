"""The doors into a job file: its bytes or its path in, a Job out, or all that is wrong with it."""

import hashlib
from os import PathLike
from pathlib import Path
from typing import Any, NamedTuple

from pelmet.model.file.job.migrate import migrated
from pelmet.model.file.toml.checking import check_catalogue, check_job, check_prices
from pelmet.model.file.toml.faults import Fault, FileError, value_on_a_line
from pelmet.model.file.toml.lines import find_lines, scan
from pelmet.model.file.toml.parsing import decode, parse, read_bytes
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import SCHEMA, Job
from pelmet.model.job.prices import PriceBook, bundled_prices, overlay_prices


class OpenedJob(NamedTuple):
    """A job as it was read, with what a later save needs to know of its file."""

    job: Job
    path: Path
    digest: str
    comments: tuple[tuple[int, str], ...]  # line, text; a save cannot keep them


def load_job(path: str | PathLike[str]) -> Job:
    """Read a job file; ``FileError`` lists everything that is wrong with it."""
    return read_job(read_bytes(Path(path)), str(path))


def open_job(path: str | PathLike[str]) -> OpenedJob:
    """Read a job file that is to be saved again later; raises ``FileError`` like ``load_job``."""
    data = read_bytes(Path(path))
    job = read_job(data, str(path))
    text = data.decode("utf-8-sig")
    comments = scan(text).comments if "#" in text else ()
    return OpenedJob(job, Path(path), digest_of(data), comments)


def load_catalogue(path: str | PathLike[str]) -> Catalogue:
    """Read a file of parts; ``FileError`` lists everything that is wrong with it."""
    text = decode(read_bytes(Path(path)), str(path))
    return check_catalogue(parse(text, str(path)), text, str(path))


def load_prices(path: str | PathLike[str]) -> PriceBook:
    """Read a file of prices and lay it over the bundled ones; it need say only what differs.

    ``FileError`` lists everything that is wrong with it.
    """
    text = decode(read_bytes(Path(path)), str(path))
    own = check_prices(parse(text, str(path)), text, str(path))
    return overlay_prices(bundled_prices(), own)


def read_job(data: bytes, name: str) -> Job:
    """Make a Job of a file's bytes; ``name`` is what the faults call the file.

    Raises ``FileError``. The schema number is looked at before anything else, for the rest of
    a newer file may well look wrong to an older program.
    """
    text = decode(data, name)
    raw = parse(text, name)
    refuse_schema(raw, text, name, SCHEMA)
    return check_job(migrated(raw), text, name)


def refuse_schema(raw: dict[str, Any], text: str, name: str, newest: int) -> None:
    """Refuse the tables of a file that says no schema, or one that is not read: ``FileError``."""
    says, remedy = _about_schema(raw, newest)
    if says:
        line = find_lines(text).get(("schema",), 1)
        found = value_on_a_line(raw["schema"]) if "schema" in raw else ""
        raise FileError(name, [Fault(line, "schema", found, says, remedy)])


def digest_of(data: bytes) -> str:
    """Give the fingerprint by which a file is known to be unchanged (SHA-256, in hex)."""
    return hashlib.sha256(data).hexdigest()


def _about_schema(raw: dict[str, Any], newest: int) -> tuple[str, str]:
    """Say what is wrong with the number, and what to do; nothing if it can be read."""
    version = raw.get("schema")
    if version is None:
        return "this is missing", f'add the line "schema = {newest}" at the top of the file'
    if type(version) is not int:  # true == 1 and 1.0 == 1, but neither is a version
        return f"a whole number is wanted here: {newest}", ""
    if version > newest:
        return "made by a newer program", f"this one reads up to {newest}, so update it first"
    if version < 1:
        known = f"the first schema is 1, this program's is {newest}"
        return "no program wrote such a file", known
    return "", ""

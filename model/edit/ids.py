"""Ids for new things: short, unique in the job, never used again."""

from collections.abc import Iterator
from itertools import count, product

from pelmet.model.job.items import KINDS, Kind
from pelmet.model.job.job import Job

# I and O read as digits; L, O, R, S begin the ids of legs, obstacles, runs and supplies; ids of
# zones and of what comes after begin with more than one letter.
WALL_LETTERS = "ABCDEFGHJKMNPQTUVWXYZ"
_LONGEST_PREFIX = 16  # leaves room for the number
_PREFIX: dict[Kind, str] = {
    "room": "room",
    "obstacle": "O",
    "run": "R",
    "supply": "S",
    "zone": "zone",
    "leg": "L",
    "override": "rule",
    "offer": "option",
    "offcut": "piece",
    "ordered": "order",
    "given": "given",
    "revision": "rev",
    "cut": "cut",
    "hung": "hung",
    "drilled": "drilled",
    "laid": "laid",
    "fitted": "fitted",
    "diary": "diary",
}


def fresh_id(job: Job, kind: Kind, wall: str = "") -> str:
    """Give the next id for a thing of this kind; a cabinet's begins with its wall's.

    >>> fresh_id(Job(), "run")
    'R1'
    """
    used = {item.id for each in KINDS for item in job.table(each)} | set(job.site.retired)
    if kind == "wall":
        return next(name for name in _wall_names() if name not in used)
    prefix = wall[:_LONGEST_PREFIX] if kind == "cabinet" else _PREFIX[kind]
    numbers = [int(name[len(prefix) :]) for name in used if _is_numbered(name, prefix)]
    return f"{prefix}{max(numbers, default=0) + 1}"


def _is_numbered(name: str, prefix: str) -> bool:
    return name.startswith(prefix) and name[len(prefix) :].isdecimal()


def _wall_names() -> Iterator[str]:
    for letters in count(1):
        for name in product(WALL_LETTERS, repeat=letters):
            yield "".join(name)

"""Which field of which thing names which other thing, and the check that each name is known."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from typing import Any

from pelmet.model.job.items import Kind

Path = tuple[str | int, ...]

# (kind, its field, the kind that the field names)
REFERENCES: tuple[tuple[Kind, str, Kind], ...] = (
    ("wall", "room", "room"),
    ("cabinet", "wall", "wall"),
    ("obstacle", "wall", "wall"),
    ("run", "cabinets", "cabinet"),
    ("run", "leg", "leg"),
    ("run", "far_leg", "leg"),
    ("supply", "cabinet", "cabinet"),
    ("leg", "supply", "supply"),
    ("leg", "zone", "zone"),
    ("leg", "via", "cabinet"),
    ("leg", "avoid", "cabinet"),
    ("cut", "offcut", "offcut"),
    ("cut", "rest_of", "cut"),
    ("hung", "run", "run"),
    ("hung", "wall", "wall"),
    ("drilled", "cabinet", "cabinet"),
    ("drilled", "obstacle", "obstacle"),
    ("drilled", "wall", "wall"),
    ("laid", "leg", "leg"),
    ("laid", "run", "run"),
    ("laid", "wall", "wall"),
    ("fitted", "supply", "supply"),
    ("fitted", "cabinet", "cabinet"),
    ("diary", "run", "run"),
)

# (kind, its field, the catalogue's table that the field names a part of)
PART_FIELDS: tuple[tuple[Kind, str, str], ...] = (
    ("run", "channel", "channels"),
    ("run", "diffuser", "diffusers"),
    ("run", "strip", "strips"),
    ("supply", "part", "supplies"),
    ("supply", "dimmer", "dimmers"),
    ("zone", "switch", "switches"),
    ("leg", "cable", "cables"),
    ("leg", "dimmer", "dimmers"),
    ("laid", "part", "cables"),
    ("fitted", "part", "supplies"),
    ("offer", "strip", "strips"),
    ("offer", "diffuser", "diffusers"),
    ("offer", "channel", "channels"),
)


@dataclass(frozen=True)
class ReferenceFault:
    """An id used twice, used again, or never given: where, and what to do."""

    path: Path
    found: str
    says: str


def nearest(word: str, known: Iterable[str]) -> str:
    """Give `` (did you mean "A1"?)`` for the nearest known word, or nothing."""
    near = get_close_matches(word, sorted(known), n=1, cutoff=0.5)
    return f' (did you mean "{near[0]}"?)' if near else ""


def _get(item: Any, key: str) -> Any:
    return item.get(key) if isinstance(item, dict) else getattr(item, key, None)


def reference_faults(
    tables: Mapping[str, Iterable[Any]], retired: Iterable[str] = ()
) -> Iterator[ReferenceFault]:
    """Find every id that is used twice, was retired, or is named but not given.

    ``tables`` holds, by kind, models or raw mappings; what has the wrong type is left
    to the type checks.
    """
    known: dict[str, set[str]] = {kind: set() for kind in tables}
    seen: dict[str, str] = {}
    gone = set(retired)
    for kind, items in tables.items():
        for row, item in enumerate(items):
            own = _get(item, "id")
            if not isinstance(own, str):
                continue
            known[kind].add(own)
            if own in seen:
                says = f"this id is already a {seen[own]}; give each thing its own"
                yield ReferenceFault((kind, row, "id"), own, says)
            elif own in gone:
                says = "this id belonged to something removed; ids are never used again"
                yield ReferenceFault((kind, row, "id"), own, says)
            seen.setdefault(own, kind)
    for kind, field, target in REFERENCES:
        for row, item in enumerate(tables.get(kind, ())):
            yield from _dangling(
                kind, row, field, target, _get(item, field), known.get(target, set())
            )


def _dangling(
    kind: str, row: int, field: str, target: str, value: Any, known: set[str]
) -> Iterator[ReferenceFault]:
    several = isinstance(value, list | tuple)
    for place, name in enumerate(value if several else [value]):
        if not isinstance(name, str) or name in known:
            continue
        path: Path = (kind, row, field, place) if several else (kind, row, field)
        says = f"there is no {target} with this id" + nearest(name, known)
        yield ReferenceFault(path, name, says)

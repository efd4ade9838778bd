"""Two versions of a job side by side, as blocks that a format sets, and as a document of data.

What was done between them is told run by run; the document holds every row.

The document::

    pelmet      document: diff, version: 1 until a key changes its meaning
    same        whether both files say the same
    said[]      how (added, removed, moved, changed, reordered), kind, id, fields[] (field, title,
                before, after: as typed, in the new version's unit)
    follows[]   group (bars, power, light, holes, order, price), about, says, before, after
    findings    came[], went[], each as in ``check``
    void[]      papers given out that hold no more, and held before
"""

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import groupby
from typing import Any, Final

from pelmet.model.grouped import grouped
from pelmet.model.job.items import Kind
from pelmet.model.job.piece_names import bar_of
from pelmet.model.told.data.documents import finding_data
from pelmet.model.told.paper import Block, Grid, Heading, Words, points
from pelmet.model.versions.follows import Follows
from pelmet.model.versions.merging import Conflict
from pelmet.model.versions.said import Difference, How

SAME: Final = "Both say the same."
_HEADINGS: Final[dict[How, str]] = {
    "removed": "Removed",
    "added": "Added",
    "moved": "Moved",
    "changed": "Changed",
    "reordered": "In another order",
}
# What is told by what it comes to, not row by row.
_DONE: Final[tuple[Kind, ...]] = (
    "cut", "hung", "drilled", "laid", "fitted", "diary", "ordered",
)  # fmt: skip
_HEAD: Final = ("Of", "What", "Before", "After")


def diff_blocks(said: Sequence[Difference], follows: Follows) -> Iterator[Block]:
    """Tell what two versions say differently, then what follows."""
    yield from said_blocks(said)
    for group, values in groupby(follows.values, lambda each: each.group):
        yield Heading(group.capitalize())
        rows = [(each.about, each.says, each.before or "-", each.after or "-") for each in values]
        yield Grid(_HEAD, tuple(rows))
    for heading, findings in (("Found now", follows.came), ("Found no more", follows.went)):
        if findings:
            yield Heading(heading)
            yield from points(
                f"{each.level}, {each.kind} {each.about}: {each.says}" for each in findings
            )
    if follows.void:
        yield Heading("Papers that hold no more")
        yield Words(", ".join(follows.void))


def said_blocks(said: Sequence[Difference]) -> Iterator[Block]:
    """Tell what two versions say differently."""
    if not said:
        yield Words(SAME)
    for how, heading in _HEADINGS.items():
        own = [each for each in said if each.how == how]
        whole = how in ("added", "removed")
        built = [each for each in own if whole and each.kind in _DONE]
        if built:
            yield Heading("Done" if how == "added" else "Done no more")
            yield Grid(("Of", "Done"), tuple(_done(built)))
        if left := [each for each in own if each not in built]:
            yield Heading(heading)
            yield _whole(left) if whole else _field_by_field(left)


def _done(said: Sequence[Difference]) -> Iterator[tuple[str, str]]:
    """Tell what was built or ordered: run by run what was cut, hung and laid, then the rest."""
    tables: dict[str, list[dict[str, str]]] = {kind: [] for kind in _DONE}
    for each in said:
        fields = {field.field: field.before or field.after for field in each.fields}
        tables[each.kind].append(fields)
    cables = {row["cable"] for row in tables["laid"]}
    pieces = (name for row in tables["cut"] for name in row.get("pieces", "").split())
    done = {
        "bar hung": Counter(row["run"] for row in tables["hung"]),
        "piece cut": Counter(bar_of(name)[0] or name for name in pieces if name not in cables),
        "cable laid": Counter(row.get("run") or row["leg"] for row in tables["laid"]),
    }
    diary = grouped(tables["diary"], lambda row: row["run"])
    names = {*diary, *(name for counts in done.values() for name in counts)}
    for name in sorted(names, key=_by_number):
        told = [_counted(counts[name], what) for what, counts in done.items() if counts[name]]
        yield name, ", ".join((*told, *map(_came, diary.get(name, ()))))
    if holes := sorted((row["hole"] for row in tables["drilled"]), key=_by_number):
        yield "holes", f"{len(holes)} drilled: {' '.join(holes)}"
    for row in tables["fitted"]:
        yield row["supply"], f"fitted, {row['part']}"
    for row in tables["ordered"]:
        length = f" of {row['length']}" if row.get("length") else ""
        yield row["part"], f"{row['amount']}{length} ordered"


def _came(entry: Mapping[str, str]) -> str:
    """Say how far a run came, when and by whom; or that it went back, and why."""
    signed = ", ".join(entry[name] for name in ("day", "by") if name in entry)
    came = f"back to {entry['status']}: {entry['why']}" if "why" in entry else entry["status"]
    return f"{came} ({signed})" if signed else came


def _counted(count: int, what: str) -> str:
    thing, done = what.split()
    return f"{count} {thing}{'s' if count > 1 else ''} {done}"


def _by_number(name: str) -> tuple[str, int, str]:
    """Put R10 after R9."""
    letters = name.rstrip("0123456789")
    return letters, int(name[len(letters) :] or 0), name


def _whole(said: Sequence[Difference]) -> Grid:
    """Tell things that came or went, each with all that it says."""
    rows = (
        (
            _named(each),
            "; ".join(f"{field.title} {field.before or field.after}" for field in each.fields),
        )
        for each in said
    )
    return Grid(("Of", "Says"), tuple(rows))


def _field_by_field(said: Sequence[Difference]) -> Grid:
    rows = (
        ("" if row else _named(each), field.title, field.before or "-", field.after or "-")
        for each in said
        for row, field in enumerate(each.fields)
    )
    return Grid(_HEAD, tuple(rows))


def _named(each: Difference) -> str:
    return f"{each.kind} {each.id}".rstrip()


def conflict_blocks(conflicts: Sequence[Conflict]) -> Iterator[Block]:
    """Tell what two versions changed differently."""
    rows = (
        (f"{each.kind} {each.id}".rstrip(), each.title, each.base or "-", each.mine or "-",
         each.theirs or "-")
        for each in conflicts
    )  # fmt: skip
    yield Grid(("Of", "What", "Base", "Mine", "Theirs"), tuple(rows))


def diff_data(said: Sequence[Difference], follows: Follows) -> dict[str, Any]:
    """Give the same as a document of data."""
    return {
        "pelmet": {"document": "diff", "version": 1},
        "same": not said,
        "said": [
            {**each._asdict(), "fields": [field._asdict() for field in each.fields]}
            for each in said
        ],
        "follows": [each._asdict() for each in follows.values],
        "findings": {
            "came": [finding_data(each) for each in follows.came],
            "went": [finding_data(each) for each in follows.went],
        },
        "void": list(follows.void),
    }

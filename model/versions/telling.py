"""Two versions of a job side by side, as blocks that a format sets, and as a document of data.

The document::

    pelmet      document: diff, version: 1 until a key changes its meaning
    same        whether both files say the same
    said[]      how (added, removed, moved, changed, reordered), kind, id, fields[] (field, title,
                before, after: as typed, in the new version's unit)
    follows[]   group (bars, power, light, holes, order, price), about, says, before, after
    findings    came[], went[], each as in ``check``
    void[]      papers given out that hold no more, and held before
"""

from collections.abc import Iterator, Sequence
from itertools import groupby
from typing import Any, Final

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
        if own:
            yield Heading(heading)
            yield _whole(own) if how in ("added", "removed") else _field_by_field(own)


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

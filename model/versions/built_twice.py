"""What two people both noted as built: told apart where it is two things, found where it is one."""

from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from typing import Any, Final, NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.built import CutLength, Done, DrilledHole, FittedSupply, HungBar, LaidCable
from pelmet.model.job.items import Kind
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import Ordered
from pelmet.model.job.piece_names import SPARE, SPOILT

BUILT: Final[tuple[Kind, ...]] = ("cut", "hung", "drilled", "laid", "fitted")
_SAME_HOLE: Final = 40  # [mm] what one number stands for is one hole if it is no further apart
_ASIDE: Final = frozenset({"id", "note", "day", "by", "hole"})  # what is no fact of the thing


class Twice(NamedTuple):
    """One thing that both noted as built: its name, and the rows of each."""

    name: str
    mine: tuple[Any, ...]
    theirs: tuple[Any, ...]

    @property
    def alike(self) -> bool:
        """Whether both say the same of it, whoever did it and when."""
        mine, theirs = (sorted(map(_facts, rows)) for rows in self[1:])
        return mine == theirs

    @property
    def fields(self) -> tuple[str, ...]:
        """Give what they say differently."""
        names = (name for name in type(self.mine[0]).model_fields if name not in _ASIDE)
        return tuple(
            name
            for name in names
            if [getattr(each, name) for each in self.mine]
            != [getattr(each, name) for each in self.theirs]
        )

    @property
    def earlier(self) -> tuple[Any, ...]:
        """Give the rows of who did it first, as far as that is said."""
        return min(self.mine, self.theirs, key=lambda rows: sorted(map(_signed, rows)))


def noted_twice(
    rows: Sequence[Any], mine: Collection[str], theirs: Collection[str]
) -> Twice | None:
    """Give the first thing that has rows of both; ``mine`` and ``theirs`` are all ids of each."""
    groups = _groups(rows)
    for group in groups:
        own = tuple(row for row in group if row.id not in theirs)
        other = tuple(row for row in group if row.id not in mine)
        if own and other:
            return Twice(min(map(_name, (*own, *other))), own, other)
    return None


def spoilt_since(cuts: Sequence[CutLength], before: Collection[str]) -> list[CutLength]:
    """Let a piece that one of them cut again have come to nothing where it was cut before."""
    again = {
        (cut.part, name)
        for cut in cuts
        if cut.id not in before
        for name in cut.pieces
        if name != SPARE
    }

    def told(cut: CutLength) -> CutLength:
        old = cut.id in before
        pieces = tuple(SPOILT if old and (cut.part, name) in again else name for name in cut.pieces)
        return cut if pieces == cut.pieces else cut.model_copy(update={"pieces": pieces})

    return [told(cut) for cut in cuts]


def ordered_once(
    tables: Mapping[str, Sequence[Any]], mine: Job, theirs: Job
) -> tuple[Ordered, ...]:
    """Let one order that both noted be there once: as much of a part, on the same day.

    Of stock that was noted as got because it was cut, the day does not matter: the cut is there
    once too.
    """
    kept = {cut.id for cut in tables["cuts"]}
    cut = {each.part for each in (*mine.cuts, *theirs.cuts) if each.id not in kept}
    ids = [{row.id for row in job.ordered} for job in (mine, theirs)]

    def facts(row: Ordered) -> tuple[Hashable, ...]:
        return row.part, row.length, row.amount, "" if row.part in cut else row.day

    gone: set[str] = set()
    for same in grouped(tables["ordered"], facts).values():
        own, other = ([row for row in same if row.id not in each] for each in reversed(ids))
        twice = min(len(own), len(other))
        gone |= {row.id for row in sorted((*own, *other), key=_signed, reverse=True)[:twice]}
    return tuple(row for row in tables["ordered"] if row.id not in gone)


def renamed_apart(base: Job, mine: Job, theirs: Job) -> dict[str, str]:
    """Give new names to holes and cables that theirs added under a name of another one in mine."""
    before = {each.id for kind in BUILT for each in base.table(kind)}
    found: dict[str, str] = {}
    holes = {each.hole: each for each in mine.drilled}
    numbers = [each.hole for each in (*mine.drilled, *theirs.drilled)]
    for hole in theirs.drilled:
        own = holes.get(hole.hole)
        if own and hole.id not in before and own.id not in before and not _one_hole(own, hole):
            found[hole.hole] = _next_name("H", (*numbers, *found.values()))
    cables = {each.cable: each for each in mine.laid}
    names = [each.cable for each in (*mine.laid, *theirs.laid)]
    for cable in theirs.laid:
        also = cables.get(cable.cable)
        if also and cable.id not in before and also.id not in before and also.run != cable.run:
            found[cable.cable] = _next_name(f"{cable.leg}.", (*names, *found.values()))
    return found


def _next_name(prefix: str, names: Collection[str]) -> str:
    ends = (name.removeprefix(prefix) for name in names if name.startswith(prefix))
    return f"{prefix}{max((int(end) for end in ends if end.isdecimal()), default=0) + 1}"


def _one_hole(one: DrilledHole, other: DrilledHole) -> bool:
    apart = max(abs(one.at - other.at), abs(one.height - other.height))
    return _through(one) == _through(other) and apart <= _SAME_HOLE


def _through(hole: DrilledHole) -> tuple[str | None, ...]:
    return hole.cabinet, hole.obstacle, hole.panel, hole.wall


def _groups(rows: Sequence[Any]) -> Iterator[list[Any]]:
    """Put rows together that are of one thing, however many there are between."""
    groups: list[tuple[set[Hashable], list[Any]]] = []
    for row in rows:
        keys, own = set(_keys(row)), [row]
        for group in [group for group in groups if group[0] & keys]:
            groups.remove(group)
            keys |= group[0]
            own = [*group[1], *own]
        groups.append((keys, own))
    return (own for _, own in groups)


def _keys(row: Done) -> Iterator[Hashable]:
    """Give what there can only be one of."""
    match row:
        case CutLength():
            yield from ((row.part, name) for name in row.pieces if name not in (SPARE, SPOILT))
            if source := row.offcut or row.rest_of:
                yield source
        case DrilledHole():
            yield row.hole
            yield (*_through(row), round(row.at), round(row.height))
        case HungBar() | LaidCable() | FittedSupply():
            yield _name(row)


def _name(row: Done) -> str:
    match row:
        case CutLength():
            pieces = [name for name in row.pieces if name not in (SPARE, SPOILT)]
            return f"{' '.join(pieces) or row.offcut or row.rest_of} of {row.part}"
        case DrilledHole():
            return row.hole
        case LaidCable():
            return row.cable
        case FittedSupply():
            return row.supply
        case HungBar():
            return row.name
    return row.id


def _facts(row: Done) -> str:
    return str([each for each in row if each[0] not in _ASIDE])


def _signed(row: Done | Ordered) -> tuple[str, str, str]:
    return row.day or "~", row.by, row.note

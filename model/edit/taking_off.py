"""What a choice takes off of what is built: nothing of it changes without being named."""

from collections.abc import Callable, Iterator
from itertools import chain
from typing import Any, Final, NamedTuple

from pelmet.model.edit.change import altered
from pelmet.model.job.built import CutLength, DrilledHole, FittedSupply, HungBar, LaidCable
from pelmet.model.job.job import Job
from pelmet.model.job.piece_names import SPOILT, bar_of

_OF_A_BAR: Final = (
    "cabinets", "line", "facing", "feed_end", "dark_rest", "fixing", "pieces", "over_length",
    "corner",
)  # fmt: skip
_CUT_OF: Final = ("channel", "diffuser", "strip", "strip_joints")
_OF_A_LEG: Final = ("cable", "supply", "wiring", "via", "avoid")
_OF_A_SUPPLY: Final = ("part", "place", "cabinet")


class TakenOff(NamedTuple):
    """A job without what a choice takes off of what was built, and that in words, or nothing."""

    job: Job
    words: str


def unbuilt(job: Job) -> Job:
    """Give a job as if nothing of it were built, so that any choice can be tried."""
    return job.model_copy(update={"cuts": (), "hung": (), "laid": (), "fitted": ()})


def with_what_stays(before: Job, after: Job) -> TakenOff:
    """Give a changed job, made of an unbuilt one, what was built before and is still as it was."""
    same = _Same(before, after)
    hung = tuple(each for each in before.hung if same.bar(each))
    laid = tuple(each for each in before.laid if same.cable(each))
    fitted = tuple(each for each in before.fitted if same.supply(each.supply))
    cuts = tuple(same.cut(each) for each in before.cuts)
    job = after.model_copy(update={"cuts": cuts, "hung": hung, "laid": laid, "fitted": fitted})
    off = [
        *noted_no_more(before, job),
        *(
            f"{name} cut"
            for was, now in zip(before.cuts, cuts, strict=True)
            for name, left in zip(was.pieces, now.pieces, strict=True)
            if name != left and bar_of(name) not in {(each.run, each.bar) for each in before.hung}
        ),
    ]
    off += _controls(before, after)
    words = f"takes off what is built: {', '.join(dict.fromkeys(off))}" if off else ""
    return TakenOff(job, words)


def _controls(before: Job, after: Job) -> Iterator[str]:
    """Name what switches or dims what is wired, and is another one after: it is fitted too."""
    laid = {each.leg for each in before.laid}
    legs, zones, supplies = map(_by_id, (after.legs, after.zones, after.supplies))
    for leg in before.legs:
        if leg.id in laid and leg.dimmer and legs.get(leg.id, leg).dimmer != leg.dimmer:
            yield f"{leg.dimmer} of {leg.id} fitted"
    for zone in before.zones:
        wired = any(leg.zone == zone.id and leg.id in laid for leg in before.legs)
        if wired and zone.switch and zones.get(zone.id, zone).switch != zone.switch:
            yield f"{zone.switch} of {zone.id} fitted"
    for supply in before.supplies:
        there = any(each.supply == supply.id for each in before.fitted)
        if there and supply.dimmer and supplies.get(supply.id, supply).dimmer != supply.dimmer:
            yield f"{supply.dimmer} of {supply.id} fitted"


def noted_no_more(before: Job, after: Job) -> tuple[str, ...]:
    """Name what one version says is in its place, and the other knows nothing of."""
    there = {each.id for each in _in_place(after)}
    return tuple(_named(each) for each in _in_place(before) if each.id not in there)


_InPlace = HungBar | DrilledHole | LaidCable | FittedSupply


def _in_place(job: Job) -> Iterator[_InPlace]:
    return chain(job.hung, job.drilled, job.laid, job.fitted)


def _named(row: _InPlace) -> str:
    match row:
        case HungBar():
            return f"{row.name} hung"
        case DrilledHole():
            return f"{row.hole} drilled"
        case LaidCable():
            return f"{row.cable} laid"
    return f"{row.supply} fitted"


class _Same:
    """Tells what two versions of a job say alike of what is built."""

    def __init__(self, before: Job, after: Job) -> None:
        self._moved = {
            wall.wall
            for wall in before.obstacles
            if wall.crossing != _by_id(after.obstacles).get(wall.id, wall).crossing
        }
        self._runs = _alike(before.runs, after.runs)
        self._legs = _alike(before.legs, after.legs)
        self._supplies = _alike(before.supplies, after.supplies)
        self._supply_of = {leg.id: leg.supply for leg in before.legs}
        self._wall_of = {(each.run, each.bar): each.wall for each in before.hung}

    def supply(self, item_id: str) -> bool:
        return self._supplies(item_id, _OF_A_SUPPLY)

    def bar(self, bar: HungBar) -> bool:
        return self._runs(bar.run, (*_OF_A_BAR, *_CUT_OF))

    def cable(self, cable: LaidCable) -> bool:
        own = cable.run is None or self._runs(cable.run, (*_OF_A_BAR, "leg", "far_leg"))
        run, bar = bar_of(cable.cable.partition("-")[0])
        past = "-" in cable.cable and self._wall_of.get((run, bar)) in self._moved
        placed = self._supplies(self._supply_of[cable.leg], ("place", "cabinet"))
        return own and placed and not past and self._legs(cable.leg, _OF_A_LEG)

    def cut(self, cut: CutLength) -> CutLength:
        def kept(name: str) -> str:
            run, _ = bar_of(name)
            known = not run or self._runs(run, (*_CUT_OF, "cabinets", "pieces", "over_length"))
            return name if known or run in self._supply_of else SPOILT

        pieces = tuple(map(kept, cut.pieces))
        if pieces == cut.pieces:
            return cut
        fewer: CutLength = altered(cut, {"pieces": pieces})
        return fewer


def _by_id(items: tuple[Any, ...]) -> dict[str, Any]:
    return {item.id: item for item in items}


def _alike(
    before: tuple[Any, ...], after: tuple[Any, ...]
) -> Callable[[str, tuple[str, ...]], bool]:
    """Give what tells whether a thing says the same in some fields before and after."""
    was, now = _by_id(before), _by_id(after)

    def same(item_id: str, fields: tuple[str, ...]) -> bool:
        one, other = was.get(item_id), now.get(item_id)
        return (
            one is not None
            and other is not None
            and all(getattr(one, name) == getattr(other, name) for name in fields)
        )

    return same

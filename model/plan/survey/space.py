"""The space there is where a supply sits, and whether a box goes into it with air round it."""

from collections.abc import Iterable, Sequence
from decimal import Decimal
from typing import NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.feeds import Supply, SupplyPlace
from pelmet.model.job.items import Cabinet
from pelmet.model.job.parts import Boxed

_BOARDS = ("shelf", "movable shelf", "upright")  # nothing goes inside these

_NONE = Decimal(0)
# Clear width, depth and height [mm]; nothing of a side that is open, or that nobody knows.
Sides = tuple[Decimal | None, Decimal | None, Decimal | None]


class Space(NamedTuple):
    """What is clear at a place; ``where`` says which, as in ``in cabinet A2``."""

    where: str
    sides: Sides


def space_of(supply: Supply, cabinets: Iterable[Cabinet], allowances: Allowances) -> Space | None:
    """Give the space where a supply sits: as measured, else what its cabinet leaves."""
    if supply.space:
        return Space(f"where {supply.id} sits", _three(supply.space))
    all_of = tuple(cabinets)
    home = next((each for each in all_of if each.id == supply.cabinet), None)
    return space_at(home, supply.place, all_of, allowances) if home else None


def space_at(
    cabinet: Cabinet, place: SupplyPlace, cabinets: Sequence[Cabinet], allowances: Allowances
) -> Space | None:
    """Give the space in, on or below a cabinet; nothing where that is not known.

    A shelf or an upright is a board: inside there is no more than its thickness.
    """
    where = f"{place} {cabinet.id}"
    if place == "in cabinet" and cabinet.kind in _BOARDS:
        return Space(where, (cabinet.width, cabinet.depth, cabinet.height))
    if place == "in cabinet":
        wide = cabinet.width - 2 * cabinet.side_panel
        deep = cabinet.depth - cabinet.back_set_in
        high = cabinet.height - 2 * cabinet.bottom_panel
        return Space(where, (max(wide, _NONE), max(deep, _NONE), max(high, _NONE)))
    if place == "on top of cabinet":
        return Space(where, (cabinet.width, cabinet.depth, _above(cabinet, cabinets)))
    if place == "in plinth":
        return Space(where, (cabinet.width, None, allowances.plinth_height))
    return None


def _above(cabinet: Cabinet, cabinets: Sequence[Cabinet]) -> Decimal | None:
    """Give how far above a cabinet the next one starts, if there is one [mm]."""
    top = cabinet.bottom_height + cabinet.height
    gaps = [
        other.bottom_height - top
        for other in cabinets
        if other.wall == cabinet.wall
        and other.bottom_height >= top
        and other.at < cabinet.at + cabinet.width
        and cabinet.at < other.at + other.width
    ]
    return min(gaps, default=None)


def place_for(
    part: Boxed | None, cabinet: Cabinet, cabinets: Sequence[Cabinet], allowances: Allowances
) -> SupplyPlace | None:
    """Give where at a cabinet a box goes: inside, or on a shelf; nothing if in neither."""
    places: tuple[SupplyPlace, ...] = ("in cabinet",)
    if cabinet.kind in _BOARDS[:2]:
        places = ("in cabinet", "on top of cabinet")
    for place in places:
        space = space_at(cabinet, place, cabinets, allowances)
        if part is None or goes_in(part, space, allowances):
            return place
    return None


def room_wanted(part: Boxed, allowances: Allowances) -> Sides | None:
    """Give the sides of a box with its air round it [mm]; nothing if its size is not known."""
    if not part.size:
        return None
    air = allowances.supply_air if part.air is None else part.air
    long, wide, high = (side + 2 * air for side in part.size)
    return long, wide, high


def goes_in(part: Boxed, space: Space | None, allowances: Allowances) -> bool:
    """Say if a box goes into a space, whichever way it lies; what is not known does."""
    wanted = room_wanted(part, allowances)
    if space is None or wanted is None:
        return True
    longest = sorted((side for side in wanted if side is not None), reverse=True)
    clear = sorted((Decimal("Infinity") if side is None else side for side in space.sides),
                   reverse=True)  # fmt: skip
    return all(side <= room for side, room in zip(longest, clear, strict=True))


def go_in_together(boxes: Sequence[Boxed], space: Space | None, allowances: Allowances) -> bool:
    """Say if boxes that each go in leave air to one another: they fill no more than there is."""
    if space is None or None in space.sides:
        return True
    room = _NONE + 1
    for side in space.sides:
        room *= side or _NONE
    filled = _NONE
    for each in boxes:
        wanted = room_wanted(each, allowances)
        if wanted:
            filled += (wanted[0] or _NONE) * (wanted[1] or _NONE) * (wanted[2] or _NONE)
    return filled <= room


def _three(sides: Sequence[Decimal]) -> Sides:
    """Give measured sides, those that were not measured as open."""
    one, two, three = (*sides, None, None, None)[:3]
    return one, two, three

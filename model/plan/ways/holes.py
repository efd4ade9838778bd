"""Every hole cables need: in which panel, where on it, how wide, for which cables."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.built import DrilledHole
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Cabinet
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cable as CablePart
from pelmet.model.job.parts import Sundry
from pelmet.model.measure.lengths import LengthUnit, print_length
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.survey.geometry import RoomPlan, WallLine
from pelmet.model.plan.ways.bores import (
    NOISE,
    Bored,
    grommet_bore,
    grommet_in,
    hole_for,
    needed_diameter,
)
from pelmet.model.plan.ways.drilling import BEFORE_HUNG, Hung, drilled_from, hung_in
from pelmet.model.plan.ways.place import Drilling, Panel
from pelmet.model.plan.ways.routes import Passing, RoomCables, Routes
from pelmet.model.remembered import Remembered

_MOVE = 5.0  # [mm] a hole that would meet something is moved forward in such steps
_SERVES = 40.0  # [mm] a drilled hole no further off than this from where one is wanted serves
_UNKNOWN_CABLE = 6.0  # [mm] across a cable that is not in the catalogue
_SIDES = ("left side", "right side", "upright")


class Hole(NamedTuple):
    """One hole to drill.

    ``across`` and ``out`` are its middle's distances from ``datum`` and from the wall, and
    ``height`` is up from the floor of the room [mm]; ``along`` is its place along its wall.
    ``drilled`` says from which side, ``flags`` what it comes too near to, ``takes`` its grommet by
    its part, nothing where none passes the cables, ``there`` that it is drilled already.
    """

    id: str
    owner: str
    panel: Panel
    wall: str
    along: float
    datum: str
    across: Figure
    out: Figure
    height: Figure
    diameter: Figure
    grommet: Figure
    cables: tuple[str, ...]
    drilled: str
    flags: tuple[str, ...]
    takes: str = ""
    there: bool = False


class _Terms(NamedTuple):
    """What holds for every hole of a job."""

    allowances: Allowances
    length_unit: LengthUnit
    inch_parts: int
    grommets: tuple[Sundry, ...]


def drill_holes(
    job: Job,
    parts: Catalogue,
    rooms: tuple[RoomPlan, ...],
    hung: Iterable[Cabinet],
    routes: Routes,
) -> tuple[Hole, ...]:
    """Collect the holes of all cables, along the walls of each room; a shared one stands once.

    The cabinets (``hung``) of each room come in the order of the job.
    A hole that is drilled keeps its number and its width; new ones are numbered after those.
    """
    kinds = {leg.id: find_part(parts.cables, leg.cable) for leg in job.legs}
    grommets = tuple(each for each in parts.sundries if each.serves == "grommet")
    terms = _Terms(job.allowances, job.site.length_unit, job.site.inch_parts, grommets)
    room_of = {line.wall.id: room.room.id for room in rooms for line in room.walls}
    cabinets: dict[str, list[Cabinet]] = {room.room.id: [] for room in rooms}
    for cabinet in hung:
        cabinets[room_of[cabinet.wall]].append(cabinet)
    # Two people may have noted one hole.
    noted = {each.hole: each for each in reversed(job.drilled)}
    there = grouped(
        (each for each in job.drilled if noted[each.hole] is each),
        lambda each: room_of[each.wall],
    )
    number = max((_number(each.hole) for each in job.drilled), default=0)
    holes: list[Hole] = []
    for room in rooms:
        name = room.room.id
        own = routes.in_room.get(name, _NO_CABLES)
        of = tuple([kinds.get(leg or "") for leg in own.legs])
        drilled = there.get(name, ())
        found = _of_room(room, tuple(cabinets[name]), own, of, drilled, terms, number)
        number += sum(not hole.there for hole in found)
        holes += found
    _of_room.keep(len(rooms) + _OTHER_ROOMS)
    return tuple(holes)


def _drill_room(
    room: RoomPlan,
    cabinets: tuple[Cabinet, ...],
    own: RoomCables,
    kinds: tuple[CablePart | None, ...],
    drilled: tuple[DrilledHole, ...],
    terms: _Terms,
    before: int,
) -> tuple[Hole, ...]:
    """Collect the holes of one room, numbered after so many before; ``kinds`` go with its legs."""
    wanted: dict[Drilling, list[tuple[Passing, CablePart | None]]] = {}
    kind_of = dict(zip(own.legs, kinds, strict=True))
    for cable in own.cables:
        kind = kind_of[cable.leg]
        for way in cable.ways:
            for drilling in way.drillings:  # one that comes back is in its hole twice
                wanted.setdefault(drilling, []).append((cable, kind))
    hung = hung_in(room, cabinets)
    holes: list[Hole] = []
    through: dict[str, list[tuple[Passing, CablePart | None]]] = {}
    new: list[Drilling] = []
    for drilling in sorted(wanted, key=_met):
        one = _hole_there(drilling, drilled, room) if drilled else None
        if one:
            through.setdefault(one.id, []).extend(wanted[drilling])
        elif not all(cable.laid for cable, _ in wanted[drilling]):
            new.append(drilling)
    holes += (_drilled(one, through.get(one.id, ()), hung, terms) for one in drilled)
    for number, drilling in enumerate(new, before + 1):
        hole_id = f"H{number}"
        bore = hole_for(hole_id, _widths(wanted[drilling]), terms.grommets, terms.length_unit)
        cables_in = [cable for cable, _ in wanted[drilling]]
        holes.append(_hole(hole_id, drilling, bore, cables_in, hung, terms))
    return tuple(sorted(holes, key=lambda hole: _in_room(hole, room)) if drilled else holes)


def _widths(cables: Iterable[tuple[Passing, CablePart | None]]) -> list[Figure]:
    return [
        given(
            "cable",
            float(kind.outside) if kind else _UNKNOWN_CABLE,
            "mm",
            "part",
            kind.id if kind else cable.id,
        )
        for cable, kind in cables
    ]


def _in_room(hole: Hole, room: RoomPlan) -> tuple[float, float, float, str]:
    line = next(line for line in room.walls if line.wall.id == hole.wall)
    return line.before + hole.along, float(hole.height.value), float(hole.out.value), hole.id


# What is there


def _number(hole: str) -> int:
    digits = hole.removeprefix("H")
    return int(digits) if digits.isdecimal() else 0


def _hole_there(
    drilling: Drilling, drilled: Iterable[DrilledHole], room: RoomPlan
) -> DrilledHole | None:
    """Give the drilled hole that serves: of the same panel, no further off than cable gives."""
    before = {line.wall.id: line.before for line in room.walls}

    def off(one: DrilledHole) -> float:
        along = before[one.wall] + float(one.at) - drilling.along
        return max(abs(along), abs(float(one.height) - drilling.height))

    near = [
        one
        for one in drilled
        if drilling.owner in (one.cabinet, one.obstacle)
        and one.panel == drilling.panel
        and off(one) <= _SERVES
    ]
    return min(near, key=off, default=None)


def _drilled(
    one: DrilledHole,
    through: Sequence[tuple[Passing, CablePart | None]],
    hung: Hung,
    terms: _Terms,
) -> Hole:
    """Give a hole as it was drilled, with the cables that go through it now."""
    line = next(line for line in hung.room.walls if line.wall.id == one.wall)
    owner = one.cabinet or one.obstacle or ""
    drilling = Drilling(
        owner, one.panel, line.before + float(one.at), float(one.out), float(one.height)
    )
    diameter = given("hole", one.diameter, "mm", "built", one.hole)
    bore = Bored(diameter, grommet_in(one.diameter, _widths(through), terms.grommets))
    cables = [cable for cable, _ in through]
    hole = _hole(one.hole, drilling, bore, cables, hung, terms)
    needed = needed_diameter([float(width.value) for width in _widths(through)]) if through else 0
    tight = needed > float(one.diameter) + NOISE and not all(cable.laid for cable in cables)
    wide, wants = (_length(each, terms) for each in (float(one.diameter), needed))
    flags = (f"drilled {wide}, its cables want {wants}: open it up",) if tight else ()
    return hole._replace(
        out=given("hole out", float(one.out), "mm", "built", one.hole),
        height=given("hole up", float(one.height), "mm", "built", one.hole),
        flags=flags,
        there=True,
    )


_of_room = Remembered(_drill_room)
_NO_CABLES = RoomCables((), ())
_OTHER_ROOMS = 200  # kept besides those of the job planned last


def _met(one: Drilling) -> tuple[object, ...]:
    return one.along, one.height, one.out, one.owner, one.panel


def _hole(
    hole_id: str,
    drilling: Drilling,
    bored: Bored,
    cables: Sequence[Passing],
    hung: Hung,
    terms: _Terms,
) -> Hole:
    bore, grommet = bored
    cabinet = hung.by_id.get(drilling.owner)
    line = _wall(drilling, hung.room, cabinet)
    at = drilling.along - line.before
    datum, across = f"start of wall {line.wall.id}", at
    if cabinet:
        datum = f"left side of {cabinet.id}"
        across = at - float(cabinet.at)
    out, flags = _clear(drilling, across, float(bore.value), cabinet, terms)
    wanted = float(terms.allowances.drill_room)
    drilled = drilled_from(drilling, at, hung, wanted)
    if drilled == BEFORE_HUNG:
        flags.append(f"once it hangs a drill of {_length(wanted, terms)} has no room there")
    return Hole(
        id=hole_id,
        owner=drilling.owner,
        panel=drilling.panel,
        wall=line.wall.id,
        along=at,
        datum=datum,
        across=given("hole across", across, "mm", "hole place", hole_id),
        out=given("hole out", out, "mm", "hole place", hole_id),
        height=given(
            "hole up", _height(drilling, float(bore.value), cabinet), "mm", "hole place", hole_id
        ),
        diameter=bore,
        grommet=derived("grommet bore", "mm", grommet_bore, hole_id, bore)
        if grommet is None or grommet.bore is None
        else given("grommet bore", grommet.bore, "mm", "part", grommet.id),
        cables=tuple(dict.fromkeys(cable.id for cable in cables)),
        drilled=drilled,
        flags=tuple(flags),
        takes=grommet.id if grommet else "",
    )


def _wall(drilling: Drilling, room: RoomPlan, cabinet: Cabinet | None) -> WallLine:
    """Give the wall a hole is at: its cabinet's, or the one that its place along falls on."""
    if cabinet:
        return next(line for line in room.walls if line.wall.id == cabinet.wall)
    met = [line for line in room.walls if line.before <= drilling.along]
    return max(met or room.walls[:1], key=lambda line: line.before)


def _height(drilling: Drilling, bore: float, cabinet: Cabinet | None) -> float:
    """Give the height of a hole's middle [mm]: through a stile, clear of the floor above it."""
    if cabinet is None or drilling.panel != "stile":
        return drilling.height
    return min(drilling.height, float(cabinet.bottom_height) - bore / 2)


def _clear(
    drilling: Drilling, across: float, bore: float, cabinet: Cabinet | None, terms: _Terms
) -> tuple[float, list[str]]:
    """Move a hole forward until it clears rails and pins; say what it still comes too near to."""
    out = drilling.out
    if cabinet is None:
        return out, []
    allowances = terms.allowances
    clear = bore / 2 + float(allowances.pin_zone)
    last = float(cabinet.depth) - float(allowances.hinge_zone)
    rows = [
        float(cabinet.depth) - float(row) for row in cabinet.pin_rows if drilling.panel in _SIDES
    ]
    while out + _MOVE <= last and any(abs(out - row) < clear for row in rows):
        out += _MOVE
    return out, list(_too_near(drilling, (across, out), bore, rows, cabinet, terms))


def _too_near(
    drilling: Drilling,
    middle: tuple[float, float],
    bore: float,
    rows: Sequence[float],
    cabinet: Cabinet,
    terms: _Terms,
) -> Iterator[str]:
    allowances = terms.allowances
    across, out = middle
    depth, width = float(cabinet.depth), float(cabinet.width)
    if any(abs(out - row) < bore / 2 + float(allowances.pin_zone) for row in rows):
        yield "on a row of shelf pins"
    if drilling.panel in ("floor", *_SIDES) and out > depth - float(allowances.hinge_zone):
        yield "where hinge plates or runners sit"
    rail = float(cabinet.back_set_in + allowances.rail_zone)
    if drilling.panel == "top" and out - bore / 2 < rail:
        yield "in the hanging rail"
    rims = {
        "floor": (out - float(cabinet.back_set_in), depth - out, across, width - across),
        "top": (out, depth - out, across, width - across),
        "left side": (out, depth - out),
        "right side": (out, depth - out),
        "upright": (out, depth - out),
    }.get(drilling.panel)
    if rims and min(rims) - bore / 2 < float(allowances.hole_edge):
        yield f"its rim {_length(min(rims) - bore / 2, terms)} from an edge"
    lip = float(cabinet.lip)
    reaches = float(cabinet.bottom_height) - _height(drilling, bore, cabinet) + bore / 2
    if drilling.panel == "stile" and lip < reaches:
        yield f"deeper than its stile hangs down, {_length(lip, terms)}"
    if drilling.panel in _SIDES and bore > float(allowances.side_hole):
        limit = _length(float(allowances.side_hole), terms)
        yield f"wider than {limit} through a side: drill two"


def _length(value: float, terms: _Terms) -> str:
    return print_length(Decimal(str(round(value, 1))), terms.length_unit, terms.inch_parts)

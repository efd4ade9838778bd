"""What the eye meets of each run: its dots, its image in the worktop, the strip itself, its white.

A cook stands before the worktop; where an open side is on the wall, somebody sits across it,
beyond its end, or behind it, as at a peninsula. What hides a strip from there is the deepest that
any of its bars needs: a lip before it, a panel at the end of its cabinets, or a lip at their back.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from math import atan2, cos, degrees, radians
from typing import Final, NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Cabinet, LookedIn, Obstacle, Room
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Channel, Strip
from pelmet.model.plan.bars.fitting import REMEMBERED, RunFit
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.light.dotted import dots_of
from pelmet.model.plan.light.lamps import MM_PER_METRE
from pelmet.model.plan.light.mirrored import (
    Around,
    Image,
    LevelBar,
    StripPlace,
    image_of,
    reading_of,
    tilt_of,
)
from pelmet.model.plan.light.photometry.shade import Lip
from pelmet.model.plan.light.photometry.sight import hiding_lip, strip_hidden
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.mounting.mounts import Mount

FAR_ALONG: Final = 3000.0
"""An open side further along than this from a cabinet shows nothing of it: an estimate. [mm]"""
_EDGE_ON: Final = 1e-9  # cosine below which a flat face sends nothing


FROM: Final[Mapping[LookedIn, str]] = {
    "across": "across",
    "end": "beyond",
    "behind": "behind",
}
"""Where a seat is, of an open side."""
HIDES: Final[Mapping[LookedIn, str]] = {
    "across": "a lip",
    "end": "a panel at that end",
    "behind": "a lip at its back",
}
"""What hides a strip from there."""


def is_practical(lip: Figure, allowances: Allowances) -> bool:
    """Say if a lip or a panel is of a depth that people put up with."""
    return float(lip.value) <= float(allowances.practical_lip)


class Seat(NamedTuple):
    """A seat at an open side: which, where it is, and what the eye there meets of a run.

    ``lip`` is how far down from the underside a lip or a panel hides the strip [mm]; nothing where
    none can. ``in_sight`` tells whether nothing does now.
    """

    side: str
    looked_in: LookedIn
    lip: Figure | None
    in_sight: bool


class RunSight(NamedTuple):
    """What the eye meets of a run; what does not apply, or is not known, is nothing.

    ``seats`` are those at open sides that people look in from; ``beside`` the other runs in its
    line of sight.
    """

    run: str
    room: Room
    strip: Strip | None
    dots: Figure | None
    clear: bool
    image: Image | None
    seats: tuple[Seat, ...]
    beside: tuple[str, ...]

    @property
    def sides(self) -> tuple[str, ...]:
        """The open sides that people look in from."""
        return tuple(seat.side for seat in self.seats)

    @property
    def in_sight(self) -> bool:
        """Whether the strip is seen from any seat."""
        return any(seat.in_sight for seat in self.seats)

    @property
    def hiding_lip(self) -> Figure | None:
        """The deepest lip that a seat across needs [mm]."""
        lips = [seat.lip for seat in self.seats if seat.looked_in == "across" and seat.lip]
        return max(lips, key=lambda lip: float(lip.value), default=None)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """What was worked out of it."""
        image = self.image
        some = (image.at, image.incidence, image.contrast) if image else ()
        lips = (seat.lip for seat in self.seats)
        return tuple(each for each in (self.dots, *some, *lips) if each)


def look_at_runs(
    job: Job,
    parts: Catalogue,
    fits: tuple[RunFit, ...],
    mounts: tuple[Mount, ...],
    lights: tuple[RunLight, ...],
) -> tuple[RunSight, ...]:
    """Work out what the eye meets of every run."""
    rooms = {room.id: room for room in job.rooms}
    room_of = {wall.id: rooms[wall.room] for wall in job.walls}
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    of_bar = {mount.bar: mount for mount in mounts}
    by_place = {(light.run, light.wall): light for light in lights if light.plane.use == "worktop"}
    lit = {light.run for light in lights}
    on_top = {run for run, _ in by_place}
    sides = [each for each in job.obstacles if each.kind == "open side"]
    beside = _beside(fits, cabinets)
    found = []
    for fit in fits:
        run = fit.run
        room = room_of[cabinets[run.cabinets[0]].wall]
        strip = find_part(parts.strips, run.strip)
        channel = find_part(parts.channels, run.channel)
        diffuser = find_part(parts.diffusers, run.diffuser)
        near = open_sides(sides, [cabinets[name] for name in run.cabinets])
        clear = diffuser is not None and diffuser.clear
        blank = RunSight(
            run=run.id,
            room=room,
            strip=strip,
            dots=None,
            clear=clear,
            image=None,
            seats=tuple(map(_unseen, near)),
            beside=beside.get(run.id, ()),
        )
        if channel is None or strip is None:
            found.append(blank)
            continue
        around = Around(job, room, strip, channel, diffuser, by_place)
        hung = tuple(_hung(fit, channel, of_bar, cabinets))
        # What lights a shelf, or a room without worktop, has no image in one.
        without_top = run.id not in on_top and (run.id in lit or room.in_use != "worktop")
        found.append(
            blank._replace(
                dots=dots_of(run.id, strip, channel, diffuser) if diffuser else None,
                image=None if without_top else image_of(around, fit, hung),
                seats=tuple(
                    _seated(job, side, hung, channel, _far_end(fit, side)) for side in near
                ),
            )
        )
    return tuple(found)


def open_sides(sides: Sequence[Obstacle], over: Sequence[Cabinet]) -> tuple[Obstacle, ...]:
    """Give the open sides that people look into a run from: on its walls, and not far along."""
    return tuple(side for side in sides if any(_is_beside(side, each) for each in over))


def _unseen(side: Obstacle) -> Seat:
    return Seat(side.id, side.looked_in, lip=None, in_sight=False)


def _is_beside(side: Obstacle, cabinet: Cabinet) -> bool:
    if side.wall != cabinet.wall:
        return False
    past = max(side.at - cabinet.at - cabinet.width, cabinet.at - side.at - side.width)
    return float(past) <= FAR_ALONG


def _hung(
    fit: RunFit,
    channel: Channel,
    mounts: Mapping[str, Mount],
    cabinets: Mapping[str, Cabinet],
) -> Iterator[LevelBar]:
    """Give a bar of each place that a run's level bars hang at."""
    known: set[tuple[str, StripPlace]] = set()
    for bar in fit.bars:
        over = tuple(cabinets[name] for name in bar.opening.cabinets if name in cabinets)
        mount = mounts.get(bar.id)
        if bar.upright or not over or mount is None:
            continue
        place = StripPlace(
            float(mount.from_wall.value) / MM_PER_METRE,
            float(mount.height.value) / MM_PER_METRE,
            float(channel.face) / 2 / MM_PER_METRE,
            tilt_of(fit.run.facing),
            float(max(each.depth for each in over)) / MM_PER_METRE,
            float(max(each.bottom_height for each in over)) / MM_PER_METRE,
            float(min(max(each.lip, each.door_overhang) for each in over)) / MM_PER_METRE,
        )
        if (bar.wall, place) not in known:
            known.add((bar.wall, place))
            yield LevelBar(bar, mount, over, place)


# --- The strip itself, from a seat --------------------------------------------------------------


class _SeatView(NamedTuple):
    lip: float | None  # [mm]
    in_sight: bool


@lru_cache(maxsize=REMEMBERED)
def _from_seat(place: StripPlace, away: float, eye: float) -> _SeatView:
    """Say if somebody seated across sees the lit face, and which lip would hide all of it."""
    eye_x, back = place.out + away, place.out - place.half_face
    lit = _faces(place, away, eye)
    if not back < place.front < eye_x:
        return _SeatView(None, lit)
    lip = hiding_lip(back, place.height, place.front, eye_x, eye, place.underside)
    hidden = strip_hidden(back, place.height, place.lip, eye_x, eye)
    return _SeatView(lip * MM_PER_METRE, lit and not hidden)


def _faces(place: StripPlace, away: float, eye: float) -> bool:
    """Say if a flat face sends light to an eye: none at a right angle to its way, or beyond."""
    psi = degrees(atan2(away, place.height - eye))
    return cos(radians(psi - place.tilt)) > _EDGE_ON


@lru_cache(maxsize=REMEMBERED)
def _from_behind(place: StripPlace, away: float, eye: float) -> _SeatView:
    """Say the same of a seat behind the cabinets: nothing hangs at their back but their edge."""
    front, eye_x = place.out + place.half_face, away - place.out
    lit = _faces(place, -away, eye)
    if eye_x <= 0:
        return _SeatView(None, lit)
    lip = hiding_lip(-front, place.height, 0.0, eye_x, eye, place.underside)
    edge = Lip(0.0, place.underside)
    return _SeatView(
        lip * MM_PER_METRE, lit and not strip_hidden(-front, place.height, edge, eye_x, eye)
    )


def _far_end(fit: RunFit, side: Obstacle) -> float | None:
    """Give how far a run's strip goes along a wall from that end of its cabinets that is open."""
    bars = [bar for bar in fit.bars if bar.wall == side.wall and not bar.upright]
    if not bars:
        return None
    first, last = (
        float(min(bar.lit_left for bar in bars)),
        float(max(bar.lit_right for bar in bars)),
    )
    covers = [cover for bar in bars for cover in bar.opening.covers]
    left = float(min(cover.left for cover in covers))
    right = float(max(cover.right for cover in covers))
    middle = float(side.at + side.width / 2)
    if abs(middle - left) < abs(middle - right):
        return last - left
    return right - first


def _seated(
    job: Job, side: Obstacle, hung: Sequence[LevelBar], channel: Channel, far: float | None
) -> Seat:
    """Give what hides every bar of a run from a seat, and whether any is in sight."""
    allowances = job.allowances
    away = float(allowances.seated_away) / MM_PER_METRE
    eye = float(allowances.seated_eye) / MM_PER_METRE
    here = [each for each in hung if each.bar.wall == side.wall]
    if side.looked_in == "end":
        return _from_end(job, side, here, far)
    view = _from_seat if side.looked_in == "across" else _from_behind
    seen = [(each, view(each.place, away, eye)) for each in here]
    in_sight = any(each.in_sight for _, each in seen)
    needed = [(found.lip, row) for row, (_, found) in enumerate(seen) if found.lip is not None]
    if not needed:
        return Seat(side.id, side.looked_in, None, in_sight)
    one = seen[max(needed)[1]][0]
    front = max(one.over, key=lambda each: each.depth)
    highest = max(one.over, key=lambda each: each.bottom_height)
    face = given("face", channel.face, "mm", "part", channel.id)
    seat = (
        given("seated eye", allowances.seated_eye, "mm", "allowance"),
        given("seated away", allowances.seated_away, "mm", "allowance"),
    )
    under = reading_of(highest, "bottom height", "bottom_height")
    place = (one.mount.from_wall, face, one.mount.height)
    if side.looked_in == "across":
        depth = reading_of(front, "depth", "depth")
        figure = derived(
            "lip to hide it", "mm", lip_needed, one.bar.run, *place, depth, under, *seat
        )
    else:
        figure = derived(
            "lip at its back", "mm", back_lip_needed, one.bar.run, *place, under, *seat
        )
    return Seat(side.id, side.looked_in, figure, in_sight)


def _from_end(job: Job, side: Obstacle, hung: Sequence[LevelBar], ends: float | None) -> Seat:
    """Give the panel at the end of a run's cabinets that hides all of it from a seat beyond."""
    allowances = job.allowances
    eye = float(allowances.seated_eye)
    # The face is seen along: it sends nothing to an eye that is no lower than it.
    seen = [each for each in hung if eye < float(each.mount.height.value)]
    if not seen or ends is None:
        return _unseen(side)
    one = max(seen, key=lambda each: float(each.mount.height.value))
    highest = max(one.over, key=lambda each: each.bottom_height)
    figure = derived(
        "panel at its end",
        "mm",
        end_panel_needed,
        one.bar.run,
        given("far lit end", ends, "mm", "lit end", one.bar.run),
        one.mount.height,
        reading_of(highest, "bottom height", "bottom_height"),
        given("seated eye", allowances.seated_eye, "mm", "allowance"),
        given("seated away", allowances.seated_away, "mm", "allowance"),
    )
    hides = min((each.lip for each in one.over if each.underside == "framed"), default=0)
    return Seat(side.id, side.looked_in, figure, float(hides) < float(figure.value))


@works_out("hiding lip")
def lip_needed(
    out: float, face: float, height: float, front: float, underside: float, eye: float, away: float
) -> float:
    """Give how far below the underside a lip hides a strip from a seat, all in mm.

    ``out`` and ``front`` are from the wall, ``away`` is from the strip to the seated eye.
    """
    strip = out / MM_PER_METRE
    lip = hiding_lip(
        strip - face / 2 / MM_PER_METRE,
        height / MM_PER_METRE,
        front / MM_PER_METRE,
        strip + away / MM_PER_METRE,
        eye / MM_PER_METRE,
        underside / MM_PER_METRE,
    )
    return lip * MM_PER_METRE


@works_out("hiding back lip")
def back_lip_needed(
    out: float, face: float, height: float, underside: float, eye: float, away: float
) -> float:
    """Give how far below the underside a lip at the back hides a strip from behind, all in mm.

    ``out`` is from the cabinets' back, ``away`` from the strip to the seated eye beyond it.
    """
    beyond = away - out
    if beyond <= 0:
        return 0.0
    lip = hiding_lip(
        -(out + face / 2) / MM_PER_METRE,
        height / MM_PER_METRE,
        0.0,
        beyond / MM_PER_METRE,
        eye / MM_PER_METRE,
        underside / MM_PER_METRE,
    )
    return lip * MM_PER_METRE


@works_out("hiding end panel")
def end_panel_needed(far: float, height: float, underside: float, eye: float, away: float) -> float:
    """Give how far below the underside a panel at the end of a run hides all of it, all in mm.

    ``far`` is from the panel to the strip's far end, ``away`` from the panel to the seated eye.
    """
    lip = hiding_lip(
        -far / MM_PER_METRE,
        height / MM_PER_METRE,
        0.0,
        away / MM_PER_METRE,
        eye / MM_PER_METRE,
        underside / MM_PER_METRE,
    )
    return lip * MM_PER_METRE


# --- What is seen at one glance -----------------------------------------------------------------


def _beside(
    fits: Sequence[RunFit], cabinets: Mapping[str, Cabinet]
) -> Mapping[str, tuple[str, ...]]:
    """Give each run the others that hang at the same wall, at one height and in one line."""
    rows: dict[tuple[object, ...], dict[str, None]] = {}
    for fit in fits:
        for name in fit.run.cabinets:
            over = cabinets[name]
            if over.kind != "upright":
                key = (over.wall, over.bottom_height, fit.run.line)
                rows.setdefault(key, {})[fit.run.id] = None
    found: dict[str, dict[str, None]] = {}
    for runs in rows.values():
        for run in runs:
            found.setdefault(run, {}).update((other, None) for other in runs if other != run)
    return {run: tuple(others) for run, others in found.items()}

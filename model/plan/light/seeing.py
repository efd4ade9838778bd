"""What the eye meets of each run: its dots, its image in the worktop, the strip itself, its white.

A cook stands before the worktop; where an open side is on the wall, somebody sits across it.
The lip that hides a strip from there is the deepest that any of its bars needs.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from math import atan2, cos, degrees, radians
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Cabinet, Obstacle, Room
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Channel, Diffuser, Strip
from pelmet.model.plan.bars.fitting import REMEMBERED, RunFit
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
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
from pelmet.model.plan.light.photometry.dots import dot_modulation
from pelmet.model.plan.light.photometry.sight import hiding_lip, strip_hidden
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.mounting.mounts import Mount

DEPTH_TAKEN: Final = 3.0
"""What a channel's back, strip, LEDs and diffuser take of its depth: an estimate. [mm]"""
_EDGE_ON: Final = 1e-9  # cosine below which a flat face sends nothing


class RunSight(NamedTuple):
    """What the eye meets of a run; what does not apply, or is not known, is nothing.

    ``sides`` are the open sides that people look in from, ``hiding_lip`` how deep a lip hides the
    strip from them seated [mm], ``in_sight`` whether nothing does; ``beside`` the other runs in
    its line of sight.
    """

    run: str
    room: Room
    strip: Strip | None
    dots: Figure | None
    clear: bool
    image: Image | None
    sides: tuple[str, ...]
    hiding_lip: Figure | None
    in_sight: bool
    beside: tuple[str, ...]

    @property
    def figures(self) -> tuple[Figure, ...]:
        """What was worked out of it."""
        image = self.image
        some = (image.at, image.incidence, image.contrast) if image else ()
        return tuple(each for each in (self.dots, *some, self.hiding_lip) if each)


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
    by_place = {(light.run, light.wall): light for light in lights}
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
            sides=near,
            hiding_lip=None,
            in_sight=False,
            beside=beside.get(run.id, ()),
        )
        if channel is None or strip is None:
            found.append(blank)
            continue
        around = Around(job, room, strip, channel, diffuser, by_place)
        hung = tuple(_hung(fit, channel, of_bar, cabinets))
        lip, in_sight = _seated(job, hung, channel) if near else (None, False)
        found.append(
            blank._replace(
                dots=_dots(run.id, strip, channel, diffuser) if diffuser else None,
                image=image_of(around, fit, hung),
                hiding_lip=lip,
                in_sight=in_sight,
            )
        )
    return tuple(found)


def open_sides(sides: Sequence[Obstacle], over: Sequence[Cabinet]) -> tuple[str, ...]:
    """Give the open sides on the walls of a run's cabinets, by their ids."""
    walls = {cabinet.wall for cabinet in over}
    return tuple(side.id for side in sides if side.wall in walls)


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


# --- Dots ---------------------------------------------------------------------------------------


@works_out("dots")
@lru_cache(maxsize=REMEMBERED)
def dot_percent(pitch: float, distance: float) -> float:
    """Give how uneven a diffuser is from LED to LED [%], by the LEDs' pitch and distance [mm]."""
    return 100 * dot_modulation(pitch, distance)


@works_out("depth to diffuser")
def depth_to_diffuser(depth: float) -> float:
    """Give how far the LEDs are from the diffuser of a channel so deep [mm]."""
    return max(depth - DEPTH_TAKEN, 0.0)


def _dots(run: str, strip: Strip, channel: Channel, diffuser: Diffuser) -> Figure:
    """Give how uneven the diffuser is from LED to LED; a clear cover spreads nothing."""
    pitch = given("pitch", strip.pitch, "mm", "part", strip.id)
    if diffuser.clear:
        distance = given("LEDs to diffuser", 0, "mm", "part", diffuser.id)
    elif channel.diffuser_distance is not None:
        distance = given("LEDs to diffuser", channel.diffuser_distance, "mm", "part", channel.id)
    else:
        depth = given("channel depth", channel.depth, "mm", "part", channel.id)
        distance = derived("LEDs to diffuser", "mm", depth_to_diffuser, channel.id, depth)
    return derived("dots", "%", dot_percent, run, pitch, distance)


# --- The strip itself, from a seat --------------------------------------------------------------


class _SeatView(NamedTuple):
    lip: float | None  # [mm]
    in_sight: bool


@lru_cache(maxsize=REMEMBERED)
def _from_seat(place: StripPlace, away: float, eye: float) -> _SeatView:
    """Say if somebody seated sees the lit face, and which lip would hide all of it."""
    eye_x, back = place.out + away, place.out - place.half_face
    # A flat face sends nothing at a right angle to the way it faces, or beyond.
    psi = degrees(atan2(away, place.height - eye))
    lit = cos(radians(psi - place.tilt)) > _EDGE_ON
    if not back < place.front < eye_x:
        return _SeatView(None, lit)
    lip = hiding_lip(back, place.height, place.front, eye_x, eye, place.underside)
    hidden = strip_hidden(back, place.height, place.lip, eye_x, eye)
    return _SeatView(lip * MM_PER_METRE, lit and not hidden)


def _seated(job: Job, hung: Sequence[LevelBar], channel: Channel) -> tuple[Figure | None, bool]:
    """Give the lip that hides every bar of a run from a seat, and whether any is in sight."""
    allowances = job.allowances
    away = float(allowances.seated_away) / MM_PER_METRE
    eye = float(allowances.seated_eye) / MM_PER_METRE
    seen = [(each, _from_seat(each.place, away, eye)) for each in hung]
    in_sight = any(each.in_sight for _, each in seen)
    needed = [(found.lip, row) for row, (_, found) in enumerate(seen) if found.lip is not None]
    if not needed:
        return None, in_sight
    one = seen[max(needed)[1]][0]
    front = max(one.over, key=lambda each: each.depth)
    highest = max(one.over, key=lambda each: each.bottom_height)
    figure = derived(
        "lip to hide it",
        "mm",
        lip_needed,
        one.bar.run,
        one.mount.from_wall,
        given("face", channel.face, "mm", "part", channel.id),
        one.mount.height,
        reading_of(front, "depth", "depth"),
        reading_of(highest, "bottom height", "bottom_height"),
        given("seated eye", allowances.seated_eye, "mm", "allowance"),
        given("seated away", allowances.seated_away, "mm", "allowance"),
    )
    return figure, in_sight


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

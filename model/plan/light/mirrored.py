"""The image of a run's strip in the worktop below it: where a standing eye meets it, how bright.

Of a run's bars the one whose image is seen, else the first, stands for all.
"""

from collections.abc import Iterator, Mapping, Sequence
from functools import lru_cache
from typing import Final, NamedTuple

from pelmet.model.job.items import Cabinet, Facing, Line, Room
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Channel, Diffuser, Strip
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import REMEMBERED, RunFit
from pelmet.model.plan.bars.line import out_from_wall
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.light.lamps import MM_PER_METRE
from pelmet.model.plan.light.photometry.gloss import (
    FINISHES,
    image_contrast,
    strip_luminance,
    top_luminance,
)
from pelmet.model.plan.light.photometry.mirror import (
    MirrorPoint,
    MirrorSight,
    mirror_point,
    mirror_sight,
    ray_at_lip,
)
from pelmet.model.plan.light.photometry.shade import Lip
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.mounting.mounts import STRAIGHT_DOWN, Mount, throw_degrees

MOST_CONTRAST: Final = 1000.0
"""Beyond it an image is as good as in a looking-glass; a black top would have no end of it. [-]"""

LINES: Final[tuple[Line, ...]] = ("front", "middle", "back")
TO_WALL: Final[tuple[Facing, ...]] = ("60 to wall", "45 to wall", "30 to wall")


class Elsewhere(NamedTuple):
    """Another line of a run, how far from the wall its image would be [mm], and if it is seen."""

    line: Line
    image: float
    seen: bool


class Image(NamedTuple):
    """The image of a run's strip in the worktop, for a standing eye.

    ``at`` is how far it is from the wall [mm], ``incidence`` the angle of the ray to the upright
    there [deg]; ``contrast`` is image over top, nothing while there is no light on the top.
    ``lip`` would hide it [mm below the underside]; nothing if the strip hangs before the cabinet.
    ``throws`` are the facings to the wall that send nothing there.
    """

    bar: str
    at: Figure
    incidence: Figure
    contrast: Figure | None
    sight: MirrorSight
    elsewhere: tuple[Elsewhere, ...]
    lip: float | None
    throws: tuple[Facing, ...]


class StripPlace(NamedTuple):
    """A strip and the front edge of what hangs over it, heights above the floor. [m]"""

    out: float
    height: float
    half_face: float
    tilt: float  # [degrees]
    front: float
    underside: float
    hides: float

    @property
    def lip(self) -> Lip:
        """The lowest that hangs before the strip all along it, be it the underside's edge."""
        return Lip(self.front, self.underside - self.hides)


class Cook(NamedTuple):
    """A worktop and the eye of who stands at it; its height above the floor. [m]"""

    top: float
    depth: float
    eye_x: float
    eye_height: float


class LevelBar(NamedTuple):
    """A bar that hangs level, with all that its figures stand on."""

    bar: Bar
    mount: Mount
    over: tuple[Cabinet, ...]
    place: StripPlace


class Around(NamedTuple):
    """The job as one run sees it."""

    job: Job
    room: Room
    strip: Strip | None
    channel: Channel
    diffuser: Diffuser | None
    lights: Mapping[tuple[str, str], RunLight]


def tilt_of(facing: Facing) -> float:
    """Give the tilt from straight down, plus towards the room. [degrees]"""
    throw, side = throw_degrees(facing)
    return float(side * (STRAIGHT_DOWN - throw))


@lru_cache(maxsize=REMEMBERED)
def _mirrored(place: StripPlace, cook: Cook) -> MirrorSight | None:
    """Give where a cook sees a strip in the top; nothing if either is no higher than it."""
    height, eye = place.height - cook.top, cook.eye_height - cook.top
    if height <= 0 or eye <= 0:
        return None
    lip = Lip(place.front, place.lip.bottom - cook.top)
    return mirror_sight(place.out, height, cook.eye_x, eye, cook.depth, place.tilt, lip)


@lru_cache(maxsize=REMEMBERED)
def _image_lip(place: StripPlace, cook: Cook) -> float | None:
    """Give how far below the underside a lip must come to hide the image, to its back edge [mm]."""
    back = place.out - place.half_face
    if not back < place.front < cook.eye_x:
        return None
    ray = ray_at_lip(
        back, place.height - cook.top, place.front, cook.eye_x, cook.eye_height - cook.top
    )
    return max(place.underside - cook.top - ray, 0.0) * MM_PER_METRE


def _cook(job: Job, room: Room) -> Cook:
    allowances = job.allowances
    depth = float(room.worktop_depth) / MM_PER_METRE
    return Cook(
        float(room.worktop_height) / MM_PER_METRE,
        depth,
        depth + float(allowances.eye_away) / MM_PER_METRE,
        float(allowances.standing_eye) / MM_PER_METRE,
    )


def image_of(around: Around, fit: RunFit, hung: Sequence[LevelBar]) -> Image | None:
    """Give a run's image in the top; nothing if no bar of it, or no eye, is above the top.

    Of its bars the one whose image is seen, else the first, stands for all.
    """
    cook = _cook(around.job, around.room)
    sights = [(each, sight) for each in hung if (sight := _mirrored(each.place, cook))]
    if not sights:
        return None
    one, sight = next((pair for pair in sights if pair[1].seen), sights[0])
    inputs = (one.mount.from_wall, one.mount.height, *_cook_figures(around))
    at = derived("mirror image", "mm", image_out, fit.run.id, *inputs)
    incidence = derived("mirror angle", "deg", image_angle, fit.run.id, *inputs)
    return Image(
        bar=one.bar.id,
        at=at,
        incidence=incidence,
        contrast=_contrast(around, fit.run.id, one.bar, incidence),
        sight=sight,
        elsewhere=tuple(_elsewhere(around, fit, one, cook)),
        lip=_image_lip(one.place, cook),
        throws=tuple(throw for throw in TO_WALL if not _lit(one.place, cook, throw)),
    )


@works_out("mirror image")
def image_out(*of: float) -> float:
    """Give how far from the wall an eye sees a strip in the top [mm], of what `_met` takes."""
    return _met(*of).x * MM_PER_METRE


@works_out("mirror angle")
def image_angle(*of: float) -> float:
    """Give the angle to the upright at which it does [degrees], of what `_met` takes."""
    return _met(*of).incidence


def _met(
    out: float, height: float, top: float, depth: float, eye: float, away: float
) -> MirrorPoint:
    """Give where the eye of somebody at a worktop meets a strip in it; all in mm.

    ``out`` and ``height`` are the strip's, above the floor like ``top`` and ``eye``; ``away`` is
    from the edge of a worktop of this ``depth`` to the eye.
    """
    floor = top / MM_PER_METRE
    return mirror_point(
        out / MM_PER_METRE,
        height / MM_PER_METRE - floor,
        depth / MM_PER_METRE + away / MM_PER_METRE,
        eye / MM_PER_METRE - floor,
    )


def _lit(place: StripPlace, cook: Cook, facing: Facing) -> bool:
    """Say if a strip that throws this way still sends light to where its image is."""
    sight = _mirrored(place._replace(tilt=tilt_of(facing)), cook)
    return sight is not None and sight.lit


def _cook_figures(around: Around) -> tuple[Figure, ...]:
    room, allowances = around.room, around.job.allowances
    return (
        reading_of(room, "worktop height", "worktop_height"),
        reading_of(room, "worktop depth", "worktop_depth"),
        given("standing eye", allowances.standing_eye, "mm", "allowance"),
        given("eye from edge", allowances.eye_away, "mm", "allowance"),
    )


def reading_of(thing: Room | Cabinet, name: str, field: str, unit: str = "mm") -> Figure:
    """Give a reading, marked as assumed where nobody took it."""
    origin = "assumed" if field in thing.assumed else "reading"
    return given(name, getattr(thing, field), unit, origin, thing.id)


def _contrast(around: Around, run: str, bar: Bar, incidence: Figure) -> Figure | None:
    """Give image over top: the strip taken as an even, matt face that all its light leaves."""
    light = around.lights.get((run, bar.wall))
    lumens = next(
        (
            each
            for each in (light.average.inputs if light else ())
            if each.formula_id == "bar lumens" and each.about == bar.id
        ),
        None,
    )
    width = _lit_width(around)
    if light is None or lumens is None or not float(width.value):
        return None
    finish = FINISHES[around.room.worktop_finish]
    share = given("left by the finish", 100 * finish.share, "%", "finish share", around.room.id)
    own = reading_of(around.room, "worktop gives back", "worktop_percent", "%")
    inputs = (lumens, width, incidence, light.average, own, share)
    return derived("image over top", "1", contrast_of_image, run, *inputs)


@works_out("image contrast")
def contrast_of_image(
    lumens: float, width: float, incidence: float, lux: float, gives_back: float, share: float
) -> float:
    """Give image over top, of a strip's lm/m, lit width [mm] and angle [degrees].

    The top has so many lux and gives back so much [%]; ``share`` [%] is left by its finish.
    """
    strip = strip_luminance(lumens, width / MM_PER_METRE)
    top = top_luminance(lux, gives_back / 100)
    return min(image_contrast(strip, incidence, top, share / 100), MOST_CONTRAST)


def _lit_width(around: Around) -> Figure:
    if around.strip is not None and around.diffuser is not None and around.diffuser.clear:
        return given("strip width", around.strip.width, "mm", "part", around.strip.id)
    return given("face", around.channel.face, "mm", "part", around.channel.id)


def _elsewhere(around: Around, fit: RunFit, one: LevelBar, cook: Cook) -> Iterator[Elsewhere]:
    """Give what moving the line would do about its image."""
    depth = min(each.depth for each in one.over)
    for line in LINES:
        if line == fit.run.line:
            continue
        out = out_from_wall(line, depth, around.channel, around.job.allowances)
        sight = _mirrored(one.place._replace(out=float(out) / MM_PER_METRE), cook)
        if sight is not None:
            yield Elsewhere(line, sight.point.x * MM_PER_METRE, sight.seen)

"""Rays of a section: by way of the worktop to a standing eye, below the lip, to a seated eye.

Where they come to is worked out in metres by ``photometry``; here they are drawn, and told.
"""

from collections.abc import Iterator
from typing import Final, Literal, NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Cabinet, Facing, Room
from pelmet.model.plan.light.lamps import MM_PER_METRE, lip_of
from pelmet.model.plan.light.photometry import sight
from pelmet.model.plan.light.photometry.line import lit_line
from pelmet.model.plan.light.photometry.mirror import mirror_sight
from pelmet.model.plan.light.photometry.shade import Lip, shadow_edge
from pelmet.model.plan.mounting.mounts import STRAIGHT_DOWN, Mount, throw_degrees
from pelmet.model.told.drawings.drawing import Canvas, Words

Seated = Literal["seen", "lip hides", "cabinet hides"]

MIRROR, SHADOW = "o", "x"  # where a ray comes to the worktop
_TO_EYE, _PAST_LIP, _SEATED = ".", "'", "-"
_LEAST_ROWS: Final = 3  # between bar and worktop, below which a slanted ray is not readable
_STEPS: Final = 2  # marks of a ray in a row
RAY_ROWS: Final = 4  # that rays to the worktop are given where there is room
_A_ROW: Final = 10.0  # [mm] that a row stands for beside a bar, near enough


class Rays(NamedTuple):
    """Where the rays of a bar come to, from the wall [mm]; nothing where there is none.

    ``mirror`` is where a worktop that is not matt shows the bar to a standing eye, ``shadow``
    where on it the lip's shadow begins, ``seated`` what becomes of the ray to an eye across an
    open side, and ``fall`` how far that one falls for each millimetre out.
    """

    mirror: float | None
    shadow: float | None
    seated: Seated | None
    fall: float

    @property
    def to_worktop(self) -> bool:
        """Whether a ray comes to the worktop."""
        return self.mirror is not None or self.shadow is not None


def rays_of(
    cabinet: Cabinet,
    room: Room,
    facing: Facing,
    hung: Mount,
    allowances: Allowances,
    *,
    open_side: bool,
) -> Rays:
    """Give the rays from a bar below a cabinet; ``open_side``: people can sit across from it."""
    out, high = float(hung.from_wall.value), float(hung.height.value)
    shown, shadow = _on_worktop(cabinet, room, facing, (out, high), allowances)
    if not open_side:
        return Rays(shown, shadow, None, 0.0)
    away, eye = float(allowances.seated_away), float(allowances.seated_eye)
    return Rays(shown, shadow, _seated(cabinet, out, high, out + away, eye), (high - eye) / away)


def _on_worktop(
    cabinet: Cabinet,
    room: Room,
    facing: Facing,
    bar: tuple[float, float],
    allowances: Allowances,
) -> tuple[float | None, float | None]:
    """Give the mirror point and the shadow's edge on the worktop [mm]."""
    top, depth = float(room.worktop_height), float(room.worktop_depth) / MM_PER_METRE
    out, height = bar[0] / MM_PER_METRE, (bar[1] - top) / MM_PER_METRE
    eye_height = (float(allowances.standing_eye) - top) / MM_PER_METRE
    if not top or height <= 0 or out < 0:  # no height: there is no worktop
        return None, None
    lip = lip_of([cabinet], top / MM_PER_METRE, out, height)
    edge = shadow_edge(lit_line(out, height, 0.0, 1.0, 1.0), lip) if lip else None
    shadow = edge * MM_PER_METRE if edge is not None and edge <= depth else None
    if room.worktop_finish == "matt" or eye_height <= 0:
        return None, shadow
    degrees, side = throw_degrees(facing)
    seen = mirror_sight(
        out,
        height,
        depth + float(allowances.eye_away) / MM_PER_METRE,
        eye_height,
        depth,
        side * (STRAIGHT_DOWN - degrees),
        lip,
    )
    return seen.point.x * MM_PER_METRE if seen.seen else None, shadow


def _seated(cabinet: Cabinet, out: float, high: float, eye_out: float, eye: float) -> Seated:
    """Say what stands between a bar and an eye, all in millimetres from wall and floor."""
    front, hangs = float(cabinet.depth), float(max(cabinet.lip, cabinet.door_overhang))
    if not out < front < eye_out:
        return "seen"
    edge = Lip(front, float(cabinet.bottom_height) - hangs)
    if not sight.strip_hidden(out, high, edge, eye_out, eye):
        return "seen"
    return "lip hides" if hangs else "cabinet hides"


def ray_words(rays: Rays) -> Iterator[tuple[Literal["below", "worktop"], str, float | None]]:
    """Give what there is to say of rays, by its part, each with the place that ends it [mm]."""
    if rays.seated == "seen":
        yield "below", "a seated eye sees it", None
    elif rays.seated:
        yield "below", f"{rays.seated} it from a seated eye", None
    if rays.mirror is not None:
        yield "worktop", "seen in the top at", rays.mirror
    if rays.shadow is not None:
        yield "worktop", "lip's shadow from", rays.shadow


class RayFrame(NamedTuple):
    """Where on the sheet a section's rays go.

    Columns of the ``bar``, of the ``front`` of its cabinet and before the ``right`` border; rows
    of the bar's light side, of the ``gap`` and of the ``worktop``; millimetres a column.
    """

    mm: float
    bar: int
    half: int
    front: int
    right: int
    light: int
    gap: int
    worktop: int | None


def draw_rays(canvas: Canvas, frame: RayFrame, rays: Rays, run: str) -> None:
    """Draw rays where nothing else is: those to the worktop below where it is cut short."""
    _draw_seated(canvas, frame, rays, run)
    if frame.worktop is None:
        return
    if rays.shadow is not None:
        _slant(canvas, frame, (frame.front + 1, rays.shadow / frame.mm), _PAST_LIP, run)
        canvas.put((frame.worktop, round(rays.shadow / frame.mm)), SHADOW, "dark", run)
    if rays.mirror is not None:
        point = rays.mirror / frame.mm
        _slant(canvas, frame, (frame.bar, point), _TO_EYE, run)
        # A mirrored ray goes up as steeply as it came down.
        _slant(canvas, frame, (2 * point - frame.bar, point), _TO_EYE, run)
        canvas.put((frame.worktop, round(point)), MIRROR, "run", run)


def _slant(
    canvas: Canvas, frame: RayFrame, columns: tuple[float, float], char: str, run: str
) -> None:
    """Draw a ray from a column where it is cut short to one of the worktop."""
    if frame.worktop is None or frame.worktop - frame.gap < _LEAST_ROWS:
        return
    steps = _STEPS * (frame.worktop - frame.gap)
    for step in range(steps):
        share = (step + 1 / 2) / steps
        cell = frame.gap + step // _STEPS, round(columns[0] + share * (columns[1] - columns[0]))
        if 0 < cell[1] < frame.right and canvas.role(cell) is None:
            canvas.put(cell, char, "run", run)


def _draw_seated(canvas: Canvas, frame: RayFrame, rays: Rays, run: str) -> None:
    """Draw the ray to a seated eye, as far as what hides it."""
    if rays.seated is None:
        return
    last = frame.right - 1 if rays.seated == "seen" else frame.front
    for column in range(frame.bar + frame.half + 1, last + 1):
        row = frame.light + round(rays.fall * (column - frame.bar) * frame.mm / _A_ROW)
        free = canvas.holds((row, column)) and canvas.role((row, column)) is None
        if free and row < frame.gap:
            canvas.put((row, column), _SEATED, "run", run)
        elif rays.seated != "seen":
            break


def ray_key(rays: Rays) -> Iterator[Words]:
    """Explain the marks of rays."""
    if rays.mirror is not None:
        yield Words(f"{_TO_EYE} {MIRROR} by way of the top to a standing eye", "key")
    if rays.shadow is not None:
        yield Words(f"{_PAST_LIP} {SHADOW} where the lip's shadow begins", "key")
    if rays.seated:
        yield Words(f"{_SEATED} to a seated eye", "key")

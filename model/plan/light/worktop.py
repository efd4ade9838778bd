"""Light on what is used below each run: direct and off the wall behind, as it is kept up.

Every bar of the room that hangs up to two corners away counts, past the boards in between. What
comes to a plane is remembered by all it depends on.
"""

from collections.abc import Mapping, Sequence
from typing import Final, NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import Cabinet, Obstacle, Room
from pelmet.model.job.job import Job
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.figure import Figure, derived, given, read_off
from pelmet.model.plan.light.around import (
    HERE,
    Turn,
    beside,
    boxes_of,
    has_outside_corner,
    hollow_ones,
    turn,
    turned,
    wall_box,
)
from pelmet.model.plan.light.fading import Fadings
from pelmet.model.plan.light.lamps import MM_PER_METRE, Lamp, lamps_by_wall
from pelmet.model.plan.light.lux import Dull, Frame, Lit, Surfaces, cells_of, lux_on
from pelmet.model.plan.light.photometry.boards import Box
from pelmet.model.plan.light.photometry.bounce import splashback_at
from pelmet.model.plan.light.photometry.grid import Grid, summary, uniformity
from pelmet.model.plan.light.photometry.line import LitLine
from pelmet.model.plan.light.planes import Plane, Standing, planes_of
from pelmet.model.plan.mounting.mounts import Mount
from pelmet.model.plan.survey.geometry import RoomPlan, WallLine
from pelmet.model.plan.survey.usual import extent_of

_PAST: Final = 1.0  # metres of splashback that count beyond the bars
# Metres beyond which a bar is left out: it would give under 0.02 % of what it gives a point below.
FAR: Final = 6.0


class RunLight(NamedTuple):
    """Light on a plane below a run, along one wall: what is kept up, cell by cell.

    ``lux`` and ``bounced`` go with the points of ``cells`` [m from the wall, m along it; of an
    upright plane m down from its top]; ``at`` and ``out`` are where the least-lit spot is, along
    the wall and out from it, or down [mm]; ``why`` says where on the plane that is.
    """

    run: str
    wall: str
    room: str
    plane: Plane
    at: float
    out: float
    least: Figure
    average: Figure
    most: Figure
    evenness: Figure
    cells: Grid
    lux: tuple[float, ...]
    bounced: tuple[float, ...]
    why: str

    @property
    def figures(self) -> tuple[Figure, ...]:
        """What was worked out of it."""
        return self.least, self.average, self.most, self.evenness


def light_worktops(
    job: Job,
    parts: Catalogue,
    rooms: Sequence[RoomPlan],
    fits: Sequence[RunFit],
    mounts: Sequence[Mount],
    fadings: Fadings,
) -> tuple[RunLight, ...]:
    """Work out the light on what is used below every run, on each wall it is at."""
    lamps = lamps_by_wall(job, parts, fits, mounts, fadings)
    cabinets = grouped(job.cabinets, lambda each: each.wall)
    windows = grouped(
        (each for each in job.obstacles if each.kind == "window"), lambda each: each.wall
    )
    under = {name for fit in fits for bar in fit.bars if not bar.upright
             for name in bar.opening.cabinets}  # fmt: skip
    around = {
        line.wall.id: _Around(room, row, lamps, cabinets, windows)
        for room in rooms
        for row, line in enumerate(room.walls)
    }
    heights = {mount.bar: float(mount.height.value) for mount in mounts}
    found = []
    for fit in fits:
        for wall in dict.fromkeys(bar.wall for bar in fit.bars):
            here = around[wall]
            if not here.lamps:
                continue
            own = cabinets.get(wall, ())
            lit = frozenset(each.id for each in own if each.id in under)
            standing = Standing(here.room.room, here.line.wall, own, lit)
            for plane in planes_of(fit, wall, standing, heights):
                light = _on(fit.run.id, plane, here)
                if light is not None:
                    found.append(light)
    return tuple(found)


class _Around:
    """A wall, and what of its room its light meets. Worked out once it is asked for."""

    def __init__(
        self,
        room: RoomPlan,
        row: int,
        lamps: Mapping[str, Sequence[Lamp]],
        cabinets: Mapping[str, Sequence[Cabinet]],
        windows: Mapping[str, Sequence[Obstacle]],
    ) -> None:
        self.room, self.line = room, room.walls[row]
        self.lamps: Sequence[Lamp] = lamps.get(self.line.wall.id, ())
        self.windows = windows.get(self.line.wall.id, ())
        if not self.lamps:
            return
        self.walls = beside(room, row)
        self.others = [
            (wall, turn(self.line, wall), lamps[wall.wall.id])
            for wall in self.walls[1:]
            if wall.wall.id in lamps
        ]
        self.highest = MM_PER_METRE * max(
            (lamp.line.height for each in (self.lamps, *(own for *_, own in self.others))
             for lamp in each if not lamp.upright),
            default=0.0,
        )  # fmt: skip
        self.cabinets = [(wall, cabinets.get(wall.wall.id, ())) for wall in self.walls]
        self.spans = [
            [(float(one.bottom_height), float(one.bottom_height + one.height)) for one in own]
            for _, own in self.cabinets
        ]
        self.corner = has_outside_corner(self.walls)

    def boards(self, low: float, high: float) -> list[tuple[WallLine, list[Box]]]:
        """Give what stands between two heights [mm], wall by wall, in the frame of each."""
        found = []
        for (wall, own), spans in zip(self.cabinets, self.spans, strict=True):
            boxes: list[Box] = []
            if any(bottom < high and top > low for bottom, top in spans):
                boxes = [*boxes_of(own, low, high, hollow=hollow_ones(own))]
            if self.corner:
                boxes.append(wall_box(wall.wall))
            if boxes:
                found.append((wall, boxes))
        return found


def _on(run: str, plane: Plane, around: _Around) -> RunLight | None:
    """Sum the light of all bars that count on the grid of a plane."""
    lamps, frames, lit = _upright(plane, around) if plane.upright else _level(plane, around)
    if not lit or plane.right <= plane.left:
        return None
    cells = cells_of(
        (plane.right - plane.left) / MM_PER_METRE,
        plane.depth / MM_PER_METRE,
        plane.left / MM_PER_METRE,
    )
    surfaces = None if plane.upright else _surfaces(plane, around, lit, frames[0].boxes)
    lux, bounced = lux_on(lit, frames, surfaces, cells)
    return _light_of_run(run, plane, around, cells, (lux, bounced), lamps)


_Counted = tuple[list[Lamp], tuple[Frame, ...], tuple[Lit, ...]]


def _level(plane: Plane, around: _Around) -> _Counted:
    """Give the bars over a level plane, its own wall's first, each in the frame of its wall."""
    level = plane.height / MM_PER_METRE
    lamps, lit = [], []
    for lamp in around.lamps:
        line, lip = lamp.above(level)
        if not lamp.upright and line.height > 0:
            lamps.append(lamp)
            lit.append(Lit(line, lip, 0))
    walls, turns = [around.line], [HERE]
    for wall, by, others in around.others:
        outs, alongs = _ends(plane, by)
        for lamp in others:
            line, lip = lamp.above(level)
            if not lamp.upright and line.height > 0 and _is_near(line, outs, alongs):
                lamps.append(lamp)
                lit.append(Lit(line, lip, len(walls)))
        walls.append(wall)
        turns.append(by)
    boards = around.boards(plane.height, around.highest)
    boxes = [_seen(boards, wall, level) for wall in walls]
    frames = tuple(Frame(by, own) for by, own in zip(turns, boxes, strict=True))
    return lamps, frames, tuple(lit)


_Ends = tuple[float, float]


def _ends(plane: Plane, by: Turn) -> tuple[_Ends, _Ends]:
    """Give from where to where a level plane is, out from another wall and along it [m]."""
    left, right, depth = (each / MM_PER_METRE for each in (plane.left, plane.right, plane.depth))
    corners = [(x, y) for x in (0.0, depth) for y in (left, right)]
    outs = [by.out[0] * x + by.out[1] * y + by.out[2] for x, y in corners]
    alongs = [by.along[0] * x + by.along[1] * y + by.along[2] for x, y in corners]
    return (min(outs), max(outs)), (min(alongs), max(alongs))


def _is_near(line: LitLine, outs: _Ends, alongs: _Ends) -> bool:
    """Say if a bar of another wall is near enough to a plane to count."""
    return (
        line.y_start - FAR < alongs[1]
        and line.y_end + FAR > alongs[0]
        and line.x - FAR < outs[1]
        and line.x + FAR > outs[0]
    )


def _seen(
    boards: Sequence[tuple[WallLine, Sequence[Box]]], wall: WallLine, level: float
) -> tuple[Box, ...]:
    """Give boards in the frame of a wall, over a plane; those of walls askew are left out."""
    found = []
    for own, boxes in boards:
        by = turn(own, wall)
        for box in boxes:
            one = turned(box, by)
            if one is not None:
                found.append(one._replace(bottom=one.bottom - level, top=one.top - level))
    return tuple(found)


def _upright(plane: Plane, around: _Around) -> _Counted:
    """Give the bars of its own wall that an upright plane faces.

    It is laid down: what is before it is above it, and its top is where the wall would be.
    """
    top, out = plane.height / MM_PER_METRE, plane.out / MM_PER_METRE
    along_wall, upwards = [], []
    for lamp in around.lamps:
        line = lamp.line
        if lamp.upright and line.height > out:
            upwards.append((lamp, line._replace(height=line.height - out)))
        elif not lamp.upright and line.x > out:
            laid = line._replace(
                x=top - line.height,
                height=line.x - out,
                aim_out=line.aim_down,
                aim_down=-line.aim_out,
            )
            along_wall.append((lamp, laid))
    boxes = [box for wall, own in around.boards(plane.height - plane.depth, plane.height)
             if wall is around.line for box in own if box.x_end > out]  # fmt: skip
    frames = (
        Frame(HERE, tuple(Box(top - one.top, top - one.bottom, one.y_start, one.y_end,
                              one.x_start - out, one.x_end - out) for one in boxes)),
        Frame(Turn((0.0, 1.0, 0.0), (-1.0, 0.0, top)),
              tuple(Box(one.y_start, one.y_end, one.bottom, one.top,
                        one.x_start - out, one.x_end - out) for one in boxes)),
    )  # fmt: skip
    lit = [Lit(line, None, row) for row, own in enumerate((along_wall, upwards)) for _, line in own]
    return [lamp for lamp, _ in (*along_wall, *upwards)], frames, tuple(lit)


def _surfaces(
    plane: Plane, around: _Around, lit: Sequence[Lit], boards: Sequence[Box]
) -> Surfaces | None:
    """Give what light bounces between: the wall over a plane, and the plane itself."""
    room, length = around.room.room, float(around.line.wall.length) / MM_PER_METRE
    own = [each.line for each in lit if each.frame == 0]
    if not own or not room.splashback_percent:
        return None
    level, left, right = (each / MM_PER_METRE for each in (plane.height, plane.left, plane.right))
    high = max(line.height for line in own)
    over = [box for box in boards if box.bottom > 0 and box.y_start < right and box.y_end > left]
    for box in over:
        if 2 * (min(box.y_end, right) - max(box.y_start, left)) >= right - left:
            high = min(high, box.bottom)
    first = max(min(line.y_start for line in own) - _PAST, 0.0)
    last = min(max(line.y_end for line in own) + _PAST, length)
    if plane.on:
        first, last = max(first, left), min(last, right)
    wall = splashback_at(first if first < last else 0.0, last, high)
    dull = [Dull(box.y_start, box.y_end, box.bottom, high) for box in over if box.bottom < high]
    for window in around.windows:
        extent = extent_of(window, float(room.worktop_height))
        bottom, top = (each / MM_PER_METRE - level for each in extent)
        if bottom < high and top > 0:
            start, end = (float(each) / MM_PER_METRE for each in (window.at, window.width))
            dull.append(Dull(start, start + end, bottom, top))
    return Surfaces(
        wall,
        plane.depth / MM_PER_METRE,
        float(room.splashback_percent) / 100,
        float(room.worktop_percent) / 100,
        tuple(dull),
    )


def _light_of_run(
    run: str,
    plane: Plane,
    around: _Around,
    cells: Grid,
    light: tuple[tuple[float, ...], tuple[float, ...]],
    lamps: Sequence[Lamp],
) -> RunLight:
    lux, bounced = light
    room = around.room.room
    found = summary(lux)
    x = cells.xs[found.least_at // len(cells.ys)]
    y = cells.ys[found.least_at % len(cells.ys)]
    # Told apart by identity: a figure at the end of a long chain takes long to compare.
    about = {id(figure): figure for one in lamps for figure in one.inputs}
    inputs = (*about.values(), *_given_back(room))
    least = read_off("least-lit spot", found.least, "lx", "lux", run, *inputs)
    average = read_off("average", found.average, "lx", "average lux", run, *inputs)
    most = read_off("most-lit spot", found.most, "lx", "lux", run, *inputs)
    evenness = derived("evenness", "1", uniformity, run, least, average)
    return RunLight(
        run=run,
        wall=around.line.wall.id,
        room=room.id,
        plane=plane,
        at=y * MM_PER_METRE,
        out=x * MM_PER_METRE,
        least=least,
        average=average,
        most=most,
        evenness=evenness,
        cells=cells,
        lux=lux,
        bounced=bounced,
        why=_where(x, y, cells, plane),
    )


def _given_back(room: Room) -> tuple[Figure, ...]:
    return (
        given("splashback gives back", room.splashback_percent, "%", "reading", room.id),
        given("worktop gives back", room.worktop_percent, "%", "reading", room.id),
    )


def _where(x: float, y: float, cells: Grid, plane: Plane) -> str:
    """Say where on a plane a spot is: ``front, at its left end``."""
    third = len(cells.xs) / 3
    row = cells.xs.index(x)
    first, last = ("top", "foot") if plane.upright else ("back", "front")
    depth = first if row < third else last if row >= 2 * third else "middle"
    if y == cells.ys[0]:
        return f"{depth}, at its left end"
    if y == cells.ys[-1]:
        return f"{depth}, at its right end"
    return f"{depth}, along it"

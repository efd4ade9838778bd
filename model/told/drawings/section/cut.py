"""What a section through a cabinet shows: the cabinet, the bar under it, the worktop below."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final, Literal, NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.items import Cabinet, Facing, Fixing, Line, Room, Run
from pelmet.model.job.parts import Channel
from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.light.planes import use_of
from pelmet.model.plan.mounting.mounts import throw_degrees
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.elevation.wall import SHELVES
from pelmet.model.told.drawings.section.rays import Rays, ray_words, rays_of
from pelmet.model.told.figures import millimetres

_FIXED: Final = {
    "clips": "in clips",
    "screws": "screwed",
    "tape": "on tape",
    "groove": "in a groove",
}
Part = Literal["inside", "panel", "below", "gap", "worktop"]
_READ: Final = (
    "depth",
    "height",
    "bottom_height",
    "lip",
    "bottom_panel",
    "back_set_in",
    "door_overhang",
)


class BarShape(NamedTuple):
    """A bar across its cabinet: its channel, and where its light is [mm]."""

    channel: Channel
    line: Line
    facing: Facing
    fixing: Fixing
    from_wall: Decimal
    height: Decimal
    assumed: bool

    @property
    def in_panel(self) -> bool:
        """Whether it is level with the underside's board: let into it, or on its front edge."""
        return self.fixing == "groove" or self.line == "edge"

    @property
    def degrees(self) -> int:
        """How far below the horizontal it throws."""
        return throw_degrees(self.facing)[0]

    @property
    def side(self) -> int:
        """Which way it throws: -1 to the wall, 0 straight down, 1 to the room."""
        return throw_degrees(self.facing)[1]


class Shape(NamedTuple):
    """All that is drawn and said of a cabinet [mm]; two that are equal look the same.

    Only a shelf's ``height`` counts, for anything higher is cut short.
    """

    kind: str
    depth: Decimal
    height: Decimal
    bottom: Decimal
    lip: Decimal
    panel: Decimal
    back: Decimal
    overhang: Decimal
    surface: str
    worktop: Decimal
    worktop_depth: Decimal
    assumed: frozenset[str]
    lit: BarShape | None
    rays: Rays | None

    @property
    def is_shelf(self) -> bool:
        """Whether all there is of it is one board."""
        return self.kind in SHELVES

    @property
    def worktop_below(self) -> bool:
        """Whether a worktop, or a board in its place, is below it, so that light falls on it."""
        return 0 < self.worktop < (self.lit.height if self.lit else self.bottom)


class CrossSection(NamedTuple):
    """One cabinet cut through, the runs that look the same there, and what that looks like."""

    cabinet: str
    runs: tuple[str, ...]
    shape: Shape


def cut_of(plan: Plan, item_id: str) -> CrossSection | None:
    """Cut through a cabinet, the first one of a run's first bar, or of the first run at a wall."""
    cabinets = {cabinet.id: cabinet for cabinet in plan.job.cabinets}
    for fit in plan.fits:
        if fit.run.id == item_id:
            bar = fit.bars[0] if fit.bars else None
            under = (*bar.opening.cabinets, *fit.run.cabinets) if bar else fit.run.cabinets
            first = next(name for name in under if not bar or cabinets[name].wall == bar.wall)
            return _cut(plan, cabinets[first], fit.run, bar)
    at_wall = next((bar.run for bar in plan.bars if bar.wall == item_id), None)
    if at_wall:
        return cut_of(plan, at_wall)
    cabinet = cabinets.get(item_id)
    if cabinet is None:
        return None
    for fit in plan.fits:
        for bar in fit.bars:
            if item_id in bar.opening.cabinets and bar.wall == cabinet.wall:
                return _cut(plan, cabinet, fit.run, bar)
    run = next((run for run in plan.job.runs if item_id in run.cabinets), None)
    return _cut(plan, cabinet, run, None)


def cuts(plan: Plan) -> tuple[CrossSection, ...]:
    """Cut through every run, those that look the same together."""
    found: dict[Shape, CrossSection] = {}
    for run in plan.job.runs:
        cut = cut_of(plan, run.id)
        if cut:
            first = found.setdefault(cut.shape, cut)
            if first is not cut:
                found[cut.shape] = first._replace(runs=(*first.runs, run.id))
    return tuple(found.values())


def _cut(plan: Plan, cabinet: Cabinet, run: Run | None, bar: Bar | None) -> CrossSection:
    room, surface = _lit_below(plan, cabinet, run)
    lit = _lit(plan, run, bar) if run and bar else None
    rays = _rays(plan, cabinet, room, run, bar) if run and bar else None
    return CrossSection(
        cabinet.id, (run.id,) if run else (), _shape(cabinet, room, surface, lit, rays)
    )


def _lit_below(plan: Plan, cabinet: Cabinet, run: Run | None) -> tuple[Room, str]:
    """Give the room with what a run lights for its worktop, and the name of that; none: no height.

    A board below it stands for the worktop, and shows no image.
    """
    wall = next(wall for wall in plan.job.walls if wall.id == cabinet.wall)
    room = next(room for room in plan.job.rooms if room.id == wall.room)
    middle = float(cabinet.at + cabinet.width / 2)
    planes = [
        light.plane
        for light in plan.lights
        if run and (light.run, light.wall) == (run.id, wall.id) and not light.plane.upright
    ]
    board = next((each for each in planes if each.on and each.left <= middle <= each.right), None)
    if board:
        level = {"worktop_height": Decimal(str(board.height)), "assumed": (),
                 "worktop_depth": Decimal(str(board.depth)), "worktop_finish": "matt"}  # fmt: skip
        return room.model_copy(update=level), board.on
    if use_of(cabinet, wall, room) != "worktop":
        return room.model_copy(update={"worktop_height": Decimal(0)}), ""
    return room, plan.job.site.words.worktop


def _shape(
    cabinet: Cabinet, room: Room, surface: str, lit: BarShape | None, rays: Rays | None
) -> Shape:
    return Shape(
        kind=cabinet.kind,
        depth=cabinet.depth,
        height=cabinet.height if cabinet.kind in SHELVES else Decimal(0),
        bottom=cabinet.bottom_height,
        lip=cabinet.lip,
        panel=cabinet.bottom_panel,
        back=cabinet.back_set_in,
        overhang=cabinet.door_overhang if cabinet.kind == "wall cabinet" else Decimal(0),
        surface=surface,
        worktop=room.worktop_height,
        worktop_depth=room.worktop_depth,
        assumed=frozenset({*set(_READ) & set(cabinet.assumed), *room.assumed}),
        lit=lit,
        rays=rays,
    )


def _lit(plan: Plan, run: Run, bar: Bar) -> BarShape | None:
    channel = find_part(plan.parts.channels, run.channel)
    mount = next((mount for mount in plan.mounts if mount.bar == bar.id), None)
    if channel is None or mount is None:
        return None
    return BarShape(
        channel,
        run.line,
        run.facing,
        run.fixing,
        millimetres(mount.from_wall.value),
        millimetres(mount.height.value),
        mount.from_wall.assumed or mount.height.assumed,
    )


def _rays(plan: Plan, cabinet: Cabinet, room: Room, run: Run, bar: Bar) -> Rays | None:
    mount = next((mount for mount in plan.mounts if mount.bar == bar.id), None)
    if mount is None or bar.upright:
        return None
    sides = (
        each.wall
        for each in plan.job.obstacles
        if each.kind == "open side" and each.looked_in == "across"
    )
    return rays_of(
        cabinet,
        room,
        run.facing,
        mount,
        plan.job.allowances,
        open_side=cabinet.wall in sides,
    )


def measures_in_words(plan: Plan, shape: Shape) -> Iterator[tuple[Part, str]]:
    """Give every measure of a section in words, by its part, from the top down."""
    site = plan.job.site

    def length(value: Decimal, field: str = "", *, assumed: bool = False) -> str:
        mark = "?" if assumed or field in shape.assumed else ""
        return print_length(value, site.length_unit, site.inch_parts, bare=True) + mark

    yield "inside", f"{shape.kind}, {length(shape.depth, 'depth')} deep"
    if shape.back:
        yield "inside", f"back set in {length(shape.back, 'back_set_in')}"
    thick = (shape.height, "height") if shape.is_shelf else (shape.panel, "bottom_panel")
    yield "panel", f"board {length(*thick)} thick"
    yield "below", f"underside at {length(shape.bottom, 'bottom_height')}"
    if shape.lip:
        yield "below", f"lip {length(shape.lip, 'lip')}"
    if shape.overhang:
        yield "below", f"door hangs {length(shape.overhang, 'door_overhang')} below"
    lit = shape.lit
    if lit is None:
        yield "below", "no bar here"
    else:
        yield "below", f"channel {length(lit.channel.depth)} deep, {_FIXED[lit.fixing]}"
        yield "below", f"its middle {length(lit.from_wall, assumed=lit.assumed)} from wall"
        yield "below", throw_words(lit.facing)
        told = tuple(ray_words(shape.rays)) if shape.rays else ()
        yield from ((part, words) for part, words, _ in told if part == "below")
        if shape.worktop_below:
            drop = length(lit.height - shape.worktop, "worktop_height", assumed=lit.assumed)
            yield "gap", f"{drop} from light to {shape.surface}"
    if shape.worktop_below:
        high = length(shape.worktop, "worktop_height")
        deep = length(shape.worktop_depth, "worktop_depth")
        yield "worktop", f"{shape.surface} at {high}, {deep} deep"
        for part, words, place in ray_words(shape.rays) if shape.rays else ():
            if part == "worktop" and place is not None:
                yield part, f"{words} {length(Decimal(round(place)))}"


def throw_words(facing: Facing) -> str:
    """Say which way a bar throws."""
    degrees, side = throw_degrees(facing)
    if not side:
        return "throws straight down"
    return f"throws {degrees} degrees down, to {'wall' if side < 0 else 'room'}"

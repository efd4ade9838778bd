"""Light on the worktop below each run: direct and off the splashback, as it is kept up.

Every bar that hangs at the same wall counts. A bar's share is remembered by all it depends on, so
one changed bar alone is worked out anew.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from functools import lru_cache
from itertools import pairwise
from operator import add
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Cabinet, Facing, Room, Run
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Diffuser
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import REMEMBERED, RunFit
from pelmet.model.plan.figure import Figure, derived, given, read_off
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.light.fading import Fadings
from pelmet.model.plan.light.photometry.bounce import (
    Splashback,
    glow_of_wall,
    splashback_at,
)
from pelmet.model.plan.light.photometry.distribution import Distribution, beam, tabulated_light
from pelmet.model.plan.light.photometry.glow import Glow, PointView, lux_seen, view_from
from pelmet.model.plan.light.photometry.grid import Grid, lay_grid, summary, uniformity
from pelmet.model.plan.light.photometry.line import LitLine, lit_line
from pelmet.model.plan.light.photometry.shade import Lip, lip_at, top_lux_along
from pelmet.model.plan.mounting.mounts import STRAIGHT_DOWN, Mount, throw_degrees

MM_PER_METRE: Final = 1000
_REMEMBERED: Final = 2048  # shares of one bar in one worktop's light
_REMEMBERED_VIEWS: Final = 64  # each takes some 100 KB
_HALF_ROUND: Final = 90
_PAST: Final = 1.0  # metres of splashback that count beyond the bars
# Metres along a wall beyond which a bar is left out: it would give under 0.02 % of what it gives
# a point below it.
_FAR: Final = 6.0
_EVERY: Final = 3  # bounced light changes slowly along a wall: every third column is worked out


class RunLight(NamedTuple):
    """Light on the worktop below a run, along one wall: what is kept up, cell by cell.

    ``lux`` and ``bounced`` go with the points of ``cells`` [m from the wall, m along it]; ``at``
    and ``out`` are where the least-lit spot is, along the wall and out from it [mm]; ``why`` says
    where on the worktop that is.
    """

    run: str
    wall: str
    room: str
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


class WorktopLine(NamedTuple):
    """A bar as a line of light above a worktop, with what shades it; and its lumens [lm/m].

    ``each`` is the same line with one lumen a metre: what it gives is remembered, whatever the
    volts are.
    """

    bar: str
    line: LitLine
    each: LitLine
    lip: Lip | None
    lumens: Figure
    inputs: tuple[Figure, ...]


def light_worktops(
    job: Job,
    parts: Catalogue,
    fits: tuple[RunFit, ...],
    mounts: tuple[Mount, ...],
    fadings: Fadings,
) -> tuple[RunLight, ...]:
    """Work out the light below every run, on each wall it is at."""
    shining = shining_by_wall(job, parts, fits, mounts, fadings)
    rooms = {room.id: room for room in job.rooms}
    walls = {wall.id: wall for wall in job.walls}
    found = []
    for fit in fits:
        for wall in dict.fromkeys(bar.wall for bar in fit.bars if not bar.upright):
            own = walls[wall]
            lit = tuple(shining.get(wall, ()))
            light = _below(fit, wall, float(own.length), rooms[own.room], lit)
            if light is not None:
                found.append(light)
    return tuple(found)


def shining_by_wall(
    job: Job,
    parts: Catalogue,
    fits: Sequence[RunFit],
    mounts: Sequence[Mount],
    fadings: Fadings,
) -> Mapping[str, list[WorktopLine]]:
    """Give every bar that hangs above a worktop as a line of light, by its wall."""
    rooms = {room.id: room for room in job.rooms}
    room_of = {wall.id: rooms[wall.room] for wall in job.walls}
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    hung = {mount.bar: mount for mount in mounts}
    means = {light.bar: light.mean for light in fadings.bars}
    found: dict[str, list[WorktopLine]] = {}
    for fit in fits:
        diffuser = find_part(parts.diffusers, fit.run.diffuser)
        kept = _kept(job, parts, fit.run)
        if diffuser is None or not kept:
            continue
        spread = distribution_of(diffuser)
        for bar in fit.bars:
            if bar.upright:
                continue
            lumens = _lumens(bar, kept, means.get(bar.id))
            over = [cabinets[name] for name in bar.opening.cabinets if name in cabinets]
            room = room_of[bar.wall]
            one = _shining(bar, fit.run.facing, hung[bar.id], over, room, lumens, spread)
            if one is not None:
                found.setdefault(bar.wall, []).append(one)
    return found


def _kept(job: Job, parts: Catalogue, run: Run) -> tuple[Figure, ...]:
    """Give the bare lumens of a run's strip, and the shares that are kept of them [%]."""
    strip = find_part(parts.strips, run.strip)
    diffuser = find_part(parts.diffusers, run.diffuser)
    if strip is None or diffuser is None:
        return ()
    return (
        given("strip", strip.lumens_per_metre, "lm/m", "part", strip.id),
        given("transmission", diffuser.transmission_percent, "%", "part", diffuser.id),
        given("kept when warm", job.allowances.thermal_percent, "%", "allowance"),
        given("kept up", job.allowances.maintenance_percent, "%", "allowance"),
    )


def _lumens(bar: Bar, kept: tuple[Figure, ...], mean: Figure | None) -> Figure:
    """Give the lumens a metre of a bar gives; at rated volts while its leg is not worked out."""
    bare, *shares = (*kept, mean) if mean else kept
    return derived("lumens", "lm/m", lumens_kept_up, bar.id, bare, *shares)


@works_out("bar lumens")
def lumens_kept_up(bare: float, *shares: float) -> float:
    """Give what is kept of the lumens of a bare strip, by shares [%] of what is left."""
    for share in shares:
        bare *= share / 100
    return bare


@lru_cache(maxsize=_REMEMBERED)
def _line(
    out: float, height: float, ends: tuple[float, float], tilt: float, spread: Distribution
) -> LitLine:
    """Give a line of one lumen a metre."""
    return lit_line(out, height, *ends, 1.0, tilt, spread)


@lru_cache(maxsize=REMEMBERED)
def distribution_of(diffuser: Diffuser) -> Distribution:
    """Give how a diffuser spreads light across a bar: as measured, else by its beam."""
    if diffuser.curve is None:
        return beam(float(diffuser.beam_degrees))
    step = 2 * _HALF_ROUND / (len(diffuser.curve) - 1)
    degrees = [step * row - _HALF_ROUND for row in range(len(diffuser.curve))]
    return tabulated_light(degrees, [float(share) for share in diffuser.curve])


def _shining(
    bar: Bar,
    facing: Facing,
    mount: Mount,
    over: Sequence[Cabinet],
    room: Room,
    lumens: Figure,
    spread: Distribution,
) -> WorktopLine | None:
    """Describe a bar as a line of light; nothing if it hangs no higher than the worktop."""
    height = (float(mount.height.value) - float(room.worktop_height)) / MM_PER_METRE
    out = float(mount.from_wall.value) / MM_PER_METRE
    if height <= 0 or out < 0 or not float(lumens.value):
        return None
    degrees, side = throw_degrees(facing)
    ends = float(bar.lit_left) / MM_PER_METRE, float(bar.lit_right) / MM_PER_METRE
    each = _line(out, height, ends, float(side * (STRAIGHT_DOWN - degrees)), spread)
    line = each._replace(candela=each.candela * float(lumens.value))
    inputs = (lumens, mount.height, mount.from_wall, bar.lit)
    return WorktopLine(bar.id, line, each, lip_of(over, room, out, height), lumens, inputs)


def lip_of(over: Sequence[Cabinet], room: Room, out: float, height: float) -> Lip | None:
    """Give the edge in front of a bar that shades the worktop: a rail, or doors that hang down."""
    hanging = [max(each.lip, each.door_overhang) for each in over]
    if not over or not max(hanging):
        return None
    front = max(float(each.depth) for each in over) / MM_PER_METRE
    underside = max(float(each.bottom_height) for each in over)
    bottom = (underside - float(max(hanging)) - float(room.worktop_height)) / MM_PER_METRE
    if front <= out or not 0 < bottom < height:
        return None
    return lip_at(front, bottom)


class _Surfaces(NamedTuple):
    """What light bounces between: the splashback, and how much it and the top give back."""

    wall: Splashback
    depth: float
    wall_share: float
    top_share: float


def _below(
    fit: RunFit, wall: str, length: float, room: Room, shining: tuple[WorktopLine, ...]
) -> RunLight | None:
    """Sum the light of all bars of a wall on the grid of the worktop below a run.

    Not past the ends of the wall, where a bar may go on round an outside corner.
    """
    own = [bar for bar in fit.bars if bar.wall == wall and not bar.upright]
    left = min(max(float(min(bar.opening.left for bar in own)), 0.0), length)
    right = max(min(float(max(bar.opening.right for bar in own)), length), left)
    depth = float(room.worktop_depth) / MM_PER_METRE
    if not shining or right <= left:
        return None
    cells = _cells((right - left) / MM_PER_METRE, depth, left / MM_PER_METRE)
    high = max(one.line.height for one in shining)
    first = max(min(one.line.y_start for one in shining) - _PAST, 0.0)
    last = min(max(one.line.y_end for one in shining) + _PAST, length / MM_PER_METRE)
    surfaces = _Surfaces(
        splashback_at(first if first < last else 0.0, last, high),
        depth,
        float(room.splashback_percent) / 100,
        float(room.worktop_percent) / 100,
    )
    lit = tuple((one.each, one.lip, float(one.lumens.value)) for one in shining)
    lux, bounced = _added(lit, surfaces, cells)
    return _light_of_run(fit.run.id, wall, room, cells, lux, bounced, shining)


_cells = lru_cache(maxsize=REMEMBERED)(lay_grid)


# Bars of a wall: each as a line of one lumen a metre, what shades it, and its lumens [lm/m].
_Lit = tuple[tuple[LitLine, Lip | None, float], ...]


@lru_cache(maxsize=REMEMBERED)
def _added(
    lit: _Lit, surfaces: _Surfaces, cells: Grid
) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Add up all light, and what of it has bounced, at each point of a grid [lx]."""
    direct = [0.0] * (len(cells.xs) * len(cells.ys))
    for each, lip, lumens in lit:
        if each.y_end + _FAR <= cells.ys[0] or each.y_start - _FAR >= cells.ys[-1]:
            continue
        some = _direct(each, lip, cells)
        direct = [lux + lumens * own for lux, own in zip(direct, some, strict=True)]
    glow = _glow(lit, surfaces)
    bounced = _bounced(glow, cells) if glow else (0.0,) * len(direct)
    return tuple(map(add, direct, bounced)), bounced


@lru_cache(maxsize=_REMEMBERED)
def _direct(line: LitLine, lip: Lip | None, cells: Grid) -> tuple[float, ...]:
    """Give what a bar of one lumen a metre gives each point of a grid straight [lx]."""
    first = bisect_right(cells.ys, line.y_start - _FAR)
    ys = cells.ys[first : bisect_left(cells.ys, line.y_end + _FAR)]
    before, after = [0.0] * first, [0.0] * (len(cells.ys) - first - len(ys))
    found: list[float] = []
    for x in cells.xs:
        found += [*before, *top_lux_along(line, lip, x, ys), *after]
    return tuple(found)


@lru_cache(maxsize=REMEMBERED)
def _glow(lit: _Lit, surfaces: _Surfaces) -> Glow | None:
    """Give the splashback as all bars of its wall light it, whatever lip each is behind.

    Lit by them straight; and, where the worktop gives light back, by what goes to and fro.
    """
    wall, depth, wall_share, top_share = surfaces
    if not wall_share:
        return None
    return glow_of_wall(lit, wall, depth, wall_share, top_share)


def _bounced(glow: Glow, cells: Grid) -> tuple[float, ...]:
    """Give the bounced light at each point: some columns worked out, those between by line."""
    columns, views = _views(glow.along, glow.away, cells)
    rows = []
    for row_views in views:
        at = [lux_seen(glow, view) for view in row_views]
        row = at[:1]
        for (before, after), (first, last) in zip(pairwise(columns), pairwise(at), strict=True):
            step = (last - first) / (after - before)
            row += [first + step * on for on in range(1, after - before + 1)]
        rows.append(row)
    return tuple(lux for row in rows for lux in row)


@lru_cache(maxsize=_REMEMBERED_VIEWS)
def _views(
    along: tuple[float, ...], edges: tuple[float, ...], cells: Grid
) -> tuple[list[int], list[list[PointView]]]:
    """Give every third column of a grid, and how its points see a splashback, row by row."""
    columns = sorted({*range(0, len(cells.ys), _EVERY), len(cells.ys) - 1})
    return columns, [
        [view_from(along, edges, x, cells.ys[column]) for column in columns] for x in cells.xs
    ]


def _light_of_run(
    run: str,
    wall: str,
    room: Room,
    cells: Grid,
    lux: tuple[float, ...],
    bounced: tuple[float, ...],
    shining: Sequence[WorktopLine],
) -> RunLight:
    found = summary(lux)
    x = cells.xs[found.least_at // len(cells.ys)]
    y = cells.ys[found.least_at % len(cells.ys)]
    # Told apart by identity: a figure at the end of a long chain takes long to compare.
    about = {id(figure): figure for one in shining for figure in one.inputs}
    surfaces = (
        given("splashback gives back", room.splashback_percent, "%", "reading", room.id),
        given("worktop gives back", room.worktop_percent, "%", "reading", room.id),
    )
    inputs = (*about.values(), *surfaces)
    least = read_off("least-lit spot", found.least, "lx", "lux", run, *inputs)
    average = read_off("average", found.average, "lx", "average lux", run, *inputs)
    most = read_off("most-lit spot", found.most, "lx", "lux", run, *inputs)
    evenness = derived("evenness", "1", uniformity, run, least, average)
    return RunLight(
        run=run,
        wall=wall,
        room=room.id,
        at=y * MM_PER_METRE,
        out=x * MM_PER_METRE,
        least=least,
        average=average,
        most=most,
        evenness=evenness,
        cells=cells,
        lux=lux,
        bounced=bounced,
        why=_where(x, y, cells),
    )


def _where(x: float, y: float, cells: Grid) -> str:
    """Say where on a worktop a spot is: ``front, at its left end``."""
    third = len(cells.xs) / 3
    row = cells.xs.index(x)
    depth = "back" if row < third else "front" if row >= 2 * third else "middle"
    if y == cells.ys[0]:
        return f"{depth}, at its left end"
    if y == cells.ys[-1]:
        return f"{depth}, at its right end"
    return f"{depth}, along it"

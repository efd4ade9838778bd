"""Bars as lines of light: where each is on its wall, what it gives, how it spreads, what shades it.

Level bars are lines along their wall, bars on uprights lines upwards.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Cabinet, Facing, Run
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Diffuser
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import REMEMBERED, RunFit
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.light.fading import Fadings
from pelmet.model.plan.light.photometry.distribution import Distribution, beam, tabulated_light
from pelmet.model.plan.light.photometry.line import LitLine, lit_line
from pelmet.model.plan.light.photometry.shade import Lip, lip_at
from pelmet.model.plan.mounting.mounts import STRAIGHT_DOWN, Mount, throw_degrees

MM_PER_METRE: Final = 1000
_HALF_ROUND: Final = 90


class Lamp(NamedTuple):
    """A bar as a line of light in the frame of its wall, heights above the floor [m].

    ``edge`` is the lowest that hangs before it; ``lumens`` are for each metre [lm/m]. The line of
    an upright bar goes upwards: its ``x`` is its place along the wall, its ``height`` how far out
    it is, and it throws at the wall.
    """

    bar: str
    wall: str
    upright: bool
    line: LitLine
    edge: Lip | None
    lumens: Figure
    inputs: tuple[Figure, ...]

    def above(self, level: float) -> tuple[LitLine, Lip | None]:
        """Give the line and what shades it, of a level bar over a plane at a height [m]."""
        line = self.line._replace(height=self.line.height - level)
        edge = self.edge
        if edge is None or not 0 < edge.bottom - level < line.height:
            return line, None
        return line, lip_at(edge.x, edge.bottom - level)


def lamps_by_wall(
    job: Job,
    parts: Catalogue,
    fits: Sequence[RunFit],
    mounts: Sequence[Mount],
    fadings: Fadings,
) -> Mapping[str, tuple[Lamp, ...]]:
    """Give every bar that gives light as a line, by its wall."""
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    hung = {mount.bar: mount for mount in mounts}
    means = {light.bar: light.mean for light in fadings.bars}
    found: dict[str, list[Lamp]] = {}
    for fit in fits:
        diffuser = find_part(parts.diffusers, fit.run.diffuser)
        kept = _kept(job, parts, fit.run)
        if diffuser is None or not kept:
            continue
        spread = distribution_of(diffuser)
        for bar in fit.bars:
            lumens = _lumens(bar, kept, means.get(bar.id))
            mount = hung[bar.id]
            if float(mount.from_wall.value) < 0 or not float(lumens.value):
                continue
            over = [cabinets[name] for name in bar.opening.cabinets if name in cabinets]
            one = _lamp(bar, fit.run.facing, mount, over, lumens, spread)
            found.setdefault(bar.wall, []).append(one)
    return {wall: tuple(lamps) for wall, lamps in found.items()}


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


@lru_cache(maxsize=REMEMBERED)
def distribution_of(diffuser: Diffuser) -> Distribution:
    """Give how a diffuser spreads light across a bar: as measured, else by its beam."""
    if diffuser.curve is None:
        return beam(float(diffuser.beam_degrees))
    step = 2 * _HALF_ROUND / (len(diffuser.curve) - 1)
    degrees = [step * row - _HALF_ROUND for row in range(len(diffuser.curve))]
    return tabulated_light(degrees, [float(share) for share in diffuser.curve])


def _lamp(
    bar: Bar,
    facing: Facing,
    mount: Mount,
    over: Sequence[Cabinet],
    lumens: Figure,
    spread: Distribution,
) -> Lamp:
    out = float(mount.from_wall.value) / MM_PER_METRE
    ends = float(bar.lit_left) / MM_PER_METRE, float(bar.lit_right) / MM_PER_METRE
    inputs = (lumens, mount.height, mount.from_wall, bar.lit)
    if bar.upright:
        at = float(mount.at) / MM_PER_METRE
        line = lit_line(at, out, *ends, float(lumens.value), 0.0, spread)
        return Lamp(bar.id, bar.wall, bar.upright, line, None, lumens, inputs)
    degrees, side = throw_degrees(facing)
    height, tilt = float(mount.height.value) / MM_PER_METRE, float(side * (STRAIGHT_DOWN - degrees))
    line = lit_line(out, height, *ends, float(lumens.value), tilt, spread)
    return Lamp(bar.id, bar.wall, bar.upright, line, lowest_edge(over, out), lumens, inputs)


def lowest_edge(over: Sequence[Cabinet], out: float) -> Lip | None:
    """Give the edge that hangs before a bar: a rail, or doors; its height is above the floor [m].

    ``out`` is how far the bar is from the wall [m].
    """
    hanging = [max(each.lip, each.door_overhang) for each in over]
    if not over or not max(hanging):
        return None
    front = max(float(each.depth) for each in over) / MM_PER_METRE
    underside = max(float(each.bottom_height) for each in over)
    return Lip(front, (underside - float(max(hanging))) / MM_PER_METRE) if front > out else None


def lip_of(over: Sequence[Cabinet], level: float, out: float, height: float) -> Lip | None:
    """Give the lip that shades a plane at a height above the floor, as seen from a bar above it.

    All in metres; ``height`` is the bar's above the plane.
    """
    edge = lowest_edge(over, out)
    if edge is None or not 0 < edge.bottom - level < height:
        return None
    return lip_at(edge.x, edge.bottom - level)

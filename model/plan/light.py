"""Light on the worktop below each run: direct light only, at rated volts."""

from functools import lru_cache
from typing import NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Facing, Room, Run
from pelmet.model.job.job import Job
from pelmet.model.plan.bar import Bar
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.fitting import REMEMBERED, RunFit
from pelmet.model.plan.line_source import LineSource, illuminance, line_source
from pelmet.model.plan.mounting import STRAIGHT_DOWN, Mount, throw_degrees

_STEP_MM = 100
_MM_PER_METRE = 1000


class RunLight(NamedTuple):
    """The least-lit spot mid worktop below a run; ``at`` is along its wall [mm]."""

    run: str
    wall: str
    at: float
    least: Figure


def cast(
    job: Job, parts: Catalogue, fits: tuple[RunFit, ...], mounts: tuple[Mount, ...]
) -> tuple[RunLight, ...]:
    """Find the least-lit spot below every run, counting all bars that hang at the same wall."""
    rooms = {room.id: room for room in job.rooms}
    room_of = {wall.id: rooms[wall.room] for wall in job.walls}
    lengths = {wall.id: float(wall.length) for wall in job.walls}
    hung = {mount.bar: mount for mount in mounts}
    shining: dict[str, list[_Shining]] = {}
    for fit in fits:
        lumens = useful_lumens(fit.run, parts)
        for bar in fit.bars:
            if lumens and not bar.upright:
                lit = _Shining(bar, fit.run.facing, hung[bar.id], lumens)
                shining.setdefault(bar.wall, []).append(lit)
    lights = []
    for fit in fits:
        walls = dict.fromkeys(bar.wall for bar in fit.bars if not bar.upright)
        spots = [
            spot
            for wall in walls
            if (
                spot := _least(
                    fit, wall, lengths[wall], room_of[wall], tuple(shining.get(wall, ()))
                )
            )
        ]
        if spots:
            lights.append(min(spots, key=lambda spot: float(spot.least.value)))
    return tuple(lights)


class _Shining(NamedTuple):
    """A bar with all its light depends on."""

    bar: Bar
    facing: Facing
    mount: Mount
    lumens: Figure


def useful_lumens(run: Run, parts: Catalogue) -> Figure | None:
    """Give the lumens per metre that leave a run's diffuser, at rated volts."""
    strip = find_part(parts.strips, run.strip)
    diffuser = find_part(parts.diffusers, run.diffuser)
    if strip is None or diffuser is None:
        return None
    bare = given("strip", strip.lumens_per_metre, "lm/m", "part", strip.id)
    through = given("transmission", diffuser.transmission_percent, "%", "part", diffuser.id)
    lumens = float(strip.lumens_per_metre * diffuser.transmission_percent / 100)
    return derived("useful lumens", lumens, "lm/m", "useful lumens", run.id, bare, through)


def _line(shining: _Shining, room: Room) -> LineSource | None:
    bar, facing, mount, lumens = shining
    above = float(mount.height.value) - float(room.worktop_height)
    if above <= 0:
        return None
    degrees, side = throw_degrees(facing)
    return line_source(
        float(mount.from_wall.value) / _MM_PER_METRE,
        above / _MM_PER_METRE,
        float(bar.lit_left) / _MM_PER_METRE,
        float(bar.lit_right) / _MM_PER_METRE,
        float(lumens.value),
        side * (STRAIGHT_DOWN - degrees),
    )


@lru_cache(maxsize=REMEMBERED)
def _least(
    fit: RunFit, wall: str, length: float, room: Room, shining: tuple[_Shining, ...]
) -> RunLight | None:
    """Look along the middle of the worktop, from the run's first opening to its last.

    Not past the ends of the wall, where a bar may go on round an outside corner.
    """
    found = [line for each in shining if (line := _line(each, room))]
    if not found:
        return None
    own = [bar for bar in fit.bars if bar.wall == wall and not bar.upright]
    out = float(room.worktop_depth) / 2 / _MM_PER_METRE
    left = min(max(float(min(bar.opening.left for bar in own)), 0.0), length)
    right = max(min(float(max(bar.opening.right for bar in own)), length), left)
    steps = max(int((right - left) // _STEP_MM), 1)
    lux, at = min(
        (sum(illuminance(line, out, at / _MM_PER_METRE) for line in found), at)
        for at in (left + (right - left) * step / steps for step in range(steps + 1))
    )
    inputs = dict.fromkeys(
        figure
        for each in shining
        for figure in (each.lumens, each.mount.height, each.mount.from_wall, each.bar.lit)
    )
    least = derived("least-lit spot", lux, "lx", "lux", fit.run.id, *inputs)
    return RunLight(fit.run.id, wall, at, least)

"""Checks on light: enough on what is used, not too much, even, and no dark ends."""

from collections.abc import Iterator

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.items import Room
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.finding import Finding, said
from pelmet.model.plan.light.planes import use_of, where_words
from pelmet.model.plan.light.wanted import judge_light, meter_lux
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.measures import length_said
from pelmet.model.plan.result import Plan

_HELPS = "F8 on the run tries lines, facings, strips and diffusers, and tells what comes nearest"


def too_dark(plan: Plan) -> Iterator[Finding]:
    """The average on what a run lights is less than the work there asks for."""
    for light, room in _lit(plan):
        wanted, _, _, other = judged = judge_light(light, room, plan.job.allowances)
        if not judged.enough:
            kept = float(light.average.value)
            average = f"{kept:.0f} lx kept up (new: {_new(plan, kept)})"
            if other:
                average += f" and {said(other)} of the room"
            yield Finding(
                "warn",
                "too-dark",
                "run",
                light.run,
                "strip",
                f"{average} on average {_place(light)}, under "
                f"{said(wanted.lux)} lx; "
                f"least {float(light.least.value):.0f} lx, {light.why}",
                _HELPS,
                wanted.source,
            )


def uneven(plan: Plan) -> Iterator[Finding]:
    """The least-lit spot has too little of the average."""
    for light, room in _lit(plan):
        judged = judge_light(light, room, plan.job.allowances)
        wanted = judged.wanted
        if not judged.even:
            yield Finding(
                "warn",
                "uneven",
                "run",
                light.run,
                "line",
                f"the least-lit spot {_place(light)}, {light.why}, has "
                f"{judged.evenness:.2f} of the average, under {said(wanted.evenness)}",
                _HELPS,
                wanted.evenness_source,
            )


def too_bright(plan: Plan) -> Iterator[Finding]:
    """More light than a dimmer turns down, or than there is a dimmer for."""
    allowances = plan.job.allowances
    for light, _ in _lit(plan):
        average = float(light.average.value)
        if average <= float(allowances.bright_lux):
            continue
        least = _dims_to(plan, light)
        if least is None:
            words = "and nothing dims it"
        elif average * least / 100 > float(allowances.night_lux):
            words = f"dimmed as far as it goes still {average * least / 100:.0f} lx"
        else:
            continue
        yield Finding(
            "warn",
            "too-bright",
            "run",
            light.run,
            "strip",
            f"{average:.0f} lx on average {_place(light)}, {words}",
            "choose a strip with less light, or a dimmer on its leg",
        )


def dark_end(plan: Plan) -> Iterator[Finding]:
    """An end of what a run lights gets far less than its middle."""
    limit = float(plan.job.allowances.dark_end)
    for light, _ in _lit(plan):
        columns = _columns(light)
        middle = columns[len(columns) // 2]
        ends = {"left": columns[0], "right": columns[-1]}
        for side, lux in ends.items():
            if middle and 100 * lux / middle < limit:
                yield Finding(
                    "warn",
                    "dark-end",
                    "run",
                    light.run,
                    "dark_rest",
                    f"the {side} end {_place(light)} gets {100 * lux / middle:.0f} % of its "
                    f"middle, under {said(limit)} %",
                    "move the dark rest to the other end, share it, or take a finer strip",
                )


def light_under_worktop(plan: Plan) -> Iterator[Finding]:
    """A bar hangs no higher than the worktop, so it lights nothing on it."""
    rooms = {room.id: room for room in plan.job.rooms}
    walls = {wall.id: wall for wall in plan.job.walls}
    cabinets = {cabinet.id: cabinet for cabinet in plan.job.cabinets}
    heights = {mount.bar: float(mount.height.value) for mount in plan.mounts}
    lit = {(light.run, light.wall) for light in plan.lights}

    def is_low(bar: Bar) -> bool:
        wall = walls[bar.wall]
        room = rooms[wall.room]
        return (
            not bar.upright
            and heights[bar.id] <= float(room.worktop_height)
            and use_of(cabinets[bar.opening.shallowest], wall, room) == "worktop"
            and (bar.run, bar.wall) not in lit
        )

    for fit in plan.fits:
        low = [bar.id for bar in fit.bars if is_low(bar)]
        if low:
            top = plan.job.site.words.worktop
            yield Finding(
                "ask",
                "light-under-worktop",
                "run",
                fit.run.id,
                "cabinets",
                f"{' '.join(low)} hangs no higher than the {top}; its light is not reckoned",
                f"check the bottom height of its cabinets and the {top} height of the room",
            )


def top_past_room(plan: Plan) -> Iterator[Finding]:
    """A worktop is deeper than its room can be: the next wall is nearer than its front edge."""
    for room in plan.job.rooms:
        walls = [wall for wall in plan.job.walls if wall.room == room.id]
        beside = [wall.length for wall in walls]
        top = plan.job.site.words.worktop
        if len(walls) > 1 and room.worktop_depth > max(beside):
            yield Finding(
                "ask",
                "top-past-room",
                "room",
                room.id,
                "worktop_depth",
                f"the {top} is {length_said(room.worktop_depth, plan.job.site)} deep, and no "
                "wall of the room is so long",
                f"check the depth of the {top}",
            )


def _lit(plan: Plan) -> Iterator[tuple[RunLight, Room]]:
    rooms = {room.id: room for room in plan.job.rooms}
    for light in plan.lights:
        yield light, rooms[light.room]


def _new(plan: Plan, kept: float) -> str:
    return f"{meter_lux(kept, plan.job.allowances).new:.0f}"


def _place(light: RunLight) -> str:
    return f"{where_words(light.plane, light.run)} at wall {light.wall}"


def _columns(light: RunLight) -> list[float]:
    """Give the mean lux across the depth, column by column along the wall."""
    across, along = len(light.cells.xs), len(light.cells.ys)
    return [sum(light.lux[column::along]) / across for column in range(along)]


def _dims_to(plan: Plan, light: RunLight) -> float | None:
    """Give the least light that a run's dimmers come to [%]; nothing if it has none."""
    job, parts = plan.job, plan.parts
    run = next(run for run in job.runs if run.id == light.run)
    leg = next((leg for leg in job.legs if leg.id == run.leg), None)
    supply = next((each for each in job.supplies if leg and each.id == leg.supply), None)
    named = (leg.dimmer if leg else None, supply.dimmer if supply else None)
    found = [part for own in named if (part := find_part(parts.dimmers, own))]
    return min((float(part.least_percent) for part in found), default=None)


CHECKS = (too_dark, uneven, too_bright, dark_end, light_under_worktop, top_past_room)

"""Checks on where bars end and what they hang at: dark ends in view, shelves, doors, levels."""

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.items import Cabinet, End, Obstacle, Run
from pelmet.model.job.parts import Channel
from pelmet.model.plan.bars.bar import Bar, first_end
from pelmet.model.plan.bars.turning import turns
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.formulas import GEOMETRY
from pelmet.model.plan.measures import lengths_said
from pelmet.model.plan.mounting.mounts import throw_degrees
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.geometry import STRAIGHT_DEGREES
from pelmet.model.plan.survey.openings import BLOCKING, end_of, start_of

# What stands this near beyond the end of a row hides it; an open side this near shows it [mm].
_HIDES_WITHIN = 50
_SEEN_WITHIN = 200


class _Wall(NamedTuple):
    """What stands at one wall, how long it is [mm], and whether its ends are outside corners."""

    length: Decimal
    outside: tuple[bool, bool]
    cabinets: tuple[Cabinet, ...]
    obstacles: tuple[Obstacle, ...]


def visible_dark_end(plan: Plan) -> Iterator[Finding]:
    """An end of a bar stays dark where people can see it."""
    limit = plan.job.allowances.visible_dark
    walls = _walls(plan)
    for fit in plan.fits:
        for bar in fit.bars:
            ends: tuple[tuple[End, Decimal], ...] = (
                ("left", Decimal(bar.dark_left.value)),
                ("right", Decimal(bar.dark_right.value)),
            )
            for side, dark in ends:
                if dark > limit and not bar.upright and _seen(bar, side, walls[bar.wall]):
                    yield _dark_end(fit.run, bar, side, dark, plan)


def _dark_end(run: Run, bar: Bar, side: End, dark: Decimal, plan: Plan) -> Finding:
    rest = Decimal(bar.rest.value)
    at_feed = {"feed end": rest, "far end": Decimal(0), "shared": rest / 2}[run.dark_rest]
    here = at_feed if side == first_end(run) else rest - at_feed
    limit = plan.job.allowances.visible_dark
    now, most, moved, shared = lengths_said(
        plan.job.site, dark, limit, dark - here, dark - rest / 2
    )
    says = f"bar {bar.id} is dark for {now} at its {side} end, where people can see it, over {most}"
    if here == 0:
        field, remedy = "feed_end", "feed it at its other end, or shorten the start and end zones"
    else:
        field = "dark_rest"
        remedy = "move the dark rest to the other end, share it, or use a strip with a finer unit"
        says += f"; {moved} with the rest at the other end"
        if here == rest:
            says += f", {shared} with it shared"
    return Finding("warn", "visible-dark-end", "run", run.id, field, says, remedy)


def _seen(bar: Bar, side: End, wall: _Wall) -> bool:
    """Tell whether people can see an end of a bar: a row ends there, or they look in beside it."""
    row = 0 if side == "left" else 1
    edge_at = bar.opening.ends[row]
    if edge_at.kind not in ("face", "free") or edge_at.crossing is not None:
        return False  # the next bar goes on there, in line or round the corner
    end = bar.left if side == "left" else bar.right
    for each in wall.obstacles:
        if each.kind != "open side":
            continue
        if max(each.at - end, end - each.at - each.width) <= _SEEN_WITHIN:
            return True
    cover = bar.opening.covers[-row]
    edge = min(end, cover.left) if side == "left" else max(end, cover.right)
    beyond = -_HIDES_WITHIN if side == "left" else _HIDES_WITHIN
    if not 0 < edge + beyond < wall.length:
        return wall.outside[row]
    first, last = sorted((edge, edge + beyond))
    # None: it reaches under a cabinet of the next wall, where bars meet round the corner.
    own = next((each for each in wall.cabinets if each.id == cover.cabinet), None)
    hidden_by_cabinet = own is None or any(
        each is not own
        and start_of(each) <= last
        and end_of(each) >= first
        and each.bottom_height < own.bottom_height + own.height
        and own.bottom_height < each.bottom_height + each.height
        for each in wall.cabinets
    )
    first, last = sorted((end, edge + beyond))
    return not hidden_by_cabinet and not any(
        each.kind in BLOCKING and each.at <= last and each.at + each.width >= first
        for each in wall.obstacles
    )


def movable_shelf(plan: Plan) -> Iterator[Finding]:
    """A cord or rails must feed light that hangs under a shelf that moves."""
    for run, cabinets in _under(plan):
        names = [each.id for each in cabinets if each.kind == "movable shelf"]
        if names:
            yield Finding(
                "warn",
                "movable-shelf",
                "run",
                run.id,
                "cabinets",
                f"{' '.join(names)} can be moved: light there needs contact rails, or a slack "
                "loop of cord that shows",
                "fix the shelf, or plan its rails or cord with the client",
            )


def edge_too_thin(plan: Plan) -> Iterator[Finding]:
    """A channel on a shelf's front edge is deeper than the shelf is thick."""
    for run, cabinets in _under(plan):
        channel = find_part(plan.parts.channels, run.channel)
        if channel is None or run.line != "edge":
            continue
        thinnest = min(cabinets, key=lambda each: each.height)
        if thinnest.height < channel.depth:
            edge, deep = lengths_said(plan.job.site, thinnest.height, channel.depth)
            yield Finding(
                "stop",
                "edge-too-thin",
                "run",
                run.id,
                "line",
                f"the edge of {thinnest.id} is {edge}; {channel.id} is {deep} deep",
                "choose a flatter channel, or another line",
                GEOMETRY,
            )


def door_shades(plan: Plan) -> Iterator[Finding]:
    """A door hangs lower than a channel that throws to the room."""
    for run, cabinets in _under(plan):
        channel = find_part(plan.parts.channels, run.channel)
        _degrees, side = throw_degrees(run.facing)
        if channel is None or side <= 0 or run.line == "edge":
            continue
        down = Decimal(0) if run.fixing == "groove" else channel.depth
        names = [each.id for each in cabinets if each.door_overhang > down]
        if names:
            most = max(each.door_overhang for each in cabinets)
            throws, hang = lengths_said(plan.job.site, down, most)
            yield Finding(
                "warn",
                "door-shades",
                "run",
                run.id,
                "facing",
                f"{run.id} throws {run.facing} from {throws} down; the doors of "
                f"{' '.join(names)} hang {hang} down",
                "throw it down or to the wall, or choose a channel as deep as the doors hang",
                GEOMETRY,
            )


def run_on_two_levels(plan: Plan) -> Iterator[Finding]:
    """One run goes on at another height."""
    step = plan.job.allowances.flush_step
    for run, cabinets in _under(plan):
        heights = sorted(each.bottom_height for each in cabinets if each.kind != "upright")
        if any(above - below > step for below, above in pairwise(heights)):
            low, high = lengths_said(plan.job.site, heights[0], heights[-1])
            yield Finding(
                "ask",
                "run-on-two-levels",
                "run",
                run.id,
                "cabinets",
                f"the undersides of {run.id} are from {low} to {high} up",
                "make a run of each level: each has its own line of light",
            )


class _Place(NamedTuple):
    """The box a bar fills: along its wall, up from the floor, out from the wall [mm]."""

    left: Decimal
    right: Decimal
    lower: Decimal
    upper: Decimal
    back: Decimal
    front: Decimal
    order: int
    bar: Bar

    def meets(self, other: "_Place") -> bool:
        """Tell whether two boxes share any room."""
        return (
            self.left < other.right
            and other.left < self.right
            and self.lower < other.upper
            and other.lower < self.upper
            and self.back < other.front
            and other.back < self.front
        )


def runs_share_a_place(plan: Plan) -> Iterator[Finding]:
    """Bars of two runs would hang in the same place."""
    told: set[str] = set()
    for places in _places(plan).values():
        hanging: list[_Place] = []
        for new in sorted(places, key=lambda one: (one.left, one.order)):
            hanging = [one for one in hanging if one.right > new.left]
            for old in hanging:
                first, second = sorted((old, new), key=lambda one: one.order)
                run = second.bar.run
                if run != first.bar.run and run not in told and old.meets(new):
                    told.add(run)
                    yield Finding(
                        "stop",
                        "runs-share-a-place",
                        "run",
                        run,
                        "cabinets",
                        f"bar {second.bar.id} would hang in the place of {first.bar.id}",
                        "give one of the runs another line, or take the cabinets out of it",
                        GEOMETRY,
                    )
            hanging.append(new)


def _places(plan: Plan) -> dict[str, list[_Place]]:
    """Give the box of every bar, by its wall."""
    order = {run.id: row for row, run in enumerate(plan.job.runs)}
    mounts = {mount.bar: mount for mount in plan.mounts}
    found: dict[str, list[_Place]] = defaultdict(list)
    for fit in plan.fits:
        channel = find_part(plan.parts.channels, fit.run.channel)
        for bar in fit.bars:
            mount = mounts.get(bar.id)
            if channel and mount:
                out, half = Decimal(mount.from_wall.value), channel.face / 2
                along, up = _across(bar, mount.at, Decimal(mount.height.value), channel)
                box = (*along, *up, out - half, out + half)
                found[bar.wall].append(_Place(*box, order[bar.run], bar))
    return found


def _across(
    bar: Bar, at: Decimal, height: Decimal, channel: Channel
) -> tuple[tuple[Decimal, Decimal], tuple[Decimal, Decimal]]:
    """Give from where to where a bar is along its wall, and up from the floor [mm]."""
    if bar.upright:
        return (at - channel.face / 2, at + channel.face / 2), (bar.left, bar.right)
    return (bar.left, bar.right), (height, height + channel.depth)


def _under(plan: Plan) -> Iterator[tuple[Run, list[Cabinet]]]:
    """Give each run and the cabinets it hangs at."""
    cabinets = {cabinet.id: cabinet for cabinet in plan.job.cabinets}
    for run in plan.job.runs:
        yield run, [cabinets[name] for name in dict.fromkeys(run.cabinets)]


def _walls(plan: Plan) -> dict[str, _Wall]:
    cabinets: dict[str, list[Cabinet]] = defaultdict(list)
    obstacles: dict[str, list[Obstacle]] = defaultdict(list)
    for cabinet in plan.job.cabinets:
        cabinets[cabinet.wall].append(cabinet)
    for obstacle in plan.job.obstacles:
        obstacles[obstacle.wall].append(obstacle)
    corners = [turn for turn in turns(plan.job.walls) if turn.degrees > STRAIGHT_DEGREES]
    before, after = {turn.following for turn in corners}, {turn.wall.id for turn in corners}
    return {
        wall.id: _Wall(
            wall.length,
            (wall.id in before, wall.id in after),
            tuple(cabinets[wall.id]),
            tuple(obstacles[wall.id]),
        )
        for wall in plan.job.walls
    }


CHECKS = (
    edge_too_thin,
    runs_share_a_place,
    visible_dark_end,
    movable_shelf,
    door_shades,
    run_on_two_levels,
)

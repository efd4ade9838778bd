"""How long each cable is: from the supply to feed ends, and from bar to bar past what lies between.

Lengths are reckoned along the walls, with rise, fall and slack; a measured lead length wins.
"""

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from pelmet.model.job.items import Cabinet, Crossing, Leg, Obstacle, Supply
from pelmet.model.job.job import Job
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.fitting import BLOCKING, Bar, RunFit
from pelmet.model.plan.geometry import RoomPlan, WallLine, wall_lines

_CLOSED_MM = 10.0  # a room whose last wall ends this near the first one's start is closed
_PLINTH_HEIGHT = Decimal(100)  # common practice: a plinth space 100 to 150 mm high


class Spot(NamedTuple):
    """A place a cable ends at: which room's walls, how far along them, how high [mm]."""

    room: str
    along: float
    height: float
    assumed: bool
    way_round: float | None  # all its walls, where the last ends at the first


class Link(NamedTuple):
    """The cable from one bar to the next of its run, and what it passes; none if it may not."""

    run: str
    from_bar: str
    to_bar: str
    obstacles: tuple[str, ...]
    crossing: Crossing
    length: Figure | None


class Lead(NamedTuple):
    """The cable that brings a leg to the feed end of one run.

    ``origin`` is the supply, or the run at whose feed end the leg branches; ``length`` is
    nothing when it cannot be reckoned and was not measured.
    """

    leg: str
    run: str
    origin: str
    length: Figure | None


class Routes(NamedTuple):
    """All low-voltage cables of a job."""

    leads: tuple[Lead, ...]
    links: tuple[Link, ...]


def route(job: Job, rooms: tuple[RoomPlan, ...], fits: tuple[RunFit, ...]) -> Routes:
    """Reckon the cable of every leg and every link between the bars of a run."""
    lines = wall_lines(rooms)
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    slack = given("slack", job.allowances.termination_slack, "mm", "allowance")
    blocking = tuple(obstacle for obstacle in job.obstacles if obstacle.kind in BLOCKING)
    links = tuple(
        _link(fit.run.id, left, right, blocking, cabinets, lines, slack)
        for fit in fits
        for left, right in zip(fit.bars, fit.bars[1:], strict=False)
    )
    leads = tuple(
        lead for leg in job.legs for lead in _leads(leg, job, fits, cabinets, lines, slack)
    )
    return Routes(leads, links)


def _leads(
    leg: Leg,
    job: Job,
    fits: tuple[RunFit, ...],
    cabinets: Mapping[str, Cabinet],
    lines: Mapping[str, WallLine],
    slack: Figure,
) -> list[Lead]:
    """The first run is fed from the supply; the others branch off at its feed end."""
    fed = [fit for fit in fits if fit.run.leg == leg.id and fit.bars]
    if not fed:
        return []
    first = fed[0]
    branch = feed_spot(first, cabinets, lines)
    supply = next(supply for supply in job.supplies if supply.id == leg.supply)
    if leg.length is not None:
        length: Figure | None = given("lead", leg.length, "mm", "reading", leg.id)
    else:
        length = _reckoned("lead", leg.id, supply_spot(supply, cabinets, lines), branch, slack)
    leads = [Lead(leg.id, first.run.id, supply.id, length)]
    for fit in fed[1:]:
        spot = feed_spot(fit, cabinets, lines)
        leads.append(
            Lead(leg.id, fit.run.id, first.run.id, _reckoned("branch", leg.id, branch, spot, slack))
        )
    return leads


def feed_bar(fit: RunFit) -> Bar:
    """Give the bar of a run that its cable comes to."""
    return fit.bars[0 if fit.run.feed_end == "left" else -1]


def feed_spot(
    fit: RunFit, cabinets: Mapping[str, Cabinet], lines: Mapping[str, WallLine]
) -> Spot | None:
    """Give the place of a run's feed end."""
    bar = feed_bar(fit)
    at = bar.left if fit.run.feed_end == "left" else bar.right
    return _bar_spot(bar, at, cabinets, lines)


def supply_spot(
    supply: Supply, cabinets: Mapping[str, Cabinet], lines: Mapping[str, WallLine]
) -> Spot | None:
    """Give the place of a supply, or nothing when it sits elsewhere."""
    cabinet = cabinets.get(supply.cabinet or "")
    if cabinet is None or supply.place == "elsewhere":
        return None
    height = {
        "in cabinet": cabinet.bottom_height,
        "on top of cabinet": cabinet.bottom_height + cabinet.height,
        "in plinth": _PLINTH_HEIGHT,
    }[supply.place]
    return _spot(cabinet.wall, cabinet.at + cabinet.width / 2, height, lines, _guessed([cabinet]))


def _bar_spot(
    bar: Bar, at: Decimal, cabinets: Mapping[str, Cabinet], lines: Mapping[str, WallLine]
) -> Spot | None:
    guessed = _guessed([cabinets[name] for name in bar.opening.cabinets])
    return _spot(bar.wall, at, _bottom(bar, cabinets), lines, guessed)


def _spot(
    wall: str,
    at: Decimal,
    height: Decimal,
    lines: Mapping[str, WallLine],
    guessed: bool,  # noqa: FBT001 - every caller works it out by name
) -> Spot:
    line = lines[wall]
    own = [each for each in lines.values() if each.wall.room == line.wall.room]
    walls = any("length" in each.wall.assumed for each in own if each.before < line.before)
    closed = len(own) > 1 and own[-1].end.distance(own[0].start) <= _CLOSED_MM
    way_round = own[-1].before + float(own[-1].wall.length) if closed else None
    along = line.before + float(at)
    return Spot(line.wall.room, along, float(height), guessed or walls, way_round)


def _guessed(cabinets: Sequence[Cabinet]) -> bool:
    """Whether nobody has measured where one of these cabinets stands, or how high."""
    return any({"at", "width", "bottom_height"} & set(each.assumed) for each in cabinets)


def _bottom(bar: Bar, cabinets: Mapping[str, Cabinet]) -> Decimal:
    return min(cabinets[name].bottom_height for name in bar.opening.cabinets)


def _reckoned(
    name: str, about: str, start: Spot | None, end: Spot | None, slack: Figure
) -> Figure | None:
    if start is None or end is None or start.room != end.room:
        return None
    guessed = start.assumed or end.assumed
    far, high = abs(start.along - end.along), abs(start.height - end.height)
    if start.way_round is not None:
        far = min(far, abs(start.way_round - far))
    along = Figure("along the walls", far, "mm", "walls", (), about, guessed)
    rise = Figure("difference in height", high, "mm", "walls", (), about, guessed)
    length = float(along.value) + float(rise.value) + 2 * float(slack.value)
    return derived(name, length, "mm", "along walls", about, along, rise, slack)


def _link(
    run: str,
    left: Bar,
    right: Bar,
    blocking: Sequence[Obstacle],
    cabinets: Mapping[str, Cabinet],
    lines: Mapping[str, WallLine],
    slack: Figure,
) -> Link:
    between = [obstacle for obstacle in blocking if _is_between(obstacle, left, right, lines)]
    crossing = _crossing(between)
    about = f"{left.id}-{right.id}"
    length: Figure | None
    if crossing == "none":
        length = None
    elif left.wall != right.wall:
        start = _bar_spot(left, left.right, cabinets, lines)
        end = _bar_spot(right, right.left, cabinets, lines)
        length = _reckoned("link", about, start, end, slack)
    else:
        length = _past(about, left, right, crossing, cabinets, slack)
    return Link(
        run, left.id, right.id, tuple(obstacle.id for obstacle in between), crossing, length
    )


def _is_between(obstacle: Obstacle, left: Bar, right: Bar, lines: Mapping[str, WallLine]) -> bool:
    """Whether an obstacle stands between two bars, along one wall or round a corner."""
    line, first, last = lines[obstacle.wall], lines[left.wall], lines[right.wall]
    if not line.wall.room == first.wall.room == last.wall.room:
        return False
    start = line.before + float(obstacle.at)
    end = start + float(obstacle.width)
    return start < last.before + float(right.left) and end > first.before + float(left.right)


def _crossing(between: Sequence[Obstacle]) -> Crossing:
    """The way past several things is the hardest of theirs; a bare side panel takes a hole."""
    order: tuple[Crossing, ...] = ("none", "not chosen", "over", "in wall", "behind", "hole")
    chosen = {obstacle.crossing for obstacle in between}
    return next((crossing for crossing in order if crossing in chosen), "hole")


def _past(
    about: str,
    left: Bar,
    right: Bar,
    crossing: Crossing,
    cabinets: Mapping[str, Cabinet],
    slack: Figure,
) -> Figure:
    ends = [cabinets[name] for bar in (left, right) for name in bar.opening.cabinets]
    guessed = _guessed(ends)
    gap_mm = max(right.left - left.right, Decimal(0))
    step = abs(_bottom(left, cabinets) - _bottom(right, cabinets))
    gap = Figure("gap", gap_mm, "mm", "between bars", (), about, guessed)
    rise = Figure("difference in height", step, "mm", "walls", (), about, guessed)
    length = gap_mm + step + 2 * Decimal(slack.value)
    if crossing != "over":
        return derived("link", length, "mm", "link", about, gap, rise, slack)
    cabinet = cabinets[left.opening.cabinets[-1]]
    height, depth = (
        given(f"cabinet {field}", value, "mm", _origin(cabinet, field), cabinet.id)
        for field, value in (("height", cabinet.height), ("depth", cabinet.depth))
    )
    length += 2 * cabinet.height + 2 * cabinet.depth
    return derived("link", length, "mm", "link over", about, gap, rise, height, depth, slack)


def _origin(cabinet: Cabinet, field: str) -> str:
    return "assumed" if field in cabinet.assumed else "reading"

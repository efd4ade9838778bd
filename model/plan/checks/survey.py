"""Checks on the survey: what is not measured, does not fit its wall, or stands in another's way."""

from collections.abc import Iterator
from decimal import Decimal
from itertools import combinations

from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.job.job import Job
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.bars.turning import turns
from pelmet.model.plan.finding import Finding, Level
from pelmet.model.plan.formulas import SURVEY
from pelmet.model.plan.measures import length_said, lengths_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.geometry import STRAIGHT_DEGREES
from pelmet.model.plan.survey.openings import end_of, start_of

_NEAR = Decimal(50)  # [mm]


def assumed_reading_used(plan: Plan) -> Iterator[Finding]:
    """A reading that nobody took went into a bar."""
    for fit in plan.fits:
        names = [name for name in fit.run.cabinets if _feeds_assumed(fit, name)]
        cabinets = {cabinet.id: cabinet for cabinet in plan.job.cabinets}
        for name in names:
            yield Finding(
                "ask",
                "assumed-reading-used",
                "cabinet",
                name,
                "opening",
                f"run {fit.run.id} is cut from a width of {name} that nobody has measured",
                _measure(cabinets[name]),
                SURVEY,
            )
        for obstacle in plan.job.obstacles:
            if {"at", "width"} & set(obstacle.assumed) and _cuts(fit, obstacle.id):
                yield Finding(
                    "ask",
                    "assumed-reading-used",
                    "obstacle",
                    obstacle.id,
                    "at",
                    f"run {fit.run.id} is cut at {obstacle.id}, whose place is assumed",
                    f"measure where {obstacle.id} starts and how wide it is",
                    SURVEY,
                )


def _measure(cabinet: Cabinet) -> str:
    """Say what is still to be measured, and who does it if that is known."""
    by = f" ({cabinet.measured_by})" if cabinet.measured_by else ""
    if not cabinet.opening:
        return f"measure the opening of {cabinet.id} at the mounting line{by}"
    return f"measure {cabinet.id} and clear its assumed mark{by}"


def _feeds_assumed(fit: RunFit, cabinet: str) -> bool:
    return any(
        figure.assumed and not figure.inputs and figure.about == cabinet
        for bar in fit.bars
        if bar.length.assumed
        for figure in bar.length.walk()
    )


def _cuts(fit: RunFit, obstacle: str) -> bool:
    return any(
        figure.assumed and figure.about == obstacle
        for bar in fit.bars
        for figure in bar.length.walk()
    )


def readings_spread(plan: Plan) -> Iterator[Finding]:
    """The readings of one opening differ by more than the allowance."""
    limit = plan.job.allowances.reading_spread
    for cabinet in plan.job.cabinets:
        if not cabinet.opening:
            continue
        spread = max(cabinet.opening) - min(cabinet.opening)
        if spread > limit:
            differ, most = lengths_said(plan.job.site, spread, limit)
            yield Finding(
                "ask",
                "readings-spread",
                "cabinet",
                cabinet.id,
                "opening",
                f"readings of {cabinet.id} differ by {differ}, over {most}",
                "measure again; the least is used",
            )


def off_the_wall(plan: Plan) -> Iterator[Finding]:
    """A cabinet or obstacle reaches past the end of its wall."""
    lengths = {wall.id: wall.length for wall in plan.job.walls}
    for kind, things in (("cabinet", plan.job.cabinets), ("obstacle", plan.job.obstacles)):
        for thing in things:
            past, over, edge = _past_ends(plan, thing, lengths[thing.wall])
            level = _off(over, plan)
            if level:
                yield Finding(
                    level,
                    "off-the-wall",
                    "cabinet" if kind == "cabinet" else "obstacle",
                    thing.id,
                    "at",
                    f"{thing.id} reaches {length_said(past, plan.job.site)} past the {edge} of "
                    f"wall {thing.wall}",
                    f"measure {thing.id} and wall {thing.wall} again",
                    SURVEY,
                )


def _off(by: Decimal, plan: Plan) -> Level | None:
    """Give how grave it is that readings that must add up are off by so much [mm], if it is."""
    allowances = plan.job.allowances
    if by > max(allowances.sum_warn, allowances.sum_stop):
        return "stop"
    return "warn" if by > allowances.sum_warn else None


def _past_ends(
    plan: Plan, thing: Cabinet | Obstacle, length: Decimal
) -> tuple[Decimal, Decimal, str]:
    """Give how far a thing reaches past an end of its wall, how much too far that is, and which.

    All in mm; over an outside corner a cabinet may reach.
    """
    if isinstance(thing, Obstacle):
        past = thing.at + thing.width - length
        return past, past, "end"
    past, before = end_of(thing) - length, -start_of(thing)
    over = past - _round_corner(plan, thing) if past > 0 else past
    return max((past, over, "end"), (before, before, "start"), key=lambda each: each[1])


def _round_corner(plan: Plan, thing: Cabinet) -> Decimal:
    """Give how far a cabinet may reach over an outside corner: as deep as what it meets [mm]."""
    after = [
        turn.following
        for turn in turns(plan.job.walls)
        if turn.wall.id == thing.wall and turn.wall.corner_degrees > STRAIGHT_DEGREES
    ]
    deep = (each.depth for each in plan.job.cabinets if each.wall in after)
    return max(deep, default=thing.depth) if after else Decimal(0)


def cabinets_overlap(plan: Plan) -> Iterator[Finding]:
    """Two cabinets stand in the same place."""
    for left, right in combinations(plan.job.cabinets, 2):
        by = _overlap(left, right) if left.wall == right.wall else Decimal(0)
        level = _off(by, plan)
        if level:
            yield Finding(
                level,
                "cabinets-overlap",
                "cabinet",
                right.id,
                "at",
                f"{right.id} stands {length_said(by, plan.job.site)} in the place of {left.id}",
                "check where each starts, its width and its bottom height",
                SURVEY,
            )


def _overlap(left: Cabinet, right: Cabinet) -> Decimal:
    """Give how far one of two cabinets would have to go to be clear of the other [mm]."""
    return min(
        end_of(right) - start_of(left),
        end_of(left) - start_of(right),
        right.bottom_height + right.height - left.bottom_height,
        left.bottom_height + left.height - right.bottom_height,
    )


def opening_wider_than_cabinet(plan: Plan) -> Iterator[Finding]:
    """A clear width is more than its cabinet is wide with its fillers, or an upright high."""
    lengths = {wall.id: wall.length for wall in plan.job.walls}
    for cabinet in plan.job.cabinets:
        if not cabinet.opening:
            continue
        clear = min(cabinet.opening)
        upright = cabinet.kind == "upright"
        flush = end_of(cabinet) - start_of(cabinet)
        outside = flush if cabinet.underside == "flush" else cabinet.width
        whole = cabinet.height if upright else outside
        level = _off(clear - whole, plan)
        if level:
            longer = not upright and clear > lengths[cabinet.wall]
            wide, than = lengths_said(
                plan.job.site, clear, lengths[cabinet.wall] if longer else whole
            )
            yield Finding(
                level,
                "opening-wider-than-cabinet",
                "cabinet",
                cabinet.id,
                "opening",
                f"the opening of {cabinet.id}, {wide}, is wider than "
                f"{f'wall {cabinet.wall}' if longer else 'the cabinet'}, {than}",
                "one of the two readings is wrong: measure both",
                SURVEY,
            )


def obstacle_apart(plan: Plan) -> Iterator[Finding]:
    """A stile or a partition that stands in no cabinet, so that it cuts no line of light."""
    for each in plan.job.obstacles:
        if each.kind not in ("stile", "partition"):
            continue
        near = any(
            cabinet.wall == each.wall
            and start_of(cabinet) <= each.at + each.width + _NEAR
            and end_of(cabinet) >= each.at - _NEAR
            for cabinet in plan.job.cabinets
        )
        if not near:
            yield Finding(
                "ask",
                "obstacle-apart",
                "obstacle",
                each.id,
                "at",
                f"{each.id}, a {each.kind}, stands at no cabinet of wall {each.wall}",
                "check its wall and where it starts, or take it out",
                SURVEY,
            )


def nothing_to_plan(plan: Plan) -> Iterator[Finding]:
    """Cabinets without a run give no light."""
    job: Job = plan.job
    for cabinet in job.cabinets:
        if not job.runs:
            yield Finding(
                "ask",
                "no-run",
                "cabinet",
                cabinet.id,
                "width",
                f"no run hangs under {cabinet.id}",
                "let runs be proposed in the Runs step",
                SURVEY,
            )


CHECKS = (
    off_the_wall,
    cabinets_overlap,
    opening_wider_than_cabinet,
    obstacle_apart,
    readings_spread,
    assumed_reading_used,
    nothing_to_plan,
)

"""Checks on the survey: what is not measured, does not fit its wall, or stands in another's way."""

from collections.abc import Iterator
from itertools import combinations

from pelmet.model.job.items import Cabinet
from pelmet.model.job.job import Job
from pelmet.model.plan.checks.finding import Finding, said
from pelmet.model.plan.fitting import RunFit
from pelmet.model.plan.formulas import SURVEY
from pelmet.model.plan.worked import Worked


def assumed_reading_used(worked: Worked) -> Iterator[Finding]:
    """A reading that nobody took went into a bar."""
    for fit in worked.fits:
        names = [name for name in fit.run.cabinets if _feeds_assumed(fit, name)]
        cabinets = {cabinet.id: cabinet for cabinet in worked.job.cabinets}
        for name in names:
            yield Finding(
                "ask",
                "assumed-reading-used",
                "cabinet",
                name,
                "opening",
                f"run {fit.run.id} is cut from a width of {name} that nobody has measured",
                f"measure the opening of {name} at the mounting line"
                if not cabinets[name].opening
                else f"measure {name} and clear its assumed mark",
                SURVEY,
            )
        for obstacle in worked.job.obstacles:
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


def _feeds_assumed(fit: RunFit, cabinet: str) -> bool:
    return any(
        figure.assumed and not figure.inputs and figure.about == cabinet
        for bar in fit.bars
        for figure in bar.length.walk()
    )


def _cuts(fit: RunFit, obstacle: str) -> bool:
    return any(
        figure.assumed and figure.about == obstacle
        for bar in fit.bars
        for figure in bar.length.walk()
    )


def readings_spread(worked: Worked) -> Iterator[Finding]:
    """The readings of one opening differ by more than the allowance."""
    limit = worked.job.allowances.reading_spread
    for cabinet in worked.job.cabinets:
        if not cabinet.opening:
            continue
        spread = max(cabinet.opening) - min(cabinet.opening)
        if spread > limit:
            yield Finding(
                "ask",
                "readings-spread",
                "cabinet",
                cabinet.id,
                "opening",
                f"readings of {cabinet.id} differ by {said(spread)} mm, over {said(limit)} mm",
                "measure again; the least is used",
            )


def off_the_wall(worked: Worked) -> Iterator[Finding]:
    """A cabinet or obstacle reaches past the end of its wall."""
    lengths = {wall.id: wall.length for wall in worked.job.walls}
    for kind, things in (("cabinet", worked.job.cabinets), ("obstacle", worked.job.obstacles)):
        for thing in things:
            past = thing.at + thing.width - lengths[thing.wall]
            if past > 0:
                yield Finding(
                    "stop",
                    "off-the-wall",
                    "cabinet" if kind == "cabinet" else "obstacle",
                    thing.id,
                    "at",
                    f"{thing.id} reaches {said(past)} mm past the end of wall {thing.wall}",
                    f"measure {thing.id} and wall {thing.wall} again",
                    SURVEY,
                )


def cabinets_overlap(worked: Worked) -> Iterator[Finding]:
    """Two cabinets stand in the same place."""
    for left, right in combinations(worked.job.cabinets, 2):
        if left.wall == right.wall and _overlap(left, right):
            yield Finding(
                "stop",
                "cabinets-overlap",
                "cabinet",
                right.id,
                "at",
                f"{right.id} stands in the place of {left.id}",
                "check where each starts, its width and its bottom height",
                SURVEY,
            )


def _overlap(left: Cabinet, right: Cabinet) -> bool:
    return (
        left.at < right.at + right.width
        and right.at < left.at + left.width
        and left.bottom_height < right.bottom_height + right.height
        and right.bottom_height < left.bottom_height + left.height
    )


def opening_wider_than_cabinet(worked: Worked) -> Iterator[Finding]:
    """A clear width is more than the outside width of its cabinet."""
    for cabinet in worked.job.cabinets:
        if cabinet.opening and min(cabinet.opening) > cabinet.width:
            yield Finding(
                "stop",
                "opening-wider-than-cabinet",
                "cabinet",
                cabinet.id,
                "opening",
                f"the opening of {cabinet.id}, {said(min(cabinet.opening))} mm, is wider than "
                f"the cabinet, {said(cabinet.width)} mm",
                "one of the two readings is wrong: measure both",
                SURVEY,
            )


def nothing_to_plan(worked: Worked) -> Iterator[Finding]:
    """Cabinets without a run give no light."""
    job: Job = worked.job
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
    readings_spread,
    assumed_reading_used,
    nothing_to_plan,
)

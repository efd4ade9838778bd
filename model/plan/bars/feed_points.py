"""Where cables come to a run: an end, both ends, or the middle of what is lit."""

from decimal import ROUND_FLOOR, Decimal
from typing import Literal, NamedTuple

from pelmet.model.job.job import Job
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit

Side = Literal["left", "right", "middle"]


class FeedPoint(NamedTuple):
    """One point of a run that a cable comes to; ``leg`` is nothing while no leg feeds it there.

    ``side`` is of the run and names the point; ``at`` is where on its bar: an end, or a cut mark
    in its middle, so many units from the left end of its strip.
    """

    run: str
    leg: str | None
    side: Side
    bar: str
    at: Side
    units: int = 0

    @property
    def name(self) -> str:
        """What the end of a cable that comes to it is marked with."""
        return f"{self.run} {self.side}"


def feed_points_of(fit: RunFit) -> tuple[FeedPoint, ...]:
    """Give the points that a run is to be fed at; none without a bar."""
    run, bars = fit.run, fit.bars
    if not bars:
        return ()
    if run.feed_end == "middle":
        bar, units = _middle(bars)
        at: Side = "middle" if units else "left"
        return (FeedPoint(run.id, run.leg, "middle", bar.id, at, units),)
    left = FeedPoint(run.id, run.leg, "left", bars[0].id, "left")
    right = FeedPoint(run.id, run.leg, "right", bars[-1].id, "right")
    if run.feed_end == "both":
        return left, right._replace(leg=run.leg and (run.far_leg or run.leg))
    return (left,) if run.feed_end == "left" else (right,)


def mark_on_bar(bar: Bar, point: FeedPoint) -> Decimal:
    """Give where along its wall, or up from the floor, a feed point is on its bar [mm]."""
    if point.at == "middle":
        return bar.lit_left + Decimal(bar.lit.value) * point.units / int(bar.units.value)
    return bar.left if point.at == "left" else bar.right


def fed_by(job: Job, leg: str) -> tuple[str, ...]:
    """Give the runs that a leg feeds, from one end at least."""
    return tuple(
        run.id
        for run in job.runs
        if run.leg == leg or (run.leg is not None and run.feed_end == "both" and run.far_leg == leg)
    )


def _middle(bars: tuple[Bar, ...]) -> tuple[Bar, int]:
    """Give the cut mark or joint that parts the lit length of a run most evenly.

    No unit is the left end of the bar; of two marks as even the left one is taken.
    """
    half = sum((Decimal(bar.lit.value) for bar in bars), Decimal(0)) / 2
    before = Decimal(0)
    found: list[tuple[Decimal, int, int]] = []
    for row, bar in enumerate(bars):
        lit, units = Decimal(bar.lit.value), int(bar.units.value)
        first = 0 if row else 1
        if units > first:
            # Of the marks of one bar only the two about the middle can be the nearest.
            mark = int(((half - before) * units / lit).to_integral_value(ROUND_FLOOR))
            near = {min(max(unit, first), units - 1) for unit in (mark, mark + 1)}
            found += [(abs(before + lit * unit / units - half), row, unit) for unit in near]
        before += lit
    if not found:
        return bars[0], 0
    _, row, unit = min(found)
    return bars[row], unit

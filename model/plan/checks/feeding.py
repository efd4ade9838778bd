"""Checks on where a run is fed, and on how much strip hangs on one feed."""

from collections import Counter
from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Final

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.items import Cabinet
from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.formulas import PARTS, Source
from pelmet.model.plan.measures import length_said, lengths_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.geometry import RoomPlan, wall_lines

_LOOP: Final = Source(
    "common practice: like with like, and both ends of a loop dead", "common practice"
)
_RAILS: Final = Source(
    "uniformly loaded distributor, Bell, Power Distribution for Electric Railroads", "published"
)


def strip_no_ohms(plan: Plan) -> Iterator[Finding]:
    """A strip that runs take has no rail ohms: nobody's strip is so, and its drop shows as none."""
    asked: set[str] = set()
    for run in plan.job.runs:
        strip = find_part(plan.parts.strips, run.strip)
        if strip is None or strip.ohms_per_metre or strip.id in asked:
            continue
        asked.add(strip.id)
        metre = plan.job.site.words.metre
        yield Finding(
            "ask",
            "strip-no-ohms",
            "run",
            run.id,
            "strip",
            f"{strip.id} has rails of 0 ohm a {metre}, so no volts are lost along it in this plan",
            f"measure a lit piece fed at one end: ohms a {metre}, both rails = 2 x volts lost / "
            f"(amps x {metre}s)",
            _RAILS,
        )


def beyond_single_feed(plan: Plan) -> Iterator[Finding]:
    """More strip hangs on one feed of a run than its maker lets be fed from one end."""
    broken = {link.run for link in plan.routes.links if link.cable is None}
    for fit in plan.fits:
        run = fit.run
        strip = find_part(plan.parts.strips, run.strip)
        if strip is None or strip.longest_feed is None or not fit.bars or run.id in broken:
            continue
        lit = _fed_from_one_end(fit)
        if lit > strip.longest_feed:
            several = run.feed_end in ("both", "middle")
            lights, lets = lengths_said(plan.job.site, lit, strip.longest_feed)
            yield Finding(
                "warn",
                "beyond-single-feed",
                "run",
                run.id,
                "feed_end",
                f"one feed of {run.id} lights {lights} of {strip.id}; its data sheet lets {lets} "
                "be fed from one end",
                "split the run in two"
                if several
                else "feed it at both ends or in its middle, or split the run in two",
                PARTS,
            )


def _fed_from_one_end(fit: RunFit) -> Decimal:
    """Give the longest lit length of a run that a feed sends its amps through [mm]."""
    whole = sum((Decimal(bar.lit.value) for bar in fit.bars), Decimal(0))
    if fit.run.feed_end == "both":
        return whole / 2
    if fit.run.feed_end != "middle":
        return whole
    (point,) = feed_points_of(fit)
    before = Decimal(0)
    for bar in fit.bars:
        if bar.id == point.bar:
            before += Decimal(bar.lit.value) * point.units / int(bar.units.value)
            break
        before += Decimal(bar.lit.value)
    return max(before, whole - before)


def feed_far_end(plan: Plan) -> Iterator[Finding]:
    """A run is fed at its far end: its cable passes its whole length on the way there.

    Told only of a run that its cable goes to alone, by a way nobody measured or chose.
    """
    lines, homes = wall_lines(plan.rooms), _plain_legs(plan)
    rooms = {line.wall.id: room for room in plan.rooms for line in room.walls}
    for fit in plan.fits:
        run, bars = fit.run, fit.bars
        if run.leg not in homes or run.feed_end in ("both", "middle") or not bars:
            continue
        supply, home = homes[run.leg]
        if bars[0].upright or not _one_way(home, fit, rooms):
            continue
        left = lines[bars[0].wall].before + float(bars[0].left)
        right = lines[bars[-1].wall].before + float(bars[-1].right)
        middle = lines[home.wall].before + float(home.at + home.width / 2)
        near = "left" if run.feed_end == "right" else "right"
        if middle < left if near == "left" else middle > right:
            yield Finding(
                "ask",
                "feed-far-end",
                "run",
                run.id,
                "feed_end",
                f"{run.id} is fed at its {run.feed_end} end; {supply} sits beyond its {near} end, "
                f"{length_said(round(right - left), plan.job.site)} nearer along the wall",
                f"feed it at its {near} end, unless what is in between decides",
            )


def _plain_legs(plan: Plan) -> dict[str, tuple[str, Cabinet]]:
    """Give, by leg, its supply and where that sits, if its cable goes to each run by itself."""
    job = plan.job
    runs = Counter(leg for run in job.runs for leg in {run.leg, run.far_leg})
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    supplies = {supply.id: supply for supply in job.supplies}
    found: dict[str, tuple[str, Cabinet]] = {}
    for leg in job.legs:
        supply = supplies[leg.supply]
        home = cabinets.get(supply.cabinet or "")
        said_so = leg.length or leg.via or leg.avoid or supply.place == "elsewhere"
        if home and not said_so and (leg.wiring == "home run" or runs[leg.id] == 1):
            found[leg.id] = supply.id, home
    return found


def _one_way(home: Cabinet, fit: RunFit, rooms: Mapping[str, RoomPlan]) -> bool:
    """Say if there is but one way round from a cabinet to a run: in one room, not a closed one."""
    walls = {home.wall, *(bar.wall for bar in fit.bars)}
    room = rooms[home.wall]
    own = {line.wall.id for line in room.walls}
    return walls <= own and (len(walls) == 1 or not room.is_closed)


def loop_of_cable(plan: Plan) -> Iterator[Finding]:
    """Two legs of one supply meet in a run: a loop of cable through its strip."""
    supplies = {leg.id: leg.supply for leg in plan.job.legs}
    for run in plan.job.runs:
        one, other = run.leg, run.far_leg
        if run.feed_end != "both" or one is None or other is None or one == other:
            continue
        if supplies[one] == supplies[other]:
            yield Finding(
                "ask",
                "loop-of-cable",
                "run",
                run.id,
                "far_leg",
                f"{one} and {other} of {supplies[one]} meet in {run.id}: a loop, in which a "
                "crossed pair is a short, and one leg alone keeps the other alive",
                "mark + and - at both ends of both legs, and open both together before work",
                _LOOP,
            )


CHECKS = (strip_no_ohms, beyond_single_feed, feed_far_end, loop_of_cable)

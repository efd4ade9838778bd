"""The small things: clips, screws, grommets, sleeve, tape, joiners, markers; and what is spare.

Counts are of what the plan fixes, drills and joins; how many a metre or a joint are allowances.
"""

from collections import defaultdict
from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.fits import cap_of, mitre_piece_for, smallest_grommet, sundry_for
from pelmet.model.job.parts import Serves, Sundry
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.circuit.leg_network import feed_reach
from pelmet.model.plan.circuit.protection import connector_of
from pelmet.model.plan.circuit.terminals import leads_at_supply
from pelmet.model.plan.measures import length_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.bores import GROMMET_WALL

_ONE: Final = Decimal(1)
_MM_PER_METRE: Final = Decimal(1000)
_TWO_WAY: Final = 2
_BOTH_ENDS: Final = 2  # a cable is marked at each
_SEEN: Final = frozenset({"under", "inside", "over", "up"})  # ways along which cable is clipped


class SundryCount(NamedTuple):
    """So much of a part, or of what nothing in the catalogue serves; and what it is for.

    ``amount`` is pieces, or metres of what goes by length.
    """

    part: str
    serves: str
    amount: Decimal
    why: str


def count_sundries(plan: Plan) -> tuple[SundryCount, ...]:
    """Count the small things of a plan, and what stays with the client."""
    totals: dict[tuple[str, str], tuple[Decimal, list[str]]] = defaultdict(lambda: (Decimal(0), []))
    small = (
        *_fixing(plan),
        *_grommets(plan),
        *_joining(plan),
        *_tails(plan),
        *_fuses(plan),
        *spares(plan),
    )
    for one in small:
        if one.amount:
            amount, whys = totals[one.part, one.serves]
            totals[one.part, one.serves] = amount + one.amount, [*whys, one.why]
    return tuple(
        SundryCount(
            part, serves, _rounded(plan.parts, part, amount), ", ".join(dict.fromkeys(whys))
        )
        for (part, serves), (amount, whys) in totals.items()
    )


def _rounded(parts: Catalogue, item_id: str, amount: Decimal) -> Decimal:
    by_metre = any(part.id == item_id and part.by_the_metre for part in parts.sundries)
    return amount if by_metre else amount.to_integral_value(ROUND_CEILING)


def _fixing(plan: Plan) -> Iterator[SundryCount]:
    runs = {fit.run.id: fit.run for fit in plan.fits}
    for one in plan.bench:
        run = runs[one.bar.run]
        channel = find_part(plan.parts.channels, run.channel)
        assert channel is not None, "without it there is no bar"
        how, places = run.fixing, Decimal(len(one.fixings))
        on = f"on {channel.id}"
        if how in ("clips", "tape"):
            yield _of(one.clip, "clip", places, on)
        if how != "groove":
            yield _of(one.screw, "screw", places, "clips and bars")
        if how == "tape":
            metres = Decimal(str(one.bar.length.value)) / _MM_PER_METRE
            yield _of(one.tape, "mounting tape", metres, on)
        joints = Decimal(len(one.bar.splices))
        yield _of(sundry_for(plan.parts, "joiner", channel), "joiner", joints, on)
        for degrees in _corners(one.bar):
            piece = mitre_piece_for(plan.parts, channel, degrees)
            yield _of(
                piece, "mitre piece", _ONE, f"{on}, corner of {degrees.normalize():f} degrees"
            )


def _corners(bar: Bar) -> Iterator[Decimal]:
    """Give the corner that a bar is mitred for at its right end, where it meets the next [C]."""
    setting = bar.opening.ends[1].setting
    if setting is not None:
        yield Decimal(setting.inputs[0].value)


def _of(part: Sundry | None, serves: Serves, amount: Decimal, why: str) -> SundryCount:
    return SundryCount(part.id if part else "", serves, amount, why)


def _small(plan: Plan, serves: Serves, amount: Decimal, why: str) -> SundryCount:
    return _of(sundry_for(plan.parts, serves), serves, amount, why)


def _grommets(plan: Plan) -> Iterator[SundryCount]:
    bought = {each.part for each in plan.job.ordered}
    had = [each for each in plan.parts.sundries if each.serves == "grommet" and each.id in bought]
    for hole in plan.holes:
        bore = Decimal(str(hole.grommet.value))
        # A hole that is there has what was bought for it.
        wall = Decimal(str(hole.diameter.value)) - GROMMET_WALL
        own = smallest_grommet(had, wall) if hole.there else None
        part = own.id if own else hole.takes
        yield SundryCount(part, "grommet", _ONE, f"bore {length_said(bore, plan.job.site)}")


def _joining(plan: Plan) -> Iterator[SundryCount]:
    job, routes = plan.job, plan.routes
    spacing, sleeve = job.allowances.cable_clip_spacing, job.allowances.sleeve_each
    cores = {leg.id: _cores(plan, leg.cable) for leg in job.legs}
    for cable in routes.cables:
        clipped = sum(way.length for way in cable.ways if way.kind in _SEEN)
        clips = (Decimal(str(clipped)) / spacing).to_integral_value(ROUND_CEILING)
        yield _small(plan, "cable clip", clips, "cables led along cabinets")
        yield _small(plan, "marker", Decimal(_BOTH_ENDS), "both ends of each cable")
    for fit in plan.fits:
        soldered = len(feed_points_of(fit)) + 2 * len(feed_reach(fit, routes).links)
        own = cores.get(fit.run.leg or "", 2)
        length = soldered * own * sleeve / _MM_PER_METRE
        yield _small(plan, "sleeve", length, "soldered wires")


def _tails(plan: Plan) -> Iterator[SundryCount]:
    """Give the tail wire of bars that are still to be made; those that are cut have theirs."""
    made = {bar.id for bar in plan.bars if bar.hangs or bar.allowed is not None}
    for tail in plan.tails:
        if tail.bar not in made:
            yield _of(tail.part, "tail wire", tail.length / _MM_PER_METRE, "bars to connectors")


def _fuses(plan: Plan) -> Iterator[SundryCount]:
    """Count the fuses that were chosen, each with its holder: one for each cable at its supply."""
    for leg in plan.job.legs:
        for _ in leads_at_supply(plan.routes, leg) if leg.fuse is not None else ():
            assert leg.fuse is not None
            yield _fuse(plan.parts, leg.fuse, f"leg {leg.id}")
            yield _small(plan, "fuse holder", _ONE, "fuses at supplies")


def _fuse(parts: Catalogue, amps: Decimal, why: str) -> SundryCount:
    """Give a fuse of just so many amps [A]: another one would not do."""
    own = (part.id for part in parts.sundries if part.serves == "fuse" and part.amps == amps)
    return SundryCount(next(own, ""), f"fuse of {amps:f} A", _ONE, why)


def _cores(plan: Plan, item_id: str) -> int:
    return next((cable.cores for cable in plan.parts.cables if cable.id == item_id), 2)


def spares(plan: Plan) -> Iterator[SundryCount]:
    """Give what stays with the client beside the strip, so that a fault is soon put right."""
    if not plan.bars:
        return
    allowances = plan.job.allowances
    names = dict.fromkeys(fit.run.channel for fit in plan.fits)
    channels = (find_part(plan.parts.channels, name) for name in names)
    caps = [cap for channel in channels if channel and (cap := cap_of(plan.parts, channel))]
    for item_id in dict.fromkeys(cap.id for cap in caps):
        yield SundryCount(item_id, "cap", allowances.spare_caps, "spare")
    clips = dict.fromkeys(one.clip.id for one in plan.bench if one.clip)
    for clip in clips:
        yield SundryCount(clip, "clip", allowances.spare_clips, "spare")
    for amps in dict.fromkeys(leg.fuse for leg in plan.job.legs if leg.fuse is not None):
        yield _fuse(plan.parts, amps, "spare")
    two = connector_of(plan.parts, _TWO_WAY)
    if two:
        yield SundryCount(two.id, "connector", allowances.spare_connectors, "spare")

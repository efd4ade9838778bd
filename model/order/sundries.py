"""The small things: clips, screws, grommets, sleeve, tape, joiners, markers; and what is spare.

Counts are of what the plan fixes, drills and joins; how many a metre or a joint are allowances.
"""

from collections import defaultdict
from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.parts import Serves, Sundry
from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.circuit.leg_network import feed_reach
from pelmet.model.plan.circuit.protection import connector_of
from pelmet.model.plan.circuit.terminals import leads_at_supply
from pelmet.model.plan.result import Plan

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
    small = (*_fixing(plan), *_grommets(plan), *_joining(plan), *_fuses(plan), *spares(plan))
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


def serving(parts: Catalogue, serves: Serves) -> str:
    """Give the first sundry of the catalogue that serves, or nothing."""
    return next((part.id for part in parts.sundries if part.serves == serves), "")


def _rounded(parts: Catalogue, item_id: str, amount: Decimal) -> Decimal:
    by_metre = any(part.id == item_id and part.by_the_metre for part in parts.sundries)
    return amount if by_metre else amount.to_integral_value(ROUND_CEILING)


def _fixing(plan: Plan) -> Iterator[SundryCount]:
    fixings = {run.id: run.fixing for run in plan.job.runs}
    for one in plan.bench:
        how = fixings[one.bar.run]
        places = Decimal(len(one.fixings))
        if how in ("clips", "tape"):
            yield _small(plan, "clip", places, "bars")
        if how != "groove":
            yield _small(plan, "screw", places, "clips and bars")
        if how == "tape":
            yield _small(
                plan, "mounting tape", Decimal(str(one.bar.length.value)) / _MM_PER_METRE, "bars"
            )
        yield _small(plan, "joiner", Decimal(len(one.bar.splices)), "spliced bars")


def _small(plan: Plan, serves: Serves, amount: Decimal, why: str) -> SundryCount:
    return SundryCount(serving(plan.parts, serves), serves, amount, why)


def _grommets(plan: Plan) -> Iterator[SundryCount]:
    for hole in plan.holes:
        bore = Decimal(str(hole.grommet.value))
        yield SundryCount(_grommet(plan.parts, bore), "grommet", _ONE, f"bore {bore:g} mm or more")


def _grommet(parts: Catalogue, bore: Decimal) -> str:
    """Give the smallest grommet that lets a bundle this wide through, or nothing [mm]."""
    wide: list[tuple[Decimal, Sundry]] = [
        (part.bore, part)
        for part in parts.sundries
        if part.serves == "grommet" and part.bore is not None and part.bore >= bore
    ]
    return min(wide, key=lambda each: each[0])[1].id if wide else ""


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
    caps = {channel.id: channel.cap for channel in plan.parts.channels}
    used = dict.fromkeys(caps[fit.run.channel] for fit in plan.fits if fit.run.channel in caps)
    for cap in used:
        yield SundryCount(cap, "cap", allowances.spare_caps, "spare")
    if any(run.fixing in ("clips", "tape") for run in plan.job.runs):
        yield _small(plan, "clip", allowances.spare_clips, "spare")
    for amps in dict.fromkeys(leg.fuse for leg in plan.job.legs if leg.fuse is not None):
        yield _fuse(plan.parts, amps, "spare")
    two = connector_of(plan.parts, _TWO_WAY)
    if two:
        yield SundryCount(two.id, "connector", allowances.spare_connectors, "spare")

"""The small things: clips, screws, grommets, sleeve, tape, joiners, markers; and what is spare.

Counts are of what the plan fixes, drills and joins; how many a metre or a joint are allowances.
"""

from collections import defaultdict
from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.parts import Serves, Sundry
from pelmet.model.plan.bars.feed_points import feed_points
from pelmet.model.plan.circuit.protection import connector_of
from pelmet.model.plan.circuit.wired import reached
from pelmet.model.plan.worked import Worked

_ONE: Final = Decimal(1)
_MM_PER_METRE: Final = Decimal(1000)
_TWO_WAY: Final = 2
_BOTH_ENDS: Final = 2  # a cable is marked at each
_SEEN: Final = frozenset({"under", "inside", "over", "up"})  # ways along which cable is clipped


class Counted(NamedTuple):
    """So much of a part, or of what nothing in the catalogue serves; and what it is for.

    ``amount`` is pieces, or metres of what goes by length.
    """

    part: str
    serves: str
    amount: Decimal
    why: str


def sundries(worked: Worked) -> tuple[Counted, ...]:
    """Count the small things of a plan, and what stays with the client."""
    totals: dict[tuple[str, str], tuple[Decimal, list[str]]] = defaultdict(lambda: (Decimal(0), []))
    for one in (*_fixing(worked), *_grommets(worked), *_joining(worked), *spares(worked)):
        if one.amount:
            amount, whys = totals[one.part, one.serves]
            totals[one.part, one.serves] = amount + one.amount, [*whys, one.why]
    return tuple(
        Counted(part, serves, _rounded(worked.parts, part, amount), ", ".join(dict.fromkeys(whys)))
        for (part, serves), (amount, whys) in totals.items()
    )


def serving(parts: Catalogue, serves: Serves) -> str:
    """Give the first sundry of the catalogue that serves, or nothing."""
    return next((part.id for part in parts.sundries if part.serves == serves), "")


def _rounded(parts: Catalogue, own_id: str, amount: Decimal) -> Decimal:
    by_metre = any(part.id == own_id and part.by_the_metre for part in parts.sundries)
    return amount if by_metre else amount.to_integral_value(ROUND_CEILING)


def _fixing(worked: Worked) -> Iterator[Counted]:
    fixings = {run.id: run.fixing for run in worked.job.runs}
    for one in worked.bench:
        how = fixings[one.bar.run]
        places = Decimal(len(one.fixings))
        if how in ("clips", "tape"):
            yield _small(worked, "clip", places, "bars")
        if how != "groove":
            yield _small(worked, "screw", places, "clips and bars")
        if how == "tape":
            yield _small(
                worked, "mounting tape", Decimal(str(one.bar.length.value)) / _MM_PER_METRE, "bars"
            )
        yield _small(worked, "joiner", Decimal(len(one.bar.splices)), "spliced bars")


def _small(worked: Worked, serves: Serves, amount: Decimal, why: str) -> Counted:
    return Counted(serving(worked.parts, serves), serves, amount, why)


def _grommets(worked: Worked) -> Iterator[Counted]:
    for hole in worked.holes:
        bore = Decimal(str(hole.grommet.value))
        yield Counted(_grommet(worked.parts, bore), "grommet", _ONE, f"bore {bore:g} mm or more")


def _grommet(parts: Catalogue, bore: Decimal) -> str:
    """Give the smallest grommet that lets a bundle this wide through, or nothing [mm]."""
    wide: list[tuple[Decimal, Sundry]] = [
        (part.bore, part)
        for part in parts.sundries
        if part.serves == "grommet" and part.bore is not None and part.bore >= bore
    ]
    return min(wide, key=lambda each: each[0])[1].id if wide else ""


def _joining(worked: Worked) -> Iterator[Counted]:
    job, routes = worked.job, worked.routes
    spacing, sleeve = job.allowances.cable_clip_spacing, job.allowances.sleeve_each
    cores = {leg.id: _cores(worked, leg.cable) for leg in job.legs}
    for cable in routes.cables:
        clipped = sum(way.length for way in cable.ways if way.kind in _SEEN)
        clips = (Decimal(str(clipped)) / spacing).to_integral_value(ROUND_CEILING)
        yield _small(worked, "cable clip", clips, "cables led along cabinets")
        yield _small(worked, "marker", Decimal(_BOTH_ENDS), "both ends of each cable")
    for fit in worked.fits:
        soldered = len(feed_points(fit)) + 2 * len(reached(fit, routes.links)[1])
        own = cores.get(fit.run.leg or "", 2)
        length = soldered * own * sleeve / _MM_PER_METRE
        yield _small(worked, "sleeve", length, "soldered wires")


def _cores(worked: Worked, own_id: str) -> int:
    return next((cable.cores for cable in worked.parts.cables if cable.id == own_id), 2)


def spares(worked: Worked) -> Iterator[Counted]:
    """Give what stays with the client beside the strip, so that a fault is soon put right."""
    if not worked.bars:
        return
    allowances = worked.job.allowances
    caps = {channel.id: channel.cap for channel in worked.parts.channels}
    used = dict.fromkeys(caps[fit.run.channel] for fit in worked.fits if fit.run.channel in caps)
    for cap in used:
        yield Counted(cap, "cap", allowances.spare_caps, "spare")
    if any(run.fixing in ("clips", "tape") for run in worked.job.runs):
        yield _small(worked, "clip", allowances.spare_clips, "spare")
    two = connector_of(worked.parts, _TWO_WAY)
    if two:
        yield Counted(two.id, "connector", allowances.spare_connectors, "spare")

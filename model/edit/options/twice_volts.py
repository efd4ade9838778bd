"""24 V in place of 12 V: half the amps, a quarter of the drop in percent."""

from decimal import Decimal

from pelmet.model.edit.change import altered, rebuilt
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Leg
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Strip, SupplyPart

_LOW, _HIGH = Decimal(12), Decimal(24)


def twice_the_volts(job: Job, parts: Catalogue, leg: Leg) -> tuple[Job, tuple[str, ...]] | None:
    """Give a job with the leg's supply, and every strip on it, changed from 12 V to 24 V.

    The strips taken are the nearest in lumens that go into their channels; the supply is the
    smallest of 24 V with as many watts and terminals. Nothing if it is no 12 V leg, or the
    catalogue has none such.
    """
    supply = next(each for each in job.supplies if each.id == leg.supply)
    old = find_part(parts.supplies, supply.part)
    if old is None or old.volts != _LOW:
        return None
    new = min(
        (each for each in parts.supplies if _does(each, old)),
        key=lambda each: each.watts,
        default=None,
    )
    if new is None:
        return None
    legs = {each.id for each in job.legs if each.supply == supply.id}
    runs = []
    strips: dict[str, str] = {}
    for run in job.runs:
        if run.leg not in legs:
            runs.append(run)
            continue
        channel = find_part(parts.channels, run.channel)
        strip = _nearest(parts, run.strip, channel.floor if channel else None)
        if strip is None:
            return None
        strips[run.strip] = strip.id
        runs.append(altered(run, {"strip": strip.id}))
    changed = rebuilt(
        job,
        runs=tuple(runs),
        supplies=tuple(
            altered(each, {"part": new.id}) if each.id == supply.id else each
            for each in job.supplies
        ),
    )
    words = [f"{supply.id}: {new.id} for {old.id}"]
    words += [f"strip {fresh} for {gone}" for gone, fresh in strips.items()]
    return changed, tuple(words)


def _does(part: SupplyPart, old: SupplyPart) -> bool:
    return part.volts == _HIGH and part.watts >= old.watts and part.terminals >= old.terminals


def _nearest(parts: Catalogue, item_id: str, floor: Decimal | None) -> Strip | None:
    """Give the 24 V strip most like another; itself if it is of 24 V."""
    old = find_part(parts.strips, item_id)
    if old is None or old.volts == _HIGH:
        return old
    fitting = [
        each
        for each in parts.strips
        if each.volts == _HIGH
        and each.channels == old.channels
        and (each.dimmable or not old.dimmable)
        and (floor is None or each.width <= floor)
    ]
    lumens = old.lumens_per_metre
    return min(
        fitting,
        key=lambda each: (
            each.kind != old.kind,
            abs(each.lumens_per_metre - lumens),
            abs(each.kelvin - old.kelvin),
        ),
        default=None,
    )

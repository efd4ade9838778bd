"""What else could switch a zone or dim a leg: every part tried, the cheapest that does first."""

from collections.abc import Iterable
from decimal import Decimal

from pelmet.model.edit.options.option import Option, Search, in_order, try_plan, with_fields
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import Kind
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Part
from pelmet.model.measure.decimals import plain
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

_NOTHING = Decimal(0)


def switches(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Try every switch on a zone, and none last.

    Each says the amps through it, and whether it does: nothing at stop or warn is found of it.
    """
    zone = next((each for each in job.zones if each.id == item_id), None)
    if zone is None:
        return
    known = plan_job(job, parts).parts.switches
    without = with_fields(job, "zone", item_id, {"switch": None})
    none = Option("switch: none", "nothing switches it", (), without, zone.switch is None)
    found: tuple[Option, ...] = ()
    for found in _tried(job, parts, "zone", item_id, "switch", known):
        yield (*found, none)
    if not found:
        yield (none,)


def dimmers(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Try every other dimmer on a leg, and none: the amps a channel, and whether it does."""
    leg = next((each for each in job.legs if each.id == item_id), None)
    if leg is None:
        return
    known = plan_job(job, parts).parts.dimmers
    for found in _tried(job, parts, "leg", item_id, "dimmer", (None, *known)):
        yield tuple(option for option in found if not option.taken)


def _tried(
    job: Job, parts: Catalogue, kind: Kind, item_id: str, field: str, known: Iterable[Part | None]
) -> Search:
    """Try parts in a field; those that do come first, the cheapest of them before the others."""
    now = getattr(job.find(kind, item_id), field)
    ranked: list[tuple[tuple[bool, bool, Decimal], Option]] = []
    for part in known:
        named = part.id if part else None
        changed = with_fields(job, kind, item_id, {field: named})
        plan = try_plan(changed, parts)
        if plan is None:
            continue
        told = [
            finding
            for finding in plan.findings
            if (finding.kind, finding.about, finding.field) == (kind, item_id, field)
        ]
        does = all(finding.level == "ask" for finding in told)
        price = part.price if part else _NOTHING
        amps = _amps(plan, kind, item_id) if part else "not dimmed"
        option = Option(
            f"{field}: {named or 'none'}",
            f"{amps}: {'does' if does else 'does not'}",
            (*_price(price), *_says(told)),
            changed,
            taken=named == now,
        )
        ranked.append(((not does, price is None, price or _NOTHING), option))
        yield in_order(ranked)


def _amps(plan: Plan, kind: Kind, item_id: str) -> str:
    """Say the amps through the switch of a zone, or a channel of the dimmer of a leg."""
    controls = plan.controls
    if kind == "zone":
        own = next(each for each in controls.zones if each.zone.id == item_id)
        if not own.legs:
            return "no leg in it"
        amps, most = own.through, own.switch.amps if own.switch else None
    else:
        load = next((each for each in controls.dimmers if item_id in each.feeds), None)
        if load is None:
            return "not for this side of the supply"
        amps = next(each.amps for each in load.channels if each.feeds == item_id)
        most = load.part.amps
    if amps is None or most is None:
        return "amps not known"
    return f"{float(amps.value):.2f} of {plain(most)} A" + (" a channel" if kind == "leg" else "")


def _price(price: Decimal | None) -> tuple[str, ...]:
    return (f"price {plain(price)}",) if price else ()


def _says(told: Iterable[Finding]) -> tuple[str, ...]:
    return tuple(finding.says for finding in told)

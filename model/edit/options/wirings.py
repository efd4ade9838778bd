"""The kinds of wiring a leg could have: what each takes in cable, holes, minutes and volts."""

from typing import get_args

from pelmet.model.edit.options.option import (
    Option,
    Search,
    count_words,
    in_order,
    try_plan,
    with_fields,
)
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.feeds import Wiring
from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.cable import laying_minutes

_MM_PER_METRE = 1000


def wiring_options(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Try branched, chained and home run; the quickest to lay comes first."""
    now = next((leg.wiring for leg in job.legs if leg.id == item_id), None)
    if now is None:
        return
    found: list[tuple[float, Option]] = []
    for wiring in get_args(Wiring):
        changed = with_fields(job, "leg", item_id, {"wiring": wiring})
        plan = try_plan(changed, parts)
        if plan is None:
            continue
        minutes, gives = _price(plan, item_id)
        unproven = item_id in plan.routes.unproven
        reasons = ("a cheaper way could not be ruled out",) if unproven else ()
        found.append((minutes, Option(wiring, gives, reasons, changed, taken=wiring == now)))
        yield in_order(found)


def _price(plan: Plan, leg: str) -> tuple[float, str]:
    leads = plan.routes.leads_of(leg)
    metres = sum(float(lead.length.value) for lead in leads if lead.length) / _MM_PER_METRE
    holes = len({hole for lead in leads for way in lead.ways for hole in way.drillings})
    minutes = laying_minutes(leads, plan.job.allowances)
    circuit = next(each for each in plan.circuits.legs if each.leg.id == leg)
    volts = f", {float(circuit.worst.value):.2f} V at worst" if circuit.worst else ""
    takes = f"{count_words(len(leads), 'piece')}, {count_words(holes, 'hole')}, {minutes:.0f} min"
    return minutes, f"{metres:.1f} m of cable, {takes}{volts}"

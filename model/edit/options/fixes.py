"""What else a leg could be fed by: other cables, and a leg for each of its runs."""

from collections.abc import Iterator

from pelmet.model.edit.change import altered, rebuilt
from pelmet.model.edit.ids import fresh_id
from pelmet.model.edit.options.option import Option, counted, tried, with_fields
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Leg
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cable
from pelmet.model.plan.legs import LegCircuit, core_ohms
from pelmet.model.plan.stages import Plan, plan_job


def fixes(job: Job, parts: Catalogue, own_id: str) -> tuple[Option, ...]:
    """Try every other cable on a leg, the thinnest first, and a leg of its own for each run.

    Each says the volts and the drop it gives, and whether that is within the allowance.
    """
    leg = next((each for each in job.legs if each.id == own_id), None)
    if leg is None:
        return ()
    return (*_cables(job, parts, leg), *_split(job, parts, leg))


def _cables(job: Job, parts: Catalogue, leg: Leg) -> Iterator[Option]:
    known = plan_job(job, parts).worked.parts.cables

    def ohms(cable: Cable) -> float:
        return float(core_ohms(cable, job.allowances).value)

    for cable in sorted(known, key=ohms, reverse=True):
        if cable.id == leg.cable:
            continue
        changed = with_fields(job, "leg", leg.id, {"cable": cable.id})
        plan = tried(changed, parts)
        if plan:
            circuit = _circuit(plan, leg.id)
            yield Option(
                f"cable: {cable.id}",
                _gives([circuit], plan),
                (f"carries {cable.amps} A, {cable.outside} mm across", *_over(circuit, cable)),
                changed,
            )


def _over(circuit: LegCircuit, cable: Cable) -> tuple[str, ...]:
    """Say that a cable is too thin for the amps."""
    if circuit.amps is None or float(circuit.amps.value) <= float(cable.amps):
        return ()
    return (f"too thin: {float(circuit.amps.value):.2f} A",)


def _split(job: Job, parts: Catalogue, leg: Leg) -> Iterator[Option]:
    """Put every run of a leg but the first on a leg of its own, at the same supply."""
    runs = [run.id for run in job.runs if run.leg == leg.id]
    if len(runs) <= 1:
        return
    changed = job
    own = [leg.id]
    for run in runs[1:]:
        fresh = altered(leg, {"id": fresh_id(changed, "leg"), "length": None, "note": ""})
        changed = rebuilt(
            changed,
            legs=(*changed.legs, fresh),
            runs=tuple(
                altered(each, {"leg": fresh.id}) if each.id == run else each
                for each in changed.runs
            ),
        )
        own.append(fresh.id)
    plan = plan_job(changed, parts)
    supply = next(each for each in job.supplies if each.id == leg.supply)
    part = find_part(plan.worked.parts.supplies, supply.part)
    legs = sum(each.supply == leg.supply for each in changed.legs)
    short = part is not None and legs > part.terminals
    reasons = (f"{supply.id} has terminals for {part.terminals}",) if part and short else ()
    yield Option(
        "a leg for each run",
        _gives([_circuit(plan, each) for each in own], plan),
        (f"{counted(len(own), 'leg')}: {' '.join(own)}", *reasons),
        changed,
    )


def _circuit(plan: Plan, leg: str) -> LegCircuit:
    return next(each for each in plan.worked.circuits.legs if each.leg.id == leg)


def _gives(circuits: list[LegCircuit], plan: Plan) -> str:
    """Say the worst volts and drop of some legs."""
    known = [each for each in circuits if each.worst and each.drop]
    if len(known) < len(circuits):
        return "volts not known"
    worst = max(known, key=lambda each: float(each.drop.value) if each.drop else 0.0)
    drop, volts = worst.drop, worst.worst
    assert drop is not None
    assert volts is not None
    within = float(drop.value) <= float(plan.worked.job.allowances.drop_warn)
    verdict = "within" if within else "over"
    return (
        f"{float(volts.value):.2f} V at worst, {float(drop.value):.1f} % down: {verdict} "
        f"{plan.worked.job.allowances.drop_warn} %"
    )

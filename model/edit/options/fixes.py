"""What a leg could be fed by instead, each tried out; the cheapest that is right comes first."""

from collections.abc import Iterator
from typing import NamedTuple

from pelmet.model.edit.change import altered, rebuilt
from pelmet.model.edit.ids import fresh_id
from pelmet.model.edit.options.cost import cost_of
from pelmet.model.edit.options.option import (
    Option,
    Search,
    count_words,
    in_order,
    try_plan,
    with_fields,
)
from pelmet.model.edit.options.places import good_cabinets
from pelmet.model.edit.options.twice_volts import twice_the_volts
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Leg
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cable
from pelmet.model.plan.circuit.leg_network import core_ohms
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.circuit.protection import ampacity, heaviest_amps
from pelmet.model.plan.circuit.sizing import thinnest_cable
from pelmet.model.plan.measures import length_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

_UNKNOWN_DROP = 100.0  # [%] a leg whose volts are not known comes last


class Try(NamedTuple):
    """A change to try: what it is called, reasons for and against, the changed job, its legs."""

    choice: str
    job: Job | None
    legs: tuple[str, ...]
    reasons: tuple[str, ...] = ()


def leg_options(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Try every other cable, feed points, a leg for each run, more volts, and other places.

    Each is planned whole: its volts and drop, whether that is within the allowance, and what it
    costs more or less. Those that are right come first, the cheapest first; then the others, the
    least drop first.
    """
    leg = next((each for each in job.legs if each.id == item_id), None)
    if leg is None:
        return
    now = plan_job(job, parts)
    spent, stops = cost_of(now), now.count("stop")
    ranked: list[tuple[tuple[bool, float, float], Option]] = []
    for one in _tries(job, leg, now):
        plan = try_plan(one.job, parts)
        if plan is None:
            continue
        circuits = [_circuit(plan, each) for each in one.legs]
        drop = max(_drop(each) for each in circuits)
        right = _right(circuits, plan) and plan.count("stop") <= stops
        more = cost_of(plan) - spent
        rank = (not right, more if right else drop, drop)
        gives = f"{_gives(circuits, plan)}, costs {more:+z.2f}"
        ranked.append((rank, Option(one.choice, gives, one.reasons, one.job)))
        yield in_order(ranked)


def leg_fails(job: Job, parts: Catalogue, item_id: str) -> bool:
    """Tell whether a leg's volts are too low, or a cable of it carries more than it may."""
    plan = plan_job(job, parts)
    found = [each for each in plan.circuits.legs if each.leg.id == item_id]
    return any(each.amps is not None and not _right([each], plan) for each in found)


def _tries(job: Job, leg: Leg, now: Plan) -> Iterator[Try]:
    yield from _cables(job, leg, now)
    yield from _feeding(job, leg, now)
    yield from _split(job, leg, now)
    changed = twice_the_volts(job, now.parts, leg)
    if changed is not None:
        new, reasons = changed
        yield Try("24 V in place of 12 V", new, (leg.id,), reasons)
    supply = next(each for each in job.supplies if each.id == leg.supply)
    here = supply.cabinet if supply.place == "in cabinet" else None
    for cabinet in good_cabinets(job, find_part(now.parts.supplies, supply.part)):
        if cabinet.id == here:
            continue
        yield Try(
            f"supply in {cabinet.id}",
            with_fields(job, "supply", leg.supply, {"cabinet": cabinet.id, "place": "in cabinet"}),
            (leg.id,),
            ("every leg of this supply is laid anew",),
        )


def _cables(job: Job, leg: Leg, now: Plan) -> Iterator[Try]:
    known = now.parts.cables
    celsius = float(job.allowances.conductor_temperature)
    chosen = find_part(known, leg.cable)
    cores = chosen.cores if chosen else 2

    def ohms(cable: Cable) -> float:
        return float(core_ohms(cable, celsius).value)

    plan = now
    choice = thinnest_cable(job, plan.parts, plan.fits, plan.routes, _circuit(now, leg.id))
    fails = {trial.cable: trial.fails for trial in choice.trials} if choice else {}
    for cable in sorted(known, key=ohms, reverse=True):
        if cable.id == leg.cable or cable.cores < cores:
            continue
        reasons: tuple[str, ...] = (
            f"carries {cable.amps} A, {length_said(cable.outside, job.site)} across",
        )
        if fails.get(cable.id):
            reasons = (*reasons, f"fails by {', '.join(fails[cable.id])}")
        if choice and choice.chosen == cable.id:
            reasons = (*reasons, f"the thinnest that does: {choice.words}")
        changed = with_fields(job, "leg", leg.id, {"cable": cable.id})
        yield Try(f"cable: {cable.id}", changed, (leg.id,), reasons)


def _feeding(job: Job, leg: Leg, now: Plan) -> Iterator[Try]:
    """Feed the run with the lowest volts at its other end, both ends, or in the middle."""
    worst = _circuit(now, leg.id).worst
    runs = {bar.id: bar.run for bar in now.bars}
    run = next((each for each in job.runs if worst and each.id == runs.get(worst.about)), None)
    if run is None:
        return
    for feed_end, words in (
        ("left", "at its left end"),
        ("right", "at its right end"),
        ("both", "at both ends"),
        ("middle", "in its middle"),
    ):
        if feed_end != run.feed_end:
            fields = {"feed_end": feed_end, "far_leg": None}
            changed = with_fields(job, "run", run.id, fields)
            yield Try(f"feed {run.id} {words}", changed, (leg.id,))


def _split(job: Job, leg: Leg, now: Plan) -> Iterator[Try]:
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
    supply = next(each for each in job.supplies if each.id == leg.supply)
    part = find_part(now.parts.supplies, supply.part)
    legs = sum(each.supply == leg.supply for each in changed.legs)
    short = part is not None and legs > part.terminals
    reasons = (f"{supply.id} has terminals for {part.terminals}",) if part and short else ()
    words = f"{count_words(len(own), 'leg')}: {' '.join(own)}"
    yield Try("a leg for each run", changed, tuple(own), (words, *reasons))


def _circuit(plan: Plan, leg: str) -> LegCircuit:
    return next(each for each in plan.circuits.legs if each.leg.id == leg)


def _drop(circuit: LegCircuit) -> float:
    return float(circuit.drop.value) if circuit.drop else _UNKNOWN_DROP


def _right(circuits: list[LegCircuit], plan: Plan) -> bool:
    """Tell whether legs are within the allowance, and within what their cables carry."""
    warn = float(plan.job.allowances.drop_warn)
    for each in circuits:
        cable, amps = find_part(plan.parts.cables, each.leg.cable), heaviest_amps(each)
        if each.amps is None or cable is None or amps is None:
            return False
        if float(amps.value) > float(ampacity(cable, plan.job.site.region).value):
            return False
        if _drop(each) > warn or not all(bar.above_least for bar in each.bars):
            return False
    return True


def _gives(circuits: list[LegCircuit], plan: Plan) -> str:
    """Say the worst volts and drop of some legs."""
    if any(each.worst is None for each in circuits):
        return "volts not known"
    worst = max(circuits, key=_drop)
    assert worst.worst is not None
    warn = plan.job.allowances.drop_warn
    verdict = "within" if _drop(worst) <= float(warn) else "over"
    return f"{float(worst.worst.value):.2f} V, {_drop(worst):.1f} % down: {verdict} {warn} %"

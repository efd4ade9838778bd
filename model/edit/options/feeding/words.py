"""What a way to feed a run gives, in words: one row, and what a person weighs before taking it."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from pelmet.model.edit.options.feeding.trial import Before, Tried, proved_on
from pelmet.model.edit.options.option import Option, count_words
from pelmet.model.edit.options.places import place_reasons
from pelmet.model.measure.decimals import plain
from pelmet.model.order.folder import Folder
from pelmet.model.order.status import runs_on
from pelmet.model.plan.finding import said
from pelmet.model.plan.result import Plan

_MM_PER_METRE: Final = 1000
_NONE: Final = Decimal(0)


def told(before: Before, tried: Tried) -> Option:
    """Make an option of a way that was tried."""
    cost = f", {_cost(before, tried)}" if tried.known else ""
    return Option(
        tried.way.choice,
        f"{_verdict(tried)}{cost}",
        (
            *(f"{each.code.replace('-', ' ')}: {each.says}" for each in tried.brought),
            *_unknown(tried),
            *((f"disturbs {'; '.join(tried.disturbed)}",) if tried.disturbed else ()),
            *_anew(before, tried),
            *_proof(before, tried),
            _left(tried),
            *_at_worst(before, tried),
            *_takes(before, tried),
            *tried.way.notes,
            *_place(before, tried),
        ),
        tried.way.job,
    )


def _verdict(tried: Tried) -> str:
    """Say whether a way works, and by what it does not."""
    if tried.works:
        return "disturbs" if tried.disturbed else "works"
    codes = dict.fromkeys(each.code.replace("-", " ") for each in tried.brought)
    lacks = [*([] if tried.known else ["way not known"]), *codes]
    return f"no: {', '.join(lacks)}"


def why_not(tried: Tried, most: int | None = None) -> str:
    """Say why a way does not work; no more than so many reasons, and how many are left."""
    says = (*(each.says for each in tried.brought), *_unknown(tried))
    left = len(says[most:]) if most is not None else 0
    return "; ".join((*says[:most], *([f"and {left} more"] if left else ())))


def _cost(before: Before, tried: Tried) -> str:
    minutes = sum(tried.more.minutes.values(), _NONE)
    return f"{tried.cost:+.2f} {before.prices.currency}, {minutes:.0f} min"


def _unknown(tried: Tried) -> Iterator[str]:
    if not tried.known:
        leg, supply = tried.way.leg, tried.supply.id
        leads = tried.plan.routes.leads_of(leg)
        if any(lead.length is None for lead in leads):
            yield (
                f"no way from {supply} is known, and its cable is not counted: take it, then "
                f"give the lead length of {leg} as measured"
            )
        else:
            yield f"the volts of {leg} cannot be worked out"


def _left(tried: Tried) -> str:
    """Say what the supply has left: watts and terminals."""
    budget = next(each for each in tried.plan.supplies if each.supply == tried.supply.id)
    assert budget.left is not None
    assert budget.usable is not None
    assert budget.terminals_left is not None
    left, free = float(budget.left.value), int(budget.terminals_left.value)
    watts = f"{said(left)} W left" if left >= 0 else f"{said(-left)} W too little"
    terminals = f"{count_words(abs(free), 'terminal')} {'left' if free >= 0 else 'too few'}"
    return f"{budget.supply}: {watts} of {said(float(budget.usable.value))}, {terminals}"


def _at_worst(before: Before, tried: Tried) -> Iterator[str]:
    """Say volts and light where they are least: of the new run, and of the others before and now.

    Before, nothing fed the new run, so its light is only told now.
    """
    own = {before.run.id}
    others = {run.id for run in before.job.runs if run.leg is not None}
    new = (*_volts(tried.plan, own), *_light(tried.plan, own))
    if new:
        yield f"{before.run.id} at worst: {', '.join(new)}"
    was = (*_volts(before.plan, others), *_light(before.plan, others))
    now = (*_volts(tried.plan, others), *_light(tried.plan, others))
    if was == now:
        yield from ((f"the others at worst: {', '.join(now)}, as before",) if now else ())
    else:
        yield f"the others at worst: {', '.join(now)}; before {', '.join(was)}"


def _volts(plan: Plan, runs: set[str]) -> Iterator[str]:
    """Give the lowest volts of some runs, in percent of what their supplies give."""
    owners = {bar.id: bar.run for bar in plan.bars}
    parts = {part.id: float(part.volts) for part in plan.parts.supplies}
    full = {each.id: parts.get(each.part, 0.0) for each in plan.job.supplies}
    lowest = [
        (float(bar.lowest.value) / full[leg.leg.supply], float(bar.lowest.value), bar.bar)
        for leg in plan.circuits.legs
        if full[leg.leg.supply]
        for bar in leg.bars
        if owners[bar.bar] in runs
    ]
    for _, volts, bar in sorted(lowest)[:1]:
        yield f"{volts:.2f} V at {bar}"


def _light(plan: Plan, runs: set[str]) -> Iterator[str]:
    least = [(float(each.least.value), each.run) for each in plan.lights if each.run in runs]
    for lux, run in sorted(least)[:1]:
        yield f"{lux:.0f} lx below {run}"


def _takes(before: Before, tried: Tried) -> Iterator[str]:
    """Say what it takes in money and minutes; then what is new: cable, holes, parts."""
    more = tried.more
    electrician = more.minutes["electrician"]
    mains = f", of them {electrician:.0f} the electrician's" if electrician else ""
    yield (
        f"{more.material:.2f} {before.prices.currency} of parts and "
        f"{sum(more.minutes.values(), _NONE):.0f} min{mains}, before mark-up and tax"
    )
    metres = _metres(tried.plan) - _metres(before.plan)
    holes = len(_drilled(tried.plan) - _drilled(before.plan))
    parts = ", ".join(_parts(before.folder, tried.folder)) or "no parts"
    yield f"new: {metres:.1f} m of cable, {count_words(holes, 'hole')}: {parts}"


def _drilled(plan: Plan) -> set[tuple[object, ...]]:
    return {(each.owner, each.panel, round(each.along, 1)) for each in plan.holes}


def _metres(plan: Plan) -> float:
    known = (float(each.length.value) for each in plan.routes.cables if each.length)
    return sum(known) / _MM_PER_METRE


def _parts(before: Folder, now: Folder) -> Iterator[str]:
    """Give what the order has more of: pieces by number, what goes by length by its name alone."""
    had: dict[str, Decimal] = {}
    for line in before.lines:
        had[line.part] = had.get(line.part, _NONE) + line.needed
    needs: dict[str, Decimal] = {}
    for line in now.lines:
        needs[line.part] = needs.get(line.part, _NONE) + line.needed
    for part, amount in needs.items():
        more = amount - had.get(part, _NONE)
        if more > 0:
            yield f"{plain(more)} {part}"


def _anew(before: Before, tried: Tried) -> Iterator[str]:
    """Say where a tee goes on from, and name the cables of wired runs that are cut or laid anew."""
    if runs_on(before.job, {tried.way.leg}):
        for lead in tried.plan.routes.leads_of(tried.way.leg):
            if lead.run == before.run.id:
                yield f"{lead.id} goes on from {lead.origin}"
        now = {(each.label, each.ways) for each in tried.plan.routes.cables}
        old = [
            each.id
            for each in before.plan.routes.leads_of(tried.way.leg)
            if (each.label, each.ways) not in now
        ]
        if old and tried.disturbed:
            yield f"cut for it or laid anew: {' '.join(old)}"


def _proof(before: Before, tried: Tried) -> Iterator[str]:
    again = proved_on(tried.way, before.run)
    if again:
        yield f"to be proved again: {' '.join(again)}"


def _place(before: Before, tried: Tried) -> Iterator[str]:
    """Say what speaks for and against the place of a new supply."""
    if all(each.id != tried.supply.id for each in before.job.supplies):
        yield from place_reasons(tried.plan, tried.supply)

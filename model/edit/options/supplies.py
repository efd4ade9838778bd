"""What a supply could be: every other part of its volts, and more supplies than one."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from itertools import chain
from typing import NamedTuple

from pelmet.model.edit.change import altered, rebuilt
from pelmet.model.edit.ids import fresh_id
from pelmet.model.edit.options.option import Option, Search, count_words, try_plan, with_fields
from pelmet.model.edit.options.places import has_room
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Supply
from pelmet.model.job.job import Job
from pelmet.model.job.parts import SupplyPart
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.circuit.sources import label_words
from pelmet.model.plan.circuit.supplies import SupplyBudget, carries, ceiling_watts, usable_watts
from pelmet.model.plan.circuit.terminals import cables_at_supply
from pelmet.model.plan.finding import said
from pelmet.model.plan.measures import celsius_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.survey.openings import stands_over
from pelmet.model.plan.survey.space import goes_in, space_of
from pelmet.model.refusal import Refusal

_ROUNDING = 1e-9


def supply_options(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Try every other supply part of the same volts, then a split over several supplies.

    The smallest part that does comes first: that carries the load, has the terminals, and keeps
    to the region's ceiling for a limited source. A supply for each zone is tried where legs are
    of several; more supplies where no one part does; one nearer the light where the drop is over
    its allowance.
    """
    supply = next((each for each in job.supplies if each.id == item_id), None)
    if supply is None:
        return
    now = _Now.of(job, parts, supply)
    if now is None:
        return
    found: tuple[Option, ...] = ()
    for one in chain(_parts(now), _by_zone(now), _by_limit(now), _by_drop(now)):
        found = (*found, one)
        yield found


class _Now(NamedTuple):
    """How things are: the job, a supply of it with its part, and its legs worked out."""

    job: Job
    parts: Catalogue
    supply: Supply
    part: SupplyPart
    same: tuple[SupplyPart, ...]  # every part of its volts, the smallest first
    ceiling: Decimal | None
    legs: tuple[LegCircuit, ...]
    cables: int
    load: float

    @classmethod
    def of(cls, job: Job, parts: Catalogue, supply: Supply) -> "_Now | None":
        plan = plan_job(job, parts)
        part = find_part(plan.parts.supplies, supply.part)
        if part is None:
            return None
        same = sorted(
            (each for each in plan.parts.supplies if each.volts == part.volts),
            key=lambda each: (each.watts, each.id),
        )
        legs = tuple(leg for leg in plan.circuits.legs if leg.leg.supply == supply.id)
        (budget,) = (each for each in plan.supplies if each.supply == supply.id)
        ceiling = ceiling_watts(job, part.volts)
        cables = sum(len(cables_at_supply(plan.routes, leg.leg)) for leg in legs)
        load = float(budget.load.value)
        return cls(job, parts, supply, part, tuple(same), ceiling, legs, cables, load)

    def does(self, part: SupplyPart) -> bool:
        """Say if one such supply is enough for all the legs."""
        return (
            self.cables <= part.terminals
            and not self.over(part)
            and self.room(part)
            and carries(part, self.job.allowances, self.load)
        )

    def room(self, part: SupplyPart) -> bool:
        """Say if a part goes where the supply sits."""
        space = space_of(self.supply, self.job.cabinets, self.job.allowances)
        return goes_in(part, space, self.job.allowances)

    def over(self, part: SupplyPart) -> bool:
        """Say if a part gives more than a limited source may."""
        return self.ceiling is not None and part.watts > self.ceiling


# --- Another part ---------------------------------------------------------------------------------


def _parts(now: _Now) -> Iterator[Option]:
    others = [part for part in now.same if part.id != now.part.id]
    for part in (
        *(each for each in others if now.does(each)),
        *(each for each in reversed(others) if not now.does(each)),
    ):
        changed = with_fields(now.job, "supply", now.supply.id, {"part": part.id})
        plan = try_plan(changed, now.parts)
        if plan:
            yield Option(
                f"part: {part.id}",
                _gives(_budget(plan, now.supply.id)),
                (*_limits(now, part), _price(now.part, part)),
                changed,
            )


def _gives(budget: SupplyBudget) -> str:
    """Say what is used and left: ``17 % of 48 W used, 39.8 W left, 2 terminals left``."""
    assert budget.usable is not None
    assert budget.left is not None
    assert budget.terminals_left is not None
    usable, left = float(budget.usable.value), float(budget.left.value)
    share = f"{100 * float(budget.load.value) / usable:.0f} % of " if usable else ""
    watts = f"{said(left)} W left" if left >= -_ROUNDING else f"{said(-left)} W too little"
    free = int(budget.terminals_left.value)
    terminals = (
        f"{count_words(free, 'terminal')} left"
        if free >= 0
        else f"{count_words(-free, 'terminal')} too few"
    )
    return f"{share}{said(usable)} W used, {watts}, {terminals}"


def _limits(now: _Now, part: SupplyPart) -> Iterator[str]:
    """Say what its output is limited to, and whether that is within the region's ceiling."""
    if now.ceiling is not None:
        held = "over" if now.over(part) else "within"
        yield f"{said(part.watts)} W: {held} the {said(now.ceiling)} W of a Class 2 source"
    yield f"its output, by its label: {label_words(part)}"
    if not now.room(part):
        yield "no room for it where the supply sits"
    if now.job.allowances.supply_celsius > part.highest_celsius:
        most = celsius_said(said(part.highest_celsius), now.job.site)
        yield f"not to be used in air above {most}"


def _price(old: SupplyPart, new: SupplyPart) -> str:
    if new.price is None:
        return "price not known"
    if old.price is None:
        return f"price {new.price}"
    more = new.price - old.price
    return f"price {abs(more)} {'more' if more >= 0 else 'less'}" if more else "the same price"


# --- More than one --------------------------------------------------------------------------------


def _by_zone(now: _Now) -> Iterator[Option]:
    """A supply for each zone that the legs are of; the first stays where it is."""
    zones: dict[str | None, list[str]] = {}
    for leg in now.legs:
        zones.setdefault(leg.leg.zone, []).append(leg.leg.id)
    if len(zones) > 1:
        names = {zone.id: zone.name for zone in now.job.zones}
        told = ", ".join(names.get(zone or "", "no zone") for zone in zones)
        groups = list(zones.values())
        yield from _split(now, "a supply for each zone", groups, (f"zones: {told}",))


def _by_limit(now: _Now) -> Iterator[Option]:
    """More supplies, as few as will do, where no one part does."""
    if any(now.does(part) for part in now.same) or len(now.legs) <= 1:
        return
    allowed = [part for part in now.same if not now.over(part)] or list(now.same)
    biggest = max(allowed, key=lambda part: usable_watts(part, now.job.allowances).usable.value)
    groups = _packed(now, biggest)
    if len(groups) <= 1:
        return
    moved = "; ".join(" ".join(group) for group in groups[1:])
    more = "a second supply" if len(groups) == 2 else f"{len(groups) - 1} more supplies"
    limit = f", within {said(now.ceiling)} W each" if now.ceiling is not None else ""
    why = f"no one supply carries {said(now.load)} W and {count_words(len(now.legs), 'leg')}{limit}"
    yield from _split(now, f"{more} for {moved}", groups, (why,))


def _packed(now: _Now, part: SupplyPart) -> list[list[str]]:
    """Put the legs into groups that one such part carries, the biggest leg first.

    First fit of falling sizes. A leg too big for any part gets a group of its own.
    """
    room = float(usable_watts(part, now.job.allowances).usable.value) + _ROUNDING
    loads = {leg.leg.id: _load(leg, now.part) for leg in now.legs}
    groups: list[list[str]] = []
    for leg in sorted(loads, key=lambda one: -loads[one]):
        for group in groups:
            if (
                len(group) < part.terminals
                and sum(loads[one] for one in group) + loads[leg] <= room
            ):
                group.append(leg)
                break
        else:
            groups.append([leg])
    order = list(loads)
    groups = [sorted(group, key=order.index) for group in groups]
    return sorted(groups, key=lambda group: order.index(group[0]))


def _load(leg: LegCircuit, part: SupplyPart) -> float:
    drawn = float(part.volts) * float(leg.amps.value) if leg.amps else 0.0
    return max(drawn, float(leg.watts.value))


def _by_drop(now: _Now) -> Iterator[Option]:
    """A supply of its own for the leg with the worst drop, in a cabinet over its light."""
    warn = float(now.job.allowances.drop_warn)
    far = [leg for leg in now.legs if leg.drop and float(leg.drop.value) > warn]
    if not far:
        return
    worst = max(far, key=lambda leg: float(leg.drop.value) if leg.drop else 0.0)
    home = _home(now, worst)
    if home is None:
        return
    fields = {"cabinet": home, "place": "in cabinet"}
    choice = f"a supply for {worst.leg.id} in cabinet {home}"
    try:
        changed, (_, fresh) = _moved(now, [[], [worst.leg.id]], fields)
    except Refusal:
        return
    plan = plan_job(changed, now.parts)
    after = next(leg for leg in plan.circuits.legs if leg.leg.id == worst.leg.id)
    assert worst.drop is not None
    down = f"{float(after.drop.value):.1f} %" if after.drop else "not known"
    yield Option(
        choice,
        f"{worst.leg.id} {down} down in place of {float(worst.drop.value):.1f} %, "
        f"{_watts(_budget(plan, fresh))}",
        ("nearer its light; never join the two outputs",),
        changed,
    )


def _home(now: _Now, leg: LegCircuit) -> str | None:
    """Give the closed cabinet nearest the middle of a leg's runs that hangs over no hob."""
    names = [name for run in now.job.runs if run.id in leg.runs for name in run.cabinets]
    hobs = [each for each in now.job.obstacles if each.kind == "hob zone"]
    good = {
        each.id
        for each in now.job.cabinets
        if each.kind == "wall cabinet"
        and each.id != now.supply.cabinet
        and not any(stands_over(each, hob) for hob in hobs)
        and has_room(now.job, now.part, each)
    }
    near = sorted(range(len(names)), key=lambda row: (abs(row - len(names) // 2), row))
    return next((names[row] for row in near if names[row] in good), None)


def _split(
    now: _Now, choice: str, groups: Sequence[Sequence[str]], reasons: tuple[str, ...]
) -> Iterator[Option]:
    """Put each group of legs but the first on a new supply beside this one."""
    try:
        changed, own = _moved(now, groups, {})
    except Refusal:
        return
    plan = plan_job(changed, now.parts)
    budgets = [_budget(plan, each) for each in own]
    over = [
        " ".join(budget.legs)
        for budget in budgets
        if budget.left and float(budget.left.value) < -_ROUNDING
    ]
    yield Option(
        choice,
        ", ".join(_watts(budget) for budget in budgets),
        (
            *reasons,
            ", ".join(f"{each.id} {each.part}" for each in changed.supplies if each.id in own),
            *(f"still too much for one: {legs}; split it first" for legs in over),
            "never join their outputs",
        ),
        changed,
    )


def _moved(
    now: _Now, groups: Sequence[Sequence[str]], fields: Mapping[str, str]
) -> tuple[Job, list[str]]:
    """Put legs on new supplies, and give the job and its supplies, the present one first.

    Each supply takes the smallest part that carries its legs; the present one keeps its part if
    that does. A measured lead from another place no longer holds.
    """
    job, own = now.job, [now.supply.id]
    for group in groups[1:]:
        fresh = altered(now.supply, {"id": fresh_id(job, "supply"), "note": "", **fields})
        length = {"length": None} if fields else {}
        legs = [
            altered(leg, {"supply": fresh.id, **length}) if leg.id in group else leg
            for leg in job.legs
        ]
        job = rebuilt(job, supplies=(*job.supplies, fresh), legs=tuple(legs))
        own.append(fresh.id)
    budgets = {each.supply: each for each in plan_job(job, now.parts).supplies}
    sized = [
        altered(each, {"part": _sized(now, each, budgets[each.id])}) if each.id in own else each
        for each in job.supplies
    ]
    return rebuilt(job, supplies=tuple(sized)), own


def _sized(now: _Now, supply: Supply, budget: SupplyBudget) -> str:
    load, cables = float(budget.load.value), _taken(budget)

    def fits(part: SupplyPart) -> bool:
        carried = carries(part, now.job.allowances, load) and cables <= part.terminals
        return carried and not now.over(part)

    if supply.id == now.supply.id and fits(now.part):
        return now.part.id
    allowed = [part for part in now.same if not now.over(part)] or list(now.same)
    return next((part.id for part in now.same if fits(part)), allowed[-1].id)


def _taken(budget: SupplyBudget) -> int:
    """Give the terminals that cables of a supply start in."""
    assert budget.terminals_left is not None
    terminals, left = budget.terminals_left.inputs[0].value, budget.terminals_left.value
    return int(terminals) - int(left)


def _budget(plan: Plan, supply: str) -> SupplyBudget:
    return next(each for each in plan.supplies if each.supply == supply)


def _watts(budget: SupplyBudget) -> str:
    """Say what a supply carries of what may be used: ``S2 33.6 of 48 W``."""
    usable = said(budget.usable.value) if budget.usable else "?"
    return f"{budget.supply} {said(float(budget.load.value))} of {usable} W"

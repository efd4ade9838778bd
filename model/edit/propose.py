"""Proposals a person can take and then change: runs for cabinets, legs and a supply for runs."""

from decimal import Decimal

from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.edit.copying import choices_of
from pelmet.model.edit.ids import fresh_id
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Leg, Supply, SupplyPlace
from pelmet.model.job.items import MOST_CABINETS, Cabinet, Run
from pelmet.model.job.job import Job
from pelmet.model.job.parts import SupplyPart
from pelmet.model.plan.circuit.sizing import thinnest_cable
from pelmet.model.plan.circuit.supplies import carries
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.survey.openings import one_plane, stands_over
from pelmet.model.plan.survey.space import goes_in, place_for, space_of
from pelmet.model.refusal import Refusal


def propose_runs(job: Job) -> Job:
    """Hang one run under each stretch of flush cabinets at one level that has none yet.

    New runs take the last run's choices; they are fed at the end nearer the first supply.
    """
    lit = {name for run in job.runs for name in run.cabinets}
    walls = {wall.id: row for row, wall in enumerate(job.walls)}
    free = sorted(
        (cabinet for cabinet in job.cabinets if cabinet.id not in lit),
        key=lambda cabinet: (walls[cabinet.wall], cabinet.at),
    )
    if not free:
        if job.cabinets:
            raise Refusal("Every cabinet has a run")
        raise Refusal("There is no cabinet yet", remedy="add cabinets first, in the Rooms step")
    for stretch in level_stretches(free, job.allowances):
        last = job.runs[-1] if job.runs else None
        names = tuple(cabinet.id for cabinet in stretch)
        item_id = fresh_id(job, "run")
        chosen = choices_of("run", last) if last else {}
        run = Run.model_validate({**chosen, "id": item_id, "cabinets": names})
        job = rebuilt(job, runs=(*job.runs, run))
    return job


def level_stretches(cabinets: list[Cabinet], allowances: Allowances) -> list[list[Cabinet]]:
    """Group cabinets, given in wall order, into stretches; other levels may lie between."""
    groups: list[list[Cabinet]] = []
    for cabinet in cabinets:
        open_groups = (group for group in groups if len(group) < MOST_CABINETS)
        joined = next(
            (group for group in open_groups if one_plane(group[-1], cabinet, allowances)), None
        )
        if joined is None:
            groups.append([cabinet])
        else:
            joined.append(cabinet)
    return groups


def propose_power(job: Job, parts: Catalogue) -> Job:
    """Give every run that nothing feeds a leg, from a supply big enough for all.

    For a job in which nothing is bought yet; what is bought asks for ``feed_runs``. Of its own, as
    long as there are terminals; then it branches off from another.

    The first supply is used, or a new one in the closed cabinet nearest the middle of the runs
    that hangs over no hob; one that is too small gives way to the smallest of its volts that
    is not, and a cable that will not do to the thinnest that will.
    """
    unfed = [run for run in job.runs if run.leg is None]
    old, supplies = {leg.id for leg in job.legs}, {supply.id for supply in job.supplies}
    if not unfed:
        if job.runs:
            raise Refusal("Every run has a leg")
        raise Refusal("There is no run yet", remedy="add runs first, in the Runs step")
    for run in unfed:
        job, supply = _supply_for(job, run, parts)
        leg = _leg_to_share(job, supply, run, parts)
        if leg is None:
            leg = Leg(id=fresh_id(job, "leg"), supply=supply.id, cable=_cable(job, run, parts))
            job = rebuilt(job, legs=(*job.legs, leg))
        job = set_value(job, "run", run.id, "leg", leg.id)
    return _thick_enough(_big_enough(job, parts, supplies), parts, old)


def _leg_to_share(job: Job, supply: Supply, run: Run, parts: Catalogue) -> Leg | None:
    """Where a supply has no terminal left, give its leg with the fewest runs to branch off from.

    Not one of another strip; of several, one in the run's own room.
    """
    part = find_part(parts.supplies, supply.part)
    legs = [leg for leg in job.legs if leg.supply == supply.id]
    if part is None:
        return None
    same = (each for each in parts.supplies if each.volts == part.volts)
    if len(legs) < max(each.terminals for each in (part, *same)):
        return None
    room_of = {wall.id: wall.room for wall in job.walls}
    rooms = {cabinet.id: room_of[cabinet.wall] for cabinet in job.cabinets}
    fed = {leg.id: [each for each in job.runs if each.leg == leg.id] for leg in legs}

    def cost(leg: Leg) -> tuple[bool, int]:
        own = fed[leg.id]
        return all(rooms[each.cabinets[0]] != rooms[run.cabinets[0]] for each in own), len(own)

    free = (leg for leg in legs if all(each.strip == run.strip for each in fed[leg.id]))
    return min(free, key=cost, default=None)


def _thick_enough(job: Job, parts: Catalogue, old: set[str]) -> Job:
    """Give each new leg whose cable will not do the thinnest that will, if there is one."""
    plan = plan_job(job, parts)
    cables = {}
    for circuit in plan.circuits.legs:
        choice = thinnest_cable(plan.job, plan.parts, plan.fits, plan.routes, circuit)
        if choice is None or choice.chosen is None or circuit.leg.id in old:
            continue
        own = (trial for trial in choice.trials if trial.cable == circuit.leg.cable)
        if any(trial.will_not_do for trial in own):
            cables[circuit.leg.id] = choice.chosen
    legs = tuple(
        leg.model_validate({**dict(leg), "cable": cables.get(leg.id, leg.cable)})
        for leg in job.legs
    )
    return rebuilt(job, legs=legs)


def _cable(job: Job, run: Run, parts: Catalogue) -> str:
    """Give the last leg's cable, or the first that has a core for each channel and the common."""
    own: str = job.legs[-1].cable if job.legs else Leg.model_fields["cable"].default
    strip, cable = find_part(parts.strips, run.strip), find_part(parts.cables, own)
    cores = strip.channels + 1 if strip else 2
    if cable is None or cable.cores == cores:
        return own
    return next((each.id for each in parts.cables if each.cores == cores), own)


def _supply_for(job: Job, run: Run, parts: Catalogue) -> tuple[Job, Supply]:
    """Find the first supply of the run's volts, or put a new one in."""
    strip = find_part(parts.strips, run.strip)
    volts = strip.volts if strip else None
    for supply in job.supplies:
        part = find_part(parts.supplies, supply.part)
        if part and volts in (None, part.volts):
            return job, supply
    part_id = next(
        (part.id for part in parts.supplies if part.volts == volts),
        Supply.model_fields["part"].default,
    )
    unfed = [each for each in job.runs if each.leg is None]
    home, place = _home(job, unfed, find_part(parts.supplies, part_id))
    supply = Supply(id=fresh_id(job, "supply"), part=part_id, cabinet=home, place=place)
    return rebuilt(job, supplies=(*job.supplies, supply)), supply


def _home(job: Job, runs: list[Run], part: SupplyPart | None) -> tuple[str, SupplyPlace]:
    """Give the cabinet nearest the middle of some runs that may take a supply, and where at it.

    A closed one with room for it that hangs over no hob, else any with room, such as on a shelf.
    The middle one, if there is none such.
    """
    names = [name for run in runs for name in run.cabinets]
    hobs = [each for each in job.obstacles if each.kind == "hob zone"]
    good: dict[str, SupplyPlace] = {}
    closed = set()
    for each in job.cabinets:
        place = place_for(part, each, job.cabinets, job.allowances)
        if place and not any(stands_over(each, hob) for hob in hobs):
            good[each.id] = place
            closed |= {each.id} if each.kind == "wall cabinet" else set()
    middle = len(names) // 2
    near = sorted(range(len(names)), key=lambda row: (abs(row - middle), row))
    able = [names[row] for row in near if names[row] in good]
    home = next((name for name in able if name in closed), next(iter(able), names[middle]))
    return home, good.get(home, "in cabinet")


def _watts(part: SupplyPart) -> Decimal:
    return part.watts


def _big_enough(job: Job, parts: Catalogue, old: set[str]) -> Job:
    """Swap each supply that is too small for the smallest of its volts that is not.

    By its watts, and one that is new by its terminals too.
    """
    budgets = {budget.supply: budget for budget in plan_job(job, parts).supplies}
    supplies = []
    for supply in job.supplies:
        part = find_part(parts.supplies, supply.part)
        budget = budgets[supply.id]
        load = float(budget.load.value)
        if part:
            legs = 0 if supply.id in old else len(budget.legs)
            same = [each for each in parts.supplies if each.volts == part.volts]
            enough = [each for each in same if carries(each, job.allowances, load)]
            fitting = [each for each in enough if each.terminals >= legs] or enough
            space = space_of(supply, job.cabinets, job.allowances)
            fitting = [each for each in fitting if goes_in(each, space, job.allowances)] or fitting
            if part not in fitting:
                part = min(fitting, key=_watts, default=max(same, key=_watts))
        supplies.append(
            supply.model_validate({**dict(supply), "part": part.id}) if part else supply
        )
    return rebuilt(job, supplies=tuple(supplies))

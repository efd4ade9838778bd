"""The ways there are to feed a run, each tried with the parts that could do, the cheapest first."""

from collections.abc import Generator, Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Final

from pelmet.model.edit.change import altered, make_thing, rebuilt
from pelmet.model.edit.copying import choices_of
from pelmet.model.edit.ids import fresh_id
from pelmet.model.edit.options.feeding.trial import Before, Tried, Way, try_way
from pelmet.model.edit.options.places import good_cabinets
from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Leg, Supply, Zone
from pelmet.model.job.items import Cabinet
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Part, SupplyPart, Switch
from pelmet.model.order.price_of import unit_price
from pelmet.model.order.status import runs_on
from pelmet.model.plan.circuit.sizing import by_gauge, thinnest_cable
from pelmet.model.plan.circuit.supplies import carries, ceiling_watts
from pelmet.model.plan.survey.space import place_for

# Light that falls short by what is lost on the way: more copper may cure it.
_BY_VOLTS: Final = frozenset({"too-dark", "uneven", "bar-fades", "light-step"})
_NEVER_JOINED: Final = "never join the outputs of two supplies"


def ways_to_feed(before: Before) -> Iterator[Tried]:
    """Try every way: from a supply that is there, off a leg, a bigger supply, one more, a door's.

    What was tried with one part and then with another has the same name: the better one counts.
    """
    if before.strip is None:
        return
    there = tuple(_right_supplies(before))
    for supply in there:
        yield from _own_leg(before, before.job, supply, f"own leg from {supply.id}")
    for supply in there:
        for leg in _right_legs(before, supply):
            yield from _tee(before, before.job, leg, f"tee off {leg.id}")
    best = yield from _more_supplies(before)
    for supply in there:
        yield from _bigger(before, supply)
    if _behind_doors(before):
        for supply in there:
            choice = f"own leg from {supply.id}, door switch"
            yield from _own_leg(before, before.job, supply, choice, door=True)
        if best is not None:
            new = best.supply
            job = rebuilt(before.job, supplies=(*before.job.supplies, new))
            choice, notes = f"{best.way.choice}, door switch", best.way.notes
            yield from _own_leg(before, job, new, choice, notes, door=True)


# --- From what is there ---------------------------------------------------------------------------


def _right_supplies(before: Before) -> Iterator[Supply]:
    """The supplies of the strip's volts."""
    for supply in before.job.supplies:
        part = find_part(before.parts.supplies, supply.part)
        if part and before.strip and part.volts == before.strip.volts:
            yield supply


def _right_legs(before: Before, supply: Supply) -> Iterator[Leg]:
    """The legs of a supply whose strips have as many channels as the run's, or that have none."""
    strip = before.strip
    for leg in before.job.legs:
        if leg.supply == supply.id and strip:
            others = (
                find_part(before.parts.strips, run.strip) for run in runs_on(before.job, {leg.id})
            )
            if all(
                each and (each.volts, each.channels) == (strip.volts, strip.channels)
                for each in others
            ):
                yield leg


def _tee(
    before: Before, job: Job, leg: Leg, choice: str, notes: tuple[str, ...] = ()
) -> Iterator[Tried]:
    """Try to join a leg, if a cable can get from it to the run."""
    tried = try_way(before, Way(choice, _on(before, job, leg.id), leg.id, notes))
    if tried.known:
        yield tried


def _on(before: Before, job: Job, leg: str) -> Job:
    """Put the run on a leg."""
    runs = (altered(run, {"leg": leg}) if run.id == before.run.id else run for run in job.runs)
    return rebuilt(job, runs=tuple(runs))


def _own_leg(
    before: Before,
    job: Job,
    supply: Supply,
    choice: str,
    notes: tuple[str, ...] = (),
    *,
    door: bool = False,
) -> Iterator[Tried]:
    """Try a leg of the run's own, in a zone of its own with each door switch if it is so asked."""
    leg: Leg = make_thing(Leg, {"id": fresh_id(job, "leg"), **_choices(before, job, supply)})
    if not door:
        yield from _with_cables(before, Way(choice, _on_new(before, job, leg), leg.id, notes))
        return
    walls = {wall.id: wall.room for wall in job.walls}
    rooms = {cabinet.id: walls[cabinet.wall] for cabinet in job.cabinets}
    room = next(each for each in job.rooms if each.id == rooms[before.run.cabinets[0]])
    switches = (each for each in before.parts.switches if each.kind == "door switch")

    def switched(switch: Switch) -> Way:
        zone = Zone(id=fresh_id(job, "zone"), name=room.name, switch=switch.id)
        zoned = rebuilt(job, zones=(*job.zones, zone))
        own = altered(leg, {"zone": zone.id})
        return Way(choice, _on_new(before, zoned, own), leg.id, notes)

    by_price = sorted(switches, key=lambda each: _price(before, each))
    yield from _until_one_works(_with_cables(before, switched(each)) for each in by_price)


def _on_new(before: Before, job: Job, leg: Leg) -> Job:
    return _on(before, rebuilt(job, legs=(*job.legs, leg)), leg.id)


def _choices(before: Before, job: Job, supply: Supply) -> dict[str, object]:
    """Give what a new leg takes over from the last of its supply, or of the job, and its cores.

    What is switched together hangs on one supply.
    """
    own = [leg for leg in job.legs if leg.supply == supply.id]
    last = next(iter(own[-1:] or job.legs[-1:]), None)
    choices = choices_of("leg", last) if last else {}
    if not own:
        choices["zone"] = None
    assert before.strip is not None
    cores = before.strip.channels + 1
    cable = find_part(before.parts.cables, choices.get("cable", Leg.model_fields["cable"].default))
    if cable is None or cable.cores != cores:
        fitting = (each.id for each in before.parts.cables if each.cores == cores)
        choices["cable"] = next(fitting, Leg.model_fields["cable"].default)
    return {**choices, "supply": supply.id}


def _until_one_works(tries: Iterable[Iterator[Tried]]) -> Iterator[Tried]:
    """Try one part after another, each as it may have to be tried, until one works."""
    for each in tries:
        works = False
        for tried in each:
            works = works or tried.works
            yield tried
        if works:
            return


def _with_cables(before: Before, way: Way) -> Iterator[Tried]:
    """Try a new leg as it is; if its cable will not do, with every other one that would.

    Those sized as the job thinks, in mm2 or in AWG; the others only where none of them would.
    """
    first = yield from _with_fuse(before, way)
    if first.works:
        return
    plan = first.plan
    sized = thinnest_cable(plan.job, plan.parts, plan.fits, plan.routes, first.circuit)
    trials = sized.trials if sized else ()
    now = first.circuit.leg.cable
    fails = any(trial.will_not_do for trial in trials if trial.cable == now)
    if not fails and all(each.code not in _BY_VOLTS for each in first.brought):
        return
    able = [trial for trial in trials if not trial.fails and trial.cable != now]
    own = [trial for trial in able if trial.by_gauge == by_gauge(plan.job.site)]
    for trial in own or able:
        job = _leg_with(way.job, way.leg, {"cable": trial.cable})
        yield from _with_fuse(before, way._replace(job=job))


def _with_fuse(before: Before, way: Way) -> Generator[Tried, None, Tried]:
    """Try a new leg; where nothing protects its cable, with the smallest fuse that does."""
    tried = try_way(before, way)
    yield tried
    guard = next(each for each in tried.plan.protections if each.leg.id == way.leg)
    if guard.by == "nothing" and guard.needed is not None:
        fused = _leg_with(way.job, way.leg, {"fuse": Decimal(str(guard.needed.value))})
        note = f"with a fuse of {float(guard.needed.value):g} A at {guard.leg.supply}"
        tried = try_way(before, way._replace(job=fused, notes=(*way.notes, note)))
        yield tried
    return tried


def _leg_with(job: Job, item_id: str, fields: dict[str, object]) -> Job:
    legs = (altered(leg, dict(fields)) if leg.id == item_id else leg for leg in job.legs)
    return rebuilt(job, legs=tuple(legs))


# --- Another supply, or one more ------------------------------------------------------------------


def _bigger(before: Before, supply: Supply) -> Iterator[Tried]:
    """Put a bigger part in place of a supply, for a leg from it or a tee off one of its legs."""
    old = find_part(before.parts.supplies, supply.part)
    assert old is not None
    bigger = [
        part
        for part in _supply_parts(before, _load(before, supply) + before.watts)
        if part.watts > old.watts or part.terminals > old.terminals
    ]

    def with_part(part: SupplyPart, leg: Leg | None) -> Iterator[Tried]:
        new = altered(supply, {"part": part.id})
        others = (new if each.id == supply.id else each for each in before.job.supplies)
        stays = tuple(each for each in before.job.fitted if each.supply != supply.id)
        job = rebuilt(before.job, supplies=tuple(others), fitted=stays)
        mains = job.site.words.mains
        note = (
            f"{part.id} in place of {old.id}: the licensed person takes {supply.id} off the "
            f"{mains} and connects the new one"
        )
        if leg is None:
            yield from _own_leg(before, job, new, f"{part.id} for {supply.id}, own leg", (note,))
        else:
            choice = f"{part.id} for {supply.id}, tee off {leg.id}"
            yield from _tee(before, job, leg, choice, (note,))

    legs: Sequence[Leg | None] = (None, *_right_legs(before, supply))
    for leg in legs:
        yield from _until_one_works(with_part(part, leg) for part in bigger)


def _more_supplies(before: Before) -> Generator[Tried, None, Tried | None]:
    """Put one more supply in each cabinet that it may sit in; give the best of all that."""
    job = before.job
    alike = [*_right_supplies(before)]
    choices = choices_of("supply", alike[-1]) if alike else {}
    best: Tried | None = None

    def with_part(part: SupplyPart, cabinet: Cabinet) -> Iterator[Tried]:
        place = place_for(part, cabinet, job.cabinets, job.allowances)
        if place is None:
            return
        own = {"part": part.id, "cabinet": cabinet.id, "place": place}
        supply = make_thing(Supply, {**choices, "id": fresh_id(job, "supply"), **own})
        more = rebuilt(job, supplies=(*job.supplies, supply))
        note = (
            f"{part.id} in {cabinet.id}: the licensed person brings the "
            f"{job.site.words.mains} there and connects it; {_NEVER_JOINED}"
        )
        yield from _own_leg(before, more, supply, f"new supply in {cabinet.id}", (note,))

    fitting = _supply_parts(before, before.watts)
    for cabinet in _homes(before):
        for tried in _until_one_works(with_part(part, cabinet) for part in fitting):
            best = min(best or tried, tried, key=lambda each: each.rank)
            yield tried
    return best


def _supply_parts(before: Before, watts: float) -> list[SupplyPart]:
    """Give the parts of the strip's volts that may carry so much, the cheapest first.

    What is rated alone is known before a way is planned; a supply carries at least that. If none
    does, the biggest that is allowed is tried, to say by how much it fails.
    """
    assert before.strip is not None
    volts = before.strip.volts
    ceiling = ceiling_watts(before.job, volts)
    allowed = [
        part
        for part in before.parts.supplies
        if part.volts == volts and (ceiling is None or part.watts <= ceiling)
    ]
    able = [part for part in allowed if carries(part, before.job.allowances, watts)]
    biggest = sorted(allowed, key=lambda part: part.watts)[-1:]
    return sorted(able or biggest, key=lambda part: _price(before, part))


def _load(before: Before, supply: Supply) -> float:
    """Give what is rated on a supply [W]."""
    legs = before.plan.circuits.legs
    return sum(float(leg.watts.value) for leg in legs if leg.leg.supply == supply.id)


def _price(before: Before, part: Part) -> float:
    return float(unit_price(before.prices, before.parts, part.id) or 0)


def _homes(before: Before) -> list[Cabinet]:
    """Give the cabinets that one more supply may sit in, the nearest first.

    Those of the run's room, closed ones if there are any: from another room the way of its cable
    is not known.
    """
    job = before.job
    good = good_cabinets(job)
    walls = {wall.id: wall.room for wall in job.walls}
    lit = [each for each in job.cabinets if each.id in before.run.cabinets]
    room = [each for each in good if walls[each.wall] in {walls[one.wall] for one in lit}]
    closed = [each for each in room if each.kind == "wall cabinet"]
    first = lit[0]

    def away(cabinet: Cabinet) -> tuple[bool, float]:
        return cabinet.wall != first.wall, abs(float(cabinet.at - first.at))

    return sorted(closed or room or good, key=away)


def _behind_doors(before: Before) -> bool:
    """Tell whether the run may be in a pantry or a wardrobe: on shelves, or alone in its room."""
    job = before.job
    walls = {wall.id: wall.room for wall in job.walls}
    rooms = {cabinet.id: walls[cabinet.wall] for cabinet in job.cabinets}
    kinds = {each.kind for each in job.cabinets if each.id in before.run.cabinets}
    own = {rooms[name] for name in before.run.cabinets}
    fed = {rooms[name] for run in job.runs if run.leg for name in run.cabinets}
    return "wall cabinet" not in kinds or own.isdisjoint(fed)

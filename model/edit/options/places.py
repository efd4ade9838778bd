"""Where a supply could sit: every place tried, scored and ranked; the person decides."""

from collections.abc import Iterator, Sequence
from typing import Final, NamedTuple

from pelmet.model.edit.options.option import (
    Option,
    Search,
    count_words,
    in_order,
    try_plan,
    with_fields,
)
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Supply, SupplyPlace
from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.job.job import Job
from pelmet.model.job.parts import SupplyPart
from pelmet.model.job.region_words import RegionWords
from pelmet.model.plan.measures import sides_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.survey.openings import stands_over
from pelmet.model.plan.survey.space import goes_in, space_at
from pelmet.model.plan.ways.cable import laying_minutes

_BEST: Final = 10
_HOT_MM: Final = 600  # beside a hob zone
_REACH_MM: Final = 1500  # a supply's own lead
_FAIR: Final = 5


class _Points(NamedTuple):
    """What a kind of place is worth, of ten each: estimates on common practice, not data."""

    dust: int
    air: int
    access: int


_KINDS: dict[SupplyPlace, _Points] = {
    "in cabinet": _Points(10, 6, 9),
    "on top of cabinet": _Points(1, 9, 4),
    "in plinth": _Points(5, 3, 3),
}
_OPEN = _Points(4, 9, 9)  # on a shelf, or in a unit without doors
_SAYS: Final = {
    "dust": ("little dust", "dust and grease shorten its life"),
    "air": ("air around it", "little air"),
    "access": ("easy to reach", "hard to reach"),
    "heat": ("away from the {hob}", "beside the {hob}'s heat"),
    "outlet": ("an outlet in reach", "no outlet in reach"),
    "cable": ("short cable", "long cable"),
    "volts": ("little drop", "much drop"),
}
_GOOD, _POOR = 8, 4


class _Trial(NamedTuple):
    choice: str
    job: Job
    minutes: float
    points: dict[str, int]
    shut: int  # cables with no way from here


def place_options(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Rank the places for a supply by dust, air, access, heat, outlet, cable and volts.

    Each counts up to ten points; places from which a cable has no way come last. A place over
    a hob is refused, and so is one without room for it, or where it would be walled in.
    """
    supply = next((each for each in job.supplies if each.id == item_id), None)
    if supply is None:
        return
    part = find_part(plan_job(job, parts).parts.supplies, supply.part)
    refused = tuple(_refused(job, part))
    found: list[_Trial] = []
    for cabinet, place in _candidates(job, part):
        one = _try(job, parts, supply, cabinet, place)
        if one:
            found.append(one)
            yield (*_ranked(job, found), *refused)
    if not found:
        yield refused


def _ranked(job: Job, found: Sequence[_Trial]) -> tuple[Option, ...]:
    """Rank places among each other: the least cable of them all has the most points for it."""
    least = min((each.minutes for each in found if not each.shut), default=0.0)
    ranked: list[tuple[tuple[int, int], Option]] = []
    for each in found:
        share = 0.0 if each.shut else least / each.minutes if each.minutes else 1.0
        points = {**each.points, "cable": round(_BEST * share)}
        total = sum(points.values())
        now = each.job == job
        shut = f"{count_words(each.shut, 'cable')} with no way, " if each.shut else ""
        gives = (
            f"{shut}{total} of {_BEST * len(points)} points, "
            f"{each.minutes:.0f} min to lay its cables"
        )
        option = Option(each.choice, gives, _reasons(points, each.job.site.words), each.job, now)
        ranked.append(((each.shut, -total), option))
    return in_order(ranked)


def good_cabinets(job: Job, part: SupplyPart | None = None) -> tuple[Cabinet, ...]:
    """Give the cabinets that a supply may sit in: not over a hob, and with room for this part."""
    kinds = ("wall cabinet", "open unit", "shelf")
    return tuple(
        each
        for each in job.cabinets
        if each.kind in kinds and not _over_hob(job, each) and has_room(job, part, each)
    )


def has_room(
    job: Job, part: SupplyPart | None, cabinet: Cabinet, place: SupplyPlace = "in cabinet"
) -> bool:
    """Say if a part goes in, on or below a cabinet with the air that it wants."""
    space = space_at(cabinet, place, job.cabinets, job.allowances)
    return part is None or goes_in(part, space, job.allowances)


def _candidates(job: Job, part: SupplyPart | None) -> Iterator[tuple[Cabinet, SupplyPlace]]:
    """Inside every cabinet, on shelves; on and under those at the ends of each wall's row."""
    for cabinet, place in _all_places(job):
        if has_room(job, part, cabinet, place):
            yield cabinet, place


def _all_places(job: Job) -> Iterator[tuple[Cabinet, SupplyPlace]]:
    for cabinet in good_cabinets(job):
        yield cabinet, "in cabinet"
        if cabinet.kind == "shelf":
            yield cabinet, "on top of cabinet"
    closed = [each for each in good_cabinets(job) if each.kind == "wall cabinet"]
    for wall in dict.fromkeys(cabinet.wall for cabinet in closed):
        row = sorted((each for each in closed if each.wall == wall), key=lambda each: each.at)
        for cabinet in dict.fromkeys((row[0], row[-1])):
            yield cabinet, "on top of cabinet"
            yield cabinet, "in plinth"


def _try(
    job: Job, parts: Catalogue, supply: Supply, cabinet: Cabinet, place: SupplyPlace
) -> _Trial | None:
    own = {"cabinet": cabinet.id, "place": place, "space": ()}  # measured elsewhere
    changed = with_fields(job, "supply", supply.id, own)
    plan = try_plan(changed, parts)
    if changed is None or plan is None:
        return None
    legs = [leg for leg in plan.circuits.legs if leg.leg.supply == supply.id]
    leads = [lead for leg in legs for lead in plan.routes.leads_of(leg.leg.id)]
    minutes = laying_minutes(leads, job.allowances)
    shut = sum(lead.length is None for lead in leads)
    points = _points(plan, supply.id, cabinet, place)
    return _Trial(f"{place} {cabinet.id}", changed, minutes, points, shut)


def place_reasons(plan: Plan, supply: Supply) -> tuple[str, ...]:
    """Say what speaks for and against where a supply sits, if that is at a cabinet."""
    cabinet = next((each for each in plan.job.cabinets if each.id == supply.cabinet), None)
    if cabinet is None or supply.place not in _KINDS:
        return ()
    points = _points(plan, supply.id, cabinet, supply.place)
    return tuple(_for_and_against(points, plan.job.site.words))


def _points(plan: Plan, supply_id: str, cabinet: Cabinet, place: SupplyPlace) -> dict[str, int]:
    """Judge a place by all but its cables."""
    job = plan.job
    legs = (leg for leg in plan.circuits.legs if leg.leg.supply == supply_id)
    drops = [float(leg.drop.value) for leg in legs if leg.drop]
    kind = _KINDS[place]
    if place == "in cabinet" and cabinet.kind != "wall cabinet":
        kind = _OPEN
    return {
        "dust": kind.dust,
        "air": kind.air,
        "access": kind.access,
        "heat": _heat(job, cabinet),
        "outlet": _outlet(job, cabinet),
        "volts": _volts(max(drops, default=0.0), float(job.allowances.drop_warn)),
    }


def _gap(cabinet: Cabinet, obstacle: Obstacle) -> float | None:
    """Give how far apart a cabinet and an obstacle are along one wall [mm]."""
    if cabinet.wall != obstacle.wall:
        return None
    before = obstacle.at - cabinet.at - cabinet.width
    after = cabinet.at - obstacle.at - obstacle.width
    return max(float(before), float(after), 0.0)


def _gaps(job: Job, cabinet: Cabinet, kind: str) -> list[float]:
    found = (_gap(cabinet, each) for each in job.obstacles if each.kind == kind)
    return [gap for gap in found if gap is not None]


def _over_hob(job: Job, cabinet: Cabinet) -> bool:
    return any(each.kind == "hob zone" and stands_over(cabinet, each) for each in job.obstacles)


def _heat(job: Job, cabinet: Cabinet) -> int:
    near = min(_gaps(job, cabinet, "hob zone"), default=_HOT_MM)
    return round(_BEST * min(near / _HOT_MM, 1))


def _outlet(job: Job, cabinet: Cabinet) -> int:
    """Give the points for a socket on the plan: half where none is on it at all."""
    if not any(each.kind == "socket" for each in job.obstacles):
        return _FAIR
    near = min(_gaps(job, cabinet, "socket"), default=2.0 * _REACH_MM)
    return round(_BEST * max(1 - near / (2 * _REACH_MM), 0))


def _volts(drop: float, warn: float) -> int:
    return round(_BEST * max(1 - drop / (2 * warn), 0)) if warn else _FAIR


def _reasons(points: dict[str, int], words: RegionWords) -> tuple[str, ...]:
    told = ", ".join(f"{name} {value}" for name, value in points.items())
    return (*_for_and_against(points, words), f"points: {told}")


def _for_and_against(points: dict[str, int], words: RegionWords) -> Iterator[str]:
    good = [words.said(_SAYS[name][0]) for name, value in points.items() if value >= _GOOD]
    poor = [words.said(_SAYS[name][1]) for name, value in points.items() if value <= _POOR]
    if good:
        yield f"for it: {', '.join(good)}"
    if poor:
        yield f"against it: {', '.join(poor)}"


def _refused(job: Job, part: SupplyPart | None) -> Iterator[Option]:
    for cabinet in job.cabinets:
        if _over_hob(job, cabinet):
            yield Option(
                f"in or on {cabinet.id}",
                "refused",
                (f"over a {job.site.words.hob}: heat and grease",),
                None,
            )
    for cabinet, place in _all_places(job):
        space = space_at(cabinet, place, job.cabinets, job.allowances)
        if space and part and not has_room(job, part, cabinet, place):
            yield Option(
                space.where,
                "refused",
                (f"no room for it: {sides_said(space.sides, job.site)}",),
                None,
            )
    yield Option("walled in", "refused", ("no air, and nobody can reach it",), None)

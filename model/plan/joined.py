"""The plans of a site's areas as one plan, with all rows in the order of the whole job's tables."""

from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import chain, pairwise
from typing import Any, TypeVar

from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import Item
from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.controls import control_zones
from pelmet.model.plan.circuit.legs import Circuits, LegCircuit, total
from pelmet.model.plan.light.fading import BarLight, Fadings
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.holes import drill_holes
from pelmet.model.plan.ways.routes import Routes

T = TypeVar("T")


def join_plans(job: Job, parts: Catalogue, plans: Sequence[Plan]) -> Plan:
    """Give the plan of a job from those of its areas; its findings are still to be added.

    What runs through all of a site is worked out here: holes are numbered, and dimmers, which come
    in the order of all legs, are packed.
    """
    run, leg = _rows(job.runs), _rows(job.legs)
    room, supply = _rows(job.rooms), _rows(job.supplies)
    rooms = _joined((plan.rooms for plan in plans), lambda each: room[each.room.id])
    fits = _joined((plan.fits for plan in plans), lambda each: run[each.run.id])
    of_bar = {bar.id: row for row, fit in enumerate(fits) for bar in fit.bars}
    routes = Routes(
        _joined((plan.routes.leads for plan in plans), lambda each: leg[each.leg or ""]),
        _joined((plan.routes.links for plan in plans), lambda each: run[each.run]),
        dict(_joined((plan.routes.networks.items() for plan in plans), lambda each: room[each[0]])),
        _joined((plan.routes.unproven for plan in plans), lambda each: leg[each]),
        tuple(plan.routes for plan in plans),
    )
    legs = _joined((plan.circuits.legs for plan in plans), lambda each: leg[each.leg.id])
    watts = dict(
        _joined((plan.circuits.watts.items() for plan in plans), lambda each: of_bar[each[0]])
    )
    supplies = _joined((plan.supplies for plan in plans), lambda each: supply[each.supply])
    controls = control_zones(job, parts, legs, supplies)
    cabinets = chain.from_iterable(plan.job.cabinets for plan in plans)  # without their notes
    return Plan(
        job=job,
        parts=parts,
        rooms=rooms,
        fits=fits,
        mounts=_joined((plan.mounts for plan in plans), lambda each: of_bar[each.bar]),
        bench=_joined((plan.bench for plan in plans), lambda each: of_bar[each.bar.id]),
        routes=routes,
        holes=drill_holes(job, parts, rooms, cabinets, routes),
        circuits=Circuits(watts, legs, total("watts", "W", "", list(watts.values()))),
        supplies=supplies,
        fadings=Fadings(
            _sorted((plan.fadings.bars for plan in plans), _leg_of_bar(legs, leg)),
            _sorted(
                (plan.fadings.steps for plan in plans),
                lambda each: _place_of_step(of_bar[each.left_bar], of_bar[each.right_bar]),
            ),
        ),
        controls=controls,
        protections=_joined((plan.protections for plan in plans), lambda each: leg[each.leg.id]),
        lights=_joined((plan.lights for plan in plans), lambda each: run[each.run]),
        sights=_joined((plan.sights for plan in plans), lambda each: run[each.run]),
        contradictions=tuple(chain.from_iterable(plan.contradictions for plan in plans)),
    )


def _rows(items: Iterable[Item]) -> dict[str, int]:
    return {item.id: row for row, item in enumerate(items)}


def _joined(rows: Iterable[Iterable[T]], place: Callable[[T], Any]) -> tuple[T, ...]:
    """Put rows that are in order area by area in the order of the whole.

    Most often one area's rows come before all of the next one's.
    """
    areas = [own for each in rows if (own := tuple(each))]
    ends = [(place(own[0]), place(own[-1])) for own in areas]
    if all(one[1] <= other[0] for one, other in pairwise(ends)):
        return tuple(chain.from_iterable(areas))
    return _sorted(areas, place)


def _sorted(rows: Iterable[Iterable[T]], place: Callable[[T], Any]) -> tuple[T, ...]:
    return tuple(sorted(chain.from_iterable(rows), key=place))


def _leg_of_bar(legs: Sequence[LegCircuit], row: Mapping[str, int]) -> Callable[[BarLight], int]:
    """Give the row of the first leg that feeds a bar."""
    first: dict[str, int] = {}
    for each in legs:
        for volts in each.bars:
            first.setdefault(volts.bar, row[each.leg.id])
    return lambda light: first[light.bar]


def _place_of_step(left: int, right: int) -> tuple[bool, int]:
    """Put steps between runs, by the runs of their bars, after those within runs."""
    return left != right, left

"""Checks on the room for supplies and what sits beside them: the space, and the air round each."""

from collections.abc import Iterator

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Supply
from pelmet.model.job.job import Site
from pelmet.model.job.parts import Boxed
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.formulas import PARTS
from pelmet.model.plan.measures import sides_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.space import Space, go_in_together, goes_in, room_wanted, space_of

_REMEDY = (
    "put it elsewhere (F8 on it lists the places), choose a smaller one, or measure the space "
    "there and say it"
)


def no_room(plan: Plan) -> Iterator[Finding]:
    """A supply, or what sits beside it, does not go where it is to sit, with air round it."""
    job, allowances = plan.job, plan.job.allowances
    fitted = {each.supply for each in job.fitted}  # what is there goes there
    for supply in job.supplies:
        space = space_of(supply, job.cabinets, allowances)
        if space is None or supply.id in fitted:
            continue
        boxes = tuple(_boxes(supply, plan))
        big = [(name, box) for name, box in boxes if not goes_in(box, space, allowances)]
        for name, box in big:
            wants = sides_said(room_wanted(box, allowances) or (), job.site)
            says = (
                f"{name}, {sides_said(box.size or (), job.site)}, wants {wants} with air round it"
            )
            yield _no_room(supply, says, space, job.site)
        if not big and not go_in_together([box for _, box in boxes], space, allowances):
            names = ", ".join(name for name, _ in boxes)
            yield _no_room(supply, f"{names} together want more room, air counted", space, job.site)


def _boxes(supply: Supply, plan: Plan) -> Iterator[tuple[str, Boxed]]:
    """Give a supply, its low-voltage dimmers, and what receives for it, each with its name."""
    part = find_part(plan.parts.supplies, supply.part)
    if part:
        yield f"{supply.id} ({part.id})", part
    for load in plan.controls.dimmers:
        if load.supply == supply.id and load.part.side == "low voltage":
            yield load.part.id, load.part
    for zone in plan.controls.zones:
        switch = zone.switch
        own = zone.supplies[:1] == (supply.id,)
        if own and switch and switch.side == "low voltage" and switch.kind == "remote":
            yield switch.id, switch


def _no_room(supply: Supply, says: str, space: Space, site: Site) -> Finding:
    return Finding(
        "stop",
        "no-room",
        "supply",
        supply.id,
        "place",
        f"{says}; {space.where} has {sides_said(space.sides, site)}",
        _REMEDY,
        PARTS,
    )


CHECKS = (no_room,)

"""Add the next thing, offering the last answers again; what nobody has measured is marked so."""

from collections.abc import Callable
from decimal import Decimal
from typing import Any

from pelmet.model.edit.change import altered, make_thing, rebuilt
from pelmet.model.edit.copying import choices_of
from pelmet.model.edit.ids import fresh_id
from pelmet.model.edit.survey import end_of_wall_things, next_free
from pelmet.model.job.feeds import Supply
from pelmet.model.job.items import (
    MOST_CABINETS,
    Cabinet,
    Item,
    Kind,
    Obstacle,
    Room,
    Run,
    SurveyedItem,
)
from pelmet.model.job.job import MODELS, TABLES, Job
from pelmet.model.job.rules import rules_of
from pelmet.model.refusal import Refusal

# What a first cabinet or wall is offered; each is marked as assumed until someone measures it.
_FIRST_WALL = {"length": Decimal(3000)}
_FIRST_CABINET = {"width": Decimal(600), "depth": Decimal(320), "bottom_height": Decimal(1400)}
_FIRST_OBSTACLE = {"width": Decimal(600)}
_Adding = Callable[[Job, Item | None], tuple[Job, str]]


def add_item(job: Job, kind: Kind, near: Item | None = None) -> tuple[Job, str]:
    """Add a thing of a kind after ``near``; give the new job and the new thing's id.

    Raises ``Refusal``, with what to add first, when it has nothing to stand on.
    """
    return _ADDING[kind](job, near)


def _put(
    job: Job, kind: Kind, values: dict[str, Any], assumed: tuple[str, ...], item_id: str = ""
) -> tuple[Job, str]:
    item_id = item_id or fresh_id(job, kind)
    model = MODELS[kind]
    marks = {"assumed": assumed} if issubclass(model, SurveyedItem) else {}
    item = make_thing(model, {"id": item_id, **values, **marks})
    return rebuilt(job, **{TABLES[kind]: (*job.table(kind), item)}), item_id


def _add_wall(job: Job, near: Item | None) -> tuple[Job, str]:
    room = near.id if isinstance(near, Room) else room_of(job, near)
    if room is None:
        job, room = add_item(job, "room")
    last = next((wall for wall in reversed(job.walls) if wall.room == room), None)
    length = {"length": last.length} if last else _FIRST_WALL
    return _put(job, "wall", {"room": room, **length}, ("length",))


def _add_cabinet(job: Job, near: Item | None) -> tuple[Job, str]:
    wall = wall_of(job, near)
    if wall is None:
        raise Refusal("Cabinets hang on walls", remedy="add a wall first")
    own = [cabinet for cabinet in job.cabinets if cabinet.wall == wall]
    last = near if isinstance(near, Cabinet) else next(reversed(own or job.cabinets), None)
    start = near.at + near.width if isinstance(near, Cabinet) else Decimal(0)
    place = {"wall": wall, "at": next_free(job, wall, start)}
    item_id = fresh_id(job, "cabinet", wall)
    if last is None:
        return _put(job, "cabinet", {**_FIRST_CABINET, **place}, tuple(_FIRST_CABINET), item_id)
    kept = (name for name in last.assumed if name not in ("opening", "at"))
    marks = tuple(dict.fromkeys(("width", *kept)))
    return _put(job, "cabinet", {**choices_of("cabinet", last), **place}, marks, item_id)


def _add_obstacle(job: Job, near: Item | None) -> tuple[Job, str]:
    wall = wall_of(job, near)
    if wall is None:
        raise Refusal("An obstacle stands at a wall", remedy="add a wall first")
    start = near.at + near.width if isinstance(near, Cabinet | Obstacle) else Decimal(0)
    place = next_free(job, wall, start) if start else end_of_wall_things(job, wall)
    values = {"wall": wall, "kind": "hood", "at": place, **_FIRST_OBSTACLE}
    return _put(job, "obstacle", values, ("at", "width"))


def _add_run(job: Job, near: Item | None) -> tuple[Job, str]:
    lit = {name for run in job.runs for name in run.cabinets}
    free = [cabinet for cabinet in job.cabinets if cabinet.id not in lit]
    if not free:
        if job.cabinets:
            raise Refusal("Every cabinet has a run")
        raise Refusal("There is no cabinet yet", remedy="add cabinets first, in the Rooms step")
    wall = free[0].wall
    names = tuple(cabinet.id for cabinet in free if cabinet.wall == wall)[:MOST_CABINETS]
    last = near if isinstance(near, Run) else (job.runs or (None,))[-1]
    answers = choices_of("run", last) if last else {}
    return _put(job, "run", {**answers, "cabinets": names}, ())


def _add_supply(job: Job, _: Item | None) -> tuple[Job, str]:
    last = job.supplies[-1] if job.supplies else None
    answers = choices_of("supply", last) if isinstance(last, Supply) else {}
    return _put(job, "supply", answers, ())


def _add_zone(job: Job, near: Item | None) -> tuple[Job, str]:
    """Add a zone; beside a supply it takes in those of its legs that are in none yet."""
    switch = job.zones[-1].switch if job.zones else None
    values = {"name": f"Zone {len(job.zones) + 1}", "switch": switch}
    job, item_id = _put(job, "zone", values, ())
    legs = tuple(
        altered(leg, {"zone": item_id})
        if isinstance(near, Supply) and leg.supply == near.id and leg.zone is None
        else leg
        for leg in job.legs
    )
    return rebuilt(job, legs=legs), item_id


def _add_leg(job: Job, near: Item | None) -> tuple[Job, str]:
    if isinstance(near, Supply):
        supply = near.id
    elif job.supplies:
        supply = getattr(near, "supply", job.supplies[-1].id)
    else:
        raise Refusal("A leg starts at a supply", remedy="add a supply first")
    last = job.legs[-1] if job.legs else None
    answers = choices_of("leg", last) if last else {}
    if last and last.supply != supply:
        answers["zone"] = None  # what is switched together hangs on one supply
    return _put(job, "leg", {**answers, "supply": supply}, ())


def _add_override(job: Job, _: Item | None) -> tuple[Job, str]:
    """Put aside the first rule of the region that stands as it is."""
    put_aside = {each.rule for each in job.overrides}
    free = [rule.id for rule in rules_of(job.site.region) if rule.id not in put_aside]
    if not free:
        raise Refusal("Every rule of this region has an override")
    return _put(job, "override", {"rule": free[0], "reason": "not said yet"}, ())


def _add_room(job: Job, _: Item | None) -> tuple[Job, str]:
    return _put(job, "room", {"name": f"Room {len(job.rooms) + 1}"}, ())


def _add_offer(job: Job, _: Item | None) -> tuple[Job, str]:
    return _put(job, "offer", {"name": f"Option {len(job.offers) + 1}"}, ())


def _add_revision(job: Job, _: Item | None) -> tuple[Job, str]:
    return _put(job, "revision", {"why": "not said yet"}, ())


def _not_by_hand(reason: str) -> _Adding:
    def refuse(_: Job, __: Item | None) -> tuple[Job, str]:
        raise Refusal(reason)

    return refuse


_ADDING: dict[Kind, _Adding] = {
    "room": _add_room,
    "wall": _add_wall,
    "cabinet": _add_cabinet,
    "obstacle": _add_obstacle,
    "run": _add_run,
    "supply": _add_supply,
    "zone": _add_zone,
    "leg": _add_leg,
    "override": _add_override,
    "offer": _add_offer,
    "revision": _add_revision,
    "offcut": _not_by_hand("Off-cuts are drawn from your store of them, in the Papers step"),
    "ordered": _not_by_hand("What is ordered is noted when the order is"),
    "given": _not_by_hand("What is given out is noted when papers are written"),
    **dict.fromkeys(
        ("cut", "hung", "drilled", "laid", "fitted", "diary"),
        _not_by_hand("What is built is noted with how far a run has come, in the Papers step"),
    ),
}


def wall_of(job: Job, near: Item | None) -> str | None:
    """Give the wall a thing is at: itself, its own, or the last of its room or of the job."""
    if near is None or isinstance(near, Room):
        own = [wall.id for wall in job.walls if near is None or wall.room == near.id]
        return own[-1] if own else None
    if near.id in {wall.id for wall in job.walls}:
        return near.id
    found: str | None = getattr(near, "wall", None)
    return found or wall_of(job, None)


def room_of(job: Job, near: Item | None) -> str | None:
    """Give the room a thing is in, or the last one."""
    wall = wall_of(job, near)
    own = next((each.room for each in job.walls if each.id == wall), None)
    return own or (job.rooms[-1].id if job.rooms else None)

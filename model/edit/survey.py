"""Follow the tape: the next thing along a wall, and neighbours that move when a width changes."""

from decimal import Decimal
from typing import Literal, TypeVar

from pelmet.model.edit.change import altered, rebuilt, set_value, with_value
from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.job.job import Job

Along = Literal["cabinet", "obstacle"]
Standing = TypeVar("Standing", Cabinet, Obstacle)


def next_free(job: Job, wall: str, after: Decimal = Decimal(0)) -> Decimal:
    """Give the first place along a wall, from ``after`` on, where nothing stands [mm]."""
    standing = sorted(
        (thing.at, thing.at + thing.width) for thing in _things(job) if thing.wall == wall
    )
    for start, end in standing:
        if start <= after < end:
            after = end
    return after


def end_of_wall_things(job: Job, wall: str) -> Decimal:
    """Give the right-hand edge of the last cabinet on a wall [mm]."""
    ends = (cabinet.at + cabinet.width for cabinet in job.cabinets if cabinet.wall == wall)
    return max(ends, default=Decimal(0))


def resize(job: Job, kind: Along, item_id: str, width: Decimal, *, assumed: bool = False) -> Job:
    """Set a width; what touched the thing's right side, and what touches that, moves along."""
    old = job.find(kind, item_id)
    if not isinstance(old, Cabinet | Obstacle) or width == old.width:
        return set_value(job, kind, item_id, "width", width, assumed=assumed)
    moving = {thing.id for thing in touching(job, old)}
    shift = width - old.width

    def moved(thing: Standing) -> Standing:
        changed: Standing = thing
        if thing.id == item_id:
            changed = with_value(thing, "width", width, assumed=assumed)
        elif thing.id in moving:
            changed = altered(thing, {"at": max(thing.at + shift, Decimal(0))})
        return changed

    return rebuilt(
        job,
        cabinets=tuple(map(moved, job.cabinets)),
        obstacles=tuple(map(moved, job.obstacles)),
    )


def touching(job: Job, thing: Cabinet | Obstacle) -> list[Cabinet | Obstacle]:
    """Give what stands edge to edge with a thing's right side, and with that, and so on.

    What stands inside a cabinet that moves, such as a stile, goes with it.
    """
    chain: list[Cabinet | Obstacle] = []
    ends = {thing.at + thing.width}
    others = (each for each in _things(job) if each.wall == thing.wall and each.id != thing.id)
    for other in sorted(others, key=lambda each: each.at):
        if (other.at in ends and other.width) or any(_inside(other, each) for each in chain):
            chain.append(other)
            ends.add(other.at + other.width)
    return chain


def _inside(thing: Cabinet | Obstacle, cabinet: Cabinet | Obstacle) -> bool:
    return (
        isinstance(cabinet, Cabinet)
        and thing.at > cabinet.at
        and thing.at + thing.width < cabinet.at + cabinet.width
    )


def _things(job: Job) -> list[Cabinet | Obstacle]:
    return [*job.cabinets, *job.obstacles]

"""What stands elsewhere after a change of a width."""

from decimal import Decimal

from pelmet.model.job.job import Job


def things_moved(old: Job, new: Job, item_id: str) -> tuple[str, ...]:
    """Give what stands elsewhere now because something beside it changed its width."""
    if old is new:
        return ()
    before = _places(old)
    return tuple(
        name for name, at in _places(new).items() if name != item_id and before.get(name, at) != at
    )


def _places(job: Job) -> dict[str, Decimal]:
    cabinets = {cabinet.id: cabinet.at for cabinet in job.cabinets}
    return cabinets | {obstacle.id: obstacle.at for obstacle in job.obstacles}

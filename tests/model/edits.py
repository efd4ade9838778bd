"""Any edit of a job, as a person could make it by the form."""

from decimal import Decimal
from random import Random

from pelmet.model.edit.add import add_item
from pelmet.model.edit.change import remove, set_value
from pelmet.model.job.items import Kind
from pelmet.model.job.job import TABLES, Job
from pelmet.model.refusal import Refusal

_LENGTHS: dict[Kind, tuple[str, ...]] = {
    "wall": ("length",),
    "cabinet": ("at", "width", "depth", "lip"),
    "obstacle": ("at", "width"),
    "room": ("worktop_height",),
}
_ADDED: tuple[Kind, ...] = ("room", "wall", "cabinet", "obstacle", "run", "supply", "leg")


def any_edit(job: Job, random: Random) -> Job:
    """Add, remove or change one thing; now and then nothing comes of it."""
    try:
        how = random.random()
        if how < 0.25 or not any(job.table(kind) for kind in TABLES):
            kind = random.choice(_ADDED)
            return add_item(job, kind, random.choice([None, *job.table(kind)[-1:]]))[0]
        kind = random.choice([kind for kind in TABLES if job.table(kind)])
        thing = random.choice(job.table(kind))
        if how < 0.4:
            return remove(job, kind, thing.id)
        if kind in _LENGTHS and how < 0.85:
            field = random.choice(_LENGTHS[kind])
            value = getattr(thing, field) + Decimal(random.randint(-9, 9))
            return set_value(job, kind, thing.id, field, value, assumed=random.random() < 0.3)
        return set_value(job, kind, thing.id, "note", f"note {random.randint(0, 99)}")
    except Refusal:
        return job

"""Jobs that have come some way: ordered, then noted as built; and a pantry that comes later."""

from collections.abc import Sequence
from typing import Any

from pelmet.model.edit.building import note_built
from pelmet.model.edit.change import rebuilt
from pelmet.model.edit.giving import Signed, note_order
from pelmet.model.examples import read_example
from pelmet.model.job.items import Status
from pelmet.model.job.job import TABLES, Job
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job

DAY, WHO = "2027-03-04", "Jo"


def sent(job: Job) -> Job:
    """Note as sent all that is to be ordered."""
    lines = make_folder(plan_job(job)).lines
    bought = [(line.part, line.length, line.amount) for line in lines if line.packs]
    return note_order(job, bought, Signed("2027-03-01", "Jo"))


def built(job: Job, status: Status = "proved", runs: Sequence[str] | None = None) -> Job:
    """Order all of a job, then note that some runs, or all, have come so far."""
    folder = make_folder(plan_job(sent(job)))
    far = [run.id for run in job.runs] if runs is None else runs
    return note_built(folder, far, status, day=DAY, by=WHO)


def with_pantry(job: Job) -> Job:
    """Add to a job of the example kitchen what the example with a pantry has more."""
    tables: dict[str, Any] = {}
    pantry = read_example("kitchen-with-pantry")
    for kind, table in TABLES.items():
        ids = {each.id for each in job.table(kind)}
        more = tuple(each for each in pantry.table(kind) if each.id not in ids)
        tables[table] = (*job.table(kind), *more)
    return rebuilt(job, **tables)


def folder(job: Job) -> Folder:
    return make_folder(plan_job(job))

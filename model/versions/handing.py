"""A job handed over whole: with the parts of its planner's own catalogue that its plan rests on."""

from collections.abc import Iterator
from typing import Any

from pelmet.model.edit.change import rebuilt
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue, overlay
from pelmet.model.job.job import Job
from pelmet.model.job.references import PART_FIELDS
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.data.documents import figures_data
from pelmet.model.versions.follows import what_follows


def whole_job(folder: Folder, own: Catalogue) -> Job:
    """Give a job that is planned without the user's own parts as it is with them.

    It carries as few of them as that takes, which is tried by planning: those it uses; where one
    that it does not use took the place of a bundled one, those too; else all. Prices, rates and
    times are no part of a job: a colleague's order is priced by the colleague's own book.
    """
    job = folder.plan.job
    for parts in _carried(folder, own):
        copy = rebuilt(job, catalogue=overlay(parts, job.catalogue))
        if _same(folder, make_folder(plan_job(copy), folder.prices)):
            break
    return copy


def carried_words(job: Job, whole: Job) -> str:
    """Say how many parts a job carries that is handed over, and what is not in it."""
    count = sum(len(getattr(whole.catalogue, table)) for table in Catalogue.model_fields)
    own = sum(len(getattr(job.catalogue, table)) for table in Catalogue.model_fields)
    more = count - own
    parts = "one part" if more == 1 else f"{more or 'no'} parts"
    return f"it carries {parts} of your own catalogue; prices are not in it"


def _carried(folder: Folder, own: Catalogue) -> Iterator[Catalogue]:
    """Give ever more of the user's own parts."""
    used = set(_used(folder))
    yield _only(own, used)
    yield _only(own, used | _ids(bundled_catalogue()))
    yield own


def _used(folder: Folder) -> Iterator[str]:
    job = folder.plan.job
    for kind, field, _ in PART_FIELDS:
        yield from (part for each in job.table(kind) if (part := getattr(each, field)))
    yield from (each.part for each in job.offcuts)
    yield from (each.part for each in job.ordered)
    yield from (each.part for each in folder.plan.needs)
    yield from (each.part for each in folder.lines)


def _only(parts: Catalogue, ids: set[str]) -> Catalogue:
    tables: dict[str, Any] = {
        table: tuple(part for part in getattr(parts, table) if part.id in ids)
        for table in Catalogue.model_fields
    }
    return Catalogue.model_construct(**tables)  # every part has been validated


def _ids(parts: Catalogue) -> set[str]:
    return {part.id for table in Catalogue.model_fields for part in getattr(parts, table)}


def _same(one: Folder, other: Folder) -> bool:
    follows = what_follows(one, other)
    differ = follows.values or follows.came or follows.went
    return not differ and figures_data(one.plan) == figures_data(other.plan)

"""What else could be chosen for a thing, each tried out: what it gives, and why or why not."""

from collections.abc import Callable

from pelmet.model.edit.change import Subject
from pelmet.model.edit.options.crossings import crossings
from pelmet.model.edit.options.fixes import fails, fixes
from pelmet.model.edit.options.lights import lacks, lights
from pelmet.model.edit.options.option import Option
from pelmet.model.edit.options.places import places
from pelmet.model.edit.options.runs import run_options
from pelmet.model.edit.options.supplies import supplies
from pelmet.model.edit.options.wirings import wirings
from pelmet.model.edit.options.zones import dimmers, switches
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job

__all__ = ["Option", "options_for"]


def _of_run(job: Job, parts: Catalogue, own_id: str) -> tuple[Option, ...]:
    """Give what a run could be: as it is, and what would light better first, if it lacks light."""
    better = lights(job, parts, own_id)
    offered = {option.choice for option in better}
    now, *others = run_options(job, parts, own_id) or (None,)
    if now is None:
        return ()
    rest = tuple(option for option in others if option.choice not in offered)
    if lacks(plan_job(job, parts), own_id):
        return (now, *better, *rest)
    return (now, *rest, *better)


def _of_leg(job: Job, parts: Catalogue, own_id: str) -> tuple[Option, ...]:
    """Give what a leg could be: as it is and what would put it right first, if it fails."""
    cures, ways = fixes(job, parts, own_id), wirings(job, parts, own_id)
    if fails(job, parts, own_id):
        now = tuple(way for way in ways if way.taken)
        first = (*now, *cures, *(way for way in ways if not way.taken))
    else:
        first = (*ways, *cures)
    return (*first, *dimmers(job, parts, own_id))


_MAKERS: dict[str, Callable[[Job, Catalogue, str], tuple[Option, ...]]] = {
    "run": _of_run,
    "obstacle": crossings,
    "supply": lambda job, parts, own_id: (
        *places(job, parts, own_id),
        *supplies(job, parts, own_id),
    ),
    "leg": _of_leg,
    "zone": switches,
}


def options_for(job: Job, parts: Catalogue, kind: Subject, own_id: str) -> tuple[Option, ...]:
    """Try out what else could be chosen for a run, an obstacle, a supply, a leg or a zone.

    ``parts`` is the user's own catalogue. The best come first where there is a best. Nothing
    for other kinds of thing.
    """
    maker = _MAKERS.get(kind)
    return maker(job, parts, own_id) if maker else ()

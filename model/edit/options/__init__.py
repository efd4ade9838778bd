"""What else could be chosen for a thing, each tried out: what it gives, and why or why not."""

from collections.abc import Callable

from pelmet.model.edit.change import Subject
from pelmet.model.edit.options.crossings import crossing_options
from pelmet.model.edit.options.fixes import leg_fails, leg_options
from pelmet.model.edit.options.lights import lacks_light, light_options
from pelmet.model.edit.options.option import Option
from pelmet.model.edit.options.places import place_options
from pelmet.model.edit.options.runs import run_options
from pelmet.model.edit.options.supplies import supply_options
from pelmet.model.edit.options.wirings import wiring_options
from pelmet.model.edit.options.zones import dimmers, switches
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job

__all__ = ["Option", "options_for"]


def _of_run(job: Job, parts: Catalogue, item_id: str) -> tuple[Option, ...]:
    """Give what a run could be: as it is, and what would light better first, if it lacks light."""
    better = light_options(job, parts, item_id)
    offered = {option.choice for option in better}
    now, *others = run_options(job, parts, item_id) or (None,)
    if now is None:
        return ()
    rest = tuple(option for option in others if option.choice not in offered)
    if lacks_light(plan_job(job, parts), item_id):
        return (now, *better, *rest)
    return (now, *rest, *better)


def _of_leg(job: Job, parts: Catalogue, item_id: str) -> tuple[Option, ...]:
    """Give what a leg could be: as it is and what would put it right first, if it fails."""
    cures, ways = leg_options(job, parts, item_id), wiring_options(job, parts, item_id)
    if leg_fails(job, parts, item_id):
        now = tuple(way for way in ways if way.taken)
        first = (*now, *cures, *(way for way in ways if not way.taken))
    else:
        first = (*ways, *cures)
    return (*first, *dimmers(job, parts, item_id))


_MAKERS: dict[str, Callable[[Job, Catalogue, str], tuple[Option, ...]]] = {
    "run": _of_run,
    "obstacle": crossing_options,
    "supply": lambda job, parts, item_id: (
        *place_options(job, parts, item_id),
        *supply_options(job, parts, item_id),
    ),
    "leg": _of_leg,
    "zone": switches,
}


def options_for(job: Job, parts: Catalogue, kind: Subject, item_id: str) -> tuple[Option, ...]:
    """Try out what else could be chosen for a run, an obstacle, a supply, a leg or a zone.

    ``parts`` is the user's own catalogue. The best come first where there is a best. Nothing
    for other kinds of thing.
    """
    maker = _MAKERS.get(kind)
    return maker(job, parts, item_id) if maker else ()

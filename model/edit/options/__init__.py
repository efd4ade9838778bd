"""What else could be chosen for a thing, each tried out: what it gives, and why or why not."""

from collections.abc import Callable

from pelmet.model.edit.change import Subject
from pelmet.model.edit.options.crossings import crossings
from pelmet.model.edit.options.fixes import fixes
from pelmet.model.edit.options.option import Option
from pelmet.model.edit.options.places import places
from pelmet.model.edit.options.runs import run_options
from pelmet.model.edit.options.wirings import wirings
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job

__all__ = ["Option", "options_for"]

_MAKERS: dict[str, Callable[[Job, Catalogue, str], tuple[Option, ...]]] = {
    "run": run_options,
    "obstacle": crossings,
    "supply": places,
    "leg": lambda job, parts, own_id: (
        *wirings(job, parts, own_id),
        *fixes(job, parts, own_id),
    ),
}


def options_for(job: Job, parts: Catalogue, kind: Subject, own_id: str) -> tuple[Option, ...]:
    """Try out what else could be chosen for a run, an obstacle, a supply or a leg.

    ``parts`` is the user's own catalogue. The best come first where there is a best. Nothing
    for other kinds of thing.
    """
    maker = _MAKERS.get(kind)
    return maker(job, parts, own_id) if maker else ()

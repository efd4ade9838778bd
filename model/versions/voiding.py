"""What an option would make void: the papers that somebody holds and that would hold no more."""

from pelmet.model.edit.options import Option, Search
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.job.prices import PriceBook
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.papers.sheets import void_papers


def naming_void(
    search: Search, job: Job, parts: Catalogue, prices: PriceBook | None = None
) -> Search:
    """Add to each option which papers given out it makes void, beside those that are already.

    ``parts`` is the user's own catalogue. A job of which nothing was given out has none.
    """
    if not job.given:
        yield from search
        return
    void = void_papers(make_folder(plan_job(job, parts), prices))
    known: dict[str, tuple[Option, Option]] = {}
    for options in search:
        for option in options:
            if option.choice not in known or known[option.choice][0] is not option:
                known[option.choice] = option, _named(option, void, parts, prices)
        yield tuple(known[option.choice][1] for option in options)


def _named(
    option: Option, before: tuple[str, ...], parts: Catalogue, prices: PriceBook | None
) -> Option:
    if option.job is None or option.taken:
        return option
    now = void_papers(make_folder(plan_job(option.job, parts), prices))
    new = [name for name in now if name not in before]
    if not new:
        return option
    return option._replace(reasons=(f"papers it makes void: {', '.join(new)}", *option.reasons))

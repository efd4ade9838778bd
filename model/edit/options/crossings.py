"""The ways a cable could pass an obstacle: the cable each takes, its holes, who makes it, when."""

from pelmet.model.edit.options.option import Option, Search, count_words, try_plan, with_fields
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.items import Crossing, Obstacle
from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.crossings import SUITED, WORK

_MM_PER_METRE = 1000


def crossing_options(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Try every crossing that suits an obstacle, the one to expect first, and none."""
    obstacle = next((each for each in job.obstacles if each.id == item_id), None)
    suited = SUITED.get(obstacle.kind) if obstacle else None
    if obstacle is None or suited is None:
        return
    found: tuple[Option, ...] = ()
    every: tuple[Crossing, ...] = (*suited, "none")
    for crossing in every:
        changed = with_fields(job, "obstacle", item_id, {"crossing": crossing})
        plan = try_plan(changed, parts)
        if plan:
            taken = crossing == obstacle.crossing
            reasons = _reasons(crossing, obstacle)
            found = (*found, Option(crossing, _gives(plan), reasons, changed, taken))
            yield found


def _gives(plan: Plan) -> str:
    routes = plan.routes
    metres = sum(float(each.length.value) for each in routes.cables if each.length)
    unfed = sum(link.cable is None for link in routes.links)
    unfed += sum(lead.length is None for lead in routes.leads)
    shut = f"{count_words(unfed, 'cable')} with no way, " if unfed else ""
    holes = count_words(len(plan.holes), "hole")
    return f"{shut}{metres / _MM_PER_METRE:.1f} m of cable, {holes} in the whole job"


def _reasons(crossing: Crossing, obstacle: Obstacle) -> tuple[str, ...]:
    if crossing == "none":
        return ("each side needs a supply or a leg of its own",)
    work = WORK[crossing]
    seen = crossing == "behind" and obstacle.kind == "hood" and obstacle.cover == "open"
    shows = ("it shows: this hood has no cover",) if seen else ()
    return (f"{work.says}: the {work.who}, {work.when}", *shows)

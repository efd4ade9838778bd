"""Options side by side: the job as it is, and each other way that is offered to the client."""

from decimal import Decimal
from typing import NamedTuple

from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import Offer
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job

_FIELDS = ("strip", "diffuser", "channel", "line", "facing")
_AN_HOUR = Decimal(60)


class Variant(NamedTuple):
    """One way to do the job: its light, watts, price and time.

    ``lux`` is the average on the worst-lit plane and ``least`` its least-lit spot, None where
    nothing is lit; ``hours`` are of all people; ``stops`` is how much stands at stop.
    """

    name: str
    lux: float | None
    least: float | None
    watts: float
    price: Decimal
    hours: Decimal
    stops: int


def variant_of(name: str, folder: Folder) -> Variant:
    """Sum one way up."""
    plan = folder.plan
    lights = plan.lights
    return Variant(
        name,
        min((float(each.average.value) for each in lights), default=None),
        min((float(each.least.value) for each in lights), default=None),
        float(plan.circuits.total.value),
        folder.quote.total,
        sum((work.minutes for work in folder.work), Decimal(0)) / _AN_HOUR,
        plan.count("stop"),
    )


def variants(folder: Folder) -> tuple[Variant, ...]:
    """Give the job as it is, then each option of it, planned and priced whole."""
    job, parts = folder.plan.job, folder.plan.parts
    found = [variant_of("as planned", folder)]
    for offer in job.offers:
        plan = plan_job(_with(job, offer), parts)
        found.append(variant_of(offer.name, make_folder(plan, folder.prices)))
    return tuple(found)


def _with(job: Job, offer: Offer) -> Job:
    changes = {name: value for name in _FIELDS if (value := getattr(offer, name)) is not None}
    runs = tuple(run.model_copy(update=changes) for run in job.runs)
    # An option is priced anew: what was ordered for another way is no part of it.
    return job.model_copy(update={"runs": runs, "ordered": ()})

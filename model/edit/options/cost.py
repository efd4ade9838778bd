"""What a job costs as far as its alternatives differ: parts at catalogue prices, cable laid."""

from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.cable import laying_minutes

_MM_PER_METRE = 1000
_MINUTES_AN_HOUR = 60


def cost_of(plan: Plan) -> float:
    """Give what a plan's parts and the laying of its cables come to, in the prices' currency.

    A part without a price counts as nothing; what is sold by length is priced by the metre. For
    comparing one plan of a job with another, not for a quote.
    """
    prices = {
        part.id: float(part.price)
        for kind in type(plan.parts).model_fields
        for part in getattr(plan.parts, kind)
        if part.price is not None
    }
    parts = sum(
        prices.get(need.part, 0.0)
        * float(need.amount.value)
        / (_MM_PER_METRE if need.amount.unit == "mm" else 1)
        for need in plan.needs
    )
    minutes = laying_minutes(plan.routes.cables, plan.job.allowances)
    return parts + minutes / _MINUTES_AN_HOUR * float(plan.job.allowances.labour_per_hour)

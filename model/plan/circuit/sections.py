"""The least copper section that the region asks of a leg's cable."""

import math
from typing import Final

from pelmet.model.job.feeds import Leg
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cable
from pelmet.model.job.rules import JobRule
from pelmet.model.plan.circuit.leg_network import MM_PER_METRE
from pelmet.model.plan.circuit.protection import section_mm2
from pelmet.model.plan.rules import rule
from pelmet.model.plan.ways.routes import Routes

_FLEXIBLE: Final = 5  # IEC 60228 class
_ROUNDING: Final = 1e-9


def thin_by(job: Job, routes: Routes, leg: Leg, cable: Cable) -> JobRule | None:
    """Give the rule on its section that a cable would break on a leg as it is laid, if any."""
    reach = rule(job, "least-section-reach")
    near = reach is None or reach.limit is None
    if reach and reach.limit is not None:
        near = _longest(routes, leg) <= float(reach.limit) + _ROUNDING
    short = cable.conductor_class == _FLEXIBLE and near
    one = rule(job, "least-section-short" if short else "least-section")
    if one is None or one.limit is None or section_mm2(cable) >= float(one.limit):
        return None
    return one


def _longest(routes: Routes, leg: Leg) -> float:
    """Give a leg's longest cable [m]; one of unknown length is taken for long."""
    if any(lead.length is None for lead in routes.leads_of(leg.id)):
        return math.inf
    own = [each.length for each in routes.cables_of(leg.id) if each.length]
    return max((float(length.value) for length in own), default=0.0) / MM_PER_METRE

"""Tails: the wires from the pads that are soldered on a bar to its lever connectors."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.fits import tail_for
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Sundry
from pelmet.model.plan.bars.feed_points import Side, feed_points_of
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.leg_network import feed_reach
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.ways.routes import Routes


class Tail(NamedTuple):
    """The tail at one place of a bar: the cable that it joins, empty while none comes to it.

    ``length`` is what is cut off [mm], ``cores`` how many wires it has, ``amps`` what it carries
    [A], as far as that is known; ``part`` is nothing where no tail wire of so many cores is known.
    """

    bar: str
    at: Side
    cable: str
    cores: int
    length: Decimal
    amps: float | None
    part: Sundry | None


def tails_of(
    job: Job, parts: Catalogue, fits: Sequence[RunFit], routes: Routes, legs: Sequence[LegCircuit]
) -> tuple[Tail, ...]:
    """Give the tail of every place that wires are soldered to, run by run, left to right."""
    return tuple(each for fit in fits for each in _of_run(job, parts, fit, routes, legs))


def _of_run(
    job: Job, parts: Catalogue, fit: RunFit, routes: Routes, legs: Sequence[LegCircuit]
) -> Iterator[Tail]:
    strip = find_part(parts.strips, fit.run.strip)
    if strip is None:
        return
    amps = {flow.cable: float(flow.amps.value) for leg in legs for flow in leg.flows}
    for lead in routes.leads:  # what goes on to others does not go through the tail
        if lead.before in amps:
            amps[lead.before] -= amps.get(lead.id, 0.0)
    fed = {(lead.feed.bar, lead.feed.at): lead.id for lead in routes.leads if lead.feed}
    places: dict[tuple[str, Side], str] = {
        (point.bar, point.at): fed.get((point.bar, point.at), "") for point in feed_points_of(fit)
    }
    for link in feed_reach(fit, routes).links:
        name = link.cable.id if link.cable else ""
        places[link.from_bar, "right"] = name
        places[link.to_bar, "left"] = name
    order = {bar.id: row for row, bar in enumerate(fit.bars)}
    sides = ("left", "middle", "right")
    for bar, at in sorted(places, key=lambda each: (order[each[0]], sides.index(each[1]))):
        cable = places[bar, at]
        carried, cores = amps.get(cable), strip.channels + 1
        part = tail_for(parts, cores, carried or 0.0)
        yield Tail(bar, at, cable, cores, job.allowances.tail_length, carried, part)

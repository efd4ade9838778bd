"""What the plan needs, counted: no stock lengths, no waste, no price."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.job import Job
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.fitting import RunFit
from pelmet.model.plan.legs import reached_bars
from pelmet.model.plan.routes import Link, Routes

# Kind of part, its id, and how much: within a kind an id stands once, between kinds it may not.
Use = tuple[str, str, Figure]


class Need(NamedTuple):
    """How much of one part the plan takes: pieces, or millimetres of length."""

    part: str
    amount: Figure


def count(job: Job, parts: Catalogue, fits: tuple[RunFit, ...], routes: Routes) -> tuple[Need, ...]:
    """Count every part the plan takes, in the order they are handled on the bench."""
    links = [link for fit in fits if fit.run.leg for link in reached_bars(fit, routes.links)[1]]
    needs: dict[tuple[str, str], list[Figure]] = defaultdict(list)
    for kind, part, figure in (
        *_bars(parts, fits),
        *_cables(job, routes, links),
        *_joints(parts, routes, links),
        *_boxes(job),
    ):
        needs[kind, part].append(figure)
    return tuple(
        Need(part, derived(part, _total(figures), figures[0].unit, "sum", part, *figures))
        for (_, part), figures in needs.items()
    )


def _total(figures: list[Figure]) -> float | int:
    total = sum(float(figure.value) for figure in figures)
    return int(total) if figures[0].unit == "1" else total


def _bars(parts: Catalogue, fits: tuple[RunFit, ...]) -> Iterator[Use]:
    for fit in fits:
        channel = find_part(parts.channels, fit.run.channel)
        for bar in fit.bars:
            yield "channel", fit.run.channel, bar.length
            yield "diffuser", fit.run.diffuser, bar.length
            yield "strip", fit.run.strip, bar.lit
            if channel:
                yield "cap", channel.cap, given("caps", bar.caps, "1", "two ends", bar.id)


def _cables(job: Job, routes: Routes, links: Sequence[Link]) -> Iterator[Use]:
    cable_of = {leg.id: leg.cable for leg in job.legs}
    for cable in (*routes.leads, *(link.cable for link in links)):
        if cable and cable.length and cable.leg:
            yield "cable", cable_of[cable.leg], cable.length


def _joints(parts: Catalogue, routes: Routes, links: Sequence[Link]) -> Iterator[Use]:
    """Two connectors a joint, one per pole; a tee takes three-way ones.

    Each link has a joint at both its ends. A lead has one where it comes to a run; where
    cables go on from it there is a tee, and one tee more for each cable beyond the second.
    """
    by_ways = {connector.ways: connector.id for connector in parts.connectors}
    if not by_ways.keys() >= {2, 3}:
        return
    for link in links:
        if link.cable:
            ends = given("link, both ends", 4, "1", "two a joint", link.to_bar)
            yield "connector", by_ways[2], ends
    for lead in routes.leads:
        on = [each for each in routes.leads if each.before == lead.id]
        meeting = 1 + len(on) + (lead.run is not None)
        tees = max(meeting - 2, 0)
        if tees:
            yield "connector", by_ways[3], given("tee", 2 * tees, "1", "two a joint", lead.id)
        elif lead.run:
            yield "connector", by_ways[2], given("lead end", 2, "1", "two a joint", lead.id)


def _boxes(job: Job) -> Iterator[Use]:
    for supply in job.supplies:
        yield "supply", supply.part, given("supply", 1, "1", "choice", supply.id)
    for leg in job.legs:
        if leg.dimmer:
            yield "dimmer", leg.dimmer, given("dimmer", 1, "1", "choice", leg.id)

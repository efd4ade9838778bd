"""What the plan needs, counted: no stock lengths, no waste, no price."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.fits import cap_of
from pelmet.model.job.job import Job
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.controls import Controls
from pelmet.model.plan.circuit.leg_network import feed_reach
from pelmet.model.plan.circuit.legs import LegCircuit, added, total
from pelmet.model.plan.circuit.protection import joints
from pelmet.model.plan.circuit.terminals import blocks_of
from pelmet.model.plan.figure import Figure, derived_exactly, given
from pelmet.model.plan.ways.routes import Link, Routes

# Kind of part, its id, and how much: within a kind an id stands once, between kinds it may not.
Use = tuple[str, str, Figure]


class Need(NamedTuple):
    """How much of one part the plan takes: pieces, or millimetres of length."""

    part: str
    amount: Figure


def count_parts(
    job: Job,
    parts: Catalogue,
    fits: tuple[RunFit, ...],
    routes: Routes,
    legs: Sequence[LegCircuit],
    controls: Controls,
) -> tuple[Need, ...]:
    """Count every part the plan takes, in the order they are handled on the bench."""
    links = [link for fit in fits if fit.run.leg for link in feed_reach(fit, routes).links]
    needs: dict[tuple[str, str], list[Figure]] = defaultdict(list)
    for kind, part, figure in (
        *_bars(parts, fits),
        *_cables(job, routes, links),
        *_joints(parts, job, routes, links, legs),
        *_blocks(parts, job, routes, legs),
        *_boxes(job, controls),
    ):
        needs[kind, part].append(figure)
    return tuple(Need(part, _total(part, figures)) for (_, part), figures in needs.items())


def _total(part: str, figures: Sequence[Figure]) -> Figure:
    """Add up lengths, or pieces, of which there is a whole number."""
    if figures[0].unit == "1":
        return derived_exactly(part, "1", added, part, *figures)
    return total(part, figures[0].unit, part, figures)


def _bars(parts: Catalogue, fits: tuple[RunFit, ...]) -> Iterator[Use]:
    for fit in fits:
        channel = find_part(parts.channels, fit.run.channel)
        cap = channel and cap_of(parts, channel)
        for bar in fit.bars:
            yield "channel", fit.run.channel, bar.length
            yield "diffuser", fit.run.diffuser, bar.length
            yield "strip", fit.run.strip, bar.lit
            if cap:
                yield "cap", cap.id, given("caps", bar.caps, "1", "two ends", bar.id)


def _cables(job: Job, routes: Routes, links: Sequence[Link]) -> Iterator[Use]:
    cable_of = {leg.id: leg.cable for leg in job.legs}
    for cable in (*routes.leads, *(link.cable for link in links)):
        if cable and cable.length and cable.leg:
            yield "cable", cable_of[cable.leg], cable.length


def _joints(
    parts: Catalogue, job: Job, routes: Routes, links: Sequence[Link], legs: Sequence[LegCircuit]
) -> Iterator[Use]:
    """Count the connectors of every joint: one a conductor, so two of a two-core cable."""
    cables = {leg.id: find_part(parts.cables, leg.cable) for leg in job.legs}
    laid = (*routes.leads, *(link.cable for link in links))
    cores = {
        cable.id: part.cores
        for cable in laid
        if cable and (part := cables.get(cable.leg or "")) is not None
    }
    for joint in joints(parts, routes, legs):
        if joint.connector and joint.cable in cores:
            count = joint.each * cores[joint.cable]
            about = f"{joint.cable} {joint.end}"
            yield "connector", joint.connector.id, given("joint", count, "1", "two a joint", about)


def _blocks(
    parts: Catalogue, job: Job, routes: Routes, legs: Sequence[LegCircuit]
) -> Iterator[Use]:
    """Count the connectors of the blocks at supplies that have too few terminals."""
    for block in blocks_of(job, parts, routes, legs):
        if block.connector:
            count = block.each * block.cores
            yield (
                "connector",
                block.connector.id,
                given("block", count, "1", "two a joint", block.id),
            )


def _boxes(job: Job, controls: Controls) -> Iterator[Use]:
    for supply in job.supplies:
        yield "supply", supply.part, given("supply", 1, "1", "choice", supply.id)
    for load in controls.dimmers:
        about = load.zone or load.supply
        yield "dimmer", load.part.id, given("dimmer", 1, "1", "choice", about)
    for zone in controls.zones:
        if zone.switch:
            yield "switch", zone.switch.id, given("switch", 1, "1", "choice", zone.zone.id)

"""The plan of a job: every stage by name, in order, area by area."""

from collections.abc import Iterator
from dataclasses import replace
from typing import NamedTuple

from pelmet.model.job.catalogue import Catalogue, bundled_catalogue, overlay
from pelmet.model.job.job import Job
from pelmet.model.plan.areas import PLANNED, Area, Terms, areas_of, job_of, terms_of
from pelmet.model.plan.bars.fitting import fit_runs
from pelmet.model.plan.checks import Found, check_area, check_site
from pelmet.model.plan.circuit.controls import control_zones
from pelmet.model.plan.circuit.legs import feed_legs
from pelmet.model.plan.circuit.protection import protect_legs
from pelmet.model.plan.circuit.supplies import load_supplies
from pelmet.model.plan.circuit.worst import worst_legs
from pelmet.model.plan.joined import join_plans
from pelmet.model.plan.light.fading import fade_bars
from pelmet.model.plan.light.seeing import look_at_runs
from pelmet.model.plan.light.worktop import light_worktops
from pelmet.model.plan.mounting.bench import prepare_bars
from pelmet.model.plan.mounting.mounts import mount_bars
from pelmet.model.plan.result import Plan
from pelmet.model.plan.standing import what_stands
from pelmet.model.plan.survey.geometry import lay_out_rooms
from pelmet.model.plan.ways.routes import route_cables
from pelmet.model.remembered import Remembered


class AreaPlan(NamedTuple):
    """The plan of one area, without what is counted over all of a site; and its findings."""

    plan: Plan
    found: Found


class Unplanned(NamedTuple):
    """A job taken apart, to be planned area by area."""

    job: Job
    parts: Catalogue
    terms: Terms
    areas: tuple[Area, ...]

    @property
    def effort(self) -> int:
        """How many cabinets are in areas whose plan is not remembered: the time goes with that."""
        new = (area for area in self.areas if not _plan_area.knows(area, self.terms, self.parts))
        return sum(len(area[PLANNED.index("cabinet")]) for area in new)


def plan_job(job: Job, catalogue: Catalogue | None = None) -> Plan:
    """Work out everything that follows from a job.

    Pure and total: any valid job gives a plan, and what is missing or wrong is a finding.
    ``catalogue`` is the user's own; it is laid over the bundled one, and the job's own parts
    over both. Of a job that was planned before only the areas that changed are planned anew.
    """
    *_, plan = plan_steps(take_apart(job, catalogue))
    assert plan is not None, "it comes last"
    return plan


def take_apart(job: Job, catalogue: Catalogue | None = None) -> Unplanned:
    """Get a job ready to be planned."""
    parts = _overlay(_overlay(bundled_catalogue(), catalogue or _NO_PARTS), job.catalogue)
    _overlay.keep(_OVERLAYS)
    return Unplanned(job, parts, terms_of(job), areas_of(job))


def plan_steps(unplanned: Unplanned) -> Iterator[Plan | None]:
    """Plan a job as `plan_job` does, a step for each area; the last gives the plan."""
    job, parts, terms, areas = unplanned
    planned = []
    for area in areas:
        planned.append(_plan_area(area, terms, parts))
        yield None
    _plan_area.keep(len(areas) + _OTHER_AREAS)
    plan = join_plans(job, parts, [area.plan for area in planned])
    yield replace(plan, findings=check_site(plan, [area.found for area in planned]))


def _of_area(area: Area, terms: Terms, parts: Catalogue) -> AreaPlan:
    """Run every stage on one area."""
    standing = what_stands(job_of(terms, area), parts)
    job = standing.job
    rooms = lay_out_rooms(job)
    fits = fit_runs(job, parts, standing.bars)
    mounts = mount_bars(job, parts, fits)
    bench = prepare_bars(job, parts, fits)
    routes = route_cables(job, rooms, fits, mounts, standing.cables)
    planned = feed_legs(job, parts, fits, routes)
    circuits = worst_legs(job, parts, fits, routes, planned)
    supplies = load_supplies(job, parts, routes, circuits.legs)
    fadings = fade_bars(parts, fits, mounts, planned)
    controls = control_zones(job, parts, circuits.legs, supplies)
    protections = protect_legs(job, parts, circuits.legs)
    lights = light_worktops(job, parts, rooms, fits, mounts, fadings)
    sights = look_at_runs(job, parts, fits, mounts, lights)
    plan = Plan(
        job=job,
        parts=parts,
        rooms=rooms,
        fits=fits,
        mounts=mounts,
        bench=bench,
        routes=routes,
        circuits=circuits,
        supplies=supplies,
        fadings=fadings,
        controls=controls,
        protections=protections,
        lights=lights,
        sights=sights,
        contradictions=standing.contradictions,
    )
    return AreaPlan(plan, check_area(plan))


_plan_area = Remembered(_of_area)
_overlay = Remembered(overlay)
_NO_PARTS = Catalogue()
_OTHER_AREAS = 200  # kept besides those of the job planned last
_OVERLAYS = 8

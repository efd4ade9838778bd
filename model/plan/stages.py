"""The plan of a job: every stage by name, in order."""

from dataclasses import dataclass

from pelmet.model.job.catalogue import Catalogue, bundled_catalogue, overlay
from pelmet.model.job.job import Job
from pelmet.model.plan.bars.fitting import fit
from pelmet.model.plan.checks import Finding, Level, check
from pelmet.model.plan.circuit.controls import control
from pelmet.model.plan.circuit.legs import feed
from pelmet.model.plan.circuit.protection import protect
from pelmet.model.plan.circuit.supplies import load_supplies
from pelmet.model.plan.light.fading import fade
from pelmet.model.plan.light.seeing import look
from pelmet.model.plan.light.worktop import cast
from pelmet.model.plan.materials import count
from pelmet.model.plan.mounting.mounts import mount
from pelmet.model.plan.mounting.preparing import prepare
from pelmet.model.plan.survey.geometry import lay_out
from pelmet.model.plan.ways.holes import drill
from pelmet.model.plan.ways.routes import route
from pelmet.model.plan.worked import Worked


@dataclass(frozen=True, slots=True)
class Plan:
    """All that follows from a job, and what the checks found in it."""

    worked: Worked
    findings: tuple[Finding, ...]

    def count(self, level: Level) -> int:
        """Count the findings of one level."""
        return sum(finding.level == level for finding in self.findings)


def plan_job(job: Job, catalogue: Catalogue | None = None) -> Plan:
    """Work out everything that follows from a job.

    Pure and total: any valid job gives a plan, and what is missing or wrong is a finding.
    ``catalogue`` is the user's own; it is laid over the bundled one, and the job's own parts
    over both.
    """
    parts = overlay(overlay(bundled_catalogue(), catalogue or Catalogue()), job.catalogue)
    rooms = lay_out(job)
    fits = fit(job, parts)
    mounts = mount(job, parts, fits)
    bench = prepare(job, parts, fits)
    routes = route(job, rooms, fits, mounts)
    holes = drill(job, parts, rooms, routes)
    circuits = feed(job, parts, fits, routes)
    supplies = load_supplies(job, parts, circuits.legs)
    fadings = fade(parts, fits, mounts, circuits)
    controls = control(job, parts, circuits.legs, supplies)
    protections = protect(job, parts, circuits.legs)
    lights = cast(job, parts, fits, mounts, fadings)
    seen = look(job, parts, fits, mounts, lights)
    needs = count(job, parts, fits, routes, circuits.legs, controls)
    worked = Worked(
        job,
        parts,
        rooms,
        fits,
        mounts,
        bench,
        routes,
        holes,
        circuits,
        supplies,
        fadings,
        controls,
        protections,
        lights,
        seen,
        needs,
    )
    return Plan(worked, check(worked))

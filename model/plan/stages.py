"""The plan of a job: every stage by name, in order."""

from dataclasses import replace

from pelmet.model.job.catalogue import Catalogue, bundled_catalogue, overlay
from pelmet.model.job.job import Job
from pelmet.model.plan.bars.fitting import fit_runs
from pelmet.model.plan.checks import check_plan
from pelmet.model.plan.circuit.controls import control_zones
from pelmet.model.plan.circuit.legs import feed_legs
from pelmet.model.plan.circuit.protection import protect_legs
from pelmet.model.plan.circuit.supplies import load_supplies
from pelmet.model.plan.light.fading import fade_bars
from pelmet.model.plan.light.seeing import look_at_runs
from pelmet.model.plan.light.worktop import light_worktops
from pelmet.model.plan.materials import count_parts
from pelmet.model.plan.mounting.bench import prepare_bars
from pelmet.model.plan.mounting.mounts import mount_bars
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.geometry import lay_out_rooms
from pelmet.model.plan.ways.holes import drill_holes
from pelmet.model.plan.ways.routes import route_cables


def plan_job(job: Job, catalogue: Catalogue | None = None) -> Plan:
    """Work out everything that follows from a job.

    Pure and total: any valid job gives a plan, and what is missing or wrong is a finding.
    ``catalogue`` is the user's own; it is laid over the bundled one, and the job's own parts
    over both.
    """
    parts = overlay(overlay(bundled_catalogue(), catalogue or Catalogue()), job.catalogue)
    rooms = lay_out_rooms(job)
    fits = fit_runs(job, parts)
    mounts = mount_bars(job, parts, fits)
    bench = prepare_bars(job, parts, fits)
    routes = route_cables(job, rooms, fits, mounts)
    holes = drill_holes(job, parts, rooms, routes)
    circuits = feed_legs(job, parts, fits, routes)
    supplies = load_supplies(job, parts, circuits.legs)
    fadings = fade_bars(parts, fits, mounts, circuits)
    controls = control_zones(job, parts, circuits.legs, supplies)
    protections = protect_legs(job, parts, circuits.legs)
    lights = light_worktops(job, parts, fits, mounts, fadings)
    sights = look_at_runs(job, parts, fits, mounts, lights)
    needs = count_parts(job, parts, fits, routes, circuits.legs, controls)
    plan = Plan(
        job=job,
        parts=parts,
        rooms=rooms,
        fits=fits,
        mounts=mounts,
        bench=bench,
        routes=routes,
        holes=holes,
        circuits=circuits,
        supplies=supplies,
        fadings=fadings,
        controls=controls,
        protections=protections,
        lights=lights,
        sights=sights,
        needs=needs,
    )
    return replace(plan, findings=check_plan(plan))

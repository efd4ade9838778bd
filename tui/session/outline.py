"""The list of each step: what there is, in the order it was met along the walls."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Final, NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.items import Cabinet, Obstacle, Wall
from pelmet.model.job.job import Job, Site
from pelmet.model.measure.decimals import plain
from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.result import Plan
from pelmet.model.remembered import Remembered
from pelmet.model.told.figures import to_fraction
from pelmet.tui.session.steps import (
    ALLOWANCES,
    MOUNTING,
    OBSTACLES,
    PAPERS,
    POWER,
    ROOMS,
    RUNS,
    Listed,
    Step,
)

_OTHERS: Final = 64  # walls and runs whose rows are kept besides those of the job shown last
FINDINGS: Final = "findings"
CHANGES: Final = "changes"
SINCE_OPENED: Final = "since-opened"
SINCE_GIVEN: Final = "since-given"
COMPARED: Final = (CHANGES, SINCE_OPENED, SINCE_GIVEN)
JOB_PAGES = {
    FINDINGS: "Findings",
    "figures": "Every figure",
    "file": "The job file",
    CHANGES: "Changed since saved",
    SINCE_OPENED: "... since opened",
    SINCE_GIVEN: "... since given out",
}


class Row(NamedTuple):
    """One row of a list; a bar's row, or of what a zone holds, informs and is not stood on."""

    kind: Listed
    id: str
    indent: int
    text: str


def outline_of(step: Step, plan: Plan) -> tuple[Row, ...]:
    """Give the rows of a step's list."""
    makers = {
        ROOMS.name: _rooms,
        RUNS.name: _runs,
        OBSTACLES.name: _obstacles,
        MOUNTING.name: _mounting,
        POWER.name: _power,
        PAPERS.name: _papers,
    }
    return tuple(makers[step.name](plan))


def _rooms(plan: Plan) -> Iterator[Row]:
    job = plan.job
    yield Row("site", "", 0, job.site.name)
    walls = grouped(job.walls, lambda wall: wall.room)
    cabinets = grouped(job.cabinets, lambda cabinet: cabinet.wall)
    for room in job.rooms:
        yield Row("room", room.id, 0, room.name)
        for wall in walls.get(room.id, ()):
            yield from _of_wall(wall, cabinets.get(wall.id, ()), job.site)
    _of_wall.keep(len(job.walls) + _OTHERS)


def _make_wall(wall: Wall, cabinets: tuple[Cabinet, ...], site: Site) -> tuple[Row, ...]:
    mark = _mark("length" in wall.assumed)
    own = (
        Row("cabinet", cabinet.id, 2, _cabinet(site, cabinet))
        for cabinet in sorted(cabinets, key=_at)
    )
    return Row("wall", wall.id, 1, f"{wall.id}  wall {_mm(site, wall.length)}{mark}"), *own


def _cabinet(site: Site, cabinet: Cabinet) -> str:
    width = _mm(site, cabinet.width) + _mark("width" in cabinet.assumed)
    return f"{cabinet.id}  {width} at {_mm(site, cabinet.at)}, {cabinet.underside}"


def _runs(plan: Plan) -> Iterator[Row]:
    for fit in plan.fits:
        yield from _of_run(fit, plan.job.site)
    _of_run.keep(len(plan.fits) + _OTHERS)


def _make_run(fit: RunFit, site: Site) -> tuple[Row, ...]:
    bars = []
    for bar in fit.bars:
        cut = (to_fraction(each.value, site) for each in (bar.length, bar.lit))
        length, lit, dark = (_mm(site, each) for each in (*cut, Decimal(bar.dark.value)))
        mark = _mark(bar.length.assumed)
        bars.append(Row("bar", bar.id, 1, f"{bar.id} {length}{mark}: lit {lit}, dark {dark}"))
    return Row("run", fit.run.id, 0, f"{fit.run.id}  under {' '.join(fit.run.cabinets)}"), *bars


def _obstacles(plan: Plan) -> Iterator[Row]:
    job = plan.job
    obstacles = grouped(job.obstacles, lambda obstacle: obstacle.wall)
    for wall in job.walls:
        for obstacle in sorted(obstacles.get(wall.id, ()), key=_at):
            mark = _mark(bool(obstacle.assumed))
            where = f"{wall.id} at {_mm(job.site, obstacle.at)}{mark}"
            yield Row("obstacle", obstacle.id, 0, f"{obstacle.id}  {obstacle.kind}, {where}")


def _mounting(plan: Plan) -> Iterator[Row]:
    for run in plan.job.runs:
        yield Row("run", run.id, 0, f"{run.id}  {run.channel}, {run.line}, {run.facing}")
    for group in ALLOWANCES:
        yield Row("allowances", group, 0, f"Allowances: {group}")


def _power(plan: Plan) -> Iterator[Row]:
    """Give what is not fed first, so that it is seen however long the list."""
    for run in plan.job.runs:
        if run.leg is None:
            yield Row("run", run.id, 0, f"{run.id}  not fed, F8 lists ways")
    legs = grouped(plan.circuits.legs, lambda circuit: circuit.leg.supply)
    fed = grouped(plan.fits, lambda fit: fit.run.leg or "")
    for supply, budget in zip(plan.job.supplies, plan.supplies, strict=True):
        usable = f" of {_short(budget.usable)} W" if budget.usable else ""
        text = f"{supply.id}  {supply.part}, {_short(budget.load)}{usable}"
        yield Row("supply", supply.id, 0, text)
        for circuit in legs.get(supply.id, ()):
            state = (
                f"{float(circuit.worst.value):.2f} V, {_short(circuit.drop)} % down"
                if circuit.worst and circuit.drop
                else "volts not known"
            )
            yield Row("leg", circuit.leg.id, 1, f"{circuit.leg.id}  {state}")
            yield from (_fed(plan, fit) for fit in fed.get(circuit.leg.id, ()))
    for own in plan.controls.zones:
        yield Row("zone", own.zone.id, 0, f"{own.zone.id}  {own.zone.name}")
        amps = f", {float(own.amps.value):.2f} A" if own.amps else ""
        switched = " ".join(own.legs) or "no leg"
        yield Row("bar", own.zone.id, 1, f"{own.zone.switch or 'no switch'}{amps}: {switched}")
    for override in plan.job.overrides:
        limit = "put aside" if override.limit is None else plain(override.limit)
        yield Row("override", override.id, 0, f"{override.id}  {override.rule}: {limit}")


def _fed(plan: Plan, fit: RunFit) -> Row:
    watts = sum(float(plan.circuits.watts[bar.id].value) for bar in fit.bars)
    return Row("run", fit.run.id, 2, f"{fit.run.id}  {fit.run.strip}, {watts:.1f} W")


def paper_rows(states: Mapping[str, str]) -> tuple[Row, ...]:
    """Give the rows of the papers that go out, each with how it stands."""
    return tuple(Row("paper", name, 0, f"{name:<12}{state}") for name, state in states.items())


def _papers(plan: Plan) -> Iterator[Row]:
    """Give what is shown of the plan as it is, then what the papers of a job depend on."""
    job = plan.job
    for item_id, name in JOB_PAGES.items():
        yield Row("paper", item_id, 0, name)
    yield Row("site", "", 0, f"Job {job.site.reference}".rstrip())
    for run in job.runs:
        yield Row("run", run.id, 0, f"{run.id}  {run.status}")
    for offer in job.offers:
        yield Row("offer", offer.id, 0, f"{offer.id}  {offer.name}")
    for at, revision in enumerate(job.revisions):
        yield Row("revision", revision.id, 0, f"revision {at + 1}  {revision.why}")
    for piece in job.offcuts:
        length = _mm(job.site, piece.length)
        yield Row("offcut", piece.id, 0, f"off-cut {piece.piece}  {piece.part} {length}")
    for each in job.ordered:
        length = f" {_mm(job.site, each.length)}" if each.length is not None else ""
        amount = plain(each.amount)
        day = f", {each.day}" if each.day else ""
        yield Row("ordered", each.id, 0, f"ordered {amount} {each.part}{length}{day}")
    for given in job.given:
        day = f", {given.day}" if given.day else ""
        yield Row("given", given.id, 0, f"given out {given.paper}, rev {given.revision}{day}")
    yield from _built(job)


def _built(job: Job) -> Iterator[Row]:
    """Give what was done, in the order in which it is done."""
    site = job.site
    for cut in job.cuts:
        text = f"cut {' '.join(cut.pieces)} of {cut.part} {_mm(site, cut.stock)}"
        yield Row("cut", cut.id, 0, text)
    for hole in job.drilled:
        yield Row("drilled", hole.id, 0, f"drilled {hole.hole} {_mm(site, hole.diameter)}")
    for bar in job.hung:
        yield Row("hung", bar.id, 0, f"hung {bar.name} {_mm(site, bar.length)}")
    for cable in job.laid:
        yield Row("laid", cable.id, 0, f"laid {cable.cable} {_mm(site, cable.length)}")
    for supply in job.fitted:
        yield Row("fitted", supply.id, 0, f"fitted {supply.supply} {supply.part}")
    for entry in job.diary:
        day = f"{entry.day} " if entry.day else ""
        yield Row("diary", entry.id, 0, f"{day}{entry.run} {entry.status}")


def _at(thing: Cabinet | Obstacle) -> Decimal:
    return thing.at


def _mark(assumed: bool) -> str:  # noqa: FBT001 - one mark, one question
    return "?" if assumed else ""


def _mm(site: Site, value: Decimal) -> str:
    return print_length(value, site.length_unit, site.inch_parts, bare=True)


def _short(figure: Figure | None) -> str:
    return f"{float(figure.value):.1f}" if figure else "-"


_of_wall = Remembered(_make_wall)
_of_run = Remembered(_make_run)

"""The plan of a job: all that its stages gave, and what the checks found in it."""

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.controls import Controls
from pelmet.model.plan.circuit.legs import Circuits, LegCircuit
from pelmet.model.plan.circuit.protection import Joint, Protection, joints
from pelmet.model.plan.circuit.readings import Reading, readings_expected
from pelmet.model.plan.circuit.supplies import SupplyBudget
from pelmet.model.plan.circuit.tails import Tail, tails_of
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.finding import Finding, Level
from pelmet.model.plan.light.fading import Fadings
from pelmet.model.plan.light.seeing import RunSight
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.materials import Need, count_parts
from pelmet.model.plan.mounting.bench import BenchWork
from pelmet.model.plan.mounting.mounts import Mount
from pelmet.model.plan.standing import Contradiction
from pelmet.model.plan.survey.geometry import RoomPlan
from pelmet.model.plan.ways.holes import Hole
from pelmet.model.plan.ways.routes import Routes


@dataclass(frozen=True, kw_only=True)
class Plan:
    """What each stage gave, in the order of the stages; the checks add their findings last.

    Of an area by itself no holes are numbered. ``job`` is as it is said; what is built stands in
    the stages as it was built, and ``contradictions`` tell where that is another thing.
    """

    job: Job
    parts: Catalogue
    rooms: tuple[RoomPlan, ...]
    fits: tuple[RunFit, ...]
    mounts: tuple[Mount, ...]
    bench: tuple[BenchWork, ...]
    routes: Routes
    circuits: Circuits
    supplies: tuple[SupplyBudget, ...]
    fadings: Fadings
    controls: Controls
    protections: tuple[Protection, ...]
    lights: tuple[RunLight, ...]
    sights: tuple[RunSight, ...]
    contradictions: tuple[Contradiction, ...] = ()
    holes: tuple[Hole, ...] = ()
    findings: tuple[Finding, ...] = ()

    @cached_property
    def needs(self) -> tuple[Need, ...]:
        """Every part that the plan takes; counted when somebody asks."""
        return count_parts(
            self.job, self.parts, self.fits, self.routes, self.circuits.legs, self.controls
        )

    @cached_property
    def joints(self) -> tuple[Joint, ...]:
        """Every joint of its cables; counted when somebody asks."""
        return joints(self.parts, self.routes, self.circuits.legs)

    @cached_property
    def tails(self) -> tuple[Tail, ...]:
        """Every tail that is soldered to a bar; worked out when somebody asks."""
        return tails_of(self.job, self.parts, self.fits, self.routes, self.circuits.legs)

    def count(self, level: Level) -> int:
        """Count the findings of one level."""
        return sum(finding.level == level for finding in self.findings)

    @property
    def bars(self) -> tuple[Bar, ...]:
        """Every bar of the job, run by run, left to right."""
        return tuple(bar for fit in self.fits for bar in fit.bars)

    @property
    def worst_leg(self) -> LegCircuit | None:
        """The leg with the largest drop, if any can be worked out."""
        known = [leg for leg in self.circuits.legs if leg.drop]
        return max(known, key=lambda leg: float(leg.drop.value) if leg.drop else 0.0, default=None)

    @property
    def least_lit(self) -> RunLight | None:
        """The least-lit spot of the job, if any run gives light on anything."""
        return min(self.lights, key=lambda light: float(light.least.value), default=None)

    def readings(self) -> tuple[Reading, ...]:
        """Work out what a meter should read at every point, cold and hot; it takes a while."""
        return readings_expected(self.job, self.parts, self.fits, self.routes)

    def figures(self) -> Iterator[Figure]:
        """Give every derived figure: bars, mounts, cables, legs, supplies, controls, light."""
        for bar in self.bars:
            yield from bar.figures
            yield self.circuits.watts[bar.id]
        yield from (dark.across for fit in self.fits for dark in fit.bands)
        for mount in self.mounts:
            yield from (mount.from_wall, mount.height)
        yield from (figure for work in self.bench for figure in work.figures)
        yield from (cable.length for cable in self.routes.cables if cable.length)
        for hole in self.holes:
            yield from (hole.across, hole.out, hole.height, hole.diameter, hole.grommet)
        for leg in self.circuits.legs:
            yield leg.watts
            some = (leg.amps, leg.worst, leg.drop, leg.lost)
            yield from (figure for figure in some if figure)
            for flow in leg.flows:
                yield from (flow.amps, flow.volts, flow.lost)
            for bar_volts in leg.bars:
                yield from (bar_volts.start, bar_volts.end, bar_volts.lowest)
        for supply in self.supplies:
            yield from supply.figures
        yield from (figure for light in self.fadings.bars for figure in light.figures)
        yield from (step.step for step in self.fadings.steps)
        yield from self.controls.figures
        yield from (figure for guard in self.protections for figure in guard.figures)
        yield self.circuits.total
        for light in self.lights:
            yield from light.figures
        yield from (figure for sight in self.sights for figure in sight.figures)
        yield from (need.amount for need in self.needs)
        for reading in self.readings():
            yield from (*reading.cold, *reading.hot)

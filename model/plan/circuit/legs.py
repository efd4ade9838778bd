"""Watts, amps and volts of each leg: every cable, every bar, solved as one DC network.

Legs that feed one run from its two ends are solved together.
"""

from collections.abc import Mapping, Sequence
from functools import lru_cache
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Leg
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cable
from pelmet.model.job.parts import Strip as StripPart
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.bars.fitting import REMEMBERED, RunFit
from pelmet.model.plan.circuit.dc.elements import Network, Solution, StripFlow, Trouble, watts_lost
from pelmet.model.plan.circuit.dc.network import solve_network
from pelmet.model.plan.circuit.dc.strip import ROUNDING_VOLTS
from pelmet.model.plan.circuit.leg_network import (
    MM_PER_METRE,
    Conditions,
    LegNetwork,
    as_planned,
    build_network,
    feed_reach,
    leg_groups,
)
from pelmet.model.plan.circuit.leg_volts import NetworkVolts
from pelmet.model.plan.figure import Figure, derived, given, read_off
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.ways.routes import Routes

# Troubles after which no figure of a network can be shown.
UNSOLVED: Final = frozenset({"no-solution", "not-converged", "no-source"})


class BarVolts(NamedTuple):
    """Volts at the ends of a bar's strip, at its middle if it is fed there, and where lowest.

    ``lost`` is what its rails take [W]; ``above_least`` says that all of the strip has the volts
    it needs to work as it is meant to.
    """

    bar: str
    left: Figure
    right: Figure
    middle: Figure | None
    lowest: Figure
    lost: Figure
    above_least: bool

    @property
    def start(self) -> Figure:
        """Volts where it is fed, or where more of its current comes in."""
        if self.middle is not None:
            return self.middle
        return max(self.left, self.right, key=_value)

    @property
    def end(self) -> Figure:
        """Volts at its other end, or at the lower one of the two."""
        if self.middle is not None:
            return min(self.left, self.right, key=_value)
        return self.right if self.start is self.left else self.left


class CableFlow(NamedTuple):
    """What a cable carries, the volts at the end that it carries it to, and the watts it loses."""

    cable: str
    amps: Figure
    volts: Figure
    lost: Figure


class OperatingPoint(NamedTuple):
    """A network of legs that are joined, and its solution."""

    network: LegNetwork
    solution: Solution


class LegCircuit(NamedTuple):
    """One leg worked out; ``amps``, ``volts`` and ``drop`` are missing when they cannot be.

    ``least_amps`` are the fewest of several states. ``flows`` has its cables and the links of its
    runs, as far as current goes; ``lost`` is what its cables and its strips' rails take [W].
    """

    leg: Leg
    runs: tuple[str, ...]
    watts: Figure
    amps: Figure | None
    bars: tuple[BarVolts, ...]
    worst: Figure | None
    drop: Figure | None
    least_amps: Figure | None = None
    flows: tuple[CableFlow, ...] = ()
    lost: Figure | None = None
    troubles: tuple[Trouble, ...] = ()
    operating_point: OperatingPoint | None = None


class Circuits(NamedTuple):
    """Every bar's watts, and every leg."""

    watts: Mapping[str, Figure]
    legs: tuple[LegCircuit, ...]
    total: Figure


def feed_legs(
    job: Job,
    parts: Catalogue,
    fits: tuple[RunFit, ...],
    routes: Routes,
    conditions: Conditions | None = None,
) -> Circuits:
    """Work out every leg of a job, as planned or under other conditions."""
    watts = {
        bar.id: _bar_watts(bar, strip)
        for fit in fits
        if (strip := find_part(parts.strips, fit.run.strip))
        for bar in fit.bars
    }
    under = conditions or as_planned(job.allowances)
    found: dict[str, LegCircuit] = {}
    fed: dict[str, list[int]] = {leg.id: [] for leg in job.legs}
    for row, fit in enumerate(fits):
        for leg_id in {point.leg for point in feed_points_of(fit) if point.leg}:
            fed[leg_id].append(row)
    for legs in leg_groups(job):
        own = [fits[row] for row in sorted({row for leg in legs for row in fed[leg.id]})]
        network = build_network(job, parts, own, routes, legs, under)
        point = OperatingPoint(network, _solution(network.elements)) if network else None
        for leg in legs:
            load = _load(leg, own, routes, watts)
            found[leg.id] = _leg(leg, load, point, routes)
    circuits = tuple(found[leg.id] for leg in job.legs)
    return Circuits(watts, circuits, total("watts", "W", "", list(watts.values())))


def drop_with(
    job: Job,
    parts: Catalogue,
    fits: tuple[RunFit, ...],
    routes: Routes,
    leg: Leg,
    cable: Cable,
    conditions: Conditions,
) -> float | None:
    """Give a leg's drop with another cable [% of the supply's volts]; nothing if it cannot work."""
    legs = next(each for each in leg_groups(job) if leg.id in {one.id for one in each})
    under = conditions._replace(cables={leg.id: cable})
    network = build_network(job, parts, fits, routes, legs, under)
    if network is None:
        return None
    solution = _solution(network.elements)
    own = [strip for strip in network.elements.strips if strip.id in solution.strips]
    if len(own) < len(network.elements.strips):
        return None
    if not all(solution.strips[strip.id].holds for strip in own):
        return None
    lowest = min(solution.strips[strip.id].lowest_volts for strip in own)
    volts = network.elements.sources[0].volts
    return voltage_drop(volts, lowest)


@works_out("drop")
def voltage_drop(supply: float, volts: float) -> float:
    """Give what of a supply's volts is lost at a point that has so many [% of the supply's]."""
    return 100 * (supply - volts) / supply


def total(name: str, unit: str, about: str, figures: Sequence[Figure]) -> Figure:
    """Add figures up."""
    return derived(name, unit, added, about, *figures)


@works_out("sum")
def added(*values: float) -> float:
    """Give the sum of values of one unit."""
    return sum(values)


@lru_cache(maxsize=REMEMBERED)
def _solution(network: Network) -> Solution:
    return solve_network(network)


def _value(figure: Figure) -> float:
    return float(figure.value)


def _bar_watts(bar: Bar, strip: StripPart) -> Figure:
    per_metre = given("watts per metre", strip.watts_per_metre, "W/m", "part", strip.id)
    return derived("watts", "W", bar_watts, bar.id, per_metre, bar.lit)


@works_out("bar watts")
def bar_watts(per_metre: float, lit: float) -> float:
    """Give what a strip of so many W/m takes at its rated volts, lit over so many mm [W]."""
    return per_metre * lit / MM_PER_METRE


@works_out("fed by two")
def half_of(watts: float) -> float:
    """Give what each of two legs feeds of a bar [W]."""
    return watts / 2


class _Load(NamedTuple):
    """What hangs on a leg: its runs, and the rated watts it feeds."""

    runs: tuple[str, ...]
    watts: Figure


def _load(leg: Leg, fits: Sequence[RunFit], routes: Routes, watts: Mapping[str, Figure]) -> _Load:
    """Give the rated watts of the bars a leg reaches; half of those that another leg feeds too."""
    runs: list[str] = []
    shares: list[Figure] = []
    for fit in fits:
        run = fit.run
        twice = run.feed_end == "both" and run.far_leg not in (None, run.leg)
        if not fit.bars or run.leg is None:
            continue
        if run.leg != leg.id and not (twice and run.far_leg == leg.id):
            continue
        runs.append(run.id)
        for bar in feed_reach(fit, routes).bars:
            whole = watts[bar.id]
            shares.append(derived("half", "W", half_of, bar.id, whole) if twice else whole)
    return _Load(tuple(runs), total("leg watts", "W", leg.id, shares))


def _leg(leg: Leg, load: _Load, point: OperatingPoint | None, routes: Routes) -> LegCircuit:
    """Read one leg off the solution of its network."""
    if point is None or not load.runs:
        return LegCircuit(leg, load.runs, load.watts, None, (), None, None)
    network, solution = point
    if any(trouble.code in UNSOLVED for trouble in solution.troubles):
        return LegCircuit(
            leg, load.runs, load.watts, None, (), None, None, troubles=solution.troubles
        )
    volts = NetworkVolts(network, solution, load.watts)
    own = {lead.id for lead in routes.leads_of(leg.id)}
    carried = own | {link.cable.id for link in routes.links if link.cable and link.run in load.runs}
    flows = tuple(_flow(wire, volts) for wire in volts.order if wire in carried)
    bars = tuple(_bar_volts(bar, volts) for bar in network.bars.values() if bar.run in load.runs)
    first = [flow.amps for flow in flows if volts.wires[flow.cable].near == leg.supply]
    worst = min((bar.lowest for bar in bars), key=_value)
    return LegCircuit(
        leg=leg,
        runs=load.runs,
        watts=load.watts,
        amps=total("leg amps", "A", leg.id, first),
        bars=bars,
        worst=worst,
        drop=derived("drop", "%", voltage_drop, leg.id, volts.at[leg.supply], worst),
        least_amps=total("leg amps", "A", leg.id, first),
        flows=flows,
        lost=total("leg losses", "W", leg.id, [each.lost for each in (*flows, *bars)]),
        troubles=solution.troubles,
        operating_point=point,
    )


def _flow(cable: str, volts: NetworkVolts) -> CableFlow:
    amps = volts.amps(cable)
    wire = volts.wires[cable]
    end = wire.far if volts.solution.wires[cable].amps >= 0 else wire.near
    at_end = volts.at[end].called("volts at end", cable)
    lost = derived("lost", "W", watts_lost, cable, amps, volts.network.loops[cable])
    return CableFlow(cable, amps, at_end, lost)


def _bar_volts(bar: Bar, volts: NetworkVolts) -> BarVolts:
    left, right = volts.end_of(bar, "left"), volts.end_of(bar, "right")
    flows = [volts.solution.strips[strip_id] for strip_id in volts.strips_of(bar)]
    middle = volts.end_of(bar, "middle") if bar.id in volts.network.middles else None
    lowest = min(left, right, key=_value)
    least = min(flows, key=_lowest)
    if least.lowest_volts < _value(lowest) - ROUNDING_VOLTS:
        lowest = volts.within(bar, least, left, right)
    rails = sum(flow.rail_watts for flow in flows)
    lost = read_off("lost in rails", rails, "W", "rails lost", bar.id, *volts.made_of(bar))
    holds = all(flow.holds for flow in flows)
    return BarVolts(bar.id, left, right, middle, lowest, lost, holds)


def _lowest(flow: StripFlow) -> float:
    return flow.lowest_volts

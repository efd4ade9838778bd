"""Watts, amps and volts of each leg, fed from one end, and what each supply still has to give.

A leg is a tree: its cables go from the supply to tees and feed ends, and the bars of a run
follow each other. It is solved exactly, from the far ends back to the supply and then forward
(see ``circuit.one_port``).
"""

from collections.abc import Mapping, Sequence
from itertools import takewhile
from typing import NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Leg
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cable, Strip, SupplyPart
from pelmet.model.plan.bar import Bar
from pelmet.model.plan.cable import Cable as Laid
from pelmet.model.plan.circuit.copper import at_temperature, awg_ohms_per_metre, ohms_per_metre
from pelmet.model.plan.circuit.one_port import (
    OPEN,
    Port,
    feed_through,
    parallel,
    through_resistance,
)
from pelmet.model.plan.circuit.strip import (
    StripLine,
    current_regulated,
    end_of_strip,
    holds,
    resistor_limited,
    through_strip,
)
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.fitting import RunFit
from pelmet.model.plan.routes import Link, Routes

_MM_PER_METRE = 1000


class BarVolts(NamedTuple):
    """Volts at the two ends of a bar's strip, ``start`` where it is fed."""

    bar: str
    start: Figure
    end: Figure
    above_least: bool


class CableFlow(NamedTuple):
    """What a cable carries, the volts at its far end, and the watts it loses."""

    cable: str
    amps: Figure
    volts: Figure
    lost: Figure


class LegCircuit(NamedTuple):
    """One leg worked out; ``amps``, ``volts`` and ``drop`` are missing when they cannot be.

    ``flows`` has its cables and the links of its runs, as far as current goes.
    """

    leg: Leg
    runs: tuple[str, ...]
    watts: Figure
    amps: Figure | None
    bars: tuple[BarVolts, ...]
    worst: Figure | None
    drop: Figure | None
    flows: tuple[CableFlow, ...] = ()


class SupplyBudget(NamedTuple):
    """What a supply may give, what it is asked for, and what is left [W]."""

    supply: str
    load: Figure
    usable: Figure | None
    left: Figure | None
    legs: tuple[str, ...]


class Circuits(NamedTuple):
    """Every bar's watts, every leg, every supply."""

    watts: Mapping[str, Figure]
    legs: tuple[LegCircuit, ...]
    supplies: tuple[SupplyBudget, ...]
    total: Figure


def feed(job: Job, parts: Catalogue, fits: tuple[RunFit, ...], routes: Routes) -> Circuits:
    """Work out every leg and every supply of a job."""
    watts = {
        bar.id: _bar_watts(bar, strip)
        for fit in fits
        if (strip := find_part(parts.strips, fit.run.strip))
        for bar in fit.bars
    }
    legs = tuple(_leg(leg, job, parts, fits, routes, watts) for leg in job.legs)
    supplies = tuple(
        _budget(
            supply.id,
            find_part(parts.supplies, supply.part),
            [leg for leg in legs if leg.leg.supply == supply.id],
            job.allowances,
        )
        for supply in job.supplies
    )
    return Circuits(watts, legs, supplies, _sum("watts", "W", "", list(watts.values())))


def reached_bars(fit: RunFit, links: Sequence[Link]) -> tuple[list[Bar], list[Link]]:
    """Give a run's bars in feed order as far as links go, and those links."""
    forward = fit.run.feed_end == "left"
    ordered = list(fit.bars if forward else fit.bars[::-1])
    own = [link for link in links if link.run == fit.run.id]
    passed = list(takewhile(lambda link: link.cable is not None, own if forward else own[::-1]))
    return ordered[: len(passed) + 1], passed


def strip_line(bar: Bar, strip: Strip) -> StripLine:
    """Describe a bar's lit strip as the circuit sees it."""
    metres = float(bar.lit.value) / _MM_PER_METRE
    make, least = (
        (resistor_limited, strip.led_volts)
        if strip.kind == "resistor-limited"
        else (current_regulated, strip.dropout_volts)
    )
    return make(
        metres,
        float(strip.ohms_per_metre),
        float(strip.watts_per_metre),
        float(strip.volts),
        float(least or 0),
    )


def core_ohms(cable: Cable, allowances: Allowances) -> Figure:
    """Give the ohms per metre of one core of a cable at the copper's temperature."""
    celsius = given("conductor at", allowances.conductor_temperature, "degC", "allowance")
    if cable.awg is not None:
        size = given("AWG gauge", cable.awg, "1", "part", cable.id)
        cold = awg_ohms_per_metre(cable.awg)
    else:
        size = given("cross-section", cable.mm2 or 0, "mm2", "part", cable.id)
        cold = ohms_per_metre(float(cable.mm2 or 0), cable.conductor_class or 5)
    ohms = at_temperature(cold, float(celsius.value))
    return derived("one core", ohms, "ohm/m", "copper", cable.id, size, celsius)


def _bar_watts(bar: Bar, strip: Strip) -> Figure:
    per_metre = given("watts per metre", strip.watts_per_metre, "W/m", "part", strip.id)
    watts = float(strip.watts_per_metre) * float(bar.lit.value) / _MM_PER_METRE
    return derived("watts", watts, "W", "bar watts", bar.id, per_metre, bar.lit)


def _sum(name: str, unit: str, about: str, figures: Sequence[Figure]) -> Figure:
    return derived(
        name, sum(float(figure.value) for figure in figures), unit, "sum", about, *figures
    )


def _leg(
    leg: Leg,
    job: Job,
    parts: Catalogue,
    fits: tuple[RunFit, ...],
    routes: Routes,
    watts: Mapping[str, Figure],
) -> LegCircuit:
    fed = [fit for fit in fits if fit.run.leg == leg.id and fit.bars]
    runs = tuple(fit.run.id for fit in fed)
    reached = [reached_bars(fit, routes.links) for fit in fed]
    load = _sum("leg watts", "W", leg.id, [watts[bar.id] for bars, _ in reached for bar in bars])
    leads = routes.leads_of(leg.id)
    supply = next(supply for supply in job.supplies if supply.id == leg.supply)
    source = find_part(parts.supplies, supply.part)
    cable = find_part(parts.cables, leg.cable)
    strips = {run.id: find_part(parts.strips, run.strip) for run in (fit.run for fit in fed)}
    if (
        not fed
        or source is None
        or cable is None
        or any(lead.length is None for lead in leads)
        or any(strip is None or strip.volts != source.volts for strip in strips.values())
    ):
        return LegCircuit(leg, runs, load, None, (), None, None)
    core = core_ohms(cable, job.allowances)
    chains = {
        fit.run.id: _Chain(bars, links, strip, core)
        for fit, (bars, links) in zip(fed, reached, strict=True)
        if (strip := strips[fit.run.id])
    }
    return _solved(leg, runs, load, source, _Tree(leads, chains, core))


class _Chain(NamedTuple):
    """One run of a leg: its bars in feed order and the links between them."""

    bars: list[Bar]
    links: list[Link]
    strip: Strip
    core: Figure

    def loops(self) -> list[Figure]:
        """Loop ohms of the cable before each bar but the first."""
        cables = [link.cable for link in self.links]
        return [loop_ohms(each.length, self.core) for each in cables if each and each.length]

    def ports(self) -> list[Port]:
        """What the supply sees at the near end of each bar, in feed order."""
        ports: list[Port] = []
        beyond = OPEN
        loops = self.loops()
        for row in range(len(self.bars) - 1, -1, -1):
            port = through_strip(beyond, strip_line(self.bars[row], self.strip))
            ports.append(port)
            if row:
                beyond = through_resistance(port, float(loops[row - 1].value))
        return ports[::-1]


class _Tree(NamedTuple):
    """The cables of a leg, each after the one it goes on from, and the runs they come to."""

    leads: tuple[Laid, ...]
    chains: Mapping[str, _Chain]
    core: Figure

    def loop(self, lead: Laid) -> Figure:
        """Loop ohms of one cable."""
        assert lead.length is not None, "a leg with a cable of unknown length is not solved"
        return loop_ohms(lead.length, self.core)

    def ports(self) -> dict[str, Port]:
        """What the supply sees at the far end of each cable: its run, and all cables beyond."""
        found: dict[str, Port] = {}
        beyond: dict[str, list[Port]] = {lead.id: [] for lead in self.leads}
        for lead in reversed(self.leads):
            own = [self.chains[lead.run].ports()[0]] if lead.run else []
            found[lead.id] = parallel(*own, *beyond[lead.id])
            if lead.before is not None:
                near = through_resistance(found[lead.id], float(self.loop(lead).value))
                beyond[lead.before].append(near)
        return found


def loop_ohms(length: Figure, core: Figure) -> Figure:
    """Give the ohms of both cores of a cable of this length."""
    ohms = 2 * float(length.value) / _MM_PER_METRE * float(core.value)
    return derived("loop", ohms, "ohm", "lead ohms", length.about, length, core)


def _solved(
    leg: Leg,
    runs: tuple[str, ...],
    load: Figure,
    source: SupplyPart,
    tree: _Tree,
) -> LegCircuit:
    supply_volts = given("supply volts", source.volts, "V", "part", source.id)
    ports = tree.ports()
    flows: dict[str, CableFlow] = {}
    bars: list[BarVolts] = []
    links: list[CableFlow] = []
    for lead in tree.leads:
        near = supply_volts if lead.before is None else flows[lead.before].volts
        flows[lead.id] = flow = _flow(lead.id, ports[lead.id], near, tree.loop(lead), load)
        if lead.run:
            found, linked = _along(tree.chains[lead.run], flow.volts, load)
            bars += found
            links += linked
    first = [flows[lead.id].amps for lead in tree.leads if lead.before is None]
    amps = _sum("leg amps", "A", leg.id, first)
    worst = min((bar.end for bar in bars), key=lambda end: float(end.value))
    share = 100 * (float(source.volts) - float(worst.value)) / float(source.volts)
    drop = derived("drop", share, "%", "drop", leg.id, supply_volts, worst)
    every = (*flows.values(), *links)
    return LegCircuit(leg, runs, load, amps, tuple(bars), worst, drop, every)


def _flow(cable: str, beyond: Port, near: Figure, loop: Figure, load: Figure) -> CableFlow:
    """Send the current that a port draws through a cable."""
    far = feed_through(beyond, float(near.value), float(loop.value))
    # Of the load alone: with the volts too, each would stand twice below every one after it.
    amps = derived("amps", far.amperes, "A", "cable amps", cable, load)
    volts = derived("volts at end", far.volts, "V", "cable volts", cable, near, amps, loop)
    watts = far.amperes**2 * float(loop.value)
    return CableFlow(
        cable, amps, volts, derived("lost", watts, "W", "cable lost", cable, amps, loop)
    )


def _along(chain: _Chain, volts: Figure, load: Figure) -> tuple[list[BarVolts], list[CableFlow]]:
    """Follow the volts forward from the feed end, bar by bar, over the links between them."""
    strip = chain.strip
    rail = given("strip loop", strip.ohms_per_metre, "ohm/m", "part", strip.id)
    per_metre = given("watts per metre", strip.watts_per_metre, "W/m", "part", strip.id)
    how = "volts linear" if strip.kind == "resistor-limited" else "volts regulated"
    loops, ports = chain.loops(), chain.ports()
    found: list[BarVolts] = []
    flows: list[CableFlow] = []
    for row, bar in enumerate(chain.bars):
        if row:
            cable = chain.links[row - 1].cable
            assert cable is not None, "bars are reached over links that have a cable"
            flows.append(_flow(cable.id, ports[row], volts, loops[row - 1], load))
            volts = flows[-1].volts
        line = strip_line(bar, strip)
        last = row == len(chain.bars) - 1
        beyond = OPEN if last else through_resistance(ports[row + 1], float(loops[row].value))
        start = derived("volts at start", volts.value, "V", "same point", bar.id, volts)
        far = end_of_strip(line, beyond, float(volts.value)).volts
        end = derived("volts at end", far, "V", how, bar.id, start, rail, per_metre, bar.lit)
        found.append(BarVolts(bar.id, start, end, holds(line, far)))
        volts = end
    return found, flows


def _budget(
    supply: str, part: SupplyPart | None, legs: Sequence[LegCircuit], allowances: Allowances
) -> SupplyBudget:
    load = _sum("supply load", "W", supply, [leg.watts for leg in legs])
    ids = tuple(leg.leg.id for leg in legs)
    if part is None:
        return SupplyBudget(supply, load, None, None, ids)
    rating = given("rating", part.watts, "W", "part", part.id)
    share = given("supply load", allowances.supply_load, "%", "allowance")
    usable = derived(
        "usable",
        float(part.watts * allowances.supply_load / 100),
        "W",
        "usable",
        supply,
        rating,
        share,
    )
    left = derived(
        "left", float(usable.value) - float(load.value), "W", "left", supply, usable, load
    )
    return SupplyBudget(supply, load, usable, left, ids)

"""Watts, amps and volts of each leg, fed from one end, and what each supply still has to give.

A leg is a tree: the supply's lead comes to the feed end of its first run, further runs branch
off there, and the bars of a run follow each other. It is solved exactly, from the far ends back
to the supply and then forward (see ``circuit.one_port``).
"""

from collections.abc import Mapping, Sequence
from itertools import takewhile
from typing import NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Leg, Run
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cable, Strip, SupplyPart
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
from pelmet.model.plan.fitting import Bar, RunFit
from pelmet.model.plan.routes import Lead, Link, Routes

_MM_PER_METRE = 1000


class BarVolts(NamedTuple):
    """Volts at the two ends of a bar's strip, ``start`` where it is fed."""

    bar: str
    start: Figure
    end: Figure
    above_least: bool


class LegCircuit(NamedTuple):
    """One leg worked out; ``amps``, ``volts`` and ``drop`` are missing when they cannot be."""

    leg: Leg
    runs: tuple[str, ...]
    watts: Figure
    amps: Figure | None
    bars: tuple[BarVolts, ...]
    worst: Figure | None
    drop: Figure | None


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
    passed = list(takewhile(lambda link: link.length is not None, own if forward else own[::-1]))
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
    leads = {lead.run: lead for lead in routes.leads if lead.leg == leg.id}
    supply = next(supply for supply in job.supplies if supply.id == leg.supply)
    source = find_part(parts.supplies, supply.part)
    cable = find_part(parts.cables, leg.cable)
    strips = {run.id: find_part(parts.strips, run.strip) for run in (fit.run for fit in fed)}
    if (
        not fed
        or source is None
        or cable is None
        or any(lead.length is None for lead in leads.values())
        or any(strip is None or strip.volts != source.volts for strip in strips.values())
    ):
        return LegCircuit(leg, runs, load, None, (), None, None)
    core = core_ohms(cable, job.allowances)
    branches = [
        _Branch(fit.run, bars, links, strip, leads[fit.run.id], core)
        for fit, (bars, links) in zip(fed, reached, strict=True)
        if (strip := strips[fit.run.id])
    ]
    return _solved(leg, runs, load, source, branches)


class _Branch(NamedTuple):
    """One run of a leg: its bars in feed order and the cable before each of them."""

    run: Run
    bars: list[Bar]
    links: list[Link]
    strip: Strip
    lead: Lead
    core: Figure

    def cables(self) -> list[Figure]:
        """Loop ohms of the cable before each bar, the lead or branch first."""
        lengths = [self.lead.length, *(link.length for link in self.links)]
        return [loop_ohms(length, self.core) for length in lengths if length is not None]


def loop_ohms(length: Figure, core: Figure) -> Figure:
    """Give the ohms of both cores of a cable of this length."""
    ohms = 2 * float(length.value) / _MM_PER_METRE * float(core.value)
    return derived("loop", ohms, "ohm", "lead ohms", length.about, length, core)


def _solved(
    leg: Leg,
    runs: tuple[str, ...],
    load: Figure,
    source: SupplyPart,
    branches: Sequence[_Branch],
) -> LegCircuit:
    supply_volts = given("supply volts", source.volts, "V", "part", source.id)
    first = branches[0]
    lead = first.cables()[0]
    ports = [_ports(branch) for branch in branches]
    branch_off = [
        through_resistance(port[0], 0.0 if branch is first else float(branch.cables()[0].value))
        for branch, port in zip(branches, ports, strict=True)
    ]
    tee = feed_through(parallel(*branch_off), float(source.volts), float(lead.value))
    bars: list[BarVolts] = []
    for branch, port in zip(branches, ports, strict=True):
        before = [supply_volts, lead, load]
        volts = tee.volts
        if branch is not first:
            before.append(branch.cables()[0])
            volts = feed_through(port[0], volts, float(branch.cables()[0].value)).volts
        bars.extend(_along(branch, port, volts, before))
    amps = derived("leg amps", tee.amperes, "A", "leg amps", leg.id, supply_volts, load, lead)
    worst = min((bar.end for bar in bars), key=lambda end: float(end.value))
    share = 100 * (float(source.volts) - float(worst.value)) / float(source.volts)
    drop = derived("drop", share, "%", "drop", leg.id, supply_volts, worst)
    return LegCircuit(leg, runs, load, amps, tuple(bars), worst, drop)


def _ports(branch: _Branch) -> list[Port]:
    """What the supply sees at the near end of each bar, in feed order."""
    ports: list[Port] = []
    beyond = OPEN
    cables = branch.cables()
    for row in range(len(branch.bars) - 1, -1, -1):
        port = through_strip(beyond, strip_line(branch.bars[row], branch.strip))
        ports.append(port)
        beyond = through_resistance(port, float(cables[row].value))
    return ports[::-1]


def _along(
    branch: _Branch, ports: Sequence[Port], volts: float, before: Sequence[Figure]
) -> list[BarVolts]:
    """Follow the volts forward from the feed end, bar by bar."""
    strip = branch.strip
    rail = given("strip loop", strip.ohms_per_metre, "ohm/m", "part", strip.id)
    per_metre = given("watts per metre", strip.watts_per_metre, "W/m", "part", strip.id)
    how = "volts linear" if strip.kind == "resistor-limited" else "volts regulated"
    cables = branch.cables()
    found: list[BarVolts] = []
    inputs = tuple(before)
    for row, bar in enumerate(branch.bars):
        if row:
            volts = feed_through(ports[row], volts, float(cables[row].value)).volts
            inputs = (found[-1].end, cables[row])
        line = strip_line(bar, strip)
        last = row == len(branch.bars) - 1
        beyond = OPEN if last else through_resistance(ports[row + 1], float(cables[row + 1].value))
        start = derived("volts at start", volts, "V", how, bar.id, *inputs, rail, per_metre)
        volts = end_of_strip(line, beyond, volts).volts
        end = derived("volts at end", volts, "V", how, bar.id, start, rail, per_metre, bar.lit)
        found.append(BarVolts(bar.id, start, end, holds(line, volts)))
    return found


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

"""Figures as people read them, and which of them are about one thing of the job."""

from collections.abc import Iterator
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Final

from pelmet.model.job.job import Site
from pelmet.model.measure.decimals import plain
from pelmet.model.measure.lengths import MILLIMETRES, is_on_tape, print_length
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.figure import Figure, Value
from pelmet.model.plan.measures import celsius_said, kilograms_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.openings import clear_width
from pelmet.model.told.words import wrapped

# Digits after the mark of a value that was worked out; what was said is shown as it was said.
_DECIMALS: Final = {"W": 1, "W/m": 1, "V": 2, "A": 2, "%": 1, "lx": 0, "lm/m": 0}
_SIGNIFICANT: Final = 4
_MM_DECIMALS: Final = 2
_COUNT: Final = "1"


def printed(figure: Figure, site: Site) -> str:
    """Print a figure's value with its unit, lengths in the unit of the job.

    Lengths, and whatever was said rather than worked out, are printed exactly.
    """
    text = bare(figure, site)
    if figure.unit == "kg":
        return kilograms_said(text, site)
    if figure.unit == "degC":
        return celsius_said(text, site, "degC")
    unit = site.length_unit if figure.unit == "mm" else figure.unit
    return text if unit == _COUNT else f"{text} {unit}"


def bare(figure: Figure, site: Site) -> str:
    """Print a figure's value without its unit; on a tape a length is one, however it was typed."""
    if figure.unit == "mm":
        value = millimetres(figure.value)
        return length_text(+value if is_on_tape(value) else value, site, bare=True)
    if isinstance(figure.value, int | Decimal):
        return plain(Decimal(figure.value))
    if figure.unit in _DECIMALS:
        return f"{figure.value:z.{_DECIMALS[figure.unit]}f}"
    return plain(Decimal(f"{figure.value:.{_SIGNIFICANT}g}"))


def or_dash(figure: Figure | None, site: Site) -> str:
    """Print a value without its unit, or a dash if it is not known."""
    return bare(figure, site) if figure else "-"


def length_text(mm: Value, site: Site, *, bare: bool = False) -> str:
    """Print a length [mm] in the unit of the job, without the unit when ``bare``."""
    return print_length(millimetres(mm), site.length_unit, site.inch_parts, bare=bare)


def brief(figure: Figure, site: Site) -> str:
    """Print a value for a narrow column: a length to 0.01 mm, with ``~`` if that is not exact.

    In inches it is as anywhere.
    """
    if figure.unit != "mm" or site.length_unit == "in":
        return bare(figure, site)
    exact = millimetres(figure.value)
    near = round(exact, _MM_DECIMALS)
    about = "" if near == exact else "~"
    return about + print_length(near, site.length_unit, bare=True)


def millimetres(value: Value) -> Decimal:
    """Give a length as a Decimal [mm]; one worked out in floats to 0.01 mm."""
    if isinstance(value, float):
        return Decimal(str(round(value, _MM_DECIMALS)))
    return value if isinstance(value, Decimal) else Decimal(value)


def as_sawn(figure: Figure, site: Site) -> Figure:
    """Give a length as it is told to a saw: never more than planned."""
    return figure._replace(value=to_fraction(figure.value, site))


def as_cable(figure: Figure, site: Site) -> Figure:
    """Give a length as it is told to whoever cuts cable: never less than planned."""
    return figure._replace(value=to_fraction(figure.value, site, ROUND_CEILING))


def to_fraction(mm: Value, site: Site, rounding: str = ROUND_FLOOR) -> Decimal:
    """Give a length [mm] in whole fractions of an inch, down or up, where the job is in inches.

    In any other unit it stays as it is.
    """
    if site.length_unit != "in":
        return millimetres(mm)
    fraction = MILLIMETRES["in"] / site.inch_parts
    return (Decimal(str(mm)) / fraction).to_integral_value(rounding) * fraction


def named(figure: Figure) -> str:
    """Name a figure with the thing it is about: ``volts at end of R3.1``."""
    alone = not figure.about or figure.about == figure.name
    return figure.name if alone else f"{figure.name} of {figure.about}"


def figures_of(plan: Plan, about: str) -> tuple[Figure, ...]:
    """Give the figures about one thing, by its id: anything in the job, a bar, or a part.

    Each figure stands once; an unknown id has none.
    """
    found = (
        *_of_bars(plan, about),
        *_of_cables(plan, about),
        *_of_runs_and_legs(plan, about),
        *_of_holes(plan, about),
        *_of_supply(plan, about),
        *_of_controls(plan, about),
        *_of_light(plan, about),
        *_of_readings(plan, about),
        *_of_survey(plan, about),
        *(need.amount for need in plan.needs if need.part == about),
    )
    return tuple(dict.fromkeys(found))


def figures_text(plan: Plan) -> str:
    """Write every derived figure, its value and its formula: what ``pelmet figures`` prints."""
    site = plan.job.site
    lines: list[str] = []
    for figure in dict.fromkeys(plan.figures()):
        mark = " (assumed)" if figure.assumed else ""
        lines.extend(wrapped(f"{named(figure)}: {printed(figure, site)}{mark}", rest="  "))
        lines.extend(wrapped(figure.formula.says, "    ", "    "))
    return "".join(f"{line}\n" for line in lines)


def _of_bars(plan: Plan, about: str) -> Iterator[Figure]:
    volts = {volts.bar: volts for leg in plan.circuits.legs for volts in leg.bars}
    hung = {mount.bar: mount for mount in plan.mounts}
    bench = {work.bar.id: work for work in plan.bench}
    for fit in plan.fits:
        yield from (
            band.across
            for band in fit.bands
            if about in (fit.run.id, band.left_bar, band.right_bar)
        )
    for bar in plan.bars:
        if about in (bar.id, bar.run):
            yield from bar.figures
            yield plan.circuits.watts[bar.id]
            if bar.id in hung:
                yield from (hung[bar.id].from_wall, hung[bar.id].height)
            if bar.id in bench:
                yield from bench[bar.id].figures
            if bar.id in volts:
                own = volts[bar.id]
                points = (own.left, own.middle, own.right, own.lowest)
                yield from (figure for figure in points if figure)


def _of_cables(plan: Plan, about: str) -> Iterator[Figure]:
    for link in plan.routes.links:
        if link.length and about in (link.run, *link.obstacles):
            yield link.length
    for lead in plan.routes.leads:
        passed = (name for way in lead.ways for name in way.passes)
        if lead.length and about in (lead.leg, lead.run, lead.id, *passed):
            yield lead.length
    for leg in plan.circuits.legs:
        for flow in leg.flows:
            if about in (leg.leg.id, flow.cable):
                yield from (flow.amps, flow.volts, flow.lost)


def _of_runs_and_legs(plan: Plan, about: str) -> Iterator[Figure]:
    for leg in plan.circuits.legs:
        if about in (leg.leg.id, *leg.runs):
            yield from _leg(leg)
        if about == leg.leg.id:
            yield from (figure for bar in leg.bars for figure in (bar.start, bar.end, bar.lowest))
    for guard in plan.protections:
        if about in (guard.leg.id, guard.leg.supply):
            yield from guard.figures
    for light in plan.lights:
        if about in (light.run, light.wall):
            yield light.least


def _of_light(plan: Plan, about: str) -> Iterator[Figure]:
    """Give the light along bars, of a bar or run; of a leg what each of its bars loses."""
    runs = {bar.id: bar.run for bar in plan.bars}
    fed = {bar.bar for leg in plan.circuits.legs if leg.leg.id == about for bar in leg.bars}
    for light in plan.fadings.bars:
        if about in (light.bar, runs[light.bar]):
            yield from light.figures
        elif light.bar in fed:
            yield light.lost
    for seen in plan.sights:
        if about == seen.run:
            yield from seen.figures
    for step in plan.fadings.steps:
        ends = (step.left_bar, step.right_bar)
        if about in (*ends, *(runs[bar] for bar in ends)) or fed.issuperset(ends):
            yield step.step


def _of_readings(plan: Plan, about: str) -> Iterator[Figure]:
    """Give what a meter should read at a supply, a cable, a bar or a run, and for a leg's amps."""
    runs = {bar.id: bar.run for bar in plan.bars}
    cables = {lead.id: lead.leg for lead in plan.routes.leads}
    measured = {*runs, *runs.values(), *cables, *cables.values()}
    if about not in measured and about not in {supply.supply for supply in plan.supplies}:
        return
    for reading in plan.readings():
        own = reading.about
        if about in (own, runs.get(own), cables.get(own)):
            yield from (*reading.cold, *reading.hot)


def _of_holes(plan: Plan, about: str) -> Iterator[Figure]:
    for hole in plan.holes:
        if about in (hole.id, hole.owner):
            yield from (hole.across, hole.out, hole.height, hole.diameter, hole.grommet)


def _leg(leg: LegCircuit) -> Iterator[Figure]:
    yield leg.watts
    yield from (figure for figure in (leg.amps, leg.worst, leg.drop, leg.lost) if figure)


def _of_supply(plan: Plan, about: str) -> Iterator[Figure]:
    for supply in plan.supplies:
        if supply.supply == about:
            yield from supply.figures


def _of_controls(plan: Plan, about: str) -> Iterator[Figure]:
    for own in plan.controls.zones:
        if own.zone.id == about:
            yield from own.figures
    for load in plan.controls.dimmers:
        if about in (load.zone, *load.feeds):
            yield from load.figures


def _of_survey(plan: Plan, about: str) -> Iterator[Figure]:
    for cabinet in plan.job.cabinets:
        if cabinet.id == about:
            yield clear_width(cabinet)
    for bar in plan.bars:
        if about in bar.opening.cabinets or _cut_by(bar, about):
            yield bar.opening.clear
            yield bar.length


def _cut_by(bar: Bar, obstacle: str) -> bool:
    clear = bar.opening.clear
    return any(one.about == obstacle for one in clear.inputs if one.about != clear.about)

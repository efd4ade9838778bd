"""Power: what legs draw, what bars get, what supplies have left, and the volts along each leg."""

from collections.abc import Iterator
from typing import Final

from pelmet.model.job.feeds import Supply
from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.legs import BarVolts, LegCircuit
from pelmet.model.plan.circuit.sizing import thinnest_cable
from pelmet.model.plan.circuit.supplies import SupplyBudget
from pelmet.model.plan.circuit.worst import STATES, state_of
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.charts.volts_chart import draw_volts_chart
from pelmet.model.told.figures import or_dash
from pelmet.model.told.paper import Block, Grid, Picture, Words, points

_LEG_HEAD = ("leg", "supply", "rated W", "A", "lowest V", "at bar", "drop [%]", "W lost", "runs")
_BAR_HEAD = ("bar", "V at start", "V at end", "lowest V", "light lost [%]", "fed by")
_SUPPLY_HEAD = ("supply", "load [W]", "derated [W]", "usable [W]", "left [W]")
_TOO_LOW: Final = "*"
WORST: Final = (
    "Amps, volts and losses are the worst of as planned, just switched on (cold) and after half "
    "an hour at full (hot)."
)
_AS_PLANNED: Final = "Light is as planned."
_LARGE: Final = frozenset({0})
_CHART_COLUMNS, _CHART_ROWS = 60, 10


def power_blocks(plan: Plan) -> Iterator[Block]:
    """Tell every leg, bar and supply in tables; the volts along each leg stand below as a chart."""
    legs = plan.circuits.legs
    if not legs and not plan.supplies:
        yield Words("There is no supply and no leg.")
        return
    if legs:
        rows = tuple(_leg(leg, plan) for leg in legs)
        yield Grid(_LEG_HEAD, rows, frozenset({2, 3, 4, 6, 7}), "legs", _LARGE)
        yield Words(WORST)
        yield Words(_AS_PLANNED)
        yield from points((*_troubles(plan), *_losses(plan), *_sizes(plan)))
    bars = tuple(_bars(plan))
    if bars:
        yield Grid(_BAR_HEAD, bars, frozenset({1, 2, 3, 4}), "bar-volts", _LARGE)
    if plan.supplies:
        rows = tuple(_supply(each, plan) for each in plan.supplies)
        yield Grid(_SUPPLY_HEAD, rows, frozenset({1, 2, 3, 4}), "supplies", _LARGE)
    yield from points(_notes(plan))
    for leg in legs:
        if leg.operating_point:
            drawn = draw_volts_chart(leg, plan.job, _CHART_COLUMNS, _CHART_ROWS)
            state = (state_of(leg.drop) if leg.drop else None) or STATES[0]
            says = f"Volts along {leg.leg.id}, from {leg.leg.supply}, {state}"
            yield Picture(tuple(drawn), says)


def _leg(leg: LegCircuit, plan: Plan) -> tuple[str, ...]:
    site, faded = plan.job.site, any(not bar.above_least for bar in leg.bars)
    return (
        leg.leg.id,
        leg.leg.supply,
        or_dash(leg.watts, site),
        or_dash(leg.amps, site),
        or_dash(leg.worst, site) + (_TOO_LOW if faded else ""),
        leg.worst.about if leg.worst else "-",
        or_dash(leg.drop, site),
        f"{float(leg.lost.value):.2f}" if leg.lost else "-",
        " ".join(leg.runs) or "none",
    )


def _losses(plan: Plan) -> Iterator[str]:
    """Say how much of a leg's watts is lost in which of its cables."""
    for leg in plan.circuits.legs:
        lost = (f"{flow.cable} {float(flow.lost.value):.3f} W" for flow in leg.flows)
        if leg.flows:
            yield f"{leg.leg.id} loses in {', '.join(lost)}"


def _sizes(plan: Plan) -> Iterator[str]:
    """Say the cable of each leg, the thinnest that would do, and what decides it."""
    for leg in plan.circuits.legs:
        choice = thinnest_cable(plan.job, plan.parts, plan.fits, plan.routes, leg)
        if choice is None:
            continue
        fails = next((trial.fails for trial in choice.trials if trial.cable == leg.leg.cable), ())
        words = f"{leg.leg.id} cable {leg.leg.cable}"
        words += f" fails by {' and '.join(fails)}" if fails else ""
        if choice.chosen is None:
            yield f"{words}; none in the catalogue does"
            continue
        yield f"{words}; the thinnest that does: {choice.words}"


def _troubles(plan: Plan) -> Iterator[str]:
    """Say what is odd about a leg, or why it cannot be worked out; once if several share it."""
    legs: dict[str, list[str]] = {}
    for leg in plan.circuits.legs:
        for trouble in leg.troubles:
            legs.setdefault(trouble.says, []).append(leg.leg.id)
    for says, own in legs.items():
        yield f"of {' and '.join(own)}: {says}"


def _bars(plan: Plan) -> Iterator[tuple[str, ...]]:
    site, lights = plan.job.site, {light.bar: light for light in plan.fadings.bars}
    fed: dict[str, tuple[BarVolts, list[str]]] = {}
    for leg in plan.circuits.legs:
        for bar in leg.bars:
            fed.setdefault(bar.bar, (bar, []))[1].append(leg.leg.id)
    for own, (bar, legs) in fed.items():
        yield (
            own,
            or_dash(bar.start, site),
            or_dash(bar.end, site),
            or_dash(bar.lowest, site) + ("" if bar.above_least else _TOO_LOW),
            or_dash(lights[own].lost, site),
            " ".join(legs),
        )


def _supply(budget: SupplyBudget, plan: Plan) -> tuple[str, ...]:
    figures = (budget.load, budget.derated, budget.usable, budget.left)
    return budget.supply, *(or_dash(figure, plan.job.site) for figure in figures)


def _notes(plan: Plan) -> Iterator[str]:
    """Say what the marks mean, where there are any."""
    legs = plan.circuits.legs
    if any(leg.amps is None for leg in legs) or any(one.usable is None for one in plan.supplies):
        yield "- cannot be worked out yet; the findings say what is missing."
    if any(not bar.above_least for leg in legs for bar in leg.bars):
        yield f"{_TOO_LOW} below what the strip needs to light, so these figures do not hold."


def place_of(supply: Supply, job: Job) -> str:
    """Say where a supply sits: ``in cabinet A2, Kitchen``."""
    walls = {cabinet.id: cabinet.wall for cabinet in job.cabinets}
    rooms = {wall.id: wall.room for wall in job.walls}
    names = {room.id: room.name for room in job.rooms}
    place = job.site.words.value(supply.place)
    if supply.cabinet is None:
        return f"{place}, not said where"
    return f"{place} {supply.cabinet}, {names[rooms[walls[supply.cabinet]]]}"

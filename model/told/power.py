"""The power budget: what legs draw, what cables and bars get, what supplies have left."""

from collections.abc import Iterator

from pelmet.model.job.feeds import Supply
from pelmet.model.plan.circuit.legs import BarVolts, CableFlow, LegCircuit
from pelmet.model.plan.circuit.sizing import thinnest
from pelmet.model.plan.circuit.supplies import SupplyBudget
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.told.drawings.charts.volts_chart import draw_volts_chart
from pelmet.model.told.figures import bare
from pelmet.model.told.words import table, wrapped

_LEG_HEAD = ("leg", "supply", "W", "A", "worst V", "at bar", "drop %", "W lost", "runs")
_CABLE_HEAD = ("cable", "A", "V at its end", "W lost", "from and to")
_BAR_HEAD = ("bar", "V at start", "V at end", "lowest V", "light lost %", "fed by")
_SUPPLY_HEAD = ("supply", "part", "load W", "derated", "usable", "left W", "free", "place")
_NONE = "-"
_TOO_LOW = "*"
_CHART_COLUMNS, _CHART_ROWS = 60, 10


def power_table(plan: Plan) -> tuple[str, ...]:
    """Lay out every leg, cable, bar and supply, in lines of at most 78 columns.

    The volts along each leg stand below as a chart.
    """
    circuits = plan.circuits
    if not circuits.legs and not plan.supplies:
        return ("no supply, no leg",)
    lines: list[str] = []
    if circuits.legs:
        rows = [_leg(leg, plan) for leg in circuits.legs]
        lines += [*table(_LEG_HEAD, rows, numbers={2, 3, 4, 6, 7}), *_troubles(plan), ""]
        lines += [*_sizes(plan), ""]
    # A link of a run that two legs feed is of both of them, and so are its bars.
    flows = {flow.cable: flow for leg in circuits.legs for flow in leg.flows}
    if flows:
        labels = {cable.id: cable for cable in plan.routes.cables}
        cables = [_cable(flow, labels[own], plan) for own, flow in flows.items()]
        lines += [*table(_CABLE_HEAD, cables, numbers={1, 2, 3}), ""]
    bars = list(_bars(plan))
    if bars:
        lines += [*table(_BAR_HEAD, bars, numbers={1, 2, 3, 4}), ""]
    if plan.supplies:
        placed = {supply.id: supply for supply in plan.job.supplies}
        rows = [_supply(one, placed[one.supply], plan) for one in plan.supplies]
        lines += [*table(_SUPPLY_HEAD, rows, numbers={2, 3, 4, 5, 6}), ""]
    for leg in circuits.legs:
        if leg.solved:
            drawn = draw_volts_chart(leg, plan.job, _CHART_COLUMNS, _CHART_ROWS)
            lines += [f"volts along {leg.leg.id}, from {leg.leg.supply}", *drawn, ""]
    return (*lines[:-1], *_notes(plan))


def _leg(leg: LegCircuit, plan: Plan) -> tuple[str, ...]:
    faded = any(not bar.above_least for bar in leg.bars)
    return (
        leg.leg.id,
        leg.leg.supply,
        _value(leg.watts, plan),
        _value(leg.amps, plan),
        _value(leg.worst, plan) + (_TOO_LOW if faded else ""),
        leg.worst.about if leg.worst else _NONE,
        _value(leg.drop, plan),
        f"{float(leg.lost.value):.2f}" if leg.lost else _NONE,
        " ".join(leg.runs) or "none",
    )


def _sizes(plan: Plan) -> Iterator[str]:
    """Say the cable of each leg, the thinnest that would do, and what decides it."""
    for leg in plan.circuits.legs:
        sized = thinnest(plan.job, plan.parts, plan.fits, plan.routes, leg)
        if sized is None:
            continue
        fails = next((row.fails for row in sized.rows if row.cable == leg.leg.cable), ())
        words = f"{leg.leg.id} cable {leg.leg.cable}"
        words += f" fails by {' and '.join(fails)}" if fails else ""
        if sized.chosen is None:
            yield from wrapped(f"{words}; none in the catalogue does", rest="  ")
            continue
        by = f", decided by {' and '.join(sized.decided_by)}" if sized.decided_by else ""
        yield from wrapped(f"{words}; the thinnest that does: {sized.chosen}{by}", rest="  ")


def _troubles(plan: Plan) -> Iterator[str]:
    """Say what is odd about a leg, or why it cannot be worked out; once if several share it."""
    legs: dict[str, list[str]] = {}
    for leg in plan.circuits.legs:
        for trouble in leg.troubles:
            legs.setdefault(trouble.says, []).append(leg.leg.id)
    for says, own in legs.items():
        yield from wrapped(f"of {' and '.join(own)}: {says}", rest="  ")


def _cable(flow: CableFlow, cable: Cable, plan: Plan) -> tuple[str, ...]:
    return (
        flow.cable,
        _value(flow.amps, plan),
        _value(flow.volts, plan),
        f"{float(flow.lost.value):.3f}",
        f"{cable.origin} > {cable.end}",
    )


def _bars(plan: Plan) -> Iterator[tuple[str, ...]]:
    lights = {light.bar: light for light in plan.fadings.bars}
    fed: dict[str, tuple[BarVolts, list[str]]] = {}
    for leg in plan.circuits.legs:
        for bar in leg.bars:
            fed.setdefault(bar.bar, (bar, []))[1].append(leg.leg.id)
    for own, (bar, legs) in fed.items():
        yield (
            own,
            _value(bar.start, plan),
            _value(bar.end, plan),
            _value(bar.lowest, plan) + ("" if bar.above_least else _TOO_LOW),
            _value(lights[own].lost, plan),
            " ".join(legs),
        )


def _supply(budget: SupplyBudget, supply: Supply, plan: Plan) -> tuple[str, ...]:
    return (
        budget.supply,
        supply.part,
        _value(budget.load, plan),
        _value(budget.derated, plan),
        _value(budget.usable, plan),
        _value(budget.left, plan),
        _value(budget.terminals_left, plan),
        f"{supply.place} {supply.cabinet or ''}".strip(),
    )


def _notes(plan: Plan) -> tuple[str, ...]:
    """Say what the marks mean, where there are any."""
    circuits = plan.circuits
    notes: list[str] = []
    if any(supply.terminals_left is not None for supply in plan.supplies):
        notes += wrapped("free: terminals of a supply that no leg takes")
    if any(leg.amps is None for leg in circuits.legs) or any(
        supply.usable is None for supply in plan.supplies
    ):
        notes += wrapped(f"{_NONE} cannot be worked out yet; the findings say what is missing")
    if any(not bar.above_least for leg in circuits.legs for bar in leg.bars):
        notes += wrapped(
            f"{_TOO_LOW} below what the strip needs to light, so these figures do not hold"
        )
    return tuple(notes)


def _value(figure: Figure | None, plan: Plan) -> str:
    return bare(figure, plan.job.site) if figure else _NONE

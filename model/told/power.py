"""The power budget as tables: what legs draw, what cables carry, what supplies have left."""

from pelmet.model.job.items import Supply
from pelmet.model.plan.cable import Cable
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.legs import CableFlow, LegCircuit, SupplyBudget
from pelmet.model.plan.stages import Plan
from pelmet.model.told.figures import bare
from pelmet.model.told.words import table, wrapped

_LEG_HEAD = ("leg", "supply", "W", "A", "worst V", "at bar", "drop %", "runs")
_CABLE_HEAD = ("cable", "A", "V at its end", "W lost", "from and to")
_SUPPLY_HEAD = ("supply", "part", "load W", "usable W", "left W", "place")
_NONE = "-"
_TOO_LOW = "*"


def power_table(plan: Plan) -> tuple[str, ...]:
    """Lay out every leg, cable and supply, in lines of at most 78 columns."""
    circuits = plan.worked.circuits
    if not circuits.legs and not circuits.supplies:
        return ("no supply, no leg",)
    lines: list[str] = []
    if circuits.legs:
        rows = [_leg(leg, plan) for leg in circuits.legs]
        lines += [*table(_LEG_HEAD, rows, numbers={2, 3, 4, 6}), ""]
    flows = [flow for leg in circuits.legs for flow in leg.flows]
    if flows:
        labels = {cable.id: cable for cable in plan.worked.routes.cables}
        cables = [_cable(flow, labels[flow.cable], plan) for flow in flows]
        lines += [*table(_CABLE_HEAD, cables, numbers={1, 2, 3}), ""]
    if circuits.supplies:
        placed = {supply.id: supply for supply in plan.worked.job.supplies}
        rows = [_supply(one, placed[one.supply], plan) for one in circuits.supplies]
        lines += [*table(_SUPPLY_HEAD, rows, numbers={2, 3, 4}), ""]
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
        " ".join(leg.runs) or "none",
    )


def _cable(flow: CableFlow, cable: Cable, plan: Plan) -> tuple[str, ...]:
    return (
        flow.cable,
        _value(flow.amps, plan),
        _value(flow.volts, plan),
        f"{float(flow.lost.value):.3f}",
        f"{cable.origin} > {cable.end}",
    )


def _supply(budget: SupplyBudget, supply: Supply, plan: Plan) -> tuple[str, ...]:
    return (
        budget.supply,
        supply.part,
        _value(budget.load, plan),
        _value(budget.usable, plan),
        _value(budget.left, plan),
        f"{supply.place} {supply.cabinet or ''}".strip(),
    )


def _notes(plan: Plan) -> tuple[str, ...]:
    """Say what the marks mean, where there are any."""
    circuits = plan.worked.circuits
    notes: list[str] = []
    if any(leg.amps is None for leg in circuits.legs) or any(
        supply.usable is None for supply in circuits.supplies
    ):
        notes += wrapped(f"{_NONE} cannot be worked out yet; the findings say what is missing")
    if any(not bar.above_least for leg in circuits.legs for bar in leg.bars):
        notes += wrapped(
            f"{_TOO_LOW} below what the strip needs to light, so these figures do not hold"
        )
    return tuple(notes)


def _value(figure: Figure | None, plan: Plan) -> str:
    return bare(figure, plan.worked.job.site) if figure else _NONE

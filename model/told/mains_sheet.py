"""The mains side of every supply, for the licensed person: what is there, what to provide."""

from collections.abc import Iterator
from itertools import groupby
from typing import Final

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Supply, SupplyPlace
from pelmet.model.job.job import Job
from pelmet.model.job.rule_tables import Colour, breakers, colours
from pelmet.model.job.rules import Region
from pelmet.model.measure.decimals import plain
from pelmet.model.plan.circuit.controls import ZoneControl
from pelmet.model.plan.circuit.mains import Mains, breaker_counts
from pelmet.model.plan.circuit.supplies import SupplyBudget
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.result import Plan
from pelmet.model.plan.rules import rule_source
from pelmet.model.told.figures import printed
from pelmet.model.told.words import labelled, wrapped

_INDENT: Final = 13
ASK: Final = "ask"
DEFAULT: Final = " (default)"
DEFAULTS: Final = "(default): the supply's part does not say; its own sheet wins."
LICENSED: Final = "All of it is the work of a licensed person, by the local code."
_OUTLETS: Final[dict[Region, tuple[str, str]]] = {  # for a plug, and for fixed wiring
    "eu": ("a socket outlet", "a junction box"),
    "uk": ("a socket outlet", "a fused connection unit"),
    "us": ("a receptacle", "a junction box"),
}
_AT: Final[dict[SupplyPlace, str]] = {
    "in cabinet": "inside {}", "on top of cabinet": "on top of {}", "in plinth": "in the plinth "
    "below {}", "walled in": "beside {}", "elsewhere": "where {} sits",
}  # fmt: skip


def mains_sheet(plan: Plan) -> tuple[str, ...]:
    """Tell every supply's mains side, and the conductors' colours, in at most 78 columns."""
    if not plan.job.supplies:
        return ("no supply, so no mains work",)
    lines = list(wrapped(LICENSED))
    for supply, budget in zip(plan.job.supplies, plan.supplies, strict=True):
        lines += [
            "",
            *wrapped(f"{supply.id} {supply.part}: {place_of(supply, plan.job)}", "", "  "),
        ]
        for label, text in mains_rows(supply, budget, plan):
            lines += labelled(f"  {label}", text, _INDENT)
    if any(DEFAULT in line for line in lines):
        lines += ["", *wrapped(DEFAULTS)]
    return (*lines, "", *_colours(plan.job.site.region))


def place_of(supply: Supply, job: Job) -> str:
    """Say where a supply sits: ``in cabinet A2, Kitchen``."""
    walls = {cabinet.id: cabinet.wall for cabinet in job.cabinets}
    rooms = {wall.id: wall.room for wall in job.walls}
    names = {room.id: room.name for room in job.rooms}
    if supply.cabinet is None:
        return f"{supply.place}, not said where"
    return f"{supply.place} {supply.cabinet}, {names[rooms[walls[supply.cabinet]]]}"


def mains_rows(supply: Supply, budget: SupplyBudget, plan: Plan) -> Iterator[tuple[str, str]]:
    """Give what is asked and told of a supply's mains side, each with its label or none."""
    for label, answer in (
        ("connected", supply.connection),
        ("circuit", supply.circuit),
        ("breaker", supply.breaker),
        ("protection", supply.protection),
        ("isolator", supply.isolator),
    ):
        yield label, ASK if answer in ("", "not known") else answer
    if supply.dimmer:
        yield "dimmer", f"{supply.dimmer}, on the mains side"
    if budget.mains:
        yield from _figures(supply, budget.mains, plan)
    else:
        yield "takes", "not known: its part is not in the catalogue"
    yield "provide", _outlet(supply, plan.job.site.region)
    yield "", _switching(supply, plan)
    yield "", f"an isolator that can be reached with {supply.cabinet or 'everything'} in place"


def _figures(supply: Supply, mains: Mains, plan: Plan) -> Iterator[tuple[str, str]]:
    site, allowances = plan.job.site, plan.job.allowances
    taken, amps, volts = (printed(one, site) for one in (mains.input, mains.amps, mains.volts))
    efficiency, factor = (_marked(one, plan) for one in (mains.efficiency, mains.power_factor))
    how = f"efficiency {efficiency}, power factor {factor}"
    yield "takes", f"{taken}, {amps} at {volts}, all of it lit; {how}"
    yield "inrush", f"{_inrush(mains, plan)}{_count(supply, mains)}"
    counts = _on_each(supply, mains, plan)
    if counts:
        yield "breakers", f"so many on one: {counts}"
    yield "standby", f"{_marked(mains.standby, plan)}, nothing lit"
    money = f", {mains.cost.value:.2f} in the money of the job" if mains.cost else ""
    lit = f"{plain(allowances.hours_a_day)} h a day, {plain(allowances.days_a_year)} days"
    yield "a year", f"{printed(mains.energy, site)}{money}, at {lit}"


def _marked(figure: Figure, plan: Plan) -> str:
    """Print a figure, with a mark if it is a default and not the part's own."""
    mark = "" if figure.formula_id == "part" else DEFAULT
    return f"{printed(figure, plan.job.site)}{mark}"


def _inrush(mains: Mains, plan: Plan) -> str:
    if mains.inrush is None:
        return "not known, ask its maker"
    return f"{printed(mains.inrush, plan.job.site)} when switched on"


def _count(supply: Supply, mains: Mains) -> str:
    if supply.breaker == "not known":
        return ""
    if mains.on_breaker is None:
        return f"; how many go on a {supply.breaker} is not known"
    alone = "" if mains.by_inrush else " alone"
    return f"; {mains.on_breaker.value} such on a {supply.breaker}, by {mains.decided_by}{alone}"


def _on_each(supply: Supply, mains: Mains, plan: Plan) -> str:
    """Say how many go on each breaker of the region, where inrush is known for it."""
    job = plan.job
    part = find_part(plan.parts.supplies, supply.part)
    assert part is not None, "a supply without a part has no mains side"
    own = (row.breaker for row in breakers() if job.site.region in row.regions)
    counted = ((each, breaker_counts(job, part, mains.amps, each)) for each in own)
    return ", ".join(
        f"{breaker} {counts.fewest.value}"
        for breaker, counts in counted
        if counts.by_inrush and counts.fewest
    )


def _outlet(supply: Supply, region: Region) -> str:
    """Say what the licensed person brings to where a supply sits."""
    plugged, wired = _OUTLETS[region]
    what = {
        "plug": plugged,
        "hard-wired": wired,
        "not known": f"{plugged} or {wired}, settle which",
    }
    at = _AT["elsewhere" if supply.cabinet is None else supply.place]
    return f"{what[supply.connection]}, in reach: {at.format(supply.cabinet or supply.id)}"


def _switching(supply: Supply, plan: Plan) -> str:
    """Say with what the outlet is switched: by the zones that hang on the supply."""
    zones = [each for each in plan.controls.zones if supply.id in each.supplies]
    mains = [each for each in zones if each.switch and each.switch.side == "mains"]
    if mains:
        return f"switched with {', '.join(_zone(each) for each in mains)}"
    if zones and all(each.switch for each in zones):
        return "always live: its light is switched on the low-voltage side"
    return "switched or always live: ask, what switches its light is not said"


def _zone(control: ZoneControl) -> str:
    assert control.switch is not None
    return f"zone {control.zone.name} by {control.switch.id}"


def _colours(region: Region) -> Iterator[str]:
    """Tell the conductors' colours of a region, each with its source."""

    def from_where(row: Colour) -> tuple[str, str, str]:
        return row.circuit, rule_source(row).title, row.note

    for (circuit, source, note), rows in groupby(colours(region), key=from_where):
        every = ", ".join(
            f"{row.conductor} {row.colour}{f' ({row.screw} screw)' if row.screw else ''}"
            for row in rows
        )
        yield from wrapped(
            f"Conductors, {circuit}: {every}{f'; {note}' if note else ''}. From {source}.",
            rest="  ",
        )

"""The mains sheet: what the licensed electrician has to know, provide and settle."""

from collections.abc import Iterator
from typing import Final

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Supply, SupplyPlace
from pelmet.model.job.region_words import RegionWords
from pelmet.model.job.rule_tables import breakers, colours
from pelmet.model.measure.decimals import plain
from pelmet.model.plan.circuit.controls import ZoneControl
from pelmet.model.plan.circuit.mains import Mains, breaker_counts
from pelmet.model.plan.circuit.sources import label_words
from pelmet.model.plan.circuit.supplies import SupplyBudget
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.result import Plan
from pelmet.model.plan.rules import rule_source
from pelmet.model.told.blocks.power import place_of
from pelmet.model.told.blocks.rules import override_block
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.figures import printed
from pelmet.model.told.paper import Blanks, Block, Grid, Heading, Points, Words, points

_HEAD: Final = ("supply", "what", "answer")
_COLOUR_HEAD: Final = ("circuit", "conductor", "{colour}", "lead of a supply", "screw", "from")
_LEADS: Final = (
    "Which lead of a supply goes under which screw is common practice; the marks L, N and {earth} "
    "decide, old wiring may be coloured otherwise, and the licensed person connects it."
)
_TO_FILL: Final = "________________"
_DEFAULT: Final = " (default)"
DEFAULTS: Final = "(default): the supply's part does not say; its own sheet wins."
_AT: Final[dict[SupplyPlace, str]] = {
    "in cabinet": "inside {at}",
    "on top of cabinet": "on top of {at}",
    "in plinth": "in the {plinth} below {at}",
    "walled in": "beside {at}",
    "elsewhere": "where {at} sits",
}


def mains_paper(plan: Plan) -> tuple[Block, ...]:
    """Tell the mains side of every supply, the colours of the region, and what is asked."""
    job = plan.job
    if not job.supplies:
        return tuple(mains_blocks(plan))
    return (
        *cautions_on(plan, "mains"),
        Heading("Supplies"),
        *mains_blocks(plan),
        Heading("To settle"),
        Points(tuple(_questions(plan)) or ("Nothing is asked.",)),
        Heading("Rules put aside or given another limit"),
        override_block(job),
        Blanks(
            (
                "Electrician",
                job.site.words.said("{Licence} or registration no."),
                "Date",
                "Certificate no.",
            )
        ),
        *(Blanks((f"Serial number of {supply.id}",)) for supply in job.supplies),
    )


def mains_blocks(plan: Plan) -> Iterator[Block]:
    """Tell the mains side of every supply, and the colours of the region's conductors."""
    job = plan.job
    if not job.supplies:
        yield Words(job.site.words.said("There is no supply, so there is no {of_mains} work."))
        return
    rows = tuple(
        (supply.id, label, text)
        for supply, budget in zip(job.supplies, plan.supplies, strict=True)
        for label, text in mains_rows(supply, budget, plan)
    )
    yield Grid(_HEAD, rows, name="mains", large=frozenset({0}))
    if any(_DEFAULT in text for *_, text in rows):
        yield Words(DEFAULTS)
    words = job.site.words
    conductors = colours(job.site.region)
    yield Heading(words.said("{Colour}s of conductors"))
    yield Grid(
        tuple(map(words.said, _COLOUR_HEAD)),
        tuple(
            (
                words.value(row.circuit),
                words.value(row.conductor),
                row.colour,
                row.lead or "-",
                row.screw or "-",
                rule_source(row).title,
            )
            for row in conductors
        ),
    )
    yield Words(words.said(_LEADS))
    yield from points(
        dict.fromkeys(
            f"{words.value(row.circuit).capitalize()}: {words.said(row.note)}."
            for row in conductors
            if row.note
        )
    )


def mains_rows(supply: Supply, budget: SupplyBudget, plan: Plan) -> Iterator[tuple[str, str]]:
    """Give what is asked and told of a supply's mains side, each with its label or none."""
    words = plan.job.site.words
    yield "part", f"{supply.part}, {place_of(supply, plan.job)}"
    for label, answer in (
        ("connected", supply.connection),
        ("circuit", supply.circuit),
        ("breaker", supply.breaker),
        ("protection", supply.protection),
        (words.isolator, supply.isolator),
    ):
        yield label, _TO_FILL if answer in ("", "not known") else answer
    part = find_part(plan.parts.supplies, supply.part)
    if part:
        yield "output", f"{label_words(part)}, by its label"
    if supply.dimmer:
        yield "dimmer", f"{supply.dimmer}, on the {words.of_mains} side"
    if budget.mains:
        yield from _figures(supply, budget.mains, plan)
    else:
        yield "takes", "not known: its part is not in the catalogue"
    yield "provide", _outlet(supply, words)
    yield "", _switching(supply, plan)
    yield (
        "",
        f"{words.an_isolator} that can be reached with {supply.cabinet or 'everything'} in place",
    )


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
    mark = "" if figure.formula_id == "part" else _DEFAULT
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


def _outlet(supply: Supply, words: RegionWords) -> str:
    """Say what the licensed person brings to where a supply sits."""
    plugged, wired = words.plugged, words.wired
    what = {
        "plug": plugged,
        "hard-wired": wired,
        "not known": f"{plugged} or {wired}, settle which",
    }
    at = _AT["elsewhere" if supply.cabinet is None else supply.place]
    return f"{what[supply.connection]}, in reach: {words.said(at, at=supply.cabinet or supply.id)}"


def _switching(supply: Supply, plan: Plan) -> str:
    """Say with what the outlet is switched: by the zones that hang on the supply."""
    live = plan.job.site.words.live
    zones = [each for each in plan.controls.zones if supply.id in each.supplies]
    mains = [each for each in zones if each.switch and each.switch.side == "mains"]
    if mains:
        return f"switched with {', '.join(_zone(each) for each in mains)}"
    if zones and all(each.switch for each in zones):
        return f"always {live}: its light is switched on the low-voltage side"
    return f"switched or always {live}: ask, what switches its light is not said"


def _zone(control: ZoneControl) -> str:
    assert control.switch is not None
    return f"zone {control.zone.name} by {control.switch.id}"


def _questions(plan: Plan) -> Iterator[str]:
    """Give what is asked of the licensed person, and what stops on the mains side."""
    for finding in plan.findings:
        asked = finding.level == "ask" and finding.kind in ("supply", "leg", "zone")
        if asked or (finding.level == "stop" and finding.kind in ("supply", "zone")):
            yield f"{finding.says} ({finding.remedy})"

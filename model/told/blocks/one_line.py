"""The one-line diagram: from the mains over supplies, terminals and cables to every bar, as a tree.

All conductors of a cable are drawn as one line. Where cables part, all but the one with most
behind it go off to the right, so that a chain stays in one column, however long it is.
"""

from collections.abc import Iterator, Mapping
from typing import Final, NamedTuple

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Leg, Supply
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.feed_points import FeedPoint
from pelmet.model.plan.circuit.legs import BarVolts
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.told.blocks.bars import end_names
from pelmet.model.told.blocks.wires import WHITES, Wires, block_words, marks_of, wires_of
from pelmet.model.told.figures import as_cable, printed
from pelmet.model.told.words import wrapped

MAINS, CABLE, TEE, FEED, BAR, UNFED, BLOCK = "~", "|", "o", "@", "*", "x", "#"
KEY: Final = (
    f"{MAINS} {{of_mains}} side, by the electrician; --1-- terminal; {BLOCK} block at a terminal, "
    f"for several cables; {CABLE} cable; {TEE} joint of more than two; {FEED} feed; {BAR} bar, its "
    f"rated watts and the volts at its far end; {UNFED} fed by nothing."
)
MOST_COLUMNS: Final = 110
_COLUMNS: Final = 78  # those of a page of plain text: wider only where a branch starts far out
_WORDS: Final = 40
_BY: Final = "by the electrician"
_ELSEWHERE: Final = "not known as one for this side"


class _Tree:
    """What hangs on what: each thing with its mark and words, put in after what it hangs on."""

    def __init__(self) -> None:
        self._words: list[tuple[str, str]] = []
        self._below: list[list[int]] = []

    def add(self, above: int | None, mark: str, text: str) -> int:
        """Hang a thing on another one, or on nothing, and give its number."""
        if above is not None:
            self._below[above].append(len(self._words))
        self._words.append((mark, text))
        self._below.append([])
        return len(self._words) - 1

    def rows(self, first: str, rest: str) -> Iterator[str]:
        """Draw it from its first thing on: that after ``first``, the others after ``rest``."""
        size = [1] * len(self._words)
        for own in reversed(range(len(size))):
            size[own] += sum(size[each] for each in self._below[own])
        waiting = [(0, first, rest)]
        while waiting:
            own, first, rest = waiting.pop()
            below, (mark, text) = self._below[own], self._words[own]
            further = f"{rest}{'|' if below else ' '}   "
            width = min(max(_COLUMNS, len(further) + _WORDS), MOST_COLUMNS)
            yield from wrapped(f"{mark} {text}", first, further, width)
            if below:
                trunk = max(reversed(below), key=lambda each: size[each])
                waiting.append((trunk, rest, rest))
                waiting += [
                    (each, f"{rest}+--- ", f"{rest}|    ")
                    for each in reversed(below)
                    if each != trunk
                ]


class _Site(NamedTuple):
    """What is drawn, and in ``drawn`` the leg at which each bar that was met is drawn."""

    plan: Plan
    wires: Wires
    bars: Mapping[str, Bar]
    volts: Mapping[str, BarVolts]
    links: Mapping[str, list[tuple[Cable, str]]]
    drawn: dict[str, str]

    def print(self, figure: Figure) -> str:
        """Print a figure, marked if it is assumed."""
        return printed(figure, self.plan.job.site) + (" assumed" if figure.assumed else "")


def draw_one_line(plan: Plan) -> tuple[str, ...]:
    """Draw every supply with all that hangs on it, then what nothing feeds.

    Rows of plain ASCII, at most `MOST_COLUMNS` wide; no rows for a job with nothing in it.
    """
    links: dict[str, list[tuple[Cable, str]]] = {}
    for link in plan.routes.links:
        if link.cable:
            links.setdefault(link.from_bar, []).append((link.cable, link.to_bar))
            links.setdefault(link.to_bar, []).append((link.cable, link.from_bar))
    site = _Site(
        plan,
        wires_of(plan),
        {bar.id: bar for bar in plan.bars},
        {own.bar: own for leg in plan.circuits.legs for own in leg.bars},
        links,
        {},
    )
    rows: list[str] = []
    for supply in plan.job.supplies:
        rows += [*([""] if rows else []), *_supply(supply, site)]
    unfed = [bar for bar in plan.bars if bar.id not in site.drawn]
    if unfed and rows:
        rows.append("")
    for bar in unfed:
        watts = site.print(plan.circuits.watts[bar.id])
        rows += wrapped(f"{UNFED} {bar.id} {watts}, fed by nothing", rest="    ")
    return tuple(rows)


def _supply(supply: Supply, site: _Site) -> Iterator[str]:
    part = find_part(site.plan.parts.supplies, supply.part)
    budget = next(one for one in site.plan.supplies if one.supply == supply.id)
    for text in (site.plan.job.site.words.mains, *_mains(supply, site)):
        yield from wrapped(f"{MAINS} {text}, {_BY}", rest="    ")
    known = f"{part.volts:f} V, {part.watts:f} W" if part else "not in the catalogue"
    out = f"; gives at most {site.print(budget.amps)}" if budget.amps else ""
    yield from wrapped(f"{supply.id} {supply.part}: {known}{out}", rest="|   ")
    legs = [leg for leg in site.plan.job.legs if leg.supply == supply.id]
    starts = site.wires.starts[supply.id]
    taken = len(starts.cables)
    terminals = part.terminals if part else taken
    if starts.block:
        yield from wrapped(f"{BLOCK} {block_words(starts.block)}", rest="|   ")
    for leg in legs:
        last = leg is legs[-1] and taken >= terminals
        own = dict.fromkeys(
            f"{each.terminal}{BLOCK * (each.way is not None)}" for each in starts.of_leg(leg.id)
        )
        first = f"+--{' '.join(own)}-- "
        yield "|"
        rest = f"{' ' if last else '|':<{len(first)}}"
        yield from _leg(leg, site).rows(first, rest)
    if terminals > taken:
        free = f"{taken + 1} to {terminals}" if terminals > taken + 1 else f"{terminals}"
        yield from ("|", f"+--{free}-- free")


def _mains(supply: Supply, site: _Site) -> Iterator[str]:
    """Say what is before a supply: switches of its zones, and its dimmer."""
    for zone in site.plan.controls.zones:
        if zone.switch and zone.switch.side == "mains" and supply.id in zone.supplies:
            yield f"switch {zone.switch.id} of zone {zone.zone.id}"
    if supply.dimmer:
        found = " and ".join(_dimmers(supply.id, site))
        yield found or f"dimmer {supply.dimmer}, {_ELSEWHERE}"


def _dimmers(feeds: str, site: _Site) -> Iterator[str]:
    """Name the dimmers that feed a leg or a supply, by the numbers of the control list."""
    for number, load in enumerate(site.plan.controls.dimmers, 1):
        own = [str(at) for at, each in enumerate(load.channels, 1) if each.feeds == feeds]
        if own:
            which = f", channel{'s' * (len(own) > 1)} {' and '.join(own)}"
            which = which if load.part.channels > 1 else ""
            yield f"dimmer {number} ({load.part.id}{which})"


def _leg(leg: Leg, site: _Site) -> _Tree:
    tree = _Tree()
    leads = site.plan.routes.leads_of(leg.id)
    said = (*_in_leg(leg, site), "" if leads else "feeds nothing")
    what = ", ".join(text for text in said if text)
    root = tree.add(None, f"{leg.id}:" if what else leg.id, what)
    going_on = {lead.before for lead in leads}
    ends: dict[str, int] = {}
    for lead in leads:
        end = tree.add(ends.get(lead.before or "", root), CABLE, _cable(lead, site))
        if lead.id in going_on or lead.feed is None:
            at = f"joint at {lead.end}" if lead.feed else lead.end
            end = tree.add(end, TEE, at)
        ends[lead.id] = end
        if lead.feed:
            _run(tree, end, lead.feed, leg, site)
    return tree


def _in_leg(leg: Leg, site: _Site) -> Iterator[str]:
    """Say what is in a leg between its terminal and its cables."""
    for own in site.plan.controls.zones:
        if own.zone.id == leg.zone:
            yield f"zone {leg.zone}"
            if own.zone.switch and not own.switch:
                yield f"switch {own.zone.switch}, not in the catalogue"
            elif own.switch and own.switch.side == "low voltage":
                yield f"switch {own.switch.id}"
    if leg.fuse:
        yield f"fuse {leg.fuse:f} A"
    if leg.dimmer:
        found = " and ".join(_dimmers(leg.id, site))
        yield found or f"dimmer {leg.dimmer}, {_ELSEWHERE}"


def _cable(cable: Cable, site: _Site) -> str:
    part = site.wires.part(cable)
    marks = marks_of(part)
    cores = f" ({', '.join(marks)})" if marks == WHITES else ""
    name = site.wires.legs[cable.leg].cable if cable.leg else "part not chosen"
    cut = as_cable(cable.length, site.plan.job.site) if cable.length else None
    length = site.print(cut) if cut else "length unknown"
    amps = site.wires.amps.get(cable.id)
    return f"{cable.id} {name}{cores}, {length}, {site.print(amps) if amps else '? A'}"


def _run(tree: _Tree, above: int, point: FeedPoint, leg: Leg, site: _Site) -> None:
    """Hang on a feed point the bars it reaches; those that were met before are only named."""
    after = f", after unit {point.units} of {point.bar}" if point.units else ""
    above = tree.add(above, FEED, f"{point.name}{after}")
    if point.bar in site.drawn:
        first = site.wires.legs[site.drawn[point.bar]]
        by = "" if first.supply == leg.supply else f", by {first.supply} too"
        tree.add(above, BAR, f"{point.bar}, drawn at {first.id}: fed from both ends{by}")
        return
    site.drawn[point.bar] = leg.id
    waiting = [(tree.add(above, BAR, _bar(point.bar, site)), point.bar)]
    while waiting:
        above, bar = waiting.pop()
        for cable, other in site.links.get(bar, ()):
            if other not in site.drawn:
                site.drawn[other] = leg.id
                end = tree.add(above, CABLE, _cable(cable, site))
                waiting.append((tree.add(end, BAR, _bar(other, site)), other))


def _bar(item_id: str, site: _Site) -> str:
    watts = site.print(site.plan.circuits.watts[item_id])
    volts = site.volts.get(item_id)
    if volts is None:
        return f"{item_id} {watts}, ? V"
    near, far = end_names(site.bars[item_id])
    side = "the worse of its ends"
    if volts.middle is None:
        side = f"its {far if volts.end is volts.right else near} end"
    low = "" if volts.above_least else ", too low for its strip"
    return f"{item_id} {watts}, {site.print(volts.end)} at {side}{low}"

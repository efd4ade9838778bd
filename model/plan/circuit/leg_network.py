"""A job's legs as DC networks: which node each cable, joint and strip is between, and its ohms."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Final, Literal, NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Leg
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cable as CablePart
from pelmet.model.job.parts import Strip as StripPart
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.feed_points import FeedPoint, feed_points_of
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.dc.copper import (
    ConductorClass,
    at_temperature,
    awg_ohms_per_metre,
    ohms_per_metre,
)
from pelmet.model.plan.circuit.dc.elements import Network, Source, Strip, Wire
from pelmet.model.plan.circuit.dc.law import (
    StripLaw,
    constant_power_law,
    current_regulated_law,
    resistor_limited_law,
    warmed,
)
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.routes import Link, Routes

MM_PER_METRE: Final = 1000
_RATED_CELSIUS: Final = 25.0  # LEDs are rated at 25 C, as data sheets have it: common practice
_LED_VOLTS: Final = 3.0  # a white LED, about: how many are in series when nobody says; from memory
# A regulated strip whose LED volts nobody gave: what they are of its drop-out, from memory.
_LED_SHARE: Final = 0.75
_MILLI: Final = 1000
# How a core is made: a class of IEC 60228 of metric sizes, solid or stranded of gauges.
ConductorKind = ConductorClass | Literal["solid", "stranded"]


class Conditions(NamedTuple):
    """How warm a job is when it is solved, and cables it is tried with.

    ``copper`` and ``strip`` are in degrees Celsius; no ``strip`` means as its data sheet rates it.
    ``cables`` stand in place of those chosen, by leg.
    """

    copper: float
    strip: float | None = None
    cables: Mapping[str, CablePart] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class LegNetwork:
    """Legs that are joined to each other, as one network.

    Wires are called after their cables, strips after their bars; of a bar that is fed in its
    middle there are two, ``BAR to left`` and ``BAR to right``; where a run's own lead leaves a tee
    there is ``CABLE joint``. ``elements`` is the network itself, ``loops`` has the ohms of each
    wire, ``strips`` the part each bar's strip is.
    """

    legs: tuple[Leg, ...]
    runs: tuple[str, ...]
    elements: Network
    loops: Mapping[str, Figure]
    bars: Mapping[str, Bar] = field(compare=False)  # they are told apart by identity
    strips: Mapping[str, StripPart]
    middles: frozenset[str]


def as_planned(allowances: Allowances) -> Conditions:
    """Give the conditions that a job is planned under."""
    return Conditions(float(allowances.conductor_temperature))


def just_on(allowances: Allowances) -> Conditions:
    """Give the conditions just after switching on: copper and strip as they were fitted."""
    celsius = float(allowances.fitting_celsius)
    return Conditions(celsius, celsius)


def when_hot(allowances: Allowances) -> Conditions:
    """Give the conditions after half an hour at full."""
    return Conditions(float(allowances.hot_conductor), float(allowances.hot_strip))


def leg_groups(job: Job) -> Iterator[tuple[Leg, ...]]:
    """Give the legs of a job, those together that feed one run from its two ends."""
    of: dict[str, list[str]] = {leg.id: [leg.id] for leg in job.legs}
    for run in job.runs:
        if run.feed_end == "both" and run.leg and run.far_leg and run.leg != run.far_leg:
            one, other = of[run.leg], of[run.far_leg]
            if one is not other:
                one += other
                of.update(dict.fromkeys(other, one))
    legs = {leg.id: leg for leg in job.legs}
    for names in {id(names): names for names in of.values()}.values():
        yield tuple(legs[name] for name in names)


class Reach(NamedTuple):
    """The bars of a run that its feed points reach, and the links they are reached over."""

    bars: tuple[Bar, ...]
    links: tuple[Link, ...]


def feed_reach(fit: RunFit, routes: Routes) -> Reach:
    """Follow a run's links from its feed points as far as they go; both are left to right."""
    own = {(link.from_bar, link.to_bar): link for link in routes.links_of(fit.run.id)}
    fed = {point.bar for point in feed_points_of(fit)}
    on: list[int] = [row for row, bar in enumerate(fit.bars) if bar.id in fed]
    joined: dict[int, Link] = {}
    for step in (1, -1):
        for start in tuple(on):
            row = start
            while 0 <= row + step < len(fit.bars):
                left = min(row, row + step)
                link = own.get((fit.bars[left].id, fit.bars[left + 1].id))
                if link is None or link.cable is None:
                    break
                joined[left] = link
                row += step
                on.append(row)
    return Reach(
        tuple(fit.bars[row] for row in sorted(set(on))),
        tuple(joined[row] for row in sorted(joined)),
    )


def law_of(strip: StripPart, allowances: Allowances, celsius: float | None = None) -> StripLaw:
    """Describe what a metre of a strip draws at a voltage; warm LEDs need less [degrees C]."""
    watts, volts = float(strip.watts_per_metre), float(strip.volts)
    least = float(strip.dropout_volts or 0)
    if strip.kind == "constant power":
        return constant_power_law(watts, volts, least)
    if strip.kind == "current-regulated":
        leds = float(strip.led_volts) if strip.led_volts else least * _LED_SHARE
        law = current_regulated_law(watts, volts, least, leds)
    else:
        leds = float(strip.led_volts or 0)
        law = resistor_limited_law(watts, volts, leds)
    if celsius is None:
        return law
    count = strip.leds_in_series or max(round(leds / _LED_VOLTS), 1)
    per_kelvin = float(allowances.led_millivolts_per_kelvin) / _MILLI
    return warmed(law, count * per_kelvin * (celsius - _RATED_CELSIUS))


def core_ohms(cable: CablePart, celsius: float) -> Figure:
    """Give the ohms per metre of one core of a cable at the copper's temperature [degrees C]."""
    warm = given("conductor at", celsius, "degC", "allowance")
    kind: ConductorKind
    if cable.awg is not None:
        size = given("AWG gauge", cable.awg, "1", "part", cable.id)
        kind = "solid" if cable.solid else "stranded"
    else:
        size = given("cross-section", cable.mm2 or 0, "mm2", "part", cable.id)
        kind = cable.conductor_class or 5
    return derived("one core", "ohm/m", core_at, cable.id, size, warm, kind=kind)


@works_out("copper")
def core_at(size: float, celsius: float, *, kind: ConductorKind) -> float:
    """Give the ohms per metre of one core at a temperature [degrees C].

    ``size`` is in mm2, of a class of conductor; of solid or stranded wire it is its gauge.
    """
    if kind == "solid" or kind == "stranded":
        cold = awg_ohms_per_metre(int(size), stranded=kind == "stranded")
    else:
        cold = ohms_per_metre(size, kind)
    return at_temperature(cold, celsius)


def build_network(
    job: Job,
    parts: Catalogue,
    fits: Sequence[RunFit],
    routes: Routes,
    legs: tuple[Leg, ...],
    conditions: Conditions,
) -> LegNetwork | None:
    """Make the network of legs that are joined; nothing if a part or a length is not known."""
    names = {leg.id for leg in legs}
    own = [
        (fit, points)
        for fit in fits
        if (points := [point for point in feed_points_of(fit) if point.leg in names])
    ]
    sources = _sources(job, parts, legs)
    cables = {
        leg.id: conditions.cables.get(leg.id) or find_part(parts.cables, leg.cable) for leg in legs
    }
    strips = {fit.run.id: find_part(parts.strips, fit.run.strip) for fit, _ in own}
    leads = [lead for leg in legs for lead in routes.leads_of(leg.id)]
    if (
        not own
        or not sources
        or any(lead.length is None for lead in leads)
        or any(cable is None for cable in cables.values())
        or any(strip is None for strip in strips.values())
        or {float(strip.volts) for strip in strips.values() if strip}
        != {source.volts for source in sources}
    ):
        return None
    cores = {leg: core_ohms(cable, conditions.copper) for leg, cable in cables.items() if cable}
    draft = _Draft(
        allowances=job.allowances,
        conditions=conditions,
        cores=cores,
        contacts=_contacts(parts),
        loops={},
        wires=[],
        lines=[],
        bars={},
        strips={},
    )
    supply_of = {leg.id: leg.supply for leg in legs}
    channels = max(strip.channels for strip in strips.values() if strip)
    for lead in leads:
        _lead(draft, lead, leads, supply_of, channels)
    for fit, points in own:
        strip = strips[fit.run.id]
        assert strip is not None
        _run(draft, fit, points, strip, routes)
    return LegNetwork(
        legs,
        tuple(fit.run.id for fit, _ in own),
        Network(sources, tuple(draft.wires), tuple(draft.lines)),
        draft.loops,
        draft.bars,
        draft.strips,
        frozenset(p.bar for _, points in own for p in points if p.at == "middle"),
    )


class _Contacts(NamedTuple):
    """Milliohms across one contact of a connector with two ways, and with three."""

    two: Figure | None
    three: Figure | None


class _Draft(NamedTuple):
    """A network while it is put together."""

    allowances: Allowances
    conditions: Conditions
    cores: Mapping[str, Figure]
    contacts: _Contacts
    loops: dict[str, Figure]
    wires: list[Wire]
    lines: list[Strip]
    bars: dict[str, Bar]
    strips: dict[str, StripPart]

    def wire(
        self, cable: Cable, near: str, far: str, joints: tuple[int, int], channels: int
    ) -> None:
        """Add a cable with the contacts that current passes at its ends, of each pole."""
        assert cable.length is not None
        assert cable.leg is not None
        loop = _loop(cable, self.cores[cable.leg], self.contacts, joints, channels)
        self.loops[cable.id] = loop
        self.wires.append(Wire(cable.id, near, far, float(loop.value)))


def _sources(job: Job, parts: Catalogue, legs: Sequence[Leg]) -> tuple[Source, ...]:
    """Give the supplies of legs; none if one of them is not in the catalogue."""
    part_of = {supply.id: find_part(parts.supplies, supply.part) for supply in job.supplies}
    found = []
    for supply in dict.fromkeys(leg.supply for leg in legs):
        part = part_of[supply]
        if part is None:
            return ()
        found.append(Source(supply, float(part.volts)))
    return tuple(found)


def _contacts(parts: Catalogue) -> _Contacts:
    by_ways = {
        each.ways: given("one contact", each.milliohms, "mohm", "part", each.id)
        for each in parts.connectors
        if each.milliohms
    }
    return _Contacts(by_ways.get(2), by_ways.get(3))


def _loop(
    cable: Cable, core: Figure, contacts: _Contacts, joints: tuple[int, int], channels: int
) -> Figure:
    """Give the ohms of a cable, out and back, with its joints.

    ``joints`` counts the contacts of each pole at two-way and at three-way connectors.
    """
    assert cable.length is not None
    inputs = [_out_and_back(channels), cable.length, core]
    for count, each in zip(joints, contacts, strict=True):
        if count and each:
            inputs += [given("contacts of each pole", count, "1", "two a joint", cable.id), each]
    return derived("loop", "ohm", loop_ohms, cable.id, *inputs)


@works_out("lead ohms")
def loop_ohms(out_and_back: float, length: float, core: float, *joints: float) -> float:
    """Give the ohms of a cable of this length [mm] and ohms per metre of one core.

    ``joints`` are, of each kind, how many contacts each pole has and the milliohms of one.
    """
    ohms = out_and_back * length / MM_PER_METRE * core
    for count, each in zip(joints[::2], joints[1::2], strict=True):
        ohms += joint_ohms(out_and_back * count, each)
    return ohms


@works_out("joint ohms")
def joint_ohms(out_and_back: float, contact: float = 0.0) -> float:
    """Give the ohms of a joint of one contact a pole, of so many milliohms."""
    return out_and_back * contact / _MILLI


def _out_and_back(channels: int) -> Figure:
    """Give how often a core counts.

    Of tunable white each channel has a core and half the current; the common one carries all of it.
    """
    return given("out and back", 1 + 1 / channels, "1", "out and back")


def _lead(
    draft: _Draft,
    lead: Cable,
    leads: Sequence[Cable],
    supply_of: Mapping[str, str],
    channels: int,
) -> None:
    """Add a cable from the supply, or from a tee or feed point of the cable before it."""
    assert lead.leg is not None
    goes_on = any(each.before == lead.id for each in leads)
    near = supply_of[lead.leg] if lead.before is None else f"tee {lead.before}"
    far = f"tee {lead.id}" if goes_on or lead.feed is None else _node(lead.feed)
    at_near = 0 if lead.before is None else 1
    if far.startswith("tee "):
        draft.wire(lead, near, far, (0, at_near + 1), channels)
        if lead.feed is not None:
            joint_id = f"{lead.id} joint"
            draft.loops[joint_id] = joint = _joint(joint_id, draft.contacts.three, channels)
            draft.wires.append(Wire(joint_id, far, _node(lead.feed), float(joint.value)))
    else:
        draft.wire(lead, near, far, (2, at_near), channels)


def _joint(joint_id: str, contact: Figure | None, channels: int) -> Figure:
    """Give the ohms, out and back, where a strip's own lead leaves a tee."""
    back = _out_and_back(channels)
    inputs = (back, contact) if contact else (back,)
    return derived("joint", "ohm", joint_ohms, joint_id, *inputs)


def _node(point: FeedPoint) -> str:
    return f"{point.bar} {point.at}"


def _run(
    draft: _Draft, fit: RunFit, points: Sequence[FeedPoint], strip: StripPart, routes: Routes
) -> None:
    """Add the strips of a run's bars, as far as it is fed, and the links between them."""
    bars, joined = feed_reach(fit, routes)
    law = law_of(strip, draft.allowances, draft.conditions.strip)
    rails = float(strip.ohms_per_metre)
    if draft.conditions.strip is not None:
        rails = at_temperature(rails, draft.conditions.strip)
    unit = float(strip.cut_unit) / MM_PER_METRE
    inner = {point.bar: point.units for point in points if point.at == "middle"}
    for bar in bars:
        draft.bars[bar.id], draft.strips[bar.id] = bar, strip
        metres = float(bar.lit.value) / MM_PER_METRE
        left, middle, right = (f"{bar.id} {at}" for at in ("left", "middle", "right"))
        if bar.id in inner:
            before = metres * inner[bar.id] / int(bar.units.value)
            for end, length in ((left, before), (right, metres - before)):
                strip_id = f"{bar.id} to {end.rpartition(' ')[2]}"
                draft.lines.append(Strip(strip_id, middle, end, law, length, rails, unit))
        else:
            draft.lines.append(Strip(bar.id, left, right, law, metres, rails, unit))
    for link in joined:
        assert link.cable is not None
        ends = (f"{link.from_bar} right", f"{link.to_bar} left")
        draft.wire(link.cable, *ends, (4, 0), strip.channels)

"""What protects each leg's cable from too many amps, and what its joints and terminals carry."""

from collections import Counter
from collections.abc import Iterator, Sequence
from typing import Final, Literal, NamedTuple

from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.feeds import Leg
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cable, Connector, SupplyPart
from pelmet.model.job.rule_tables import CordAmps, cords, overcurrent_amps
from pelmet.model.job.rules import Region
from pelmet.model.measure.awg import awg_area_mm2
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.circuit.sources import most_driven
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.ways.routes import Routes

Guard = Literal["limited source", "fuse", "nothing", "not known"]
CableEnd = Literal["start", "end"]

# Ratings that fuse-links are sold in [A]: the R10 series of ISO 3, 10^(k/10) rounded, up to what a
# secondary circuit of low-voltage lighting may carry (NEC 411.2). That fuse-links of IEC 60127
# follow it is from memory; a leg may be given any other fuse.
STANDARD_FUSES: Final = (
    *(1.0, 1.25, 1.6, 2.0, 2.5, 3.15, 4.0, 5.0, 6.3, 8.0),
    *(10.0, 12.5, 16.0, 20.0, 25.0),
)

_PERCENT: Final = 100
_TWO_WAY: Final = 2
_THREE_WAY: Final = 3


class Takes(NamedTuple):
    """The sections terminals take [mm2]; an end that nobody said is open."""

    least: float | None = None
    most: float | None = None

    @classmethod
    def of(cls, part: SupplyPart | Connector) -> "Takes":
        """Give what a part's terminals take."""
        least, most = part.least_mm2, part.most_mm2
        return cls(None if least is None else float(least), None if most is None else float(most))

    @property
    def words(self) -> str:
        """What they take, such as ``from 0.2 up to 2.5 mm2``."""
        ends = [("from", self.least), ("up to", self.most)]
        said = " ".join(f"{word} {mm2:g}" for word, mm2 in ends if mm2 is not None)
        return f"{said} mm2" if said else "any section"

    def also(self, other: "Takes") -> "Takes":
        """Give what both this and another one take."""
        least = [each for each in (self.least, other.least) if each is not None]
        most = [each for each in (self.most, other.most) if each is not None]
        return Takes(max(least, default=None), min(most, default=None))

    def takes(self, mm2: float) -> bool:
        """Say if they take a conductor of this section [mm2]."""
        return (self.least is None or self.least <= mm2) and (self.most is None or mm2 <= self.most)


class Protection(NamedTuple):
    """What protects the cable of one leg, all in amps.

    ``source`` is the most the supply drives, nothing when nothing that is known limits it;
    ``carries`` what the cable may carry; ``largest`` the most a fuse may be to protect
    it. ``fuse`` was chosen; ``needed`` is the smallest standard one that carries the leg and
    protects the cable, if there is one.
    """

    leg: Leg
    by: Guard
    source: Figure | None
    carries: Figure | None
    largest: Figure | None
    fuse: Figure | None
    needed: Figure | None

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All its figures that are known."""
        known = (self.source, self.carries, self.largest, self.fuse, self.needed)
        return tuple(figure for figure in known if figure)


class Joint(NamedTuple):
    """One end of a cable that connectors are put on: ``each`` of them on every conductor.

    ``amps`` is what the cable brings to it, nothing while the leg cannot be worked out;
    ``connector`` is nothing when the catalogue has none of so many ways.
    """

    cable: str
    end: CableEnd
    ways: int
    each: int
    connector: Connector | None
    amps: Figure | None


def section_mm2(cable: Cable) -> float:
    """Give the copper of one core [mm2]; of a wire gauge, its area by ASTM B258."""
    return awg_area_mm2(cable.awg) if cable.awg is not None else float(cable.mm2 or 0)


def cord_row(cable: Cable, region: Region) -> CordAmps | None:
    """Give the region's row for cords of a cable's size, if it was seen in print."""
    return next(
        (
            row
            for row in cords()
            if region in row.regions
            and row.standing == "confirmed"
            and (row.mm2, row.awg) == (cable.mm2, cable.awg)
        ),
        None,
    )


def ampacity(cable: Cable, region: Region) -> Figure:
    """Give what a cable may carry [A]: its own figure, or the region's for cords if that is less.

    A size that the region does not list goes by the cable's own figure; so does one whose row is
    from memory.
    """
    figures = [given("cable's own amps", cable.amps, "A", "part", cable.id)]
    row = cord_row(cable, region)
    if row is not None:
        figures.append(given("cord amps", row.amps, "A", "cord amps", cable.id))
    return derived("carries", "A", least_carried, cable.id, *figures)


@works_out("ampacity")
def least_carried(*amps: float) -> float:
    """Give what a cable carries by all that limits it [A]."""
    return min(amps)


def largest_fuse(cable: Cable, region: Region) -> Figure:
    """Give the most a fuse may be to protect a cable [A]: what it carries, or its gauge's limit."""
    figures = [ampacity(cable, region)]
    most = overcurrent_amps(region, cable.awg) if cable.awg is not None else None
    if most is not None:
        figures.append(given("most before it", most, "A", "overcurrent", cable.id))
    return derived("largest fuse", "A", least_before, cable.id, *figures)


@works_out("largest fuse")
def least_before(*amps: float) -> float:
    """Give the most that may be before a cable [A], by what it carries and by its gauge."""
    return min(amps)


def limited_to(source: float | None, carries: float) -> bool:
    """Say if a source that drives at most this [A] cannot overload a cable that carries that."""
    return source is not None and source <= carries


def steady_amps(fuse: float, share: float) -> float:
    """Give what a fuse of this rating [A] may carry all the time [A]: a share of it [%]."""
    return fuse * share / _PERCENT


def fuses_that_do(amps: float, share: float, largest: float) -> tuple[float, ...]:
    """Give the standard fuses [A] that carry a load and protect a cable, the smallest first.

    Args:
        amps: That flow all the time. [A]
        share: Of its rating that a fuse may carry all the time. [%]
        largest: That still protects the cable. [A]
    """
    return tuple(
        fuse for fuse in STANDARD_FUSES if amps <= steady_amps(fuse, share) and fuse <= largest
    )


@works_out("fuse needed")
def smallest_fuse(amps: float, share: float, largest: float) -> float:
    """Give the smallest of the `fuses_that_do` [A]; there must be one."""
    return fuses_that_do(amps, share, largest)[0]


def protect_legs(job: Job, parts: Catalogue, legs: Sequence[LegCircuit]) -> tuple[Protection, ...]:
    """Work out what protects the cable of every leg, in the order of the job."""
    supplies = {supply.id: find_part(parts.supplies, supply.part) for supply in job.supplies}
    return tuple(_protection(job, parts, leg, supplies[leg.leg.supply]) for leg in legs)


def _protection(
    job: Job, parts: Catalogue, circuit: LegCircuit, supply: SupplyPart | None
) -> Protection:
    leg = circuit.leg
    cable = find_part(parts.cables, leg.cable)
    fuse = given("fuse", leg.fuse, "A", "choice", leg.id) if leg.fuse else None
    source = most_driven(job, supply) if supply else None
    if cable is None or supply is None:
        return Protection(leg, "not known", source, None, None, fuse, None)
    carries, largest = ampacity(cable, job.site.region), largest_fuse(cable, job.site.region)
    guard = _guard(source, carries, largest, fuse)
    return Protection(leg, guard, source, carries, largest, fuse, _needed(job, circuit, largest))


def _guard(source: Figure | None, carries: Figure, largest: Figure, fuse: Figure | None) -> Guard:
    if limited_to(float(source.value) if source else None, float(carries.value)):
        return "limited source"
    return "fuse" if fuse and float(fuse.value) <= float(largest.value) else "nothing"


def _needed(job: Job, circuit: LegCircuit, largest: Figure) -> Figure | None:
    if circuit.amps is None:
        return None
    inputs = (
        circuit.amps,
        given("fuse load", job.allowances.fuse_share, "%", "allowance"),
        largest,
    )
    if not fuses_that_do(*(float(each.value) for each in inputs)):
        return None
    return derived("fuse needed", "A", smallest_fuse, circuit.leg.id, *inputs)


def heaviest_amps(circuit: LegCircuit) -> Figure | None:
    """Give the most that any one cable of a leg carries [A], if its leg can be worked out."""
    flows = [flow.amps for flow in circuit.flows]
    return max(flows, key=lambda amps: float(amps.value), default=circuit.amps)


# Joints


def connector_of(parts: Catalogue, ways: int, mm2: float | None = None) -> Connector | None:
    """Give the connector of so many ways that joints are made with.

    The last one listed that takes conductors of this section [mm2], else the last one listed.
    """
    able = [each for each in reversed(parts.connectors) if each.ways == ways]
    takes = (each for each in able if mm2 is None or Takes.of(each).takes(mm2))
    return next(takes, next(iter(able), None))


def joints(parts: Catalogue, routes: Routes, legs: Sequence[LegCircuit]) -> tuple[Joint, ...]:
    """Give every joint: leads where they come to a run or a tee, links at both their ends.

    Where more than two cables meet, the tee is made at the end of the one from the supply, with
    one three-way connector a conductor, and one more for each cable beyond the third.
    """
    amps = {flow.cable: flow.amps for leg in legs for flow in leg.flows}
    cables = {leg.leg.id: find_part(parts.cables, leg.leg.cable) for leg in legs}
    sections = {leg: section_mm2(cable) for leg, cable in cables.items() if cable}
    return tuple(_joints(parts, routes, amps, sections))


def _joints(
    parts: Catalogue, routes: Routes, amps: dict[str, Figure], sections: dict[str, float]
) -> Iterator[Joint]:
    going_on = Counter(lead.before for lead in routes.leads)
    for lead in routes.leads:
        meeting = 1 + going_on[lead.id] + (lead.run is not None)
        tees = meeting - _TWO_WAY
        mm2 = sections.get(lead.leg or "")
        if tees > 0:
            yield Joint(
                lead.id,
                "end",
                _THREE_WAY,
                tees,
                connector_of(parts, _THREE_WAY, mm2),
                amps.get(lead.id),
            )
        elif lead.run:
            yield Joint(
                lead.id, "end", _TWO_WAY, 1, connector_of(parts, _TWO_WAY, mm2), amps.get(lead.id)
            )
    for link in routes.links:
        if link.cable:
            ends: tuple[CableEnd, ...] = ("start", "end")
            two = connector_of(parts, _TWO_WAY, sections.get(link.cable.leg or ""))
            for end in ends:
                yield Joint(link.cable.id, end, _TWO_WAY, 1, two, amps.get(link.cable.id))

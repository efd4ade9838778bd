"""The bench list: bar by bar, what to cut, where to fix it, and how it goes in."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Final

from pelmet.model.job.job import Job, Site
from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.wired import reached
from pelmet.model.plan.figure import Value
from pelmet.model.plan.mounting.preparing import Prepared
from pelmet.model.plan.result import Plan
from pelmet.model.plan.ways.routes import Link
from pelmet.model.told.figures import as_sawn, millimetres, printed, to_fraction
from pelmet.model.told.words import labelled

_INDENT: Final = 12
_HALF_MM: Final = Decimal("0.5")
_PEOPLE: Final = {1: "one person", 2: "two people"}


def bench_list(plan: Plan) -> tuple[str, ...]:
    """Write what the bench must know of every bar, in lines of at most 78 columns."""
    job = plan.job
    fixings = {run.id: run.fixing for run in job.runs}
    leads = {fit.run.id: leads_of(fit, plan.routes.links) for fit in plan.fits}
    return tuple(
        line
        for one in plan.bench
        for label, text in _rows(one, fixings[one.bar.run], leads[one.bar.run], job)
        for line in labelled(label, text, _INDENT)
    )


# By bar, the places that wires are soldered to; and the unit after which one is in its middle.
Leads = Mapping[str, Mapping[str, int]]


def leads_of(fit: RunFit, links: Iterable[Link]) -> Leads:
    """Give where wires are soldered to a run's bars: at its feed points, and where links end."""
    found: dict[str, dict[str, int]] = {}
    for point in feed_points_of(fit):
        found.setdefault(point.bar, {})[point.at] = point.units
    for link in reached(fit, links)[1]:
        found.setdefault(link.from_bar, {})["right"] = 0
        found.setdefault(link.to_bar, {})["left"] = 0
    return found


def _rows(one: Prepared, fixing: str, leads: Leads, job: Job) -> Iterator[tuple[str, str]]:
    bar, site = one.bar, job.site
    near, far = sides_of(bar)
    yield (
        bar.id,
        f"bar {printed(as_sawn(bar.length, site), site)}, under {' '.join(bar.opening.cabinets)}",
    )
    for label, text in (
        ("mitres", ", ".join(_mitres(bar, (near, far), site))),
        ("splices", splice_words(bar, site)),
        ("strip", _strip(one, (near, far), site)),
        ("leads", _soldered(bar, leads.get(bar.id, {}), site)),
        ("diffuser", diffuser_words(one, site)),
        (fixing, _fixing(one, near, job)),
        ("way in", way_in_words(one, site)),
        ("hanging", f"{float(one.weight.value):.2f} kg, {_PEOPLE[int(one.people.value)]}"),
    ):
        if text:
            yield f"  {label}", text


def _mitres(bar: Bar, sides: tuple[str, str], site: Site) -> Iterator[str]:
    for side, edge in zip(sides, bar.opening.ends, strict=True):
        if edge.setting:
            yield f"{side} end, saw at {printed(edge.setting, site)} from square"
    for point in bar.points:
        yield f"{point.name} {printed(as_sawn(point, site), site)}"


def splice_words(bar: Bar, site: Site) -> str:
    """Say where channels are joined, and how: common practice."""
    if not bar.splices:
        return ""
    places = _joint_words(bar.splices, bar, site)
    return f"{places}: ends square, a joiner pin, the strip runs through"


def _strip(one: Prepared, sides: tuple[str, str], site: Site) -> str:
    bar = one.bar
    text = (
        f"{printed(as_sawn(bar.lit, site), site)} lit, {bar.units.value} units; dark "
        f"{_length(bar.dark_left.value, site)} {sides[0]}, "
        f"{_length(bar.dark_right.value, site)} {sides[1]}"
    )
    if one.reel and one.reel.skip_units:
        units = "unit" if one.reel.skip_units == 1 else "units"
        text += f"; skip {one.reel.skip_units} {units} after a factory joint"
    return text


def _soldered(bar: Bar, leads: Mapping[str, int], site: Site) -> str:
    words = lead_places(bar, leads, site)
    return f"soldered {' and '.join(words)}" if words else ""


def lead_places(bar: Bar, leads: Mapping[str, int], site: Site) -> tuple[str, ...]:
    """Say where wires are soldered to the strip: at an end, or after a unit in its middle."""
    words, sides = [], sides_of(bar)
    for at, side in (("left", sides[0]), ("middle", "middle"), ("right", sides[1])):
        if at not in leads:
            continue
        place = f"at its {side} end"
        if at == "middle":
            along = Decimal(bar.lit.value) * leads[at] / int(bar.units.value)
            place = f"after unit {leads[at]}, {_length(along, site)} from its {sides[0]} end"
        words.append(place)
    return tuple(words)


def diffuser_words(one: Prepared, site: Site) -> str:
    """Say how long to cut a bar's diffuser, and where it is joined; nothing without one."""
    if one.diffuser is None:
        return ""
    text = f"cut {printed(as_sawn(one.diffuser, site), site)}"
    if one.diffuser_joints:
        text += f"; joined at {_joint_words(one.diffuser_joints, one.bar, site)}"
    return text


def _fixing(one: Prepared, near: str, job: Job) -> str:
    places = places_words(one.fixings, near, job.site)
    if one.groove_left:
        return f"leaves {printed(one.groove_left, job.site)} of the panel"
    if one.tape_area:
        return f"{float(one.tape_area.value):.0f} cm2, with clips at {places}"
    if one.screw_left:
        screw = _length(job.allowances.screw_length, job.site)
        return f"at {places}; {screw} screws"
    return f"at {places}" if places else ""


def way_in_words(one: Prepared, site: Site) -> str:
    """Say how a bar goes in; nothing if it goes in as anyone would."""
    if one.way.way == "as two":
        return "does not go in"
    level = "" if one.swings else "level, both ends at once; "
    if one.way.way == "straight" and one.way.decided_by == "clear width":
        return level.rstrip("; ")
    spare = _length(Decimal(str(one.way.spare)) // _HALF_MM * _HALF_MM, site)
    return f"{level}{one.way.way}; {spare} to spare, {one.way.decided_by}"


def sides_of(bar: Bar) -> tuple[str, str]:
    """Name the two ends of a bar."""
    return ("lower", "upper") if bar.upright else ("left", "right")


def places_words(places: Sequence[Decimal], near: str, site: Site) -> str:
    """Write places along a bar, the unit once."""
    if not places:
        return ""
    unit, parts = site.length_unit, site.inch_parts
    row = ", ".join(print_length(place, unit, parts, bare=True) for place in places)
    return f"{row} {unit} from the {near} end"


def _joint_words(joints: Sequence[Decimal], bar: Bar, site: Site) -> str:
    """Write where pieces of a bar meet: what the piece before is sawn by."""
    return places_words([to_fraction(each, site) for each in joints], sides_of(bar)[0], site)


def _length(value: Value, site: Site) -> str:
    return print_length(millimetres(value), site.length_unit, site.inch_parts)

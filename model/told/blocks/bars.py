"""Bars: what is cut of each, what stays dark, where wires are soldered, and what holds it."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import Final

from pelmet.model.job.job import Site
from pelmet.model.plan.bars.bar import Bar, longest_edge
from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.leg_network import feed_reach
from pelmet.model.plan.mounting.bench import BenchWork
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.openings import Edge
from pelmet.model.plan.ways.routes import Routes
from pelmet.model.told.figures import (
    as_sawn,
    brief,
    length_text,
    millimetres,
    printed,
    to_fraction,
)
from pelmet.model.told.paper import Block, Grid, Words, points

SQUARE: Final = "square"
_HALF_MM: Final = Decimal("0.5")


def bar_blocks(plan: Plan) -> Iterator[Block]:
    """Tell how long every bar is and how much of it lights, then where no light is and why."""
    if not plan.job.runs:
        yield Words("There is no run yet.")
        return
    unit = f"[{plan.job.site.length_unit}]"
    head = ("bar", "under", f"opening {unit}", f"length {unit}", "units", f"lit {unit}",
            f"dark {unit}", f"of it left, right {unit}", "assumed")  # fmt: skip
    if plan.bars:
        rows = tuple(_bar(bar, plan.job.site) for bar in plan.bars)
        yield Grid(head, rows, frozenset({2, 3, 4, 5, 6}), "bars", frozenset({0}))
    yield from points((*_dark_between(plan), *_without(plan)))


def _bar(bar: Bar, site: Site) -> tuple[str, ...]:
    length, lit = (as_sawn(each, site) for each in (bar.length, bar.lit))
    figures = (bar.opening.clear, length, bar.units, lit, bar.dark)
    ends = ", ".join(brief(figure, site) for figure in (bar.dark_left, bar.dark_right))
    return (
        bar.id,
        " ".join(bar.opening.cabinets),
        *(brief(figure, site) for figure in figures),
        f"{ends} ({', '.join(end_names(bar))})" if bar.upright else ends,
        "assumed" if bar.length.assumed else "",
    )


def _dark_between(plan: Plan) -> Iterator[str]:
    """Say what stays dark from bar to bar, and in all where there are several such places."""
    for fit in plan.fits:
        for dark in fit.bands:
            across = printed(dark.across, plan.job.site)
            yield f"{across} dark from {dark.left_bar} to {dark.right_bar}"
        if len(fit.bands) > 1:
            whole = millimetres(sum(float(dark.across.value) for dark in fit.bands))
            yield f"{fit.run.id}: {length_text(whole, plan.job.site)} dark between its bars in all"


def _without(plan: Plan) -> Iterator[str]:
    for fit in plan.fits:
        for opening in fit.too_short:
            yield f"{fit.run.id}: no bar under {' '.join(opening.cabinets)}, it is too short"
        if not fit.bars and not fit.too_short:
            yield f"{fit.run.id}: no bar, a part of it is not in the catalogue"


def bench_blocks(plan: Plan) -> Iterator[Block]:
    """Tell how the ends of every bar are sawn, and where on its strip the wires are soldered."""
    if not plan.bench:
        yield Words("There is no bar to make.")
        return
    soldered, site = lead_places(plan), plan.job.site
    rows = tuple(
        (
            one.bar.id,
            *(sawn(edge, site) for edge in one.bar.opening.ends),
            ", ".join(soldered[one.bar.id]) or "none",
        )
        for one in plan.bench
    )
    head = ("bar", "left end", "right end", "wires soldered")
    yield Grid(head, rows, frozenset(), "bench", frozenset({0}))
    yield from points(_on_the_bench(plan))


def _on_the_bench(plan: Plan) -> Iterator[str]:
    site = plan.job.site
    yield from (mitre_words(one, site) for one in plan.bench if one.bar.points)


# By bar, the places that wires are soldered to; and the unit after which one is in its middle.
Leads = Mapping[str, Mapping[str, int]]


def leads_of(fit: RunFit, routes: Routes) -> Leads:
    """Give where wires are soldered to a run's bars: at its feed points, and where links end."""
    found: dict[str, dict[str, int]] = {}
    for point in feed_points_of(fit):
        found.setdefault(point.bar, {})[point.at] = point.units
    for link in feed_reach(fit, routes).links:
        found.setdefault(link.from_bar, {})["right"] = 0
        found.setdefault(link.to_bar, {})["left"] = 0
    return found


def lead_places(plan: Plan) -> dict[str, tuple[str, ...]]:
    """Say by bar where wires are soldered to its strip: at an end, or after a unit in it."""
    return {
        bar.id: tuple(_places(bar, leads.get(bar.id, {}), plan.job.site))
        for fit in plan.fits
        for leads in (leads_of(fit, plan.routes),)
        for bar in fit.bars
    }


def _places(bar: Bar, leads: Mapping[str, int], site: Site) -> Iterator[str]:
    near, far = end_names(bar)
    if "left" in leads:
        yield f"{near} end"
    if "middle" in leads:
        along = Decimal(bar.lit.value) * leads["middle"] / int(bar.units.value)
        yield f"after unit {leads['middle']}, {length_text(along, site)} from its {near} end"
    if "right" in leads:
        yield f"{far} end"


def sawn(edge: Edge, site: Site) -> str:
    """Say how an end of a bar is sawn."""
    return printed(edge.setting, site) if edge.setting else SQUARE


def mitre_words(one: BenchWork, site: Site) -> str:
    """Say how a mitred bar is sawn: its ends, both its edges, and which its cover is measured by.

    The longer edge is the one that a piece of channel or cover is as long as.
    """
    bar, (near, far) = one.bar, end_names(one.bar)
    ends = ", ".join(
        f"{name} end {sawn(edge, site)}" + (" from square" if edge.setting else "")
        for name, edge in zip((near, far), bar.opening.ends, strict=True)
    )
    edges = ", ".join(f"{each.name} {printed(as_sawn(each, site), site)}" for each in bar.points)
    longer = longest_edge(bar).name
    cover = f"; its diffuser is as long as told at its {longer}" if one.diffuser else ""
    return f"{bar.id} is mitred: {ends}; {edges}{cover}."


def splice_words(bar: Bar, site: Site) -> str:
    """Say where channels are joined, and how: common practice."""
    if not bar.splices:
        return ""
    places = _joint_words(bar.splices, bar, site)
    return f"{places}: ends square, a joiner pin, the strip runs through"


def diffuser_words(one: BenchWork, site: Site) -> str:
    """Say how long to cut a bar's diffuser, and where it is joined; nothing without one."""
    if one.diffuser is None:
        return ""
    text = printed(as_sawn(one.diffuser, site), site)
    if one.diffuser_joints:
        text += f"; joined at {_joint_words(one.diffuser_joints, one.bar, site)}"
    return text


def _joint_words(joints: Sequence[Decimal], bar: Bar, site: Site) -> str:
    """Write where pieces of a bar meet: what the piece before is sawn by."""
    return places_words([to_fraction(each, site) for each in joints], end_names(bar)[0], site)


def way_in_words(one: BenchWork, site: Site) -> str:
    """Say how a bar goes in."""
    if one.way.way == "as two":
        return "does not go in"
    level = () if one.swings else ("level, both ends at once",)
    if one.way.way == "straight" and one.way.decided_by == "clear width":
        return ", ".join(level) or "straight"
    spare = length_text(Decimal(str(one.way.spare)) // _HALF_MM * _HALF_MM, site)
    return "; ".join((*level, one.way.way, f"{spare} to spare, {one.way.decided_by}"))


def end_names(bar: Bar) -> tuple[str, str]:
    """Name the two ends of a bar."""
    return ("lower", "upper") if bar.upright else ("left", "right")


def places_words(places: Sequence[Decimal], near: str, site: Site) -> str:
    """Write places along a bar, the unit once."""
    if not places:
        return ""
    row = ", ".join(length_text(place, site, bare=True) for place in places)
    return f"{row} {site.length_unit} from the {near} end"

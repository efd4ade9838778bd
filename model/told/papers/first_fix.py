"""The first-fix sheet: what is laid before walls close, and before what hangs there is fixed."""

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from typing import Final

from pelmet.model.measure.lengths import print_length
from pelmet.model.order.folder import Folder
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.geometry import WallLine
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.place import Place, WayKind
from pelmet.model.told.figures import as_cable, bare, millimetres
from pelmet.model.told.paper import Block, Cautions, Grid, Heading, Points, Words

_LARGE: Final = frozenset({0})
_CAUTIONS: Final = (
    "Scan for cables, pipes and studs before any hole in a wall.",
    "Which cable may go in a wall, how deep and in which zones: ask the licensed person.",
    "Keep low voltage apart from mains: no shared hole or box; cross at a right angle.",
)
_MAINS: Final = "Outlets and isolators of supplies are on the mains sheet."


def first_fix_paper(folder: Folder) -> tuple[Block, ...]:
    """Tell which cables go in a wall, where each comes out, and what switches want a drop."""
    plan = folder.plan
    in_wall = _cables_that_go("in wall", plan)
    behind = tuple(_behind(plan))
    switches = tuple(_switches(plan))
    if not in_wall and not behind and not switches:
        nothing = "Nothing goes in a wall, and no wall switch is planned: no first fix."
        return (Words(nothing), *((Words(_MAINS),) if plan.job.supplies else ()))
    closing = plan.job.site.walls_close or "________________"
    return (
        Heading(f"Before walls close: {closing}"),
        *((Cautions(_CAUTIONS),) if in_wall or switches else ()),
        *(_in_wall(in_wall, plan) if in_wall else (Words("No cable goes in a wall."),)),
        *((Heading("Before what hides it is fixed"), Points(behind)) if behind else ()),
        *(_drops(switches) if switches else ()),
        *((Words(_MAINS),) if plan.job.supplies else ()),
    )


def _cables_that_go(kind: WayKind, plan: Plan) -> tuple[Cable, ...]:
    cables = plan.routes.cables
    return tuple(cable for cable in cables if any(way.kind == kind for way in cable.ways))


def _in_wall(cables: Sequence[Cable], plan: Plan) -> Iterator[Block]:
    site = plan.job.site
    unit = f"[{site.length_unit}]"
    tail = print_length(plan.job.allowances.termination_slack, site.length_unit, site.inch_parts)
    yield Heading("Cables")
    yield Grid(
        ("cable", "type", f"cut to {unit}", "comes from", "goes to", "in the wall past", "assumed"),
        tuple(_row(cable, plan) for cable in cables),
        frozenset({2}),
        "first-fix",
        _LARGE,
    )
    yield Heading("Where they come out")
    yield Grid(
        ("cable", "it", "wall", f"from its left end {unit}", f"above the floor {unit}", "assumed"),
        tuple(row for cable in cables for row in _exits(cable, plan)),
        frozenset({3, 4}),
        "first-fix-exits",
        _LARGE,
    )
    yield Points(
        (
            f"The length counts a tail of {tail} at each end: leave no less, coiled and taped.",
            "Mark both ends of each with its id before the wall closes.",
            "Pull a draw string in beside each: it costs nothing now.",
            "Take a photo of the open wall with a rule in it.",
        )
    )


def _row(cable: Cable, plan: Plan) -> tuple[str, ...]:
    site = plan.job.site
    kinds = {each.id: f"{each.kind} {each.id}" for each in plan.job.obstacles}
    legs = {leg.id: leg.cable for leg in plan.job.legs}
    passed = dict.fromkeys(
        kinds[own] for way in cable.ways if way.kind == "in wall" for own in way.passes
    )
    return (
        cable.id,
        legs.get(cable.leg or "", "not chosen"),
        bare(as_cable(cable.length, site), site) if cable.length else "-",
        cable.origin,
        cable.end,
        ", ".join(passed) or "nothing",
        "length" if cable.length and cable.length.assumed else "",
    )


def _exits(cable: Cable, plan: Plan) -> Iterator[tuple[str, ...]]:
    """Give where each stretch in a wall goes in and comes out; ways that go on are one stretch."""
    site = plan.job.site
    walls = next(room.walls for room in plan.rooms if room.room.id == cable.room)
    stretches = groupby(
        zip(cable.ways, pairwise(cable.places), strict=True),
        key=lambda each: each[0].kind == "in wall",
    )
    for inside, group in stretches:
        if not inside:
            continue
        ways = tuple(group)
        (_, (first, _)), (_, (_, last)) = ways[0], ways[-1]
        assumed = "place" if any(way.assumed for way, _ in ways) else ""
        for says, place in (("goes in", first), ("comes out", last)):
            wall, along = _on_wall(place, walls)
            shown = (
                print_length(millimetres(round(each)), site.length_unit, site.inch_parts, bare=True)
                for each in (along, place.height)
            )
            yield cable.id, says, wall, *shown, assumed


def _on_wall(place: Place, walls: Sequence[WallLine]) -> tuple[str, float]:
    """Give the wall that a place along a room's walls is on, and how far along it [mm]."""
    line = [walls[0], *(each for each in walls[1:] if each.before < place.along)][-1]
    return line.wall.id, place.along - line.before


def _behind(plan: Plan) -> Iterator[str]:
    """Say which cables pass behind what is not fixed yet."""
    kinds = {each.id: f"{each.kind} {each.id}" for each in plan.job.obstacles}
    for cable in _cables_that_go("behind", plan):
        for way in cable.ways:
            if way.kind == "behind" and way.passes:
                yield f"{cable.id} goes behind {', '.join(kinds[own] for own in way.passes)}"


def _switches(plan: Plan) -> Iterator[tuple[str, ...]]:
    for zone in plan.controls.zones:
        if zone.switch and zone.switch.kind == "wall switch":
            legs = " ".join(zone.legs) or "-"
            yield zone.zone.name, zone.switch.name, zone.switch.side, legs, ""


def _drops(switches: tuple[tuple[str, ...], ...]) -> Iterator[Block]:
    yield Heading("Switch drops")
    yield Grid(("zone", "switch", "side", "legs", "where: wall, height"), switches)

"""The first-fix sheet: what is laid before walls close, and before what hangs there is fixed."""

from collections.abc import Iterator, Sequence
from itertools import groupby, pairwise
from typing import Final, TypeAlias

from pelmet.model.order.left import laid_legs
from pelmet.model.plan.circuit.controls import ZoneControl
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.geometry import WallLine
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.place import Place, WayKind
from pelmet.model.told.blocks.two_kinds import Telling, told_apart
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.figures import as_cable, bare, length_text
from pelmet.model.told.paper import Block, Grid, Heading, Points, Words

_LARGE: Final = frozenset({0})
_Thing: TypeAlias = Cable | ZoneControl
_MAINS: Final = "Outlets and {isolator}s of supplies are on the {of_mains} sheet."


def first_fix_paper(plan: Plan, telling: Telling = "apart") -> tuple[Block, ...]:
    """Tell which cables go in a wall, where each comes out, and what switches want a drop."""
    cables = [cable for cable in plan.routes.cables if _goes(cable, "in wall", "behind")]
    zones = [each for each in plan.controls.zones if _is_wall_switch(each)]
    words = plan.job.site.words
    things: Sequence[_Thing] = (*cables, *zones)
    mains = (Words(words.said(_MAINS)),) if plan.job.supplies else ()
    laid = laid_legs(plan)

    def is_built(thing: _Thing) -> bool:
        return thing.laid if isinstance(thing, Cable) else not laid.isdisjoint(thing.legs)

    def blocks(things: Sequence[_Thing]) -> Iterator[Block]:
        own = [each for each in things if isinstance(each, Cable)]
        drops = [each for each in things if isinstance(each, ZoneControl)]
        yield from _blocks(own, drops, plan)

    if not things:
        nothing = f"Nothing goes in a wall, and no wall switch is planned: no {words.first_fix}."
        return (Words(nothing), *mains)
    return (*told_apart(telling, things, is_built, blocks), *mains)


def _goes(cable: Cable, *kinds: WayKind) -> bool:
    return any(way.kind in kinds and (way.kind == "in wall" or way.passes) for way in cable.ways)


def _is_wall_switch(zone: ZoneControl) -> bool:
    return zone.switch is not None and zone.switch.kind == "wall switch"


def _blocks(cables: Sequence[Cable], zones: Sequence[ZoneControl], plan: Plan) -> Iterator[Block]:
    in_wall = [cable for cable in cables if _goes(cable, "in wall")]
    behind = tuple(_behind(cables, plan))
    yield Heading(f"Before walls close: {plan.job.site.walls_close or '________________'}")
    if in_wall or zones:
        yield from cautions_on(plan, "first-fix")
    yield from _in_wall(in_wall, plan) if in_wall else (Words("No cable goes in a wall."),)
    if behind:
        yield Heading("Before what hides it is fixed")
        yield Points(behind)
    if zones:
        yield from _drops(tuple(_drop(zone) for zone in zones))


def _in_wall(cables: Sequence[Cable], plan: Plan) -> Iterator[Block]:
    site = plan.job.site
    unit = f"[{site.length_unit}]"
    tail = length_text(plan.job.allowances.termination_slack, site)
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
    kinds = {each.id: f"{each.kind} {each.id}" for each in plan.job.obstacles}
    legs = {leg.id: leg.cable for leg in plan.job.legs}
    passed = dict.fromkeys(
        kinds[own] for way in cable.ways if way.kind == "in wall" for own in way.passes
    )
    return (
        cable.id,
        legs.get(cable.leg or "", "not chosen"),
        bare(as_cable(cable.length, plan.job.site), plan.job.site) if cable.length else "-",
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
            shown = (length_text(round(each), site, bare=True) for each in (along, place.height))
            yield cable.id, says, wall, *shown, assumed


def _on_wall(place: Place, walls: Sequence[WallLine]) -> tuple[str, float]:
    """Give the wall that a place along a room's walls is on, and how far along it [mm]."""
    line = [walls[0], *(each for each in walls[1:] if each.before < place.along)][-1]
    return line.wall.id, place.along - line.before


def _behind(cables: Sequence[Cable], plan: Plan) -> Iterator[str]:
    """Say which cables pass behind what is not fixed yet."""
    kinds = {each.id: f"{each.kind} {each.id}" for each in plan.job.obstacles}
    for cable in cables:
        for way in cable.ways:
            if way.kind == "behind" and way.passes:
                yield f"{cable.id} goes behind {', '.join(kinds[own] for own in way.passes)}"


def _drop(zone: ZoneControl) -> tuple[str, ...]:
    assert zone.switch is not None, "one without a switch has no drop"
    return zone.zone.name, zone.switch.name, zone.switch.side, " ".join(zone.legs) or "-", ""


def _drops(switches: tuple[tuple[str, ...], ...]) -> Iterator[Block]:
    yield Heading("Switch drops")
    yield Grid(("zone", "switch", "side", "legs", "where: wall, height"), switches)

"""The ways of cables in words: under, in and over what they go, through which holes."""

from collections.abc import Iterator, Mapping
from itertools import groupby, pairwise
from typing import Final

from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.crossings import WORK
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.place import Level, Panel, Place, Way
from pelmet.model.plan.ways.routes import Link
from pelmet.model.told.blocks.wires import cables_of
from pelmet.model.told.paper import Block, Grid, Words, points

_AT: Final[Mapping[Level, str]] = {
    "under": "under", "inside": "inside", "top": "on top of", "upright": "on", "bar": "at",
    "supply": "at",
}  # fmt: skip
_RISING: Final[tuple[Level, ...]] = ("under", "inside", "top")
_IN_WALL: Final = f"{WORK['in wall'].when}, {WORK['in wall'].who}"


def way_blocks(plan: Plan) -> Iterator[Block]:
    """Tell the way of every cable and the holes on it, then the bars that cannot be linked."""
    kinds = {
        obstacle.id: plan.job.site.words.value(obstacle.kind) for obstacle in plan.job.obstacles
    }
    rows = tuple(
        (
            cable.id,
            _way(cable, kinds),
            " ".join(hole.id for hole in plan.holes if cable.id in hole.cables),
        )
        for cable in cables_of(plan)
    )
    if rows:
        yield Grid(("cable", "way", "holes"), rows, name="ways", large=frozenset({0}))
        yield Words("Label both ends of every cable with its id, from where and to where it goes.")
    missing = points(_no_way(link) for link in plan.routes.links if link.cable is None)
    yield from missing
    if not rows and not missing:
        yield Words("No cable has a way yet.")


def _way(cable: Cable, kinds: Mapping[str, str]) -> str:
    if cable.length is None:
        return "length unknown: measure its way"
    if not cable.ways and cable.length.formula_id == "reading":
        return "measured, not reckoned"
    return ", ".join(step for step, _ in groupby(way_words(cable, kinds)))


def _no_way(link: Link) -> str:
    past = f" past {' '.join(link.obstacles)}" if link.obstacles else ""
    return f"{link.run}: no way from {link.from_bar} to {link.to_bar}{past}"


def panel_words(owner: str, panel: Panel, kinds: Mapping[str, str]) -> str:
    """Name what a hole goes through: ``A2 floor``, ``A3 right side``, ``stile O2``.

    ``kinds`` are the kinds of the obstacles by id.
    """
    if panel == "obstacle":
        return f"{kinds[owner]} {owner}"
    return f"upright {owner}" if panel == "upright" else f"{owner} {panel}"


def way_words(cable: Cable, kinds: Mapping[str, str]) -> Iterator[str]:
    """Give the way of a cable in short words, end to end; the same words may come twice running.

    ``kinds`` are the kinds of the obstacles by id.
    """
    for way, (one, other) in zip(cable.ways, pairwise(cable.places), strict=True):
        yield from _step(way, one, other, kinds)
    if cable.run is None and cable.places:
        yield f"tee {place_words(cable.places[-1])}"


def place_words(place: Place) -> str:
    """Say where a place is: ``under A2``, ``at R1.1``."""
    return f"{_AT[place.level]} {place.owner}"


def _step(way: Way, one: Place, other: Place, kinds: Mapping[str, str]) -> Iterator[str]:
    passed = " and ".join(f"{name} ({kinds[name]})" for name in way.passes)
    drilled = " and ".join(panel_words(hole.owner, hole.panel, kinds) for hole in way.drillings)
    match way.kind:
        case "through":
            yield f"{_rise(one, other)} through {drilled}"
        case "in wall":
            between = f"past {passed}" if passed else f"from {one.owner} to {other.owner}"
            yield f"in the wall {between} [{_IN_WALL}]"
        case "behind" if passed:
            yield f"behind {passed} [{WORK['behind'].when}]"
        case "behind":
            yield f"{_rise(one, other)} behind {one.owner}"
        case "up":
            if drilled:
                yield f"through {drilled}"
            to = "" if one.owner == other.owner else "to "
            yield f"{_rise(one, other)} {to}{other.owner}"
        case "in channel":
            yield f"in the channel from {one.owner} to {other.owner}"
        case "over" if passed:
            yield f"over {passed}"
        case _:
            past = f"through {drilled}" if drilled else passed and f"past {passed}"
            yield from _along(way, one, other, past)


def _along(way: Way, one: Place, other: Place, past: str) -> Iterator[str]:
    """Say where a cable lies before and after what it passes; a bar or supply is no such place."""
    homes = [place for place in (one, other) if place.level not in ("bar", "supply")]
    said = [f"{'on' if place.level == 'upright' else way.kind} {place.owner}" for place in homes]
    if past:
        yield from (*said[:1], past, *(words for words in said[1:] if words != said[0]))
    elif said:
        yield from said
    else:
        yield f"from {one.owner} to {other.owner}"


def _rise(one: Place, other: Place) -> str:
    """Say whether a cable goes up or down; a floor may be too thin for the heights to tell."""
    if one.height == other.height and one.level in _RISING and other.level in _RISING:
        return "up" if _RISING.index(one.level) <= _RISING.index(other.level) else "down"
    return "up" if one.height <= other.height else "down"

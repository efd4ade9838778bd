"""The cable list: every cable, what it is cut to, and the way it takes."""

from collections.abc import Iterator, Mapping
from itertools import groupby, pairwise
from typing import Final

from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.crossings import WORK
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.place import Level, Place, Way
from pelmet.model.plan.ways.routes import Link
from pelmet.model.told.drill_list import panel_words
from pelmet.model.told.figures import as_cable, printed
from pelmet.model.told.words import labelled, wrapped

_INDENT: Final = 9
_AT: Final[Mapping[Level, str]] = {
    "under": "under", "inside": "inside", "top": "on top of", "upright": "on", "bar": "at",
    "supply": "at",
}  # fmt: skip
_RISING: Final[tuple[Level, ...]] = ("under", "inside", "top")
_MARK: Final = "Mark both ends of every cable with its label, the words before the colon."
_IN_WALL: Final = f"{WORK['in wall'].when}, {WORK['in wall'].who}"


def cable_list(plan: Plan) -> tuple[str, ...]:
    """Tell every cable: the label for both its ends, part, cut length, way and holes.

    Lines of at most 78 columns; lengths in the unit of the job. Cables whose length is not
    known and bars that cannot be linked are told as well.
    """
    links = plan.routes.links
    lines: list[str] = []
    for cable in (*plan.routes.leads, *(link.cable for link in links if link.cable)):
        lines += _cable(cable, plan)
    for link in links:
        if link.cable is None:
            lines += wrapped(_no_way(link), rest="  ")
    if not lines:
        return ("no cables",)
    return (*wrapped(_MARK), *lines)


def _cable(cable: Cable, plan: Plan) -> Iterator[str]:
    parts = {leg.id: leg.cable for leg in plan.job.legs}
    kinds = {obstacle.id: str(obstacle.kind) for obstacle in plan.job.obstacles}
    part = parts.get(cable.leg or "", "part not chosen")
    if cable.length is None:
        text = f"{cable.label}: {part}, length unknown: measure its way"
    else:
        assumed = " (assumed)" if cable.length.assumed else ""
        length = printed(as_cable(cable.length, plan.job.site), plan.job.site)
        text = f"{cable.label}: {part}, {length}{assumed}"
    yield from wrapped(text, rest="  ")
    if cable.length and not cable.ways and cable.length.formula_id == "reading":
        yield from labelled("  way", "measured, not reckoned", _INDENT)
    steps = ", ".join(step for step, _ in groupby(way_words(cable, kinds)))
    if steps:
        yield from labelled("  way", steps, _INDENT)
    holes = " ".join(hole.id for hole in plan.holes if cable.id in hole.cables)
    if holes:
        yield from labelled("  holes", holes, _INDENT)


def _no_way(link: Link) -> str:
    past = f" past {' '.join(link.obstacles)}" if link.obstacles else ""
    return f"{link.run}: no way from {link.from_bar} to {link.to_bar}{past}"


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

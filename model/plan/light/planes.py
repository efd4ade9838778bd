"""What a run lights: the worktop, the boards below it, clothes on a rail, the floor.

A board below a bar is lit, whatever it is: a shelf, or the top of a cabinet. What is in use below
that, worktop or floor, is lit by the lowest run over it.
"""

from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Final, NamedTuple

from pelmet.model.job.items import Cabinet, Room, Use, Wall
from pelmet.model.job.region_words import RegionWords
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit

LEAST_LENGTH: Final = 50.0
"""A piece of board below a run that is shorter than this is left out: an estimate. [mm]"""
RAIL_REACH: Final = 1000.0
"""How far down from what hangs over it clothes on a rail count: common practice. [mm]"""
BESIDE: Final = 400.0
"""How far to either side a single upright lights what it faces: an estimate. [mm]"""
_NEAR: Final = 1e-6  # mm


class Plane(NamedTuple):
    """A surface that is in use, along one wall [mm].

    A level one is ``height`` above the floor, from the wall out to ``depth``. An upright one
    (``upright``: clothes, or fronts of shelves) is ``out`` from the wall and ``depth`` high, from
    ``height`` down. ``on`` is the cabinet or shelf whose top it is, if any.
    """

    use: Use
    on: str
    height: float
    left: float
    right: float
    depth: float
    upright: bool = False
    out: float = 0.0


def use_of(cabinet: Cabinet, wall: Wall, room: Room) -> Use:
    """Give what is used below a cabinet: as it says, else as its wall does, else its room."""
    return cabinet.in_use or wall.in_use or room.in_use


class Standing(NamedTuple):
    """What stands along one wall: its cabinets, and those of them that level bars hang under."""

    room: Room
    wall: Wall
    cabinets: tuple[Cabinet, ...]
    lit: frozenset[str]


def top_of(cabinet: Cabinet, bar: float) -> float:
    """Give the height of what lies below a bar of a cabinet that it may hang in [mm]."""
    bottom = float(cabinet.bottom_height)
    top = bottom + float(cabinet.height)
    return bottom + float(cabinet.bottom_panel) if bottom < bar < top else top


def planes_of(
    fit: RunFit, wall: str, around: Standing, heights: Mapping[str, float]
) -> Iterator[Plane]:
    """Give what a run lights along one wall, from left to right; ``heights`` are its bars' [mm]."""
    length = float(around.wall.length)
    bars = [bar for bar in fit.bars if bar.wall == wall]
    level = [bar for bar in bars if not bar.upright]
    if level:
        left = min(max(float(min(bar.opening.left for bar in level)), 0.0), length)
        right = max(min(float(max(bar.opening.right for bar in level)), length), left)
        own = {name for bar in level for name in bar.opening.cabinets}
        lowest = min(heights[bar.id] for bar in level)
        for use, start, end in _stretches(own, around, left, right):
            yield from _below(own, around, lowest, use, start, end)
    upright = [bar for bar in bars if bar.upright]
    if upright:
        yield from _faced(upright, around)


def _stretches(
    own: set[str], around: Standing, left: float, right: float
) -> Iterator[tuple[Use, float, float]]:
    """Share a run's length out by what is used below its cabinets."""
    over = sorted((each for each in around.cabinets if each.id in own), key=lambda each: each.at)
    uses = [use_of(each, around.wall, around.room) for each in over]
    if len(set(uses)) < 2:
        if right > left:
            yield (uses[0] if uses else around.room.in_use), left, right
        return
    start = left
    for (_, use), (after, other) in pairwise(zip(over, uses, strict=True)):
        if use != other:
            end = min(max(float(after.at), start), right)
            if end > start:
                yield use, start, end
            start = end
    if right > start:
        yield uses[-1], start, right


def _below(
    own: set[str], around: Standing, bar: float, use: Use, left: float, right: float
) -> Iterator[Plane]:
    """Give what is lit below a bar from one place to another: boards, then what is in use."""
    base = float(around.room.worktop_height) if use == "worktop" else 0.0
    least = min(LEAST_LENGTH, right - left)
    boards = [
        board
        for board in (
            (top_of(each, bar), max(float(each.at), left), min(float(each.at + each.width), right),
             each)
            for each in around.cabinets
            if each.kind != "upright" and each.id not in own
        )
        if base + _NEAR < board[0] < bar - _NEAR and board[2] - board[1] >= least
    ]  # fmt: skip
    if use == "hanging":
        yield _hanging(around, own, bar, (left, right), [top for top, *_ in boards])
    for board, start, end in _seen_from_above(boards, left, right) if boards else ():
        if board is not None:
            top, _, _, each = board
            yield Plane("shelf", each.id, top, start, end, float(each.depth))
    if use in ("worktop", "floor") and base < bar - _NEAR:
        # Where a run hangs under a board, it is that run whose light counts below.
        shaded = [(start, end) for _, start, end, each in boards if each.id in around.lit]
        for start, end in _rest(shaded, left, right):
            yield Plane(use, "", base, start, end, float(around.room.worktop_depth))


_Board = tuple[float, float, float, Cabinet]


def _seen_from_above(
    boards: Sequence[_Board], left: float, right: float
) -> list[tuple[_Board | None, float, float]]:
    """Give the highest board at each place, joined where they are level, deep alike and flush."""
    marks = sorted({left, right, *(mark for _, start, end, _ in boards for mark in (start, end))})
    found: list[tuple[_Board | None, float, float]] = []
    for start, end in pairwise(marks):
        here = max(
            (each for each in boards if each[1] <= start and each[2] >= end),
            key=lambda each: each[0],
            default=None,
        )
        last = found[-1] if found else None
        if last and last[2] == start and _alike(last[0], here):
            found[-1] = (last[0], last[1], end)
        else:
            found.append((here, start, end))
    return [each for each in found if each[2] - each[1] >= min(LEAST_LENGTH, right - left)]


def _alike(one: _Board | None, other: _Board | None) -> bool:
    if one is None or other is None:
        return one is other
    return one[0] == other[0] and one[3].depth == other[3].depth


def _rest(
    taken: Sequence[tuple[float, float]], left: float, right: float
) -> Iterator[tuple[float, float]]:
    """Give what is left of a length where others are taken off."""
    start = left
    for begin, end in sorted(taken):
        if begin - start >= LEAST_LENGTH:
            yield start, begin
        start = max(start, end)
    if right > start and (right - start >= LEAST_LENGTH or start == left):
        yield start, right


def _hanging(
    around: Standing, own: set[str], bar: float, ends: tuple[float, float], tops: Sequence[float]
) -> Plane:
    """Give the plane of clothes on a rail half way out under what a level bar hangs at."""
    out = min(float(each.depth) for each in around.cabinets if each.id in own) / 2
    foot = max([0.0, bar - RAIL_REACH, *tops])
    return Plane("hanging", "", bar, *ends, bar - foot, upright=True, out=out)


def _faced(bars: Sequence[Bar], around: Standing) -> Iterator[Plane]:
    """Give what bars on uprights face: clothes on a rail half way out, or fronts of shelves."""
    own = {name for bar in bars for name in bar.opening.cabinets}
    uprights = [each for each in around.cabinets if each.id in own]
    if not uprights:
        return
    use = use_of(uprights[0], around.wall, around.room)
    middles = [float(each.at + each.width / 2) for each in uprights]
    left, right = min(middles), max(middles)
    if right - left < LEAST_LENGTH:
        left, right = left - BESIDE, right + BESIDE
    left, right = max(left, 0.0), min(right, float(around.wall.length))
    if use == "hanging":
        out = min(float(each.depth) for each in uprights) / 2
    else:
        out = max(_depths_of_shelves(around, left, right), default=0.0)
    if use not in ("hanging", "shelf") or not out or right <= left:
        return
    head = max(float(bar.opening.right) for bar in bars)
    foot = min(float(bar.opening.left) for bar in bars)
    yield Plane(use, "", head, left, right, head - foot, upright=True, out=out)


def _depths_of_shelves(around: Standing, left: float, right: float) -> Iterator[float]:
    for each in around.cabinets:
        if each.kind != "upright" and left < float(each.at + each.width) and float(each.at) < right:
            yield float(each.depth)


def name_of(plane: Plane, words: RegionWords) -> str:
    """Name a plane in a table: ``worktop``, ``floor``, a shelf by its id."""
    if plane.upright:
        return "hanging rail" if plane.use == "hanging" else "shelf fronts"
    return plane.on or words.value(plane.use)


def where_words(plane: Plane, run: str) -> str:
    """Say where light of a run falls: ``below R1`` is on the worktop, ``on A2 below R1`` is not."""
    if plane.upright:
        rail = plane.use == "hanging"
        return f"on clothes on a rail by {run}" if rail else f"on the fronts of shelves by {run}"
    if plane.use == "worktop":
        return f"below {run}"
    return f"on {plane.on or 'the floor'} below {run}"


def edge_words(plane: Plane) -> tuple[str, str]:
    """Name where a plane's depth begins and ends."""
    return ("top", "foot") if plane.upright else ("wall", "front")

"""Where a run goes round a corner of the room: how far each of its two bars reaches."""

import math
from collections.abc import Iterator, Sequence
from decimal import ROUND_CEILING, Decimal
from itertools import pairwise
from typing import NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Cabinet, Run, Wall
from pelmet.model.job.parts import Channel
from pelmet.model.plan.bars.corner import butt_end, butt_start, crossing_point, mitre_setting
from pelmet.model.plan.bars.line import out_from_wall
from pelmet.model.plan.figure import Figure, derived, given, read_off
from pelmet.model.plan.survey.openings import Cover, Edge, Opening, are_level, end_of, start_of

_TENTH = Decimal("0.1")
_NOISE = 6  # decimals that angles are good for
_SHARPEST, _BLUNTEST, _STRAIGHT = 60, 300, 180  # [degrees] corners a bar is taken round
_NEARLY_STRAIGHT = 1  # [degrees]


class Turn(NamedTuple):
    """Two walls that follow each other, the corner after the first."""

    wall: Wall
    following: str

    @property
    def degrees(self) -> float:
        """The angle inside the room."""
        return float(self.wall.corner_degrees)

    @property
    def can_be_taken(self) -> bool:
        """Whether two bars can meet round it."""
        straight = abs(self.degrees - _STRAIGHT) < _NEARLY_STRAIGHT
        return _SHARPEST <= self.degrees <= _BLUNTEST and not straight


def turns(walls: Sequence[Wall]) -> Iterator[Turn]:
    """Give each pair of walls that follow each other in a room."""
    following = {
        wall.id: other.id
        for own in grouped(walls, lambda wall: wall.room).values()
        for wall, other in pairwise(own)
    }
    for wall in walls:
        if wall.id in following:
            yield Turn(wall, following[wall.id])


def meet(left: Cabinet, right: Cabinet, turn: Turn, allowances: Allowances) -> bool:
    """Tell whether two flush undersides at one height meet in the corner, so that bars can too.

    Inside a room one of the two cabinets reaches into the corner and the other stands against
    it; at an outside corner the first goes on over the corner's block.
    """
    if (left.wall, right.wall) != (turn.wall.id, turn.following) or not turn.can_be_taken:
        return False
    if not are_level(left, right, allowances):
        return False
    sine = abs(math.sin(math.radians(turn.degrees)))
    before = float(turn.wall.length - end_of(left))
    after = float(start_of(right))
    near = float(allowances.flush_gap)
    if turn.degrees > _STRAIGHT:
        return -before >= float(right.depth) / sine - near and after <= near
    return (before <= near and after <= float(left.depth) / sine + near) or (
        after <= near and before <= float(right.depth) / sine + near
    )


class _Lines(NamedTuple):
    """How far from their walls the two lines run, and how wide their channel is [mm]."""

    first: float
    second: float
    face: float


def turn_corner(
    run: Run,
    pair: tuple[Opening, Opening],
    cabinets: tuple[Cabinet, Cabinet],
    depths: tuple[Decimal, Decimal],
    turn: Turn,
    channel: Channel,
    allowances: Allowances,
) -> tuple[Opening, Opening]:
    """Let the openings before and after a corner reach as far as their bars do.

    ``cabinets`` meet in the corner; ``depths`` are those the two lines of light are set by [mm].
    """
    first, second = (float(out_from_wall(run.line, depth, channel, allowances)) for depth in depths)
    lines = _Lines(first, second, float(channel.face))
    before, after = pair
    back, on, edges = _reaches(run, lines, turn, allowances)
    right, left = turn.wall.length - _tenths(back), _tenths(on)
    if turn.degrees < _STRAIGHT:  # a wall that was measured to limits what a bar reaches
        if edges[0].kind == "face" and end_of(cabinets[0]) >= turn.wall.length:
            right = min(right, before.right)
        if edges[1].kind == "face" and start_of(cabinets[1]) <= 0:
            left = max(left, after.left)
    corner = _corner(turn)
    return (
        _reaching(before, before.left, right, (before.ends[0], edges[0]), cabinets[1], corner),
        _reaching(after, left, after.right, (edges[1], after.ends[1]), cabinets[0], corner),
    )


def _tenths(value: float) -> Decimal:
    """Round up to 0.1 mm what was worked out by angles, past the noise of that."""
    return Decimal(str(round(value, _NOISE))).quantize(_TENTH, ROUND_CEILING)


def _corner(turn: Turn) -> Figure:
    origin = "assumed" if "corner_degrees" in turn.wall.assumed else "reading"
    return given("corner", turn.wall.corner_degrees, "deg", origin, turn.wall.id)


def _reaches(
    run: Run, lines: _Lines, turn: Turn, allowances: Allowances
) -> tuple[float, float, tuple[Edge, Edge]]:
    """Give how far back the first opening ends, how far on the second starts, and at what."""
    first, second, face = lines
    degrees, gap = turn.degrees, float(allowances.corner_gap)
    back, on = crossing_point(degrees, first, second)
    there = turn.wall.length - Decimal(str(back)).quantize(_TENTH)
    here = Decimal(str(on)).quantize(_TENTH)
    if run.corner == "mitre":
        degree = _corner(turn)
        setting = derived("saw setting", "deg", mitre_setting, turn.wall.id, degree)
        cut = Edge("mitre", turn.following, there, setting)
        return back, on, (cut, Edge("mitre", turn.wall.id, here, setting))
    passes = run.corner == "first passes"
    edges = (
        Edge("face" if passes else "butt", turn.following, there),
        Edge("butt" if passes else "face", turn.wall.id, here),
    )
    if passes:
        back = butt_end(degrees, first, face, second, face)
        return back, butt_start(degrees, first, face, second, face, gap), edges
    on = butt_end(degrees, second, face, first, face)
    return butt_start(degrees, second, face, first, face, gap), on, edges


def _reaching(
    opening: Opening,
    left: Decimal,
    right: Decimal,
    ends: tuple[Edge, Edge],
    other: Cabinet,
    corner: Figure,
) -> Opening:
    about = opening.clear.about
    clear = read_off(
        "opening",
        max(right - left, Decimal(0)),
        "mm",
        "corner opening",
        about,
        opening.clear,
        corner,
    )
    covers = opening.covers
    if left < covers[0].left:
        covers = (Cover(other.id, left, covers[0].left), *covers)
    if right > covers[-1].right:
        covers = (*covers, Cover(other.id, covers[-1].right, right))
    return opening._replace(covers=covers, left=left, clear=clear, ends=ends)

"""The ways one cabinet, shelf or upright offers a cable: under, inside, over and up through it."""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.plan.survey.crossings import bars_inside, expected_crossing
from pelmet.model.plan.ways.place import (
    BELOW,
    Drilling,
    Level,
    Place,
    Rates,
    Way,
    WayKind,
    minutes,
    square_way,
)

_REMEMBERED = 4096  # cabinets
_PLACED = frozenset({"at", "width", "bottom_height"})
_TOP = frozenset({"height", "depth"})
_VOID = 12.0  # [mm] room behind a set-in back panel that takes a cable; common practice


class WayNet:
    """Places and ways while they are being gathered.

    Its ways number places from ``first`` on, so that they can stand in a larger net as they are.
    """

    def __init__(self, rates: Rates, first: int = 0) -> None:
        self.rates = rates
        self.places: list[Place] = []
        self.ways: list[Way] = []
        self._first = first

    def place(self, place: Place) -> int:
        """Add a place and give its row."""
        self.places.append(place)
        return len(self.places) - 1

    def join(
        self,
        start: int,
        end: int,
        kind: WayKind,
        drillings: Sequence[Drilling] = (),
        *,
        passes: tuple[str, ...] = (),
        level: bool = False,
        bare: bool = False,
        assumed: bool = False,
        length: float | None = None,
    ) -> None:
        """Add a way between two places, as long as the square way unless said [mm]."""
        if length is None:
            length = square_way(self.places[start], self.places[end])
        cost = minutes(kind, length, len(drillings), self.rates, level=level)
        one, other = self._first + start, self._first + end
        holes = tuple(drillings)
        self.ways.append(Way(one, other, kind, length, cost, holes, passes, bare, assumed))


class End(NamedTuple):
    """One end of a bar, where a cable comes to it."""

    bar: str
    side: str
    place: Place
    assumed: bool = False


class PlacedCabinet(NamedTuple):
    """A cabinet as the room has it: where it starts along the walls, what is under and in it."""

    cabinet: Cabinet
    left: float
    ends: tuple[End, ...]
    blocking: tuple[Obstacle, ...]
    at_left: tuple[float, ...] = ()  # heights of what touches an upright's faces [mm]
    at_right: tuple[float, ...] = ()

    @property
    def right(self) -> float:
        """Its right side along the room's walls [mm]."""
        return self.left + float(self.cabinet.width)

    @property
    def assumed(self) -> bool:
        """Whether nobody has measured where it stands, or how high."""
        return not _PLACED.isdisjoint(self.cabinet.assumed)

    @property
    def top_assumed(self) -> bool:
        """Whether nobody has measured where its top is."""
        return self.assumed or not _TOP.isdisjoint(self.cabinet.assumed)


class Rails(NamedTuple):
    """A cabinet's places by level, left to right.

    Of an upright ``under`` are the places up its left face, and ``inside`` up its right one.
    """

    hung: PlacedCabinet
    under: tuple[int, ...] = ()
    inside: tuple[int, ...] = ()
    top: tuple[int, ...] = ()

    def at(self, level: Level) -> tuple[int, ...]:
        """Give its places at a level; a shelf's top is what lies on it."""
        if level == "top":
            return self.top or (self.inside if self.hung.cabinet.kind == "shelf" else ())
        return self.under if level == "under" else self.inside


class LaidOut(NamedTuple):
    """A cabinet's places and ways, by the numbers they have in its room, and where bars end."""

    rails: Rails
    places: tuple[Place, ...]
    ways: tuple[Way, ...]
    ends: tuple[tuple[tuple[str, str], int], ...]


@lru_cache(maxsize=_REMEMBERED)
def rails_of(hung: PlacedCabinet, allowances: Allowances, rates: Rates, first: int) -> LaidOut:
    """Lay out one cabinet's ways; its places are numbered from ``first`` on."""
    net = WayNet(rates, first)
    found: dict[tuple[str, str], int] = {}
    rows = _rails(net, hung, allowances, found)
    return LaidOut(
        Rails(hung, *(tuple([first + row for row in level]) for level in rows[1:])),
        tuple(net.places),
        tuple(net.ways),
        tuple((end, first + row) for end, row in found.items()),
    )


def _rails(
    net: WayNet, hung: PlacedCabinet, allowances: Allowances, found: dict[tuple[str, str], int]
) -> Rails:
    """Lay out one cabinet in a net of its own, and put the bar ends under it into ``found``."""
    if hung.cabinet.kind == "upright":
        return _upright(net, hung, allowances, found)
    heights = _Heights.of(hung.cabinet, allowances)
    segments = list(_segments(hung))
    under: list[int] = []
    inside: list[int] = []
    doors: list[int] = []
    homes = [_nearest(end.place.along, segments) for end in hung.ends]
    for row, segment in enumerate(segments):
        ends = [end for end, home in zip(hung.ends, homes, strict=True) if home == row]
        own, rungs = _under(net, hung, segment, ends, heights, found)
        if under:
            _past(net, under[-1], own[0], hung.blocking[row - 1], hung, heights.out)
        if hung.cabinet.kind != "movable shelf":
            inner = _floor(net, hung, rungs, heights)
            if inside:
                _partition(net, inside[-1], inner[0], hung.blocking[row - 1], hung)
            inside += inner
        under += own
        doors += rungs
    top = _tops(net, hung, (doors[0], doors[-1]), inside, heights)
    return Rails(hung, tuple(under), tuple(inside), top)


class _Heights(NamedTuple):
    """Where holes and cables of a cabinet lie: out from the wall, and up from the floor [mm]."""

    out: float
    top_out: float
    bottom: float
    floor: float
    top: float
    side: float

    @classmethod
    def of(cls, cabinet: Cabinet, allowances: Allowances) -> "_Heights":
        middle = float(cabinet.depth) / 2
        void = float(cabinet.back_set_in)
        rail = void + float(allowances.rail_zone + allowances.pin_zone)
        out = void + float(allowances.hole_from_back)
        bottom, top = float(cabinet.bottom_height), float(cabinet.bottom_height + cabinet.height)
        floor = top if cabinet.kind == "shelf" else min(bottom + float(cabinet.bottom_panel), top)
        return cls(
            min(out, middle),
            min(max(out, rail), middle),
            bottom,
            floor,
            top,
            min(float(allowances.hole_from_side), float(cabinet.width) / 3),
        )


def _segments(hung: PlacedCabinet) -> Iterator[tuple[float, float]]:
    """Give the stretches of a cabinet's underside between what stands in it."""
    start = hung.left
    offset = hung.left - float(hung.cabinet.at)
    for obstacle in hung.blocking:
        left = min(max(float(obstacle.at) + offset, start), hung.right)
        yield start, left
        start = min(max(left, float(obstacle.at + obstacle.width) + offset), hung.right)
    yield start, hung.right


def _under(
    net: WayNet,
    hung: PlacedCabinet,
    segment: tuple[float, float],
    ends: Sequence[End],
    heights: _Heights,
    found: dict[tuple[str, str], int],
) -> tuple[list[int], list[int]]:
    """Lay the way along one stretch of the underside, with the bar ends that come to it.

    Gives its places, and those of them where a hole goes up.
    """
    start, stop = segment
    side = min(heights.side, (stop - start) / 2)
    rungs = sorted({start + side, stop - side})
    marks = {*rungs, *(_within(end.place.along, segment) for end in ends)}
    by_mark = {
        mark: net.place(Place(mark, heights.out, heights.bottom, "under", hung.cabinet.id))
        for mark in sorted(marks)
    }
    for one, other in pairwise(by_mark.values()):
        net.join(one, other, "under", assumed=hung.assumed)
    for end in ends:
        found[end.bar, end.side] = net.place(end.place)
        rail = by_mark[_within(end.place.along, segment)]
        net.join(found[end.bar, end.side], rail, "under", assumed=hung.assumed or end.assumed)
    return list(by_mark.values()), [by_mark[mark] for mark in rungs]


def _nearest(along: float, segments: Sequence[tuple[float, float]]) -> int:
    """Give which stretch of an underside a place is on, or nearest to."""
    off = [abs(_within(along, segment) - along) for segment in segments]
    return off.index(min(off))


def _within(along: float, segment: tuple[float, float]) -> float:
    return min(max(along, segment[0]), segment[1])


def _middle(obstacle: Obstacle, hung: PlacedCabinet) -> float:
    """Give the middle of what stands in a cabinet, along the walls of its room [mm]."""
    return hung.left + float(obstacle.at + obstacle.width / 2 - hung.cabinet.at)


def _past(
    net: WayNet, left: int, right: int, obstacle: Obstacle, hung: PlacedCabinet, out: float
) -> None:
    """Join the underside before and after something that stands in it, if it is passed there."""
    crossing = expected_crossing(obstacle)
    place = net.places[left]
    kinds: dict[str, WayKind] = {
        "hole": "under", "under": "under", "behind": "behind", "in wall": "in wall"
    }  # fmt: skip
    if crossing not in kinds:
        return
    middle = _middle(obstacle, hung)
    holes = [Drilling(obstacle.id, "obstacle", middle, out, place.height - BELOW)]
    net.join(
        left,
        right,
        kinds[crossing],
        holes if crossing == "hole" else (),
        passes=(obstacle.id,),
        assumed=bool(obstacle.assumed),
    )


def _floor(net: WayNet, hung: PlacedCabinet, rungs: Sequence[int], heights: _Heights) -> list[int]:
    """Bring cable up through the floor at the ends of a stretch, and along inside."""
    inner: list[int] = []
    for rung in dict.fromkeys(rungs):
        place = net.places[rung]
        inner.append(net.place(place._replace(height=heights.floor, level="inside")))
        hole = Drilling(hung.cabinet.id, "floor", place.along, heights.out, heights.bottom)
        net.join(rung, inner[-1], "through", [hole], assumed=hung.assumed)
    for one, other in pairwise(inner):
        net.join(one, other, "inside", assumed=hung.assumed)
    return inner


def _partition(net: WayNet, left: int, right: int, obstacle: Obstacle, hung: PlacedCabinet) -> None:
    """Go on inside past what stands in the underside: through a partition only by a hole."""
    if bars_inside(obstacle, hung.cabinet):
        return
    place = net.places[left]
    hole = Drilling(
        obstacle.id, "obstacle", _middle(obstacle, hung), place.out, place.height + place.out
    )
    drilled = obstacle.kind == "partition" and expected_crossing(obstacle) == "hole"
    holes = [hole] if drilled else []
    net.join(left, right, "inside", holes, passes=(obstacle.id,), assumed=hung.assumed)


def _tops(
    net: WayNet,
    hung: PlacedCabinet,
    under: tuple[int, int],
    inside: Sequence[int],
    heights: _Heights,
) -> tuple[int, ...]:
    """Bring cable up to the top: through it from inside, or behind a back that is set in."""
    if hung.cabinet.kind not in ("wall cabinet", "open unit"):
        return ()
    tops: list[int] = []
    for rung in dict.fromkeys(under):
        along = net.places[rung].along
        place = Place(along, heights.top_out, heights.top, "top", hung.cabinet.id)
        tops.append(net.place(place))
        if float(hung.cabinet.back_set_in) >= _VOID:
            net.join(rung, tops[-1], "behind", level=True, assumed=hung.top_assumed)
        for inner in inside:
            if net.places[inner].along == along:
                hole = Drilling(hung.cabinet.id, "top", along, heights.top_out, heights.top)
                net.join(inner, tops[-1], "through", [hole], assumed=hung.top_assumed)
    if not any(_bars_top(each, hung.cabinet) for each in hung.blocking):
        for one, other in pairwise(tops):
            net.join(one, other, "over", assumed=hung.top_assumed)
    return tuple(tops)


def _bars_top(obstacle: Obstacle, cabinet: Cabinet) -> bool:
    """Tell whether a cable on top of a cabinet is stopped by what stands in its underside."""
    return bars_inside(obstacle, cabinet) and expected_crossing(obstacle) in ("none", "not chosen")


def _upright(
    net: WayNet, hung: PlacedCabinet, allowances: Allowances, found: dict[tuple[str, str], int]
) -> Rails:
    """Lay the way up the back of an upright, with the ends of the bars that stand on it."""
    heights = _Heights.of(hung.cabinet, allowances)
    ends = (end.place.height for end in hung.ends)
    marks = sorted({heights.bottom, heights.top, *hung.at_left, *hung.at_right, *ends})
    faces = [
        {
            mark: net.place(Place(along, heights.out, mark, "upright", hung.cabinet.id))
            for mark in marks
        }
        for along in (hung.left, hung.right)
    ]
    for face in faces:
        for one, other in pairwise(face.values()):
            net.join(one, other, "up", assumed=hung.assumed)
    left, right = faces
    for mark in marks:
        hole = Drilling(hung.cabinet.id, "upright", hung.left, heights.out, mark - BELOW)
        net.join(left[mark], right[mark], "under", [hole], assumed=hung.assumed)
    # Its bars are come to up one face, where something stands; the other is through a hole.
    face = right if hung.at_right and not hung.at_left else left
    for end in hung.ends:
        found[end.bar, end.side] = net.place(end.place)
        mark = face[end.place.height]
        net.join(found[end.bar, end.side], mark, "under", assumed=hung.assumed or end.assumed)
    return Rails(hung, tuple(left.values()), tuple(right.values()))

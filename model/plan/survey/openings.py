"""Clear widths under a run: measured or worked out, joined, cut by what stands in them, shared."""

from collections.abc import Iterable, Iterator, Sequence
from decimal import ROUND_CEILING, ROUND_DOWN, Decimal
from itertools import pairwise
from typing import Literal, NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.plan.figure import Figure, derived_exactly, given, read_off
from pelmet.model.plan.formulas import works_out

# What cuts a line of light under a cabinet; the other kinds only ask for care.
BLOCKING = frozenset({"stile", "partition", "hood", "window", "corner", "pipe", "fridge gap"})
_TENTH = Decimal("0.1")
MOST_PIECES = 40  # no opening is made of more bars, nor a channel of more pieces

# face: something fixed stands there; free: nothing below the underside; joint: the next bar in
# line; butt: the side of a bar round the corner; mitre: the same, both cut at an angle.
EdgeKind = Literal["face", "free", "joint", "butt", "mitre"]


class Edge(NamedTuple):
    """What one end of an opening meets.

    At a corner, ``crossing`` is where along the wall the two lines of light meet [mm];
    ``setting`` is the saw's, from square [degrees].
    """

    kind: EdgeKind
    about: str = ""
    crossing: Decimal | None = None
    setting: Figure | None = None


class Cover(NamedTuple):
    """A cabinet over an opening, and from where to where it covers it along the wall [mm]."""

    cabinet: str
    left: Decimal
    right: Decimal


class Opening(NamedTuple):
    """A clear width that takes one bar; ``left`` is along its wall [mm].

    On an upright it is a clear height, and ``left`` is up from the floor. ``places`` are the
    readings of where its cabinets start.
    """

    wall: str
    covers: tuple[Cover, ...]
    left: Decimal
    clear: Figure
    places: tuple[Figure, ...]
    ends: tuple[Edge, Edge]
    shallowest: str  # the cabinet that sets the line, so that it is one line
    upright: bool = False

    @property
    def cabinets(self) -> tuple[str, ...]:
        """Ids of the cabinets over it, left to right."""
        return tuple(cover.cabinet for cover in self.covers)

    @property
    def right(self) -> Decimal:
        """Its right edge along the wall, or its upper one [mm]."""
        return self.left + Decimal(self.clear.value)

    @property
    def kinds(self) -> tuple[EdgeKind, ...]:
        """What its two ends meet."""
        return tuple(edge.kind for edge in self.ends)

    @property
    def caps(self) -> int:
        """How many ends of its bar take a cap: a mitred one takes none."""
        return sum(kind != "mitre" for kind in self.kinds)

    @property
    def joints(self) -> tuple[Decimal, ...]:
        """Where one cabinet's underside meets the next one's, along the wall [mm]."""
        return tuple((one.right + other.left) / 2 for one, other in pairwise(self.covers))

    def part(self, left: Decimal, clear: Figure, ends: tuple[Edge, Edge]) -> "Opening":
        """Give a part of it, under the cabinets that still cover it."""
        right = left + Decimal(clear.value)
        over = tuple(each for each in self.covers if each.left < right and each.right > left)
        return self._replace(covers=over or self.covers, left=left, clear=clear, ends=ends)


def stretches(cabinets: Iterable[Cabinet], allowances: Allowances) -> Iterator[tuple[Cabinet, ...]]:
    """Group cabinets, given in wall order, that one bar can pass under: flush, level, adjoining."""
    group: list[Cabinet] = []
    for cabinet in cabinets:
        if group and not one_plane(group[-1], cabinet, allowances):
            yield tuple(group)
            group = []
        group.append(cabinet)
    if group:
        yield tuple(group)


def one_plane(left: Cabinet, right: Cabinet, allowances: Allowances) -> bool:
    """Tell whether a bar can pass from one cabinet to the next without a step or a stile."""
    gap = abs(start_of(right) - end_of(left))
    return (
        left.wall == right.wall
        and gap <= allowances.flush_gap
        and are_level(left, right, allowances)
    )


def are_level(left: Cabinet, right: Cabinet, allowances: Allowances) -> bool:
    """Tell whether two undersides are flush and at one height; an upright has none."""
    step = abs(right.bottom_height - left.bottom_height)
    return (
        left.underside == right.underside == "flush"
        and "upright" not in (left.kind, right.kind)
        and step <= allowances.flush_step
    )


def start_of(cabinet: Cabinet) -> Decimal:
    """Give where a cabinet with its fillers starts along the wall [mm]."""
    return cabinet.at - cabinet.filler_left


def end_of(cabinet: Cabinet) -> Decimal:
    """Give where a cabinet with its fillers ends along the wall [mm]."""
    return cabinet.at + cabinet.width + cabinet.filler_right


def stands_over(cabinet: Cabinet, obstacle: Obstacle) -> bool:
    """Tell whether a cabinet and something at its wall share some width; edges may touch."""
    end = obstacle.at + obstacle.width
    near = cabinet.at < end and cabinet.at + cabinet.width > obstacle.at
    return cabinet.wall == obstacle.wall and near


def clear_width(cabinet: Cabinet) -> Figure:
    """Give a cabinet's clear width [mm]: its least reading, or what its outside size leaves.

    Of an upright it is the clear height.
    """
    about = cabinet.id
    if cabinet.opening:
        origin = "assumed" if "opening" in cabinet.assumed else "reading"
        readings = (given("reading", value, "mm", origin, about) for value in cabinet.opening)
        return derived_exactly("opening", "mm", least_reading, about, *readings)
    if cabinet.kind == "upright":
        return derived_exactly("opening", "mm", whole_height, about, _said(cabinet, "height"))
    width = _said(cabinet, "width")
    fillers = [
        _said(cabinet, field)
        for field in ("filler_left", "filler_right")
        if getattr(cabinet, field)
    ]
    if cabinet.underside == "flush":
        return derived_exactly("opening", "mm", flush_width, about, width, *fillers)
    panel = given("side panel", cabinet.side_panel, "mm", "assumed", about)
    return derived_exactly("opening", "mm", framed_width, about, width, panel)


@works_out("least reading")
def least_reading(*readings: Decimal) -> Decimal:
    """Give the clear width that was measured [mm]: the least of its readings."""
    return min(readings)


@works_out("unmeasured upright")
def whole_height(height: Decimal) -> Decimal:
    """Give the clear height of an upright that nobody measured [mm]: all of it."""
    return height


@works_out("unmeasured flush")
def flush_width(width: Decimal, *fillers: Decimal) -> Decimal:
    """Give the clear width of a flush underside that nobody measured [mm]."""
    return width + sum(fillers)


@works_out("unmeasured framed")
def framed_width(width: Decimal, panel: Decimal) -> Decimal:
    """Give the clear width between the sides of a cabinet that nobody measured [mm]."""
    return max(width - 2 * panel, Decimal(0))


def _said(cabinet: Cabinet, field: str) -> Figure:
    origin = "assumed" if field in cabinet.assumed else "reading"
    return given(field.replace("_", " "), getattr(cabinet, field), "mm", origin, cabinet.id)


def stretch_opening(stretch: Sequence[Cabinet]) -> Opening:
    """Give the one clear width under a stretch of flush cabinets, or under a single one."""
    clears = [clear_width(cabinet) for cabinet in stretch]
    first, last = stretch[0], stretch[-1]
    places = tuple(_place(cabinet) for cabinet in dict.fromkeys((first, last)))
    ends = (_end(first), _end(last))
    if first.kind == "upright":
        up = first.bottom_height + (first.height - Decimal(clears[0].value)) / 2
        cover = Cover(first.id, first.bottom_height, first.bottom_height + first.height)
        return Opening(first.wall, (cover,), up, clears[0], places, ends, first.id, upright=True)
    sets_line = min(stretch, key=lambda cabinet: cabinet.depth).id
    left = _middle(first) - Decimal(clears[0].value) / 2
    covers = tuple(Cover(each.id, start_of(each), end_of(each)) for each in stretch)
    if len(stretch) == 1:
        return Opening(first.wall, covers, left, clears[0], places, ends, sets_line)
    right = _middle(last) + Decimal(clears[-1].value) / 2
    about = " ".join(cabinet.id for cabinet in stretch)
    inputs = (clears[0], clears[-1], *places)
    whole = read_off("opening", right - left, "mm", "joined opening", about, *inputs)
    return Opening(first.wall, covers, left, whole, places, ends, sets_line)


def _middle(cabinet: Cabinet) -> Decimal:
    """Half way along what a reading of the opening spans [mm]."""
    if cabinet.underside == "flush":
        return (start_of(cabinet) + end_of(cabinet)) / 2
    return cabinet.at + cabinet.width / 2


def _end(cabinet: Cabinet) -> Edge:
    return Edge("free" if cabinet.underside == "flush" else "face", cabinet.id)


def cut_by(opening: Opening, obstacles: Iterable[Obstacle]) -> Iterator[Opening]:
    """Cut an opening at every blocking obstacle that stands in it, left to right."""
    standing = sorted(
        (
            obstacle
            for obstacle in obstacles
            if obstacle.wall == opening.wall
            and obstacle.at < opening.right
            and obstacle.at + obstacle.width > opening.left
        ),
        key=lambda obstacle: obstacle.at,
    )
    if not standing or opening.upright:
        yield opening
        return
    left, edge = opening.left, opening.ends[0]
    before: tuple[Figure, ...] = ()
    for at, end, figures, far in [
        *(
            (each.at, each.at + each.width, _edges(each), Edge("face", each.id))
            for each in standing
        ),
        (opening.right, opening.right, (), opening.ends[1]),
    ]:
        if at > left:
            clear = read_off(
                "opening",
                at - left,
                "mm",
                "cut opening",
                " ".join(opening.cabinets),
                opening.clear,
                *opening.places,
                *before,
                *figures[:1],  # the width of the next obstacle does not matter to this side of it
            )
            yield opening.part(left, clear, (edge, far))
        if end > left:
            left, before, edge = end, figures, far


def _place(cabinet: Cabinet) -> Figure:
    origin = "assumed" if "at" in cabinet.assumed else "reading"
    return given("starts at", cabinet.at, "mm", origin, cabinet.id)


def _edges(obstacle: Obstacle) -> tuple[Figure, ...]:
    def origin(field: str) -> str:
        return "assumed" if field in obstacle.assumed else "reading"

    return (
        given("starts at", obstacle.at, "mm", origin("at"), obstacle.id),
        given("width", obstacle.width, "mm", origin("width"), obstacle.id),
    )


def shared(opening: Opening, pieces: int) -> Iterator[Opening]:
    """Share one opening between several bars of the same length."""
    if pieces == 1:
        yield opening
        return
    count = given("bars an opening", pieces, "1", "choice", opening.clear.about)
    about = opening.clear.about
    each = derived_exactly("opening", "mm", equal_share, about, opening.clear, count)
    joint = Edge("joint")
    for piece in range(pieces):
        ends = (
            opening.ends[0] if piece == 0 else joint,
            opening.ends[1] if piece == pieces - 1 else joint,
        )
        yield opening.part(opening.left + piece * Decimal(each.value), each, ends)


@works_out("shared opening")
def equal_share(opening: Decimal, bars: int) -> Decimal:
    """Give what each of several bars gets of an opening, down to 0.1 mm [mm]."""
    return (opening / bars).quantize(_TENTH, ROUND_DOWN)


def split_at_joints(
    opening: Opening, longest: Figure, less: Decimal = Decimal(0)
) -> Iterator[Opening]:
    """Split an opening that is longer than a bar may be, where cabinets meet if that helps.

    The fewest openings, and of those the most even; one cabinet alone too wide is shared.
    ``less`` is what must be kept free of the longest because an end of it takes less off the
    opening than a plain one, as at a corner [mm]. What would take more than ``MOST_PIECES`` is
    left whole.
    """
    limit = max(Decimal(longest.value) - less, Decimal(1))
    fits = not less and Decimal(opening.clear.value) <= limit
    if fits or _bars(Decimal(opening.clear.value), limit) > MOST_PIECES:
        yield opening
        return
    marks = [opening.left, *(at for at in opening.joints if opening.left < at < opening.right)]
    marks.append(opening.right)
    joint = Edge("joint")
    cuts = _fewest(marks, limit)
    for left, right in pairwise(cuts):
        clear = read_off(
            "opening",
            right - left,
            "mm",
            "split opening",
            opening.clear.about,
            opening.clear,
            longest,
        )
        ends = (
            opening.ends[0] if left == opening.left else joint,
            opening.ends[1] if right == opening.right else joint,
        )
        part = opening.part(left, clear, ends)
        for piece in shared(part, _bars(right - left, limit)):
            yield piece._replace(clear=piece.clear._replace(formula_id="split opening"))


def _fewest(marks: Sequence[Decimal], limit: Decimal) -> list[Decimal]:
    """Choose the fewest of the marks to cut at, then the longest piece as short as can be.

    A piece between two neighbouring marks may be longer than the limit; it counts as the
    number of bars it has to be shared between.
    """
    best: list[tuple[int, Decimal, list[Decimal]]] = [(0, Decimal(0), [marks[0]])]
    for at in range(1, len(marks)):
        ways = []
        for before in range(at):
            width = marks[at] - marks[before]
            bars = _bars(width, limit)
            if bars > 1 and at - before > 1:
                continue
            count, longest, cuts = best[before]
            ways.append((count + bars, max(longest, width / bars), [*cuts, marks[at]]))
        best.append(min(ways))
    return best[-1][2]


def _bars(width: Decimal, limit: Decimal) -> int:
    return max(int((width / limit).to_integral_value(ROUND_CEILING)), 1)

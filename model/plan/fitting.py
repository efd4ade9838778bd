"""Openings to bars: what clear width a run has, and what bar, strip and dark rest it gives."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import ROUND_DOWN, Decimal
from functools import lru_cache
from typing import NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import Cabinet, Obstacle, Run
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cap, Strip
from pelmet.model.plan.figure import Figure, derived, given

# What cuts a line of light under a cabinet; the other kinds only ask for care.
BLOCKING = frozenset({"stile", "partition", "hood", "window", "corner", "pipe", "fridge gap"})
# How many runs' results are kept, so that a keystroke works out anew only what it changed.
REMEMBERED = 4096
_TENTH = Decimal("0.1")


class Opening(NamedTuple):
    """A clear width that takes one bar; ``left`` is along its wall [mm].

    ``places`` are the readings of where its cabinets start.
    """

    wall: str
    cabinets: tuple[str, ...]
    left: Decimal
    clear: Figure
    places: tuple[Figure, ...] = ()

    @property
    def right(self) -> Decimal:
        """Its right edge along the wall [mm]."""
        return self.left + Decimal(self.clear.value)


@dataclass(frozen=True, slots=True, eq=False)
class Bar:
    """One rigid length under an opening; places are along its wall [mm].

    Bars, and the fits they stand in, are told apart by identity: an unchanged run gives the
    same ones again, and the later stages know them at a glance.
    """

    id: str
    run: str
    opening: Opening
    length: Figure
    units: Figure
    lit: Figure
    dark: Figure
    rest: Figure
    share: Figure
    left: Decimal
    lit_left: Decimal

    @property
    def wall(self) -> str:
        """Id of the wall it hangs at."""
        return self.opening.wall

    @property
    def right(self) -> Decimal:
        """Right end of the bar along the wall [mm]."""
        return self.left + Decimal(self.length.value)

    @property
    def lit_right(self) -> Decimal:
        """Right end of the lit part along the wall [mm]."""
        return self.lit_left + Decimal(self.lit.value)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All figures of this bar, in the order a cut list wants them."""
        return (
            self.opening.clear,
            self.length,
            self.units,
            self.lit,
            self.dark,
            self.rest,
            self.share,
        )


@dataclass(frozen=True, slots=True, eq=False)
class RunFit:
    """The bars of one run, left to right, and the openings too short for any."""

    run: Run
    bars: tuple[Bar, ...]
    too_short: tuple[Opening, ...]


def fit(job: Job, parts: Catalogue) -> tuple[RunFit, ...]:
    """Fit every run whose channel and strip are known; the others get no bars."""
    by_wall = {wall.id: row for row, wall in enumerate(job.walls)}
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    fits: list[RunFit] = []
    for run in job.runs:
        named = [cabinets[name] for name in dict.fromkeys(run.cabinets)]
        above = sorted(named, key=lambda cabinet: (by_wall[cabinet.wall], cabinet.at))
        walls = {cabinet.wall for cabinet in above}
        standing = [each for each in job.obstacles if each.kind in BLOCKING and each.wall in walls]
        fits.append(fit_run(run, above, standing, job.allowances, parts))
    return tuple(fits)


def fit_run(
    run: Run,
    cabinets: Sequence[Cabinet],
    obstacles: Sequence[Obstacle],
    allowances: Allowances,
    parts: Catalogue,
) -> RunFit:
    """Turn one run's cabinets, in wall order, into bars."""
    channel = find_part(parts.channels, run.channel)
    if channel is None:
        return RunFit(run, (), ())
    return _fitted(
        run,
        tuple(cabinets),
        tuple(obstacles),
        allowances,
        find_part(parts.strips, run.strip),
        find_part(parts.caps, channel.cap),
    )


@lru_cache(maxsize=REMEMBERED)
def _fitted(
    run: Run,
    cabinets: tuple[Cabinet, ...],
    obstacles: tuple[Obstacle, ...],
    allowances: Allowances,
    strip: Strip | None,
    cap: Cap | None,
) -> RunFit:
    if allowances.cap_thickness is not None:
        cap_figure = given("cap", allowances.cap_thickness, "mm", "allowance")
    elif cap is not None:
        cap_figure = given("cap", cap.thickness, "mm", "part", cap.id)
    else:
        return RunFit(run, (), ())
    if strip is None:
        return RunFit(run, (), ())
    unit = given("cut unit", strip.cut_unit, "mm", "part", strip.id)
    openings = tuple(
        piece
        for stretch in stretches(cabinets, allowances)
        for opening in cut_by(stretch_opening(stretch), obstacles)
        for piece in shared(opening, run.pieces)
    )
    bars: list[Bar] = []
    too_short: list[Opening] = []
    for opening in openings:
        bar = fit_bar(f"{run.id}.{len(bars) + 1}", run, opening, unit, cap_figure, allowances)
        if bar is None:
            too_short.append(opening)
        else:
            bars.append(bar)
    return RunFit(run, tuple(bars), tuple(too_short))


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
    gap = abs(right.at - (left.at + left.width))
    step = abs(right.bottom_height - left.bottom_height)
    return (
        left.wall == right.wall
        and left.underside == right.underside == "flush"
        and gap <= allowances.flush_gap
        and step <= allowances.flush_step
    )


def clear_width(cabinet: Cabinet) -> Figure:
    """Give a cabinet's clear width [mm]: its least reading, or what its outside size leaves."""
    about = cabinet.id
    if cabinet.opening:
        origin = "assumed" if "opening" in cabinet.assumed else "reading"
        readings = (given("reading", value, "mm", origin, about) for value in cabinet.opening)
        return derived("opening", min(cabinet.opening), "mm", "least reading", about, *readings)
    width = given(
        "width", cabinet.width, "mm", "assumed" if "width" in cabinet.assumed else "reading", about
    )
    if cabinet.underside == "flush":
        return derived("opening", cabinet.width, "mm", "unmeasured flush", about, width)
    panel = given("side panel", cabinet.side_panel, "mm", "assumed", about)
    clear = max(cabinet.width - 2 * cabinet.side_panel, Decimal(0))
    return derived("opening", clear, "mm", "unmeasured framed", about, width, panel)


def stretch_opening(stretch: Sequence[Cabinet]) -> Opening:
    """Give the one clear width under a stretch of flush cabinets, or under a single one."""
    clears = [clear_width(cabinet) for cabinet in stretch]
    first, last = stretch[0], stretch[-1]
    left = first.at + (first.width - Decimal(clears[0].value)) / 2
    ids = tuple(cabinet.id for cabinet in stretch)
    places = tuple(_place(cabinet) for cabinet in dict.fromkeys((first, last)))
    if len(stretch) == 1:
        return Opening(first.wall, ids, left, clears[0], places)
    right = last.at + (last.width + Decimal(clears[-1].value)) / 2
    whole = derived(
        "opening",
        right - left,
        "mm",
        "joined opening",
        " ".join(ids),
        clears[0],
        clears[-1],
        *places,
    )
    return Opening(first.wall, ids, left, whole, places)


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
    if not standing:
        yield opening
        return
    left = opening.left
    before: tuple[Figure, ...] = ()
    for at, end, edges in [
        *((each.at, each.at + each.width, _edges(each)) for each in standing),
        (opening.right, opening.right, ()),
    ]:
        if at > left:
            clear = derived(
                "opening",
                at - left,
                "mm",
                "cut opening",
                " ".join(opening.cabinets),
                opening.clear,
                *opening.places,
                *before,
                *edges[:1],  # the width of the next obstacle does not matter to this side of it
            )
            yield Opening(opening.wall, opening.cabinets, left, clear, opening.places)
        if end > left:
            left, before = end, edges


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
    each = (Decimal(opening.clear.value) / pieces).quantize(_TENTH, ROUND_DOWN)
    count = given("bars an opening", pieces, "1", "choice", opening.clear.about)
    for piece in range(pieces):
        clear = derived(
            "opening", each, "mm", "shared opening", opening.clear.about, opening.clear, count
        )
        left = opening.left + piece * each
        yield Opening(opening.wall, opening.cabinets, left, clear, opening.places)


def fit_bar(
    own_id: str, run: Run, opening: Opening, unit: Figure, cap: Figure, allowances: Allowances
) -> Bar | None:
    """Fit one bar: length, whole cut units, lit and dark [mm]; nothing if no unit goes in.

    ``bar = opening - 2 clearance - 2 cap``; ``units = floor((bar - start - end) / unit)``.
    """
    clearance = given("clearance", allowances.end_clearance, "mm", "allowance")
    start = given("start zone", allowances.start_zone, "mm", "allowance")
    end = given("end zone", allowances.end_zone, "mm", "allowance")
    gap = allowances.end_clearance + Decimal(cap.value)
    length = Decimal(opening.clear.value) - 2 * gap
    usable = length - allowances.start_zone - allowances.end_zone
    step = Decimal(unit.value)
    if usable < step:
        return None
    units = int(usable // step)
    lit = units * step
    rest = usable - lit
    left = opening.left + gap
    at_feed = {"feed end": rest, "far end": Decimal(0), "shared": rest / 2}[run.dark_rest]
    before = (
        allowances.start_zone + at_feed
        if run.feed_end == "left"
        else allowances.end_zone + rest - at_feed
    )
    bar = derived("bar", length, "mm", "bar", own_id, opening.clear, clearance, cap)
    count = derived("cut units", units, "1", "units", own_id, bar, start, end, unit)
    lit_figure = derived("lit", lit, "mm", "lit", own_id, count, unit)
    return Bar(
        id=own_id,
        run=run.id,
        opening=opening,
        length=bar,
        units=count,
        lit=lit_figure,
        dark=derived("dark in the bar", length - lit, "mm", "dark", own_id, bar, lit_figure),
        rest=derived("dark rest", rest, "mm", "rest", own_id, bar, start, end, lit_figure),
        share=derived(
            "lit share", float(100 * lit / length), "%", "lit share", own_id, lit_figure, bar
        ),
        left=left,
        lit_left=left + before,
    )

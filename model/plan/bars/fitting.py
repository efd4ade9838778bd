"""Openings to bars: what clear widths a run has, how they are split, and the bars they take."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal
from functools import lru_cache
from itertools import count, pairwise
from types import MappingProxyType
from typing import NamedTuple

from pelmet.model.grouped import grouped
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.fits import cap_of, cover_of
from pelmet.model.job.items import Cabinet, Obstacle, Run
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cap, Channel, Strip
from pelmet.model.plan.bars.bar import Bar, BarSpec, DarkBand, band, fit_bar
from pelmet.model.plan.bars.in_place import with_built
from pelmet.model.plan.bars.lengths import bar_with_caps, longest_opening
from pelmet.model.plan.bars.put_in import pieces_to_go_in
from pelmet.model.plan.bars.turning import Turn, meet, turn_corner, turns
from pelmet.model.plan.figure import Figure, derived_exactly, given
from pelmet.model.plan.standing import StandingBar
from pelmet.model.plan.survey.openings import (
    BLOCKING,
    MOST_PIECES,
    Opening,
    cut_by,
    shared,
    split_at_joints,
    stretch_opening,
    stretches,
)
from pelmet.model.plan.survey.usual import stands_at

# How many runs' results are kept, so that a keystroke works out anew only what it changed.
REMEMBERED = 1024


@dataclass(frozen=True, slots=True, eq=False)
class RunFit:
    """The bars of one run, left to right, the dark between them, openings too short for any.

    ``longest`` is the longest a bar may be, and says what decides it [mm].
    """

    run: Run
    bars: tuple[Bar, ...]
    too_short: tuple[Opening, ...]
    bands: tuple[DarkBand, ...] = ()
    longest: Figure | None = None


class Surroundings(NamedTuple):
    """What a run's bars get past besides their cabinets: things in the way, corners, the top."""

    obstacles: tuple[Obstacle, ...]
    turns: tuple[Turn, ...]
    worktop: Decimal  # [mm above the floor]


def fit_runs(
    job: Job, parts: Catalogue, built: Mapping[str, tuple[StandingBar, ...]] = MappingProxyType({})
) -> tuple[RunFit, ...]:
    """Fit every run whose channel and strip are known; the others get no bars.

    ``built`` gives the bars that are cut or hang, by run.
    """
    by_wall = {wall.id: row for row, wall in enumerate(job.walls)}
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    tops = {room.id: room.worktop_height for room in job.rooms}
    corners = tuple(turns(job.walls))
    blocking = [each for each in job.obstacles if each.kind in BLOCKING]
    on_wall = grouped(blocking, lambda each: each.wall)
    fits: list[RunFit] = []
    for run in job.runs:
        named = [cabinets[name] for name in dict.fromkeys(run.cabinets)]
        above = sorted(named, key=lambda cabinet: (by_wall[cabinet.wall], cabinet.at))
        walls = {cabinet.wall for cabinet in above}
        several = len(walls) > 1
        around = Surroundings(
            tuple(each for each in blocking if each.wall in walls)
            if several
            else on_wall.get(above[0].wall, ()),
            tuple(turn for turn in corners if several and {turn.wall.id, turn.following} <= walls),
            tops[job.walls[by_wall[above[0].wall]].room],
        )
        own = built.get(run.id, ())
        fits.append(fit_run(run, above, around, job.allowances, parts, own))
    return tuple(fits)


def fit_run(
    run: Run,
    cabinets: Sequence[Cabinet],
    around: Surroundings,
    allowances: Allowances,
    parts: Catalogue,
    built: tuple[StandingBar, ...] = (),
) -> RunFit:
    """Turn one run's cabinets, in wall order, into bars.

    A cover that does not go on the run's channel gives way to its like that does.
    """
    channel = find_part(parts.channels, run.channel)
    strip = find_part(parts.strips, run.strip)
    if channel is None or strip is None:
        return RunFit(run, (), ())
    cap = cap_of(parts, channel)
    if not built:  # what is cut or hangs has the cover that it has
        cover = cover_of(parts, run)
        if cover and cover.id != run.diffuser:
            run = run.model_copy(update={"diffuser": cover.id})
    return _fitted(run, tuple(cabinets), around, allowances, channel, strip, cap, built)


@lru_cache(maxsize=REMEMBERED)
def _fitted(
    run: Run,
    cabinets: tuple[Cabinet, ...],
    around: Surroundings,
    allowances: Allowances,
    channel: Channel,
    strip: Strip,
    cap: Cap | None,
    built: tuple[StandingBar, ...],
) -> RunFit:
    if allowances.cap_thickness is not None:
        thickness = given("cap", allowances.cap_thickness, "mm", "allowance")
    elif cap is not None:
        thickness = given("cap", cap.thickness, "mm", "part", cap.id)
    else:
        return RunFit(run, (), ())
    clearance = given("clearance", allowances.end_clearance, "mm", "allowance")
    spec = BarSpec(run, strip, channel, thickness, clearance, allowances)
    longest = longest_bar(channel, allowances)
    by_id = {cabinet.id: cabinet for cabinet in cabinets}
    bars: list[Bar] = []
    too_short: list[Opening] = []
    openings = [
        opening
        for whole in _openings(cabinets, around, spec)
        for clear in cut_by(whole, _in_the_way(whole, by_id, around))
        for opening in _split(clear, by_id, around, spec, longest)
    ]
    taken = {each.number for each in built}
    free = (number for number in count(1) if number not in taken)
    number = next(free)
    for opening, own in with_built(openings, built, spec):
        bar = fit_bar(f"{run.id}.{own.number if own else number}", opening, spec, own)
        if bar is None:
            too_short.append(opening)
        elif own:
            bars.append(bar)
        else:
            bars.append(_spliced(bar, longest))
            number = next(free)
    bands = tuple(dark for left, right in pairwise(bars) if (dark := band(left, right)))
    return RunFit(run, tuple(bars), tuple(too_short), bands, longest)


def _in_the_way(
    opening: Opening, cabinets: Mapping[str, Cabinet], around: Surroundings
) -> Iterator[Obstacle]:
    """Give what stands at the height that light hangs at under an opening's cabinets."""
    under = min(float(cabinets[name].bottom_height) for name in opening.cabinets)
    for each in around.obstacles:
        if stands_at(each, under, float(around.worktop)):
            yield each


def longest_bar(channel: Channel, allowances: Allowances) -> Figure:
    """Give the longest a bar may be [mm], named after what decides it."""
    limits = [
        given("longest stock", max(channel.stock), "mm", "part", channel.id),
        *(
            given(name, value, "mm", "allowance", name)
            for name, value in (
                ("longest handled", allowances.longest_bar),
                ("longest in the van", allowances.van_longest),
                ("longest round the stairs", allowances.stairs_longest),
                ("longest in the lift", allowances.lift_longest),
            )
            if value is not None
        ),
    ]
    return min(limits, key=lambda limit: Decimal(limit.value))


def _openings(cabinets: tuple[Cabinet, ...], around: Surroundings, spec: BarSpec) -> list[Opening]:
    """Give the clear width under each stretch of cabinets, those that meet in a corner joined."""
    groups = list(stretches(cabinets, spec.allowances))
    openings = [stretch_opening(group) for group in groups]
    for row in range(len(groups) - 1):
        pair = groups[row][-1], groups[row + 1][0]
        for turn in around.turns:
            if meet(*pair, turn, spec.allowances):
                openings[row], openings[row + 1] = turn_corner(
                    spec.run,
                    (openings[row], openings[row + 1]),
                    pair,
                    (_least_depth(groups[row]), _least_depth(groups[row + 1])),
                    turn,
                    spec.channel,
                    spec.allowances,
                )
    return openings


def _split(
    opening: Opening,
    cabinets: dict[str, Cabinet],
    around: Surroundings,
    spec: BarSpec,
    longest: Figure,
) -> Iterator[Opening]:
    """Make of one clear width as many as there have to be bars."""
    pieces = max(spec.run.pieces, _pieces_to_go_in(opening, cabinets, around, spec))
    most = derived_exactly(
        "longest opening", "mm", longest_opening, spec.run.id, longest, spec.clearance, spec.cap
    )
    for piece in shared(opening, pieces):
        if spec.run.over_length == "splice" or spec.longest_edge(piece) <= Decimal(longest.value):
            yield piece
        else:
            yield from split_at_joints(piece, most, spec.least_taken(piece))


def _least_depth(cabinets: Sequence[Cabinet]) -> Decimal:
    return min(cabinet.depth for cabinet in cabinets)


def _pieces_to_go_in(
    opening: Opening,
    cabinets: dict[str, Cabinet],
    around: Surroundings,
    spec: BarSpec,
) -> int:
    """Give how many bars an opening has to be made of for them to come in at its mouth."""
    over = [cabinets[name] for name in opening.cabinets if name in cabinets]
    mouths = [cabinet.mouth for cabinet in over if cabinet.mouth is not None]
    if not mouths:
        return 1
    bottom = min(cabinet.bottom_height for cabinet in over)
    below = bottom - around.worktop if bottom > around.worktop else bottom
    whole = bar_with_caps(spec.length(opening), opening.caps, Decimal(spec.cap.value))
    pieces = pieces_to_go_in(
        float(whole),
        float(spec.channel.depth),
        float(opening.clear.value),
        float(face_depth(over)),
        float(min(mouths)),
        float(below),
    )
    return pieces or 1


def face_depth(cabinets: Sequence[Cabinet]) -> Decimal:
    """Give how far below the underside stand the faces that a bar goes in between [mm]."""
    return max((each.lip for each in cabinets if each.underside == "framed"), default=Decimal(0))


def _spliced(bar: Bar, longest: Figure) -> Bar:
    """Mark where the channel of a bar longer than one piece is joined, the pieces alike."""
    length = Decimal(bar.length.value)
    limit = Decimal(longest.value)
    pieces = int((length / limit).to_integral_value(ROUND_CEILING))
    if not 1 < pieces <= MOST_PIECES:
        return bar
    # Whole millimetres, unless that makes a piece longer than it may be.
    even = [length * at / pieces for at in range(pieces + 1)]
    whole = [at.quantize(Decimal(1)) for at in even]
    longer = max(end - start for start, end in pairwise((*whole[:-1], length)))
    return replace(bar, splices=tuple((whole if longer <= limit else even)[1:-1]))

"""The mounting sheet: bar by bar in the order of work, where it goes and what holds it."""

from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from typing import NamedTuple

from pelmet.model.job.built import HungBar
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.fits import cap_of
from pelmet.model.job.items import Room, Run
from pelmet.model.job.job import Job, Site
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.measures import kilograms_said
from pelmet.model.plan.mounting.bench import BenchWork
from pelmet.model.plan.mounting.mounts import Mount
from pelmet.model.plan.result import Plan
from pelmet.model.told.blocks.bars import (
    diffuser_words,
    end_names,
    mitre_words,
    places_words,
    splice_words,
    way_in_words,
)
from pelmet.model.told.blocks.pictures import section_picture, wall_picture
from pelmet.model.told.blocks.two_kinds import Telling, done_words, told_apart
from pelmet.model.told.cautions import cautions_on
from pelmet.model.told.drawings.section.cut import cuts, throw_words
from pelmet.model.told.figures import brief, length_text, printed
from pelmet.model.told.paper import Block, Grid, Heading, Points, Words, points


class _BarRow(NamedTuple):
    """One bar with its run and room, where it goes, and its bench work."""

    bar: Bar
    run: Run
    room: Room
    mount: Mount
    bench: BenchWork


def mounting_paper(plan: Plan, telling: Telling = "apart") -> tuple[Block, ...]:
    """Tell the fitter every bar, room by room and from left to right, with pictures."""
    rows = _in_order(plan)
    new = {one.bar.wall for one in rows if not one.bar.hangs}
    hanging = {each.name: each for each in plan.job.hung}

    def blocks(hung: Sequence[_BarRow]) -> Iterator[Block]:
        yield from _blocks(hung, plan)
        # A wall on which anything is new is drawn there, and not once more.
        built = telling != "as one" and all(one.bar.hangs for one in hung)
        if built:
            yield from points(done_words("hung", _noted(hung, hanging)))
        yield from _pictures([one for one in hung if not (built and one.bar.wall in new)], plan)

    return (
        *cautions_on(plan, "mounting"),
        *told_apart(telling, rows, lambda one: one.bar.hangs, blocks),
    )


def _noted(hung: Sequence[_BarRow], rows: Mapping[str, HungBar]) -> Iterator[tuple[str, HungBar]]:
    return ((one.bar.id, rows[one.bar.id]) for one in hung if one.bar.id in rows)


def mounting_blocks(plan: Plan) -> Iterator[Block]:
    """Tell where every bar goes and what holds it, in the order of work."""
    return _blocks(_in_order(plan), plan)


def _blocks(hung: Sequence[_BarRow], plan: Plan) -> Iterator[Block]:
    job, parts = plan.job, plan.parts
    if not hung:
        yield Words("There is no bar to hang.")
        return
    yield Words("Bars stand in the order of work: room by room, from left to right.")
    yield Heading("Where each goes")
    yield _places(hung, job)
    yield Points(tuple(_notes(hung, job)))
    yield Heading("What holds it")
    yield _held(hung, job)
    yield from points(dict.fromkeys(_parts(one, parts) for one in hung))


def _parts(one: _BarRow, parts: Catalogue) -> str:
    """Name what goes on a channel by its parts, as they stand in the order."""
    channel = find_part(parts.channels, one.run.channel)
    cap = channel and cap_of(parts, channel)
    held = one.bench
    goes = (cap, find_part(parts.diffusers, one.run.diffuser), held.clip, held.screw, held.tape)
    return f"On {one.run.channel}: {', '.join(part.id for part in goes if part)}."


def _in_order(plan: Plan) -> list[_BarRow]:
    """Give every bar in the order of work: room by room, wall by wall, along the wall."""
    rooms = {line.wall.id: plan.room for plan in plan.rooms for line in plan.walls}
    order = {wall: at for at, wall in enumerate(rooms)}
    mounts = {mount.bar: mount for mount in plan.mounts}
    bench = {one.bar.id: one for one in plan.bench}
    hung = [
        _BarRow(bar, fit.run, rooms[bar.wall], mounts[bar.id], bench[bar.id])
        for fit in plan.fits
        for bar in fit.bars
    ]

    def met(one: _BarRow) -> tuple[int, Decimal, Decimal]:
        along = one.mount.at if one.bar.upright else one.bar.left
        return order[one.bar.wall], along, one.bar.left

    return sorted(hung, key=met)


def _places(hung: Sequence[_BarRow], job: Job) -> Grid:
    unit = f"[{job.site.length_unit}]"
    head = ("bar", "wall", "under", f"left end {unit}", f"from wall {unit}", f"height {unit}",
            "assumed", "line", "throws")  # fmt: skip
    rows = tuple(_place(one, job) for one in hung)
    return Grid(head, rows, frozenset({3, 4, 5}), "mounting", frozenset({0}))


def _place(one: _BarRow, job: Job) -> tuple[str, ...]:
    bar, site = one.bar, job.site
    assumed = {
        "left end": any(place.assumed for place in bar.opening.places),
        "from wall": one.mount.from_wall.assumed,
        "height": one.mount.height.assumed,
    }
    left = bar.left if site.length_unit == "in" else round(bar.left, 2)
    return (
        bar.id,
        f"{bar.wall}, {one.room.name}",
        " ".join(bar.opening.cabinets),
        length_text(left, site, bare=True),
        brief(one.mount.from_wall, site),
        brief(one.mount.height, site),
        ", ".join(name for name, yes in assumed.items() if yes),
        one.run.line,
        throw_words(one.run.facing).removeprefix("throws "),
    )


def _notes(hung: Sequence[_BarRow], job: Job) -> Iterator[str]:
    yield (
        "Left end: along the wall, from its left-hand end. From wall: to the middle of the "
        "channel. Height: floor to the side the light leaves."
    )
    upright = [one.bar.id for one in hung if one.bar.upright]
    if upright:
        yield (
            f"{' '.join(upright)}: upright. Left end: the lower end, up from the floor. Height: "
            "its middle."
        )
    for one in hung:
        if one.bar.points:
            yield mitre_words(one.bench, job.site)
        if one.bar.splices:
            yield f"{one.bar.id}, channels joined at {splice_words(one.bar, job.site)}"


def _held(hung: Sequence[_BarRow], job: Job) -> Grid:
    weight = "weight [kg (lb)]" if job.site.region == "us" else "weight [kg]"
    head = ("bar", "held by", "at", "screws", "way in", "persons", weight, "diffuser")
    rows = tuple(_holding(one, job) for one in hung)
    return Grid(head, rows, frozenset({5, 6}), "mounting-fixing", frozenset({0}))


def _holding(one: _BarRow, job: Job) -> tuple[str, ...]:
    bench, site = one.bench, job.site
    near, _ = end_names(one.bar)
    screw = bench.screw.length if bench.screw else None
    screws = length_text(screw or job.allowances.screw_length, site)
    cut = diffuser_words(bench, site)
    places = places_words(bench.fixings, near, site)
    assumed = ", assumed" if one.bar.length.assumed else ""
    return (
        one.bar.id,
        _fixing(one, site),
        places and places + assumed,
        screws if bench.fixings else "",
        way_in_words(bench, site),
        f"{bench.people.value}",
        kilograms_said(f"{float(bench.weight.value):.2f}", site, unit=""),
        f"{one.run.diffuser} {cut}{assumed}" if cut else "none",
    )


def _fixing(one: _BarRow, site: Site) -> str:
    """Say what holds a bar: of tape its area, of a groove what it leaves of the panel."""
    bench = one.bench
    if bench.groove_left:
        return f"{one.run.fixing}, leaves {printed(bench.groove_left, site)} of the panel"
    if bench.tape_area:
        return f"{one.run.fixing}, {float(bench.tape_area.value):.0f} cm2, and clips"
    return one.run.fixing


def _pictures(hung: Sequence[_BarRow], plan: Plan) -> Iterator[Block]:
    """Draw every wall that these bars hang at, then a section of each kind of run on it."""
    walls = {cabinet.id: cabinet.wall for cabinet in plan.job.cabinets}
    looks = [cut for cut in cuts(plan) if cut.shape.lit]
    for wall, room in {one.bar.wall: one.room for one in hung}.items():
        yield Heading(f"Wall {wall}, {room.name}")
        yield wall_picture(plan, wall, room.name)
        yield from (section_picture(plan, cut) for cut in looks if walls[cut.cabinet] == wall)

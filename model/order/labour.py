"""Time: every operation that the plan holds, counted, at so many minutes of the price book.

The minutes are estimates that a person changes in the price book. Mains work is kept apart: it
belongs to a licensed person.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final, NamedTuple

from pelmet.model.job.parts import Side
from pelmet.model.job.piece_names import bar_of
from pelmet.model.job.prices import PriceBook, Task, Trade, Visit
from pelmet.model.order.left import Left
from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.circuit.leg_network import feed_reach
from pelmet.model.plan.circuit.protection import joints
from pelmet.model.plan.result import Plan

_ONE: Final = Decimal(1)
_MM_PER_METRE: Final = Decimal(1000)
_PERCENT: Final = Decimal(100)
_AN_HOUR: Final = Decimal(60)
_ON_SITE: Final = frozenset({"first fix", "second fix"})
_IN_ORDER: Final[tuple[Visit, ...]] = (
    "survey", "bench", "first fix", "second fix", "handover", "each visit", "travel",
)  # fmt: skip


class Work(NamedTuple):
    """One operation: how often or how many metres, and the minutes it takes in all.

    ``minutes`` are of all people together.
    """

    task: Task
    visit: Visit
    amount: Decimal
    minutes: Decimal
    people: int

    @property
    def hours(self) -> Decimal:
        """The same in hours."""
        return self.minutes / _AN_HOUR


class _Count(NamedTuple):
    """One operation as the plan holds it: how often, or how many metres; by how many people."""

    task: str
    amount: Decimal
    people: int = 1
    visit: Visit | None = None


def count_labour(plan: Plan, prices: PriceBook, left: Left) -> tuple[Work, ...]:
    """Count the operations of what there is to do of a plan, in the order of the visits."""
    found: dict[tuple[str, int, Visit], tuple[Task, Decimal, Decimal]] = {}
    counts = [*_bench(plan, left), *_cabling(plan, left), *_site(plan, left)]
    visits = _visits(counts, prices)
    counts += [_Count(task, _ONE, 1, visit) for visit in visits for task in ("set-up", "clean-up")]
    counts += [_Count("travel", _ONE) for _ in visits]
    for count in counts:
        task = prices.task(count.task)
        visit = count.visit or task.visit
        people = max(task.people, count.people)
        each = max(task.minutes * count.amount, task.least)
        if visit in _ON_SITE:
            each *= (_PERCENT + prices.congested_percent) / _PERCENT
        key = (task.id, people, visit)
        _, amount, minutes = found.get(key, (task, Decimal(0), Decimal(0)))
        found[key] = task, amount + count.amount, minutes + each * people
    rows = [
        Work(task, visit, amount, minutes, people)
        for (_, people, visit), (task, amount, minutes) in found.items()
        if amount
    ]
    return tuple(sorted(rows, key=lambda work: _IN_ORDER.index(work.visit)))


def minutes_of(work: Sequence[Work], trade: Trade) -> Decimal:
    """Total the minutes of one trade, of all its people."""
    return sum((each.minutes for each in work if each.task.trade == trade), Decimal(0))


def visits_of(work: Sequence[Work]) -> tuple[Visit, ...]:
    """Give the visits to the site that a job takes, in order: one, or two where walls close."""
    return tuple(
        visit for visit in _IN_ORDER if visit in _ON_SITE and any(w.visit == visit for w in work)
    )


def people_of(work: Sequence[Work], visit: Visit) -> int:
    """Give how many people a visit takes at most at one time."""
    return max((each.people for each in work if each.visit == visit), default=0)


def _visits(counts: Sequence[_Count], prices: PriceBook) -> list[Visit]:
    held = {count.visit or prices.task(count.task).visit for count in counts if count.amount}
    return [visit for visit in _IN_ORDER if visit in _ON_SITE and visit in held]


def _bench(plan: Plan, left: Left) -> Iterator[_Count]:
    uncut = {bar_of(piece.name) for piece in left.pieces if piece.kind == "channel"}
    bars = [bar for bar in plan.bars if bar.id in left.bars]
    # Each opening is read once, however many bars are made of it and whatever goes on past it.
    measured = {
        name for bar in plan.bars if bar_of(bar.id) in uncut for name in bar.opening.cabinets
    }
    yield _Count("measure-opening", Decimal(len(measured)))
    for bar in bars:
        yield _Count("end-caps", _ONE)
        yield _Count("bench-test", _ONE)
        yield _Count("stick-strip", Decimal(str(bar.lit.value)) / _MM_PER_METRE)
    for bar in plan.bars:
        if bar_of(bar.id) in uncut:
            yield _Count("mitre-end", Decimal(sum(bool(e.setting) for e in bar.opening.ends)))
    of = {"channel": "cut-bar", "diffuser": "cut-diffuser", "strip": "cut-strip"}
    for piece in left.pieces:
        if piece.kind in of and piece.run:
            yield _Count(of[piece.kind], _ONE)
    strips = [piece for piece in left.pieces if piece.kind == "strip" and piece.run]
    lit = {bar_of(piece.name) for piece in strips}
    yield _Count("join-strip", Decimal(len(strips) - len(lit)))
    for fit in plan.fits:
        points = [point for point in feed_points_of(fit) if point.bar in left.bars]
        links = [
            link
            for link in feed_reach(fit, plan.routes).links
            if link.cable and link.cable.id in left.cables
        ]
        yield _Count("solder-lead", Decimal(len(points) + 2 * len(links)))


def _cabling(plan: Plan, left: Left) -> Iterator[_Count]:
    """Where anything goes in a wall the cables are laid on a visit before the walls close."""
    cables = [cable for cable in plan.routes.cables if cable.id in left.cables]
    early = any(way.kind == "in wall" for cable in cables for way in cable.ways)
    visit: Visit = "first fix" if early else "second fix"
    for cable in cables:
        in_wall = any(way.kind == "in wall" for way in cable.ways)
        led = sum(way.length for way in cable.ways if way.kind != "in wall")
        yield _Count("fish-in-wall", Decimal(in_wall), 1, "first fix")
        yield _Count("route-cable", Decimal(str(led)) / _MM_PER_METRE, 1, visit)
        yield _Count("label-cable", _ONE, 1, visit)
    yield _Count("drill-hole", Decimal(len(left.holes)), 1, visit)
    # A joint that stands is opened again when a cable is to go on from it.
    again = {cable.before for cable in cables}
    made = joints(plan.parts, plan.routes, plan.circuits.legs)
    yield _Count(
        "joint",
        Decimal(sum(joint.each for joint in made if joint.cable in left.cables | again)),
    )


def _site(plan: Plan, left: Left) -> Iterator[_Count]:
    fixings = {run.id: run.fixing for run in plan.job.runs}
    for one in plan.bench:
        if one.bar.id not in left.bars:
            continue
        metres = Decimal(str(one.bar.length.value)) / _MM_PER_METRE
        yield _Count("hang-bar", metres, int(one.people.value))
        yield _Count("splice-bar", Decimal(len(one.bar.splices)))
        if fixings[one.bar.run] == "tape":
            yield _Count("clean-surface", metres)
    supplies = Decimal(len(plan.job.supplies) - len(left.fitted))
    yield _Count("mount-supply", supplies)
    yield _Count("mains-connect", supplies)
    for load in plan.controls.dimmers:
        if left.dims(load):
            yield _Count(_control(load.part.side), _ONE)
    for zone in plan.controls.zones:
        if zone.switch and left.controls(zone.legs):
            yield _Count(_control(zone.switch.side), _ONE)
    yield _Count("commission-leg", Decimal(len(left.legs)))
    if plan.bars and (left.bars or left.legs):
        yield _Count("handover", _ONE)


def _control(side: Side) -> str:
    return "mains-control" if side == "mains" else "mount-control"

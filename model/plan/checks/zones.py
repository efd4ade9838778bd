"""Checks on heat, splash and dust: over the hob, over the sink, and where a supply sits."""

from collections.abc import Iterator
from itertools import pairwise

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.items import Cabinet, Obstacle
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.formulas import Source
from pelmet.model.plan.measures import lengths_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.openings import stands_over

_SPLASH = 4  # IEC 60529, second digit: keeps out splashes from all sides
_MANUALS = Source(
    "common practice: the larger of the two manuals counts, of what cooks and of its hood",
    "common practice",
)
_IP = Source("IEC 60529 code IP44, asked for near sinks by common practice", "common practice")


def over_hob(plan: Plan) -> Iterator[Finding]:
    """A bar or a supply hangs over a hob."""
    heights = {mount.bar: float(mount.height.value) for mount in plan.mounts}
    limit = float(plan.job.allowances.hob_clearance)
    hob = plan.job.site.words.hob
    for zone in _zones(plan, "hob zone"):
        top = _worktop(plan, zone.wall)
        for bar in _above(plan, zone):
            high = heights[bar.id] - top
            near = high < limit
            hangs, least = lengths_said(plan.job.site, round(high, 1), limit)
            yield Finding(
                "stop" if near else "ask",
                "light-over-hob",
                "run",
                bar.run,
                "cabinets",
                f"{bar.id} hangs {hangs} over {zone.id}"
                + (f"; {least} is the least" if near else ", in its heat and grease"),
                f"leave the {hob} to the hood's own light: end the run beside it"
                if near
                else f"check both manuals, or end the run beside the {hob}",
                _MANUALS,
            )
        for supply in plan.job.supplies:
            home = _cabinet(plan, supply.cabinet)
            if (
                home
                and supply.place in ("in cabinet", "on top of cabinet")
                and stands_over(home, zone)
            ):
                yield Finding(
                    "stop",
                    "supply-over-hob",
                    "supply",
                    supply.id,
                    "cabinet",
                    f"{supply.id} sits over {zone.id}, in its heat and grease",
                    "put it into another cabinet with some air, near an outlet",
                    _MANUALS,
                )


def cable_over_hob(plan: Plan) -> Iterator[Finding]:
    """A cable runs along an underside over a hob, open to its heat and grease."""
    before = {line.wall.id: line.before for room in plan.rooms for line in room.walls}
    rooms = {wall.id: wall.room for wall in plan.job.walls}
    legs = {leg.id for leg in plan.job.legs}
    for zone in _zones(plan, "hob zone"):
        left = before[zone.wall] + float(zone.at)
        right = left + float(zone.width)
        over = [
            cable
            for cable in plan.routes.cables
            if cable.room == rooms[zone.wall]
            and any(
                way.kind == "under"
                and min(one.along, other.along) < right
                and max(one.along, other.along) > left
                for way, (one, other) in zip(cable.ways, pairwise(cable.places), strict=True)
            )
        ]
        for leg in dict.fromkeys(cable.leg for cable in over if cable.leg in legs):
            ids = " ".join(cable.id for cable in over if cable.leg == leg)
            yield Finding(
                "ask",
                "cable-over-hob",
                "leg",
                leg or "",
                "avoid",
                f"{ids} runs along the underside over {zone.id}, in its heat and grease",
                "send it inside or over the cabinet, or keep the leg out of it",
                _MANUALS,
            )


def over_sink(plan: Plan) -> Iterator[Finding]:
    """A bar hangs over a sink, and its strip does not stand splashes."""
    runs = {run.id: run for run in plan.job.runs}
    for zone in _zones(plan, "sink zone"):
        for bar in _above(plan, zone):
            strip = find_part(plan.parts.strips, runs[bar.run].strip)
            if strip and strip.ip % 10 < _SPLASH:
                yield Finding(
                    "ask",
                    "light-over-sink",
                    "run",
                    bar.run,
                    "strip",
                    f"{bar.id} hangs over {zone.id}; {strip.id} is IP{strip.ip:02}",
                    "choose a splash-proof strip (IP44), or a closed channel out of the spray",
                    _IP,
                )


def supply_place(plan: Plan) -> Iterator[Finding]:
    """A supply lives longest with little dust and some air, where it can be reached."""
    boards = {each.id for each in plan.job.cabinets if each.kind in ("shelf", "movable shelf")}
    for supply in plan.job.supplies:
        if supply.place == "walled in":
            yield Finding(
                "stop",
                "supply-walled-in",
                "supply",
                supply.id,
                "place",
                f"{supply.id} is walled in: no air, and nobody can reach it",
                "put it inside a cabinet with some air, near an outlet",
            )
        elif supply.place == "on top of cabinet" and supply.cabinet not in boards:
            yield Finding(
                "warn",
                "supply-in-dust",
                "supply",
                supply.id,
                "place",
                f"{supply.id} sits on top of a cabinet, where dust and grease shorten its life",
                "put it inside a cabinet with some air, near an outlet",
            )
        elif supply.cabinet is None and supply.place != "elsewhere":
            yield Finding(
                "ask",
                "supply-place-unknown",
                "supply",
                supply.id,
                "cabinet",
                f"nobody has said at which cabinet {supply.id} sits",
                "name the cabinet: inside one with some air, near an outlet, is best",
            )


def _zones(plan: Plan, kind: str) -> list[Obstacle]:
    return [each for each in plan.job.obstacles if each.kind == kind]


def _above(plan: Plan, zone: Obstacle) -> Iterator[Bar]:
    """Give the bars over a zone: at its wall, above its worktop."""
    for bar in plan.bars:
        right = zone.at + zone.width
        if bar.wall == zone.wall and not bar.upright and bar.left < right and bar.right > zone.at:
            yield bar


def _worktop(plan: Plan, wall: str) -> float:
    rooms = {room.id: room for room in plan.job.rooms}
    room = next(each.room for each in plan.job.walls if each.id == wall)
    return float(rooms[room].worktop_height)


def _cabinet(plan: Plan, name: str | None) -> Cabinet | None:
    return next((each for each in plan.job.cabinets if each.id == name), None)


CHECKS = (over_hob, cable_over_hob, over_sink, supply_place)

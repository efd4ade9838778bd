"""Checks on cable ways: how obstacles are passed, what has no way, what goes in a wall, holes."""

from collections.abc import Iterator

from pelmet.model.job.feeds import Leg
from pelmet.model.job.items import Obstacle
from pelmet.model.plan.bars.feed_points import fed_by
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.formulas import SURVEY
from pelmet.model.plan.measures import length_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.crossings import SUITED, WORK, expected_crossing
from pelmet.model.plan.ways.cable import Cable


def crossing_not_chosen(plan: Plan) -> Iterator[Finding]:
    """A cable has to get past something, and nobody has said how."""
    unsettled = {each.id: each for each in plan.job.obstacles if each.crossing == "not chosen"}
    if not unsettled:
        return
    passed: dict[str, str] = {}
    for link in plan.routes.links:
        for name in link.obstacles:
            passed[name] = link.run
    through = plan.routes.passed
    for cable in plan.routes.cables:
        for name in through.get(cable.id, ()):
            passed[name] = cable.id
    unknown = [lead for lead in plan.routes.leads if lead.length is None]
    shut = _shut_by_room(plan) if unknown else {}
    for lead in unknown:
        passed = dict.fromkeys(shut.get(lead.room, ()), lead.id) | passed
    for name, by in passed.items():
        if name in unsettled:
            yield _unsettled(unsettled[name], by)


def _shut_by_room(plan: Plan) -> dict[str, list[str]]:
    """Give what no cable may pass, by room."""
    rooms = {wall.id: wall.room for wall in plan.job.walls}
    found: dict[str, list[str]] = {}
    for each in plan.job.obstacles:
        if each.kind in SUITED and expected_crossing(each) in ("none", "not chosen"):
            found.setdefault(rooms[each.wall], []).append(each.id)
    return found


def _unsettled(obstacle: Obstacle, by: str) -> Finding:
    reckoned = expected_crossing(obstacle)
    none = reckoned == "not chosen"
    suited = [way for way in SUITED[obstacle.kind] if not (none and way == "behind")]
    says = (
        f"a hood without a cover has no way for the cable of {by} until one is chosen"
        if none
        else f"{by} passes {obstacle.id}; its cable is reckoned {WORK[reckoned].says}"
    )
    return Finding(
        "stop" if none else "ask",
        "crossing-not-chosen",
        "obstacle",
        obstacle.id,
        "crossing",
        says,
        f"choose how the cable passes it: {', '.join(suited)}, or none",
    )


def crossing_unsuited(plan: Plan) -> Iterator[Finding]:
    """The chosen crossing is not one that is made past this kind of thing, or it shows."""
    for each in plan.job.obstacles:
        suited = SUITED.get(each.kind)
        if suited is None or each.crossing in ("not chosen", "none"):
            continue
        if each.crossing not in suited:
            yield Finding(
                "warn",
                "crossing-unsuited",
                "obstacle",
                each.id,
                "crossing",
                f"a cable does not usually pass a {each.kind} {WORK[each.crossing].says}",
                f"choose {' or '.join(suited)}, or none",
            )
        elif each.kind == "hood" and each.crossing == "behind" and each.cover == "open":
            yield Finding(
                "warn",
                "cable-seen-behind-hood",
                "obstacle",
                each.id,
                "cover",
                f"{each.id} has no cover, so what runs behind it shows",
                "choose over or in wall, or say that it is covered",
            )


def no_way_past(plan: Plan) -> Iterator[Finding]:
    """A run goes on beyond something its cable may not pass."""
    for link in plan.routes.links:
        if link.cable is None and link.crossing != "not chosen":
            yield Finding(
                "stop",
                "no-way-past",
                "run",
                link.run,
                "cabinets",
                f"no cable goes from {link.from_bar} to {link.to_bar}; one side of the run is dark",
                "end the run there and make another with its own leg, or choose a crossing",
            )


def no_feed_way(plan: Plan) -> Iterator[Finding]:
    """No cable gets from the supply to a feed end, or its length cannot be worked out."""
    start_rooms = {
        supply: room for room, net in plan.routes.networks.items() for supply in net.supplies
    }
    legs = {leg.id: leg for leg in plan.job.legs}
    by_id = {lead.id: lead for lead in plan.routes.leads}
    for lead in plan.routes.leads:
        if lead.length is not None:
            continue
        leg = legs[lead.leg or ""]
        start = by_id[lead.before].room if lead.before else start_rooms.get(leg.supply)
        if start == lead.room:
            yield _shut_off(lead, leg, plan)
            continue
        led = {each.run for each in plan.routes.leads}
        first = next((run for run in fed_by(plan.job, leg.id) if run in led), lead.run)
        yield Finding(
            "ask",
            "lead-unknown",
            "leg",
            leg.id,
            "length",
            f"the cable from {lead.origin} to {lead.end} cannot be worked out from the plan",
            "type its measured length"
            if lead.run == first
            else f"give {lead.run} a leg of its own and type its measured length",
            SURVEY,
        )


def _shut_off(lead: Cable, leg: Leg, plan: Plan) -> Finding:
    barred = _shut_by_room(plan).get(lead.room, [])
    past = f" past {' '.join(barred)}" if barred else ""
    kept = f", kept out of {' '.join(leg.avoid)}" if leg.avoid else ""
    return Finding(
        "stop",
        "no-feed-way",
        "leg",
        leg.id,
        "avoid" if leg.avoid else "length",
        f"no cable gets from {lead.origin} to {lead.end}{past}{kept}",
        "choose a crossing, put a supply on that side, "
        + ("let it into what it is kept out of, " if leg.avoid else "")
        + "or type the measured length of a way that is not on the plan",
    )


def cable_in_wall(plan: Plan) -> Iterator[Finding]:
    """Cable goes in a wall: the licensed person decides which kind, and before walls close."""
    found: dict[str, tuple[float, list[str]]] = {}
    for cable in plan.routes.cables:
        for way in cable.ways:
            if way.kind == "in wall":
                length, why = found.setdefault(cable.leg or cable.id, (0.0, []))
                found[cable.leg or cable.id] = (length + way.length, why)
                why += way.passes or (["bare wall"] if way.bare else [])
    legs = {leg.id for leg in plan.job.legs}
    for leg, (length, why) in found.items():
        if leg not in legs:
            continue
        past = f" ({', '.join(dict.fromkeys(why))})" if why else ""
        yield Finding(
            "ask",
            "cable-in-wall",
            "leg",
            leg,
            "avoid",
            f"{length_said(round(length), plan.job.site)} of {leg} go in the wall{past}",
            "ask the licensed person which cable may go in it, and lay it before walls close; "
            "or choose other crossings",
        )


def through_and_kept_out(plan: Plan) -> Iterator[Finding]:
    """A leg's cable is told to go through a cabinet and to keep out of it."""
    for leg in plan.job.legs:
        both = [name for name in leg.via if name in leg.avoid]
        if both:
            yield Finding(
                "ask",
                "through-and-kept-out",
                "leg",
                leg.id,
                "via",
                f"{leg.id} is to go by way of {' '.join(both)} and to keep out of it",
                "take it out of one of the two",
                SURVEY,
            )


def hole_too_near(plan: Plan) -> Iterator[Finding]:
    """A hole would come too near to an edge, pins, plates or the rail a cabinet hangs on."""
    for hole in plan.holes:
        for flag in () if hole.there else hole.flags:
            yield Finding(
                "ask",
                "hole-too-near",
                "cabinet",
                hole.owner,
                "depth",
                f"{hole.id} through the {hole.panel} of {hole.owner}: {flag}",
                "look before drilling; move it by the Hole from back and Hole from side "
                "allowances, or send the cable another way",
            )


CHECKS = (
    no_way_past,
    no_feed_way,
    crossing_not_chosen,
    crossing_unsuited,
    cable_in_wall,
    through_and_kept_out,
    hole_too_near,
)

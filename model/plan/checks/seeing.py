"""Checks on what the eye meets: dots, the image in the top, the strip itself, and whites."""

from collections.abc import Iterator, Sequence
from itertools import combinations
from typing import Final

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.items import Facing
from pelmet.model.job.job import Site
from pelmet.model.plan.checks.bars import looked_into
from pelmet.model.plan.finding import Finding, said
from pelmet.model.plan.formulas import PARTS, Source
from pelmet.model.plan.light.mirrored import Image
from pelmet.model.plan.light.photometry.colour import (
    UNNOTICED_STEPS,
    ColourStep,
    colour_step,
    nominal_spread,
    nominal_white,
)
from pelmet.model.plan.light.seeing import FROM, HIDES, RunSight, Seat, is_practical
from pelmet.model.plan.measures import length_said, lengths_said
from pelmet.model.plan.mounting.mounts import throw_degrees
from pelmet.model.plan.result import Plan

AS_BRIGHT: Final = 1.0
"""An image as bright as the top that it lies on can no longer be overlooked: an estimate. [-]"""
POOR_RA: Final = 80
"""EN 12464-1 asks for Ra 80 where people work long; from memory. [-]"""

_OPTICS = Source("Fresnel's equations and the image method", "published")
_STEPS = Source("CIE 1976 u'v', steps of 0.0011 as CIE TN 001:2014, from memory", "from memory")
_RENDERS = Source("Ra 80 by EN 12464-1; from memory, check it", "from memory")


def dots_seen(plan: Plan) -> Iterator[Finding]:
    """LEDs show as dots: from a seat, or mirrored in the top; a satin top only blurs them."""
    limit = float(plan.job.allowances.visible_dots)
    asked = []
    for seen in _dotted(plan, limit):
        mirrored = seen.image is not None and seen.image.sight.seen
        finish = seen.room.worktop_finish
        if seen.in_sight or (mirrored and finish == "polished"):
            where = f"from {' '.join(seen.sides)}" if seen.in_sight else "in the polished top"
            yield _dots("warn", [seen], f"are seen {where}", limit)
        elif mirrored and finish == "satin":
            asked.append(seen)
    if asked:
        yield _dots("ask", asked, "may show in the satin top", limit)


def strip_mirrored(plan: Plan) -> Iterator[Finding]:
    """A polished top shows the image of a strip; another line does not hide it, as is said."""
    dotted = list(_dotted(plan, float(plan.job.allowances.visible_dots)))
    for seen in plan.sights:
        image = seen.image
        if image is None or seen.room.worktop_finish != "polished" or not image.sight.seen:
            continue
        if image.contrast is not None and float(image.contrast.value) > AS_BRIGHT:
            yield Finding(
                "warn",
                "strip-mirrored",
                "run",
                seen.run,
                "diffuser",
                f"the polished top mirrors {seen.run} "
                f"{length_said(round(image.at.value), plan.job.site)} from the wall, "
                f"{said(round(float(image.contrast.value), 1))} times as bright as the top"
                f"{_moved(image, plan.job.site)}",
                _what_helps(image, plan, seen.run, dotted=seen in dotted),
                _OPTICS,
            )


def strip_in_sight(plan: Plan) -> Iterator[Finding]:
    """Somebody seated at an open side sees the strip itself: across it, beyond it or behind."""
    told = {run.id for run, _ in looked_into(plan)}
    for seen in plan.sights:
        seats = [
            seat
            for seat in seen.seats
            if seat.in_sight and not (seat.looked_in == "across" and seen.run in told)
        ]
        for where in dict.fromkeys(seat.looked_in for seat in seats):
            here = [seat for seat in seats if seat.looked_in == where]
            deep, remedy = _hidden_by(here, plan)
            yield Finding(
                "warn",
                "strip-in-sight",
                "run",
                seen.run,
                "line",
                f"people seated {FROM[where]} {' '.join(seat.side for seat in here)} look into "
                f"{seen.run}{deep}",
                remedy,
                Source("similar triangles, from the eye past the lip", "derived"),
            )


def _hidden_by(seats: Sequence[Seat], plan: Plan) -> tuple[str, str]:
    """Say what hides a strip from seats of one kind, and what to do."""
    what = HIDES[seats[0].looked_in]
    lip = max((seat.lip for seat in seats if seat.lip), key=lambda lip: lip.value, default=None)
    if lip is None:
        return "", "a line under the cabinet: no lip hides what hangs before it"
    deep, limit = lengths_said(plan.job.site, lip.value, plan.job.allowances.practical_lip)
    if not is_practical(lip, plan.job.allowances):
        instead = {
            "across": "a line nearer the front",
            "end": "a diffuser without dots, or a strip that ends short of it",
            "behind": "a line nearer the back",
        }[seats[0].looked_in]
        return (
            f"; {what} that hides it would be {deep} deep, over {limit}",
            f"{instead}, or a deeper channel",
        )
    near = {"across": ", or a line nearer the front", "behind": ", or a line nearer the back"}
    return (
        f"; {what} {deep} deep hides it",
        f"{what} as deep as that{near.get(seats[0].looked_in, '')}",
    )


def whites_apart(plan: Plan) -> Iterator[Finding]:
    """Runs that are seen together are of whites that differ."""
    for one, other in _pairs(plan):
        step = _step(one, other)
        if step is not None and step.steps > UNNOTICED_STEPS:
            yield Finding(
                "warn",
                "whites-apart",
                "run",
                other.run,
                "strip",
                f"{other.run} is {_kelvin(other)} K beside {one.run} of {_kelvin(one)} K: "
                f"{step.steps:.0f} steps apart, {step.words}",
                "choose strips of one white for what is seen together",
                _STEPS,
            )


def white_spread(plan: Plan) -> Iterator[Finding]:
    """Runs that are seen together are sold as one white, which may differ from reel to reel."""
    batches = {run.id: run.batch for run in plan.job.runs}
    found: dict[str, RunSight] = {}
    for pair in _pairs(plan):
        own = [batches[each.run] for each in pair]
        loose = any(
            each.strip and (each.strip.colour_steps or UNNOTICED_STEPS + 1) > UNNOTICED_STEPS
            for each in pair
        )
        if not loose or _kelvin(pair[0]) != _kelvin(pair[1]) or own[0] == own[1] != "":
            continue
        if all(own):
            yield _batches_apart(pair, own)
        else:
            found.update((each.run, each) for each in pair)
    if found:
        first = next(iter(found.values()))
        white = nominal_white(_kelvin(first))
        apart = (
            f"; two reels sold as {white.kelvin} K can be {nominal_spread(white).steps:.0f} apart"
            if white
            else ""
        )
        yield Finding(
            "ask",
            "white-spread",
            "run",
            first.run,
            "strip",
            f"{' '.join(found)} are seen together, and their white is not kept within "
            f"{UNNOTICED_STEPS:.0f} steps{apart}",
            "order them as one batch, and write it down for what is added later",
            _STEPS,
        )


def _batches_apart(pair: Sequence[RunSight], batches: Sequence[str]) -> Finding:
    one, other = pair
    return Finding(
        "warn",
        "batches-apart",
        "run",
        other.run,
        "batch",
        f"{one.run} is of batch {batches[0]}, {other.run} beside it of {batches[1]}, and their "
        f"white is not kept within {UNNOTICED_STEPS:.0f} steps",
        "look at both lit beside each other before they are hung, or take one batch for both",
        _STEPS,
    )


def renders_poorly(plan: Plan) -> Iterator[Finding]:
    """A strip shows colours, or strong red, badly."""
    poor = [seen for seen in plan.sights if seen.strip and _is_poor(seen)]
    if poor:
        strips = dict.fromkeys(seen.strip for seen in poor if seen.strip)
        words = ", ".join(
            f"{strip.id} Ra {'not said' if strip.cri is None else strip.cri}"
            f"{'' if strip.r9 is None else f' R9 {strip.r9}'}"
            for strip in strips
        )
        yield Finding(
            "ask",
            "renders-poorly",
            "run",
            poor[0].run,
            "strip",
            f"food and wood look dull under {' '.join(seen.run for seen in poor)}: {words}",
            f"a strip of Ra {POOR_RA} or more, with R9 above 0",
            _RENDERS,
        )


def _dotted(plan: Plan, limit: float) -> Iterator[RunSight]:
    for seen in plan.sights:
        if seen.dots is not None and float(seen.dots.value) > limit:
            yield seen


def _dots(level: str, those: Sequence[RunSight], how: str, limit: float) -> Finding:
    shares = [float(seen.dots.value) for seen in those if seen.dots]
    clear = any(seen.clear for seen in those)
    return Finding(
        "warn" if level == "warn" else "ask",
        "dots-seen",
        "run",
        those[0].run,
        "diffuser" if clear else "strip",
        f"dots of {' '.join(seen.run for seen in those)} {how}: {said(round(max(shares), 1))} % "
        f"uneven, over {said(limit)} %",
        "a diffuser in place of the clear cover"
        if clear
        else "a strip without dots or of finer pitch, or a deeper channel",
        PARTS,
    )


def _moved(image: Image, site: Site) -> str:
    """Say where the image is from the other lines, and whether that hides it."""
    if not image.elsewhere:
        return ""
    at = " and ".join(
        f"{length_said(round(each.image), site)} from the {each.line}" for each in image.elsewhere
    )
    hidden = [each.line for each in image.elsewhere if not each.seen]
    still = "still in sight" if not hidden else f"out of sight from the {' and '.join(hidden)}"
    return f"; {at}, {still}"


def _what_helps(image: Image, plan: Plan, run_id: str, *, dotted: bool) -> str:
    soft = "a diffuser and strip without dots make it one soft line"
    ways = [soft if dotted else "without dots it is one soft line: agree on it"]
    throws = _advised(plan, run_id, image.throws)
    if throws:
        ways.append(f"{throws[0]} hides it")
    if image.lip is not None and image.lip <= float(plan.job.allowances.practical_lip):
        ways.append(f"a lip {length_said(round(image.lip), plan.job.site)} deep hides it")
    return "; ".join(ways)


def _advised(plan: Plan, run_id: str, throws: Sequence[Facing]) -> list[Facing]:
    """Leave out the throws that another check advises against: flatter than the channel can."""
    run = next(each for each in plan.job.runs if each.id == run_id)
    channel = find_part(plan.parts.channels, run.channel)
    ways = channel.throws if channel else ()
    return [
        throw
        for throw in throws
        if (degrees := throw_degrees(throw)[0]) not in ways or degrees == max(ways)
    ]


def _pairs(plan: Plan) -> Iterator[tuple[RunSight, RunSight]]:
    """Give the pairs of runs that are seen together, both of a known white that is fixed."""
    fixed = [seen for seen in plan.sights if seen.strip and seen.strip.channels == 1]
    for one, other in combinations(fixed, 2):
        if other.run in one.beside:
            yield one, other


def _kelvin(seen: RunSight) -> int:
    assert seen.strip is not None
    return seen.strip.kelvin


def _step(one: RunSight, other: RunSight) -> ColourStep | None:
    if _kelvin(one) == _kelvin(other):
        return None
    return colour_step(_kelvin(one), _kelvin(other))


def _is_poor(seen: RunSight) -> bool:
    strip = seen.strip
    if strip is None:
        return False
    return (strip.cri is not None and strip.cri < POOR_RA) or (
        strip.r9 is not None and strip.r9 < 0
    )


CHECKS = (dots_seen, strip_mirrored, strip_in_sight, whites_apart, white_spread, renders_poorly)

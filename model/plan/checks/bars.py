"""Checks on bars: can they be made, put in, hidden, and thrown the right way."""

from collections.abc import Iterator
from decimal import Decimal

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.items import Cabinet, Run
from pelmet.model.job.parts import Channel, Strip
from pelmet.model.plan.finding import Finding, said
from pelmet.model.plan.formulas import PARTS
from pelmet.model.plan.light.seeing import is_practical
from pelmet.model.plan.measures import length_said, lengths_said
from pelmet.model.plan.mounting.mounts import STRAIGHT_DOWN, throw_degrees
from pelmet.model.plan.result import Plan


def opening_too_short(plan: Plan) -> Iterator[Finding]:
    """Not one whole cut unit goes into an opening."""
    for fit in plan.fits:
        for opening in fit.too_short:
            place = " and ".join(opening.cabinets)
            clear = length_said(opening.clear.value, plan.job.site)
            yield Finding(
                "stop",
                "opening-too-short",
                "run",
                fit.run.id,
                "strip",
                f"{clear} under {place} takes no whole cut unit",
                "choose a strip with a finer cut unit, or leave this opening out of the run",
            )


def bar_too_long(plan: Plan) -> Iterator[Finding]:
    """A bar is longer than it may be, and would have to be made of more pieces than has sense."""
    for fit in plan.fits:
        for bar in fit.bars:
            edge = max(float(each.value) for each in (bar.length, *bar.points))
            if fit.longest and edge > float(fit.longest.value) and not bar.splices:
                long, most = lengths_said(plan.job.site, edge, fit.longest.value)
                yield Finding(
                    "stop",
                    "bar-too-long",
                    "run",
                    fit.run.id,
                    "pieces",
                    f"bar {bar.id} is {long}; {fit.longest.name} is {most}",
                    "check the lengths channel is sold in and the Handling allowances",
                    PARTS,
                )


def bar_deeper_than_lip(plan: Plan) -> Iterator[Finding]:
    """The channel stands further down than the lip that should hide it."""
    cabinets = {cabinet.id: cabinet for cabinet in plan.job.cabinets}
    for run, channel, _ in _known(plan):
        if run.fixing == "groove":
            continue
        hung = [cabinets[name] for name in run.cabinets if cabinets[name].kind != "upright"]
        shown = [each.id for each in hung if hidden_depth(each) < channel.depth]
        if shown and run.line != "edge":
            least = min(hidden_depth(cabinets[name]) for name in shown)
            down, hides = lengths_said(plan.job.site, channel.depth, least)
            yield Finding(
                "warn",
                "bar-deeper-than-lip",
                "run",
                run.id,
                "channel",
                f"{channel.id} stands {down} down; the lip or door of {' '.join(shown)} hides "
                f"{hides}",
                "choose a flatter channel, a groove, or a deeper lip or "
                f"{plan.job.site.words.pelmet}",
            )


def hidden_depth(cabinet: Cabinet) -> Decimal:
    """Give how far down from the underside a cabinet's front hides what is behind it [mm]."""
    return max(cabinet.lip, cabinet.door_overhang)


def strip_wider_than_channel(plan: Plan) -> Iterator[Finding]:
    """The strip does not lie flat on the channel's floor."""
    for run, channel, strip in _known(plan):
        if strip and strip.width > channel.floor:
            wide, takes = lengths_said(plan.job.site, strip.width, channel.floor)
            yield Finding(
                "stop",
                "strip-wider-than-channel",
                "run",
                run.id,
                "channel",
                f"{strip.id} is {wide} wide; {channel.id} takes {takes}",
                "choose a wider channel or a narrower strip",
                PARTS,
            )


def channel_too_hot(plan: Plan) -> Iterator[Finding]:
    """The strip gives more heat than the channel is meant to carry off."""
    for run, channel, strip in _known(plan):
        if strip and strip.watts_per_metre > channel.watts_limit_per_metre:
            yield Finding(
                "warn",
                "channel-too-hot",
                "run",
                run.id,
                "strip",
                f"{strip.id} takes {said(strip.watts_per_metre)} W/m; {channel.id} carries off "
                f"{said(channel.watts_limit_per_metre)} W/m",
                "choose a bigger channel or a strip with fewer watts",
                PARTS,
            )


def facing_cannot_be_fixed(plan: Plan) -> Iterator[Finding]:
    """The channel cannot be fixed to throw the way that was chosen."""
    for run, channel, _ in _known(plan):
        degrees, _side = throw_degrees(run.facing)
        if degrees not in channel.throws:
            ways = " or ".join(
                "down" if way == STRAIGHT_DOWN else f"{way} degrees" for way in channel.throws
            )
            yield Finding(
                "stop",
                "facing-cannot-be-fixed",
                "run",
                run.id,
                "facing",
                f"{channel.id} throws {ways}, not {run.facing}",
                "choose a facing that this channel has, or another channel",
                PARTS,
            )


_SIDES = {-1: "wall", 1: "room"}


def steeper_throw_glares_less(plan: Plan) -> Iterator[Finding]:
    """A channel with two ways is fixed the flat way, which mirrors more in the top."""
    for run, channel, _ in _known(plan):
        degrees, side = throw_degrees(run.facing)
        if degrees in channel.throws and degrees < max(channel.throws):
            best = max(channel.throws)
            steeper = "down" if best == STRAIGHT_DOWN else f"{best} to {_SIDES[side]}"
            yield Finding(
                "ask",
                "steeper-throw-glares-less",
                "run",
                run.id,
                "facing",
                f"{run.facing} glares more off the {plan.job.site.words.worktop} than {steeper}",
                f"fix {channel.id} the other way round: {steeper}",
            )


def open_side_seen(plan: Plan) -> Iterator[Finding]:
    """People can see in from an open side: it throws aside, and no lip hides it."""
    for run, near in looked_into(plan):
        lip = next(seen.hiding_lip for seen in plan.sights if seen.run == run.id)
        offered = lip is not None and is_practical(lip, plan.job.allowances)
        lips = [length_said(lip.value, plan.job.site)] if lip and offered else []
        deep = "".join(f"; a lip {each} deep hides it" for each in lips)
        hides = "".join(f", or a lip {each} deep" for each in lips)
        still = any(
            seat.in_sight and seat.looked_in == "across"
            for seen in plan.sights
            if seen.run == run.id
            for seat in seen.seats
        )
        seated = "; who sits there still sees into it" if still else ""
        yield Finding(
            "warn",
            "open-side-seen",
            "run",
            run.id,
            "facing",
            f"people see in from {' '.join(near)}, {run.id} throws {run.facing} and no lip "
            f"hides it{deep}",
            f"use a channel that shines straight down, which throws nothing at them{seated}{hides}",
        )


def looked_into(plan: Plan) -> Iterator[tuple[Run, tuple[str, ...]]]:
    """Give each run that throws aside with no lip as deep as it, and where people look in from."""
    cabinets = {cabinet.id: cabinet for cabinet in plan.job.cabinets}
    sides = {
        seen.run: tuple(seat.side for seat in seen.seats if seat.looked_in == "across")
        for seen in plan.sights
    }
    for run, channel, _ in _known(plan):
        over = [cabinets[name] for name in run.cabinets]
        hidden = run.fixing == "groove" or all(hidden_depth(each) >= channel.depth for each in over)
        if sides[run.id] and run.facing != "down" and not hidden:
            yield run, sides[run.id]


def _known(plan: Plan) -> Iterator[tuple[Run, Channel, Strip | None]]:
    for run in plan.job.runs:
        channel = find_part(plan.parts.channels, run.channel)
        if channel:
            yield run, channel, find_part(plan.parts.strips, run.strip)


CHECKS = (
    opening_too_short,
    bar_too_long,
    bar_deeper_than_lip,
    strip_wider_than_channel,
    channel_too_hot,
    facing_cannot_be_fixed,
    steeper_throw_glares_less,
    open_side_seen,
)

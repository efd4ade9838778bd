"""Checks on bars: can they be made, put in, hidden, and thrown the right way."""

from collections.abc import Iterator

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.items import Run
from pelmet.model.job.parts import Channel, Strip
from pelmet.model.plan.checks.finding import Finding, said
from pelmet.model.plan.formulas import PARTS
from pelmet.model.plan.mounting import STRAIGHT_DOWN, throw_degrees
from pelmet.model.plan.worked import Worked


def opening_too_short(worked: Worked) -> Iterator[Finding]:
    """Not one whole cut unit goes into an opening."""
    for fit in worked.fits:
        for opening in fit.too_short:
            place = " and ".join(opening.cabinets)
            yield Finding(
                "stop",
                "opening-too-short",
                "run",
                fit.run.id,
                "strip",
                f"{said(opening.clear.value)} mm under {place} takes no whole cut unit",
                "choose a strip with a finer cut unit, or leave this opening out of the run",
            )


def bar_longer_than_stock(worked: Worked) -> Iterator[Finding]:
    """A bar cannot be cut from any length the channel is sold in."""
    for fit in worked.fits:
        channel = find_part(worked.parts.channels, fit.run.channel)
        if channel is None:
            continue
        longest = max(channel.stock)
        for bar in fit.bars:
            if bar.length.value > longest:
                yield Finding(
                    "stop",
                    "bar-longer-than-stock",
                    "run",
                    fit.run.id,
                    "pieces",
                    f"bar {bar.id} is {said(bar.length.value)} mm; {channel.id} is sold up to "
                    f"{said(longest)} mm",
                    "make two bars of the opening, or choose a channel with longer stock",
                    PARTS,
                )


def bar_longer_than_site(worked: Worked) -> Iterator[Finding]:
    """A bar is longer than what can be carried in."""
    limit = worked.job.allowances.longest_bar
    for fit in worked.fits:
        for bar in fit.bars:
            if bar.length.value > limit:
                yield Finding(
                    "warn",
                    "bar-longer-than-site",
                    "run",
                    fit.run.id,
                    "pieces",
                    f"bar {bar.id} is {said(bar.length.value)} mm; the longest that can be "
                    f"carried in is {said(limit)} mm",
                    "make two bars of the opening",
                )


def bar_deeper_than_lip(worked: Worked) -> Iterator[Finding]:
    """The channel stands further down than the lip that should hide it."""
    cabinets = {cabinet.id: cabinet for cabinet in worked.job.cabinets}
    for run, channel, _ in _known(worked):
        if run.fixing == "groove":
            continue
        shown = [name for name in run.cabinets if cabinets[name].lip < channel.depth]
        if shown:
            lip = min(cabinets[name].lip for name in shown)
            yield Finding(
                "warn",
                "bar-deeper-than-lip",
                "run",
                run.id,
                "channel",
                f"{channel.id} stands {said(channel.depth)} mm down; the lip of "
                f"{' '.join(shown)} hides {said(lip)} mm",
                "choose a flatter channel, a groove, or a deeper lip or pelmet",
            )


def strip_wider_than_channel(worked: Worked) -> Iterator[Finding]:
    """The strip does not lie flat on the channel's floor."""
    for run, channel, strip in _known(worked):
        if strip and strip.width > channel.floor:
            yield Finding(
                "stop",
                "strip-wider-than-channel",
                "run",
                run.id,
                "channel",
                f"{strip.id} is {said(strip.width)} mm wide; {channel.id} takes "
                f"{said(channel.floor)} mm",
                "choose a wider channel or a narrower strip",
                PARTS,
            )


def channel_too_hot(worked: Worked) -> Iterator[Finding]:
    """The strip gives more heat than the channel is meant to carry off."""
    for run, channel, strip in _known(worked):
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


def facing_cannot_be_fixed(worked: Worked) -> Iterator[Finding]:
    """The channel cannot be fixed to throw the way that was chosen."""
    for run, channel, _ in _known(worked):
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


def steeper_throw_glares_less(worked: Worked) -> Iterator[Finding]:
    """A channel with two ways is fixed the flat way, which mirrors more in the top."""
    for run, channel, _ in _known(worked):
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
                f"{run.facing} glares more off the worktop than {steeper}",
                f"fix {channel.id} the other way round: {steeper}",
            )


def open_side_seen(worked: Worked) -> Iterator[Finding]:
    """People can see in from an open side, and the channel does not shine straight down."""
    sides = [obstacle for obstacle in worked.job.obstacles if obstacle.kind == "open side"]
    walls = {cabinet.id: cabinet.wall for cabinet in worked.job.cabinets}
    for run, _channel, _ in _known(worked):
        near = [side.id for side in sides if any(walls[name] == side.wall for name in run.cabinets)]
        if near and run.facing != "down":
            yield Finding(
                "warn",
                "open-side-seen",
                "run",
                run.id,
                "facing",
                f"people see in from {' '.join(near)}, and {run.id} throws {run.facing}",
                "use a channel that shines straight down",
            )


def _known(worked: Worked) -> Iterator[tuple[Run, Channel, Strip | None]]:
    for run in worked.job.runs:
        channel = find_part(worked.parts.channels, run.channel)
        if channel:
            yield run, channel, find_part(worked.parts.strips, run.strip)


CHECKS = (
    opening_too_short,
    bar_longer_than_stock,
    bar_longer_than_site,
    bar_deeper_than_lip,
    strip_wider_than_channel,
    channel_too_hot,
    facing_cannot_be_fixed,
    steeper_throw_glares_less,
    open_side_seen,
)

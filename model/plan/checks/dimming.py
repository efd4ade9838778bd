"""Checks on dimmers, and on tunable white, which is dimmed by two channels."""

from collections.abc import Iterator, Sequence
from typing import Final, Literal

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Leg
from pelmet.model.job.parts import Dimmer
from pelmet.model.plan.circuit.controls import LOW_RISK_HERTZ, DimmerLoad, fed_strips, mains_volts
from pelmet.model.plan.circuit.worst import when
from pelmet.model.plan.finding import Finding, said
from pelmet.model.plan.formulas import PARTS, Source
from pelmet.model.plan.result import Plan

Holder = Literal["supply", "leg"]

_FLICKER = Source("IEEE Std 1789-2015, Practice 1; from memory, check it", "from memory")
_SIDE: Final = {"supply": "mains", "leg": "low voltage"}


def dimmer_side(plan: Plan) -> Iterator[Finding]:
    """A dimmer is named on the side of the supply that it is not made for."""
    for kind, item_id, part in _named(plan):
        if part.side == _SIDE[kind]:
            continue
        words = plan.job.site.words
        made, here, there = (
            ("the low-voltage side, after the supply", "before it", "name it on its legs")
            if kind == "supply"
            else (
                f"the {words.of_mains} side, before the supply",
                "after it",
                "name it on its supply",
            )
        )
        yield Finding(
            "stop",
            "dimmer-side",
            kind,
            item_id,
            "dimmer",
            f"{part.id} is made for {made}; {item_id} has it {here}",
            f"{there}, or choose one of the other side here",
            PARTS,
        )


def dimmer_out_of_range(plan: Plan) -> Iterator[Finding]:
    """A dimmer does not take the volts it gets: the supply's, or on the mains side the mains'."""
    supplies = {supply.id: supply.part for supply in plan.job.supplies}
    of_leg = {leg.id: leg.supply for leg in plan.job.legs}
    for kind, item_id, part in _fitting(plan):
        if kind == "supply":
            volts, giver = mains_volts(plan.job), f"the {plan.job.site.words.mains}"
        else:
            source = find_part(plan.parts.supplies, supplies[of_leg[item_id]])
            volts, giver = source.volts if source else None, of_leg[item_id]
        if volts is not None and not part.min_volts <= volts <= part.max_volts:
            yield Finding(
                "stop",
                "dimmer-out-of-range",
                kind,
                item_id,
                "dimmer",
                f"{part.id} takes {said(part.min_volts)} to {said(part.max_volts)} V; "
                f"{giver} gives {said(volts)} V",
                "choose another dimmer",
                PARTS,
            )


def dimmer_over_amps(plan: Plan) -> Iterator[Finding]:
    """A channel of a dimmer carries more than it may while the light is on."""
    told: set[str] = set()
    for load in plan.controls.dimmers:
        for channel in load.channels:
            if channel.amps is None or channel.feeds in told:
                continue
            amps = float(channel.amps.value)
            if amps <= float(load.part.amps):
                continue
            told.add(channel.feeds)
            mains = load.part.side == "mains"
            yield Finding(
                "stop",
                "dimmer-over-amps",
                "supply" if mains else "leg",
                channel.feeds,
                "dimmer",
                f"{channel.feeds} draws {amps:.2f} A{when(channel.amps)} through a channel of "
                f"{load.part.id}, which carries {said(load.part.amps)} A",
                "choose a bigger dimmer, or put legs on another supply"
                if mains
                else "split the leg, or choose a bigger one: by its amps while on, not on average",
                PARTS,
            )


def dimmers_apart(plan: Plan) -> Iterator[Finding]:
    """Several dimmers dim one zone, and nothing says that they follow one control."""
    for zone in plan.job.zones:
        loads = [load for load in plan.controls.dimmers if load.zone == zone.id]
        if len(loads) < 2 or all(load.part.together for load in loads):
            continue
        names = " and ".join(f"{load.part.id} of {' '.join(load.feeds)}" for load in loads)
        other = _one_that_does(plan, loads)
        yield Finding(
            "ask",
            "dimmers-apart",
            "zone",
            zone.id,
            "name",
            f"{zone.id} is dimmed by {len(loads)} dimmers, {names}: they must follow one control",
            "choose dimmers that follow one control, and say so in their row of the catalogue"
            + (f"; or {other.id}, which dims all of it by itself" if other else ""),
            PARTS,
        )


def _one_that_does(plan: Plan, loads: Sequence[DimmerLoad]) -> Dimmer | None:
    """Give a dimmer that carries all of a zone by itself: at one supply, a channel for each leg."""
    side, wanted = loads[0].part.side, [one for load in loads for one in load.channels]
    if side == "mains" or len({load.supply for load in loads}) > 1:
        return None
    supply = next(each for each in plan.job.supplies if each.id == loads[0].supply)
    source = find_part(plan.parts.supplies, supply.part)
    amps = [float(each.amps.value) for each in wanted if each.amps]
    if source is None or len(amps) < len(wanted):
        return None
    return next(
        (
            part
            for part in plan.parts.dimmers
            if part.side == side
            and part.channels >= len(wanted)
            and float(part.amps) >= max(amps)
            and part.min_volts <= source.volts <= part.max_volts
        ),
        None,
    )


def dimmer_below_least(plan: Plan) -> Iterator[Finding]:
    """A dimmer gets less load than it needs to work."""
    for load in plan.controls.dimmers:
        least, watts = load.part.min_watts, float(load.least.value)
        if least is None or watts >= float(least):
            continue
        yield Finding(
            "warn",
            "dimmer-below-least",
            "supply" if load.part.side == "mains" else "leg",
            load.feeds[0],
            "dimmer",
            f"{load.part.id} needs {said(least)} W; {' '.join(load.feeds)} gives it {said(watts)} "
            f"W{when(load.least)}: it flickers, or does not dim to the end",
            "choose a dimmer for less load, or put more light on it",
            PARTS,
        )


def not_dimmable(plan: Plan) -> Iterator[Finding]:
    """A dimmer stands before a supply, or before strip, that cannot be dimmed."""
    for kind, item_id, part in _fitting(plan):
        what = ""
        legs = [item_id]
        if kind == "supply":
            supply = next(each for each in plan.job.supplies if each.id == item_id)
            source = find_part(plan.parts.supplies, supply.part)
            if source and not source.dimmable:
                side = f"{plan.job.site.words.of_mains} side"
                what = f"{source.id}, which cannot be dimmed on its {side}"
            legs = [leg.id for leg in plan.job.legs if leg.supply == item_id]
        strips = [strip for leg in legs for _, strip in fed_strips(plan.job, plan.parts, leg)]
        rigid = next((strip for strip in strips if not strip.dimmable), None)
        if rigid and not what:
            what = f"{rigid.id}, which cannot be dimmed"
        if what:
            yield Finding(
                "stop",
                "not-dimmable",
                kind,
                item_id,
                "dimmer",
                f"{part.id} would dim {what}",
                "take the dimmer out, or choose what can be dimmed",
                PARTS,
            )


def dimmers_in_line(plan: Plan) -> Iterator[Finding]:
    """A leg is dimmed twice: before its supply and after it."""
    before = {own: part for kind, own, part in _fitting(plan) if kind == "supply"}
    of_leg = {leg.id: leg.supply for leg in plan.job.legs}
    for kind, item_id, part in _fitting(plan):
        if kind == "leg" and of_leg[item_id] in before:
            first = before[of_leg[item_id]]
            yield Finding(
                "warn",
                "dimmers-in-line",
                "leg",
                item_id,
                "dimmer",
                f"{first.id} before {of_leg[item_id]} and {part.id} after it: each disturbs the "
                "other, and the light flickers",
                "keep one of the two",
            )


def pulses_seen(plan: Plan) -> Iterator[Finding]:
    """A dimmer switches so slowly that its flicker is no longer low risk."""
    for kind, item_id, part in _fitting(plan):
        if kind == "leg" and part.pwm_hertz and part.pwm_hertz < LOW_RISK_HERTZ:
            yield Finding(
                "ask",
                "pulses-seen",
                "leg",
                item_id,
                "dimmer",
                f"{part.id} switches {said(part.pwm_hertz)} times a second; below "
                f"{said(LOW_RISK_HERTZ)} some people notice it",
                "ask whoever works there, or choose a faster dimmer",
                _FLICKER,
            )


def _named(plan: Plan) -> Iterator[tuple[Holder, str, Dimmer]]:
    """Give every dimmer that a supply or a leg names: on the mains side, and after the supply."""
    for supply in plan.job.supplies:
        before = find_part(plan.parts.dimmers, supply.dimmer)
        if before:
            yield "supply", supply.id, before
    for leg in plan.job.legs:
        after = find_part(plan.parts.dimmers, leg.dimmer)
        if after:
            yield "leg", leg.id, after


def _fitting(plan: Plan) -> Iterator[tuple[Holder, str, Dimmer]]:
    """Give those that are on the side they are made for."""
    yield from (each for each in _named(plan) if each[2].side == _SIDE[each[0]])


# Tunable white


def _tunable(plan: Plan) -> Iterator[tuple[Leg, int]]:
    """Give the legs that feed tunable white, with its channels."""
    for leg in plan.job.legs:
        strips = fed_strips(plan.job, plan.parts, leg.id)
        channels = max((strip.channels for _, strip in strips), default=1)
        if channels > 1:
            yield leg, channels


def mixed_channels(plan: Plan) -> Iterator[Finding]:
    """Tunable white and plain strip hang on one leg."""
    for leg in plan.job.legs:
        strips = fed_strips(plan.job, plan.parts, leg.id)
        plain = [run for run, strip in strips if strip.channels == 1]
        if not plain or len(plain) == len(strips):
            continue
        yield Finding(
            "stop",
            "mixed-channels",
            "run",
            plain[0],
            "leg",
            f"{' '.join(plain)} on {leg.id} has one channel, the other strip on it two",
            "put plain strip and tunable white on legs of their own",
            PARTS,
        )


def cores_short(plan: Plan) -> Iterator[Finding]:
    """Tunable white hangs on a cable without a core for each channel and one in common."""
    for leg, channels in _tunable(plan):
        cable = find_part(plan.parts.cables, leg.cable)
        if cable and cable.cores <= channels:
            yield Finding(
                "stop",
                "cores-short",
                "leg",
                leg.id,
                "cable",
                f"tunable white on {leg.id} wants {channels + 1} cores: one a channel, one in "
                f"common; {cable.id} has {cable.cores}",
                f"choose a cable of {channels + 1} cores",
                PARTS,
            )


def channels_short(plan: Plan) -> Iterator[Finding]:
    """Tunable white hangs on a dimmer without a channel for each of its whites, or on none."""
    for leg, channels in _tunable(plan):
        part = find_part(plan.parts.dimmers, leg.dimmer)
        if part and part.side == _SIDE["leg"] and part.channels < channels:
            yield Finding(
                "stop",
                "channels-short",
                "leg",
                leg.id,
                "dimmer",
                f"tunable white on {leg.id} wants {channels} channels; {part.id} has "
                f"{part.channels}",
                f"choose a dimmer of {channels} channels",
                PARTS,
            )
        elif leg.dimmer is None:
            yield Finding(
                "warn",
                "channels-short",
                "leg",
                leg.id,
                "dimmer",
                f"nothing tunes the tunable white on {leg.id}: both whites are on at once",
                f"choose a dimmer of {channels} channels, or plain strip",
                PARTS,
            )


CHECKS = (
    dimmer_side,
    dimmer_out_of_range,
    dimmer_over_amps,
    dimmers_apart,
    dimmer_below_least,
    not_dimmable,
    dimmers_in_line,
    pulses_seen,
    mixed_channels,
    cores_short,
    channels_short,
)

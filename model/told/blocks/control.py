"""Control: what is switched together, what each channel of a dimmer carries, and notes."""

from collections import Counter
from collections.abc import Iterator
from typing import Final

from pelmet.model.job.parts import Dimmer
from pelmet.model.measure.decimals import plain
from pelmet.model.plan.circuit.controls import LOW_RISK_HERTZ, DimmerLoad, ZoneControl
from pelmet.model.plan.result import Plan
from pelmet.model.told.figures import or_dash, printed
from pelmet.model.told.paper import Block, Grid, Points, Words

_ZONE_HEAD = ("zone", "name", "switch", "side", "rated W", "A", "legs")
_CHANNEL_HEAD = ("dimmer no.", "dimmer", "channel", "A", "of A", "feeds")
_ON: Final = "Amps flow while the light is on, at full: pulses lower their average, not these."


def control_blocks(plan: Plan) -> Iterator[Block]:
    """Tell every zone, every dimmer with its channels, and what to know of them.

    Dimmers are numbered, as many as there are to get.
    """
    zones, dimmers = plan.controls.zones, plan.controls.dimmers
    if zones:
        rows = tuple(_zone(own, plan) for own in zones)
        yield Grid(_ZONE_HEAD, rows, frozenset({4, 5}), "zones", frozenset({0}))
    if dimmers:
        numbered = enumerate(dimmers, 1)
        rows = tuple(row for number, load in numbered for row in _channels(number, load, plan))
        yield Grid(_CHANNEL_HEAD, rows, frozenset({0, 3, 4}), "dimmers")
        yield Points(tuple(_notes(dimmers, plan)))
    elif not zones:
        yield Words("There is no zone and no dimmer.")


def _zone(own: ZoneControl, plan: Plan) -> tuple[str, ...]:
    return (
        own.zone.id,
        own.zone.name,
        own.zone.switch or "none",
        own.switch.side if own.switch else "-",
        or_dash(own.watts, plan.job.site),
        or_dash(own.amps, plan.job.site),
        " ".join(own.legs) or "none",
    )


def _channels(number: int, load: DimmerLoad, plan: Plan) -> Iterator[tuple[str, ...]]:
    zone = f", {load.zone}" if load.zone else ""
    before = ", before the supply" if load.part.side == "mains" else ""
    for place, channel in enumerate(load.channels, 1):
        yield (
            str(number),
            load.part.id,
            f"{place} of {load.part.channels}",
            or_dash(channel.amps, plan.job.site),
            plain(load.part.amps),
            f"{channel.feeds}{before}{zone}",
        )


def _notes(dimmers: tuple[DimmerLoad, ...], plan: Plan) -> Iterator[str]:
    counts = Counter(load.part.id for load in dimmers)
    yield "To get: " + ", ".join(f"{count} x {part}" for part, count in counts.items()) + "."
    yield _ON
    whites = [leg for load in dimmers for leg, used in _used(load).items() if used > 1]
    if whites:
        yield (
            f"Tunable white on {' '.join(whites)}: warm and cool have a channel each, over one "
            "common conductor."
        )
    for part in dict.fromkeys(load.part for load in dimmers if load.part.side != "mains"):
        yield _pulses(part)
    for load in dimmers:
        if load.part.min_watts:
            yield (
                f"{load.part.id} works from {plain(load.part.min_watts)} W up; "
                f"{' '.join(load.feeds)} gives it {printed(load.least, plan.job.site)} at "
                "least."
            )


def _used(load: DimmerLoad) -> Counter[str]:
    return Counter(channel.feeds for channel in load.channels)


def _pulses(part: Dimmer) -> str:
    line = f"low risk from {plain(LOW_RISK_HERTZ)} Hz up (IEEE Std 1789-2015, from memory)"
    if part.pwm_hertz is None:
        return f"{part.id}: how often it switches is not known; pulses are {line}."
    slow = "too slow; " if part.pwm_hertz < LOW_RISK_HERTZ else ""
    return f"{part.id} switches at {plain(part.pwm_hertz)} Hz: {slow}pulses are {line}."

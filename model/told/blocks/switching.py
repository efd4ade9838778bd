"""What is switched and dimmed together, in a client's words."""

from collections.abc import Iterator
from typing import NamedTuple

from pelmet.model.plan.bars.feed_points import fed_by
from pelmet.model.plan.result import Plan
from pelmet.model.told.blocks.seen import dimmed_words
from pelmet.model.told.reminders import part_names

_NO_SWITCH = "the {of_mains} switch"


class SwitchGroup(NamedTuple):
    """Light that goes on and off together: by what, which runs, and what dims it if anything."""

    name: str
    by: str
    runs: tuple[str, ...]
    dimmers: tuple[str, ...]


def switch_groups(plan: Plan) -> tuple[SwitchGroup, ...]:
    """Give every zone, and last what is fed and is in none."""
    job, none = plan.job, plan.job.site.words.said(_NO_SWITCH)
    zones = plan.controls.zones
    found = [
        _together(zone.zone.name, zone.switch.name if zone.switch else none, zone.legs, plan)
        for zone in zones
    ]
    zoned = {leg for zone in zones for leg in zone.legs}
    rest = tuple(leg.id for leg in job.legs if leg.id not in zoned)
    other = _together("all other light" if zoned else "all of it", none, rest, plan)
    return (*found, other) if other.runs else tuple(found)


def _together(name: str, by: str, legs: tuple[str, ...], plan: Plan) -> SwitchGroup:
    runs = dict.fromkeys(run for leg in legs for run in fed_by(plan.job, leg))
    return SwitchGroup(name, by, tuple(runs), tuple(dict.fromkeys(_dimmers(legs, plan))))


def _dimmers(legs: tuple[str, ...], plan: Plan) -> Iterator[str]:
    """Name the dimmers of legs, and those before their supplies."""
    job, names = plan.job, part_names(plan.parts)
    before = {supply.id: supply.dimmer for supply in job.supplies}
    for leg in job.legs:
        if leg.id in legs:
            for item_id in (leg.dimmer, before[leg.supply]):
                if item_id:
                    yield names.get(item_id, item_id)


def switching_words(plan: Plan) -> tuple[str, ...]:
    """Say what is switched together, what dims it, and what dimmed light looks like."""
    found = switch_groups(plan)
    words = tuple(map(_switching, found)) or ("Not settled: nothing is fed yet.",)
    return (*words, dimmed_words()) if any(each.dimmers for each in found) else words


def _switching(each: SwitchGroup) -> str:
    runs = f" ({' '.join(each.runs)})" if each.runs else ""
    dimmed = f"dimmed by {', '.join(each.dimmers)}" if each.dimmers else "not dimmed"
    return f"{each.name}{runs}: switched by {each.by}, {dimmed}."

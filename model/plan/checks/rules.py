"""Checks against the rules of the region: what a supply gives, what a leg carries, thin cable.

A rule from memory never stops a plan; one that a person put aside is silent.
"""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Final

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.feeds import Leg, Supply
from pelmet.model.job.items import Run
from pelmet.model.job.parts import SupplyPart
from pelmet.model.job.rules import JobRule, Rule
from pelmet.model.measure.decimals import plain
from pelmet.model.plan.circuit.protection import section_mm2
from pelmet.model.plan.circuit.sections import thin_by
from pelmet.model.plan.circuit.sources import is_class_2, is_selv
from pelmet.model.plan.circuit.worst import when
from pelmet.model.plan.finding import Finding, Level
from pelmet.model.plan.result import Plan
from pelmet.model.plan.rules import class_2, rule, rule_source

_LOW_VOLTS: Final = 12  # of such a supply twice the volts are to be had
_SLOW_HERTZ: Final = (10, 200)  # NEC Chapter 9 Table 11(B), note 4, 2005 wording
_SPLASH: Final = 4  # IEC 60529, second digit: keeps out splashes from all sides
_ROUNDING: Final = 1e-9  # amps are sums of floats; a limit that is just met is met
_NAMED_IDS: Final = 6  # more than this are counted, not named


def over_class_2(plan: Plan) -> Iterator[Finding]:
    """A supply gives more than a Class 2 source may."""
    for supply, part in _supplies(plan):
        over = [
            one
            for one in class_2(plan.job, part.volts)
            if one.limit is not None and _gives(part, one.rule.unit) > one.limit
        ]
        if not over:
            continue
        first = over[0]
        gives = f"{part.id} gives {plain(part.watts)} W at {plain(part.volts)} V"
        limits = " and ".join(_limit(one) for one in over)
        labelled = is_class_2(part)
        level: Level = "ask" if part.limited == "not known" else "warn"
        yield Finding(
            _gravest(first.rule) if labelled else level,
            "over-class-2",
            "supply",
            supply.id,
            "part",
            f"{gives} and is said to be Class 2, whose limit is {limits}"
            if labelled
            else f"{gives}, over the {limits} of a Class 2 source: its wiring is not Class 2",
            "read its label again, or take several smaller Class 2 supplies"
            if labelled
            else "take several Class 2 supplies, or ask the licensed person how to wire it",
            rule_source(first.rule),
        )


def _gives(part: SupplyPart, unit: str) -> Decimal:
    return part.watts / part.volts if unit == "A" else part.watts


def source_isolated(plan: Plan) -> Iterator[Finding]:
    """A supply's label does not say what the region asks for, or nobody has read it.

    In the US a source that is isolated, as Class 2 and SELV both are; elsewhere SELV, which Class 2
    does not say.
    """
    asked = rule(plan.job, "isolating-source")
    if asked is None or asked.put_aside:
        return
    supplies = list(_supplies(plan))
    wanted = "SELV or Class 2" if plan.job.site.region == "us" else "SELV"
    unread = [supply.id for supply, part in supplies if _isolated(plan, part) is None]
    if unread:
        yield Finding(
            "ask",
            "supply-limit-unknown",
            "supply",
            unread[0],
            "part",
            f"{some_ids(unread)}: is the output {wanted} by its label?",
            "read the label, and say it in the part's row of the catalogue",
            rule_source(asked.rule),
        )
    for supply, part in supplies:
        if _isolated(plan, part) is False:
            yield Finding(
                "warn",
                "supply-not-limited",
                "supply",
                supply.id,
                "part",
                f"{part.id} is not {wanted} by its label",
                "take a supply whose label says so",
                rule_source(asked.rule),
            )


def _isolated(plan: Plan, part: SupplyPart) -> bool | None:
    """Say if a label says what the region asks for; nothing if nobody has read it."""
    selv = is_selv(part)
    if plan.job.site.region != "us" or selv:
        return selv
    return is_class_2(part)


def over_volts(plan: Plan) -> Iterator[Finding]:
    """A supply gives more volts than low-voltage lighting may have, or than may be touched."""
    for supply, part in _supplies(plan):
        for rule_id in ("elv-volts", "bare-volts"):
            one = _over(plan, rule_id, part.volts)
            if one:
                yield Finding(
                    _gravest(one.rule),
                    "over-volts",
                    "supply",
                    supply.id,
                    "part",
                    f"{part.id} gives {plain(part.volts)} V; {_limit(one)} is the {one.rule.says}",
                    "take a supply and strip of fewer volts",
                    rule_source(one.rule),
                )
                break


def volts_near_sink(plan: Plan) -> Iterator[Finding]:
    """Strip that lets splashes in hangs over a sink, at more volts than may be touched there."""
    for run, leg in _splashed(plan):
        part = _part_of(plan, leg)
        one = part and _over(plan, "bare-volts-wet", part.volts)
        if part and one:
            yield Finding(
                "warn",
                "volts-near-sink",
                "run",
                run.id,
                "strip",
                f"{run.id} hangs over a sink at {plain(part.volts)} V, and its strip lets splashes "
                f"in; {_limit(one)} is the {one.rule.says}",
                "take a splash-proof strip (IP44), or fewer volts",
                rule_source(one.rule),
            )


def slow_pwm(plan: Plan) -> Iterator[Finding]:
    """A dimmer switches so slowly that its volts count as felt."""
    wet = {leg.id for _, leg in _splashed(plan)}
    for leg in plan.job.legs:
        dimmer = find_part(plan.parts.dimmers, leg.dimmer)
        part = _part_of(plan, leg)
        if not (dimmer and dimmer.pwm_hertz and part):
            continue
        if not _SLOW_HERTZ[0] <= dimmer.pwm_hertz <= _SLOW_HERTZ[1]:
            continue
        dry = _over(plan, "slow-pwm-volts", part.volts)
        one = dry or (_over(plan, "slow-pwm-volts-wet", part.volts) if leg.id in wet else None)
        if one:
            yield Finding(
                _gravest(one.rule) if dry else "warn",
                "slow-pwm",
                "leg",
                leg.id,
                "dimmer",
                f"{dimmer.id} switches {plain(part.volts)} V {plain(dimmer.pwm_hertz)} times a "
                f"second; {_limit(one)} is the {one.rule.says}",
                f"choose a dimmer that switches more than {_SLOW_HERTZ[1]} times a second",
                rule_source(one.rule),
            )


def output_over_amps(plan: Plan) -> Iterator[Finding]:
    """A leg draws more than one secondary circuit may carry."""
    for circuit in plan.circuits.legs:
        amps = float(circuit.amps.value) if circuit.amps else 0.0
        one = _over(plan, "output-amps", amps)
        if one and circuit.amps:
            part = _part_of(plan, circuit.leg)
            yield Finding(
                _gravest(one.rule),
                "output-over-amps",
                "leg",
                circuit.leg.id,
                "supply",
                f"{circuit.leg.id} draws {amps:.2f} A{when(circuit.amps)}; {_limit(one)} is the "
                f"{one.rule.says}",
                "put runs on more legs"
                + (", or take 24 V in place of 12 V" if part and part.volts == _LOW_VOLTS else ""),
                rule_source(one.rule),
            )


def thin_cable(plan: Plan) -> Iterator[Finding]:
    """The copper of a leg's cable is thinner than the region asks for."""
    asked = rule(plan.job, "least-section"), rule(plan.job, "least-section-short")
    least = max((one.limit for one in asked if one and one.limit is not None), default=None)
    if least is None:
        return
    thin = {
        circuit.leg.id: (section, one)
        for circuit in plan.circuits.legs
        if circuit.runs
        and (cable := find_part(plan.parts.cables, circuit.leg.cable))
        and (section := section_mm2(cable)) < float(least)
        and (one := thin_by(plan.job, plan.routes, circuit.leg, cable))
    }
    if not thin:
        return
    sections = " or ".join(f"{mm2:.2f}" for mm2 in sorted({mm2 for mm2, _ in thin.values()}))
    limits = dict.fromkeys(f"{_limit(one)} is the {one.rule.says}" for _, one in thin.values())
    first, (_, one) = next(iter(thin.items()))
    yield Finding(
        "ask",
        "thin-cable",
        "leg",
        first,
        "cable",
        f"{some_ids(list(thin))}: is copper of {sections} mm2 enough here? {'; '.join(limits)}",
        "ask the licensed person, take thicker cable, or put the rule aside with a reason",
        rule_source(one.rule),
    )


def _over(plan: Plan, rule_id: str, value: Decimal | float) -> JobRule | None:
    """Give the rule if it holds here and the value is over its limit."""
    one = rule(plan.job, rule_id)
    if one is None or one.limit is None or float(value) <= float(one.limit) + _ROUNDING:
        return None
    return one


def some_ids(ids: Sequence[str]) -> str:
    """Name the first few ids, and count the rest.

    >>> some_ids(["S1", "S2"])
    'S1 S2'
    """
    rest = len(ids) - _NAMED_IDS
    return " ".join(ids[:_NAMED_IDS]) + (f" and {rest} more" if rest > 0 else "")


def _gravest(one: Rule) -> Level:
    """Stop at what was seen in print; only warn of what is from memory."""
    return "stop" if one.standing == "confirmed" else "warn"


def _limit(one: JobRule) -> str:
    by = f" ({one.override.id})" if one.override else ""
    return f"{plain(one.limit or Decimal(0))} {one.rule.unit}{by}"


def _supplies(plan: Plan) -> Iterator[tuple[Supply, SupplyPart]]:
    for supply in plan.job.supplies:
        part = find_part(plan.parts.supplies, supply.part)
        if part:
            yield supply, part


def _part_of(plan: Plan, leg: Leg) -> SupplyPart | None:
    supplies = {supply.id: supply.part for supply in plan.job.supplies}
    return find_part(plan.parts.supplies, supplies[leg.supply])


def _splashed(plan: Plan) -> Iterator[tuple[Run, Leg]]:
    """Give the runs over a sink whose strip lets splashes in, and each leg that feeds them."""
    zones = [each for each in plan.job.obstacles if each.kind == "sink zone"]
    over = {
        bar.run
        for zone in zones
        for bar in plan.bars
        if bar.wall == zone.wall
        and not bar.upright
        and bar.left < zone.at + zone.width
        and bar.right > zone.at
    }
    for run in plan.job.runs:
        strip = find_part(plan.parts.strips, run.strip)
        if run.id in over and strip and strip.ip % 10 < _SPLASH:
            for leg in plan.job.legs:
                if leg.id in (run.leg, run.far_leg):
                    yield run, leg


CHECKS = (
    over_class_2,
    source_isolated,
    over_volts,
    volts_near_sink,
    slow_pwm,
    output_over_amps,
    thin_cable,
)

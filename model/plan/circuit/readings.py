"""What a meter should read at every point of a job, at full: cold, hot, and how near is right.

Worked out on demand: it takes two solutions more.
"""

from collections.abc import Callable, Iterator
from typing import Literal, NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.job import Job
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.leg_network import MM_PER_METRE, just_on, when_hot
from pelmet.model.plan.circuit.legs import BarVolts, LegCircuit, feed_legs
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.ways.routes import Routes

Unit = Literal["V", "A"]
_PERCENT = 100
_SAME_VOLTS = 1e-6  # an end counts as the lowest point when it is this near [V]


class Band(NamedTuple):
    """What is expected, and the least and most that still count as right [V or A]."""

    least: Figure
    expected: Figure
    most: Figure


class Reading(NamedTuple):
    """One point to measure at, and what is right there just switched on and after half an hour.

    ``point`` is its name, ``about`` the supply, cable, bar or leg that it is of, ``leg`` the leg
    it hangs on, none at a supply; ``along`` is how far from the left end of its strip it is, of a
    point within a bar [mm].
    """

    point: str
    about: str
    leg: str | None
    where: str
    unit: Unit
    cold: Band
    hot: Band
    along: float | None = None


class _Both(NamedTuple):
    """A leg solved cold and hot, and the volts its supply is rated at."""

    job: Job
    rated: Figure
    cold: LegCircuit
    hot: LegCircuit

    def volts(self, point: str, about: str, where: str, cold: Figure, hot: Figure) -> Reading:
        near, rated = self.job.allowances, self.rated
        return Reading(
            point,
            about,
            self.cold.leg.id,
            where,
            "V",
            volts_band(point, "cold", cold, rated, near),
            volts_band(point, "hot", hot, rated, near),
        )


def readings_expected(
    job: Job, parts: Catalogue, fits: tuple[RunFit, ...], routes: Routes
) -> tuple[Reading, ...]:
    """Work out what to read at full, in the order a person measures; what is not known is left out.

    Supply by supply: it alone, loaded, then leg by leg the end of every cable, every bar from
    where it is fed, and the amps.
    """
    cold = feed_legs(job, parts, fits, routes, just_on(job.allowances)).legs
    hot = feed_legs(job, parts, fits, routes, when_hot(job.allowances)).legs
    found: list[Reading] = []
    told: set[str] = set()
    for supply in job.supplies:
        part = find_part(parts.supplies, supply.part)
        if part is None:
            continue
        rated = given("supply volts", part.volts, "V", "part", supply.id)
        for state, where in (("unloaded", "terminals, legs off"), ("loaded", "terminals, legs on")):
            point = f"{supply.id} {state}"
            cool, warm = (
                volts_band(point, when, rated, rated, job.allowances) for when in ("cold", "hot")
            )
            found.append(Reading(point, supply.id, None, where, "V", cool, warm))
        for one, other in zip(cold, hot, strict=True):
            if one.leg.supply == supply.id and one.amps and other.amps:
                both = _Both(job, rated, one, other)
                found += _of_leg(both, routes, told)
                told.update(bar.bar for bar in one.bars)
    return tuple(found)


def volts_band(
    point: str, when: str, expected: Figure, rated: Figure, allowances: Allowances
) -> Band:
    """Give the band about some volts: so much of the rated volts to either side."""
    share = given("volts band", allowances.volts_band, "%", "allowance")
    return _band(point, when, expected, volts_limit, rated, share)


def amps_band(point: str, when: str, expected: Figure, allowances: Allowances) -> Band:
    """Give the band about some amps: so much of themselves to either side."""
    share = given("amps band", allowances.amps_band, "%", "allowance")
    return _band(point, when, expected, amps_limit, share)


def _band(
    point: str, when: str, figure: Figure, limit: Callable[..., float], *inputs: Figure
) -> Band:
    shown = figure.called(f"expected {when}", point)
    least, most = (
        derived(f"{name} {when}", figure.unit, limit, point, shown, *inputs, side=side)
        for name, side in (("least", -1), ("most", 1))
    )
    return Band(least, shown, most)


@works_out("volts band")
def volts_limit(expected: float, rated: float, share: float, *, side: Literal[-1, 1]) -> float:
    """Give the least or the most volts that still count as right, by a share [%] of the rated."""
    return expected + side * (share / _PERCENT * rated)


@works_out("amps band")
def amps_limit(expected: float, share: float, *, side: Literal[-1, 1]) -> float:
    """Give the least or the most amps that still count as right, by a share [%] of them."""
    return expected + side * (share / _PERCENT * expected)


def _of_leg(both: _Both, routes: Routes, told: set[str]) -> Iterator[Reading]:
    leg = both.cold.leg.id
    cold, hot = _nodes(both.cold), _nodes(both.hot)
    assert both.cold.operating_point is not None
    wires = {wire.id: wire for wire in both.cold.operating_point.network.elements.wires}
    for lead in routes.leads_of(leg):
        node = wires[lead.id].far
        if node in cold and node in hot:
            where = f"end of {lead.origin} > {lead.end}"
            yield both.volts(lead.id, lead.id, where, cold[node], hot[node])
    fed_right = {run.id for run in both.job.runs if run.feed_end == "right"}
    bars = both.cold.operating_point.network.bars
    shown = [bar for bar in both.cold.bars if bar.bar not in told]
    by_id = {bar.bar: bar for bar in both.hot.bars}
    for run in both.cold.runs:
        own = [bar for bar in shown if bars[bar.bar].run == run]
        for bar in reversed(own) if run in fed_right else own:
            yield from _of_bar(both, bar, by_id[bar.bar])
    yield _amps(both)


def _amps(both: _Both) -> Reading:
    leg, near = both.cold.leg, both.job.allowances
    assert both.cold.amps is not None
    assert both.hot.amps is not None
    point = f"{leg.id} amps"
    return Reading(
        point,
        leg.id,
        leg.id,
        f"one core, at {leg.supply}",
        "A",
        amps_band(point, "cold", both.cold.amps, near),
        amps_band(point, "hot", both.hot.amps, near),
    )


def _nodes(leg: LegCircuit) -> dict[str, Figure]:
    """Give the volts of every point of a leg that can be measured."""
    assert leg.operating_point is not None
    network, solution = leg.operating_point
    wires = {wire.id: wire for wire in network.elements.wires}
    found: dict[str, Figure] = {}
    for flow in leg.flows:
        wire = wires[flow.cable]
        found[wire.far if solution.wires[flow.cable].amps >= 0 else wire.near] = flow.volts
    for bar in leg.bars:
        found[f"{bar.bar} left"], found[f"{bar.bar} right"] = bar.left, bar.right
        if bar.middle:
            found[f"{bar.bar} middle"] = bar.middle
    return found


def _of_bar(both: _Both, cold: BarVolts, hot: BarVolts) -> Iterator[Reading]:
    """Give the start of a bar, its end, and where it is lowest if that is between them."""
    bar_id = cold.bar
    if cold.middle and hot.middle:
        yield both.volts(
            f"{bar_id} middle", bar_id, "start, in its middle", cold.middle, hot.middle
        )
    sides = [("left", cold.left, hot.left), ("right", cold.right, hot.right)]
    if cold.start is cold.right:
        sides.reverse()
    for at, (side, one, other) in enumerate(sides):
        end = "start" if at == 0 and cold.middle is None else "end"
        yield both.volts(f"{bar_id} {side}", bar_id, f"{end}, {side}", one, other)
    ends = min(float(cold.left.value), float(cold.right.value))
    if float(cold.lowest.value) < ends - _SAME_VOLTS:
        assert both.cold.operating_point is not None
        along = both.cold.operating_point.solution.strips[bar_id].lowest_metres * MM_PER_METRE
        reading = both.volts(
            f"{bar_id} lowest", bar_id, "where it is lowest", cold.lowest, hot.lowest
        )
        yield reading._replace(along=along)

"""The worst of every leg: as planned, just switched on, and hot.

What a limit is held against must not be left out because it shows only after half an hour: warm
LEDs let more amps through, and warm copper loses more volts.
"""

from collections.abc import Callable, Sequence
from typing import Final, Literal, NamedTuple, get_args

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.feeds import Leg
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Cable
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.leg_network import Conditions, as_planned, just_on, when_hot
from pelmet.model.plan.circuit.legs import (
    UNSOLVED,
    BarVolts,
    CableFlow,
    Circuits,
    LegCircuit,
    drop_with,
    feed_legs,
)
from pelmet.model.plan.figure import Figure, Value, derived
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.ways.routes import Routes

State = Literal["as planned", "cold", "hot"]
STATES: Final[tuple[State, ...]] = get_args(State)

_SAME: Final = 1e-9  # of a value: what is nearer is the rounding of floats


def conditions_of(state: State, allowances: Allowances) -> Conditions:
    """Give how warm a job is as planned, just switched on (cold), and after half an hour (hot)."""
    by_state = {"as planned": as_planned, "cold": just_on, "hot": when_hot}
    return by_state[state](allowances)


def worst_legs(
    job: Job, parts: Catalogue, fits: tuple[RunFit, ...], routes: Routes, planned: Circuits
) -> Circuits:
    """Give every leg with the most amps, the least volts and the largest losses of all states.

    ``planned`` are the legs as planned. A leg that cannot be worked out in one of the states is
    given as it is there. Its operating point is that of the state that loses most volts.
    """
    others = [
        feed_legs(job, parts, fits, routes, conditions_of(state, job.allowances)).legs
        for state in STATES[1:]
    ]
    legs = zip(planned.legs, *others, strict=True)
    return planned._replace(legs=tuple(_worst(own) for own in legs))


def worst_drop_with(
    job: Job,
    parts: Catalogue,
    fits: tuple[RunFit, ...],
    routes: Routes,
    leg: Leg,
    cable: Cable,
) -> float | None:
    """Give a leg's worst drop with another cable [% of the supply's volts].

    Nothing if it does not work with it in one of the states.
    """
    drops = []
    for state in STATES:
        under = conditions_of(state, job.allowances)
        drop = drop_with(job, parts, fits, routes, leg, cable, under)
        if drop is None:
            return None
        drops.append(drop)
    return max(drops)


def state_of(figure: Figure) -> State | None:
    """Say in which state a figure is worst; nothing of one that no state changes.

    Of the larger of two, such as what a supply carries, it is the state of that one.
    """
    if figure.formula_id in _ROWS:
        return STATES[[_value(each) for each in figure.inputs].index(_value(figure))]
    same = [one for one in figure.inputs if (one.unit, one.value) == (figure.unit, figure.value)]
    found = (state_of(each) for each in same[:1] or figure.inputs)
    return next((state for state in found if state), None)


def when(figure: Figure) -> str:
    """Say in which state a figure is worst, to stand after it: `` hot``, or nothing."""
    state = state_of(figure)
    return f" {state}" if state else ""


class _Pick(NamedTuple):
    """Which of several values is the worst."""

    formula: Callable[..., float]

    def of(self, figures: Sequence[Figure]) -> Figure:
        """Give the worst of one figure in each of the states."""
        first = figures[0]
        least, most = min(figures, key=_value), max(figures, key=_value)
        if _value(most) - _value(least) <= _SAME * abs(_value(most)):
            return first
        name = first.name
        named = [
            each.called(f"{name} {state}", each.about)
            for each, state in zip(figures, STATES, strict=True)
        ]
        about = (most if self is _MOST else least).about
        return derived(name, first.unit, self.formula, about, *named)


@works_out("most of states")
def most_of(*values: float) -> float:
    """Give the largest of the values that a figure has in each of the `STATES`."""
    return max(values)


@works_out("least of states")
def least_of(*values: float) -> float:
    """Give the smallest of the values that a figure has in each of the `STATES`."""
    return min(values)


_MOST: Final = _Pick(most_of)
_LEAST: Final = _Pick(least_of)
_ROWS: Final = frozenset({"most of states", "least of states"})


def _value(figure: Figure) -> float:
    return float(figure.value)


def _worst(legs: Sequence[LegCircuit]) -> LegCircuit:
    """Put the states of one leg together."""
    for leg in legs:
        if leg.amps is None or any(trouble.code in UNSOLVED for trouble in leg.troubles):
            return leg
    lowest = max(legs, key=lambda leg: _of(leg.drop))
    return legs[0]._replace(
        amps=_MOST.of([each.amps for each in legs if each.amps]),
        bars=tuple(_bar(own) for own in zip(*(leg.bars for leg in legs), strict=True)),
        worst=_LEAST.of([each.worst for each in legs if each.worst]),
        drop=_MOST.of([each.drop for each in legs if each.drop]),
        least_amps=_LEAST.of([each.amps for each in legs if each.amps]),
        flows=tuple(_flow(flow, legs) for flow in legs[0].flows),
        lost=_MOST.of([each.lost for each in legs if each.lost]),
        troubles=tuple(dict.fromkeys(trouble for leg in legs for trouble in leg.troubles)),
        operating_point=lowest.operating_point,
    )


def _of(figure: Figure | None) -> Value:
    return float(figure.value) if figure else 0.0


def _bar(bars: Sequence[BarVolts]) -> BarVolts:
    middles = [bar.middle for bar in bars if bar.middle]
    left = _LEAST.of([bar.left for bar in bars])
    right = _LEAST.of([bar.right for bar in bars])
    lowest = _LEAST.of([bar.lowest for bar in bars])
    ends = {_value(end): end for end in (left, right)}
    return BarVolts(
        bar=bars[0].bar,
        left=left,
        right=right,
        middle=_LEAST.of(middles) if middles else None,
        lowest=ends.get(_value(lowest), lowest),
        lost=_MOST.of([bar.lost for bar in bars]),
        above_least=all(bar.above_least for bar in bars),
    )


def _flow(flow: CableFlow, legs: Sequence[LegCircuit]) -> CableFlow:
    own = [each for leg in legs for each in leg.flows if each.cable == flow.cable]
    return CableFlow(
        flow.cable,
        _MOST.of([each.amps for each in own]),
        _LEAST.of([each.volts for each in own]),
        _MOST.of([each.lost for each in own]),
    )

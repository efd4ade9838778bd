"""What of a plan is left to do: all of it, or of one of which something is built the rest.

What stands is what is noted as cut, hung, drilled, laid or fitted. A leg is proved once all that it
feeds is; it is to be proved again when anything on it, on its supply or in its zone is not.
"""

from collections.abc import Iterator, Mapping, Sequence, Set
from typing import NamedTuple

from pelmet.model.job.built import past
from pelmet.model.job.feeds import Leg
from pelmet.model.job.job import Job
from pelmet.model.order.pieces import Piece
from pelmet.model.order.status import anything_built, is_fitted, is_laid
from pelmet.model.plan.bars.feed_points import feed_points_of
from pelmet.model.plan.circuit.controls import DimmerLoad
from pelmet.model.plan.result import Plan


class Left(NamedTuple):
    """What there is to do: pieces to cut, and by name what to hang, lay, drill, fit and prove.

    ``fitted`` are supplies that are in their place; ``laid`` legs of which a cable is, so what
    switches or dims one is there too.
    """

    pieces: tuple[Piece, ...]
    bars: frozenset[str]
    cables: frozenset[str]
    holes: frozenset[str]
    legs: frozenset[str]
    fitted: frozenset[str] = frozenset()
    laid: frozenset[str] = frozenset()

    def controls(self, legs: Sequence[str]) -> bool:
        """Tell whether what switches these legs is still to be mounted."""
        return self.laid.isdisjoint(legs)

    def dims(self, load: DimmerLoad) -> bool:
        """Tell whether a dimmer is still to be mounted."""
        return (self.laid | self.fitted).isdisjoint(load.feeds)


def all_of(plan: Plan, pieces: Sequence[Piece]) -> Left:
    """Give all of a plan, as if nothing was built."""
    return Left(
        tuple(pieces),
        frozenset(bar.id for bar in plan.bars),
        frozenset(cable.id for cable in plan.routes.cables),
        frozenset(hole.id for hole in plan.holes),
        frozenset(leg.id for leg in plan.job.legs),
    )


def left_of(plan: Plan, pieces: Sequence[Piece]) -> Left:
    """Give what is not built."""
    return Left(
        tuple(piece for piece in pieces if not piece.cut),
        frozenset(bar.id for bar in plan.bars if not bar.hangs),
        frozenset(cable.id for cable in plan.routes.cables if not cable.laid),
        frozenset(hole.id for hole in plan.holes if not hole.there),
        frozenset(proving(plan).legs),
        fitted_supplies(plan),
        laid_legs(plan),
    )


def fitted_supplies(plan: Plan) -> frozenset[str]:
    """Give the supplies that are in their place, where anything is noted as built."""
    supplies = plan.job.supplies if anything_built(plan.job) else ()
    return frozenset(each.id for each in supplies if is_fitted(plan.job, each))


def laid_legs(plan: Plan) -> frozenset[str]:
    """Give the legs of which any cable is in its place, where anything is noted as built."""
    legs = plan.job.legs if anything_built(plan.job) else ()
    return frozenset(leg.id for leg in legs if is_laid(plan.job, leg))


class Proving(NamedTuple):
    """The legs to prove, each with why it is again, or nothing if it never was; those that stand.

    All that hangs on one supply is read together, so one new run has all of it read again.
    """

    legs: Mapping[str, str]
    proved: tuple[str, ...]


def proving(plan: Plan) -> Proving:
    """Tell which legs are to be proved: never yet, or again for what is new on them or beside."""
    unlaid = {(cable.leg, cable.run) for cable in plan.routes.cables if not cable.laid}
    new: dict[str, list[str]] = {leg: [] for leg, _ in unlaid if leg}
    proved: set[str] = set()
    for fit in plan.fits:
        run = fit.run
        done = past(run, "proved") and all(bar.hangs for bar in fit.bars)
        for leg in dict.fromkeys(point.leg for point in feed_points_of(fit)):
            if leg and done and (leg, run.id) not in unlaid:
                proved.add(leg)
            elif leg:
                new.setdefault(leg, []).append(run.id)
    legs = dict(_again(plan.job, new, proved))
    stand = proved - legs.keys()
    return Proving(legs, tuple(leg.id for leg in plan.job.legs if leg.id in stand))


def _again(
    job: Job, new: Mapping[str, Sequence[str]], proved: Set[str]
) -> Iterator[tuple[str, str]]:
    fresh = [leg for leg in job.legs if leg.id in new]
    for leg in job.legs:
        supply = [each for each in fresh if each.supply == leg.supply]
        zone = [each for each in fresh if leg.zone and each.zone == leg.zone]
        runs = " ".join(new.get(leg.id, ()))
        if leg.id in new:
            yield leg.id, f"it now feeds {runs or 'more'} too" if leg.id in proved else ""
        elif leg.id in proved and supply:
            yield leg.id, f"on {leg.supply}, which now feeds {_on(supply, new)} too"
        elif leg.id in proved and zone:
            yield leg.id, f"in zone {leg.zone}, which now has {_on(zone, new)} too"


def _on(legs: Sequence[Leg], new: Mapping[str, Sequence[str]]) -> str:
    runs = dict.fromkeys(run for leg in legs for run in new[leg.id])
    return " ".join(runs or (leg.id for leg in legs))

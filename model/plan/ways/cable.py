"""One cable: its id, its two ends, the ways it takes, and how long it is cut."""

from collections.abc import Sequence
from decimal import ROUND_CEILING, Decimal
from typing import NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.plan.bars.feed_points import FeedPoint
from pelmet.model.plan.figure import Figure, derived, given
from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.ways.place import Place, Way

_PERCENT = 100


class Cable(NamedTuple):
    """One cable of a leg, or between two bars of a run.

    ``run`` is the run whose feed point it comes to, or within which it links bars; ``before`` the
    cable it goes on from, none at the supply. ``length`` is what it is cut to, nothing when that
    cannot be worked out; ``places`` are the points it passes, in a room's measures; ``feed`` is
    the feed point it comes to, and ``laid`` tells that it is in its place.
    """

    id: str
    leg: str | None
    run: str | None
    origin: str
    end: str
    before: str | None
    length: Figure | None
    ways: tuple[Way, ...] = ()
    places: tuple[Place, ...] = ()
    room: str = ""
    feed: FeedPoint | None = None
    laid: bool = False

    @property
    def label(self) -> str:
        """What both its ends are marked with."""
        return f"{self.id} {self.origin} > {self.end}"


def cut_length(about: str, ways: Sequence[Way], allowances: Allowances, name: str) -> Figure:
    """Give what a cable is cut to [mm]: its way, slack at both ends, spare, up to whole steps."""
    assumed = any(way.assumed for way in ways)
    along: dict[str, float] = {}
    for way in ways:
        along[way.kind] = along.get(way.kind, 0.0) + way.length
    parts = [
        Figure(f"way {kind}", length, "mm", "walls", (), about, assumed)
        for kind, length in along.items()
    ]
    slack = given("slack", allowances.termination_slack, "mm", "allowance")
    spare = given("cable spare", allowances.cable_spare, "%", "allowance")
    step = given("cable step", allowances.cable_step, "mm", "allowance")
    return derived(name, "mm", cut_to, about, *parts, slack, spare, step)


@works_out("cable")
def cut_to(*of: float) -> float:
    """Give what a cable is cut to [mm]: its way with slack at both ends and spare, in whole steps.

    ``of`` are the stretches of its way, then slack [mm], spare [%] and step [mm].
    """
    *ways, slack, spare, step = of
    whole = Decimal(str(round((sum(ways) + 2 * slack) * (1 + spare / _PERCENT), 3)))
    each = Decimal(str(step))
    return float((whole / each).to_integral_value(ROUND_CEILING) * each)


def laying_minutes(cables: Sequence[Cable], allowances: Allowances) -> float:
    """Give what laying these cables takes [minutes]: each way once a cable, each hole once."""
    ways = sum(way.minutes for cable in cables for way in cable.ways)
    holes = [hole for cable in cables for way in cable.ways for hole in way.drillings]
    again = len(holes) - len(set(holes))
    return ways - again * float(allowances.minutes_per_hole)

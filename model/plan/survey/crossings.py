"""How a cable passes each kind of obstacle: what suits it, who does it, and when."""

from collections.abc import Iterable
from typing import Literal, NamedTuple

from pelmet.model.job.items import Cabinet, Crossing, Obstacle, ObstacleKind

Who = Literal["fitter", "electrician"]
When = Literal["before walls close", "before it is fixed", "after cabinets hang"]


class CrossingWork(NamedTuple):
    """Who makes a crossing, and when it has to be made."""

    who: Who
    when: When
    says: str


# The crossings that suit each kind, the one to expect first; common practice. A kind that is
# not here stands in nobody's way.
SUITED: dict[ObstacleKind, tuple[Crossing, ...]] = {
    "stile": ("hole", "over", "behind"),
    "partition": ("hole", "over"),
    "hood": ("behind", "over", "in wall"),
    "window": ("over", "in wall"),
    "corner": ("under", "hole", "over", "in wall"),
    "pipe": ("under", "behind", "over"),
    "fridge gap": ("over", "behind", "in wall", "hole"),
}
WORK: dict[Crossing, CrossingWork] = {
    "hole": CrossingWork("fitter", "after cabinets hang", "through a hole in it"),
    "under": CrossingWork("fitter", "after cabinets hang", "along its underside"),
    "over": CrossingWork("fitter", "after cabinets hang", "up and over, on the tops"),
    "behind": CrossingWork("fitter", "before it is fixed", "behind it"),
    "in wall": CrossingWork("electrician", "before walls close", "in the wall"),
}
# Of several obstacles side by side the hardest decides.
_HARDEST: tuple[Crossing, ...] = ("none", "not chosen", "in wall", "over", "behind", "hole")


def expected_crossing(obstacle: Obstacle) -> Crossing:
    """Give the crossing as chosen, or the one to expect; none can be expected of an open hood."""
    if obstacle.crossing != "not chosen":
        return obstacle.crossing
    if obstacle.kind == "hood" and obstacle.cover == "open":
        return "not chosen"
    return SUITED[obstacle.kind][0]


def hardest_crossing(obstacles: Iterable[Obstacle]) -> Crossing:
    """Give how several obstacles are passed at once: the hardest of their crossings."""
    chosen = {expected_crossing(obstacle) for obstacle in obstacles}
    return next((crossing for crossing in _HARDEST if crossing in chosen), "under")


def bars_inside(obstacle: Obstacle, cabinet: Cabinet) -> bool:
    """Tell whether a cable inside a cabinet, or on a shelf, is stopped by what stands in it.

    A stile or a pipe is in nobody's way there; a partition is passed by its hole alone, below
    a shelf also over it.
    """
    if obstacle.kind in ("stile", "pipe"):
        return False
    crossing = expected_crossing(obstacle)
    shelf = cabinet.kind in ("shelf", "movable shelf")
    walled = obstacle.kind == "partition" and crossing not in ("hole", "over" if shelf else "hole")
    return walled or crossing in ("none", "not chosen")

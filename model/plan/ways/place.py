"""A place a cable passes, a way from one to another, and what has to be drilled for it."""

from typing import Literal, NamedTuple

Level = Literal["under", "inside", "top", "upright", "bar", "supply"]
Panel = Literal["floor", "top", "left side", "right side", "stile", "upright", "obstacle"]
WayKind = Literal[
    "under",
    "inside",
    "over",
    "through",
    "up",
    "behind",
    "in wall",
    "in channel",
]

_METRE = 1000
TOUCH = 50.0  # [mm] a gap this narrow is hidden between two cabinets
BELOW = 6.0  # [mm] the middle of a cable that is clipped to an underside; common practice
STEP = 40.0  # [mm] undersides or tops that differ by more than this are two levels


class Place(NamedTuple):
    """A point in a room: along its walls, out from them, up from the floor [mm]; whose it is."""

    along: float
    out: float
    height: float
    level: Level
    owner: str


class Drilling(NamedTuple):
    """A hole a way needs: through which panel of what, and where [mm, as a place].

    ``hand`` is the other cabinet that it is drilled from, where its own has no room for a drill,
    and ``on`` what else the drill goes through, if that is closed there.
    """

    owner: str
    panel: Panel
    along: float
    out: float
    height: float
    hand: str = ""
    on: str = ""


class Rates(NamedTuple):
    """What laying cable costs [minutes]: by the metre, the hole, the level, in wall, behind."""

    metre: float
    hole: float
    level: float
    in_wall: float
    behind: float


class Way(NamedTuple):
    """A stretch that cable may take between two places, by number.

    ``length`` [mm] is square: along, out and up. ``passes`` names obstacles; ``bare`` means a
    wall with nothing to hide a cable; ``assumed`` that a reading nobody took lies behind it.
    """

    start: int
    end: int
    kind: WayKind
    length: float
    minutes: float
    drillings: tuple[Drilling, ...] = ()
    passes: tuple[str, ...] = ()
    bare: bool = False
    assumed: bool = False


def square_way(one: Place, other: Place) -> float:
    """Give the square way between two places [mm]."""
    return abs(one.along - other.along) + abs(one.out - other.out) + abs(one.height - other.height)


def minutes(
    kind: WayKind, length: float, holes: int, rates: Rates, *, level: bool = False
) -> float:
    """Give what a way costs to lay [minutes]."""
    fixed = {"in wall": rates.in_wall, "behind": rates.behind}.get(kind, 0.0)
    rise = rates.level if level or kind in ("through", "up") else 0.0
    return rates.metre * length / _METRE + rates.hole * holes + rise + fixed

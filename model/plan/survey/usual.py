"""How high things stand that nobody measured the height of."""

from collections.abc import Mapping
from typing import Final, Literal, NamedTuple

from pelmet.model.job.items import Obstacle, ObstacleKind

Datum = Literal["floor", "worktop", "cabinet", "through"]


class Usual(NamedTuple):
    """Where a kind of obstacle stands whose height nobody measured [mm from the datum]."""

    datum: Datum
    bottom: float
    top: float
    guessed: bool


# Common practice. "cabinet": as high as the cabinet it stands in; "through": floor to top.
USUAL: Final[Mapping[ObstacleKind, Usual]] = {
    "stile": Usual("cabinet", 490, 1210, guessed=False),
    "partition": Usual("cabinet", 490, 1210, guessed=False),
    "hood": Usual("worktop", 700, 1200, guessed=True),
    "window": Usual("worktop", 150, 1150, guessed=True),
    "corner": Usual("through", 0, 0, guessed=False),
    "pipe": Usual("through", 0, 0, guessed=False),
    "socket": Usual("worktop", 150, 240, guessed=True),
    "fridge gap": Usual("floor", 0, 1800, guessed=True),
    "hob zone": Usual("worktop", 0, 0, guessed=False),
    "sink zone": Usual("worktop", -200, 0, guessed=False),
    "open side": Usual("through", 0, 0, guessed=False),
}


def round_it(obstacle: Obstacle, height: float, worktop: float) -> float:
    """Give how much longer a cable in the wall at a height gets by going round something [mm].

    Over its head or under its sill, whichever is nearer, and back; nothing if it passes clear.
    """
    if USUAL[obstacle.kind].datum not in ("floor", "worktop"):
        return 0.0
    bottom, top = extent_of(obstacle, worktop)
    return 2 * min(top - height, height - bottom) if bottom < height < top else 0.0


def stands_at(obstacle: Obstacle, height: float, worktop: float) -> bool:
    """Tell whether something is in the way of a line of light at a height [mm].

    A window ends at its sill and at its head; the others are taken to go all the way.
    """
    if obstacle.kind != "window":
        return True
    bottom, top = extent_of(obstacle, worktop)
    return bottom < height < top


def extent_of(obstacle: Obstacle, worktop: float) -> tuple[float, float]:
    """Give from where to where something stands that has a height, as read or as usual [mm]."""
    datum, low, high, _ = USUAL[obstacle.kind]
    base = worktop if datum == "worktop" else 0.0
    bottom = base + low if obstacle.bottom_height is None else float(obstacle.bottom_height)
    top = base + high if obstacle.bottom_height is None else bottom + high - low
    if obstacle.height is not None:
        top = bottom + float(obstacle.height)
    return bottom, top

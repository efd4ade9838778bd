"""The door: lux at any points of a worktop or its splashback, for a list of strips.

>>> from pelmet.model.plan.light.photometry.grid import lay_grid, summary
>>> from pelmet.model.plan.light.photometry.line import lit_line
>>> bar = lit_line(x=0.28, height=0.45, y_start=0, y_end=2, lumens_per_metre=1000)  # m, lm/m
>>> [round(lux, 2) for lux in lux_at([(0.05, 1.0), (0.25, 1.0)], [bar])]  # (x, y) m; lx
[751.8, 1069.37]
>>> wall = splashback_at(y_start=0, y_end=2, height=0.47)  # m
>>> white = lux_at([(0.05, 1.0), (0.25, 1.0)], [bar], wall=wall, bounce=True,
...                     reflectance_wall=0.7)
>>> [round(lux) for lux in white]  # lx
[909, 1164]
>>> worktop = lay_grid(width=2, depth=0.6)  # m
>>> found = summary(lux_at(worktop.points, [bar]))
>>> round(found.average), round(found.overall, 2)  # lx, U0
(790, 0.53)
"""

from collections.abc import Iterable, Sequence
from math import isfinite
from typing import Literal

from pelmet.model.plan.light.photometry.bounce import (
    Splashback,
    check_reflectance,
    off_top,
    off_wall,
    splashback_at,
    to_and_fro,
)
from pelmet.model.plan.light.photometry.glow import Glow, lux_from
from pelmet.model.plan.light.photometry.line import LitLine
from pelmet.model.plan.light.photometry.shade import Lip, top_lux, wall_lux

__all__ = ["Lip", "LitLine", "Splashback", "lux_at", "splashback_at"]

Plane = Literal["top", "wall"]


def lux_at(
    points: Iterable[tuple[float, float]],
    sources: Sequence[LitLine],
    plane: Plane = "top",
    lip: Lip | None = None,
    reflectance_wall: float = 0.0,
    reflectance_top: float = 0.0,
    wall: Splashback | None = None,
    top_depth: float = 0.0,
    *,
    bounce: bool = False,
) -> tuple[float, ...]:
    """Give the lux at points of the worktop, facing up, or of the splashback, facing the room.

    Light adds up: strips behind different lips may be asked for one after another.

    Args:
        points: On the worktop (x, y), x from the wall and y along it; on the splashback (y, z),
            z up from the worktop. [m]
        sources: The strips, each made by `lit_line`.
        plane: "top" for the worktop, "wall" for the splashback.
        lip: The lip before or behind all these strips, made by `lip_at`, or None.
        reflectance_wall: The share of light that the splashback gives back, 0 to 1; counts with
            `bounce`. [-]
        reflectance_top: The same of the worktop. [-]
        wall: The splashback, made by `splashback_at`; needed with `bounce`.
        top_depth: Depth of the worktop, as long as the splashback; needed with `bounce` where
            the worktop gives light back. [m]
        bounce: Whether light that bounces off splashback and worktop is added: once off the
            splashback if the worktop gives nothing back, else to and fro until it is spent.

    Returns:
        Illuminance of each point, in their order. [lx]

    Raises:
        ValueError: A point is not finite, no such plane, a reflectance is out of range, or what
            `bounce` needs is missing.
    """
    lit = list(points)
    if plane not in {"top", "wall"}:
        raise ValueError(f"no plane {plane!r}; choose top or wall")
    for point in lit:
        if not all(map(isfinite, point)):
            raise ValueError(f"the point {point} is nowhere; give metres")
    direct = top_lux if plane == "top" else wall_lux
    lux = tuple(direct(sources, lip, *point) for point in lit)
    if not bounce:
        return lux
    glows = _glows(sources, plane, lip, reflectance_wall, reflectance_top, wall, top_depth)
    corners = [point if plane == "top" else point[::-1] for point in lit]
    return tuple(
        straight + sum(lux_from(glow, away, y) for glow in glows)
        for straight, (away, y) in zip(lux, corners, strict=True)
    )


def _glows(
    sources: Sequence[LitLine],
    plane: Plane,
    lip: Lip | None,
    reflectance_wall: float,
    reflectance_top: float,
    wall: Splashback | None,
    top_depth: float,
) -> list[Glow]:
    """Give the lit surface across the corner: by direct light, and by light that it got back."""
    if wall is None:
        raise ValueError("light bounces off a splashback: give it as wall, by splashback_at()")
    check_reflectance(reflectance_wall)
    check_reflectance(reflectance_top)
    if plane == "top":
        glows = [off_wall(sources, lip, wall, reflectance_wall)]
    else:
        glows = [off_top(sources, lip, wall, top_depth, reflectance_top)]
    if reflectance_wall and reflectance_top:
        both = to_and_fro(sources, lip, wall, top_depth, reflectance_wall, reflectance_top)
        glows.append(both[0 if plane == "top" else 1])
    return glows

"""Strips so long that their ends do not count, and surfaces as long, in closed form."""

from math import hypot

from pelmet.model.plan.light.photometry.line import LitLine, lux_on_top, lux_on_wall

_FAR = 1e9  # metres


def endless_on_top(line: LitLine, x: float) -> float:
    """Give the direct light of an endless strip on the worktop, whatever ends it has. [lx]"""
    return lux_on_top(line._replace(y_start=-_FAR, y_end=_FAR), x, 0)


def endless_on_wall(line: LitLine, z: float) -> float:
    """Give the direct light of an endless strip on the splashback, whatever ends it has. [lx]"""
    return lux_on_wall(line._replace(y_start=-_FAR, y_end=_FAR), 0, z)


def endless_means(
    direct: tuple[float, float],
    top_depth: float,
    height: float,
    top_reflectance: float,
    wall_reflectance: float,
) -> tuple[float, float]:
    """Give the mean lux of a very long worktop and splashback that light each other.

    Each is taken to be as bright all over; ``direct`` holds their means of direct light. View
    factor of an endless corner by crossed strings (H. Hottel), F = (D + H - sqrt(D² + H²)) / (2 D)
    from the worktop.
    """
    strings = (top_depth + height - hypot(top_depth, height)) / 2
    to_top = strings / top_depth * wall_reflectance
    to_wall = strings / height * top_reflectance
    on_top, on_wall = direct
    top = (on_top + to_top * on_wall) / (1 - to_top * to_wall)
    return top, on_wall + to_wall * top

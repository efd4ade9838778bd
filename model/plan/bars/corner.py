"""Two bars at a corner of walls: both mitred, or one passing and the other butting on it.

Wall A leads to the corner and wall B away from it, ``corner_degrees`` is the angle in the room.
Along A is measured back from the corner, along B forward from it, so less than nothing is
beyond the corner. ``out_a`` and ``out_b`` are from each wall to the middle of its channel,
``face_a`` and ``face_b`` the widths of the channels [mm]. Tried for corners of 60 to 300 degrees.
"""

from collections.abc import Sequence
from decimal import Decimal
from math import cos, radians, sin, tan
from typing import NamedTuple

from pelmet.model.plan.formulas import works_out

STRAIGHT_DEGREES = 180
SQUARE_DEGREES = 90


class AtCorner(NamedTuple):
    """A place on each of two lines: back along A from the corner, and along B from it [mm]."""

    on_a: float
    on_b: float


@works_out("mitre")
def mitre_setting(corner_degrees: float) -> float:
    """Give the saw's setting from a square cut [degrees], for two channels of one width.

    ``|90 - corner / 2|``, common practice.
    """
    return abs(SQUARE_DEGREES - corner_degrees / 2)


def mitre_slant(width: float, setting: float) -> float:
    """Give how far a mitre runs along half a width [mm], the saw set so far from square [degrees].

    ``width / 2 x tan(setting)``, plane geometry.
    """
    return width / 2 * tan(radians(setting))


@works_out("mitred edge")
def mitred_edge(length: float, face: float, *settings: float, longer: Sequence[bool]) -> Decimal:
    """Give one edge of a bar from its ``length`` along the middle, between crossing points [mm].

    Each setting of the saw [degrees] moves an end of the edge by the mitre's slant, out where this
    edge is the ``longer`` one: that is the wall's at an inside corner, the room's at an outside
    corner. Below nothing the bar is too short for its mitres.
    """
    slants = (mitre_slant(face, setting) for setting in settings)
    edge = length + sum(slant if out else -slant for slant, out in zip(slants, longer, strict=True))
    return Decimal(str(round(edge, 6)))


def is_inside(corner_degrees: float) -> bool:
    """Say if a corner is an inside one, where the edges at the walls are the longer ones."""
    return corner_degrees < STRAIGHT_DEGREES


def crossing_point(corner_degrees: float, out_a: float, out_b: float) -> AtCorner:
    """Give where the middle lines of two bars cross [mm].

    ``on A = (out B + out A cos) / sin``, ``on B = (out A + out B cos) / sin`` of the corner.
    Raises ValueError for 180 degrees, where they do not.
    """
    cosine, sine = _cos_sin(corner_degrees)
    return AtCorner((out_b + out_a * cosine) / sine, (out_a + out_b * cosine) / sine)


def butt_start(
    corner_degrees: float, out_a: float, face_a: float, out_b: float, face_b: float, gap: float
) -> float:
    """Give where on B a square-cut bar starts when the bar on A passes [mm from the corner].

    Both corners of its end stay ``gap`` off the near edge of A's line, measured square to A:
    the room-side edge at an inside corner, the wall-side edge at an outside one. In a square
    corner that is the far edge of A's channel and the gap. Near 180 degrees it is far off:
    mitre there. Plane geometry; raises ValueError for 180 degrees.
    """
    cosine, sine = _cos_sin(corner_degrees)
    side = 1 if sine > 0 else -1
    edge = out_a + side * (face_a / 2 + gap)
    return (edge + out_b * cosine + side * face_b / 2 * abs(cosine)) / sine


def butt_end(
    corner_degrees: float, out_a: float, face_a: float, out_b: float, face_b: float
) -> float:
    """Give how far the passing, square-cut bar on A can go [mm back from the corner].

    At an inside corner until the first corner of its end touches wall B; at an outside corner
    until the first comes flush with the room-side edge of B's line. Cap and clearance are the
    caller's to take off. Plane geometry; raises ValueError for 180 degrees.
    """
    cosine, sine = _cos_sin(corner_degrees)
    if sine > 0:
        return (out_a * cosine + face_a / 2 * abs(cosine)) / sine
    return (out_b + face_b / 2 + out_a * cosine - face_a / 2 * abs(cosine)) / sine


def dark_corner(
    last_lit: Decimal, crossing_a: Decimal, crossing_b: Decimal, first_lit: Decimal
) -> Decimal:
    """Give how long it is dark round the corner, along both middle lines [mm].

    From the last lit point on A over the crossing to the first lit point on B, all of them places
    along their walls. Light that goes on past the crossing leaves nothing dark on its own line.
    """
    none = Decimal(0)
    return max(crossing_a - last_lit, none) + max(first_lit - crossing_b, none)


def _cos_sin(corner_degrees: float) -> tuple[float, float]:
    if corner_degrees % STRAIGHT_DEGREES == 0:
        raise ValueError(f"lines along walls at {corner_degrees} degrees do not cross")
    angle = radians(corner_degrees)
    return cos(angle), sin(angle)

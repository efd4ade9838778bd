"""Whether a bar can be put in its place between two fixed faces, and in how many pieces.

``length`` is the bar with its caps, ``depth`` how far it stands down from the underside,
``clear`` the width between the faces, ``faces`` how far they come down below the underside. A
``mouth`` is a narrower width that the bar must come in through, such as a face frame, and
``room_below`` the clear height below the underside. All in mm; the bar is longer than 1.5 times
its depth. Plane geometry of a rectangle that is turned in the plane of its length.
"""

from math import acos, atan2, hypot, pi, sin, sqrt
from typing import Literal, NamedTuple

from pelmet.model.plan.formulas import works_out

# A line of light in more pieces than this is another plan.
MOST_PIECES = 6


class WayIn(NamedTuple):
    """How a bar goes in; what that takes and what is to spare of it [mm], short when negative."""

    way: Literal["straight", "tilted", "as two"]
    needed: float
    spare: float
    decided_by: Literal["clear width", "mouth", "room below"]


@works_out("tilt room")
def tilt_room(length: float, depth: float) -> float:
    """Give the extra width that swinging up level between deep faces takes [mm].

    ``sqrt(length^2 + depth^2) - length``: a bar is widest when it stands on its diagonal.
    """
    return hypot(length, depth) - length


def swing_width(length: float, depth: float, faces: float) -> float:
    """Give the clear width for swinging up with one end already against the underside [mm].

    The diagonal, when the faces are deep enough to meet the bar in that position; else the
    width at which the free end comes in between them, ``length^2 / sqrt(length^2 - faces^2)``.
    """
    diagonal = hypot(length, depth)
    if faces * diagonal >= length * depth:
        return diagonal
    return length**2 / sqrt(length**2 - faces**2)


def can_tilt(length: float, depth: float, clear: float, faces: float) -> bool:
    """Tell whether a bar can go up one end first; if not, both ends go up at once, level."""
    return swing_width(length, depth, faces) <= clear


def passing_height(length: float, depth: float, mouth: float) -> float:
    """Give the height it takes to bring a bar in tilted, and then to level it [mm].

    It is tilted as little as ``length cos a + depth sin a <= mouth`` allows, and is then
    ``length sin a + depth cos a`` high; from beyond the diagonal it must first come over it.
    """
    diagonal, own = hypot(length, depth), atan2(depth, length)
    tilt = own + acos(min(mouth / diagonal, 1))
    return diagonal * sin(min(tilt + own, pi / 2))


def way_in(
    length: float,
    depth: float,
    clear: float,
    faces: float,
    mouth: float | None = None,
    room_below: float | None = None,
) -> WayIn:
    """Tell how a bar goes in, by the tightest of what its way takes.

    Straight: level, from below or from the front. Tilted: through the mouth at an angle, then
    swung up. Else as two; a bar longer than the clear width does not go in as two either.
    """
    narrow = mouth is not None and mouth < clear
    narrowest = mouth if mouth is not None and narrow else clear
    if length <= narrowest:
        decided: Literal["clear width", "mouth"] = "mouth" if narrow else "clear width"
        return WayIn("straight", length, narrowest - length, decided)
    if mouth is None or length > clear:
        return WayIn("as two", length, clear - length, "clear width")
    swing = swing_width(length, depth, faces)
    takes = [
        WayIn("tilted", swing, clear - swing, "clear width"),
        WayIn("tilted", depth, mouth - depth, "mouth"),
    ]
    if room_below is not None:
        height = passing_height(length, depth, mouth)
        takes.append(WayIn("tilted", height, room_below - height, "room below"))
    tightest = min(takes, key=_spare)
    return tightest if tightest.spare >= 0 else tightest._replace(way="as two")


def pieces_to_go_in(
    length: float,
    depth: float,
    clear: float,
    faces: float,
    mouth: float | None = None,
    room_below: float | None = None,
) -> int | None:
    """Give the least number of equal pieces that go in, six at most; None when none does.

    The last piece goes in beside the others, between a face and the end of a piece.
    """
    for pieces in range(1, MOST_PIECES + 1):
        piece = length / pieces
        left = clear - (length - piece)
        beside = faces if pieces == 1 else max(faces, depth)
        if way_in(piece, depth, left, beside, mouth, room_below).way != "as two":
            return pieces
    return None


def _spare(way: WayIn) -> float:
    return way.spare

"""Where on a reel to take a piece of strip, so that its factory joints come to stand well."""

from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

KEEP_OFF_MM = Decimal(20)


class ReelStart(NamedTuple):
    """Cut units to skip after a factory joint, and the joints along the piece then [mm]."""

    skip_units: int
    joints: tuple[Decimal, ...]


def reel_start(
    units: int,
    unit: Decimal,
    every: Decimal | None,
    splices: Sequence[Decimal] = (),
    keep_off: Decimal = KEEP_OFF_MM,
) -> ReelStart | None:
    """Give the fewest units to skip after a factory joint before a piece is cut off; None: no way.

    The reel has a joint at every ``every`` mm, a whole number of units; None when it has none.
    Neither end of the piece comes nearer than ``keep_off`` to a joint of the reel, and no joint
    in the piece nearer than that to a splice of the channel (``splices``, mm along the strip);
    never do they fall together. Raises ValueError when joints do not fall on cut marks.
    """
    if every is None:
        return ReelStart(0, ())
    if every <= 0 or every % unit:
        raise ValueError(f"factory joints every {every} mm are not on the marks of {unit} mm units")
    length = units * unit

    def near(distance: Decimal) -> bool:
        return distance < keep_off or distance == 0

    for skip in range(int(every // unit)):
        start = skip * unit
        ends = (start, start + length)
        if any(near(min(end % every, every - end % every)) for end in ends):
            continue
        first = start // every + 1
        beyond = (start + length) // every + 1
        joints = tuple(every * row - start for row in range(int(first), int(beyond)))
        if not any(near(abs(joint - splice)) for joint in joints for splice in splices):
            return ReelStart(skip, joints)
    return None

"""Where on a reel to take a piece of strip, so that its factory joints come to stand well."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

KEEP_OFF_MM = Decimal(20)


class ReelStart(NamedTuple):
    """Where a piece may start, in cut units after a factory joint, the fewest first.

    ``joints`` are those along the piece where it starts first [mm].
    """

    skips: tuple[int, ...]
    joints: tuple[Decimal, ...]

    @property
    def skip_units(self) -> int:
        """Give the fewest units to skip after a factory joint."""
        return self.skips[0]


def reel_start(
    units: int,
    unit: Decimal,
    every: Decimal | None,
    splices: Sequence[Decimal] = (),
    keep_off: Decimal = KEEP_OFF_MM,
    *,
    across: bool = True,
) -> ReelStart | None:
    """Give where after a factory joint a piece may be cut off; None: nowhere.

    The reel has a joint at every ``every`` mm, a whole number of units; None when it has none.
    Neither end of the piece comes nearer than ``keep_off`` to a joint of the reel, and no joint
    in the piece nearer than that to a splice of the channel (``splices``, mm along the strip);
    never do they fall together. Not ``across``: a piece that goes between two joints is taken
    there. Raises ValueError when joints do not fall on cut marks.
    """
    if every is None:
        return ReelStart((0,), ())
    if every <= 0 or every % unit:
        raise ValueError(f"factory joints every {every} mm are not on the marks of {unit} mm units")
    found = list(_starts(units * unit, unit, every, splices, keep_off))
    between = [each for each in found if not each[1]]
    able = between if between and not across else found
    return ReelStart(tuple(skip for skip, _ in able), able[0][1]) if able else None


def _starts(
    length: Decimal, unit: Decimal, every: Decimal, splices: Sequence[Decimal], keep_off: Decimal
) -> Iterator[tuple[int, tuple[Decimal, ...]]]:
    """Give the units after a joint that a piece may start at, and the joints in it then."""

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
            yield skip, joints

"""Across a cabinet: where the middle of a channel runs, by the line that was chosen."""

from decimal import Decimal

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Line
from pelmet.model.job.parts import Channel


def out_from_wall(line: Line, depth: Decimal, channel: Channel, allowances: Allowances) -> Decimal:
    """Give the distance from the wall to the middle of the channel [mm].

    It is kept under the cabinet, except for the line on a shelf's front edge, which stands
    before it.
    """
    half = channel.face / 2
    out = {
        "front": depth - allowances.front_set_back - half,
        "middle": depth / 2,
        "back": allowances.back_set_back + half,
        "edge": depth + half,
    }[line]
    if line == "edge":
        return out
    return min(max(out, half), max(depth - half, half))

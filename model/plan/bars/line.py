"""Across a cabinet: where the middle of a channel runs, by the line that was chosen.

All from the wall, in mm. It is kept under the cabinet, except for the line on a shelf's front
edge, which stands before it.
"""

from decimal import Decimal

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import Line
from pelmet.model.job.parts import Channel
from pelmet.model.plan.formulas import works_out


def out_from_wall(line: Line, depth: Decimal, channel: Channel, allowances: Allowances) -> Decimal:
    """Give the distance from the wall to the middle of the channel, whatever the line."""
    match line:
        case "front":
            return out_in_front(depth, allowances.front_set_back, channel.face)
        case "middle":
            return out_in_middle(depth, channel.face)
        case "back":
            return out_at_back(allowances.back_set_back, channel.face, depth)
        case "edge":
            return out_on_edge(depth, channel.face)


@works_out("from wall front")
def out_in_front(depth: Decimal, set_back: Decimal, face: Decimal) -> Decimal:
    """Give it for the line at the front: set back from the cabinet's front edge."""
    return _under(depth - set_back - face / 2, depth, face)


@works_out("from wall middle")
def out_in_middle(depth: Decimal, face: Decimal) -> Decimal:
    """Give it for the line in the middle of the cabinet."""
    return _under(depth / 2, depth, face)


@works_out("from wall back")
def out_at_back(set_back: Decimal, face: Decimal, depth: Decimal) -> Decimal:
    """Give it for the line at the back: set back from the wall."""
    return _under(set_back + face / 2, depth, face)


@works_out("from wall edge")
def out_on_edge(depth: Decimal, face: Decimal) -> Decimal:
    """Give it for the line on a shelf's front edge."""
    return depth + face / 2


def _under(out: Decimal, depth: Decimal, face: Decimal) -> Decimal:
    half = face / 2
    return min(max(out, half), max(depth - half, half))

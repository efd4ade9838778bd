"""What a bar's lengths follow from, all in mm: plain formulas, exact where no angle comes in."""

from collections.abc import Sequence
from decimal import Decimal

from pelmet.model.plan.formulas import works_out
from pelmet.model.plan.survey.openings import EdgeKind


def end_takes(kind: EdgeKind, clearance: Decimal, cap: Decimal) -> Decimal:
    """Give what an end takes off its opening: clearance and cap; less where bars meet.

    The cap alone where it butts on another bar, nothing at a mitre; common practice.
    """
    if kind == "mitre":
        return Decimal(0)
    return cap if kind == "butt" else cap + clearance


@works_out("bar at a corner")
def bar_at_corner(
    opening: Decimal, clearance: Decimal, cap: Decimal, *, ends: Sequence[EdgeKind]
) -> Decimal:
    """Give the bar an opening takes, by what its two ends meet."""
    return opening - sum((end_takes(kind, clearance, cap) for kind in ends), Decimal(0))


@works_out("bar")
def bar_length(opening: Decimal, clearance: Decimal, cap: Decimal) -> Decimal:
    """Give a bar that meets no other round a corner: opening - 2 clearance - 2 cap."""
    return bar_at_corner(opening, clearance, cap, ends=("face", "face"))


@works_out("longest opening")
def longest_opening(bar: Decimal, clearance: Decimal, cap: Decimal) -> Decimal:
    """Give the longest opening that one bar goes into, of the longest that a bar may be."""
    return bar + 2 * end_takes("face", clearance, cap)


@works_out("bar with caps")
def bar_with_caps(*of: Decimal | float) -> Decimal | float:
    """Give the longest of a bar with its caps: its edges, how many caps, and the cap's thickness.

    The first edge is the bar along its middle, exact; those of a mitred bar follow.
    """
    *edges, caps, cap = of
    longest = max(edges, key=float)
    if isinstance(longest, Decimal):
        return longest + Decimal(caps) * Decimal(cap)
    return longest + float(caps) * float(cap)


@works_out("units")
def whole_units(bar: Decimal, start: Decimal, end: Decimal, unit: Decimal) -> int:
    """Count the whole cut units between the zones at the two ends of a bar."""
    return int((bar - start - end) // unit)


@works_out("lit")
def lit_length(units: int, unit: Decimal) -> Decimal:
    """Give what is lit of a bar."""
    return units * unit


@works_out("dark")
def dark_length(bar: Decimal, lit: Decimal) -> Decimal:
    """Give what is dark of a bar."""
    return bar - lit


@works_out("rest")
def dark_rest(bar: Decimal, start: Decimal, end: Decimal, lit: Decimal) -> Decimal:
    """Give what no cut unit goes into between the zones at the ends."""
    return bar - start - end - lit


@works_out("dark end")
def dark_at_end(start: Decimal, end: Decimal, rest: Decimal, share: float, *, fed: bool) -> Decimal:
    """Give what is dark at an end, the fed or the other: its zone, its share of the rest.

    ``share`` is that of the fed end, 0 to 1.
    """
    own = Decimal(share)
    return start + rest * own if fed else end + rest * (1 - own)


@works_out("lit share")
def lit_share(lit: Decimal, bar: Decimal) -> float:
    """Give how much of a bar is lit [%]."""
    return float(100 * lit / bar)


@works_out("band")
def dark_band(before: Decimal, after: Decimal, gap: Decimal) -> Decimal:
    """Give the dark between two bars in one line: at the ends that face each other, and the gap."""
    return before + gap + after

"""How a bar is held: places of clips, screws that stay inside the panel, tape, and people."""

from collections.abc import Iterable
from decimal import Decimal
from itertools import pairwise

from pelmet.model.plan.formulas import works_out

FEWEST_CLIPS = 2  # common practice
MM2_PER_CM2 = 100
MM_PER_METRE = 1000
PERCENT = 100

Band = tuple[Decimal, Decimal]


def clip_places(
    length: Decimal,
    end_distance: Decimal,
    spacing: Decimal,
    joints: Iterable[Decimal] = (),
    keep_off: Decimal = Decimal(0),
) -> tuple[Decimal, ...]:
    """Give the places of a bar's clips from its left end [mm]; ``spacing`` is above nothing.

    ``max(2, ceil((length - 2 end distance) / spacing) + 1)`` clips, evenly spread (common
    practice). One nearer than ``keep_off`` to a joint moves to the nearer side of it, never
    closer to an end than the end distance; if that leaves more than the spacing between two,
    one clip more is spread, and so on. Only a joint too wide to bridge leaves more. No places
    at all when joints bar the whole bar.

    A bar shorter than four end distances has its clips a quarter from its ends, and one
    shorter than the end distance has one clip in its middle.
    """
    inset = length / 2 if length < end_distance else min(end_distance, length / 4)
    stretch = length - 2 * inset
    if stretch == 0:
        clips = 1
    else:
        steps, rest = divmod(stretch, spacing)
        clips = max(FEWEST_CLIPS, int(steps) + (rest > 0) + 1)
    bands = _merged(joints, keep_off)
    # Ends at the latest when the even step is half the spacing: a clip then stands in either
    # half of every band wider than the spacing, and no other gap is wider than two steps.
    while True:
        spread = (inset + stretch * row / max(clips - 1, 1) for row in range(clips))
        moved = {_off(place, bands, inset, length - inset) for place in spread}
        places = sorted(place for place in moved if place is not None)
        if all(gap[1] - gap[0] <= spacing or gap in bands for gap in pairwise(places)):
            return tuple(places)
        clips += 1


@works_out("weight")
def weight(bar: Decimal, per_metre: Decimal) -> Decimal:
    """Give what a bar weighs, strip and diffuser in it [kg], of its length and its kg/m."""
    return per_metre * bar / MM_PER_METRE


@works_out("screw left")
def screw_left(panel: Decimal, screw_length: Decimal, base: Decimal) -> Decimal:
    """Give what is left of a panel beyond the screw's point [mm]; negative: it comes through.

    ``panel - (screw length - base)``, ``base`` being what the screw passes before the panel.
    Common practice leaves at least 3 mm.
    """
    return panel - (screw_length - base)


@works_out("groove left")
def groove_left(panel: Decimal, depth: Decimal) -> Decimal:
    """Give what is left of a panel above a groove that takes a channel of this depth [mm]."""
    return panel - depth


@works_out("tape needed")
def tape_needed(per_kilogram: Decimal, kilograms: Decimal) -> Decimal:
    """Give the area of foam tape that carries a bar [cm2]: common practice, 55 a kilogram."""
    return per_kilogram * kilograms


@works_out("tape area")
def tape_area(bar: Decimal, face: Decimal, share: Decimal) -> Decimal:
    """Give the area of tape on a bar [cm2]: all along it, over a share of its face [%]."""
    return bar * (face * share / PERCENT) / MM2_PER_CM2


@works_out("people")
def people_for(bar: Decimal, two_over: Decimal) -> int:
    """Give how many people hang a bar of this length [mm]: two over about 2 m, common practice."""
    return 2 if bar > two_over else 1


def _merged(joints: Iterable[Decimal], keep_off: Decimal) -> list[Band]:
    """Give the open bands where no clip may stand, left to right, overlapping ones as one."""
    bands: list[Band] = []
    for joint in sorted(joints):
        left, right = joint - keep_off, joint + keep_off
        if bands and left < bands[-1][1]:
            bands[-1] = (bands[-1][0], right)
        else:
            bands.append((left, right))
    return bands


def _off(place: Decimal, bands: list[Band], first: Decimal, last: Decimal) -> Decimal | None:
    """Move a place out of the band it is in, to its nearer side between first and last."""
    for left, right in bands:
        if left < place < right:
            sides = [side for side in (left, right) if first <= side <= last]
            return min(sides, key=lambda side: abs(side - place), default=None)
    return place

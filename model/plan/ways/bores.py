"""How wide a hole is for its cables, and the grommet that is set in it."""

import math
from collections.abc import Sequence
from decimal import Decimal
from typing import NamedTuple

from pelmet.model.job.fits import smallest_grommet
from pelmet.model.job.parts import Sundry
from pelmet.model.measure.lengths import LengthUnit
from pelmet.model.plan.figure import Figure, derived, given, read_off
from pelmet.model.plan.formulas import works_out

# Common practice: the bits a fitter carries, metric, and in sixteenths of an inch [mm].
BITS = tuple(map(Decimal, (6, 7, 8, 10, 12, 14, 16, 18, 20, 22, 25, 28, 30, 35, 40)))
INCH_BITS = tuple(
    sixteenths * Decimal("25.4") / 16 for sixteenths in (4, 5, 6, 7, 8, 10, 12, 14, 16, 20, 24)
)
_SPARE = 2.0  # [mm] a hole is this much wider than its one cable, or 1.3 times it
_SPARE_SHARE = 1.3
_FILL = 0.45  # common practice: several cables fill no more than this of their hole
GROMMET_WALL = Decimal(2)  # [mm] what a grommet takes off a hole
_SNUG = Decimal("0.2")  # [mm] a bit in inches may be this much short of a grommet's hole
NOISE = 1e-9  # [mm] what widths worked out in floats are good for


class Bored(NamedTuple):
    """A hole as it is drilled [mm], and the grommet that is set in it, if one passes its cables."""

    diameter: Figure
    grommet: Sundry | None


def needed_diameter(outsides: Sequence[float]) -> float:
    """Give the least hole for cables of these widths across [mm].

    One cable: 2 mm wider, and 1.3 times it at least. Several: they fill no more than 45 % of the
    hole's area, so that ``D = sqrt(sum d^2 / 0.45)``, about ``1.5 d sqrt(n)``; common practice.
    """
    widest = max(outsides)
    one = max(widest + _SPARE, _SPARE_SHARE * widest)
    if len(outsides) == 1:
        return one
    return max(one, math.sqrt(sum(width**2 for width in outsides) / _FILL))


def bundle_width(outsides: Sequence[float]) -> float:
    """Give the least bore of a grommet for cables of these widths across [mm].

    Of one cable its own width; of several the least hole for them, less a grommet's wall.
    """
    if len(outsides) == 1:
        return outsides[0]
    return max(*outsides, needed_diameter(outsides) - float(GROMMET_WALL))


def hole_for(
    hole_id: str, widths: Sequence[Figure], grommets: Sequence[Sundry], unit: LengthUnit = "mm"
) -> Bored:
    """Give the hole of the smallest grommet that passes the cables; without one, the next bit."""
    bundle = Decimal(str(round(bundle_width([float(each.value) for each in widths]), 6)))
    grommet = smallest_grommet(grommets, bundle)
    if grommet is None or grommet.bore is None:
        return Bored(bit_for_hole(hole_id, widths, unit), None)
    own = given("hole of the grommet", hole_of(grommet), "mm", "part", grommet.id)
    wide = own.value if unit != "in" else _next_to(Decimal(own.value) - _SNUG, INCH_BITS)
    bore = given("bore of the grommet", grommet.bore, "mm", "part", grommet.id)
    hole = read_off("hole", wide, "mm", "grommet hole", hole_id, own, bore, *widths)
    return Bored(hole, grommet)


def _next_to(wide: Decimal, bits: Sequence[Decimal]) -> Decimal:
    return next((size for size in bits if size >= wide), bits[-1])


def hole_of(grommet: Sundry) -> Decimal:
    """Give the hole that a grommet is set in [mm]: what it says, else its bore and its wall."""
    return grommet.hole or (grommet.bore or Decimal(0)) + GROMMET_WALL


def grommet_in(
    drilled: Decimal, widths: Sequence[Figure], grommets: Sequence[Sundry]
) -> Sundry | None:
    """Give the grommet for a hole that is there: the widest that goes in and passes its cables.

    Where none does both, the smallest that passes them.
    """
    outsides = [float(each.value) for each in widths]
    bundle = Decimal(str(round(bundle_width(outsides), 6))) if outsides else Decimal(0)
    able = [each for each in grommets if each.bore is not None and each.bore >= bundle]
    going_in = [each for each in able if hole_of(each) <= drilled]
    return max(going_in, key=hole_of, default=smallest_grommet(grommets, bundle))


def bit_for_hole(hole_id: str, widths: Sequence[Figure], unit: LengthUnit = "mm") -> Figure:
    """Give the bit for a hole [mm]: the next one a fitter carries, the largest if none is."""
    bits = INCH_BITS if unit == "in" else BITS
    if len(widths) == 1:
        return derived("hole", "mm", hole_for_one, hole_id, *widths, bits=bits)
    return derived("hole", "mm", hole_for_several, hole_id, *widths, bits=bits)


@works_out("hole")
def hole_for_one(cable: float, *, bits: Sequence[Decimal] = BITS) -> Decimal:
    """Give the bit for a hole that one cable so wide goes through [mm]."""
    return _next_bit([cable], bits)


@works_out("hole for several")
def hole_for_several(*cables: float, bits: Sequence[Decimal] = BITS) -> Decimal:
    """Give the bit for a hole that cables so wide go through together [mm]."""
    return _next_bit(cables, bits)


def _next_bit(outsides: Sequence[float], bits: Sequence[Decimal]) -> Decimal:
    needed = needed_diameter(outsides)
    return next((size for size in bits if float(size) >= needed - NOISE), bits[-1])


@works_out("grommet")
def grommet_bore(hole: float) -> float:
    """Give the bore of a grommet for a hole [mm]."""
    return hole - float(GROMMET_WALL)

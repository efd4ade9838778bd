"""How bars and diffusers grow with heat, and how long to cut a diffuser for it.

Coefficients are of a kelvin, temperatures in degrees Celsius. The cabinets are taken to stay as
they are: along its grain wood hardly follows the temperature.
"""

from decimal import Decimal

from pelmet.model.plan.formulas import works_out

# Diffusers are cut to half a millimetre.
CUTS_PER_MM = 2


@works_out("growth")
def growth(length: Decimal, per_kelvin: Decimal, cut_at: Decimal, hottest: Decimal) -> Decimal:
    """Give how much a length grows from the temperature it is cut at to the hottest [mm].

    ``length x coefficient x kelvin``, the definition of the coefficient; never less than 0.
    """
    return length * per_kelvin * _above(cut_at, hottest)


@works_out("clearance needed")
def clearance_needed(grows: Decimal) -> Decimal:
    """Give the air to leave at each end of a bar that grows so much, held in its middle [mm]."""
    return grows / 2


@works_out("diffuser cut")
def diffuser_cut(
    bar: Decimal,
    bar_per_kelvin: Decimal,
    diffuser_per_kelvin: Decimal,
    cut_at: Decimal,
    hottest: Decimal,
) -> Decimal:
    """Give the longest diffuser that is never longer than its bar, down to 0.5 mm [mm].

    ``diffuser (1 + its growth) <= bar (1 + its growth)`` from the temperature it is cut at to the
    hottest, and no longer than the bar when cut.
    """
    kelvin = _above(cut_at, hottest)
    grown = CUTS_PER_MM * bar * (1 + bar_per_kelvin * kelvin)
    halves = min(grown // (1 + diffuser_per_kelvin * kelvin), CUTS_PER_MM * bar // 1)
    return halves / CUTS_PER_MM


@works_out("diffuser gap")
def diffuser_gap(
    bar: Decimal,
    diffuser: Decimal,
    bar_per_kelvin: Decimal,
    diffuser_per_kelvin: Decimal,
    cut_at: Decimal,
    coldest: Decimal,
) -> Decimal:
    """Give how much shorter than its bar a diffuser is when coldest, both ends together [mm].

    Both lengths as cut.
    """
    kelvin = _above(coldest, cut_at)
    shrunk = bar * (1 - bar_per_kelvin * kelvin)
    return shrunk - diffuser * (1 - diffuser_per_kelvin * kelvin)


def _above(cooler: Decimal, warmer: Decimal) -> Decimal:
    """Give how many kelvin from one temperature up to another; none if it is no warmer."""
    return max(warmer - cooler, Decimal(0))

"""How bars and diffusers grow with heat, and how long to cut a diffuser for it.

Coefficients are in millionths a kelvin. The cabinets are taken to stay as they are: along its
grain wood hardly follows the temperature.
"""

from decimal import Decimal

# EN 1999-1-1:2007, 3.2.5: coefficient of linear thermal expansion of aluminium alloys.
ALUMINIUM_PER_KELVIN = Decimal(23)
# From memory, a default to be edited: the maker's sheet decides.
POLYCARBONATE_PER_KELVIN = Decimal(68)

MILLION = 1_000_000
# Diffusers are cut to half a millimetre.
CUTS_PER_MM = 2


def growth(length: Decimal, per_kelvin_millionths: Decimal, kelvin: Decimal) -> Decimal:
    """Give how much a length grows when it gets ``kelvin`` warmer [mm]; negative: it shrinks.

    ``length x coefficient x kelvin``, the definition of the coefficient.
    """
    return length * per_kelvin_millionths * kelvin / MILLION


def clearance_needed(
    length: Decimal, per_kelvin_millionths: Decimal, kelvin_up: Decimal
) -> Decimal:
    """Give the air to leave at each end of a bar that is held in its middle [mm].

    Half of what it grows from the fitting temperature to its hottest, ``kelvin_up`` >= 0.
    """
    return growth(length, per_kelvin_millionths, kelvin_up) / 2


def diffuser_cut(
    bar_length: Decimal,
    bar_per_kelvin: Decimal,
    diffuser_per_kelvin: Decimal,
    kelvin_up: Decimal,
) -> Decimal:
    """Give the longest diffuser that is never longer than its bar, down to 0.5 mm [mm].

    Cut at the fitting temperature; never, from there to ``kelvin_up`` (>= 0) above it:
    ``diffuser (1 + its growth) <= bar (1 + its growth)``, and no longer than the bar when cut.
    """
    bar = CUTS_PER_MM * bar_length * (MILLION + bar_per_kelvin * kelvin_up)
    halves = min(bar // (MILLION + diffuser_per_kelvin * kelvin_up), CUTS_PER_MM * bar_length // 1)
    return halves / CUTS_PER_MM


def gap_when_cold(
    bar_length: Decimal,
    diffuser_length: Decimal,
    bar_per_kelvin: Decimal,
    diffuser_per_kelvin: Decimal,
    kelvin_down: Decimal,
) -> Decimal:
    """Give how much shorter than its bar a diffuser is when cold, both ends together [mm].

    Both lengths as cut, at the fitting temperature; ``kelvin_down`` (>= 0) is how far below it.
    """
    bar = bar_length + growth(bar_length, bar_per_kelvin, -kelvin_down)
    return bar - diffuser_length - growth(diffuser_length, diffuser_per_kelvin, -kelvin_down)

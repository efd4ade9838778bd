"""Direct-current resistance of plain copper conductors, by metric size or by AWG gauge.

Every figure here is for ONE conductor. Current goes out on one core and comes back on the
other, so the loop resistance of a two-core cable is twice the figure.
"""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final, Literal

from pelmet.model.measure.awg import awg_area_mm2

ConductorClass = Literal[1, 2, 5]

# IEC 60228 Tables A.1 and A.2 (class 2, stranded; class 1, solid, has the same) and A.3 (class 5,
# flexible):
# largest resistance at 20 °C, plain copper, by (class, mm²).
# The class 5, 0.75 mm² figure was not seen in print: it is from memory, and agrees with its
# neighbours (resistance times area is 19.5 ohm mm²/km at 0.5, 0.75 and 1 mm²).
IEC60228_OHMS_PER_KM: Final[Mapping[tuple[ConductorClass, float], float]] = MappingProxyType(
    {
        (2, 0.5): 36.0,
        (2, 0.75): 24.5,
        (2, 1.0): 18.1,
        (2, 1.5): 12.1,
        (2, 2.5): 7.41,
        (2, 4.0): 4.61,
        (2, 6.0): 3.08,
        (5, 0.5): 39.0,
        (5, 0.75): 26.0,
        (5, 1.0): 19.5,
        (5, 1.5): 13.3,
        (5, 2.5): 7.98,
        (5, 4.0): 4.95,
        (5, 6.0): 3.30,
    }
)

# International Annealed Copper Standard (IEC 60028): 58 MS/m at 20 °C, coefficient 0.00393 /K.
IACS_OHM_MM2_PER_METRE: Final = 1 / 58
IACS_ALPHA_PER_KELVIN: Final = 0.00393
REFERENCE_CELSIUS: Final = 20.0

# NEC Chapter 9 Table 8: uncoated copper of seven strands, ohms per 1000 ft of one conductor, 75 °C.
# That of 16 and of 10 AWG were not seen in print: they are from memory, and agree with their
# neighbours (1.020 and 1.025 times those of solid wire).
NEC8_STRANDED_OHMS_PER_KFT: Final[Mapping[int, float]] = MappingProxyType(
    {18: 7.95, 16: 4.99, 14: 3.14, 12: 1.98, 10: 1.24}
)
_NEC8_CELSIUS: Final = 75.0
_STRANDED_SHARE: Final = 7.95 / 7.77  # of 18 AWG: stranded by solid
_METRES_PER_KFT: Final = 304.8
_SOLID: Final = 1  # IEC 60228 class

METRES_PER_KM: Final = 1000.0


def ohms_per_metre(area_mm2: float, class_: ConductorClass) -> float:
    """Give the largest resistance of one conductor of a listed metric size, at 20 °C.

    Args:
        area_mm2: Nominal cross-section. [mm²]
        class_: 1 for solid, 2 for stranded, 5 for flexible.

    Returns:
        Resistance of one conductor, not of the loop. [ohm/m]

    Raises:
        ValueError: The size is not listed; the message names those that are.

    Source: IEC 60228 Tables A.1, A.2 (class 2; class 1 is the same) and A.3 (class 5).
    """
    listed_as = 2 if class_ == _SOLID else class_
    ohms_per_km = IEC60228_OHMS_PER_KM.get((listed_as, area_mm2))
    if ohms_per_km is None:
        listed = ", ".join(f"{mm2:g}" for row, mm2 in IEC60228_OHMS_PER_KM if row == listed_as)
        raise ValueError(
            f"no class {class_} copper of {area_mm2:g} mm²; choose one of {listed} mm²"
            if listed
            else f"no conductor class {class_}; choose 1 (solid), 2 (stranded) or 5 (flexible)"
        )
    return ohms_per_km / METRES_PER_KM


def awg_ohms_per_metre(gauge: int, *, stranded: bool = False) -> float:
    """Give the resistance of one copper conductor by American wire gauge, at 20 °C.

    Stranded wire of the same gauge has some 2 % more, since its strands are twisted.

    Args:
        gauge: Gauge number, -3 for No. 0000 up to 40.
        stranded: Of strands, uncoated; else of one solid wire.

    Returns:
        Resistance of one conductor, not of the loop. [ohm/m]

    Raises:
        ValueError: The gauge is outside that range.

    Source: ASTM B258 area; IEC 60028 (IACS) resistivity, 1/58 ohm mm²/m. Stranded: NEC Chapter 9
    Table 8 where it lists the gauge; others in the proportion of its thinnest.
    """
    solid = IACS_OHM_MM2_PER_METRE / awg_area_mm2(gauge)
    if not stranded:
        return solid
    listed = NEC8_STRANDED_OHMS_PER_KFT.get(gauge)
    if listed is None:
        return solid * _STRANDED_SHARE
    at_75 = listed / _METRES_PER_KFT
    return at_75 / at_temperature(1.0, _NEC8_CELSIUS)


def at_temperature(r20: float, celsius: float) -> float:
    """Give the resistance of copper at a temperature from its resistance at 20 °C.

    This is the IACS coefficient, 0.00393 /K. The k_t table in IEC 60228, which brings a
    reading back to 20 °C, is 1/(1 + 0.004 (t - 20)): rounded up, so it makes a conductor at
    80 °C 0.34 % higher than this does. The table is for reading test results, this for copper.

    Args:
        r20: Resistance, or resistance per metre, at 20 °C. [ohm or ohm/m]
        celsius: Conductor temperature. [°C]

    Returns:
        Resistance at that temperature, in the unit of `r20`; per conductor if that was.

    Source: International Annealed Copper Standard (IEC 60028).
    """
    return r20 * (1 + IACS_ALPHA_PER_KELVIN * (celsius - REFERENCE_CELSIUS))

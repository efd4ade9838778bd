"""American wire gauge in metric sizes.

Source: ASTM B258, which fixes No. 36 at 0.0050 in and No. 0000 at 0.4600 in, with the 38
gauges between them in geometric progression: 39 steps, and a ratio of 92 end to end.
"""

from math import pi
from typing import Final

NO_36_DIAMETER_MM: Final = 0.127  # 0.0050 in
RATIO: Final = 92  # 0.4600 in / 0.0050 in
STEPS: Final = 39
NO_36: Final = 36
NO_0000: Final = -3  # 0 is No. 0, -1 is No. 00, -2 is No. 000
THINNEST: Final = 40


def awg_diameter_mm(gauge: int) -> float:
    """Return the diameter of a solid wire [mm], d = 0.127 x 92^((36 - n) / 39).

    No. 0000 (-3) to No. 40; raises ValueError beyond. Source: ASTM B258.
    """
    if not NO_0000 <= gauge <= THINNEST:
        raise ValueError(f"wire gauges run from {NO_0000} (No. 0000) to {THINNEST}, not {gauge}")
    return float(NO_36_DIAMETER_MM * RATIO ** ((NO_36 - gauge) / STEPS))


def awg_area_mm2(gauge: int) -> float:
    """Return the cross-section of a wire [mm2], pi d^2 / 4; a stranded one has the same copper.

    Range and errors as for `awg_diameter_mm`. Source: ASTM B258.
    """
    return pi / 4 * awg_diameter_mm(gauge) ** 2

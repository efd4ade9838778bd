"""What a dim level looks like.

Two laws are in use. The square law is the trade's and stands for a whole lit room that the eye
has settled to; CIE lightness compares a surface with a white one beside it. They never differ by
more than 8 of 100.
"""

from math import sqrt
from typing import Final

_FULL: Final = 100.0
# CIE 1976 lightness, L* = 116 f(Y/Yn) - 16: f is the cube root, but a straight line in the dark.
_SCALE: Final = 116.0
_SHIFT: Final = 16.0
_KNEE: Final = 6 / 29
_SLOPE: Final = 841 / 108
_START: Final = 4 / 29


def lightness(flux: float) -> float:
    """Give the CIE 1976 lightness L* that a share of the full light looks like.

    Args:
        flux: Light, of full light, 0 to 100. [%]

    Returns:
        Lightness, 0 for black to 100 for full. [-]

    Raises:
        ValueError: The flux is outside 0 to 100.

    Source: CIE S 017, 17-23-076: f(t) = t^(1/3) above (6/29)^3, else 841/108 t + 4/29.

    >>> round(lightness(18.418652), 3)
    50.0
    """
    share = _checked(flux) / _FULL
    root = share ** (1 / 3) if share > _KNEE**3 else _SLOPE * share + _START
    return _SCALE * root - _SHIFT


def square_law_brightness(flux: float) -> float:
    """Give how bright a share of the full light looks by the square law.

    Args:
        flux: Light, of full light, 0 to 100. [%]

    Returns:
        Perceived brightness, of full brightness. [%]

    Raises:
        ValueError: The flux is outside 0 to 100.

    Source: IESNA Lighting Handbook, 9th edition: perceived light is the square root of measured.

    >>> round(square_law_brightness(10.0), 1)
    31.6
    """
    return _FULL * sqrt(_checked(flux) / _FULL)


def _checked(flux: float) -> float:
    if not 0 <= flux <= _FULL:
        raise ValueError(f"a flux of 0 to 100 is wanted, not {flux}")
    return flux

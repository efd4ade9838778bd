"""A measured distribution, as the lines of a catalogue for a diffuser that spreads light so."""

from bisect import bisect_right
from itertools import pairwise
from typing import Final

from pelmet.model.file.photometry.distribution_file import MeasuredDistribution

_HALF_ROUND: Final = 90
_FINE, _COARSE = 37, 13  # values of steps of 5 and of 15 degrees
_COARSE_STEP: Final = 180 / (_COARSE - 1)
_ACROSS_A_LINE: Final = 8
_LONGEST_NAME: Final = 60
_LAST_ASCII, _LAST_OF_FOUR = 0x7E, 0xFFFF


def sampled(measured: MeasuredDistribution) -> tuple[float, ...]:
    """Give the curve across from 90 degrees on the wall side to 90 on the room side.

    13 values, one every 15 degrees, of a curve with no finer steps; 37, one every 5, of others.

    Returns:
        The intensity in percent of the most, with two decimals. [%]
    """
    steps = [high - low for low, high in pairwise(measured.psi_degrees)]
    count = _COARSE if min(steps) >= _COARSE_STEP else _FINE
    step = 2 * _HALF_ROUND / (count - 1)
    values = [_at(measured, row * step - _HALF_ROUND) for row in range(count)]
    most = max(values)
    return tuple(round(100 * value / most, 2) for value in values) if most else ()


def write_diffuser(measured: MeasuredDistribution) -> str:
    """Write a catalogue's lines for a diffuser with a measured curve, in ASCII.

    What the file does not tell is filled in and marked: id, what is let through, and the lengths
    it is sold in. Nothing if all the light lies between the angles that are kept.
    """
    values = [f"{value:g}" for value in sampled(measured)]
    rows = [values[row : row + _ACROSS_A_LINE] for row in range(0, len(values), _ACROSS_A_LINE)]
    if not rows:
        return ""
    return "\n".join(
        [
            "[[diffuser]]",
            'id = "measured"  # yours',
            f"name = {_quoted(measured.title[:_LONGEST_NAME].strip() or 'Measured diffuser')}",
            "transmission_percent = 70  # yours: of the bare strip's light, what comes out",
            "stock = [2000]  # yours: the lengths it is sold in, in mm",
            "# From 90 degrees on the wall side to 90 on the room side, in percent of the most.",
            "curve = [",
            *(f"  {', '.join(row)}," for row in rows),
            "]",
            "",
        ]
    )


def _at(measured: MeasuredDistribution, psi: float) -> float:
    angles, candela = measured.psi_degrees, measured.candela_per_metre
    after = min(bisect_right(angles, psi), len(angles) - 1)
    low, first = angles[after - 1], candela[after - 1]
    return first + (candela[after] - first) * (psi - low) / (angles[after] - low)


def _quoted(text: str) -> str:
    """Write a TOML string with nothing but ASCII in it."""

    def letter(one: str) -> str:
        if one in '"\\':
            return f"\\{one}"
        code = ord(one)
        if code <= _LAST_ASCII:
            return one
        return f"\\u{code:04x}" if code <= _LAST_OF_FOUR else f"\\U{code:08x}"

    return f'"{"".join(map(letter, text))}"'

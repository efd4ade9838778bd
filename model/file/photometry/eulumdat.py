"""Reading an EULUMDAT file (.ldt): every symmetry, relative and absolute.

The format (A. Stockmar, 1990) gives each field a line of its own. Their order and meaning are
from memory of its description, and were compared with what open-source readers make of the same
files.
"""

from typing import Final

from pelmet.model.file.photometry.intensities import (
    FULL,
    HALF,
    QUARTER,
    Intensities,
    unfolded,
    with_horizon,
)
from pelmet.model.file.photometry.photometric_text import MOST_ANGLES, MOST_PLANES, Walk
from pelmet.model.refusal import escaped

_MM_PER_METRE: Final = 1000.0
_PER_LUMENS: Final = 1000.0  # intensities are given for so much light of the lamps
_PERCENT: Final = 100.0
_LONGEST_MM: Final = 1e6
_MOST_LAMPS: Final = 1000
_MOST_SETS: Final = 20
_LINES_A_SET: Final = 6
_DIRECT_RATIOS: Final = 10


def read_eulumdat(text: str, name: str) -> Intensities:
    """Read the text of an EULUMDAT file; ``name`` is what the faults call it.

    Raises ``FileError``. Of several sets of lamps the first counts, each set's fields together.
    A decimal comma is taken as a point. The conversion factor is in the intensities given.
    """
    walk = Walk(text, name, comma=True)
    walk.skip_lines(2, "type of luminaire")
    symmetry = walk.count_field("symmetry", 0, 4)
    plane_count = walk.count_field("number of C-planes", 1, MOST_PLANES)
    walk.skip_lines(1, "step between C-planes")
    gamma_count = walk.count_field("number of angles in a C-plane", 2, MOST_ANGLES)
    walk.skip_lines(2, "report number")
    title = escaped(walk.next_line("name of the luminaire"))
    walk.skip_lines(6, "size of the luminaire")
    length = walk.field("length of the lit area", 0, _LONGEST_MM) / _MM_PER_METRE
    width = walk.field("width of the lit area", 0, _LONGEST_MM) / _MM_PER_METRE
    size_line = walk.line
    walk.skip_lines(5, "downward flux fraction")
    output = walk.open_field("light output ratio", 0.0)
    conversion = walk.field("conversion factor", 0)
    tilted = walk.open_field("tilt while measured", 0.0)
    lumens, absolute = _lamps(walk)
    walk.numbers(_DIRECT_RATIOS, "direct ratio", 0)
    planes = _stored(walk, symmetry, walk.angles(plane_count, "C-plane", (0.0,), FULL))
    gammas = walk.gammas(gamma_count)
    factor = lumens / _PER_LUMENS * conversion
    rows = [
        [candela * factor for candela in walk.numbers(gamma_count, "intensity", 0)] for _ in planes
    ]
    walk.end()
    table = unfolded(planes, rows)
    angles, candela = with_horizon(gammas, list(table.values()))
    leaves = lumens if absolute else lumens * output / _PERCENT
    return Intensities(
        title=title,
        planes=tuple(table),
        angles=angles,
        candela=candela,
        size=(width or length, length),
        usual_across=0,
        lumens_within=(leaves, leaves) if leaves > 0 else None,
        size_line=size_line,
        last_line=walk.line,
        doubts=_doubts(round_area=width == 0 < length, tilted=tilted),
    )


def _lamps(walk: Walk) -> tuple[float, bool]:
    """Give the light of the first set [lm], and whether it is the luminaire's own."""
    sets = walk.count_field("number of sets of lamps", 1, _MOST_SETS)
    lamps = walk.count_field("number of lamps", -_MOST_LAMPS, _MOST_LAMPS)
    walk.skip_lines(1, "type of lamps")
    lumens = walk.field("lumens of the lamps", 0)
    walk.skip_lines(3 + _LINES_A_SET * (sets - 1), "watts of the lamps")
    return lumens, lamps < 0


def _stored(walk: Walk, symmetry: int, planes: list[float]) -> list[float]:
    """Give the planes that the file has intensities of, upwards, perhaps over 360. [°]"""
    match symmetry:
        case 0:
            return planes
        case 1:
            return planes[:1]
        case 2:
            ends, stored = (0.0, HALF), [plane for plane in planes if plane <= HALF]
        case 3:
            right = [plane for plane in planes if FULL - QUARTER <= plane < FULL]
            left = [plane + FULL for plane in planes if plane <= QUARTER]
            ends, stored = (FULL - QUARTER, FULL + QUARTER), right + left
        case _:
            ends, stored = (0.0, QUARTER), [plane for plane in planes if plane <= QUARTER]
    if (stored[0], stored[-1]) != ends:
        found = f"{planes[0]:g} to {planes[-1]:g}"
        says = f"with symmetry {symmetry} they have to have {ends[0]:g} and {ends[1] % FULL:g}"
        walk.refuse("C-planes", found, says)
    return stored


def _doubts(*, round_area: bool, tilted: float) -> tuple[str, ...]:
    doubts = []
    if round_area:
        doubts.append("its lit area is round")
    if tilted:
        doubts.append(f"it was tilted by {tilted:g} degrees while it was measured")
    return tuple(doubts)

"""Reading an ANSI/IES LM-63 file: the 1986, 1991, 1995, 2002 and 2019 editions, type C.

The order of the fields and their meaning are from memory of the standard, and were compared with
what an open-source reader makes of the same files.
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
from pelmet.model.file.photometry.photometric_text import (
    LARGEST,
    MOST_ANGLES,
    MOST_PLANES,
    Walk,
    shown_text,
)
from pelmet.model.refusal import escaped

METRES_PER_FOOT: Final = 0.3048  # exact, international foot

_TILT: Final = "TILT="
# The first line of editions whose second factor is not a factor any more.
_NEWER: Final = ("IESNA:LM-63-", "IES:LM-63-")
_TITLES: Final = ("[LUMINAIRE]", "[LUMCAT]")
_MOST_LAMPS: Final = 1000
_ABSOLUTE: Final = -1.0
_TYPE_C, _TYPES = 1, 3
_FEET, _METRES = 1, 2
_LONGEST_METRES: Final = 1000.0
_SPANS: Final = ((0.0, QUARTER), (0.0, HALF), (0.0, FULL), (QUARTER, FULL - QUARTER))


def read_lm63(text: str, name: str) -> Intensities:
    """Read the text of an LM-63 file; ``name`` is what the faults call it.

    Raises ``FileError``. The multiplier and the ballast factor are in the intensities that are
    given, and so is the ballast-lamp factor of the 1986 and 1991 editions; later ones use its
    place for other things. What TILT=INCLUDE says of other burning positions is passed over.
    """
    walk = Walk(text, name, comma=False)
    newer = walk.lines[0].strip().upper().startswith(_NEWER)
    title = _header(walk)
    lamp_lumens = _lamp_lumens(walk)
    multiplier = walk.number("multiplier", 0)
    gamma_count = walk.count("number of vertical angles", 2, MOST_ANGLES)
    plane_count = walk.count("number of horizontal angles", 1, MOST_PLANES)
    if (kind := walk.count("photometric type", _TYPE_C, _TYPES)) != _TYPE_C:
        walk.refuse("photometric type", str(kind), "only type C, 1, is read: convert it to that")
    metres = METRES_PER_FOOT if walk.count("units", _FEET, _METRES) == _FEET else 1.0
    width, length, _ = walk.numbers(3, "size of the lit area", -_LONGEST_METRES, _LONGEST_METRES)
    size_line = walk.line
    ballast = walk.number("ballast factor", 0)
    second = walk.number("ballast-lamp factor", 0)
    ballast *= 1.0 if newer else second
    walk.number("input watts", 0)
    gammas = walk.gammas(gamma_count)
    planes = walk.angles(plane_count, "horizontal angle", (0.0, QUARTER), FULL)
    if plane_count > 1 and (planes[0], planes[-1]) not in _SPANS:
        says = "they go from 0 to 90, 180 or 360, or from 90 to 270"
        walk.refuse("horizontal angles", f"{planes[0]:g} to {planes[-1]:g}", says)
    rows = [
        [candela * multiplier * ballast for candela in walk.numbers(gamma_count, "candela", 0)]
        for _ in planes
    ]
    walk.end()
    table = unfolded(planes, rows)
    angles, candela = with_horizon(gammas, list(table.values()))
    return Intensities(
        title=title,
        planes=tuple(table),
        angles=angles,
        candela=candela,
        size=(abs(length) * metres, abs(width) * metres),
        usual_across=90,
        lumens_within=None if lamp_lumens is None else (0.0, lamp_lumens * ballast),
        size_line=size_line,
        last_line=walk.line,
        doubts=("its lit area is round",) if width < 0 and length < 0 else (),
    )


def _header(walk: Walk) -> str:
    """Pass the labels and the tilt; give the luminaire's title."""
    titles: dict[str, str] = {}
    while not (line := walk.next_line("the line TILT=")).upper().startswith(_TILT):
        for label in _TITLES:
            if line.upper().startswith(label):
                titles.setdefault(label, escaped(line[len(label) :].strip()))
    tilt = line[len(_TILT) :].strip()
    if tilt.upper() == "INCLUDE":
        walk.number("lamp-to-luminaire geometry", 0)
        pairs = walk.count("number of tilt angles", 1, MOST_ANGLES)
        walk.numbers(2 * pairs, "tilt angles and factors", -LARGEST)
    elif tilt.upper() != "NONE":
        says = "NONE or INCLUDE is wanted: a tilt in a file of its own is not read"
        walk.refuse("TILT", shown_text(tilt), says)
    return next((titles[label] for label in _TITLES if titles.get(label)), "")


def _lamp_lumens(walk: Walk) -> float | None:
    """Give what all lamps are rated at, nothing where the photometry is absolute. [lm]"""
    lamps = walk.count("number of lamps", 1, _MOST_LAMPS)
    lumens = walk.number("lumens of a lamp", _ABSOLUTE)
    if _ABSOLUTE < lumens < 0:
        says = "0 or more is wanted, or -1 for absolute photometry"
        walk.refuse("lumens of a lamp", f"{lumens:g}", says)
    return None if lumens == _ABSOLUTE else lamps * lumens

"""The doors into a measured light distribution: a file of photometry in, a line's light out.

Which way a line of light lies in such files is from memory of both formats: along C0-C180 in
LM-63, along C90-C270 in EULUMDAT. Files that were converted carelessly lie the other way, so the
caller can say, and a file whose size tells against it raises a doubt.
"""

from math import inf
from os import PathLike
from pathlib import Path
from typing import Final, Literal, NamedTuple

from pelmet.model.file.photometry.eulumdat import read_eulumdat
from pelmet.model.file.photometry.intensities import Across, Intensities, curve_across, totals
from pelmet.model.file.photometry.lm63 import read_lm63
from pelmet.model.file.photometry.photometric_text import lines_of, shown_text
from pelmet.model.file.toml.faults import Fault, FileError
from pelmet.model.file.toml.parsing import read_bytes

Form = Literal["LM-63", "EULUMDAT"]

# What tells the formats apart.
_TILT: Final = "TILT="
_SYMMETRY_LINE: Final = 3
_SYMMETRIES: Final = ("0", "1", "2", "3", "4")
_UTF16_MARKS: Final = (b"\xff\xfe", b"\xfe\xff")

_LEAST_LUMENS: Final = 1e-6
_LEAST_METRES: Final = 0.001
# Light summed over 5 degree steps is within 1 %: more than this is not rounding.
_LUMENS_LEEWAY: Final = 0.05
_MOST: Final = 0.5


class MeasuredDistribution(NamedTuple):
    """What a laboratory measured of a piece of a line of light, for each metre of it.

    Across the line it is the curve ``candela_per_metre`` over ``psi_degrees``; along it, taken
    to fall as the cosine. ``flux_error`` and ``misplaced`` say what that takes for granted.
    """

    title: str
    """The luminaire's name in the file, safe to show."""
    form: Form
    across: Across
    """The C half-plane that plus psi lies in. [°]"""
    length: float
    """Lit length of the piece that was measured. [m]"""
    lumens: float
    """Flux of that piece in all directions. [lm]"""
    behind: float
    """Share of it that goes behind the face: above the horizontal, as it was measured. [-]"""
    psi_degrees: tuple[float, ...]
    """Angles across from straight ahead, from -90 to 90. [°]"""
    candela_per_metre: tuple[float, ...]
    """Intensity of each metre, at each angle; straight between them. [cd/m]"""
    flux_error: float
    """Flux of the curve times the cosine, over what was measured before the face, less 1. [-]"""
    misplaced: float
    """Share of the flux that the curve times the cosine sends in wrong directions. [-]"""
    doubts: tuple[str, ...]
    """What looks odd in the file but can be read, in words."""

    @property
    def lumens_per_metre(self) -> float:
        """Flux before the face of each metre. [lm/m]"""
        return self.lumens * (1 - self.behind) / self.length


def load_distribution(
    path: str | PathLike[str], across: Across | None = None, length: float | None = None
) -> MeasuredDistribution:
    """Read an LM-63 or an EULUMDAT file; ``FileError`` says what is wrong with it, and where.

    Args:
        path: The file; what is in it tells its format.
        across: The C half-plane that plus angles across the line lie in; the line is square to
            it. Without it, as the format is meant to have it: 90 for LM-63, 0 for EULUMDAT. [°]
        length: Lit length of the piece that was measured, 0.001 or more; without it, the longer
            side of the lit area in the file. [m]

    Returns:
        The distribution, of each metre of that length.
    """
    return read_distribution(read_bytes(Path(path)), str(path), across, length)


def read_distribution(
    data: bytes, name: str, across: Across | None = None, length: float | None = None
) -> MeasuredDistribution:
    """Make a distribution of a file's bytes; ``name`` is what the faults call the file.

    The other arguments and the faults are those of ``load_distribution``; a length that cannot
    be is a ``ValueError``.
    """
    if length is not None and not _LEAST_METRES <= length < inf:
        raise ValueError(f"a length of {_LEAST_METRES:g} m or more is wanted, not {length} m")
    form, table = _read(data, name)
    across = table.usual_across if across is None else across
    length = max(table.size) if length is None else length
    if length < _LEAST_METRES:
        size = Fault(
            table.size_line,
            "size of the lit area",
            f"{length:g} m",
            "the file gives no lit length",
            "say how long the piece was that was measured",
        )
        raise FileError(name, [size])
    curve, sums = curve_across(table, across), totals(table, across)
    if not min(sums.made, sums.before) > _LEAST_LUMENS:
        says = "there is no light square to the line, before its face"
        raise FileError(name, [Fault(table.last_line, "intensities", "", says)])
    return MeasuredDistribution(
        title=table.title,
        form=form,
        across=across,
        length=length,
        lumens=sums.lumens,
        behind=1 - sums.before / sums.lumens,
        psi_degrees=curve.psi,
        candela_per_metre=tuple(candela / length for candela in curve.candela),
        flux_error=sums.made / sums.before - 1,
        misplaced=sums.misplaced / sums.before,
        doubts=(*table.doubts, *_doubts(table, across, sums.lumens, sums.before)),
    )


def _read(data: bytes, name: str) -> tuple[Form, Intensities]:
    if data.startswith(_UTF16_MARKS):
        raise FileError(name, [Fault(1, "", "", "this text is UTF-16", "save it again as UTF-8")])
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        text = data.decode("latin-1")  # only names are affected if it was another
    lines = lines_of(text)
    if any(line.strip()[: len(_TILT)].upper() == _TILT for line in lines):
        return "LM-63", read_lm63(text, name)
    lines = [line.strip() for line in lines[:_SYMMETRY_LINE]]
    if len(lines) == _SYMMETRY_LINE and lines[-1] in _SYMMETRIES:
        return "EULUMDAT", read_eulumdat(text, name)
    says = "neither LM-63, with a line TILT=, nor EULUMDAT, whose third line is from 0 to 4"
    raise FileError(name, [Fault(len(lines), "", shown_text(lines[-1]), says)])


def _doubts(table: Intensities, across: Across, lumens: float, before: float) -> list[str]:
    doubts = []
    wide, long = table.size if across in {0, 180} else table.size[::-1]
    if wide > long:
        doubts.append(
            f"its lit area is {wide:g} m across the line and {long:g} m along it: "
            "its planes may be turned by 90 degrees"
        )
    if table.lumens_within:
        least, most = table.lumens_within
        if not least * (1 - _LUMENS_LEEWAY) <= lumens <= most * (1 + _LUMENS_LEEWAY):
            stated = f"{least:.4g}" if least == most else f"at most {most:.4g}"
            doubts.append(f"its intensities come to {lumens:.4g} lm, where it says {stated}")
    if before < _MOST * lumens:
        doubts.append("most of its light goes up")
    return doubts

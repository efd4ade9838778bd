"""Whether a strip under a cabinet is seen directly, past the lip or rail in front of it.

Everything is in a plane square to the wall, in metres: x from the wall into the room, heights
above the worktop or any other level, the same for all. Left out: what is seen from the side,
past the end of a run, and the glow of a lit diffuser's own edge.
"""

from math import inf
from typing import Final, Literal, NamedTuple

from pelmet.model.plan.light.photometry.shade import Lip

Posture = Literal["standing", "seated"]
Sex = Literal["men", "women"]
Percentile = Literal[5, 50, 95]

_MM_PER_METRE: Final = 1000.0


class EyeHeights(NamedTuple):
    """How high the eyes of a group are above the floor. [mm]"""

    posture: Posture
    people: str
    sex: Sex
    p5: float
    p50: float
    p95: float
    source: str


# Seated: erect, on a chair as high as the lower leg; a slump lowers the eyes by up to 40 mm.
_ARMY: Final = "ANSUR II (2012) public data, percentiles worked out from it; barefoot"
_ONLINE: Final = "Online Anthropometry, chapter 2, eye height"
EYE_HEIGHTS: Final = (
    EyeHeights("standing", "US Army", "men", 1536, 1640, 1753, _ARMY),
    EyeHeights("standing", "US Army", "women", 1421.2, 1517, 1626, _ARMY),
    EyeHeights("seated", "US Army", "men", 1157, 1233, 1315, _ARMY),
    EyeHeights("seated", "US Army", "women", 1063, 1136, 1212, _ARMY),
    EyeHeights("standing", "British", "men", 1515, 1630, 1745, _ONLINE),
    EyeHeights("standing", "British", "women", 1405, 1505, 1610, _ONLINE),
    EyeHeights("standing", "Hong Kong", "men", 1470, 1555, 1640, _ONLINE),
    EyeHeights("standing", "Hong Kong", "women", 1330, 1425, 1520, _ONLINE),
    EyeHeights("standing", "Japanese", "men", 1445, 1540, 1635, _ONLINE),
    EyeHeights("standing", "Japanese", "women", 1350, 1425, 1500, _ONLINE),
)

# Common practice: 25 to 30 mm.
SHOES_MM: Final = 25.0


def usual_eye_height(
    posture: Posture, sex: Sex = "women", percentile: Percentile = 5, people: str = "US Army"
) -> float:
    """Give how high eyes are above the floor; in shoes when standing.

    Left as they are, the sex and the percentile give the low eyes that see farthest up under a
    cabinet. A strip that is hidden from them is hidden from every taller person as far away.

    Args:
        posture: Standing or seated.
        sex: Men or women.
        percentile: Share of them whose eyes are lower: 5, 50 or 95. [%]
        people: Whose eyes; a name in ``EYE_HEIGHTS``.

    Returns:
        The height. [m]

    Raises:
        ValueError: The table has no such row.

    Source: the row of ``EYE_HEIGHTS``, plus ``SHOES_MM`` when standing.

    >>> usual_eye_height("seated")
    1.063
    """
    for row in EYE_HEIGHTS:
        if (row.posture, row.sex, row.people) == (posture, sex, people):
            found = {5: row.p5, 50: row.p50, 95: row.p95}.get(percentile)
            if found is not None:
                shoes = SHOES_MM if posture == "standing" else 0.0
                return (found + shoes) / _MM_PER_METRE
    raise ValueError(f"no eye height is known for {people} {sex}, {posture}, p{percentile}")


def usual_standing_eye() -> float:
    """Give the eye height of a standing cook: midway between women's and men's p50, in shoes. [m]

    Source: the US Army rows of ``EYE_HEIGHTS``.
    """
    return (usual_eye_height("standing", "women", 50) + usual_eye_height("standing", "men", 50)) / 2


def sight_at_lip(
    strip_x: float, strip_height: float, lip_x: float, eye_x: float, eye_height: float
) -> float:
    """Give the height at which the line from a strip to an eye passes the lip.

    Args:
        strip_x: Distance of the lit face from the wall; of its back edge, to hide all of it. [m]
        strip_height: Height of the lit face. [m]
        lip_x: Distance of the lip from the wall, between strip and eye. [m]
        eye_x: Distance of the eye from the wall. [m]
        eye_height: Height of the eye, above the same level as the strip's. [m]

    Returns:
        The height. [m]

    Raises:
        ValueError: The lip is not between strip and eye, or a figure is not finite.

    Source: similar triangles.
    """
    _check_finite(strip_x, strip_height, lip_x, eye_x, eye_height)
    if not strip_x < lip_x < eye_x:
        raise ValueError(f"a lip between {strip_x:g} and {eye_x:g} m is wanted, not at {lip_x:g} m")
    return strip_height + (eye_height - strip_height) * (lip_x - strip_x) / (eye_x - strip_x)


def hiding_lip(
    strip_x: float,
    strip_height: float,
    lip_x: float,
    eye_x: float,
    eye_height: float,
    underside: float,
) -> float:
    """Give the least depth below the underside at which a lip hides a strip from an eye.

    Args:
        strip_x: Distance of the lit face from the wall; of its back edge, to hide all of it. [m]
        strip_height: Height of the lit face: the underside less what the channel hangs down. [m]
        lip_x: Distance of the lip's inner face from the wall, between strip and eye. [m]
        eye_x: Distance of the eye from the wall. [m]
        eye_height: Height of the eye, above the same level as the strip's. [m]
        underside: Height that the lip starts down from. [m]

    Returns:
        The depth; 0 where the underside's edge is enough. [m]

    Raises:
        ValueError: The lip is not between strip and eye, or a figure is not finite.

    Source: similar triangles.

    >>> round(hiding_lip(0.28, 0.45, 0.32, eye_x=2.0, eye_height=0.324, underside=0.45), 5)
    0.00293
    """
    _check_finite(underside)
    return max(underside - sight_at_lip(strip_x, strip_height, lip_x, eye_x, eye_height), 0.0)


def strip_hidden(
    strip_x: float, strip_height: float, lip: Lip, eye_x: float, eye_height: float
) -> bool:
    """Say if a lip hides a strip from an eye; a channel's wall counts as one.

    The arguments and faults are those of `sight_at_lip`.
    """
    return lip.bottom <= sight_at_lip(strip_x, strip_height, lip.x, eye_x, eye_height)


def _check_finite(*metres: float) -> None:
    for one in metres:
        if not -inf < one < inf:
            raise ValueError(f"a place in metres is wanted, not {one}")

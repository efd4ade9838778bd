"""The image of a strip in a polished worktop: where an eye sees it. `gloss` says how bright.

Everything is in a plane square to the wall, in metres: x from the wall into the room, heights
above the worktop. A level top mirrors the strip to as far below it, and the eye looks at that
image; so moving the line only moves the image. For a standing cook it lies on a worktop of
usual depth from the front, the middle and the back of a cabinet alike: an even
diffuser, a duller top or a deep lip help, another place does not.

Left out: the light of the image that a splashback mirrors again, and waviness of the top.
"""

from math import atan2, cos, degrees, inf, isfinite, radians
from typing import Final, NamedTuple

from pelmet.model.plan.light.photometry.shade import Lip

_EDGE_ON: Final = 1e-9  # cosine below which a face is taken to send nothing


class MirrorPoint(NamedTuple):
    """Where in the top an eye sees a strip's image."""

    x: float
    """Distance from the wall. [m]"""
    incidence: float
    """Angle of the ray to the upright there, 0 to 90. [°]"""


class MirrorSight(NamedTuple):
    """Whether an eye sees a strip's image in the top, and where."""

    point: MirrorPoint
    on_top: bool
    """The point is on the worktop."""
    lit: bool
    """The strip's face sends light there."""
    past_lip: bool
    """No lip stops the ray, neither down to the top nor up to the eye."""

    @property
    def seen(self) -> bool:
        """Say if all three hold."""
        return self.on_top and self.lit and self.past_lip


def mirror_point(
    strip_x: float, strip_height: float, eye_x: float, eye_height: float
) -> MirrorPoint:
    """Give where in a level top an eye sees a strip's image, and at which angle.

    x = xs + (xe - xs) h / (h + ze); the angle to the upright is atan(|xe - xs| / (h + ze)).

    Args:
        strip_x: Distance of the strip from the wall. [m]
        strip_height: Its height above the top, above 0. [m]
        eye_x: Distance of the eye from the wall. [m]
        eye_height: Its height above the top, above 0. [m]

    Returns:
        The point; it may lie beyond the edge of any real top.

    Raises:
        ValueError: A height is not above 0, or a figure is not finite.

    Source: image method: the mirror image of the lamp is taken for the lamp.

    >>> point = mirror_point(strip_x=0.28, strip_height=0.45, eye_x=0.80, eye_height=0.72)
    >>> round(point.x, 3), round(point.incidence, 2)
    (0.48, 23.96)
    """
    if not (isfinite(strip_x) and isfinite(eye_x)):
        raise ValueError(f"places in metres are wanted, not {strip_x} and {eye_x}")
    for height in (strip_height, eye_height):
        if not 0 < height < inf:
            raise ValueError(f"a height above the top is wanted, not {height} m")
    across, fall = eye_x - strip_x, strip_height + eye_height
    return MirrorPoint(strip_x + across * (strip_height / fall), degrees(atan2(abs(across), fall)))


def ray_at_lip(
    strip_x: float, strip_height: float, lip_x: float, eye_x: float, eye_height: float
) -> float:
    """Give the height at which the mirrored ray passes a lip, on its way down or up.

    Args:
        strip_x: Distance of the strip from the wall; of its back edge, to hide all of it. [m]
        strip_height: Its height above the top, above 0. [m]
        lip_x: Distance of the lip from the wall, between strip and eye. [m]
        eye_x: Distance of the eye from the wall. [m]
        eye_height: Its height above the top, above 0. [m]

    Returns:
        The height; a lip whose lower edge is no higher hides the image. [m]

    Raises:
        ValueError: As for `mirror_point`, or the lip is not between strip and eye.

    Source: similar triangles.
    """
    if not min(strip_x, eye_x) < lip_x < max(strip_x, eye_x):
        raise ValueError(f"a lip between {strip_x:g} and {eye_x:g} m is wanted, not at {lip_x:g} m")
    mirror_point(strip_x, strip_height, eye_x, eye_height)
    # The straight line from the image, as far below the top, to the eye; folded at the top.
    part = (lip_x - strip_x) / (eye_x - strip_x)
    return abs(part * (strip_height + eye_height) - strip_height)


def mirror_sight(
    strip_x: float,
    strip_height: float,
    eye_x: float,
    eye_height: float,
    top_depth: float,
    tilt_degrees: float = 0.0,
    lip: Lip | None = None,
) -> MirrorSight:
    """Say if an eye sees a strip's image in the worktop.

    Args:
        strip_x: Distance of the strip from the wall. [m]
        strip_height: Its height above the top, above 0. [m]
        eye_x: Distance of the eye from the wall. [m]
        eye_height: Its height above the top, above 0. [m]
        top_depth: Depth of the top from the wall. [m]
        tilt_degrees: Tilt of the strip from straight down, plus towards the room. [°]
        lip: What hangs before the strip; above its lower edge nothing passes.

    Returns:
        Where it is, and what there is to stop it.

    Raises:
        ValueError: As for `mirror_point`.

    Source: image method; a flat face sends nothing at 90° from the way it faces, or more.
    """
    point = mirror_point(strip_x, strip_height, eye_x, eye_height)
    psi = degrees(atan2(point.x - strip_x, strip_height))
    stopped = (
        lip is not None
        and min(strip_x, eye_x) < lip.x < max(strip_x, eye_x)
        and lip.bottom <= ray_at_lip(strip_x, strip_height, lip.x, eye_x, eye_height)
    )
    return MirrorSight(
        point=point,
        on_top=0 <= point.x <= top_depth,
        lit=cos(radians(psi - tilt_degrees)) > _EDGE_ON,
        past_lip=not stopped,
    )

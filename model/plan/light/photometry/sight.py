"""Whether a strip under a cabinet is seen directly, past the lip or rail in front of it.

Everything is in a plane square to the wall, in metres: x from the wall into the room, heights
above the worktop or any other level, the same for all. Left out: what is seen from the side,
past the end of a run, and the glow of a lit diffuser's own edge.
"""

from math import inf

from pelmet.model.plan.light.photometry.shade import Lip


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

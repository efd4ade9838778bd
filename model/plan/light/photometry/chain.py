"""From bare lumens to the worktop: factors on a strip's flux, maintenance, shares of it.

The factors are multiplied, so each is taken not to depend on the others.
"""

from math import atan2, cos, inf, pi, radians, remainder, sin, tan
from typing import Final, NamedTuple

_BISECTIONS: Final = 60


class Chain(NamedTuple):
    """A strip's flux, link by link. Make one with `chain_of`."""

    bare: float
    """What the strip gives by itself, new, at 25 °C and rated volts. [lm/m]"""
    diffuser: float
    """Share that gets through the diffuser and out of the channel. [-]"""
    thermal: float
    """What is left of it when warm. [-]"""
    voltage: float
    """What is left of it at the volts that reach the strip. [-]"""
    maintenance: float
    """What is left of it in years, of LEDs, dirt and surfaces. [-]"""

    @property
    def initial(self) -> float:
        """What leaves the channel at first. [lm/m]"""
        return self.bare * self.diffuser * self.thermal * self.voltage

    @property
    def maintained(self) -> float:
        """What leaves the channel at the end of the time planned for. [lm/m]"""
        return self.initial * self.maintenance


def chain_of(
    bare: float,
    diffuser: float = 1.0,
    thermal: float = 1.0,
    voltage: float = 1.0,
    maintenance: float = 1.0,
) -> Chain:
    """Describe what becomes of a strip's flux; a factor not given is 1.

    Args:
        bare: What the strip gives by itself, 0 or more. [lm/m]
        diffuser: Share through the diffuser, 0 to 1. [-]
        thermal: Factor for warmth, 0 or more; above 1 in the cold. [-]
        voltage: Factor for the volts that reach it, 0 or more. [-]
        maintenance: Maintenance factor, 0 to 1. [-]

    Returns:
        The chain.

    Raises:
        ValueError: A figure is out of range or not finite.
    """
    for name, factor, most in (
        ("bare flux", bare, inf),
        ("diffuser", diffuser, 1.0),
        ("thermal", thermal, inf),
        ("voltage", voltage, inf),
        ("maintenance", maintenance, 1.0),
    ):
        _check(name, factor, most)
    return Chain(bare, diffuser, thermal, voltage, maintenance)


def bare_lumens(watts_per_metre: float, lumens_per_watt: float) -> float:
    """Give what a strip gives by itself. [lm/m]

    Args:
        watts_per_metre: Its power, 0 or more. [W/m]
        lumens_per_watt: Its luminous efficacy, 0 or more. [lm/W]

    Returns:
        Luminous flux of a metre. [lm/m]

    Raises:
        ValueError: A figure is negative or not finite.
    """
    _check("power", watts_per_metre, inf)
    _check("efficacy", lumens_per_watt, inf)
    return watts_per_metre * lumens_per_watt


def maintenance_factor(lumen: float, survival: float, luminaire: float, surfaces: float) -> float:
    """Give the maintenance factor, MF = LLMF LSF LMF RSMF.

    Args:
        lumen: LLMF, what is left of the LEDs' flux, 0 to 1. [-]
        survival: LSF, share of the LEDs that still work, 0 to 1. [-]
        luminaire: LMF, what dirt on the diffuser lets through, 0 to 1. [-]
        surfaces: RSMF, what dirt on the room's surfaces leaves, 0 to 1. [-]

    Returns:
        The factor. [-]

    Raises:
        ValueError: A factor is out of range.

    Source: CIE 97 scheme; terms of CIE S 017.
    """
    for name, factor in (
        ("lamp lumen", lumen),
        ("lamp survival", survival),
        ("luminaire", luminaire),
        ("room surface", surfaces),
    ):
        _check(name, factor, 1.0)
    return lumen * survival * luminaire * surfaces


def lumen_maintenance(hours: float, share: float, at_hours: float) -> float:
    """Give what is left of the LEDs' flux: LLMF(t) = p^(t / Lp), an exponential through Lp.

    Args:
        hours: Time alight, 0 or more. [h]
        share: The p of a rating: 0.7 for L70. Above 0, to 1. [-]
        at_hours: The hours Lp of that rating, above 0. [h]

    Returns:
        Share of the first flux. [-]

    Raises:
        ValueError: A figure is out of range.

    Source: exponential decay as in TM-21 (from memory).
    """
    _check("time alight", hours, inf)
    if not 0 < share <= 1 or not 0 < at_hours < inf:
        raise ValueError(
            f"L{100 * share:g} at {at_hours:g} h is no rating; give a share to 1 and hours above 0"
        )
    return float(share ** (hours / at_hours))


def lumens_needed(target: float, found: float, lumens_per_metre: float, kept: float = 1.0) -> float:
    """Give the flux a strip needs for a target, as light goes with flux.

    Args:
        target: Illuminance to come to. [lx]
        found: Illuminance found with `lumens_per_metre`, above 0. [lx]
        lumens_per_metre: The flux that it was found with. [lm/m]
        kept: Product of the factors that are still to come off, above 0. [-]

    Returns:
        Flux before those factors. [lm/m]

    Raises:
        ValueError: There is no light, or nothing is kept, so no flux would do.
    """
    if not found > 0 or not kept > 0:
        raise ValueError("where no light comes, no flux reaches a target; move or turn the strip")
    return lumens_per_metre * target / (found * kept)


def lambert_share(x: float, height: float, depth: float, tilt_degrees: float = 0.0) -> float:
    """Give the share of a very long Lambert strip's flux that lands on the worktop.

    It is half the difference of the sines of the angles to the worktop's edges, from the way the
    strip faces. The share times the flux of a metre, over the depth, is the mean lux.

    Args:
        x: Distance of the strip from the wall. [m]
        height: Its height above the worktop, above 0. [m]
        depth: Depth of the worktop from the wall, 0 or more. [m]
        tilt_degrees: Tilt from straight down, plus towards the room. [°]

    Returns:
        Share, 0 to 1, by direct light alone. [-]

    Raises:
        ValueError: The strip is not above the worktop.

    Source: view factor of endless strips by crossed strings (H. Hottel).
    """
    if not 0 < height < inf:
        raise ValueError(f"a strip {height:g} m above a worktop does not light it; give its height")
    tilt = radians(remainder(tilt_degrees, 360))
    face = pi / 2
    far = min(max(atan2(depth - x, height) - tilt, -face), face)
    near = min(max(atan2(-x, height) - tilt, -face), face)
    return max(sin(far) - sin(near), 0.0) / 2


def half_run(share: float) -> float:
    """Give how far a strip must run on each side of a point for a share of an endless one's light.

    Solves (b + sin b cos b) / (pi/2) = share for tan b; for any spread across the strip, and the
    cosine along it.

    Args:
        share: Share of the light of an endless strip, 0 to below 1. [-]

    Returns:
        Length each side, in distances across from strip to point. [-]

    Raises:
        ValueError: The share is out of range.
    """
    if not 0 <= share < 1:
        raise ValueError(f"a share of {share:g} takes no finite strip; give one from 0 to below 1")
    low, high = 0.0, pi / 2
    for _ in range(_BISECTIONS):
        middle = (low + high) / 2
        if middle + sin(middle) * cos(middle) < share * pi / 2:
            low = middle
        else:
            high = middle
    return tan(low)


def _check(name: str, value: float, most: float) -> None:
    if not 0 <= value <= most or value == inf:
        limit = "0 or more" if most == inf else f"from 0 to {most:g}"
        raise ValueError(f"a {name} of {value:g} cannot be; give one {limit}")

"""Light by the raw laws, to check closed forms with: inverse square, cosine of incidence, flux.

A strip here is described as a fitter would; each piece of it is a point that sends
I = I0 f(psi) cos^m(beta), or I0 cos^n of the angle to the way it faces, and lights a surface by
E = I cos(incidence) / d² (CIE S 017: illuminance, luminous intensity). I0 is found by integrating
what a piece sends over all directions.
"""

from collections.abc import Callable
from dataclasses import dataclass
from math import asin, atan2, cos, pi, radians, sin
from random import Random

import numpy as np
from scipy.integrate import quad
from spreads import round_power

from pelmet.model.plan.light.photometry.distribution import (
    Distribution,
    cosine_power,
    tabulated_light,
)
from pelmet.model.plan.light.photometry.line import LitLine, lit_line
from pelmet.model.plan.result import Plan

Law = Callable[[float], float]


@dataclass(frozen=True)
class Strip:
    """A strip: `power` across and `along`, `round_beam` of `power`, or a table (degrees, f)."""

    x: float = 0.28
    height: float = 0.45
    start: float = 0.0
    end: float = 2.0
    lumens: float = 1000.0
    tilt: float = 0.0
    power: float = 1.0
    along: float = 1.0
    round_beam: bool = False
    curve: tuple[tuple[float, ...], tuple[float, ...]] | None = None

    @property
    def distribution(self) -> Distribution:
        if self.curve:
            return tabulated_light(*self.curve, self.along)
        return round_power(self.power) if self.round_beam else cosine_power(self.power, self.along)

    @property
    def line(self) -> LitLine:
        return lit_line(
            self.x, self.height, self.start, self.end, self.lumens, self.tilt, self.distribution
        )

    def across(self, psi: float) -> float:
        if self.curve:
            angles, shares = self.curve
            return float(np.interp(np.degrees(psi), angles, shares, left=0, right=0))
        return max(cos(psi), 0.0) ** self.power if abs(psi) < pi / 2 else 0.0

    def intensity(self) -> Callable[[float, float, float], float]:
        """Give candela per metre of a direction (unit x, y, z)."""
        tilt = radians(self.tilt)
        faces = np.array([sin(tilt), 0.0, -cos(tilt)])
        if self.round_beam:
            # Rings of a sphere about the way it faces.
            all_of_it = quad(lambda off: 2 * pi * sin(off) * cos(off) ** self.power, 0, pi / 2)[0]
            peak = self.lumens / all_of_it
            return lambda x, y, z: peak * max(x * faces[0] + z * faces[2], 0.0) ** self.power
        breaks = [radians(angle) for angle in self.curve[0]] if self.curve else [0.0]
        spread = quad(self.across, -pi / 2, pi / 2, points=breaks, limit=400, epsabs=1e-13)[0]
        length = quad(lambda beta: cos(beta) ** (self.along + 1), -pi / 2, pi / 2)[0]
        peak = self.lumens / (spread * length)

        def candela(x: float, y: float, z: float) -> float:
            psi = (atan2(x, -z) - tilt + pi) % (2 * pi) - pi
            return peak * self.across(psi) * cos(asin(max(-1, min(1, y)))) ** self.along

        return candela

    def lux(self, point: tuple[float, float, float], normal: tuple[float, float, float]) -> float:
        """Light a small surface at a point (x, y, z), facing along a normal."""
        candela = self.intensity()

        def each(y: float) -> float:
            ray = np.array([point[0] - self.x, point[1] - y, point[2] - self.height])
            far = float(np.sqrt(ray @ ray))
            incidence = max(-float(ray @ np.array(normal)) / far, 0.0)
            return candela(*(ray / far)) * incidence / far**2

        near = [point[1]] if self.start < point[1] < self.end else None
        return quad(each, self.start, self.end, points=near, limit=400, epsabs=1e-10, epsrel=1e-11)[
            0
        ]


UP, TO_ROOM = (0.0, 0.0, 1.0), (1.0, 0.0, 0.0)


def drawn_strip(draw: Random) -> Strip:
    """Draw a strip of any kind."""
    kind = draw.choice(["lambert", "power", "round", "table", "powers"])
    curve = None
    if kind == "table":
        angles = sorted({-90.0, 90.0, *(draw.uniform(-89, 89) for _ in range(draw.randint(1, 9)))})
        curve = (tuple(angles), tuple(draw.uniform(0, 1.5) for _ in angles))
    start = draw.uniform(-2, 2)
    return Strip(
        x=draw.uniform(0.02, 0.5),
        height=draw.uniform(0.2, 0.8),
        start=start,
        end=start + draw.choice([0.01, draw.uniform(0.1, 3)]),
        lumens=draw.uniform(100, 2000),
        tilt=draw.choice([0.0, draw.uniform(-90, 90), draw.uniform(-180, 180)]),
        power=1.0
        if kind == "lambert"
        else draw.choice([draw.uniform(0.1, 3), draw.uniform(3, 90)]),
        along=draw.choice([0.0, 2.0, draw.uniform(0, 20)]) if kind == "powers" else 1.0,
        round_beam=kind == "round",
        curve=curve,
    )


def lux_of(plan: Plan, law: Law, tilt: float = 0.0) -> list[float]:
    """Give the lux at each cell below the one bar, from its place and the lumens it gives."""
    (found,), (bar,), (mount,) = plan.lights, plan.bars, plan.mounts
    lit = float(bar.lit_left) / 1000, float(bar.lit_right) / 1000
    above, out = (float(mount.height.value) - 910) / 1000, float(mount.from_wall.value) / 1000
    lumens = next(float(one.value) for one in found.least.inputs if one.name == "lumens")
    return [
        lumens * lux_of_one_lumen(law, above, lit, x - out, y, tilt) for x, y in found.cells.points
    ]


def lux_of_one_lumen(
    law: Law, above: float, lit: tuple[float, float], out: float, y: float, tilt: float
) -> float:
    """Integrate dE = I' cos(along) cos(off the vertical) / d2 along the lit part, law for I'."""
    whole = quad(law, -pi / 2, pi / 2)[0] * pi / 2  # the cosine along: its square comes to pi/2
    psi = atan2(out, above) - tilt

    def each(place: float) -> float:
        ray = np.array([out, y - place, above])
        square = float(ray @ ray)
        along = float(np.hypot(ray[0], ray[2])) / square**0.5
        return law(psi) * along * above / square**1.5

    return float(quad(each, *lit, epsabs=1e-10)[0] / whole)

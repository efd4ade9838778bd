"""How long light takes to work out; run with ``-m speed --benchmark-enable``.

One strip at one point, and 60 bars over 100 m of worktop on the calculation grid.
"""

from typing import Any

import pytest
from spreads import round_beam

from pelmet.model.plan.light.photometry.bounce import off_wall, splashback_at
from pelmet.model.plan.light.photometry.distribution import LAMBERT, beam, tabulated_light
from pelmet.model.plan.light.photometry.glow import lux_from
from pelmet.model.plan.light.photometry.grid import lay_grid
from pelmet.model.plan.light.photometry.illuminance import lux_at
from pelmet.model.plan.light.photometry.line import (
    LitLine,
    lit_line,
    lux_on_top,
    lux_on_wall,
)

pytestmark = pytest.mark.speed

SPREADS = {
    "lambert": LAMBERT,
    "90 degree beam": beam(90),
    "round 60 degree beam": round_beam(60),
    "table": tabulated_light([-90, -60, -30, 0, 30, 60, 90], [0, 0.4, 0.8, 1, 0.9, 0.5, 0]),
}
KITCHEN, HOUSE = 4, 60


@pytest.mark.parametrize("spread", SPREADS)
def test_one_bar_one_point_of_the_worktop(spread: str, benchmark: Any) -> None:
    bar = lit_line(0.28, 0.45, 0, 2, 1000, 10, SPREADS[spread])
    assert benchmark(lux_on_top, bar, 0.3, 0.5) > 0


def test_one_bar_one_point_of_the_splashback(benchmark: Any) -> None:
    assert benchmark(lux_on_wall, lit_line(0.28, 0.45, 0, 2, 1000), 0.5, 0.2) > 0


def test_one_point_of_bounced_light(benchmark: Any) -> None:
    glow = off_wall([lit_line(0.28, 0.45, 0, 2, 1000)], None, splashback_at(0, 6, 0.47), 0.7)
    assert benchmark(lux_from, glow, 0.3, 1.0) > 0


def bars(count: int) -> tuple[list[LitLine], float]:
    """Give bars with gaps, and the length of their worktop."""
    pitch = 100 / HOUSE
    return [lit_line(0.28, 0.45, k * pitch, k * pitch + 1.5, 1000) for k in range(count)], (
        count * pitch
    )


@pytest.mark.parametrize("count", [KITCHEN, HOUSE])
@pytest.mark.parametrize("bounces", ["direct", "one bounce", "to and fro"])
def test_a_grid_of_worktop(count: int, bounces: str, benchmark: Any) -> None:
    strips, length = bars(count)
    points = lay_grid(length, 0.6).points
    terms: dict[str, Any] = {
        "direct": {},
        "one bounce": {"reflectance_wall": 0.7, "bounce": True},
        "to and fro": {
            "reflectance_wall": 0.7, "reflectance_top": 0.3, "top_depth": 0.6, "bounce": True
        },
    }[bounces]  # fmt: skip
    wall = splashback_at(0, length, 0.47)
    found = benchmark(lux_at, points, strips, wall=wall, **terms)
    assert len(found) == len(points)

"""How light spreads off a strip: beam angles, intensities and fluxes."""

from itertools import pairwise
from math import cos, inf, nan, pi, radians

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from spreads import all_round, intensity, round_beam, round_power, share

from pelmet.model.plan.light.photometry.distribution import (
    LAMBERT,
    beam,
    beam_exponent,
    cosine_integral,
    cosine_power,
    peak,
    tabulated_light,
)

# Full angle [°]: n, integral of cos^n [rad], greatest candela per metre of 1000 lm/m for the
# power across with the cosine along, and for a round beam. By gamma functions and by quadrature.
BEAMS = {
    150: (0.512825, 2.383192, 267.129018, 240.773519),
    140: (0.646059, 2.258215, 281.912792, 261.97839),
    130: (0.804782, 2.131228, 298.71026, 287.239929),
    120: (1.0, 2.0, 318.309886, 318.309886),
    110: (1.246972, 1.86326, 341.669876, 357.616772),
    100: (1.568416, 1.720296, 370.064057, 408.776091),
    90: (2.0, 1.570796, 405.284735, 477.464829),
    80: (2.60078, 1.414772, 449.98032, 573.081973),
    60: (4.818842, 1.084531, 587.000307, 926.097416),
    45: (8.754777, 0.823365, 773.192846, 1552.521057),
    36: (13.812723, 0.662364, 961.132865, 2357.518139),
    30: (19.993727, 0.553624, 1149.913568, 3341.255483),
    24: (31.37165, 0.443977, 1433.901005, 5152.108157),
    15: (80.674081, 0.278213, 2288.247513, 12998.833772),
    10: (181.806212, 0.185647, 3429.191504, 29094.512266),
}
CURVE = (
    (-90, -75, -60, -45, -30, -15, 0, 15, 30, 45, 60, 75, 90),
    (0, 0.2, 0.42, 0.63, 0.81, 0.94, 1, 0.96, 0.86, 0.7, 0.5, 0.27, 0),
)


@pytest.mark.cross_check
@pytest.mark.parametrize("degrees", BEAMS)
def test_exponent_and_candela_of_a_beam(degrees):
    exponent, whole, across, rounded = BEAMS[degrees]
    assert beam_exponent(degrees) == pytest.approx(exponent, abs=1e-6)
    assert cosine_integral(beam_exponent(degrees)) == pytest.approx(whole, abs=1e-6)
    assert peak(beam(degrees), 1000) == pytest.approx(across, abs=1e-6)
    assert peak(round_beam(degrees), 1000) == pytest.approx(rounded, abs=1e-6)


@pytest.mark.published
def test_lamberts_flux_is_pi_times_the_greatest_intensity():
    # Lambert's cosine law (encyclopaedia article): a surface of 100 cd/m² gives 314 lm/m², and
    # 31.4 lm from 0.1 m², which straight ahead is 10 cd.
    assert peak(LAMBERT, 31.4) == pytest.approx(10, rel=1e-3)
    assert peak(LAMBERT, 314) == pytest.approx(100, rel=1e-3)


@pytest.mark.published
def test_25_lumens_in_a_120_degree_beam():
    # Worked example of a converter of lumens to candela: 25 lm in 120° are 7.957747154594769 cd.
    # It has an even cone; at just this angle a Lambert beam has the same.
    assert peak(round_beam(120), 25) == pytest.approx(7.957747154594769, rel=1e-12)


@pytest.mark.published
def test_a_diffuse_tube_gives_pi_squared_times_its_greatest_intensity():
    # Illuminating Engineering Society handbook (1950s), Lighting calculations, p. 8-41: 9.87 for
    # an ideal diffuse line; fluorescent lamps measured, 15 to 100 W, 9.15 to 9.30.
    assert 1 / peak(all_round(), 1) == pytest.approx(9.87, abs=0.005)
    assert 1 / peak(all_round(), 1) == pytest.approx(9.25, rel=0.07)


@pytest.mark.cross_check
def test_a_lambert_kilolumen():
    # The integral of Lambert's law by hand: 1000/pi cd ahead, a quarter of the flux within 30°.
    ahead = [intensity(LAMBERT, 1000, radians(off)) for off in (0, 45, 60)]
    assert ahead == pytest.approx([318.309886, 225.079079, 159.154943], abs=1e-6)
    within = [
        quad(lambda off: 2 * pi * np.sin(off) * intensity(LAMBERT, 1000, off), 0, radians(to))[0]
        for to in (30, 60, 90)
    ]
    assert within == pytest.approx([250, 750, 1000], rel=1e-9)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    "spread",
    [
        LAMBERT,
        beam(60),
        beam(179),
        cosine_power(0),
        cosine_power(2, 3.3),
        round_beam(30),
        round_beam(150),
        all_round(),
        tabulated_light(*CURVE),
        tabulated_light(*CURVE, along=4),
        tabulated_light([-20, 10], [3, 7]),
        tabulated_light([-90, 0, 0.001, 90], [1, 1, 0, 0]),
    ],
)
def test_the_flux_over_all_directions_is_the_flux_given(spread):
    edges = sorted({-pi, -pi / 2, *spread.angles, pi / 2, pi})
    across = sum(
        quad(lambda psi: intensity(spread, 730, psi), low, high, epsabs=1e-12, limit=200)[0]
        for low, high in pairwise(edges)
    )
    along = quad(lambda beta: cos(beta) ** (spread.along + 1), -pi / 2, pi / 2)[0]
    assert across * along == pytest.approx(730, rel=1e-7)


@pytest.mark.cross_check
def test_a_table_is_straight_between_its_angles():
    psis = np.linspace(-pi, pi, 73)
    law = np.interp(psis, np.radians(CURVE[0]), CURVE[1], left=0, right=0)
    assert [share(tabulated_light(*CURVE), psi) for psi in psis] == pytest.approx(law, abs=1e-12)


@pytest.mark.property
@pytest.mark.parametrize("degrees", [1, 7.5, 60, 120, 179.9])
def test_half_the_beam_off_there_is_half_the_intensity(degrees):
    for spread in (beam(degrees), round_beam(degrees)):
        half = intensity(spread, 1, radians(degrees) / 2)
        assert half == pytest.approx(intensity(spread, 1, 0) / 2, rel=1e-9)
    turned = intensity(round_beam(degrees), 1, 0, radians(degrees) / 2)
    assert turned == pytest.approx(intensity(round_beam(degrees), 1, 0) / 2, rel=1e-9)


@pytest.mark.property
@given(st.floats(0, 20_000), st.floats(-pi, pi))
def test_a_round_beam_is_the_same_along_as_across(power, angle):
    one = round_power(power)
    assert intensity(one, 1, angle) == pytest.approx(
        intensity(one, 1, 0, angle) if abs(angle) < pi / 2 else 0, rel=1e-6, abs=1e-300
    )


@pytest.mark.property
def test_the_unit_of_a_table_does_not_count():
    assert tabulated_light([-90, 0, 90], [0, 2e5, 1e5]) == tabulated_light([-90, 0, 90], [0, 2, 1])
    assert tabulated_light([-90, 0, 90], [0, 2e-9, 1e-9]).spread == pytest.approx(pi * 5 / 8)


@pytest.mark.property
def test_a_flat_face_and_a_table_are_dark_behind_and_a_tube_is_not():
    for spread in (
        LAMBERT,
        cosine_power(0),
        tabulated_light([-90, 90], [1, 1]),
        tabulated_light([-40, 40], [1, 1]),
    ):
        assert share(spread, radians(39)) > 0
        assert share(spread, radians(91)) == 0
        assert share(spread, pi) == 0
    assert share(all_round(), pi) == share(all_round(), -pi) == share(all_round(), 0) == 1


@pytest.mark.property
@pytest.mark.parametrize("degrees", [0, 180, 360, -20, 0.5, nan, inf])
def test_a_beam_that_is_no_power_of_the_cosine_says_what_can_be(degrees):
    for make in (beam, round_beam):
        with pytest.raises(ValueError, match="give one from 1° to below 180°"):
            make(degrees)


@pytest.mark.property
@pytest.mark.parametrize("power", [-0.1, nan, inf, 1e6])
def test_a_power_out_of_range_is_refused(power):
    for make in (cosine_power, round_power, lambda bad: cosine_power(1, bad)):
        with pytest.raises(ValueError, match="no power of the cosine here; give one from 0"):
            make(power)
    with pytest.raises(ValueError, match="no power of the cosine"):
        tabulated_light([-90, 90], [1, 1], power)


@pytest.mark.property
@pytest.mark.parametrize(
    ("degrees", "shares", "words"),
    [
        ([0], [1], "two or more angles"),
        ([0, 10], [1], "one intensity for each"),
        ([10, 0], [1, 1], "go upwards"),
        ([0, 0], [1, 1], "go upwards"),
        ([-91, 0], [1, 1], "-90° to 90°"),
        ([0, 90.5], [1, 1], "-90° to 90°"),
        ([0, nan, 50], [1, 1, 1], "go upwards"),
        ([0, 50], [1, -1], "0 or more"),
        ([0, 50], [1, inf], "finite"),
        ([0, 50], [nan, 1], "finite"),
        ([0, 50], [0, 0], "not all 0"),
    ],
)
def test_a_table_that_cannot_be_is_refused(degrees, shares, words):
    with pytest.raises(ValueError, match=words):
        tabulated_light(degrees, shares)

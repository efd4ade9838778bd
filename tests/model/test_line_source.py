"""Direct light of a straight strip, against raw integration and closed limits."""

import random
from math import cos, inf, pi, radians, sin, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from pelmet.model.plan.line_source import illuminance, line_source

FRONT = {"x": 0.28, "z": 0.45, "y_start": 0.0, "y_end": 2.0, "lumens_per_metre": 1000.0}
SIXTY_DEGREE_BEAM = 4.818842  # half the intensity at 30° off
BACK = FRONT | {"x": 0.04}

# Computed once by two methods that agreed in all digits given: closed form and adaptive vector
# quadrature. Points are (x, y, lux) at worktop level.
ACROSS = (0.0, 0.05, 0.15, 0.25, 0.35, 0.45, 0.55, 0.6)
PROFILES = {
    "front, 30 degrees to the splashback": (
        FRONT | {"tilt_degrees": -30},
        "763.056855 843.202352 961.373105 961.751427 817.993141 593.29019 378.409844 291.093208",
    ),
    "front, 30 degrees to the room": (
        FRONT | {"tilt_degrees": 30},
        "359.712871 458.950027 686.520759 890.459784 979.418781 924.289692 779.533017 696.601222",
    ),
    "middle": (
        FRONT | {"x": 0.16},
        "895.876505 984.489276 1075.890842 1013.506716 835.551042 628.215502 449.73826 377.468784",
    ),
    "back, 30 degrees to the room": (
        BACK | {"tilt_degrees": 30},
        "873.936608 943.703143 972.91919 872.75887 713.201844 554.33371 422.224143 367.832372",
    ),
    "back, 45 degrees to the room": (
        BACK | {"tilt_degrees": 45},
        "685.308173 777.675704 866.306365 823.324924 703.630347 566.824294 444.563627 392.255112",
    ),
    "front, 90 degree beam": (
        FRONT | {"exponent": 2.0},
        (
            "700.772142 852.340976 1163.785468 1358.554419 1305.585286 1043.594756"
            " 729.906391 591.705897"
        ),
    ),
    "front, 60 degree beam, 30 degrees to the splashback": (
        FRONT | {"tilt_degrees": -30, "exponent": SIXTY_DEGREE_BEAM},
        "1404.241696 1547.225362 1583.011915 1172.872775 580.874142 191.340108 44.145667 18.846827",
    ),
    "front, 381 mm above the worktop": (
        FRONT | {"z": 0.381},
        "662.488687 798.649029 1086.801754 1274.086535 1222.55659 974.079291 688.497179 565.662743",
    ),
    "front, 490 mm above the worktop": (
        FRONT | {"z": 0.49},
        "631.411452 719.592683 882.778789 975.439559 950.844725 822.258602 648.906117 563.249157",
    ),
    "front, 727.776 lm/m": (
        FRONT | {"lumens_per_metre": 727.776},
        "471.767258 547.140561 692.414795 778.265199 755.239542 637.659248 486.546364 415.011095",
    ),
}


@pytest.mark.cross_check
@pytest.mark.parametrize(("terms", "lux"), PROFILES.values(), ids=PROFILES)
def test_light_across_the_worktop_matches_two_methods(terms, lux):
    line = line_source(**terms)
    expected = [float(value) for value in lux.split()]
    assert [illuminance(line, x, 1.0) for x in ACROSS] == pytest.approx(expected, abs=1e-6)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("terms", "lux"),
    [
        (FRONT | {"tilt_degrees": -30}, (544.711304, 592.876955, 243.622588)),
        (FRONT | {"tilt_degrees": 30}, (296.483124, 624.10472, 501.868158)),
        (FRONT | {"x": 0.16}, (642.10549, 607.64746, 287.272852)),
        (BACK | {"tilt_degrees": 30}, (617.765149, 512.798958, 269.182547)),
        (BACK | {"tilt_degrees": 45}, (509.080583, 495.368304, 283.424744)),
    ],
)
def test_light_near_an_end_matches_two_methods(terms, lux):
    line = line_source(**terms)
    assert [illuminance(line, x, 0.1) for x in (0.05, 0.3, 0.55)] == pytest.approx(lux, abs=1e-6)


@pytest.mark.cross_check
def test_light_under_and_past_the_ends_matches_two_methods():
    line = line_source(**FRONT | {"x": 0.3})
    lux = {
        -0.5: 81.995078,
        -0.25: 224.26051,
        0.0: 553.024566,
        0.25: 881.339118,
        0.5: 1022.053321,
        1.0: 1076.70991,
        2.0: 553.024566,
        2.25: 224.26051,
    }
    assert [illuminance(line, 0.3, y) for y in lux] == pytest.approx(list(lux.values()), abs=1e-6)


@pytest.mark.cross_check
def test_light_in_a_hob_gap_is_the_sum_of_both_runs():
    left = line_source(**FRONT | {"y_end": 0.9})
    right = line_source(**FRONT | {"y_start": 1.5, "y_end": 2.4})
    lux = {
        (0.3, 0.2): 797.500737,
        (0.3, 0.45): 918.615378,
        (0.3, 0.9): 583.451545,
        (0.3, 1.2): 346.850711,
        (0.3, 1.5): 583.451545,
        (0.3, 2.0): 912.691663,
        (0.5, 1.2): 282.302544,
    }
    found = [illuminance(left, *point) + illuminance(right, *point) for point in lux]
    assert found == pytest.approx(list(lux.values()), abs=1e-6)


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(40))
def test_closed_form_matches_raw_integration_over_the_strip(seed):
    """Add up candelas of short pieces by the inverse-square and cosine laws (CIE S 017)."""
    draw = random.Random(seed)
    terms = {
        "x": draw.uniform(0, 0.4),
        "z": draw.uniform(0.2, 0.8),
        "y_start": draw.uniform(-2, 0),
        "y_end": draw.uniform(0.1, 3),
        "lumens_per_metre": draw.uniform(200, 2000),
        "tilt_degrees": draw.uniform(-80, 80),
        "exponent": draw.choice([1.0, draw.uniform(0.2, 20)]),
    }
    x, y, z = draw.uniform(0, 0.7), draw.uniform(-4, 4), draw.uniform(0, 0.15)
    assert illuminance(line_source(**terms), x, y, z) == pytest.approx(
        by_integration(terms, x, y, z), rel=1e-8, abs=1e-12
    )


def by_integration(terms, x, y, z):
    tilt, n = radians(terms["tilt_degrees"]), terms["exponent"]
    normal_out, normal_down = sin(tilt), cos(tilt)

    def shape(out, down, along):
        """Intensity of a piece in a direction, against its greatest: cos^n across, cos along."""
        across = sqrt(out * out + down * down)
        facing = (out * normal_out + down * normal_down) / across
        return max(facing, 0.0) ** n * across / sqrt(across * across + along * along)

    # Greatest intensity from the flux: a piece radiates over the half-space before its face.
    over_psi = quad(lambda psi: cos(psi) ** n, -pi / 2, pi / 2)[0]
    over_beta = quad(lambda beta: cos(beta) ** 2, -pi / 2, pi / 2)[0]
    peak = terms["lumens_per_metre"] / (over_psi * over_beta)

    out, down = x - terms["x"], terms["z"] - z

    def lux_per_metre(at):
        along = y - at
        square = out * out + down * down + along * along
        return peak * shape(out, down, along) * down / sqrt(square) / square

    near = [y] if terms["y_start"] < y < terms["y_end"] else None
    return quad(
        lux_per_metre, terms["y_start"], terms["y_end"], points=near, epsabs=0, epsrel=1e-11
    )[0]


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("x", "tilt", "fraction"),
    [
        (0.30, 0, 0.5547),
        (0.28, 0, 0.553913),
        (0.28, -30, 0.471177),
        (0.28, -60, 0.264423),
        (0.04, 30, 0.468297),
        (0.04, 60, 0.377089),
    ],
)
def test_share_of_a_long_strip_that_lands_on_the_worktop(x, tilt, fraction):
    # Radiation view factor of a long strip to a parallel one, by crossed strings: the share is
    # half the difference of the sines of the angles to the two edges; 0.60 m deep, 0.45 m below.
    line = line_source(x, 0.45, -3000, 3000, 1000, tilt)
    landed = quad(lambda at: illuminance(line, at, 0), 0, 0.6, epsabs=0)[0]
    assert landed / 1000 == pytest.approx(fraction, abs=1e-6)


@pytest.mark.property
@pytest.mark.parametrize("height", [0.2, 0.45, 1.7])
def test_below_a_very_long_strip_lux_is_lumens_per_metre_over_twice_the_height(height):
    # Lambert's law over an endless line: E = F' / (2 h), falling off as the cosine cubed.
    line = line_source(0.3, height, -1e5, 1e5, 800)
    nadir = 800 / (2 * height)
    assert illuminance(line, 0.3, 0) == pytest.approx(nadir, rel=1e-9)
    assert illuminance(line, 0.3 + height, 0) == pytest.approx(nadir / 2**1.5, rel=1e-9)


@pytest.mark.property
@pytest.mark.parametrize("exponent", [0.5, 1.0, 2.0, SIXTY_DEGREE_BEAM, 20.0])
def test_all_the_light_of_a_strip_that_faces_down_lands_below(exponent):
    line = line_source(0.0, 0.45, -3000, 3000, 700, 0, exponent)
    assert quad(lambda x: illuminance(line, x, 0), -inf, inf)[0] == pytest.approx(700, rel=1e-4)


place = st.floats(-3, 3)
lines = st.builds(
    line_source,
    st.floats(0, 0.6),
    st.floats(0.2, 1.5),
    st.floats(-2, 0),
    st.floats(0.1, 2),
    st.floats(100, 2000),
    st.floats(-89, 89),
    st.floats(0.5, 10),
)


@pytest.mark.property
@given(lines, place, place)
def test_twice_the_lumens_give_twice_the_lux(line, x, y):
    doubled = line._replace(candela_per_metre=2 * line.candela_per_metre)
    assert illuminance(doubled, x, y) == pytest.approx(2 * illuminance(line, x, y), rel=1e-12)


@pytest.mark.property
@given(lines, place, place, st.floats(0, 1))
def test_two_pieces_give_what_the_whole_gives(line, x, y, where):
    cut = line.y_start + where * (line.y_end - line.y_start)
    first, second = line._replace(y_end=cut), line._replace(y_start=cut)
    assert illuminance(first, x, y) + illuminance(second, x, y) == pytest.approx(
        illuminance(line, x, y), rel=1e-9, abs=1e-12
    )


@pytest.mark.property
@given(place, place, st.floats(-89, 89))
def test_a_mirrored_strip_gives_mirrored_light(x, y, tilt):
    one = line_source(0.0, 0.5, -1.0, 1.0, 900, tilt)
    other = line_source(0.0, 0.5, -1.0, 1.0, 900, -tilt)
    assert illuminance(one, x, y) == pytest.approx(illuminance(other, -x, -y), rel=1e-9, abs=1e-12)


@pytest.mark.property
@given(lines, place, place)
def test_light_is_never_negative_and_greatest_straight_before_a_longer_strip(line, x, y):
    longer = line._replace(y_start=line.y_start - 0.5, y_end=line.y_end + 0.5)
    assert 0 <= illuminance(line, x, y) <= illuminance(longer, x, y)


def test_ends_may_be_given_in_either_order():
    assert line_source(0.3, 0.45, 2, 0, 1000) == line_source(0.3, 0.45, 0, 2, 1000)


def test_no_light_above_the_strip_behind_its_face_or_from_no_length():
    line = line_source(0.3, 0.45, 0, 2, 1000, tilt_degrees=60)
    assert illuminance(line, 0.3, 1, 0.45) == 0
    assert illuminance(line, 0.3, 1, 0.6) == 0
    assert illuminance(line, -0.7, 1) == 0
    assert illuminance(line_source(0.3, 0.45, 1, 1, 1000), 0.3, 1) == 0

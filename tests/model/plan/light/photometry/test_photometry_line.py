"""Direct light of strips: published examples, known figures, and the raw laws integrated."""

from math import atan, cos, pi, radians, sqrt
from random import Random

import numpy as np
import pytest
from endless import endless_on_top
from raw_light import TO_ROOM, UP, Strip, drawn_strip
from scipy.integrate import nquad
from scipy.special import beta as beta_function
from scipy.special import betainc
from spreads import all_round

from pelmet.model.plan.light.photometry.line import (
    aspect,
    lit_line,
    lux_on_top,
    lux_on_wall,
)

SIXTY = 4.818842  # power of a 60° beam
FRONT, MIDDLE, BACK = Strip(), Strip(x=0.16), Strip(x=0.04)
ACROSS = [(x, 1.0) for x in (0.0, 0.05, 0.15, 0.25, 0.35, 0.45, 0.55, 0.6)]
NEAR_END = [(x, 0.1) for x in (0.05, 0.3, 0.55)]
ALONG = [(0.3, y) for y in (-0.5, -0.25, 0.0, 0.25, 0.5, 1.0, 2.0, 2.25)]
GAP = [(0.3, 0.2), (0.3, 0.45), (0.3, 0.9), (0.3, 1.2), (0.3, 1.5), (0.3, 2.0), (0.5, 1.2)]
ASYMMETRIC = Strip(
    curve=(
        (-90, -75, -60, -45, -30, -15, 0, 15, 30, 45, 60, 75, 90),
        (0.0, 0.2, 0.42, 0.63, 0.81, 0.94, 1.0, 0.96, 0.86, 0.7, 0.5, 0.27, 0.0),
    )
)

# Strips, points (x, y) and lux on the worktop: a closed form and adaptive vector quadrature,
# which agreed in all digits.
ON_TOP = {
    "under it and past its ends": (
        [Strip(x=0.3)],
        ALONG,
        "81.995078 224.26051 553.024566 881.339118 1022.053321 1076.70991 553.024566 224.26051",
    ),
    "front, 30 degrees to the wall": (
        [Strip(tilt=-30)],
        ACROSS + NEAR_END,
        (
            "763.056855 843.202352 961.373105 961.751427 817.993141 593.29019 378.409844"
            " 291.093208 544.711304 592.876955 243.622588"
        ),
    ),
    "front, 30 degrees to the room": (
        [Strip(tilt=30)],
        ACROSS + NEAR_END,
        (
            "359.712871 458.950027 686.520759 890.459784 979.418781 924.289692 779.533017"
            " 696.601222 296.483124 624.10472 501.868158"
        ),
    ),
    "middle": (
        [MIDDLE],
        ACROSS + NEAR_END,
        (
            "895.876505 984.489276 1075.890842 1013.506716 835.551042 628.215502 449.73826"
            " 377.468784 642.10549 607.64746 287.272852"
        ),
    ),
    "back, 30 degrees to the room": (
        [Strip(x=0.04, tilt=30)],
        ACROSS + NEAR_END,
        (
            "873.936608 943.703143 972.91919 872.75887 713.201844 554.33371 422.224143 367.832372"
            " 617.765149 512.798958 269.182547"
        ),
    ),
    "back, 45 degrees to the room": (
        [Strip(x=0.04, tilt=45)],
        ACROSS + NEAR_END,
        (
            "685.308173 777.675704 866.306365 823.324924 703.630347 566.824294 444.563627"
            " 392.255112 509.080583 495.368304 283.424744"
        ),
    ),
    "90 degree beam": (
        [Strip(power=2)],
        ACROSS,
        (
            "700.772142 852.340976 1163.785468 1358.554419 1305.585286 1043.594756 729.906391"
            " 591.705897"
        ),
    ),
    "60 degree beam, 30 degrees to the wall": (
        [Strip(power=SIXTY, tilt=-30)],
        ACROSS,
        "1404.241696 1547.225362 1583.011915 1172.872775 580.874142 191.340108 44.145667 18.846827",
    ),
    "round 60 degree beam": (
        [Strip(power=SIXTY, round_beam=True)],
        ACROSS,
        (
            "670.160737 927.423056 1557.614525 2016.783014 1887.141209 1298.81077 716.969374"
            " 506.506236"
        ),
    ),
    "asymmetric table": (
        [ASYMMETRIC],
        ACROSS,
        "629.902461 739.119376 965.505573 1105.986673 1074.608257 904.980339 694.233556 588.239875",
    ),
    "gap of 600 mm between two": (
        [Strip(end=0.9), Strip(start=1.5, end=2.4)],
        GAP,
        "797.500737 918.615378 583.451545 346.850711 583.451545 912.691663 282.302544",
    ),
    "381 mm above": (
        [Strip(height=0.381)],
        ACROSS,
        "662.488687 798.649029 1086.801754 1274.086535 1222.55659 974.079291 688.497179 565.662743",
    ),
    "490 mm above": (
        [Strip(height=0.49)],
        ACROSS,
        "631.411452 719.592683 882.778789 975.439559 950.844725 822.258602 648.906117 563.249157",
    ),
    "2 km long": (
        [Strip(x=0.3, start=-1000, end=1000)],
        [(0.0, 0.0), (0.3, 0.0), (0.6, 0.0)],
        "640.038688 1111.111111 640.038688",
    ),
    "727.776 lm/m": (
        [Strip(lumens=727.776)],
        ACROSS,
        "471.767258 547.140561 692.414795 778.265199 755.239542 637.659248 486.546364 415.011095",
    ),
}


@pytest.mark.cross_check
@pytest.mark.parametrize(("strips", "points", "lux"), ON_TOP.values(), ids=ON_TOP)
def test_known_figures_on_the_worktop(strips, points, lux):
    found = [sum(lux_on_top(strip.line, *point) for strip in strips) for point in points]
    assert found == pytest.approx([float(value) for value in lux.split()], abs=1e-6)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("strip", "lux"),
    [
        (FRONT, "462.733101 527.484064 649.087976 647.273931 301.505701"),
        (BACK, "120.313672 157.537502 306.124453 800.617377 3808.693809"),
    ],
)
def test_known_figures_on_the_splashback(strip, lux):
    found = [lux_on_wall(strip.line, 1.0, z) for z in (0.05, 0.1, 0.2, 0.3, 0.4)]
    assert found == pytest.approx([float(value) for value in lux.split()], abs=1e-6)


def bulb(candela: float, height: float):
    """Give a millimetre of tube, which across itself is a point alike to all sides."""
    lumens = candela * pi**2 / 0.001
    return lit_line(50.0, height, -0.0005, 0.0005, lumens, distribution=all_round())


@pytest.mark.published
def test_inverse_square_and_cosine_examples():
    # School-book problem (photometry): a lamp alike to all sides, 0.60 m above a table, gives
    # 15 lx below it: 5.4 cd, and 3.24 lx at 0.80 m aside.
    assert lux_on_top(bulb(5.4, 0.6), 50.0, 0) == pytest.approx(15, rel=1e-5)
    assert lux_on_top(bulb(5.4, 0.6), 50.8, 0) == pytest.approx(3.24, rel=1e-5)
    # The same book: 1 m up, 40 lx below; 1 m aside about 14 lx.
    assert lux_on_top(bulb(40, 1), 51, 0) == pytest.approx(14, rel=0.02)
    # Electrical technology textbook, ch. 49, example 49.1: 1200 lm alike to all sides, 8 m up:
    # 0.76 lm/m² 6 m aside. Example 49.2: from 10 m up it is a tenth of the greatest at 19.08 m.
    lamp = bulb(1200 / (4 * pi), 8)
    assert lux_on_top(lamp, 56, 0) == pytest.approx(0.76, abs=0.005)
    lamp = bulb(100, 10)
    tenth = lux_on_top(lamp, 50, 0) / 10
    assert lux_on_top(lamp, 69.08, 0) == pytest.approx(tenth, rel=5e-4)
    # Schaum's Applied Physics, 30.8: a lamp of 60 W and 14 lm/W is 66.8 cd, and gives 16.7 lx
    # from 2 m, twice that from 1.41 m.
    assert lux_on_top(bulb(66.8, 2), 50, 0) == pytest.approx(16.7, abs=0.05)
    assert lux_on_top(bulb(66.8, 1.41), 50, 0) == pytest.approx(33.4, rel=0.01)
    # School-book problem: 450 cd at 3 m give 30 lx where light comes in at 53.13 degrees.
    off = radians(53.13)
    lamp = bulb(450, 3 * cos(off))
    assert lux_on_top(lamp, 50 + sqrt(9 - (3 * cos(off)) ** 2), 0) == pytest.approx(30, rel=1e-4)


@pytest.mark.published
@pytest.mark.parametrize("degrees", [10, 45, 60, 80, 89.9])
def test_aspect_factor_of_a_diffuse_linear_source(degrees):
    # Offshore Electrical Engineering Manual, ch. 14, eq. 2.14.4 (whose print lacks the half of
    # its own integral): AF = 1/2 (b + sin b cos b); 0.642699 at 45 degrees, pi/4 at 90.
    b = radians(degrees)
    law = (b + np.sin(b) * np.cos(b)) / 2
    assert aspect(1, 1.0, 0.0, np.tan(b)) == pytest.approx(law, rel=1e-12)
    assert aspect(1, 1.0, 0.0, 1.0) == pytest.approx(0.642699, abs=1e-6)
    assert aspect(1, 1.0, 0.0, 1e7) == pytest.approx(pi / 4, abs=1e-12)


def tail(power: float, degrees_from: float) -> float:
    """Integrate cos^(m+1) from an angle to 90 degrees: an incomplete beta function."""
    whole = beta_function(0.5, (power + 2) / 2) / 2
    return whole * betainc((power + 2) / 2, 0.5, np.cos(degrees_from) ** 2)


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(60))
def test_aspect_factor_is_an_incomplete_beta_function(seed):
    draw = Random(seed)
    power = draw.choice([0.0, 0.1, 1.0, 2.0, 3.0, 80.0, 20_000.0, draw.uniform(0, 30)])
    distance = draw.uniform(0.02, 1)
    start = draw.uniform(-2, 2)
    end = start + draw.choice([0.01, 0.5, 3, 500])
    low, high = atan(start / distance), atan(end / distance)
    if low < 0 < high:
        law = 2 * tail(power, 0) - tail(power, -low) - tail(power, high)
    else:
        law = abs(tail(power, abs(low)) - tail(power, abs(high)))
    # SciPy's difference of two tails has no more digits than this of the whole.
    rounding = 1e-14 * tail(power, 0)
    assert aspect(power, distance, start, end) == pytest.approx(law, rel=3e-10, abs=rounding)


@pytest.mark.cross_check
@pytest.mark.parametrize("first", range(0, 300, 20))
def test_light_on_both_planes_is_the_raw_laws_integrated(first):
    close = {"rel": 2e-9, "abs": 1e-8}
    for draw in map(Random, range(first, first + 20)):
        strip = drawn_strip(draw)
        line = strip.line
        x, y, z = draw.uniform(0, 0.7), draw.uniform(-3, 3), draw.uniform(0, 0.8)
        assert lux_on_top(line, x, y) == pytest.approx(strip.lux((x, y, 0), UP), **close)
        assert lux_on_wall(line, y, z) == pytest.approx(strip.lux((0, y, z), TO_ROOM), **close)


@pytest.mark.cross_check
@pytest.mark.parametrize("height", [0.2, 0.45, 1.7])
def test_below_an_endless_diffuse_strip(height):
    # E = F' / (2 h), falling off as the cosine cubed: aspect factors of 2 * pi/4 (Offshore
    # Electrical Engineering Manual, ch. 14) with F' = pi I (Lambert).
    line = lit_line(0.3, height, 0, 1, 800)
    assert endless_on_top(line, 0.3) == pytest.approx(400 / height, rel=1e-12)
    assert endless_on_top(line, 0.3 + height) == pytest.approx(400 / height / 2**1.5, rel=1e-12)


@pytest.mark.cross_check
def test_a_point_in_place_of_a_line_gives_too_much_near_by():
    # The five-times rule; errors by quadrature and by hand.
    strip = Strip(x=0.3, start=-0.5, end=0.5)
    for height, error in ((1, 0.15788), (2, 0.041075), (3, 0.0184), (5, 0.006651), (10, 0.001666)):
        line = Strip(x=0.3, height=height, start=-0.5, end=0.5).line
        point = strip.lumens / pi / height**2
        assert point / lux_on_top(line, 0.3, 0) - 1 == pytest.approx(error, abs=1e-6)


def band_lux(width: float, tilt: float, x: float, y: float) -> float:
    """Light a point by a flat Lambert band, 1000 lm/m, 0 to 2 m: the raw law over its face."""
    faces = np.array([np.sin(radians(tilt)), 0, -np.cos(radians(tilt))])
    across = np.array([np.cos(radians(tilt)), 0, np.sin(radians(tilt))])
    xs = 0.30 if tilt == 0 else 0.28

    def each(at, off):
        ray = np.array([x, y, 0]) - (np.array([xs, at, 0.45]) + off * across)
        square = float(ray @ ray)
        return max(float(ray @ faces), 0) * max(-ray[2], 0) / square**2 * 1000 / (pi * width)

    ranges = [[0, 2], [-width / 2, width / 2]]
    options = {"epsabs": 1e-6, "epsrel": 1e-9}
    return nquad(each, ranges, opts=[options | {"points": [y]}, options])[0]


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("width", "tilt", "x", "lux"),
    [
        (0.010, 0, 0.45, 909.076771),
        (0.016, 0, 0.45, 909.036224),
        (0.030, 0, 0.45, 908.868795),
        (0.016, -30, 0.20, 973.955588),
        (0.016, -30, 0.45, 589.431053),
        (0.016, -60, 0.20, 667.143669),
        (0.016, 30, 0.50, 851.933564),
    ],
)
def test_a_diffuser_of_some_width_is_near_a_line(width, tilt, x, lux):
    # Figures by the configuration factor of an oblong, and by its outline.
    line = Strip(x=0.30 if tilt == 0 else 0.28, tilt=tilt).line
    assert band_lux(width, tilt, x, 0.8) == pytest.approx(lux, abs=2e-5)
    assert lux_on_top(line, x, 0.8) == pytest.approx(lux, rel=3e-4 if width > 0.016 else 2e-4)


@pytest.mark.cross_check
def test_a_wide_panel_is_no_line():
    # 100 mm wide from 450 mm off: 0.3 %.
    assert lux_on_top(Strip(x=0.3).line, 0.45, 0.8) == pytest.approx(909.10276, abs=1e-5)
    assert band_lux(0.1, 0, 0.45, 0.8) == pytest.approx(906.495824, abs=2e-5)

"""The colour of white light, against a colour library and the printed standard."""

import doctest
import importlib
import warnings
from itertools import pairwise
from math import hypot, inf, nan

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.plan.light.photometry import colour
from pelmet.model.plan.light.photometry.colour import (
    NOMINAL_WHITES,
    STEP_UV,
    ColourStep,
    Light,
    colour_step,
    colour_temperature,
    evenly_mixed,
    mixed,
    nominal_spread,
    nominal_white,
    planckian,
    rendering_words,
    white_name,
)


@pytest.fixture(scope="module")
def science():
    """Give colour-science, which warns on import that it cannot plot."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        return importlib.import_module("colour")


# Nominal, x, y, printed target. Without 3000 and 4000 K, whose x is misprinted there.
PRINTED = [
    (2200, 0.5018, 0.4153, 2238),
    (2500, 0.4806, 0.4141, 2460),
    (2700, 0.4578, 0.4101, 2725),
    (3500, 0.4078, 0.3930, 3465),
    (4500, 0.3613, 0.3670, 4503),
    (5000, 0.3446, 0.3551, 5029),
    (5700, 0.3287, 0.3425, 5667),
    (6500, 0.3123, 0.3283, 6532),
]


@pytest.mark.published
@pytest.mark.parametrize(("nominal", "x", "y", "target"), PRINTED)
def test_the_centre_of_a_nominal_white_is_at_its_printed_target(nominal, x, y, target):
    """ANSI C78.377-2017, table of targets: x and y have four digits, which is 1 to 3 K."""
    assert colour_temperature(x, y).kelvin == pytest.approx(target, abs=3)
    row = nominal_white(nominal)
    assert (row.x, row.y, row.target) == (x, y, target)


@pytest.mark.published
@pytest.mark.parametrize(
    ("nominal", "target", "tolerance"),
    [
        (2200, 2238, 102),
        (2500, 2460, 120),
        (2700, 2725, 145),
        (3000, 3045, 175),
        (3500, 3465, 245),
        (4000, 3985, 275),
        (4500, 4503, 243),
        (5000, 5029, 283),
        (5700, 5667, 355),
        (6500, 6532, 510),
    ],
)
def test_nominal_whites_have_the_printed_tolerances(nominal, target, tolerance):
    """ANSI C78.377-2017, table of targets and tolerances."""
    row = nominal_white(nominal)
    assert (row.target, row.tolerance) == (target, tolerance)


@pytest.mark.published
def test_neighbouring_nominal_whites_meet_without_a_gap():
    """ANSI C78.377: its quadrangles touch, for they part the locus between them."""
    for one, other in pairwise(NOMINAL_WHITES):
        assert one.target + one.tolerance == pytest.approx(other.target - other.tolerance, abs=2)


# By colour-science 0.4.7 (Ohno 2013): kelvin, Duv, u', v' of the centres.
CENTRES = {
    2200: (2238.2, 0.00001, 0.287564, 0.535487),
    2500: (2459.92, -0.00001, 0.274315, 0.531807),
    2700: (2725.11, -0.00001, 0.261391, 0.52685),
    3000: (3045.42, 0.00012, 0.248946, 0.520626),
    3500: (3464.48, 0.00046, 0.236392, 0.512579),
    4000: (3985.01, 0.00098, 0.224826, 0.503077),
    4500: (4503.23, 0.0015, 0.216302, 0.494357),
    5000: (5030.62, 0.00195, 0.209738, 0.48629),
    5700: (5665.42, 0.00243, 0.203763, 0.477714),
    6500: (6531.5, 0.00305, 0.197815, 0.467886),
}


@pytest.mark.cross_check
@pytest.mark.parametrize("nominal", CENTRES)
def test_temperature_and_duv_are_those_of_another_method(nominal):
    kelvin, duv, u, v = CENTRES[nominal]
    row = nominal_white(nominal)
    found = colour_temperature(row.x, row.y)
    assert found.kelvin == pytest.approx(kelvin, abs=3)
    assert found.duv == pytest.approx(duv, abs=1.5e-4)
    near_u, near_v = planckian(found.kelvin)
    assert hypot(u - near_u, (v / 1.5) - near_v) == pytest.approx(abs(found.duv), abs=1e-6)


@pytest.mark.cross_check
@pytest.mark.parametrize("duv", [-0.006, -0.003, 0.0, 0.003, 0.006])
def test_temperature_is_that_of_the_library_all_over_the_whites(science, duv):
    for kelvin in (1800, 2000, 2200, 2450, 2725, 3045, 3465, 3985, 4503, 5029, 5667, 6532):
        uv = science.temperature.CCT_to_uv_Ohno2013(np.array([kelvin, duv]))
        x, y = science.UCS_uv_to_xy(uv)
        found = colour_temperature(float(x), float(y))
        assert found.kelvin == pytest.approx(kelvin, rel=0.0015)
        assert found.duv == pytest.approx(duv, abs=1.5e-4)


@pytest.mark.cross_check
def test_the_locus_is_that_of_the_librarys_black_body(science):
    for kelvin in range(1000, 15001, 500):
        exact = science.temperature.CCT_to_uv_Ohno2013(np.array([kelvin, 0.0]))
        assert planckian(kelvin) == pytest.approx(tuple(exact), abs=1.5e-4)


@pytest.mark.cross_check
@given(st.floats(1100, 14000), st.floats(-0.045, 0.045))
def test_the_nearest_point_of_the_locus_is_found(kelvin, away):
    """A search over the whole locus, point by point, finds none that is nearer."""
    (u, v), (next_u, next_v) = planckian(kelvin), planckian(kelvin + 1)
    long = hypot(next_u - u, next_v - v)
    u, v = u - away * (next_v - v) / long, v + away * (next_u - u) / long
    under = 2 * u - 8 * v + 4
    x, y = 3 * u / under, 2 * v / under
    try:
        found = colour_temperature(x, y)
    except ValueError:
        return
    locus = np.array([planckian(each) for each in range(1000, 15001, 10)])
    least = np.hypot(locus[:, 0] - u, locus[:, 1] - v).min()
    assert abs(found.duv) <= least + 1e-9


# By hand with tristimulus values and by colour-science 0.4.7: mixed x, y, kelvin, Duv.
MIXES = [
    (((2700, 1), (6500, 1)), (0.376991, 0.364669, 4005.1, -0.00475)),
    (((2700, 1), (4000, 1)), (0.418337, 0.394315, 3258.28, -0.00106)),
    (((2700, 3), (4000, 1)), (0.437681, 0.402053, 2970.82, -0.00091)),
    (((3000, 1), (4000, 2)), (0.398476, 0.387254, 3626.42, 0.00003)),
]


@pytest.mark.cross_check
@pytest.mark.parametrize(("parts", "wanted"), MIXES)
def test_a_mix_of_two_whites_is_that_of_two_methods(parts, wanted):
    lights = [
        Light(row.x, row.y, 100 * flux)
        for nominal, flux in parts
        if (row := nominal_white(nominal))
    ]
    x, y, kelvin, duv = wanted
    both = mixed(lights)
    assert (both.x, both.y) == pytest.approx((x, y), abs=5.1e-7)
    assert both.lumens == 100 * sum(flux for _, flux in parts)
    found = colour_temperature(both.x, both.y)
    assert found.kelvin == pytest.approx(kelvin, rel=0.001)
    assert found.duv == pytest.approx(duv, abs=1.5e-4)


@pytest.mark.cross_check
@pytest.mark.parametrize(("warm", "cool"), [(2700, 6500), (2700, 5000), (2700, 4000), (2200, 5000)])
def test_two_plain_whites_mixed_evenly_are_as_the_library_has_them(science, warm, cool):
    """Black bodies of both temperatures, their X and Z for one Y added up by hand."""
    tristimulus = np.zeros(3)
    for kelvin in (warm, cool):
        uv = science.temperature.CCT_to_uv_Ohno2013(np.array([kelvin, 0.0]))
        x, y = science.UCS_uv_to_xy(uv)
        tristimulus += np.array([x / y, 1, (1 - x - y) / y])
    x, y = tristimulus[:2] / tristimulus.sum()
    kelvin, duv = science.temperature.uv_to_CCT_Ohno2013(science.xy_to_UCS_uv(np.array([x, y])))
    found = evenly_mixed(warm, cool)
    assert found.kelvin == pytest.approx(float(kelvin), rel=0.002)
    assert found.duv == pytest.approx(float(duv), abs=2e-4)
    assert found.duv < 0  # the locus is bent, and what is mixed lies on a straight line


X = st.floats(0.25, 0.55)
Y = st.floats(0.25, 0.44)
FLUX = st.floats(1, 1e4)


@pytest.mark.property
@given(st.builds(Light, X, Y, FLUX), st.builds(Light, X, Y, FLUX), FLUX)
def test_a_mix_lies_between_the_two_and_nears_what_there_is_more_of(one, other, more):
    both = mixed([one, other])
    assert min(one.x, other.x) - 1e-12 <= both.x <= max(one.x, other.x) + 1e-12
    assert min(one.y, other.y) - 1e-12 <= both.y <= max(one.y, other.y) + 1e-12
    bend = (both.x - one.x) * (other.y - one.y) - (both.y - one.y) * (other.x - one.x)
    assert bend == pytest.approx(0, abs=1e-12)
    nearer = mixed([one._replace(lumens=one.lumens + more), other])
    assert abs(nearer.x - one.x) <= abs(both.x - one.x) + 1e-12
    assert mixed([one]) == pytest.approx(one)


# Between Planckian points of colour-science 0.4.7 (Ohno 2013).
@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("one", "other", "delta", "steps"),
    [
        (2700, 2800, 0.004712, 4.284),
        (3000, 3100, 0.003969, 3.608),
        (4000, 4100, 0.002544, 2.313),
        (2700, 3000, 0.013336, 12.124),
        (3000, 3500, 0.017979, 16.344),
    ],
)
def test_steps_between_whites_are_those_of_the_librarys_locus(one, other, delta, steps):
    found = colour_step(one, other)
    assert found.delta == pytest.approx(delta, rel=0.004)
    assert found.steps == pytest.approx(steps, rel=0.004)
    assert colour_step(other, one) == found


@pytest.mark.property
def test_strips_of_one_nominal_white_may_differ_by_many_steps():
    for row in NOMINAL_WHITES:
        spread = nominal_spread(row)
        assert spread.steps > 9
        assert spread.words == "noticed side by side"
        low, high = row.target - row.tolerance, row.target + row.tolerance
        halves = colour_step(low, row.target).delta + colour_step(row.target, high).delta
        assert spread.delta == pytest.approx(halves, rel=0.01)


@pytest.mark.parametrize(
    ("steps", "words"),
    [
        (0, "not visible"),
        (0.99, "not visible"),
        (1.01, "hardly noticed"),
        (2.99, "hardly noticed"),
        (3.01, "noticed side by side"),
    ],
)
def test_steps_have_words(steps, words):
    assert ColourStep(steps * STEP_UV).words == words


@pytest.mark.parametrize(
    ("kelvin", "name"),
    [
        (2700, "warm"),
        (3299, "warm"),
        (3300, "neutral"),
        (4000, "neutral"),
        (5300, "neutral"),
        (5301, "cool"),
        (6500, "cool"),
    ],
)
def test_whites_have_names(kelvin, name):
    assert white_name(kelvin) == name


@pytest.mark.parametrize(
    ("ra", "r9", "words"),
    [
        (95, 92, "good colours, excellent red"),
        (90, 50, "good colours, good red"),
        (90, 49, "good colours, dull red"),
        (82, -1.4, "plain colours, dull red"),
        (97, None, "good colours; red not said: ask for R9"),
    ],
)
def test_rendering_has_words(ra, r9, words):
    assert rendering_words(ra, r9) == words


def test_a_nominal_white_that_the_standard_lacks_has_no_row():
    assert nominal_white(2900) is None


@pytest.mark.parametrize(
    "call",
    [
        lambda: planckian(999),
        lambda: planckian(15001),
        lambda: planckian(nan),
        lambda: colour_step(2700, 900),
        lambda: white_name(0),
        lambda: white_name(nan),
        lambda: colour_temperature(0.64, 0.33),
        lambda: colour_temperature(0.25, 0.60),
        lambda: colour_temperature(0.2, 0.2),
        lambda: colour_temperature(0.70, 0.298),
        lambda: colour_temperature(0.0, 0.4),
        lambda: colour_temperature(0.4, 0.0),
        lambda: colour_temperature(0.7, 0.4),
        lambda: colour_temperature(nan, 0.4),
        lambda: mixed([]),
        lambda: mixed([Light(0.4, 0.4, 0)]),
        lambda: mixed([Light(0.4, 0.4, -1)]),
        lambda: mixed([Light(0.4, 0.4, inf)]),
        lambda: mixed([Light(0.4, 0.0, 1)]),
        lambda: mixed([Light(0.4, 0.4, 1e308), Light(0.4, 0.4, 1e308)]),
        lambda: rendering_words(101),
        lambda: rendering_words(90, nan),
    ],
)
def test_colours_that_cannot_be_are_refused(call):
    with pytest.raises(ValueError, match=r"wanted|white|chromaticity|no light"):
        call()


def test_what_the_notes_show_at_a_prompt_is_so():
    failed, tried = doctest.testmod(colour)
    assert tried
    assert not failed

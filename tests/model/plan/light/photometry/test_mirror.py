"""The image of a strip in a polished worktop: where it is seen, and how bright."""

import doctest
from math import asin, atan, cos, degrees, hypot, inf, nan, radians, sin, tan

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize_scalar

from pelmet.model.plan.light.photometry import gloss, mirror
from pelmet.model.plan.light.photometry.gloss import (
    FINISHES,
    fresnel_reflectance,
    gloss_share,
    image_contrast,
    strip_luminance,
    top_luminance,
)
from pelmet.model.plan.light.photometry.mirror import (
    mirror_point,
    mirror_sight,
    ray_at_lip,
)
from pelmet.model.plan.light.photometry.shade import Lip

COOK = {"strip_height": 0.45, "eye_x": 0.80, "eye_height": 0.72}
FRONT, MIDDLE, BACK = 0.28, 0.16, 0.04
PLACES = (FRONT, MIDDLE, BACK)

# Found twice, by the mirror image and as the shortest way from strip over top to eye.
POINTS = [(FRONT, 0.48, 23.962489), (MIDDLE, 0.406154, 28.679036), (BACK, 0.332308, 33.006651)]

ACROSS = st.floats(-1, 3)
HEIGHT = st.floats(0.05, 2)


@pytest.mark.cross_check
@pytest.mark.parametrize(("strip_x", "x", "incidence"), POINTS)
def test_a_standing_cook_sees_the_image_where_two_methods_put_it(strip_x, x, incidence):
    point = mirror_point(strip_x, **COOK)
    assert point.x == pytest.approx(x, abs=5e-7)
    assert point.incidence == pytest.approx(incidence, abs=5e-7)


@pytest.mark.cross_check
@given(ACROSS, HEIGHT, ACROSS, HEIGHT)
def test_the_mirror_point_makes_the_way_the_shortest(strip_x, strip_height, eye_x, eye_height):
    """Fermat's principle, in place of the image method."""

    def way(x):
        return hypot(x - strip_x, strip_height) + hypot(x - eye_x, eye_height)

    shortest = minimize_scalar(way, bracket=(strip_x, eye_x + 1e-3))
    point = mirror_point(strip_x, strip_height, eye_x, eye_height)
    assert point.x == pytest.approx(shortest.x, abs=1e-5)
    assert way(point.x) <= shortest.fun + 1e-12


@pytest.mark.property
@given(ACROSS, HEIGHT, ACROSS, HEIGHT)
def test_the_mirror_point_lies_between_strip_and_eye_and_angles_are_equal(xs, h, xe, z):
    point = mirror_point(xs, h, xe, z)
    assert min(xs, xe) - 1e-12 <= point.x <= max(xs, xe) + 1e-12
    assert abs(point.x - xs) == pytest.approx(h * tan(radians(point.incidence)), abs=1e-9)
    assert abs(xe - point.x) == pytest.approx(z * tan(radians(point.incidence)), abs=1e-9)
    back = mirror_point(xe, z, xs, h)
    assert back.x == pytest.approx(point.x, abs=1e-12)


def seen_from(top_depth):
    return [x for x in PLACES if mirror_sight(x, **COOK, top_depth=top_depth).seen]


def test_moving_the_line_does_not_hide_its_image_from_a_standing_cook():
    assert seen_from(top_depth=0.60) == [FRONT, MIDDLE, BACK]
    assert seen_from(top_depth=0.42) == [MIDDLE, BACK]
    assert seen_from(top_depth=0.3) == []


@pytest.mark.cross_check
@pytest.mark.parametrize("strip_x", PLACES)
def test_a_lip_at_the_height_of_the_ray_parts_seen_from_hidden(strip_x):
    """Down from the strip by the angle of incidence, it passes the lip so far below."""
    point = mirror_point(strip_x, **COOK)
    at = ray_at_lip(strip_x, lip_x=0.32, **COOK)
    fallen = (0.32 - strip_x) / tan(radians(point.incidence))
    assert at == pytest.approx(0.45 - fallen, abs=1e-12)
    for bottom, seen in ((at + 1e-9, True), (at - 1e-9, False)):
        found = mirror_sight(strip_x, **COOK, top_depth=0.6, lip=Lip(0.32, bottom))
        assert (found.past_lip, found.seen) == (seen, seen)


def test_a_front_lip_would_have_to_hang_down_90_mm():
    assert 0.45 - ray_at_lip(FRONT, lip_x=0.32, **COOK) == pytest.approx(0.09)


@pytest.mark.property
@given(st.floats(0.01, 0.99))
def test_the_ray_is_at_the_top_only_at_the_mirror_point(part):
    point = mirror_point(BACK, **COOK)
    lip_x = BACK + part * (COOK["eye_x"] - BACK)
    at = ray_at_lip(BACK, lip_x=lip_x, **COOK)
    assert at == pytest.approx(abs(lip_x - point.x) / tan(radians(point.incidence)), abs=1e-12)


def test_a_lip_past_the_mirror_point_stops_the_ray_on_its_way_up():
    found = mirror_sight(BACK, **COOK, top_depth=0.6, lip=Lip(0.70, 0.60))
    assert found.past_lip
    assert not mirror_sight(BACK, **COOK, top_depth=0.6, lip=Lip(0.70, 0.50)).past_lip


def test_a_lip_behind_the_strip_stops_nothing():
    assert mirror_sight(FRONT, **COOK, top_depth=0.6, lip=Lip(0.1, 0.0)).past_lip


def test_a_face_sends_no_image_where_it_turns_its_back():
    incidence = mirror_point(FRONT, **COOK).incidence
    for tilt, lit in ((-66.0, True), (-66.1, False), (incidence + 89.9, True), (180, False)):
        found = mirror_sight(FRONT, **COOK, top_depth=0.6, tilt_degrees=tilt)
        assert (found.lit, found.seen) == (lit, lit)


@pytest.mark.parametrize("bad", [0.0, -0.1, nan, inf])
def test_heights_that_cannot_be_are_refused(bad):
    with pytest.raises(ValueError, match="a height above the top"):
        mirror_point(0.28, bad, 0.8, 0.72)
    with pytest.raises(ValueError, match="a height above the top"):
        ray_at_lip(0.28, 0.45, 0.32, 0.8, bad)


@pytest.mark.parametrize("bad", [nan, inf])
def test_places_that_cannot_be_are_refused(bad):
    with pytest.raises(ValueError, match="places in metres"):
        mirror_point(bad, 0.45, 0.8, 0.72)
    with pytest.raises(ValueError, match="places in metres"):
        mirror_point(0.28, 0.45, bad, 0.72)
    with pytest.raises(ValueError, match="a lip between"):
        ray_at_lip(0.28, 0.45, bad, 0.8, 0.72)


# Amplitude form and sine/tangent form; all digits agreed.
ANGLES = (0, 20, 23.962489, 30, 33.006651, 45, 60, 70, 80, 85)
REFLECTED = {
    1.5: (
        *(0.04, 0.040266, 0.040572, 0.041523, 0.042338),
        *(0.05024, 0.089187, 0.171043, 0.387704, 0.6128),
    ),
    1.567: (
        *(0.048788, 0.049078, 0.04941, 0.050436, 0.051313),
        *(0.059708, 0.100056, 0.182813, 0.397703, 0.619148),
    ),
}


@pytest.mark.cross_check
@pytest.mark.parametrize("index", REFLECTED)
def test_reflectance_is_that_of_two_forms_of_fresnels_equations(index):
    found = [fresnel_reflectance(angle, index) for angle in ANGLES]
    assert found == pytest.approx(REFLECTED[index], abs=5.1e-7)


@pytest.mark.published
@given(st.floats(1, 89), st.floats(1.01, 3))
def test_reflectance_is_that_of_sines_and_tangents(incidence, index):
    """Reflection of light by a transparent medium in air, Springer: sine and tangent form."""
    i = radians(incidence)
    r = asin(sin(i) / index)
    wanted = (sin(i - r) ** 2 / sin(i + r) ** 2 + tan(i - r) ** 2 / tan(i + r) ** 2) / 2
    assert fresnel_reflectance(incidence, index) == pytest.approx(wanted, rel=1e-7)


@pytest.mark.property
@given(st.floats(0, 90), st.floats(0, 90), st.floats(1, 3))
def test_reflectance_is_a_share_and_rises_to_all_at_grazing(one, other, index):
    """Of unpolarised light it does not fall: what p loses up to Brewster's angle, s gains.

    So up to an index of 2 + sqrt(3), where the two cancel at small angles.
    """
    low, high = sorted((one, other))
    less, more = fresnel_reflectance(low, index), fresnel_reflectance(high, index)
    assert 0 <= less <= more + 1e-12
    assert more <= 1
    assert fresnel_reflectance(0, index) == pytest.approx(((index - 1) / (index + 1)) ** 2)
    if index > 1.001:
        assert fresnel_reflectance(90, index) == pytest.approx(1)


@pytest.mark.property
@given(st.floats(1.05, 5))
def test_at_brewsters_angle_half_of_what_is_left_is_s(index):
    """There tan i = n and rp = 0; so R = rs^2 / 2 = (cos 2i)^2 / 2."""
    brewster = atan(index)
    assert fresnel_reflectance(degrees(brewster), index) == pytest.approx(
        cos(2 * brewster) ** 2 / 2
    )


@pytest.mark.parametrize(("angle", "index"), [(-1, 1.5), (91, 1.5), (nan, 1.5), (9, 0.9), (9, inf)])
def test_angles_and_indexes_that_cannot_be_are_refused(angle, index):
    with pytest.raises(ValueError, match="is wanted"):
        fresnel_reflectance(angle, index)


# lm/m, width, its luminance, that of its image at 28.679 deg in a top of index 1.5.
@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("lumens", "width", "luminance", "image"),
    [
        (700, 0.016, 13926.057521, 574.416572),
        (1000, 0.010, 31830.988618, 1312.952164),
        (727.776, 0.012, 19304.857977, 796.279228),
    ],
)
def test_the_image_stands_out_on_a_dark_top_as_worked_out(lumens, width, luminance, image):
    top = top_luminance(500, 0.05)
    assert top == pytest.approx(7.957747, abs=5e-7)
    strip = strip_luminance(lumens, width)
    assert strip == pytest.approx(luminance, abs=5e-7)
    contrast = image_contrast(strip, POINTS[1][2], top, index=1.5)
    assert contrast * top == pytest.approx(image, abs=2e-6)
    assert image_contrast(strip, POINTS[1][2], top, 0.5) == pytest.approx(contrast / 2)


def test_a_black_top_in_the_dark_has_endless_contrast_and_no_image_none():
    assert image_contrast(100, 30, 0.0) == inf
    assert image_contrast(0, 30, 0.0) == image_contrast(100, 30, 0.0, share=0.0) == 0


@pytest.mark.published
def test_black_glass_has_a_gloss_of_100_and_keeps_all():
    """ISO 2813:2014, 3.3: 100 GU is polished black glass of index 1.567."""
    assert gloss_share(100, 1.567) == pytest.approx(1)
    assert gloss_share(50, 1.567) == pytest.approx(0.5)
    assert gloss_share(0) == 0
    assert gloss_share(1000) == 1


@pytest.mark.published
def test_finishes_have_the_bands_of_gloss_meters():
    """Gloss at 60 degrees: below 10 GU low, 10 to 70 semi, above 70 high."""
    assert [FINISHES[name].gloss for name in ("matt", "satin", "polished")] == [
        (0, 10),
        (10, 70),
        (70, 100),
    ]


@pytest.mark.property
def test_duller_finishes_keep_less_and_say_that_they_are_estimates():
    assert 0 < FINISHES["matt"].share < FINISHES["satin"].share < FINISHES["polished"].share == 1
    for name in ("satin", "matt"):
        low, high = FINISHES[name].gloss
        assert gloss_share(low) <= FINISHES[name].share <= gloss_share(high)
        assert "estimate" in FINISHES[name].standing


@pytest.mark.parametrize(
    "call",
    [
        lambda: gloss_share(-1),
        lambda: gloss_share(nan),
        lambda: gloss_share(50, 1),
        lambda: strip_luminance(-1, 0.01),
        lambda: strip_luminance(700, 0),
        lambda: top_luminance(-1, 0.5),
        lambda: top_luminance(500, 1.1),
        lambda: image_contrast(-1, 30, 8),
        lambda: image_contrast(100, 30, nan),
        lambda: image_contrast(100, 30, 8, 1.5),
    ],
)
def test_brightness_that_cannot_be_is_refused(call):
    with pytest.raises(ValueError, match=r"wanted|reflects nothing"):
        call()


@pytest.mark.parametrize("module", [mirror, gloss])
def test_what_the_notes_show_at_a_prompt_is_so(module):
    failed, tried = doctest.testmod(module)
    assert tried
    assert not failed

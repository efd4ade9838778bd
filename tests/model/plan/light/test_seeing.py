"""What the eye meets of each run: jobs built to known places, and properties of any job."""

from decimal import Decimal
from math import asin, isfinite, pi, radians, sin, tan
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job, many_bars, obstacle, one_bar, part, planned, row

from pelmet.model.job.job import Job
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.light.mirrored import MOST_CONTRAST
from pelmet.model.plan.light.seeing import RunSight, Seat, look_at_runs
from pelmet.model.plan.stages import plan_job

D = Decimal
OPEN = {"obstacles": [obstacle("O1", 3000, 0, "open side")]}
LINE_AT = {"front": 280, "middle": 160, "back": 40}


@pytest.mark.published
def test_eyes_are_as_high_as_the_survey_that_is_named_measured():
    """ANSUR II (2012), p50 of men and women: 1640 and 1517 mm standing barefoot, 1233 and 1136
    mm seated; 25 mm of shoes, common practice.
    """
    usual = Job().allowances
    assert float(usual.standing_eye) == pytest.approx((1640 + 1517) / 2 + 25, abs=5)
    assert float(usual.seated_eye) == pytest.approx((1233 + 1136) / 2, abs=5)


def seen(job: Job) -> RunSight:
    (only,) = plan_job(job).sights
    return only


def kitchen(line: str = "front", throws: int = 90, **how: Any) -> Job:
    """A line 450 above the top, in a groove: 280, 160 or 40 from the wall; a face of 2 mm.

    The cook's eye is 800 from the wall and 720 above the top; the cabinet 320 deep, no lip.
    """
    changes: dict[str, Any] = {
        "parts": {"channels": [part("channels", "mine", face=2, throws=[throws])]},
        "A1": {"bottom_height": 1360, "depth": 320, "lip": 0},
        "R1": {"channel": "mine", "fixing": "groove", "line": line},
        "allowances": {"front_set_back": 39, "back_set_back": 39, "standing_eye": 1630,
                       "eye_away": 200, "seated_eye": 1234, "seated_away": 1720},
    }  # fmt: skip
    for key, more in how.items():
        changes[key] = changes.get(key, {}) | more
    return one_bar(**changes)


# --- Dots ---------------------------------------------------------------------------------------


# Found twice: by a sum of 8001 LEDs, and by Poisson's series.
@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("share", "modulation"),
    [(0.25, 0.849907), (0.5, 0.35008), (0.8, 0.079019), (1, 0.0272), (2, 9.5e-05)],
)
def test_dots_are_as_uneven_as_a_row_of_leds_summed_one_by_one(share, modulation):
    channel = part("channels", "mine", diffuser_distance=D(str(20 * share)), depth=50)
    strip = part("strips", "mine", pitch=20)
    job = one_bar(
        R1={"channel": "mine", "strip": "mine"},
        parts={"channels": [channel], "strips": [strip]},
    )
    assert float(seen(job).dots.value) == pytest.approx(100 * modulation, abs=6e-5)


def test_a_continuous_phosphor_has_no_dots_and_a_clear_cover_spreads_nothing():
    assert seen(one_bar(R1={"strip": "line-24-10"})).dots.value == 0
    assert seen(one_bar(R1={"diffuser": "clear-17"})).dots.value == 100
    assert seen(one_bar(R1={"strip": "line-24-10", "diffuser": "clear-17"})).dots.value == 0


def test_a_channel_that_says_no_distance_leaves_its_depth_less_three():
    said = one_bar(
        parts={"channels": [part("channels", "surface-17", depth=8, diffuser_distance=5)]}
    )
    assert seen(one_bar()).dots.value == seen(said).dots.value
    flat = one_bar(parts={"channels": [part("channels", "surface-17", depth=2)]})
    assert seen(flat).dots.value == 100


# --- The image in the top -----------------------------------------------------------------------

# Found twice, by the mirror image and as the shortest way from strip over top to eye.
POINTS = {"front": (480, 23.962489), "middle": (406.154, 28.679036), "back": (332.308, 33.006651)}


@pytest.mark.cross_check
@pytest.mark.parametrize("line", POINTS)
def test_the_image_is_where_image_method_and_shortest_way_have_it(line):
    job = kitchen(line, allowances={"back_set_back": 39})
    image = seen(job).image
    at, angle = POINTS[line]
    assert float(image.at.value) == pytest.approx(at, abs=6e-4)
    assert float(image.incidence.value) == pytest.approx(angle, abs=6e-7)
    # Wherever the line is, the image is on the top: moving it does not help.
    others = {each.line: each.image for each in image.elsewhere}
    assert others == {
        name: pytest.approx(place, abs=6e-4) for name, (place, _) in POINTS.items() if name != line
    }
    assert image.sight.seen
    assert all(each.seen for each in image.elsewhere)


def test_a_shallow_top_does_not_carry_the_image():
    # The eye stays 800 from the wall.
    shallow = {"K": {"worktop_depth": 479}, "allowances": {"eye_away": 321}}
    assert not seen(kitchen(**shallow)).image.sight.on_top
    enough = {"K": {"worktop_depth": D("480.1")}, "allowances": {"eye_away": D("319.9")}}
    assert seen(kitchen(**enough)).image.sight.on_top


def test_the_lip_that_hides_the_image_does_and_a_little_less_does_not():
    # From the back edge at 279: the ray falls to 450 - 41 x 1170 / 521 at the front of 320.
    image = seen(kitchen()).image
    assert image.lip == pytest.approx(41 * 1170 / 521)
    # The line itself is hidden from 40 x 1170 / 520 = 90 on.
    assert not seen(kitchen(A1={"lip": D("90.1")})).image.sight.past_lip
    assert seen(kitchen(A1={"lip": D("89.9")})).image.sight.past_lip
    assert not seen(kitchen(A1={"lip": 0, "door_overhang": D("90.1")})).image.sight.past_lip


def test_a_strip_that_throws_at_the_wall_hides_its_image_only_if_flat_enough():
    # The ray goes down at atan((480 - 280) / 450) = 24 degrees, to the room.
    assert seen(kitchen()).image.throws == ()
    # From the back at atan(292.3 / 450) = 33 degrees: 60 degrees the other way is past a right
    # angle, 45 is not.
    assert seen(kitchen("back")).image.throws == ("30 to wall",)
    assert not seen(kitchen("back", 30, R1={"facing": "30 to wall"})).image.sight.lit
    assert seen(kitchen("back", 45, R1={"facing": "45 to wall"})).image.sight.lit


def fresnel(incidence: float, index: float = 1.5) -> float:
    """Give the share reflected, by angle of incidence and of refraction."""
    into = radians(incidence)
    inside = asin(sin(into) / index)
    square = (sin(into - inside) / sin(into + inside)) ** 2
    return (square + (tan(into - inside) / tan(into + inside)) ** 2) / 2


@pytest.mark.cross_check
def test_the_contrast_is_that_of_the_luminances_worked_out_apart():
    channel = part("channels", "mine", face=16)
    polished = {"worktop_finish": "polished", "worktop_percent": 5}
    plan = plan_job(
        kitchen(
            K=polished,
            parts={"channels": [channel]},
            A1={"depth": 327},
            allowances={"front_set_back": 39},
        )
    )
    (light,), (one,) = plan.lights, plan.sights
    (lumens,) = [each for each in light.average.inputs if each.formula_id == "bar lumens"]
    strip = float(lumens.value) / (pi * 0.016)
    top = 0.05 * float(light.average.value) / pi
    image = fresnel(float(one.image.incidence.value)) * strip
    assert float(one.image.contrast.value) == pytest.approx(image / top)
    # 700 lm/m out of 16 mm are 13926 cd/m2, mirrored at 28.68 degrees 574, and a top of 5 % at
    # 500 lx has 7.96.
    assert 700 / (pi * 0.016) == pytest.approx(13926.057521)
    assert fresnel(28.679036) * 13926.057521 == pytest.approx(574.416572, rel=1e-6)


def test_a_duller_finish_leaves_less_and_a_black_top_has_a_bounded_contrast():
    of = {
        finish: float(seen(kitchen(K={"worktop_finish": finish})).image.contrast.value)
        for finish in ("polished", "satin", "matt")
    }
    assert of["polished"] > of["satin"] > of["matt"] > 0
    assert seen(kitchen(K={"worktop_percent": 0})).image.contrast.value == MOST_CONTRAST


# --- From a seat --------------------------------------------------------------------------------


# Similar triangles, from the strip and from the eye: 2.93 mm from 280, 17.446 from 50.
@pytest.mark.cross_check
@pytest.mark.parametrize(("back_edge", "lip"), [(280, 2.93), (50, 17.446)])
def test_a_lip_hides_the_strip_from_a_seat_as_similar_triangles_have_it(back_edge, lip):
    # A face of 2 mm: its middle is 1 mm on. The eye is 2000 from the wall.
    where = {"front_set_back": 320 - back_edge - 2, "back_set_back": 30,
             "seated_away": 2000 - back_edge - 1}  # fmt: skip
    job = kitchen(allowances=where, add=OPEN)
    one = seen(job)
    assert float(one.hiding_lip.value) == pytest.approx(lip, abs=2e-3)
    assert one.in_sight
    over, under = D(str(lip)) + D("0.01"), D(str(lip)) - D("0.01")
    assert not seen(kitchen(allowances=where, add=OPEN, A1={"lip": over})).in_sight
    assert seen(kitchen(allowances=where, add=OPEN, A1={"lip": under})).in_sight


def test_nobody_sits_where_no_side_is_open_and_a_high_eye_sees_no_face_that_looks_down():
    one = seen(kitchen())
    assert (one.sides, one.hiding_lip, one.in_sight) == ((), None, False)
    elsewhere = {**OPEN, "walls": [{"id": "B", "room": "K", "length": 2000}]}
    elsewhere["obstacles"] = [{**OPEN["obstacles"][0], "wall": "B", "at": 0}]
    assert seen(kitchen(add=elsewhere)).sides == ()
    level = {"seated_eye": 1360}
    assert not seen(kitchen(add=OPEN, allowances=level)).in_sight
    assert seen(kitchen(add=OPEN, allowances={"seated_eye": 1359})).in_sight


def test_a_face_that_looks_away_from_the_seat_is_not_in_sight():
    # 8 mm down, at 1392: the way from a slightly higher eye still passes below the underside.
    assert seen(one_bar(add=OPEN, A1={"lip": 0}, allowances={"seated_eye": 1391})).in_sight
    assert not seen(one_bar(add=OPEN, A1={"lip": 0}, allowances={"seated_eye": 1393})).in_sight
    aside = {"channel": "corner-16", "facing": "45 to wall"}
    assert not seen(one_bar(add=OPEN, A1={"lip": 0}, R1=aside)).in_sight
    assert seen(one_bar(add=OPEN, A1={"lip": 0}, R1=aside | {"facing": "45 to room"})).in_sight


def test_a_strip_before_its_shelf_has_no_lip_to_hide_it():
    one = seen(kitchen(add=OPEN, A1={"kind": "shelf", "height": 25}, R1={"line": "edge"}))
    assert (one.hiding_lip, one.in_sight) == (None, True)
    assert one.image.lip is None


# --- Seats beyond an end and behind ---------------------------------------------------------------


def looked_in(where: str, at: int = 3000, **how: Any) -> Seat:
    """What a seat at an open side meets of the one bar."""
    side = obstacle("O1", at, 0, "open side", looked_in=where)
    (one,) = seen(one_bar(add={"obstacles": [side]}, **how)).seats
    return one


@pytest.mark.regression
@pytest.mark.cross_check
def test_from_the_end_a_panel_hides_the_strip_down_to_the_line_to_its_far_end():
    # Lit from 526 to 1376 under a cabinet from 500 to 1383; the eye 1500 beyond its right end.
    one = looked_in("end", at=1500)
    along = (1392 - 1185) * (1383 - 526) / (1383 - 526 + 1500)
    assert float(one.lip.value) == pytest.approx(1400 - (1392 - along), abs=1e-6)
    assert one.in_sight
    other = looked_in("end", at=0)
    along = (1392 - 1185) * (1376 - 500) / (1376 - 500 + 1500)
    assert float(other.lip.value) == pytest.approx(8 + along, abs=1e-6)
    # A rail before it hides nothing from there; sides that come down as far do.
    deep = {"lip": 120, "opening": [847]}
    assert looked_in("end", at=1500, A1=deep).in_sight
    assert not looked_in("end", at=1500, A1={**deep, "underside": "framed"}).in_sight
    assert not looked_in("end", allowances={"seated_eye": 1400}).in_sight


@pytest.mark.regression
@pytest.mark.cross_check
@pytest.mark.parametrize("line", ["front", "middle", "back"])
def test_from_behind_only_a_lip_at_the_back_hides_it(line):
    one = looked_in("behind", R1={"line": line}, A1={"lip": 120})
    plan = planned(R1={"line": line})
    out = float(plan.mounts[0].from_wall.value)
    face = float(next(each for each in plan.parts.channels if each.id == "surface-17").face)
    fall = (1392 - 1185) * (out + face / 2) / (1500 + face / 2)
    assert float(one.lip.value) == pytest.approx(1400 - (1392 - fall), abs=1e-6)
    assert one.in_sight
    across = looked_in("across", R1={"line": line}, A1={"lip": 120})
    assert not across.in_sight


@pytest.mark.regression
def test_a_lip_deeper_than_is_of_use_is_not_offered():
    def told(**how: Any) -> list[Finding]:
        side = obstacle("O1", 1500, 0, "open side", looked_in="end")
        plan = plan_job(one_bar(add={"obstacles": [side]}, **how))
        return [one for one in plan.findings if one.code == "strip-in-sight"]

    (deep,) = told()
    assert "would be 83.3 mm deep, over 60 mm" in deep.says
    assert "panel" not in deep.remedy
    (offered,) = told(allowances={"practical_lip": 90})
    assert offered.remedy == "a panel at that end as deep as that"


def test_an_open_side_far_along_shows_nothing():
    side = obstacle("O1", 9000, 0, "open side")
    job = one_bar(A={"length": 10_000}, add={"obstacles": [side]})
    assert seen(job).seats == ()


# --- What is seen together ----------------------------------------------------------------------


def test_runs_in_one_line_at_one_height_of_a_wall_are_seen_together():
    second = {"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}]}

    def beside(**how: Any) -> list[tuple[str, ...]]:
        job = row(600, 600, **{"R1": {"cabinets": ["A1"]}, "add": second, **how})
        return [each.beside for each in plan_job(job).sights]

    assert beside() == [("R2",), ("R1",)]
    assert beside(A2={"bottom_height": 1401}) == [(), ()]
    assert beside(R1={"cabinets": ["A1"], "line": "back"}) == [(), ()]
    assert all(each.beside == () for each in plan_job(many_bars()).sights)


# --- Any job ------------------------------------------------------------------------------------


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_has_one_row_a_run_with_finite_figures_in_their_ranges(job):
    plan = plan_job(job)
    assert [each.run for each in plan.sights] == [run.id for run in job.runs]
    for one in plan.sights:
        assert all(isfinite(float(each.value)) for each in one.figures)
        assert one.dots is None or 0 <= float(one.dots.value) <= 100
        assert one.hiding_lip is None or float(one.hiding_lip.value) >= 0
        assert not one.in_sight or one.sides
        if one.image:
            assert 0 <= float(one.image.incidence.value) < 90
            contrast = one.image.contrast
            assert contrast is None or 0 <= float(contrast.value) <= MOST_CONTRAST
            assert one.image.lip is None or one.image.lip >= 0
        assert one.run not in one.beside
        for other in one.beside:
            assert one.run in next(each.beside for each in plan.sights if each.run == other)


@pytest.mark.property
@given(st.integers(0, 200), st.integers(1, 50))
def test_a_deeper_lip_never_shows_more(lip, more):
    shallow, deep = (seen(kitchen(add=OPEN, A1={"lip": one})) for one in (lip, lip + more))
    assert shallow.in_sight >= deep.in_sight
    assert shallow.image.sight.seen >= deep.image.sight.seen


def test_looking_again_gives_the_same():
    plan = plan_job(many_bars(1, 4))
    again = look_at_runs(plan.job, plan.parts, plan.fits, plan.mounts, plan.lights)
    assert again == plan.sights

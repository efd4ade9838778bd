"""What the bench is told of each bar, against the trade's rules and against other ways to it."""

from decimal import Decimal
from itertools import pairwise
from math import ceil

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job, one_bar, part, row, survey
from strategies import jobs

from pelmet.model.job.job import Job
from pelmet.model.plan.mounting.bench import BenchWork
from pelmet.model.plan.stages import plan_job

D = Decimal


def bench(job: Job) -> tuple[BenchWork, ...]:
    return plan_job(job).bench


def ready(**how) -> BenchWork:
    (one,) = bench(one_bar(**how))
    return one


def bar_of(length: float, **how) -> BenchWork:
    """One bar of this length: 8 mm go to caps and clearance."""
    opening = D(str(length)) + 8
    cabinet = {"width": opening, "opening": [opening]} | how.pop("A1", {})
    return ready(A1=cabinet, A={"length": 20_000}, **how)


def channel(**changes) -> dict:
    parts = {"channels": [part("channels", "mine", **changes)]}
    return {"R1": {"channel": "mine"}, "parts": parts}


def corner(joint: str, pieces: int = 1, **allowances) -> Job:
    """Two flush cabinets that meet in a square corner, one run under both."""
    second = {"id": "B1", "wall": "B", "at": 0, "width": 900, "depth": 320, "bottom_height": 1400}
    return one_bar(
        A={"length": 1383},
        A1={"opening": ()},
        R1={"cabinets": ["A1", "B1"], "corner": joint, "pieces": pieces},
        allowances=allowances,
        add={"walls": [{"id": "B", "room": "K", "length": 3000}], "cabinets": [second]},
    )


# --- Weight, people, tape -------------------------------------------------------------------------


@pytest.mark.published
def test_a_bar_of_2_m_and_0_8_kg_needs_44_cm2_of_tape():
    # Common practice: 55 cm2 of foam tape a kilogram hung.
    how = channel(kilograms_per_metre=D("0.4"))
    how["R1"]["fixing"] = "tape"
    one = bar_of(2000, **how)
    assert one.weight.value == D("0.8")
    assert one.tape_needed.value == 44
    # Common practice: the tape is 60 % of the base, 20 mm here.
    assert one.tape_area.value == 2000 * 12 / 100


@pytest.mark.published
@pytest.mark.parametrize(("length", "people"), [(875, 1), (2000, 1), (2000.1, 2), (3000, 2)])
def test_a_bar_of_more_than_2_m_takes_two_people(length, people):
    # Common practice: up to 2 m one person, 2 to 3 m two.
    assert bar_of(length).people.value == people


def test_when_two_people_are_wanted_can_be_said():
    assert ready(allowances={"two_people_over": 875}).people.value == 1
    assert ready(allowances={"two_people_over": 874}).people.value == 2


def test_a_figure_its_fixing_has_no_use_for_is_not_there():
    def has(**run) -> list[bool]:
        one = ready(R1=run)
        kinds = (one.screw_left, one.tape_needed, one.tape_area, one.groove_left)
        return [figure is not None for figure in kinds]

    assert has(fixing="clips") == has(fixing="screws") == [True, False, False, False]
    assert has(fixing="tape") == [False, True, True, False]
    assert has(fixing="groove") == [False, False, False, True]
    assert has(fixing="clips", line="edge") == has(fixing="groove", line="edge") == [False] * 4


# --- Clips and screws -----------------------------------------------------------------------------


@pytest.mark.published
@pytest.mark.parametrize(
    ("length", "facing", "spacing"),
    [(875, "down", 400), (950, "down", 400), (951, "down", 400), (2990, "45 to wall", 300)],
)
def test_as_many_clips_as_the_rule_says(length, facing, spacing):
    # Common practice: max(2, ceil((length - 2 end distance) / spacing) + 1), the ends at 75; every
    # 400, and 300 where a bar throws at an angle.
    places = bar_of(length, R1={"facing": facing}).fixings
    assert len(places) == max(2, ceil((length - 150) / spacing) + 1)
    assert (places[0], places[-1]) == (75, length - 75)
    assert max(right - left for left, right in pairwise(places)) <= spacing
    assert all(place == round(place) for place in places)


def test_the_allowances_say_where_clips_go():
    how = {"clip_end": 50, "clip_spacing": 190, "angled_clip_spacing": 100}
    assert ready(allowances=how).fixings == (50, 205, 360, 515, 670, 825)  # steps of 155
    angled = ready(allowances=how, R1={"facing": "30 to room"}).fixings
    assert len(angled) == ceil(D(775) / 100) + 1


def test_tape_has_a_clip_at_each_end_and_a_groove_none():
    assert ready(R1={"fixing": "screws"}).fixings == (75, 438, 800)
    assert ready(R1={"fixing": "tape"}).fixings == (75, 800)
    assert ready(R1={"fixing": "groove"}).fixings == ()
    assert len(bar_of(2900, R1={"fixing": "tape"}).fixings) == 2


def test_a_clip_keeps_off_where_cabinets_meet():
    # The bar starts at 504: its middle, 438 along it, is at 942.
    flush = {"underside": "flush", "at": 500}
    (clear,) = bench(row(600, 283, **flush))
    (close,) = bench(row(435, 448, **flush))
    assert clear.fixings == (75, 438, 800)
    joint = 500 + 435 - 504
    assert close.fixings == (75, joint + 21, 800)


@pytest.mark.property
@examples(50)
@given(
    widths=st.lists(st.integers(150, 1500), min_size=1, max_size=4),
    fixing=st.sampled_from(["clips", "screws", "tape"]),
    keep_off=st.decimals(0, 60, places=1),
    spacing=st.integers(150, 600),
    stock=st.integers(700, 3000),
)
def test_clips_keep_off_every_joint_and_stand_near_enough(widths, fixing, keep_off, spacing, stock):
    job = row(
        *widths,
        underside="flush",
        R1={"fixing": fixing, "channel": "mine", "over_length": "splice"},
        parts={"channels": [part("channels", "mine", stock=[stock])]},
        allowances={"joint_keep_off": keep_off, "clip_spacing": spacing},
    )
    for one in bench(job):
        bar = one.bar
        ends = [500 + sum(widths[:row]) - bar.left for row in range(1, len(widths))]
        joints = [*ends, *bar.splices]
        for place in one.fixings:
            assert 0 <= place <= bar.length.value
            assert all(abs(place - joint) >= keep_off for joint in joints)
        if fixing != "tape":
            assert len(one.fixings) >= 2 or bar.length.value < 300
            for left, right in pairwise(one.fixings):
                bridged = sum(left < joint < right for joint in joints)
                assert right - left <= max(spacing, bridged * (2 * keep_off + 2))


@pytest.mark.parametrize(
    ("panels", "screw", "left"),
    [((16, 16), 12, 5), ((16, 13), 12, 2), ((16, 8), 12, -3), ((16, 16), 20, 4)],
)
def test_a_screw_goes_into_the_thinner_panel(panels, screw, left):
    first, second = ({"bottom_panel": panel} for panel in panels)
    allowances = {"screw_length": screw}  # none of the catalogue is longer than 13
    (one,) = bench(row(600, 600, underside="flush", A1=first, A2=second, allowances=allowances))
    # Common practice: a screw of 12 mm in 16 mm board, 1 mm of it in the clip.
    assert one.screw_left.value == left
    assert one.screw_left.inputs[0].about == ("A1" if panels[0] <= panels[1] else "A2")


def test_a_groove_leaves_what_the_channel_does_not_take():
    assert ready(R1={"fixing": "groove"}).groove_left.value == 16 - 8


# --- The reel -------------------------------------------------------------------------------------


def starts(units: int, unit: int, every: int, splices: list[float], keep_off: int) -> list[int]:
    """Try each start on a reel with marked joints, mark by mark."""
    reel = [at % every == 0 for at in range(4 * (units * unit + every))]
    good = []
    for skip in range(every // unit):
        first, last = skip * unit, skip * unit + units * unit
        around = [
            at
            for end in (first, last)
            for at in range(max(end - keep_off + 1, 0), end + keep_off)
            if reel[at]
        ]
        inside = [at - first for at in range(first, last) if reel[at]]
        near = [at for at in inside for splice in splices if abs(at - splice) < keep_off]
        if not around and not near:
            good.append(skip)
    return good


@pytest.mark.cross_check
@examples(50)
@given(
    st.integers(400, 2900),
    st.sampled_from([10, 25, 50, 100]),
    st.integers(1, 12),
    st.integers(1, 60),
    st.integers(500, 1500),
)
def test_where_to_start_on_a_reel_is_found_by_trying(length, unit, times, keep_off, stock):
    every = unit * times
    one = bar_of(
        length,
        R1={"strip": "mine", "channel": "mine", "over_length": "splice"},
        parts={
            "strips": [part("strips", "mine", cut_unit=unit, factory_joint_every=every)],
            "channels": [part("channels", "mine", stock=[stock])],
        },
        allowances={"joint_keep_off": keep_off},
    )
    splices = [float(at - (one.bar.lit_left - one.bar.left)) for at in one.bar.splices]
    good = starts(int(one.bar.units.value), unit, every, splices, keep_off)
    assert not one.off_marks
    assert (one.reel.skip_units if one.reel else None) == next(iter(good), None)


def test_a_reel_whose_joints_are_on_no_mark_is_said_to_be_so():
    strips = [part("strips", "mine", factory_joint_every=499)]
    one = ready(R1={"strip": "mine"}, parts={"strips": strips})
    assert (one.reel, one.off_marks) == (None, True)
    without = ready(R1={"strip": "mine"}, parts={"strips": [part("strips", "mine")]})
    assert (without.reel.skip_units, without.reel.joints, without.off_marks) == (0, (), False)


def test_a_strip_of_countless_units_is_not_tried_for_ever():
    tiny = part("strips", "mine", cut_unit=D("0.000001"), factory_joint_every=D("0.00001") + 10)
    one = ready(R1={"strip": "mine"}, parts={"strips": [tiny]}, allowances={"joint_keep_off": 1000})
    assert (one.reel, one.off_marks) == (None, False)
    crowd = {"clip_spacing": 1, "joint_keep_off": D("0.1"), "longest_bar": 100}
    assert bar_of(2900, R1={"over_length": "splice"}, allowances=crowd).fixings == ()


# --- The diffuser of a spliced bar ----------------------------------------------------------------


def test_a_diffuser_is_joined_past_each_joint_of_its_channel():
    splice = {"R1": {"over_length": "splice"}}
    assert ready(**splice).diffuser_joints == ()
    long = bar_of(5000, **splice, allowances={"longest_bar": 2000})
    assert long.bar.splices == (1667, 3333)
    # Common practice: at least 150 mm past a joint between two channels.
    assert long.diffuser_joints == (1667 + 150, 3333 + 150)
    short = bar_of(400, **splice, allowances={"longest_bar": 140})
    assert short.bar.splices == (133, 267)
    assert short.diffuser_joints == (267 - 150, 133 + 150)  # no room to the right of the last


# --- All figures, all jobs ------------------------------------------------------------------------


def test_every_figure_of_the_bench_is_about_its_bar():
    for fixing in ("clips", "tape", "groove"):
        for one in bench(one_bar(R1={"fixing": fixing})):
            assert {figure.about for figure in one.figures} == {one.bar.id}


def test_a_panel_that_nobody_measured_leaves_its_mark():
    assert ready(A1={"assumed": ["bottom_panel"]}).screw_left.assumed
    assert not ready().screw_left.assumed


def test_an_unchanged_run_is_not_prepared_anew():
    before = bench(row(600, 600, add={"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}]}))
    after = bench(
        row(
            600, 600, R1={"pieces": 2},
            add={"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}]},
        )
    )  # fmt: skip
    assert before[-1] is after[-1]
    assert before[0] is not after[0]


@pytest.mark.property
@QUICK
@given(any_job() | jobs() | survey())
def test_every_bar_of_any_job_is_prepared(job):
    plan = plan_job(job)
    assert [one.bar for one in plan.bench] == list(plan.bars)
    for one in plan.bench:
        length = one.bar.length.value
        assert one.weight.value > 0
        assert one.with_caps.value >= length
        assert one.clearance_needed.value >= 0
        assert one.diffuser is None or 0 <= one.diffuser.value <= length
        assert all(-1 < place < length + 1 for place in one.fixings)
        assert list(one.fixings) == sorted(one.fixings)
        assert all(0 < at < length + 1000 for at in one.diffuser_joints)
        assert one.way.way != "as two" or one.way.spare < 0

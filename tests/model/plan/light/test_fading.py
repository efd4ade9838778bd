"""Light along bars and from bar to bar: shares, means, losses and steps, worked out again."""

from decimal import Decimal
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from jobs import ALIKE, QUICK, Fields, Tables, any_job, many_bars, part, row
from scipy.integrate import quad
from strip_laws import current

from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.dc.network import volts_along
from pelmet.model.plan.light.fading import BarLight, Fadings, neighbours
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.data.documents import show_data
from pelmet.model.told.figures import figures_of

D = Decimal

LIMITED = part("strips", "mine", watts_per_metre=20, ohms_per_metre=D("0.3"))
REGULATED = part("strips", "mine", kind="current-regulated", watts_per_metre=20, led_volts=18,
                 dropout_volts=22, ohms_per_metre=D("0.3"))  # fmt: skip
CONVERTER = part("strips", "mine", kind="constant power", watts_per_metre=20, led_volts=None,
                 dropout_volts=12, ohms_per_metre=D("0.3"))  # fmt: skip
STRIPS = {"limited": LIMITED, "regulated": REGULATED, "constant power": CONVERTER}
strips = pytest.mark.parametrize("strip", STRIPS.values(), ids=STRIPS.keys())
feeds = pytest.mark.parametrize("feed_end", ["left", "right", "both", "middle"])


def long_bar(strip: Fields, feed_end: str = "left", lead: float = 6000) -> Job:
    """Make one bar of 2700 mm on a lead of some length."""
    return row(
        2760,
        R1={"strip": "mine", "feed_end": feed_end},
        L1={"length": lead},
        parts={"strips": [strip]},
        A1={"opening": [2730]},
        allowances=ALIKE,
    )


def fadings(job: Job) -> Fadings:
    return plan_job(job).fadings


def lights(job: Job) -> dict[str, BarLight]:
    return {light.bar: light for light in fadings(job).bars}


def share(strip: Fields, volts: float) -> float:
    """Give the light at some volts in percent, straight from the data sheet."""
    rated = float(strip["volts"])
    if strip["kind"] == "resistor-limited":
        led = float(strip["led_volts"])
        return max(100 * (volts - led) / (rated - led), 0)
    if strip["kind"] == "constant power":
        return 100
    led, knee = float(strip["led_volts"]), float(strip["dropout_volts"])
    return 100 * min(max((volts - led) / (knee - led), 0), 1)


@pytest.mark.cross_check
@strips
@feeds
@pytest.mark.parametrize("lead", [1000, 20_000])
def test_light_follows_the_current_that_the_data_sheet_gives(strip, feed_end, lead):
    job = long_bar(strip, feed_end, lead)
    (volts,) = plan_job(job).circuits.legs[0].bars
    light = lights(job)["R1.1"]
    for figure, at in ((light.left, volts.left), (light.right, volts.right),
                       (light.faintest, volts.lowest)):  # fmt: skip
        assert float(figure.value) == pytest.approx(share(strip, float(at.value)))
    assert (light.middle is None) == (feed_end != "middle")
    if light.middle and volts.middle:
        assert float(light.middle.value) == pytest.approx(share(strip, float(volts.middle.value)))


@pytest.mark.cross_check
@strips
@feeds
@pytest.mark.parametrize("lead", [1000, 20_000])
def test_the_mean_light_is_the_integral_along_the_bar(strip, feed_end, lead):
    """Its closed form is what the bar draws; here it is added up along the volts instead."""
    job = long_bar(strip, feed_end, lead)
    (leg,) = plan_job(job).circuits.legs
    network, solution = leg.operating_point
    total = length = 0.0
    for stretch in network.elements.strips:
        flow, law = solution.strips[stretch.id], stretch.law

        def per_metre(metres, stretch=stretch, flow=flow, law=law):
            if law.kind == "constant-power":
                return 1.0
            return float(current(law, volts_along(stretch, flow, metres)) / law.amps_per_metre)

        if flow.tap_volts:  # solved unit by unit, each unit as bright as its middle
            each = stretch.metres / len(flow.tap_volts)
            places = each * (np.arange(len(flow.tap_volts)) + 0.5)
            total += each * sum(per_metre(place) for place in places)
        else:
            total += quad(per_metre, 0, stretch.metres, epsabs=1e-10)[0]
        length += stretch.metres
    assert length == pytest.approx(2.7)
    assert float(lights(job)["R1.1"].mean.value) == pytest.approx(100 * total / length, abs=1e-6)


def test_the_bars_of_the_cross_checks_fade_or_do_not_as_their_kind_should():
    lost = {name: lights(long_bar(strip, lead=20_000))["R1.1"] for name, strip in STRIPS.items()}
    assert float(lost["limited"].lost.value) > 5
    assert 0 < float(lost["regulated"].lost.value) < 50  # below its drop-out
    assert lost["constant power"].lost.value == 0
    assert lights(long_bar(REGULATED, lead=1000))["R1.1"].lost.value == 0


@feeds
def test_lost_is_from_the_brightest_point_to_the_faintest(feed_end):
    light = lights(long_bar(LIMITED, feed_end))["R1.1"]
    ends = [float(light.left.value), float(light.right.value)]
    fed = {"left": ends[0], "right": ends[1], "both": max(ends)}
    brightest = fed.get(feed_end) or float(light.middle.value)
    faintest = float(light.faintest.value)
    assert brightest > faintest
    assert float(light.lost.value) == pytest.approx(100 * (1 - faintest / brightest))
    if feed_end == "both":
        assert faintest < min(ends)
    else:
        assert faintest == pytest.approx(min(ends))


@pytest.mark.property
def test_a_bar_fed_at_both_ends_loses_less_than_one_fed_at_one_and_a_middle_one_least():
    one, both, middle = (
        float(lights(long_bar(LIMITED, end))["R1.1"].lost.value)
        for end in ("left", "both", "middle")
    )
    assert one > both
    assert one > middle
    # Of a uniform load a quarter of the drop is left when it is fed in its middle.
    assert middle / one == pytest.approx(1 / 4, rel=0.1)


def test_a_bar_that_is_all_but_dark_has_its_figures_too():
    steep = part("strips", "mine", kind="current-regulated", led_volts=20, dropout_volts=23,
                 watts_per_metre=100, ohms_per_metre=10)  # fmt: skip
    job = long_bar(steep, lead=100_000)
    light = lights(job)["R1.1"]
    assert 0 <= float(light.faintest.value) < 1
    assert float(light.lost.value) > 90


def test_a_run_that_two_legs_feed_has_each_of_its_bars_once():
    job = row(
        900,
        900,
        R1={"feed_end": "both", "far_leg": "L2"},
        add={"legs": [{"id": "L2", "supply": "S1"}]},
    )
    assert [light.bar for light in fadings(job).bars] == ["R1.1", "R1.2"]


@pytest.mark.property
@QUICK
@given(any_job())
def test_of_any_job_shares_lie_between_nothing_and_all(job):
    found = fadings(job)
    for light in found.bars:
        most = max(float(each.value) for each in (light.left, light.right, light.middle) if each)
        least = float(light.faintest.value)
        assert 0 <= least <= most + 1e-9
        assert most <= 100 + 1e-9
        assert least - 1e-6 <= float(light.mean.value) <= most + 1e-6
        assert 0 <= float(light.lost.value) <= 100
    assert all(0 <= float(step.step.value) <= 100 for step in found.steps)


def test_the_figures_of_a_bar_its_run_and_its_leg_hold_its_light():
    plan = plan_job(row(600, 600))
    light = ["light at left", "light at right", "mean light", "light lost"]
    for about, wanted in (("R1.1", light), ("R1", 2 * light), ("L1", ["light lost"] * 2)):
        names = [figure.name for figure in figures_of(plan, about)]
        assert [name for name in names if "light" in name and name in light] == wanted
        assert names.count("light step") == 1
    assert "light lost" not in [figure.name for figure in figures_of(plan, "S1")]


def test_the_document_has_what_every_bar_loses_and_every_step():
    plan = plan_job(row(600, 600))
    shown = show_data(plan)
    for one, other in zip(shown["bars"], plan.fadings.bars, strict=True):
        assert one["light_loss_percent"] == other.lost.value
    volts = {bar.bar: bar for leg in plan.circuits.legs for bar in leg.bars}
    for one in shown["bars"]:
        own = volts[one["id"]]
        assert [one[f"{side}_volts"] for side in ("left", "right", "lowest")] == [
            figure.value for figure in (own.left, own.right, own.lowest)
        ]
    (step,) = plan.fadings.steps
    assert shown["steps"] == [
        {"from_bar": "R1.1", "to_bar": "R1.2", "step_percent": step.step.value}
    ]


# --- Steps ---------------------------------------------------------------------------------------

# Two runs under two cabinets side by side, 36 mm of stiles between their bars, a leg each.
APART: Tables = {
    "legs": [{"id": "L2", "supply": "S1"}],
    "runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L2"}],
}


def two_runs(**how: Fields) -> Job:
    return row(600, 600, R1={"cabinets": ["A1"]}, add=APART, **how)


def stepped(job: Job) -> dict[tuple[str, str], float]:
    return {(step.left_bar, step.right_bar): float(step.step.value) for step in fadings(job).steps}


@pytest.mark.cross_check
def test_a_step_is_the_difference_of_lumens_at_the_facing_ends():
    other = part("strips", "other", lumens_per_metre=700, led_volts=15)
    job = two_runs(
        L2={"length": 20_000},
        R2={"strip": "other", "diffuser": "clear-17"},
        parts={"strips": [other], "diffusers": [part("diffusers", "clear-17",
                                                     transmission_percent=90)]},
        allowances=ALIKE,
    )  # fmt: skip
    plan = plan_job(job)
    volts = {bar.bar: bar for leg in plan.circuits.legs for bar in leg.bars}
    sheets = {strip.id: strip for strip in plan.parts.strips}
    through = {each.id: float(each.transmission_percent) for each in plan.parts.diffusers}

    def lumens(strip, diffuser, at):
        led, rated = float(sheets[strip].led_volts), float(sheets[strip].volts)
        share = (float(at.value) - led) / (rated - led)
        return share * float(sheets[strip].lumens_per_metre) * through[diffuser] / 100

    one = lumens("white-24-10", "opal-17", volts["R1.1"].right)
    two = lumens("other", "clear-17", volts["R2.1"].left)
    step = 100 * abs(one - two) / max(one, two)
    assert stepped(job) == {("R1.1", "R2.1"): pytest.approx(step)}
    assert step > 1


def test_bars_of_one_run_step_from_bar_to_bar_and_alike_runs_hardly():
    job = many_bars(1, 10)
    found = stepped(job)
    own = [f"K1AR.{number}" for number in range(1, 6)]
    other = [f"K1BR.{number}" for number in range(1, 6)]
    assert [*found] == [*pairwise(own), *pairwise(other)]  # none round the corner
    assert all(0 < step < 1 for step in found.values())


@pytest.mark.parametrize(
    ("how", "seen"),
    [
        ({}, True),
        ({"A2": {"at": 2056}}, True),  # 22 from cabinet side to bar, on both sides: 1000 between
        ({"A2": {"at": D("2056.1")}}, False),
        ({"A2": {"bottom_height": 1401}}, True),
        ({"A2": {"bottom_height": D("1401.1")}}, False),
        ({"A2": {"depth": 321}}, True),
        ({"A2": {"depth": D("321.1")}}, False),
        ({"R2": {"line": "back"}}, False),
        ({"R2": {"leg": None}}, False),
        ({"R2": {"strip": "no-such-strip"}}, False),
        ({"R2": {"diffuser": "no-such-diffuser"}}, False),
    ],
    ids=str,
)
def test_two_runs_are_one_line_when_they_hang_level_and_near(how, seen):
    assert (("R1.1", "R2.1") in stepped(two_runs(**how))) == seen


def test_two_runs_on_two_walls_are_not_one_line():
    extra = {**APART, "walls": [{"id": "B", "room": "K", "length": 3000}]}
    job = row(600, 600, R1={"cabinets": ["A1"]}, add=extra, A2={"wall": "B"})
    assert len(plan_job(job).fadings.bars) == 2
    assert stepped(job) == {}


def test_of_three_runs_in_a_row_only_neighbours_meet():
    third = {"id": "R3", "cabinets": ["A3"], "leg": "L2"}
    extra = {**APART, "runs": [*APART["runs"], third]}
    job = row(600, 600, 600, R1={"cabinets": ["A1"]}, add=extra)
    assert [*stepped(job)] == [("R1.1", "R2.1"), ("R2.1", "R3.1")]


def test_runs_in_two_lines_under_the_same_cabinets_do_not_hide_each_other():
    back = [
        {"id": f"R{number + 2}", "cabinets": [f"A{number}"], "leg": "L2", "line": "back"}
        for number in (1, 2)
    ]
    extra = {**APART, "runs": [*APART["runs"], *back]}
    job = row(600, 600, R1={"cabinets": ["A1"]}, add=extra)
    assert [*stepped(job)] == [("R1.1", "R2.1"), ("R3.1", "R4.1")]


def test_a_bar_on_an_upright_does_not_meet_one_that_hangs():
    """Though its middle is as high as the other's light, and its start, up, is beyond its end."""
    upright = {"id": "U1", "wall": "A", "at": 3000, "width": 25, "kind": "upright", "depth": 320,
               "height": 620, "bottom_height": 1082}  # fmt: skip
    run = {"id": "R2", "cabinets": ["U1"], "leg": "L1"}
    job = row(600, add={"cabinets": [upright], "runs": [run]}, A1={"at": 300})
    plan = plan_job(job)
    level, standing = plan.bars
    hung = {mount.bar: mount for mount in plan.mounts}
    assert hung[standing.id].height.value == hung[level.id].height.value
    assert hung[standing.id].from_wall.value == hung[level.id].from_wall.value
    assert 0 < standing.left - level.right < 1000
    assert [*neighbours(plan.fits, hung)] == []


def test_bars_on_two_uprights_do_not_meet():
    plan = plan_job(
        row(
            25,
            25,
            gap=600,
            A1={"kind": "upright", "height": 2000, "bottom_height": 100},
            A2={"kind": "upright", "height": 2000, "bottom_height": 100},
        )
    )
    assert len(plan.bars) == 2
    hung = {mount.bar: mount for mount in plan.mounts}
    assert [*neighbours(plan.fits, hung)] == []

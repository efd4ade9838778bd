"""Expected readings: against a boundary-value solve of the same strip, by hand, and in order."""

from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from fed_rooms import fed_backwards
from hypothesis import given
from jobs import QUICK, Fields, Tables, any_job, many_bars, one_bar, part, row
from scipy.integrate import solve_bvp

from pelmet.model.examples import read_example
from pelmet.model.job.allowances import Allowances
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Strip
from pelmet.model.plan.circuit.dc.law import amperes
from pelmet.model.plan.circuit.leg_network import law_of
from pelmet.model.plan.circuit.legs import feed_legs
from pelmet.model.plan.circuit.readings import Band, Reading, just_on
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.data.documents import show_data
from pelmet.model.told.figures import figures_of

D = Decimal
COPPER = 0.00393  # per kelvin from 20 C, of annealed copper (IACS)
NO_HEAT = {"hot_conductor": 20, "hot_strip": 20, "led_millivolts_per_kelvin": 0}


def readings(job: Job) -> dict[str, Reading]:
    found = plan_job(job).readings()
    assert len({one.point for one in found}) == len(found)
    return {one.point: one for one in found}


def values(band: Band) -> list[float]:
    return [float(figure.value) for figure in band]


def five_metres(lead_ohms: float = 0.1, **allowances: Any) -> Job:
    """Make 5 m of 12 V strip, Vf 9 V, 9.6 W/m, rails of 0.06 ohm/m, on a lead of some ohms.

    The lead is 0.75 mm2 of class 5, 26 ohm/km a core (IEC 60228), its joints without ohms.
    """
    length = D(str(round(lead_ohms / 2 / 0.026 * 1000, 6)))
    strip = part("strips", "mine", volts=12, led_volts=9, watts_per_metre=D("9.6"),
                 ohms_per_metre=D("0.06"), leds_in_series=3, reel=10_000)  # fmt: skip
    return row(
        5060,
        A1={"opening": [5030]},
        R1={"strip": "mine"},
        S1={"part": "supply-12-60"},
        L1={"length": length},
        parts={"strips": [strip], "channels": [part("channels", "surface-17", stock=[6000])],
               "connectors": [part("connectors", "lever-2")]},
        allowances={"longest_bar": 6000, **allowances},
    )  # fmt: skip


def boundary_value(
    lead: float, led: float, rails: float, metres: float = 5.0
) -> tuple[float, float, float]:
    """Solve V'' = r g (V - Vf) with the lead at one end and no current at the other, by SciPy."""
    siemens = 0.8 / 3

    def along(_: Any, y: Any) -> Any:  # volts, and amps towards the far end
        return np.vstack([-rails * y[1], -siemens * (y[0] - led)])

    def ends(near: Any, far: Any) -> Any:
        return np.array([near[0] + lead * near[1] - 12, far[1]])

    x = np.linspace(0, metres, 200)
    found = solve_bvp(along, ends, x, np.vstack([np.full(200, 11.5), np.full(200, 2.0)]), tol=1e-10)
    assert found.success
    return float(found.y[0, 0]), float(found.y[0, -1]), float(found.y[1, 0])


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("lead", "start", "amps", "end"),
    [
        # Closed form of the linear strip, V = Vf + u, u'' = r g u; derived, and by SciPy here.
        (0.1, 11.683354, 3.166457, 11.223609),
        (0.4, 11.038023, 2.404943, 10.688844),
    ],
)
def test_a_healthy_strip_reads_as_its_closed_form_says(lead, start, amps, end):
    job = five_metres(lead, **NO_HEAT)
    assert plan_job(job).bars[0].lit.value == 5000
    found = readings(job)
    for when in ("cold", "hot"):
        near, far, current = (
            float(getattr(found[point], when).expected.value)
            for point in ("R1.1 left", "R1.1 right", "L1 amps")
        )
        assert (near, far, current) == pytest.approx((start, end, amps), abs=2e-6)
        assert (near, far, current) == pytest.approx(boundary_value(lead, 9, 0.06), abs=1e-6)


@pytest.mark.cross_check
def test_hot_copper_has_more_ohms_and_hot_leds_need_fewer_volts():
    found = readings(five_metres(hot_conductor=45, hot_strip=60, led_millivolts_per_kelvin=4))
    lead, rails = 0.1 * (1 + COPPER * 25), 0.06 * (1 + COPPER * 40)
    led = 9 - 3 * 0.004 * (60 - 25)  # three in series, rated at 25 C
    hot = [values(found[point].hot)[1] for point in ("R1.1 left", "R1.1 right", "L1 amps")]
    assert hot == pytest.approx(boundary_value(lead, led, rails), abs=1e-6)
    cold_led = 9 - 3 * 0.004 * (20 - 25)
    cold = [values(found[point].cold)[1] for point in ("R1.1 left", "R1.1 right", "L1 amps")]
    assert cold == pytest.approx(boundary_value(0.1, cold_led, 0.06), abs=1e-6)


@pytest.mark.published
def test_an_led_of_three_volts_needs_a_tenth_less_when_a_hundred_kelvin_warmer():
    """Khanna, LED thermal chapter, abstract: 3.0 V at 25 C is 2.7 V at 125 C, at -3 mV/K.

    So 0.90 W becomes 0.81 W at 0.3 A, as it is printed there.
    """
    said: Fields = part("strips", "mine", volts=5, led_volts=3, leds_in_series=1)
    strip = Strip.model_validate(said)
    at_rating, warm = (law_of(strip, Allowances(), celsius) for celsius in (25, 125))
    assert at_rating.led_volts == pytest.approx(3.0)
    assert warm.led_volts == pytest.approx(2.7)
    assert warm.led_volts * 0.3 == pytest.approx(0.81)
    assert amperes(warm, 4.7) == pytest.approx(amperes(at_rating, 5.0))


# --- What counts as right -------------------------------------------------------------------------


def test_volts_are_right_within_a_share_of_the_rated_volts_and_amps_of_themselves():
    found = readings(five_metres(volts_band=3, amps_band=20))
    for point in ("S1 unloaded", "S1 loaded", "L1.1", "R1.1 left", "R1.1 right"):
        for band in (found[point].cold, found[point].hot):
            least, expected, most = values(band)
            assert (least, most) == pytest.approx((expected - 0.36, expected + 0.36))
    for band in (found["L1 amps"].cold, found["L1 amps"].hot):
        least, expected, most = values(band)
        assert (least, most) == pytest.approx((0.8 * expected, 1.2 * expected))


def test_a_supply_reads_its_rated_volts_with_its_legs_and_without():
    found = readings(five_metres())
    for state in ("unloaded", "loaded"):
        reading = found[f"S1 {state}"]
        assert values(reading.cold) == values(reading.hot) == pytest.approx([11.76, 12, 12.24])
        assert (reading.leg, reading.about) == (None, "S1")


def test_every_figure_of_a_band_says_where_it_comes_from():
    (reading, *_) = [one for one in readings(five_metres()).values() if one.unit == "A"]
    for when, band in (("cold", reading.cold), ("hot", reading.hot)):
        assert [figure.name for figure in band] == [f"{n} {when}" for n in ("least", "expected",
                                                                            "most")]  # fmt: skip
        assert {figure.about for figure in band} == {"L1 amps"}
        for limit in (band.least, band.most):
            assert limit.formula_id == "amps band"
            assert limit.inputs[0] == band.expected
        assert band.expected.inputs


def test_cold_is_at_the_temperature_of_fitting():
    allowances = Allowances(fitting_celsius=D(12))
    assert just_on(allowances).copper == just_on(allowances).strip == 12


def test_cold_and_hot_leave_the_planned_volts_as_they_are():
    job = five_metres(conductor_temperature=70)
    plan = plan_job(job)
    before = [bar.end.value for leg in plan.circuits.legs for bar in leg.bars]
    found = readings(job)
    after = [bar.end.value for leg in plan.circuits.legs for bar in leg.bars]
    assert before == after
    assert values(found["R1.1 right"].cold)[1] != pytest.approx(float(before[0]), abs=1e-3)


def test_the_figures_of_a_thing_hold_what_it_should_read():
    plan = plan_job(row(600, 600))
    for about, points in (
        ("S1", {"S1 unloaded", "S1 loaded"}),
        ("R1.1", {"R1.1 left", "R1.1 right"}),
        ("R1", {"R1.1 left", "R1.1 right", "R1.2 left", "R1.2 right"}),
        ("L1.1", {"L1.1"}),
        ("L1", {"L1.1", "L1 amps"}),
        ("A1", set()),
    ):
        found = [figure for figure in figures_of(plan, about) if figure.name.startswith("expected")]
        assert {figure.about for figure in found} == points
        assert len(found) == 2 * len(points)


def test_the_document_has_every_reading_with_its_bands():
    plan = plan_job(row(600, 600))
    rows = show_data(plan)["readings"]
    assert [one["point"] for one in rows] == [one.point for one in plan.readings()]
    for one, reading in zip(rows, plan.readings(), strict=True):
        assert (one["unit"], one["leg"], one["about"]) == (reading.unit, reading.leg, reading.about)
        assert one["what"] == {"V": "volts", "A": "amps"}[reading.unit]
        for when in ("cold", "hot"):
            band = [one[when][name] for name in ("least", "expected", "most")]
            assert band == values(getattr(reading, when))


# --- Which points, in which order -----------------------------------------------------------------


def test_points_come_in_the_order_a_person_measures():
    found = readings(read_example("kitchen"))
    assert [*found] == [
        "S1 unloaded", "S1 loaded",
        "L1.1", "R1.1 right", "R1.1 left", "L1 amps",
        "L2.1", "R2.1 left", "R2.1 right", "R2.2 left", "R2.2 right", "L2 amps",
        "L3.1", "L3.2", "L3.3", "R3.1 left", "R3.1 right", "R4.1 left", "R4.1 right", "L3 amps",
    ]  # fmt: skip
    assert found["R1.1 right"].where == "start, right"
    assert found["R1.1 left"].where == "end, left"
    cables = {cable.id: cable for cable in plan_job(read_example("kitchen")).routes.leads}
    for own, cable in cables.items():
        assert found[own].where == f"end of {cable.origin} > {cable.end}"
        assert cable.label == f"{own} {cable.origin} > {cable.end}"


def test_the_bars_of_a_run_fed_from_the_right_come_from_the_right():
    found = readings(row(600, 600, R1={"feed_end": "right"}))
    bars = [point for point in found if point.startswith("R1")]
    assert bars == ["R1.2 right", "R1.2 left", "R1.1 right", "R1.1 left"]


def test_the_volts_fall_from_point_to_point_along_one_leg():
    found = readings(row(600, 600, 600))
    points = [one for one in found.values() if one.unit == "V" and one.leg == "L1"]
    cold = [values(one.cold)[1] for one in points]
    assert cold == sorted(cold, reverse=True)
    assert cold[0] < 24


@pytest.mark.cross_check
def test_a_bar_fed_at_both_ends_is_measured_where_it_is_lowest_too():
    strip = part("strips", "mine", watts_per_metre=20, ohms_per_metre=D("0.3"))
    job = row(2760, R1={"strip": "mine", "feed_end": "both"}, A1={"opening": [2730]},
              parts={"strips": [strip]})  # fmt: skip
    found = readings(job)
    lowest = found["R1.1 lowest"]
    assert lowest.along is not None
    # Between its ends V'' = r g (V - Vf): the lowest point of that curve, by SciPy.
    left, right = (values(found[f"R1.1 {side}"].cold)[1] for side in ("left", "right"))
    siemens, led = 20 / 24 / (24 - 18), 18 + 6 * 0.003 * 5  # six in series, at 20 C

    def along(_: Any, y: Any) -> Any:
        return np.vstack([y[1], 0.3 * siemens * (y[0] - led)])

    def ends(near: Any, far: Any) -> Any:
        return np.array([near[0] - left, far[0] - right])

    x = np.linspace(0, 2.7, 500)
    curve = solve_bvp(along, ends, x, np.vstack([np.full(500, left), np.zeros(500)]), tol=1e-10)
    fine = np.linspace(0, 2.7, 200_001)
    volts = curve.sol(fine)[0]
    assert values(lowest.cold)[1] == pytest.approx(volts.min(), abs=1e-6)
    assert lowest.along == pytest.approx(1000 * fine[volts.argmin()], abs=2)


def test_a_bar_fed_in_its_middle_starts_there_and_has_two_ends():
    found = readings(one_bar(R1={"feed_end": "middle"}))
    assert [found[point].where for point in found if point.startswith("R1.1")] == [
        "start, in its middle", "end, left", "end, right",
    ]  # fmt: skip


TWO_LEGS: Tables = {
    "legs": [{"id": "L2", "supply": "S1"}],
    "runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L2"}],
}


def test_a_bar_that_two_legs_feed_is_measured_once():
    job = row(900, R1={"feed_end": "both", "far_leg": "L2"},
              add={"legs": [{"id": "L2", "supply": "S1"}]})  # fmt: skip
    found = readings(job)
    assert [point for point in found if point.startswith("R1.1 l")].count("R1.1 left") == 1
    assert {"L1 amps", "L2 amps", "L1.1", "L2.1"} <= found.keys()
    assert found["R1.1 left"].leg == "L1"


def test_the_end_of_a_cable_that_current_comes_back_through_is_still_its_end():
    found = readings(fed_backwards())
    # Only a joint at the tee, and no more current than the run takes, is between these two.
    for when in ("cold", "hot"):
        volts = {point: values(getattr(one, when))[1] for point, one in found.items()}
        assert volts["L1.3"] == pytest.approx(volts["R1.1 left"], abs=0.005)
        assert volts["L1.3"] > volts["L1.1"] + 0.05


def test_a_tee_that_current_comes_back_to_reads_what_it_is_at():
    """Beyond the second tee hangs a run that another leg feeds through a run of both."""
    strip = part("strips", "mine", watts_per_metre=20, ohms_per_metre=D("0.02"))
    hair = part("cables", "hair", mm2=None, conductor_class=None, awg=26)
    heavy = {"id": "R2", "cabinets": ["A1", "A2", "A3"], "leg": "L1", "strip": "mine"}
    job = row(
        *[600] * 8,
        S1={"cabinet": "A4"},
        R1={"cabinets": ["A6"], "feed_end": "both", "far_leg": "L2", "strip": "mine"},
        L1={"cable": "hair"},
        add={"legs": [{"id": "L2", "supply": "S1", "cable": "round-2x1.5"}],
             "runs": [heavy, {"id": "R3", "cabinets": ["A7"], "leg": "L1"}]},
        parts={"strips": [strip], "cables": [hair]},
    )  # fmt: skip
    plan = plan_job(job)
    leg = feed_legs(job, plan.parts, plan.fits, plan.routes).legs[0]
    network, solution = leg.operating_point
    assert solution.wires["L1.2"].amps < -0.1
    (tee,) = (wire.far for wire in network.elements.wires if wire.id == "L1.2")
    assert tee.startswith("tee ")
    planned = solution.volts[tee]
    cold = values(readings(job)["L1.2"].cold)[1]
    # Cold LEDs need a little more, so a little less flows; the tee before it is 0.05 V lower.
    assert cold == pytest.approx(planned, abs=0.02)
    assert planned > solution.volts["tee L1.1"] + 0.03


def test_what_is_not_known_is_left_out():
    job = row(600, 600, R1={"cabinets": ["A1"]}, R2={"strip": "no-such-strip"}, add=TWO_LEGS)
    assert [*readings(job)] == [
        "S1 unloaded", "S1 loaded", "L1.1", "R1.1 left", "R1.1 right", "L1 amps",
    ]  # fmt: skip
    assert readings(one_bar(S1={"part": "no-such-supply"})) == {}
    assert readings(Job()) == {}


def test_every_point_of_a_large_job_is_there():
    plan = plan_job(many_bars())
    found = plan.readings()
    bars = {one.about for one in found if one.unit == "V" and one.about.count(".")}
    assert bars >= {bar.id for bar in plan.bars}
    assert len([one for one in found if one.unit == "A"]) == len(plan.circuits.legs)


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_has_readings_whose_bands_hold_what_is_expected(job):
    for reading in plan_job(job).readings():
        for band in (reading.cold, reading.hot):
            least, expected, most = values(band)
            assert least <= expected <= most
            assert expected >= 0
        assert reading.where.isascii()


@pytest.mark.property
@QUICK
@given(any_job())
def test_no_point_reads_more_than_its_supply(job):
    rated: dict[str, float] = {}
    supply_of = {leg.id: leg.supply for leg in job.legs}
    for reading in plan_job(job).readings():
        if reading.leg is None:
            rated[reading.about] = values(reading.cold)[1]
        elif reading.unit == "V":
            most = rated[supply_of[reading.leg]] + 1e-9
            assert values(reading.cold)[1] <= most
            assert values(reading.hot)[1] <= most

"""Facts that hold for every strip, and the edges of the numbers."""

from math import sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from pelmet.model.plan.circuit.one_port import (
    OPEN,
    Port,
    amperes_drawn,
    feed_through,
)
from pelmet.model.plan.circuit.strip import (
    StripLine,
    along_strip,
    both_ends_fed,
    current_regulated,
    end_of_strip,
    equivalent_pi,
    holds,
    one_end_fed,
    rail_watts,
    resistor_limited,
    through_strip,
    volts_between,
)

TWELVE_VOLT = resistor_limited(5, 0.06, 9.6, 12, 9)
REGULATED = current_regulated(5, 0.06, 0.8 * 12, 12, 10)

metres_ = st.floats(0.05, 12)
rails = st.floats(0.005, 0.4)
loads = st.floats(0.5, 20)
leads = st.floats(0, 0.5)
strips = st.one_of(
    st.builds(resistor_limited, metres_, rails, loads, st.just(24.0), st.floats(0, 20)),
    st.builds(current_regulated, metres_, rails, loads, st.just(24.0), st.just(0.0)),
)
ports = st.builds(Port, st.floats(0, 2), st.floats(-5, 5))


@pytest.mark.property
@given(strips, leads, st.sampled_from(["metres", "ohms_per_metre", "load", "lead"]))
def test_drop_grows_with_length_ohms_load_and_lead(strip, lead, what):
    before = one_end_fed(strip, 24, lead)
    if what == "load":
        grown = strip._replace(
            siemens_per_metre=strip.siemens_per_metre * 1.1,
            amperes_per_metre=strip.amperes_per_metre * 1.1,
        )
    elif what == "lead":
        grown = strip
        lead += 0.1
    else:
        grown = strip._replace(**{what: getattr(strip, what) * 1.1})
    assert one_end_fed(grown, 24, lead).end_volts < before.end_volts


@pytest.mark.property
@given(strips, ports, st.floats(0, 1))
def test_cutting_a_strip_anywhere_changes_nothing(strip, port, where):
    cut = strip.metres * where
    near, far = strip._replace(metres=cut), strip._replace(metres=strip.metres - cut)
    whole = through_strip(port, strip)
    assert through_strip(through_strip(port, far), near) == pytest.approx(whole, rel=1e-9, abs=1e-9)
    assert whole.siemens >= 0


@pytest.mark.property
@given(strips, ports, st.floats(15, 24))
def test_going_back_and_going_forward_agree(strip, port, volts):
    start = along_strip(strip, port, volts, 0)
    end = end_of_strip(strip, port, volts)
    assert start.volts == pytest.approx(volts)
    assert start.amperes == pytest.approx(
        amperes_drawn(through_strip(port, strip), volts), abs=1e-9
    )
    assert along_strip(strip, port, volts, strip.metres) == pytest.approx(end, abs=1e-9)
    assert end.amperes == pytest.approx(amperes_drawn(port, end.volts), abs=1e-9)


@pytest.mark.property
@given(strips, leads)
def test_power_from_the_supply_is_all_accounted_for(strip, lead):
    fed = one_end_fed(strip, 24, lead)

    def taken(x):
        volts = along_strip(strip, OPEN, fed.start_volts, x).volts
        return volts * (strip.siemens_per_metre * volts + strip.amperes_per_metre)

    def lost(x):
        return strip.ohms_per_metre * along_strip(strip, OPEN, fed.start_volts, x).amperes ** 2

    assert fed.strip_watts == pytest.approx(quad(taken, 0, strip.metres)[0], rel=1e-8)
    assert fed.rail_watts == pytest.approx(quad(lost, 0, strip.metres)[0], rel=1e-8)
    in_lead = fed.start_amperes**2 * lead
    assert 24 * fed.start_amperes == pytest.approx(
        fed.strip_watts + fed.rail_watts + in_lead, rel=1e-9
    )


@pytest.mark.property
@given(metres_, rails, loads)
def test_constant_current_strip_fed_at_both_ends_drops_a_quarter(metres, ohms, watts):
    strip = current_regulated(metres, ohms, watts, 24, 0)
    one, both = one_end_fed(strip, 24), both_ends_fed(strip, 24, 24)
    assert 24 - both.lowest_volts == pytest.approx((24 - one.end_volts) / 4, rel=1e-6)
    assert both.rail_watts == pytest.approx(one.rail_watts / 4, rel=1e-9)


@pytest.mark.property
@given(strips, leads)
def test_feeding_the_second_end_from_a_port_is_feeding_both_ends(strip, lead):
    end_lead = lead + 0.01
    both = both_ends_fed(strip, 24, 23.5, lead, end_lead)
    far = Port(1 / end_lead, 23.5 / end_lead)
    start = feed_through(through_strip(far, strip), 24, lead)
    assert [start.volts, start.amperes] == pytest.approx(
        [both.start_volts, both.start_amperes], abs=1e-7
    )


@pytest.mark.property
@given(strips)
def test_a_strip_that_is_turned_round_behaves_the_same(strip):
    one, other = both_ends_fed(strip, 24, 23, 0.1, 0.2), both_ends_fed(strip, 23, 24, 0.2, 0.1)
    assert one.start_amperes == pytest.approx(other.end_amperes, abs=1e-9)
    assert one.lowest_volts == pytest.approx(other.lowest_volts, abs=1e-9)
    assert one.lowest_metres == pytest.approx(strip.metres - other.lowest_metres, abs=1e-6)


@pytest.mark.property
@given(rails, loads, st.floats(0, 20), st.floats(0, 30))
def test_a_resistor_strip_alone_never_falls_below_its_leds(ohms, watts, led_volts, metres):
    strip = resistor_limited(metres, ohms, watts, 24, led_volts)
    assert holds(strip, one_end_fed(strip, 24, 0.2).end_volts)


def test_a_regulated_strip_that_falls_below_its_drop_out_is_told():
    # 12 - 0.06 * 0.9 * 5² / 2 = 11.325 V at the end of 5 m, 11.028 V at the end of 6 m.
    strip = current_regulated(6, 0.06, 0.9 * 12, 12, 11.2)
    assert not holds(strip, one_end_fed(strip, 12).end_volts)
    shorter = strip._replace(metres=5)
    assert holds(shorter, one_end_fed(shorter, 12).end_volts)


# --- The edges of the numbers -------------------------------------------------------------------


@pytest.mark.parametrize(
    "strip",
    [TWELVE_VOLT._replace(metres=0), REGULATED._replace(metres=0)],
    ids=["cosh", "parabola"],
)
def test_a_strip_of_no_length_is_not_there(strip):
    port = Port(0.3, 1.7)
    assert through_strip(port, strip) == port
    assert end_of_strip(strip, port, 12) == (12, amperes_drawn(port, 12))
    assert one_end_fed(strip, 12) == (12, 12, 0, 0, 12, 0, 0, 0)
    assert volts_between(strip, 12, 12, 0) == 12


def test_rails_without_resistance_drop_nothing():
    strip = TWELVE_VOLT._replace(ohms_per_metre=0)
    fed = one_end_fed(strip, 12)
    assert (fed.end_volts, fed.rail_watts) == (12, 0)
    assert fed.start_amperes == pytest.approx(4)
    with pytest.raises(ValueError, match="feed it from one end"):
        both_ends_fed(strip, 12, 12)


@pytest.mark.parametrize("siemens", [0, 1e-300, 1e-18, 1e-12, 1e-9])
def test_the_cosh_passes_smoothly_into_the_parabola(siemens):
    flat = one_end_fed(REGULATED, 12)
    sloped = REGULATED._replace(
        siemens_per_metre=siemens, amperes_per_metre=REGULATED.amperes_per_metre - 12 * siemens
    )
    assert one_end_fed(sloped, 12) == pytest.approx(flat, abs=1e-6 if siemens > 1e-10 else 1e-9)


@pytest.mark.parametrize("half_angle", [0.015, 0.0199999, 0.0200001, 0.03])
def test_rail_loss_is_smooth_where_its_two_forms_meet(half_angle):
    metres, ohms = 5.0, 0.06
    strip = StripLine(metres, ohms, (2 * half_angle / metres) ** 2 / ohms, 0, 0)

    def squared(x):
        a = sqrt(strip.ohms_per_metre * strip.siemens_per_metre)
        return ohms * ((3 * np.sinh(a * (metres - x)) + np.sinh(a * x)) / np.sinh(a * metres)) ** 2

    assert rail_watts(strip, 3, 1) == pytest.approx(quad(squared, 0, metres)[0], rel=1e-11)


@pytest.mark.parametrize("metres", [100, 1e3, 1e4, 1e6])
def test_an_endless_strip_settles_at_its_led_voltage_and_its_wave_resistance(metres):
    strip = TWELVE_VOLT._replace(metres=metres)
    fed = one_end_fed(strip, 12)
    siemens = sqrt(strip.siemens_per_metre / strip.ohms_per_metre)
    assert fed.start_amperes == pytest.approx(3 * siemens, rel=1e-5)
    assert fed.end_volts == pytest.approx(9, abs=1e-2)
    middle = along_strip(strip, OPEN, 12, metres / 2)
    assert holds(strip, middle.volts)
    assert middle.volts < 10.5
    both = both_ends_fed(strip, 12, 12)
    assert both.start_amperes == pytest.approx(3 * siemens, rel=1e-2)
    assert both.lowest_volts == pytest.approx(9, abs=2e-2)
    # V - Vf and the current fall off together, so the rails take half of (V - Vf) I.
    assert fed.rail_watts == pytest.approx(3 * fed.start_amperes / 2, rel=1e-2)


def test_equivalent_pi_of_a_regulated_strip_is_its_rail_and_two_halves_of_its_current():
    assert equivalent_pi(REGULATED) == (
        pytest.approx(0.3),
        (0, pytest.approx(-2.0)),
    )


def test_a_strip_whose_leds_leave_no_volts_for_the_resistors_is_refused():
    with pytest.raises(ValueError, match="below 12 V"):
        resistor_limited(1, 0.06, 9.6, 12, 12)
    with pytest.raises(ValueError, match="least working voltage"):
        current_regulated(1, 0.06, 9.6, 12, 13)

"""One strip on its own: constant power in closed form, Dawson's function, and the door's input."""

from math import inf, nan, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp
from scipy.optimize import brentq
from scipy.special import dawsn

from pelmet.model.plan.circuit.dc.constant_power import (
    GREATEST,
    GREATEST_AT,
    NoSolutionError,
    collapse_metres,
    dawson,
    longest_metres,
    one_end_fed_power,
)
from pelmet.model.plan.circuit.dc.law import (
    constant_power_law,
    current_regulated_law,
    resistor_limited_law,
)
from pelmet.model.plan.circuit.dc.network import Network, Source, Strip, Wire, solve_network
from pelmet.model.plan.circuit.dc.one_strip import along_one_strip

POWER = constant_power_law(9.6, 12, 8)
REGULATED = current_regulated_law(9.6, 12, 10, 8.4)
RESISTOR = resistor_limited_law(9.6, 12, 9)


@pytest.mark.cross_check
def test_dawsons_function_is_that_of_a_library() -> None:
    for s in np.linspace(0, 5, 251):
        assert dawson(float(s)) == pytest.approx(float(dawsn(s)), rel=1e-14)


@pytest.mark.cross_check
def test_dawsons_function_at_its_greatest() -> None:
    # Where its slope, 1 - 2 s D(s), is nothing.
    at = brentq(lambda s: 1 - 2 * s * dawsn(s), 0.5, 1.5, xtol=1e-15)
    assert pytest.approx(at, abs=1e-14) == GREATEST_AT
    assert pytest.approx(float(dawsn(at)), abs=1e-15) == GREATEST
    assert dawson(GREATEST_AT) == pytest.approx(GREATEST, abs=1e-15)
    assert max(dawson(GREATEST_AT - 1e-4), dawson(GREATEST_AT + 1e-4)) < GREATEST


@pytest.mark.cross_check
def test_the_length_of_collapse_is_12_098_m() -> None:
    # 12 V, 0.06 ohm/m, 9.6 W/m: also by shooting, as the longest of all lengths.
    assert collapse_metres(12, 0.06, 9.6) == pytest.approx(12.098116651, abs=1e-9)
    longest = 0.0
    for end in np.linspace(4.8, 5.4, 25):
        shot = solve_ivp(
            lambda _, y: [0.06 * y[1], 9.6 / y[0]],
            (0, 20),
            [end, 0],
            events=_reaches(12),
            rtol=1e-11,
            atol=1e-12,
        )
        longest = max(longest, float(shot.t_events[0][0]))
    assert collapse_metres(12, 0.06, 9.6) == pytest.approx(longest, abs=2e-3)


def _reaches(volts):
    def event(_, y):
        return y[0] - volts

    event.terminal = True
    return event


@pytest.mark.cross_check
@pytest.mark.parametrize("lead", [0.0, 0.05, 0.4])
@pytest.mark.parametrize("share", [0.01, 0.3, 0.8, 0.98, 0.999999])
def test_a_strip_of_constant_power_satisfies_its_equation(lead, share) -> None:
    metres = share * longest_metres(12, lead, 0.06, 9.6)
    fed = one_end_fed_power(metres, 0.06, 9.6, 12, lead, points=(0, metres / 3, metres))
    back = solve_ivp(
        lambda _, y: [0.06 * y[1], 9.6 / y[0], 0.06 * y[1] ** 2],
        (0, metres),
        [fed.end_volts, 0, 0],
        rtol=1e-12,
        atol=1e-13,
        dense_output=True,
    )
    volts, amps, lost = back.sol(metres)
    assert [fed.start_volts, fed.amps] == pytest.approx([volts, amps], abs=1e-8)
    assert fed.rail_watts == pytest.approx(lost, rel=1e-8)
    assert fed.start_volts + lead * fed.amps == pytest.approx(12, abs=1e-12)
    there = back.sol(metres * 2 / 3)
    assert fed.points[1] == pytest.approx((there[0], there[1]), abs=1e-8)
    assert fed.points[0] == pytest.approx((fed.start_volts, fed.amps))
    assert fed.points[2] == pytest.approx((fed.end_volts, 0), abs=1e-7)
    given = fed.load_watts + fed.rail_watts + fed.lead_watts
    assert given == pytest.approx(12 * fed.amps, rel=1e-12)


@pytest.mark.cross_check
@pytest.mark.parametrize("lead", [0.0, 0.05, 0.4])
def test_the_cells_of_a_network_collapse_at_the_same_length(lead) -> None:
    """Cells of 1/500 of the length are within 1e-5 of it."""
    longest = longest_metres(12, lead, 0.06, 9.6)

    def codes(share: float) -> list[str]:
        strip = Strip("b", "a", "e", POWER, share * longest, 0.06, longest / 500)
        found = solve_network(Network((Source("s", 12),), (Wire("w", "s", "a", lead),), (strip,)))
        return [trouble.code for trouble in found.troubles]

    assert codes(0.9999) == []
    assert codes(1.0001) == ["no-solution"]


@pytest.mark.property
def test_beside_the_collapse_it_is_either_solved_or_told_and_soon() -> None:
    """Halve between a length that works and one that does not, down to the last digit."""
    works, fails = 12.0, 12.2
    while works < (metres := (works + fails) / 2) < fails:
        strip = Strip("b", "s", "e", POWER, metres, 0.06, metres / 100)
        found = solve_network(Network((Source("s", 12),), (), (strip,)))
        assert found.iterations < 60
        if found.troubles:
            assert [trouble.code for trouble in found.troubles] == ["no-solution"]
            fails = metres
        else:
            assert found.residual < 1e-8
            works = metres
    assert works == pytest.approx(collapse_metres(12, 0.06, 9.6), rel=1e-4)


@pytest.mark.property
@pytest.mark.parametrize("lead", [0.0, 0.05, 0.4])
def test_a_longer_strip_than_the_longest_says_how_long_it_can_be(lead) -> None:
    longest = longest_metres(12, lead, 0.06, 9.6)
    one_end_fed_power(longest * 0.999999999, 0.06, 9.6, 12, lead)
    with pytest.raises(NoSolutionError, match=f"{longest:.4g} m long at most"):
        one_end_fed_power(longest * 1.000000001, 0.06, 9.6, 12, lead)


@pytest.mark.property
def test_without_rail_ohms_only_the_lead_limits_the_length() -> None:
    assert collapse_metres(12, 0, 9.6) == longest_metres(12, 0, 0, 9.6) == inf
    longest = longest_metres(12, 0.4, 0, 9.6)
    assert longest == pytest.approx(12**2 / 4 / 0.4 / 9.6)
    assert longest == pytest.approx(longest_metres(12, 0.4, 1e-9, 9.6), rel=1e-6)
    fed = one_end_fed_power(2, 0, 9.6, 12, 0.4, points=(0.5,))
    thin = one_end_fed_power(2, 1e-9, 9.6, 12, 0.4, points=(0.5,))
    assert fed.start_volts == fed.end_volts == pytest.approx(thin.start_volts, abs=1e-8)
    assert fed.points[0] == pytest.approx(thin.points[0], abs=1e-8)
    assert fed.load_watts + fed.lead_watts == pytest.approx(12 * fed.amps)


@pytest.mark.cross_check
def test_rail_loss_is_the_integral_of_the_squared_current() -> None:
    def squared(place: float) -> float:
        return one_end_fed_power(8, 0.06, 9.6, 12, 0, (place,)).points[0][1] ** 2 * 0.06

    lost, _ = quad(squared, 0, 8, epsabs=1e-10)
    assert one_end_fed_power(8, 0.06, 9.6, 12).rail_watts == pytest.approx(lost, abs=1e-8)


@pytest.mark.property
@given(
    st.floats(0.01, 0.95), st.floats(1e-4, 1), st.floats(1, 40), st.floats(3, 60), st.floats(0, 2)
)
def test_constant_power_balances_and_stays_on_the_higher_branch(share, ohms, watts, volts, lead):
    metres = share * longest_metres(volts, lead, ohms, watts)
    fed = one_end_fed_power(metres, ohms, watts, volts, lead)
    given_watts = volts * fed.amps
    lost = given_watts - fed.load_watts - fed.rail_watts - fed.lead_watts
    assert lost == pytest.approx(0, abs=1e-9 * given_watts)
    assert fed.load_watts == pytest.approx(watts * metres)
    # On the lower branch more volts at the source would mean less at the far end.
    more = one_end_fed_power(metres, ohms, watts, volts * 1.001, lead)
    assert more.end_volts > fed.end_volts
    assert more.amps < fed.amps


@pytest.mark.property
@pytest.mark.parametrize("bad", [-1.0, nan, inf, 0.0])
def test_figures_that_cannot_be_are_refused(bad) -> None:
    for row in range(4 if bad else 3):
        figures = [2.0, 9.6, 12.0, 0.1]
        figures[row] = bad
        metres, watts, volts, ohms = figures
        with pytest.raises(ValueError, match="cannot be; give"):
            one_end_fed_power(metres, 0.06, watts, volts, ohms)


# --- The door for one strip -----------------------------------------------------------------------


@pytest.mark.property
@pytest.mark.parametrize("law", [POWER, REGULATED, RESISTOR], ids=lambda law: law.kind)
def test_a_door_fed_at_two_unlike_ends_leans_to_the_weaker(law) -> None:
    found = along_one_strip(law, 5, 0.06, "both ends", 12, 0.05, 11.8, 0.2, points=(0, 5))
    assert found.volts == (found.start_volts, found.end_volts)
    assert 12 - 0.05 * found.start_amps == pytest.approx(found.start_volts, abs=1e-9)
    assert 11.8 - 0.2 * found.end_amps == pytest.approx(found.end_volts, abs=1e-9)
    assert found.lowest_metres > 2.5
    assert found.amps == pytest.approx((found.start_amps, -found.end_amps), abs=1e-9)
    given = 12 * found.start_amps + 11.8 * found.end_amps
    lost = found.load_watts + found.rail_watts + found.lead_watts
    assert lost == pytest.approx(given, rel=1e-9)


@pytest.mark.property
def test_a_both_ends_feed_names_the_longest_strip() -> None:
    longest = 2 * longest_metres(12, 0.1, 0.06, 9.6)
    along_one_strip(POWER, longest * 0.99, 0.06, "both ends", 12, 0.1)
    with pytest.raises(NoSolutionError, match=f"both ends; it can be {longest:.4g} m"):
        along_one_strip(POWER, longest * 1.01, 0.06, "both ends", 12, 0.1)
    with pytest.raises(NoSolutionError, match="constant power draws more"):
        along_one_strip(POWER, longest * 1.2, 0.06, "both ends", 12, 0.1, 11.9)
    with pytest.raises(NoSolutionError, match="of each half"):
        along_one_strip(POWER, longest * 1.01, 0.06, "middle", 12, 0.05)
    with pytest.raises(NoSolutionError, match=r"12\.1 m long at most"):
        along_one_strip(POWER, 12.2, 0.06, "one end", 12)


@pytest.mark.property
@pytest.mark.parametrize("feed", ["one end", "both ends", "middle"])
@pytest.mark.parametrize("law", [POWER, REGULATED, RESISTOR], ids=lambda law: law.kind)
def test_a_strip_without_ohms_has_its_source_voltage_all_along(law, feed) -> None:
    found = along_one_strip(law, 2, 0, feed, 12, 0.1, points=(0, 1, 2))
    into = found.start_amps + found.end_amps + found.middle_amps
    lead = 0.05 if feed == "both ends" else 0.1
    assert found.volts == pytest.approx([12 - lead * into] * 3)
    assert found.lowest_volts == pytest.approx(12 - lead * into)
    assert found.rail_watts == 0
    assert found.residual == 0
    assert sqrt(found.lead_watts / lead) == pytest.approx(into)


@pytest.mark.property
@pytest.mark.parametrize(
    ("changed", "says"),
    [
        ({"metres": 0}, "length of strip; give"),
        ({"metres": nan}, "length of strip; give"),
        ({"ohms_per_metre": -1}, "give"),
        ({"source_volts": -12}, "give volts above 0"),
        ({"source_volts": nan}, "give volts above 0"),
        ({"other_source_volts": inf, "feed": "both ends"}, "give volts above 0"),
        ({"lead_ohms": nan}, "give"),
        ({"lead_ohms": -0.1}, "give"),
        ({"other_lead_ohms": 0.1}, "one lead; give the other for both ends"),
        ({"other_source_volts": 12}, "one lead; give the other for both ends"),
        ({"feed": "the side"}, "choose one end, both ends or middle"),
        ({"points": (5.1,)}, "not on a strip of 5 m"),
        ({"points": (nan,)}, "not on a strip of 5 m"),
    ],
)
@pytest.mark.parametrize("law", [POWER, REGULATED, RESISTOR], ids=lambda law: law.kind)
def test_a_door_refuses_what_cannot_be(law, changed, says) -> None:
    figures = {"metres": 5, "ohms_per_metre": 0.06, "feed": "one end", "source_volts": 12}
    with pytest.raises(ValueError, match=says):
        along_one_strip(law, **{**figures, **changed})


@pytest.mark.property
def test_two_voltages_on_one_point_are_refused() -> None:
    with pytest.raises(ValueError, match="joined"):
        along_one_strip(REGULATED, 2, 0, "both ends", 12, 0, 11)

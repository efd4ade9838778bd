"""Volts and amps along cables and strips, against printed examples and independent solvers."""

import random

import numpy as np
import pytest
from scipy.integrate import solve_bvp
from scipy.sparse import coo_array
from scipy.sparse.linalg import spsolve

from pelmet.model.plan.circuit.one_port import (
    OPEN,
    Port,
    amperes_drawn,
    feed_through,
    parallel,
    through_resistance,
)
from pelmet.model.plan.circuit.strip import (
    along_strip,
    both_ends_fed,
    current_regulated,
    end_of_strip,
    holds,
    one_end_fed,
    rail_watts,
    resistor_limited,
    through_strip,
    volts_between,
)

TWELVE_VOLT = resistor_limited(5, 0.06, 9.6, 12, 9)
TWENTY_FOUR_VOLT = resistor_limited(10, 0.06, 9.6, 24, 18)
REGULATED = current_regulated(5, 0.06, 0.8 * 12, 12, 10)


# --- Printed examples -------------------------------------------------------------------------


@pytest.mark.published
def test_uniform_load_fed_equally_at_both_ends_drops_most_in_the_middle():
    # Principles of Power System, ex. 13.14: 1000 m, 0.5 A/m, 0.05 ohm/km per
    # conductor, 220 V at both ends: greatest drop 6.25 V, least voltage 213.75 V at the middle.
    feeder = current_regulated(1000, 2 * 0.05e-3, 0.5 * 220, 220, 0)
    fed = both_ends_fed(feeder, 220, 220)
    assert fed.lowest_metres == pytest.approx(500)
    assert fed.lowest_volts == pytest.approx(213.75, abs=0.005)
    assert 220 - fed.lowest_volts == pytest.approx(6.25, abs=0.005)


@pytest.mark.published
def test_uniform_load_acts_as_if_at_its_middle_point():
    # L. Bell, Power Distribution for Electric Railroads, pp. 13-15.
    spread = one_end_fed(REGULATED, 12)
    half_rail = REGULATED.metres / 2 * REGULATED.ohms_per_metre
    lumped = feed_through(Port(0, -0.8 * REGULATED.metres), 12, half_rail)
    assert spread.end_volts == pytest.approx(lumped.volts, abs=1e-12)


@pytest.mark.published
def test_feeding_the_middle_needs_a_quarter_of_the_copper():
    # L. Bell, same pages: with the feed at the middle copper is "reduced to one-fourth" for the
    # same drop at the ends, so four times the resistance is allowed.
    whole = current_regulated(8, 0.05, 0.6 * 24, 24, 20)
    half_of_thin = current_regulated(4, 4 * 0.05, 0.6 * 24, 24, 20)
    assert one_end_fed(half_of_thin, 24).end_volts == pytest.approx(
        one_end_fed(whole, 24).end_volts, abs=1e-12
    )


@pytest.mark.published
def test_tabulated_cable_drop_in_millivolts_per_amp_metre():
    # BS 7671 Table 4D2B course example (C&G 2391): 2.5 mm², 18 mV/A/m, 16 A, 18 m: 5.18 V.
    # A table for two-core cable gives the loop, so its figure is taken as it stands.
    far = feed_through(Port(0, -16), 230, 0.018 * 18)
    assert 230 - far.volts == pytest.approx(5.18, abs=0.005)


@pytest.mark.published
def test_masthead_light_example():
    # Voltage-drop note for boats, lena.geoffrichings.co.uk: 1.6 A, 22 m round trip, 1.5 mm²,
    # E = 0.0164 I L / S: 0.38 V.
    far = feed_through(Port(0, -1.6), 12, 0.0164 * 22 / 1.5)
    assert 12 - far.volts == pytest.approx(0.38, abs=0.005)


@pytest.mark.published
@pytest.mark.parametrize(("steps", "ohms"), [(1, 2), (2, 5 / 3), (3, 13 / 8)])
def test_resistor_ladder_of_a_few_steps(steps, ohms):
    # Textbook ladder of equal resistors R, one in series and one across per step.
    assert ladder(steps) == pytest.approx(ohms, rel=1e-12)


@pytest.mark.published
def test_endless_resistor_ladder_is_the_golden_ratio():
    # Same textbook ladder: 1.618 R.
    assert ladder(40) == pytest.approx(1.618, abs=0.0005)


def ladder(steps):
    port = OPEN
    for _ in range(steps):
        port = through_resistance(parallel(port, Port(1.0, 0.0)), 1.0)
    return 1 / port.siemens


@pytest.mark.published
@pytest.mark.parametrize(("segments", "amperes", "watts"), [(20, 1.2, 14.4), (10, 0.6, 7.2)])
def test_current_of_a_metre_from_its_strings(segments, amperes, watts):
    # Tutorial "RGB LED Strips", section "Current Draw": 20 mA a string, 3 strings a segment,
    # 20 or 10 segments a metre at 12 V: 1.2 A and 0.6 A a metre.
    string = Port(0, -0.020)
    metre = parallel(*[parallel(string, string, string)] * segments)
    assert amperes_drawn(metre, 12) == pytest.approx(amperes, abs=1e-12)
    for strip in (resistor_limited(1, 0, watts, 12, 9), current_regulated(1, 0, watts, 12, 10)):
        assert one_end_fed(strip, 12).start_amperes == pytest.approx(amperes, abs=1e-12)


# --- Solved by two other methods ---------------------------------------------------------------

# Passive-cable equation (and plain parabola): figures computed once by a boundary-value solver
# and by a circuit simulator with 1000 cells, to 1e-6 V. Derived afresh below.
ONE_END = [
    pytest.param(
        TWELVE_VOLT,
        12,
        0,
        {1: 11.811058476, 2.5: 11.611342864, 4: 11.505917959, 5: 11.4860034},
        3.540111168,
        id="12 V resistor-limited",
    ),
    pytest.param(
        TWELVE_VOLT,
        12,
        0.1,
        {0: 11.683354255, 5: 11.223609267},
        3.166457455,
        id="12 V resistor-limited through a lead",
    ),
    pytest.param(
        TWENTY_FOUR_VOLT,
        24,
        0,
        {2: 23.622116952, 5: 23.222685728, 10: 22.972006801},
        3.540111168,
        id="24 V resistor-limited",
    ),
    pytest.param(
        REGULATED, 12, 0, {1: 11.784, 2.5: 11.55, 4: 11.424, 5: 11.4}, 4.0, id="12 V regulated"
    ),
    pytest.param(
        current_regulated(5, 0.06, 0.9 * 12, 12, 11.2),
        12,
        0,
        {5: 11.325},
        4.5,
        id="12 V regulated, just above its drop-out",
    ),
]


@pytest.mark.cross_check
@pytest.mark.parametrize(("strip", "source", "lead", "volts_at", "amperes"), ONE_END)
def test_one_end_fed_strip_matches_two_other_methods(strip, source, lead, volts_at, amperes):
    fed = one_end_fed(strip, source, lead)
    assert holds(strip, fed.end_volts)
    assert fed.start_amperes == pytest.approx(amperes, abs=1e-6)
    for metres, volts in volts_at.items():
        here = along_strip(strip, OPEN, fed.start_volts, metres)
        assert here.volts == pytest.approx(volts, abs=1e-6)


@pytest.mark.cross_check
@pytest.mark.parametrize(("strip", "source", "lead", "volts_at", "amperes"), ONE_END)
def test_one_end_fed_strip_matches_a_boundary_value_solver(strip, source, lead, volts_at, amperes):
    fed = one_end_fed(strip, source, lead)
    other = boundary_value(
        strip, lambda a, b: np.array([a[0] + lead * a[1] - source, b[1]]), source
    )
    for metres in np.linspace(0, strip.metres, 11):
        here = along_strip(strip, OPEN, fed.start_volts, float(metres))
        assert [here.volts, here.amperes] == pytest.approx(other.sol(metres), abs=1e-8)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("strip", "middle", "amperes"),
    [(TWELVE_VOLT, 11.856005737, 1.935896267), (REGULATED, 11.85, 2.0)],
)
def test_both_ends_fed_strip_matches_two_other_methods(strip, middle, amperes):
    fed = both_ends_fed(strip, 12, 12)
    assert fed.lowest_metres == pytest.approx(2.5)
    assert fed.lowest_volts == pytest.approx(middle, abs=1e-6)
    assert fed.start_amperes == pytest.approx(amperes, abs=1e-6)
    assert fed.end_amperes == pytest.approx(amperes, abs=1e-6)


@pytest.mark.cross_check
@pytest.mark.parametrize("strip", [TWELVE_VOLT, REGULATED], ids=["resistor-limited", "regulated"])
@pytest.mark.parametrize("ends", [(12, 12, 0, 0), (12, 11.8, 0, 0), (12, 11.9, 0.08, 0.15)])
def test_both_ends_fed_strip_matches_a_boundary_value_solver(strip, ends):
    start, end, start_lead, end_lead = ends
    fed = both_ends_fed(strip, *ends)
    other = boundary_value(
        strip,
        lambda a, b: np.array([a[0] + start_lead * a[1] - start, b[0] - end_lead * b[1] - end]),
        start,
    )
    (v0, i0), (v1, i1) = other.sol(0), other.sol(strip.metres)
    assert [fed.start_volts, fed.start_amperes] == pytest.approx([v0, i0], abs=1e-8)
    assert [fed.end_volts, fed.end_amperes] == pytest.approx([v1, -i1], abs=1e-8)
    fine = np.linspace(0, strip.metres, 5001)
    volts = other.sol(fine)[0]
    assert fed.lowest_volts == pytest.approx(volts.min(), abs=1e-6)
    assert fed.lowest_metres == pytest.approx(fine[volts.argmin()], abs=2e-3)
    for metres in np.linspace(0, strip.metres, 7):
        assert volts_between(strip, fed.start_volts, fed.end_volts, float(metres)) == pytest.approx(
            other.sol(metres)[0], abs=1e-8
        )


def boundary_value(strip, ends, volts):
    """Solve V' = -r i, i' = -(g V + c) numerically, for any conditions at the two ends."""
    _, r, g, c, _ = strip
    mesh = np.linspace(0, strip.metres, 201)
    solved = solve_bvp(
        lambda _, y: np.vstack([-r * y[1], -(g * y[0] + c)]),
        ends,
        mesh,
        np.vstack([np.full_like(mesh, volts), np.zeros_like(mesh)]),
        tol=1e-10,
        max_nodes=20000,
    )
    assert solved.success
    return solved


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("strip", "fed", "watts"),
    [
        (TWELVE_VOLT, one_end_fed(TWELVE_VOLT, 12), 1.190024814),
        (REGULATED, one_end_fed(REGULATED, 12), 1.6),
        (REGULATED, both_ends_fed(REGULATED, 12, 12), 0.4),
    ],
)
def test_rail_loss_matches_two_other_methods(strip, fed, watts):
    assert fed.rail_watts == pytest.approx(watts, abs=1e-6)


@pytest.mark.cross_check
def test_centre_fed_strip_is_two_strips_of_half_the_length():
    # 8 m of 0.6 A/m at 24 V and 0.05 ohm/m fed in the middle: 23.76 V at the ends, 4.8 A.
    half = current_regulated(4, 0.05, 0.6 * 24, 24, 20)
    both = parallel(through_strip(OPEN, half), through_strip(OPEN, half))
    assert amperes_drawn(both, 24) == pytest.approx(4.8, abs=1e-6)
    assert end_of_strip(half, OPEN, 24).volts == pytest.approx(23.76, abs=1e-6)


@pytest.mark.cross_check
def test_ladder_of_fifty_constant_current_cells():
    # Series then shunt: 0.006 ohm and 0.08 A a cell, 12 V. Sums of an arithmetic progression
    # give cell n a drop of R I n (2 N + 1 - n) / 2; a circuit simulator gave the same volts.
    seen = [Port(0, -0.08)]
    for _ in range(49):
        seen.append(parallel(Port(0, -0.08), through_resistance(seen[-1], 0.006)))
    volts, found = 12.0, []
    for port in reversed(seen):
        volts = feed_through(port, volts, 0.006).volts
        found.append(volts)
    assert [found[0], found[24], found[49]] == pytest.approx([11.976, 11.544, 11.388], abs=1e-9)
    assert found == pytest.approx(
        [12 - 0.006 * 0.08 * n * (101 - n) / 2 for n in range(1, 51)], abs=1e-9
    )


@pytest.mark.cross_check
@pytest.mark.parametrize("seed", range(8))
def test_a_branching_leg_of_mixed_strips_matches_a_nodal_solution(seed):
    """Supply, lead, strip, cable, then two branches: a strip, and a cable with a strip.

    The other method cuts each strip into short cells and solves Kirchhoff's equations.
    """
    draw = random.Random(seed)
    first, second, third = (random_strip(draw) for _ in range(3))
    lead, link, branch = (draw.uniform(0.005, 0.3) for _ in range(3))

    at_third = through_strip(OPEN, third)
    fork = parallel(through_strip(OPEN, second), through_resistance(at_third, branch))
    after_first = through_resistance(fork, link)
    start = feed_through(through_strip(after_first, first), 24, lead)
    quarter = along_strip(first, after_first, start.volts, first.metres / 4)
    end = end_of_strip(first, after_first, start.volts)
    forked = feed_through(fork, end.volts, link)
    third_start = feed_through(at_third, forked.volts, branch)

    net = Nodal(24)
    n_start = net.resistor(0, lead)
    taps = net.strip(n_start, first)
    n_fork = net.resistor(taps[-1], link)
    second_taps = net.strip(n_fork, second)
    n_third = net.resistor(n_fork, branch)
    third_taps = net.strip(n_third, third)
    other = net.solve()

    ours = {
        n_start: start.volts,
        taps[CELLS // 4]: quarter.volts,
        taps[-1]: end.volts,
        n_fork: forked.volts,
        second_taps[-1]: end_of_strip(second, OPEN, forked.volts).volts,
        n_third: third_start.volts,
        third_taps[-1]: end_of_strip(third, OPEN, third_start.volts).volts,
    }
    assert list(ours.values()) == pytest.approx(other[list(ours)], abs=2e-6)
    assert start.amperes == pytest.approx((24 - other[n_start]) / lead, abs=1e-5)
    assert end.amperes == pytest.approx((other[taps[-1]] - other[n_fork]) / link, abs=1e-5)
    steps = np.diff(other[taps])
    assert rail_watts(first, start.amperes, end.amperes) == pytest.approx(
        np.sum(steps**2) / (first.metres * first.ohms_per_metre / CELLS), rel=1e-5
    )


CELLS = 2000


def random_strip(draw):
    metres, ohms, watts = draw.uniform(0.3, 4), draw.uniform(0.02, 0.3), draw.uniform(3, 15)
    if draw.random() < 0.5:
        return resistor_limited(metres, ohms, watts, 24, draw.uniform(14, 19))
    return current_regulated(metres, ohms, watts, 24, 5)


class Nodal:
    """Kirchhoff's current law at every node; node 0 is held at the supply voltage."""

    def __init__(self, volts):
        self.volts, self.nodes = volts, 1
        self.entries, self.currents = [(0, 0, 1.0)], {0: volts}

    def resistor(self, near, ohms):
        far, siemens = self.nodes, 1 / ohms
        self.nodes += 1
        for a, b in ((near, far), (far, near)):
            if a:
                self.entries += [(a, a, siemens), (a, b, -siemens)]
        return far

    def strip(self, near, strip):
        """Add cells of series resistance, each with half its load at either side of it."""
        taps, each = [near], strip.metres / CELLS
        for _ in range(CELLS):
            taps.append(self.resistor(taps[-1], strip.ohms_per_metre * each))
        for position, node in enumerate(taps):
            share = each if 0 < position < CELLS else each / 2
            self.entries.append((node, node, strip.siemens_per_metre * share))
            self.currents[node] = self.currents.get(node, 0) - strip.amperes_per_metre * share
        return taps

    def solve(self):
        rows, columns, values = zip(*self.entries, strict=True)
        matrix = coo_array((values, (rows, columns)), shape=(self.nodes, self.nodes)).tocsc()
        right = np.zeros(self.nodes)
        right[list(self.currents)] = list(self.currents.values())
        return spsolve(matrix, right)

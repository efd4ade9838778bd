"""What holds for every network: more of anything never helps, symmetry, scale, order, balance."""

from itertools import pairwise

import pytest
from draws import examples
from hypothesis import given
from hypothesis import strategies as st

from pelmet.model.plan.circuit.dc.law import (
    StripLaw,
    constant_power_law,
    current_regulated_law,
    resistor_limited_law,
)
from pelmet.model.plan.circuit.dc.network import (
    Network,
    Solution,
    Source,
    Strip,
    Tap,
    Wire,
    amps_along,
    solve_network,
    volts_along,
)
from pelmet.model.plan.circuit.dc.one_strip import along_one_strip

OHMS = st.floats(0.001, 0.3)
METRES = st.floats(0.1, 3)


@st.composite
def laws(draw: st.DrawFn) -> StripLaw:
    """A law for 24 V; constant power is kept light, so that it has a solution."""
    kind = draw(st.sampled_from(["resistor", "regulated", "power"]))
    watts = draw(st.floats(1, 30))
    if kind == "resistor":
        return resistor_limited_law(watts, 24, draw(st.floats(10, 23)))
    if kind == "regulated":
        return current_regulated_law(watts, 24, draw(st.floats(21, 23.9)), draw(st.floats(10, 20)))
    return constant_power_law(min(watts, 6), 24, 12)


@st.composite
def networks(draw: st.DrawFn) -> Network:
    """A tree of wires with a few more that close rings, strips here and there, and a tap."""
    nodes = ["s"]
    wires = []
    for row in range(draw(st.integers(1, 5))):
        nodes.append(f"n{row}")
        ohms = draw(st.one_of(OHMS, st.just(0.0)))
        wires.append(Wire(f"w{row}", draw(st.sampled_from(nodes[:-1])), nodes[-1], ohms))
    for row in range(draw(st.integers(0, 2))):
        near, far = draw(st.sampled_from(nodes)), draw(st.sampled_from(nodes))
        wires.append(Wire(f"r{row}", near, far, draw(OHMS)))
    strips = []
    for row in range(draw(st.integers(1, 4))):
        end = draw(st.sampled_from([f"e{row}", *nodes]))
        law = draw(laws())
        start = draw(st.sampled_from(nodes))
        strips.append(Strip(f"b{row}", start, end, law, draw(METRES), draw(OHMS), 0.1))
    taps = (Tap(draw(st.sampled_from(nodes)), draw(st.floats(0, 0.3))),)
    return Network((Source("s", 24),), tuple(wires), tuple(strips), taps)


def solved(network: Network) -> Solution:
    """Solve a network that has a solution."""
    found = solve_network(network)
    assert found.troubles == ()
    return found


@pytest.mark.property
@given(networks())
@examples(200)
def test_power_balances_and_no_current_is_left_over(network: Network) -> None:
    found = solved(network)
    lost = found.input_watts - found.lost_watts - found.load_watts
    assert lost == pytest.approx(0, abs=1e-9 * found.input_watts)
    assert found.residual <= 1e-9
    assert set(found.wires) == {wire.id for wire in network.wires}
    assert set(found.strips) == {strip.id for strip in network.strips}
    left = dict.fromkeys(found.volts, 0.0)
    for node, amps in found.source_amps.items():
        left[node] += amps
    for wire in network.wires:
        flow = found.wires[wire.id]
        left[wire.near] -= flow.amps
        left[wire.far] += flow.amps
        drop = found.volts[wire.near] - found.volts[wire.far]
        assert drop == pytest.approx(flow.amps * wire.ohms, abs=1e-9)
    for strip in network.strips:
        flow = found.strips[strip.id]
        left[strip.start] -= flow.start_amps
        left[strip.end] -= flow.end_amps
        assert found.volts[strip.start] == flow.start_volts
        assert found.volts[strip.end] == flow.end_volts
        assert flow.lowest_volts <= min(flow.start_volts, flow.end_volts)
        lowest = volts_along(strip, flow, min(flow.lowest_metres, strip.metres))
        assert lowest == pytest.approx(flow.lowest_volts, abs=1e-9)
        assert flow.holds is (flow.lowest_volts >= strip.law.least_volts - 1e-9)
        taken = flow.start_volts * flow.start_amps + flow.end_volts * flow.end_amps
        assert taken == pytest.approx(flow.load_watts + flow.rail_watts, abs=1e-8)
    for tap in network.taps:
        left[tap.node] -= tap.amps
    assert max(map(abs, left.values())) <= 1e-9


@pytest.mark.property
@given(networks(), st.data())
@examples(200)
def test_more_length_load_or_resistance_never_raises_a_voltage(
    network: Network, data: st.DataObject
) -> None:
    """With every law: a draw that is nowhere less takes every node down, or leaves it.

    More length only of a strip fed from one end: one between two nodes also carries current, and
    more of its ohms may raise a node on one side. So may more ohms of a wire in a ring.
    """
    before = solved(network)
    count = len(network.strips)
    row = data.draw(st.integers(0, count - 1))
    strip = network.strips[row]
    times = data.draw(st.floats(1, 1.3))
    how = data.draw(st.sampled_from(["load", "length", "tap", "lead"]))
    if how == "load":
        law = strip.law._replace(
            watts_per_metre=strip.law.watts_per_metre * times,
            amps_per_metre=strip.law.amps_per_metre * times,
            siemens_per_metre=strip.law.siemens_per_metre * times,
        )
        network = _with(network, row, strip._replace(law=law))
    elif how == "length" and strip.end.startswith("e"):
        # By whole units, so that the cells of the first length stay where they are.
        units = round(strip.metres / 0.1) or 1
        first = strip._replace(metres=units * 0.1)
        before = solved(_with(network, row, first))
        network = _with(network, row, strip._replace(metres=(units + 1) * 0.1))
    elif how == "tap":
        tap = network.taps[0]
        network = network._replace(taps=(tap._replace(amps=tap.amps * times + 0.01),))
    else:  # before everything else there is
        wire = Wire("first", "supply", "s", 0.0)
        network = network._replace(sources=(Source("supply", 24),), wires=(*network.wires, wire))
        before = solved(network)
        wires = (*network.wires[:-1], wire._replace(ohms=0.01 * times))
        network = network._replace(wires=wires)
    after = solve_network(network)
    if any(trouble.code == "no-solution" for trouble in after.troubles):
        return
    for node, volts in before.volts.items():
        held_closed_and_cut = 2e-3 if _forms(before) != _forms(after) else 1e-9
        assert after.volts[node] <= volts + held_closed_and_cut


def _with(network: Network, row: int, strip: Strip) -> Network:
    strips = list(network.strips)
    strips[row] = strip
    return network._replace(strips=tuple(strips))


def _forms(found: Solution) -> list[bool]:
    """Say which strips are cut; one way or the other its voltages differ by a cell's error."""
    return [bool(flow.tap_volts) for flow in found.strips.values()]


@pytest.mark.property
@given(METRES, st.floats(0.005, 0.1), st.floats(1, 10))
def test_a_uniform_load_fed_at_both_ends_drops_a_quarter(
    metres: float, ohms: float, watts: float
) -> None:
    law = current_regulated_law(watts, 24, 10, 5)
    one = solved(Network((Source("s", 24),), (), (Strip("b", "s", "e", law, metres, ohms, 0.1),)))
    two = solved(Network((Source("s", 24),), (), (Strip("b", "s", "s", law, metres, ohms, 0.1),)))
    drop = 24 - one.strips["b"].lowest_volts
    assert 24 - two.strips["b"].lowest_volts == pytest.approx(drop / 4, abs=1e-12)
    assert two.strips["b"].lowest_metres == pytest.approx(metres / 2)


@pytest.mark.property
@given(laws(), METRES, OHMS, st.floats(0, 0.3))
def test_a_symmetric_network_gives_symmetric_answers(
    law: StripLaw, metres: float, ohms: float, lead: float
) -> None:
    """Two strips each way from a node, as four legs of a cross, and one closed on itself."""
    arms = tuple(Strip(f"b{arm}", "m", f"e{arm}", law, metres, ohms, 0.1) for arm in range(4))
    ring = Strip("ring", "m", "m", law, metres, ohms, 0.1)
    found = solve_network(Network((Source("s", 24),), (Wire("w", "s", "m", lead),), (*arms, ring)))
    if found.troubles:
        assert [trouble.code for trouble in found.troubles] == ["no-solution"]
        return
    first = found.strips["b0"]
    for arm in range(1, 4):
        assert found.strips[f"b{arm}"].end_volts == pytest.approx(first.end_volts, abs=1e-12)
    flow = found.strips["ring"]
    assert flow.start_amps == pytest.approx(flow.end_amps, abs=1e-11)
    for share in (0.1, 0.25, 0.4):
        near, far = share * metres, (1 - share) * metres
        assert volts_along(ring, flow, near) == pytest.approx(
            volts_along(ring, flow, far), abs=1e-11
        )
        assert amps_along(ring, flow, near) == pytest.approx(-amps_along(ring, flow, far), abs=1e-9)


@pytest.mark.property
@given(networks())
def test_twice_the_volts_and_the_knees_give_twice_the_volts(network: Network) -> None:
    """The same amps at twice the volts: half the siemens, and all ohms twice."""

    def doubled(strip: Strip) -> Strip:
        law = strip.law
        # Constant power draws p / V, so at twice the volts the same amps take twice the watts.
        law = law._replace(
            watts_per_metre=2 * law.watts_per_metre,
            led_volts=2 * law.led_volts,
            least_volts=2 * law.least_volts,
            siemens_per_metre=law.siemens_per_metre / 2,
        )
        return strip._replace(law=law, ohms_per_metre=2 * strip.ohms_per_metre)

    one = solved(network)
    two = solved(
        Network(
            (Source("s", 48),),
            tuple(wire._replace(ohms=2 * wire.ohms) for wire in network.wires),
            tuple(map(doubled, network.strips)),
            network.taps,
        )
    )
    for node, volts in one.volts.items():
        assert two.volts[node] == pytest.approx(2 * volts, abs=1e-9)
    for name, flow in one.strips.items():
        assert two.strips[name].start_amps == pytest.approx(flow.start_amps, abs=1e-9)
    assert two.input_watts == pytest.approx(2 * one.input_watts)


@pytest.mark.property
@given(networks(), st.randoms(use_true_random=False))
def test_order_changes_nothing(network: Network, shuffle: object) -> None:
    def mixed(parts: tuple[object, ...]) -> tuple[object, ...]:
        parts = list(parts)
        shuffle.shuffle(parts)
        return tuple(parts)

    one, two = solved(network), solved(Network(*map(mixed, network)))
    assert one.volts == pytest.approx(two.volts, abs=1e-12)
    for name, flow in one.strips.items():
        assert two.strips[name][:6] == pytest.approx(flow[:6], abs=1e-9)
        assert two.strips[name].holds is flow.holds


@pytest.mark.property
@given(laws(), METRES, OHMS, st.floats(0, 0.2), st.sampled_from(["one end", "both ends", "middle"]))
@examples(60)
def test_volts_fall_away_from_a_feed(
    law: StripLaw, metres: float, ohms: float, lead: float, feed: object
) -> None:
    places = [metres * row / 20 for row in range(21)]
    found = along_one_strip(law, metres, ohms, feed, 24, lead, points=places)
    lowest = min(places, key=lambda place: abs(place - found.lowest_metres))
    assert found.lowest_volts <= min(found.volts) + 1e-9
    rising = [b - a for a, b in pairwise(found.volts)]
    assert (found.volts[places.index(lowest)] - found.lowest_volts) <= max(map(abs, rising)) + 1e-9
    for (amps, after), rise in zip(pairwise(found.amps), rising, strict=True):
        assert amps >= after - 1e-9 or feed == "middle"
        if amps * after >= 0:  # not where the current turns
            assert rise * (amps + after) <= 1e-12

"""A DC network of cables and strips: printed examples, the laws, and bad input."""

import doctest
from itertools import pairwise
from math import inf, nan

import pytest

from pelmet.model.plan.circuit.dc import constant_power, network, one_strip
from pelmet.model.plan.circuit.dc.law import (
    StripLaw,
    amperes,
    constant_power_law,
    current_regulated_law,
    light_share,
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

RESISTOR = resistor_limited_law(9.6, 12, 9)
REGULATED = current_regulated_law(9.6, 12, 10, 8.4)
POWER = constant_power_law(9.6, 12, 8)
LAWS = [RESISTOR, REGULATED, POWER]
KINDS = [law.kind for law in LAWS]


def bar(name: str, start: str, end: str, law: StripLaw = RESISTOR, metres: float = 2.0) -> Strip:
    return Strip(name, start, end, law, metres, 0.06, 0.05)


def chain_of(ohms: list[float], amps: list[float], volts: float) -> Solution:
    """Solve taps one after another along a cable, from node "0"."""
    nodes = [str(row) for row in range(len(ohms) + 1)]
    wires = tuple(
        Wire(f"w{far}", near, far, each)
        for (near, far), each in zip(pairwise(nodes), ohms, strict=True)
    )
    taps = tuple(Tap(node, each) for node, each in zip(nodes[1:], amps, strict=True))
    return solve_network(Network((Source("0", volts),), wires, (), taps))


def codes(found: Solution) -> list[str]:
    return [trouble.code for trouble in found.troubles]


# --- Printed examples -------------------------------------------------------------------------


@pytest.mark.published
def test_two_tapped_loads_on_one_distributor():
    # Exam solution, DC distributor fed from one end: 500 V, 2 km a section of 0.02 ohm/km per
    # conductor, 100 A at B and 200 A at C: 476 V and 460 V.
    found = chain_of([2 * 2 * 0.02] * 2, [100, 200], 500)
    assert [found.volts["1"], found.volts["2"]] == pytest.approx([476, 460], abs=1e-9)


@pytest.mark.published
def test_conductor_for_a_permitted_drop_drops_what_is_permitted():
    # Principles of Power System, ex. 13.2: sections of 40, 60, 50 and 100 m that carry 220, 190,
    # 150 and 50 A, 10 V, 1.78e-8 ohm m: 1.164 cm² per conductor. In its last digit that is 0.005 V.
    ohms = [2 * 1.78e-8 * metres / 1.164e-4 for metres in (40, 60, 50, 100)]
    found = chain_of(ohms, [30, 40, 100, 50], 250)
    assert 250 - found.volts["4"] == pytest.approx(10, abs=0.005)
    assert [flow.amps for flow in found.wires.values()] == pytest.approx([220, 190, 150, 50])


@pytest.mark.published
def test_uniform_load_fed_equally_at_both_ends_drops_most_in_the_middle():
    # Principles of Power System, ex. 13.14: 1000 m, 0.5 A/m, 0.05 ohm/km per
    # conductor, 220 V at both ends: greatest drop 6.25 V, least voltage 213.75 V at the middle.
    law = current_regulated_law(0.5 * 220, 220, 100, 50)
    feeder = Strip("feeder", "a", "b", law, 1000, 2 * 0.05e-3, 10)
    found = solve_network(Network((Source("a", 220), Source("b", 220)), (), (feeder,)))
    flow = found.strips["feeder"]
    assert flow.lowest_volts == pytest.approx(213.75, abs=0.005)
    assert flow.lowest_metres == pytest.approx(500)
    assert codes(found) == ["joined-sources"]


@pytest.mark.published
def test_uniform_load_acts_as_if_at_its_middle_and_a_middle_feed_needs_a_quarter_of_the_copper():
    # L. Bell, Power Distribution for Electric Railroads, pp. 13-15: it acts "as if concentrated
    # at its middle point"; fed at the middle, copper is "reduced to one-fourth".
    whole = bar("whole", "s", "end", REGULATED, 4)
    ends = [Strip(name, "s", name, REGULATED, 2, 4 * 0.06, 0.05) for name in ("left", "right")]
    found = solve_network(
        Network(
            (Source("s", 12),),
            (Wire("w", "s", "m", 4 / 2 * 0.06),),
            (whole, *ends),
            (Tap("m", 4 * 0.8),),
        )
    )
    assert found.volts["end"] == pytest.approx(found.volts["m"], abs=1e-12)
    assert found.volts["left"] == pytest.approx(found.volts["end"], abs=1e-12)
    assert found.volts["right"] == pytest.approx(found.volts["end"], abs=1e-12)


@pytest.mark.published
def test_tabulated_cable_drop_in_millivolts_per_amp_metre():
    # BS 7671 Table 4D2B course example (C&G 2391): 2.5 mm², 18 mV/A/m, 16 A, 18 m: 5.18 V.
    assert 230 - chain_of([0.018 * 18], [16], 230).volts["1"] == pytest.approx(5.18, abs=0.005)


@pytest.mark.published
def test_masthead_light_example():
    # Voltage-drop note for boats: 1.6 A, 22 m round trip, 1.5 mm²,
    # E = 0.0164 I L / S: 0.38 V.
    found = chain_of([0.0164 * 22 / 1.5], [1.6], 12)
    assert 12 - found.volts["1"] == pytest.approx(0.38, abs=0.005)


@pytest.mark.published
@pytest.mark.parametrize(
    ("steps", "ohms", "within"),
    [(1, 2, 1e-12), (2, 5 / 3, 1e-12), (3, 13 / 8, 1e-12), (40, 1.618, 5e-4)],
)
def test_resistor_ladder(steps, ohms, within):
    # Textbook ladder of equal resistors R, one in series and one across per step: 2 R, 5/3 R,
    # 13/8 R, and 1.618 R without end. The ones across go to a node held at 0 V.
    nodes = ["in", *(f"n{row}" for row in range(steps))]
    wires = [Wire(f"s{far}", near, far, 1) for near, far in pairwise(nodes)]
    wires += [Wire(f"p{node}", node, "zero", 1) for node in nodes[1:]]
    found = solve_network(Network((Source("in", 1), Source("zero", 0)), tuple(wires), ()))
    assert 1 / found.source_amps["in"] == pytest.approx(ohms, abs=within)


@pytest.mark.published
@pytest.mark.parametrize(("amps", "watts"), [(1.2, 14.4), (0.6, 7.2)])
@pytest.mark.parametrize("make", ["resistor", "regulated", "power"])
def test_current_of_a_metre(make, amps, watts):
    # Tutorial "RGB LED Strips", section "Current Draw": 20 mA a string, 3 strings a segment,
    # 20 or 10 segments a metre at 12 V: 1.2 A and 0.6 A a metre.
    law = {
        "resistor": resistor_limited_law(watts, 12, 9),
        "regulated": current_regulated_law(watts, 12, 10, 8),
        "power": constant_power_law(watts, 12, 8),
    }[make]
    assert amperes(law, 12) == pytest.approx(amps, abs=1e-12)
    strip = Strip("metre", "s", "end", law, 1, 0, 0.05)
    found = solve_network(Network((Source("s", 12),), (), (strip,)))
    assert found.source_amps["s"] == pytest.approx(amps, abs=1e-12)


# --- The laws ---------------------------------------------------------------------------------


@pytest.mark.property
@pytest.mark.parametrize("law", LAWS, ids=KINDS)
def test_a_law_is_nothing_below_its_leds_and_all_at_its_rated_volts(law):
    assert amperes(law, law.led_volts) == amperes(law, -12) == 0
    assert light_share(law, -1) == 0
    assert light_share(law, 12) == pytest.approx(1)


@pytest.mark.property
def test_light_follows_current_and_constant_power_holds_it():
    assert light_share(RESISTOR, 10.5) == pytest.approx(0.5)
    assert light_share(RESISTOR, 13.5) == pytest.approx(1.5)
    assert light_share(REGULATED, 9.2) == pytest.approx(0.5)
    assert light_share(REGULATED, 15) == 1
    assert light_share(POWER, 9) == 1


@pytest.mark.parametrize(
    ("make", "figures"),
    [
        (resistor_limited_law, (0, 12, 9)),
        (resistor_limited_law, (nan, 12, 9)),
        (resistor_limited_law, (9.6, 12, 12)),
        (resistor_limited_law, (9.6, inf, 9)),
        (resistor_limited_law, (9.6, 12, -1)),
        (current_regulated_law, (-1, 12, 10, 8)),
        (current_regulated_law, (9.6, 12, 8, 8)),
        (current_regulated_law, (9.6, 12, 13, 8)),
        (current_regulated_law, (9.6, 12, nan, 8)),
        (constant_power_law, (inf, 12, 8)),
        (constant_power_law, (9.6, 12, 0)),
        (constant_power_law, (9.6, 12, 12.5)),
    ],
)
@pytest.mark.property
def test_a_law_that_cannot_be_is_refused(make, figures):
    with pytest.raises(ValueError, match=r"give|check|leave"):
        make(*figures)


# --- Along a strip of a network -----------------------------------------------------------------


@pytest.mark.property
@pytest.mark.parametrize(
    "law", [*LAWS, current_regulated_law(9.6, 12, 11.7, 9)], ids=[*KINDS, "drop-out"]
)
def test_volts_and_amps_along_a_strip_begin_and_end_with_its_ends(law):
    strip = bar("b", "a", "e", law, 3.02)
    found = solve_network(
        Network((Source("s", 12),), (Wire("w", "s", "a", 0.1),), (strip,), (Tap("e", 0.5),))
    )
    flow = found.strips["b"]
    places = [strip.metres * row / 200 for row in range(201)]
    volts = [volts_along(strip, flow, place) for place in places]
    amps = [amps_along(strip, flow, place) for place in places]
    assert [volts[0], volts[-1]] == pytest.approx([flow.start_volts, flow.end_volts], abs=1e-12)
    assert [amps[0], amps[-1]] == pytest.approx([flow.start_amps, -flow.end_amps], abs=1e-12)
    assert -flow.end_amps == pytest.approx(0.5, abs=1e-9)
    assert volts == sorted(volts, reverse=True)
    assert min(volts) == pytest.approx(flow.lowest_volts, abs=1e-12)
    # Ohm's law along the rails: the drop is the sum of the current.
    drop = sum((a + b) / 2 for a, b in pairwise(amps)) * strip.metres / 200 * 0.06
    assert drop == pytest.approx(flow.start_volts - flow.end_volts, rel=2e-4)


@pytest.mark.property
def test_a_place_off_the_strip_is_refused():
    strip = bar("b", "s", "e")
    flow = solve_network(Network((Source("s", 12),), (), (strip,))).strips["b"]
    # Lengths added up may be a last digit too long.
    assert volts_along(strip, flow, 2 + 4e-16) == flow.end_volts
    for place in (-0.1, 2.1, nan):
        with pytest.raises(ValueError, match="not on a strip of 2 m"):
            volts_along(strip, flow, place)
        with pytest.raises(ValueError, match="not on a strip of 2 m"):
            amps_along(strip, flow, place)


# --- Bad input --------------------------------------------------------------------------------


@pytest.mark.property
@pytest.mark.parametrize("bad", [-0.1, nan, inf, -inf])
@pytest.mark.parametrize("where", ["wire", "tap", "metres", "ohms", "unit", "source"])
def test_a_figure_that_cannot_be_is_refused(where, bad):
    def ours(name, good):
        return bad if where == name else good

    if where == "source" and bad == -0.1:
        bad = nan
    parts = Network(
        (Source("s", ours("source", 12)),),
        (Wire("w", "s", "a", ours("wire", 0.1)),),
        (Strip("b", "a", "e", RESISTOR, ours("metres", 1), ours("ohms", 0.1), ours("unit", 0.1)),),
        (Tap("a", ours("tap", 1)),),
    )
    with pytest.raises(ValueError, match="; give"):
        solve_network(parts)


@pytest.mark.property
def test_a_unit_of_no_length_and_an_id_given_twice_are_refused():
    with pytest.raises(ValueError, match="cut units"):
        solve_network(Network((), (), (bar("b", "s", "e")._replace(unit_metres=0),)))
    with pytest.raises(ValueError, match="'b'; give each its own id"):
        solve_network(Network((), (Wire("b", "s", "e", 1),), (bar("b", "s", "e"),)))


@pytest.mark.property
def test_docstring_examples_of_the_doors():
    for module in (network, one_strip, constant_power):
        failed, tried = doctest.testmod(module)
        assert tried > 0
        assert failed == 0

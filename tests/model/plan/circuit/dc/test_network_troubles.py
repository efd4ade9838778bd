"""What cannot be in a network, or cannot be solved, and what is said of it."""

import pytest

from pelmet.model.plan.circuit.dc.law import (
    StripLaw,
    amperes,
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
    Trouble,
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


def codes(found: Solution) -> list[str]:
    return [trouble.code for trouble in found.troubles]


def only(found: Solution, code: str) -> Trouble:
    assert codes(found) == [code]
    return found.troubles[0]


def balance(found: Solution) -> float:
    """Give what goes in and comes out nowhere, over what goes in."""
    return (found.input_watts - found.lost_watts - found.load_watts) / found.input_watts


@pytest.mark.property
def test_an_island_without_a_source_is_left_out():
    parts = (bar("lit", "s", "a"), bar("lost", "x", "y"))
    found = solve_network(
        Network((Source("s", 12),), (Wire("w", "y", "z", 0.1),), parts, (Tap("t", 1),))
    )
    assert codes(found) == ["no-source", "no-source"]
    assert found.troubles[0].about == "w"
    assert "lost" in found.troubles[0].says
    assert found.troubles[1].about == "t"
    assert set(found.volts) == {"s", "a"}
    assert set(found.strips) == {"lit"}
    assert not found.wires
    assert balance(found) == pytest.approx(0, abs=1e-12)


@pytest.mark.property
def test_no_parts_at_all():
    found = solve_network(Network((), (), ()))
    assert found == Solution({}, {}, {}, {}, 0, 0, 0, 0, 0, ())


@pytest.mark.property
def test_wires_without_ohms_carry_what_is_beyond_them():
    wires = (
        Wire("w", "s", "a", 0.1),
        Wire("z1", "a", "b", 0.0),
        Wire("z2", "c", "b", 0.0),
        Wire("z3", "s", "r", 0.0),
        Wire("v", "c", "d", 0.2),
    )
    taps = (Tap("a", 1), Tap("b", 2), Tap("c", 4), Tap("d", 8), Tap("r", 16))
    found = solve_network(Network((Source("s", 12),), wires, (), taps))
    amps = {name: flow.amps for name, flow in found.wires.items()}
    assert amps == pytest.approx({"w": 15, "z1": 14, "z2": -12, "z3": 16, "v": 8})
    assert found.volts["a"] == found.volts["b"] == found.volts["c"] == pytest.approx(10.5)
    assert found.source_amps["s"] == pytest.approx(31)
    assert found.troubles == ()
    assert balance(found) == pytest.approx(0, abs=1e-12)


@pytest.mark.property
def test_a_ring_without_ohms_says_that_its_amps_cannot_be_known():
    ring = (Wire("p", "s", "a", 0), Wire("q", "a", "b", 0), Wire("r", "b", "s", 0))
    out = (Wire("t", "b", "c", 0), Wire("u", "c", "c", 0), Wire("w", "c", "d", 1))
    found = solve_network(Network((Source("s", 12),), (*ring, *out), (), (Tap("d", 1),)))
    trouble = only(found, "loop-of-no-ohms")
    assert all(name in trouble.says for name in "pqru")
    assert found.wires["t"].amps == pytest.approx(1)
    assert set(found.wires) == {"t", "w"}
    assert found.volts["d"] == pytest.approx(11)
    assert found.source_amps["s"] == pytest.approx(1)


@pytest.mark.property
def test_two_sources_without_ohms_between_them_cannot_be_told_apart():
    found = solve_network(
        Network(
            (Source("s", 12), Source("t", 12)),
            (Wire("z", "s", "t", 0), Wire("w", "t", "a", 1)),
            (),
            (Tap("a", 1),),
        )
    )
    assert codes(found) == ["joined-sources", "loop-of-no-ohms"]
    assert found.source_amps == {}
    assert found.input_watts == pytest.approx(12)
    assert found.volts["a"] == pytest.approx(11)


@pytest.mark.property
def test_joined_sources_of_different_volts_are_solved_and_named():
    strip = bar("b", "s", "t")
    found = solve_network(Network((Source("s", 12), Source("t", 11.5)), (), (strip,)))
    trouble = only(found, "joined-sources")
    assert all(word in trouble.says for word in ("s (12 V)", "t (11.5 V)"))
    assert found.source_amps["s"] > found.source_amps["t"]
    assert balance(found) == pytest.approx(0, abs=1e-12)


@pytest.mark.property
def test_a_node_held_at_two_voltages_is_not_solved():
    sources = (Source("s", 12), Source("s", 24), Source("u", 12))
    found = solve_network(Network(sources, (), (bar("b", "s", "e"), bar("c", "u", "f"))))
    assert "s (12 V) and s (24 V)" in only(found, "joined-sources").says
    assert set(found.strips) == {"c"}
    assert set(found.volts) == {"u", "f"}
    assert set(found.source_amps) == {"u"}


@pytest.mark.property
@pytest.mark.parametrize("law", LAWS, ids=KINDS)
def test_strips_on_a_reversed_source_stay_dark(law):
    strip = bar("b", "a", "e", law)
    found = solve_network(Network((Source("s", -12),), (Wire("w", "s", "a", 0.1),), (strip,)))
    assert only(found, "reversed-source").about == "s"
    flow = found.strips["b"]
    assert (flow.start_volts, flow.end_volts, flow.start_amps) == (-12, -12, 0)
    assert not flow.holds
    assert flow.load_watts == 0
    assert volts_along(strip, flow, 1) == -12
    assert amps_along(strip, flow, 1) == 0


@pytest.mark.property
@pytest.mark.parametrize("law", LAWS, ids=KINDS)
def test_a_source_that_is_off_leaves_strips_dark(law):
    found = solve_network(Network((Source("s", 0),), (), (bar("b", "s", "e", law),)))
    assert found.troubles == ()
    assert found.volts == {"s": 0, "e": 0}
    assert not found.strips["b"].holds


@pytest.mark.property
@pytest.mark.parametrize("law", LAWS, ids=KINDS)
def test_a_strip_of_no_length_joins_its_ends(law):
    none, after = bar("none", "a", "b", law, 0), bar("after", "b", "e", law)
    found = solve_network(Network((Source("s", 12),), (Wire("w", "s", "a", 0.1),), (none, after)))
    assert only(found, "zero-length").about == "none"
    assert found.volts["a"] == found.volts["b"]
    flow = found.strips["none"]
    assert flow.start_amps == -flow.end_amps == pytest.approx(found.wires["w"].amps)
    assert (flow.load_watts, flow.rail_watts) == (0, 0)
    assert amps_along(none, flow, 0) == flow.start_amps
    assert volts_along(none, flow, 0) == found.volts["a"]


@pytest.mark.property
@pytest.mark.parametrize("law", [*LAWS, current_regulated_law(9.6, 12, 11.9, 8)])
def test_a_strip_without_ohms_is_one_point_with_all_its_load(law):
    point = Strip("point", "a", "b", law, 2, 0, 0.05)
    found = solve_network(
        Network((Source("s", 12),), (Wire("w", "s", "a", 0.5),), (point,), (Tap("b", 0.25),))
    )
    assert only(found, "zero-ohms").about == "point"
    flow = found.strips["point"]
    drawn = 2 * amperes(law, found.volts["a"])
    assert flow.start_amps == pytest.approx(drawn + 0.25)
    assert flow.end_amps == pytest.approx(-0.25)
    assert found.wires["w"].amps == pytest.approx(drawn + 0.25)
    assert flow.load_watts == pytest.approx(drawn * found.volts["a"])
    assert flow.holds is (found.volts["a"] >= law.least_volts)
    assert amps_along(point, flow, 1) == pytest.approx(drawn / 2 + 0.25)
    assert volts_along(point, flow, 1) == found.volts["a"]
    assert balance(found) == pytest.approx(0, abs=1e-12)


@pytest.mark.property
def test_a_point_between_two_feeds_has_one_voltage():
    point = Strip("point", "a", "b", REGULATED, 2, 0, 0.05)
    wires = (Wire("v", "s", "a", 0.1), Wire("w", "s", "b", 0.1))
    found = solve_network(Network((Source("s", 12),), wires, (point,)))
    assert found.strips["point"].start_amps == pytest.approx(0.8)
    assert found.strips["point"].end_amps == pytest.approx(0.8)


@pytest.mark.property
def test_too_much_constant_power_has_no_solution_and_spoils_no_other_leg():
    parts = (bar("long", "s", "a", POWER, 13), bar("good", "s", "b", POWER, 2))
    found = solve_network(Network((Source("s", 12),), (), parts))
    trouble = only(found, "no-solution")
    assert trouble.about == "long"
    assert "12.10 m" in trouble.says
    assert set(found.strips) == {"good"}
    assert set(found.volts) == {"s", "b"}
    assert found.source_amps == {}


@pytest.mark.property
@pytest.mark.parametrize("times", [1.0001, 1.01, 1.5, 2, 4, 50])
@pytest.mark.parametrize("rails", [0.0, 0.3])
def test_all_that_is_too_much_is_told_at_once(times, rails):
    """At 16 V² / 4 of watts times ohms the lead alone has no solution; at 2, a step ends at 0 V."""
    strip = Strip("b", "a", "e", constant_power_law(8, 12, 3), 1, rails, 0.01)
    lead = Wire("w", "s", "a", times * 16 / 4 / 8)
    found = solve_network(Network((Source("s", 4),), (lead,), (strip,)))
    assert codes(found)[-1] == "no-solution"
    assert found.iterations < 30
    assert set(found.volts) == {"s"}


@pytest.mark.property
def test_a_weak_source_does_not_hide_the_voltage_that_a_strong_one_gives():
    strip = bar("b", "a", "e", constant_power_law(60, 24, 12), 1)
    wires = (Wire("strong", "s", "a", 1), Wire("weak", "t", "a", 10))
    found = solve_network(Network((Source("s", 24), Source("t", 6)), wires, (strip,)))
    only(found, "joined-sources")
    assert found.volts["a"] > 18
    assert found.source_amps["t"] < 0
    assert balance(found) == pytest.approx(0, abs=1e-12)


@pytest.mark.property
def test_short_constant_power_behind_too_much_cable_says_that_it_is_the_cable():
    found = solve_network(
        Network((Source("s", 12),), (Wire("w", "s", "a", 5),), (bar("b", "a", "e", POWER, 2),))
    )
    assert "the cables before it" in only(found, "no-solution").says
    assert not found.wires


@pytest.mark.property
def test_a_regulated_strip_in_drop_out_leaves_power_for_a_converter():
    # At its full current the regulated strip would pull the pair below what the other can stand.
    regulated = bar("r", "a", "x", current_regulated_law(110, 12, 11.5, 9), 3)
    power = bar("p", "a", "y", POWER, 2)
    found = solve_network(
        Network((Source("s", 12),), (Wire("w", "s", "a", 0.3),), (regulated, power))
    )
    assert found.troubles == ()
    assert not found.strips["r"].holds
    assert found.residual < 1e-9
    assert balance(found) == pytest.approx(0, abs=1e-9)


@pytest.mark.property
def test_what_is_not_solved_to_the_stated_residual_is_not_shown(monkeypatch):
    monkeypatch.setattr("pelmet.model.plan.circuit.dc.island.MOST_STEPS", 2)
    found = solve_network(Network((Source("s", 12),), (), (bar("b", "s", "e", POWER, 11),)))
    trouble = only(found, "not-converged")
    assert trouble.about == "b"
    assert f"{found.residual:.3g} A" in trouble.says
    assert not found.strips
    assert set(found.volts) == {"s"}
    assert found.source_amps == {}


@pytest.mark.property
def test_a_strip_with_both_ends_on_one_node_is_fed_from_both():
    ring = solve_network(
        Network((Source("s", 12),), (Wire("w", "s", "a", 0.1),), (bar("b", "a", "a"),))
    )
    flow = ring.strips["b"]
    assert flow.start_amps == pytest.approx(flow.end_amps)
    assert flow.start_amps + flow.end_amps == pytest.approx(ring.wires["w"].amps)
    assert flow.lowest_metres == pytest.approx(1)
    for law in (POWER, current_regulated_law(9.6, 12, 11.95, 8)):
        ring = solve_network(
            Network((Source("s", 12),), (Wire("w", "s", "a", 0.1),), (bar("b", "a", "a", law),))
        )
        assert ring.strips["b"].tap_volts
        assert 2 * ring.strips["b"].start_amps == pytest.approx(ring.wires["w"].amps)
        assert balance(ring) == pytest.approx(0, abs=1e-9)

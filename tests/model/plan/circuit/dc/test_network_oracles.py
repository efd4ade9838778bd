"""Strips by themselves and in networks: known figures, and shooting as a second method.

Every figure stands for both doors: a strip on its own, and the same strip in a network. Where a
network is cut into units, these are fine enough here for the figure's last digit.
"""

from collections.abc import Callable
from typing import Any, NamedTuple

import pytest
from scipy.integrate import solve_ivp
from scipy.optimize import brentq
from strip_laws import current

from pelmet.model.plan.circuit.dc.law import (
    StripLaw,
    constant_power_law,
    current_regulated_law,
    resistor_limited_law,
)
from pelmet.model.plan.circuit.dc.network import (
    Network,
    Source,
    Strip,
    Tap,
    Wire,
    amps_along,
    solve_network,
    volts_along,
)
from pelmet.model.plan.circuit.dc.one_strip import along_one_strip

TWELVE = resistor_limited_law(9.6, 12, 9)
TWENTY_FOUR = resistor_limited_law(9.6, 24, 18)
REGULATED = current_regulated_law(0.8 * 12, 12, 10, 8.4)
NEAR_DROPOUT = current_regulated_law(0.9 * 12, 12, 11.2, 8.4)
POWER = constant_power_law(9.6, 12, 8)


class Case(NamedTuple):
    """One strip, how it is fed, and its figures; those at "m" are volts at that many metres."""

    law: StripLaw
    metres: float
    ohms: float
    feed: Any
    volts: float
    lead: float
    at: dict[float, float]
    amps: float
    lost: float | None


# Uniform-load distributor theory (L. Bell, Power Distribution for Electric Railroads; Principles
# of Power System, ch. 13); its figures, and those of a boundary-value solver and of a circuit
# simulator with 1000 cells, agree to 1e-7 V.
PRINTED = {
    "uniform load, one end": Case(
        REGULATED, 5, 0.06, "one end", 12, 0, {1: 11.784, 2.5: 11.55, 4: 11.424, 5: 11.4}, 4.0, 1.6
    ),
    "uniform load, both ends": Case(
        REGULATED, 5, 0.06, "both ends", 12, 0, {1: 11.904, 2.5: 11.85, 4: 11.904}, 2.0, 0.4
    ),
    "uniform load, middle": Case(
        current_regulated_law(0.6 * 24, 24, 20, 17),
        8,
        0.05,
        "middle",
        24,
        0,
        {0: 23.76, 4: 24, 8: 23.76},
        4.8,
        None,
    ),
    # The cosh of u'' = r g u, as for a passive cable or a cooling fin.
    "straight line, one end": Case(
        TWELVE,
        5,
        0.06,
        "one end",
        12,
        0,
        {1: 11.811058476, 2.5: 11.611342864, 4: 11.505917959, 5: 11.4860034},
        3.540111168,
        1.190024814,
    ),
    "straight line, both ends": Case(
        TWELVE, 5, 0.06, "both ends", 12, 0, {2.5: 11.856005737}, 1.935896267, None
    ),
    "straight line, through a lead": Case(
        TWELVE, 5, 0.06, "one end", 12, 0.1, {0: 11.683354255, 5: 11.223609267}, 3.166457455, None
    ),
    "straight line, 24 V": Case(
        TWENTY_FOUR,
        10,
        0.06,
        "one end",
        24,
        0,
        {2: 23.622116952, 5: 23.222685728, 10: 22.972006801},
        3.540111168,
        None,
    ),
}
# Derived for this program, so only as good as the second methods below.
DERIVED = {
    "constant power, one end": Case(
        POWER,
        5,
        0.06,
        "one end",
        12,
        0,
        {1: 11.775444107, 2.5: 11.53053758, 4: 11.397942146, 5: 11.372627571},
        4.14525355,
        None,
    ),
    "regulated, just above drop-out": Case(
        NEAR_DROPOUT, 5, 0.06, "one end", 12, 0, {5: 11.325}, 4.5, None
    ),
}
# Without figures of their own: each kind, each feed, above and below drop-out.
MORE = {
    "drop-out crossed, one end": Case(NEAR_DROPOUT, 8, 0.06, "one end", 12, 0.05, {}, 0, None),
    "drop-out crossed, both ends": Case(NEAR_DROPOUT, 9, 0.06, "both ends", 12, 0.1, {}, 0, None),
    "drop-out crossed, middle": Case(NEAR_DROPOUT, 12, 0.06, "middle", 12, 0.1, {}, 0, None),
    "dark at its far end": Case(
        current_regulated_law(60, 12, 11, 10), 9, 0.3, "one end", 12, 0, {}, 0, None
    ),
    "constant power, both ends": Case(POWER, 8, 0.06, "both ends", 12, 0.1, {}, 0, None),
    "constant power, middle": Case(POWER, 8, 0.06, "middle", 12, 0.1, {}, 0, None),
    "constant power through a lead": Case(POWER, 6, 0.06, "one end", 12, 0.2, {}, 0, None),
}
FIGURES = {**PRINTED, **DERIVED}
ALL = {**FIGURES, **MORE}


def as_network(case: Case, unit: float) -> tuple[Network, list[Strip]]:
    """Build the strip with its leads; one fed in the middle is two strips."""
    ends = {"one end": ["a"], "both ends": ["a", "b"], "middle": ["m"]}[case.feed]
    if case.feed == "middle":
        half = case.metres / 2
        strips = [
            Strip("left", "a", "m", case.law, half, case.ohms, unit),
            Strip("right", "m", "b", case.law, half, case.ohms, unit),
        ]
    else:
        strips = [Strip("strip", "a", "b", case.law, case.metres, case.ohms, unit)]
    wires = tuple(Wire(f"to {end}", "s", end, case.lead) for end in ends)
    return Network((Source("s", case.volts),), wires, tuple(strips)), strips


def measure(case: Case, places: list[float], unit: float) -> tuple[list[float], list[float]]:
    """Give volts and amps at places of the strip in a network."""
    network, strips = as_network(case, unit)
    found = solve_network(network)
    assert found.troubles == ()
    volts, amps = [], []
    for place in places:
        strip = strips[-1] if place >= strips[0].metres else strips[0]
        here = place - (strips[0].metres if len(strips) > 1 and strip is strips[-1] else 0)
        flow = found.strips[strip.id]
        volts.append(volts_along(strip, flow, here))
        amps.append(amps_along(strip, flow, here))
    return volts, amps


def marked(names: dict[str, Case]) -> list[Any]:
    return [
        pytest.param(
            case,
            id=name,
            marks=pytest.mark.published if name in PRINTED else pytest.mark.cross_check,
        )
        for name, case in names.items()
    ]


@pytest.mark.parametrize("case", marked(FIGURES))
def test_figures_of_one_strip_by_itself(case: Case) -> None:
    found = along_one_strip(
        case.law, case.metres, case.ohms, case.feed, case.volts, case.lead, points=list(case.at)
    )
    assert found.residual == 0
    assert found.volts == pytest.approx(list(case.at.values()), abs=1e-6)
    into = found.middle_amps if case.feed == "middle" else found.start_amps
    assert into == pytest.approx(case.amps, abs=1e-6)
    if case.lost is not None:
        assert found.rail_watts == pytest.approx(case.lost, abs=1e-6)


@pytest.mark.parametrize("case", marked(FIGURES))
def test_figures_of_one_strip_in_a_network(case: Case) -> None:
    # Cut finely only for constant power; a cell's length adds its square to the error.
    volts, _ = measure(case, list(case.at), unit=0.002)
    assert volts == pytest.approx(list(case.at.values()), abs=1e-6)
    network, strips = as_network(case, 0.002)
    found = solve_network(network)
    into = found.source_amps["s"] / (2 if case.feed == "both ends" else 1)
    assert into == pytest.approx(case.amps, abs=1e-6)
    if case.lost is not None:
        assert found.strips[strips[0].id].rail_watts == pytest.approx(case.lost, abs=1e-6)


# --- Shooting ----------------------------------------------------------------------------------


def shot(case: Case) -> Callable[[float], tuple[float, float]]:
    """Solve V' = -r i, i' = -law(V) by shooting; give V and i at any place.

    From where no current flows (the far end, or the middle if both ends are fed) it is an
    initial-value problem; the voltage there is the highest that meets the source.
    """
    metres = case.metres if case.feed == "one end" else case.metres / 2
    lead = 2 * case.lead if case.feed == "middle" else case.lead

    def from_still(volts: float) -> Any:
        return solve_ivp(
            lambda _, y: [case.ohms * y[1], float(current(case.law, y[0]))],
            (0, metres),
            [volts, 0.0],
            method="DOP853",
            rtol=1e-11,
            atol=1e-12,
            dense_output=True,
            max_step=metres / 50,
        )

    def miss(volts: float) -> float:
        fed, amps = from_still(volts).y[:, -1]
        return float(fed + lead * amps - case.volts)

    low = case.volts
    while miss(low) > 0:
        high, low = low, low - 0.25
    solved = from_still(brentq(miss, low, high, xtol=1e-13))

    def at(place: float) -> tuple[float, float]:
        still = {"one end": case.metres, "both ends": metres, "middle": 0.0}[case.feed]
        away = abs(place - still)
        if case.feed == "middle":
            away = min(place, case.metres - place)
        volts, amps = solved.sol(away)
        back = place >= metres if case.feed == "middle" else place <= still
        return float(volts), float(amps if back else -amps)

    return at


@pytest.mark.cross_check
@pytest.mark.parametrize("case", [pytest.param(case, id=name) for name, case in ALL.items()])
def test_shooting_agrees_through_both_doors(case: Case) -> None:
    """To 1e-6: one door states 1e-7 V, shooting is good to 1e-9, and cells of 2 mm to 1e-6."""
    other = shot(case)
    places = [case.metres * row / 8 for row in range(9)]
    expected = [other(place) for place in places]
    alone = along_one_strip(
        case.law, case.metres, case.ohms, case.feed, case.volts, case.lead, points=places
    )
    assert alone.residual <= 1e-7
    assert alone.volts == pytest.approx([volts for volts, _ in expected], abs=1e-6)
    assert alone.amps == pytest.approx([amps for _, amps in expected], abs=1e-6)
    volts, amps = measure(case, places, unit=0.002)
    assert volts == pytest.approx([volts for volts, _ in expected], abs=1e-6)
    assert amps == pytest.approx([amps for _, amps in expected], abs=2e-6)
    given = alone.start_amps + alone.end_amps + alone.middle_amps
    lost = alone.load_watts + alone.rail_watts + alone.lead_watts
    assert lost == pytest.approx(given * case.volts, rel=1e-9)
    assert alone.holds is bool(alone.lowest_volts >= case.law.least_volts)


# --- A ladder of wires and taps -------------------------------------------------------------------


@pytest.mark.cross_check
def test_ladder_of_fifty_constant_current_cells() -> None:
    # Series then shunt: 0.006 ohm and 0.08 A a cell, 12 V. Sums of an arithmetic progression
    # give cell n a drop of R I n (2 N + 1 - n) / 2; a circuit simulator gave the same volts.
    cells = range(1, 51)
    wires = tuple(Wire(f"w{cell}", str(cell - 1), str(cell), 0.006) for cell in cells)
    found = solve_network(
        Network((Source("0", 12),), wires, (), tuple(Tap(str(cell), 0.08) for cell in cells))
    )
    assert [found.volts[str(cell)] for cell in (1, 25, 50)] == pytest.approx(
        [11.976, 11.544, 11.388], abs=1e-9
    )
    assert [found.volts[str(cell)] for cell in cells] == pytest.approx(
        [12 - 0.006 * 0.08 * cell * (101 - cell) / 2 for cell in cells], abs=1e-12
    )

"""How long networks of 10 to 10,000 strips take to solve; run with ``-m speed --benchmark-enable``.

Legs of ten bars in a chain with links between them, every third with a second feed to its end, so
that there are rings. The time should go with the number of strips.
"""

from random import Random
from typing import Any

import pytest

from pelmet.model.plan.circuit.dc.law import (
    constant_power_law,
    current_regulated_law,
    resistor_limited_law,
)
from pelmet.model.plan.circuit.dc.network import Network, Source, Strip, Wire, solve_network

pytestmark = pytest.mark.speed

STRAIGHT = (resistor_limited_law(9.6, 24, 18), current_regulated_law(9.6, 24, 22, 18))
LAWS = {
    "closed forms": STRAIGHT,
    "all kinds": (*STRAIGHT, constant_power_law(9.6, 24, 10)),
    "in drop-out": (current_regulated_law(9.6, 24, 23.9, 18),),
}
LEG = 10


@pytest.mark.parametrize("kinds", LAWS)
@pytest.mark.parametrize("strips", [10, 100, 1_000, 10_000])
def test_a_network_of_strips(strips: int, kinds: str, benchmark: Any) -> None:
    network = legs(strips, kinds)
    found = benchmark(solve_network, network)
    assert found.troubles == ()
    assert len(found.strips) == strips


def legs(strips: int, kinds: str) -> Network:
    draw = Random(1)
    laws = LAWS[kinds]
    wires: list[Wire] = []
    bars: list[Strip] = []
    for leg in range(strips // LEG):
        before = "supply"
        for row in range(LEG):
            name = f"{leg}-{row}"
            wires.append(Wire(f"to {name}", before, f"start {name}", draw.uniform(0.005, 0.02)))
            before = f"end {name}"
            law = laws[(leg + row) % len(laws)]
            metres = draw.uniform(0.3, 1)
            bars.append(Strip(f"bar {name}", f"start {name}", before, law, metres, 0.06, 0.05))
        if leg % 3 == 0:
            wires.append(Wire(f"back {leg}", "supply", before, 0.1))
    return Network((Source("supply", 24),), tuple(wires), tuple(bars))

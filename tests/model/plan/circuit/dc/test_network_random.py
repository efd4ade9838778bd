"""Random networks against a fine sparse net, and a few of them against a circuit simulator."""

import random
import shutil
import subprocess
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from scipy.sparse import coo_array, diags_array
from scipy.sparse.linalg import spsolve
from strip_laws import current

from pelmet.model.plan.circuit.dc.law import (
    StripLaw,
    constant_power_law,
    current_regulated_law,
    resistor_limited_law,
)
from pelmet.model.plan.circuit.dc.network import Network, Source, Strip, Tap, Wire, solve_network

FINE = 300


def random_network(seed: int) -> Network:
    """Make a tree with some links that close rings, strips fed from one end and from both."""
    draw = random.Random(seed)
    nodes = ["s"]
    sources = [Source("s", 24.0)]
    wires: list[Wire] = []
    strips: list[Strip] = []
    hard = draw.choice([1, 6, 12])
    for row in range(draw.randint(2, 9)):
        nodes.append(f"n{row}")
        wires.append(Wire(f"w{row}", draw.choice(nodes[:-1]), nodes[-1], draw.uniform(0.005, 0.25)))
    for row in range(draw.randint(0, 3)):  # rings
        near, far = draw.sample(nodes, 2)
        wires.append(Wire(f"r{row}", near, far, draw.uniform(0.01, 0.2)))
    if draw.random() < 0.3:  # another source of the same voltage
        sources.append(Source(draw.choice(nodes[1:]), 24.0))
    for row in range(draw.randint(2, 8)):
        law = draw.choice(
            [
                resistor_limited_law(hard * draw.uniform(3, 10), 24, draw.uniform(16, 23)),
                current_regulated_law(
                    hard * draw.uniform(3, 10), 24, draw.uniform(22, 23.8), draw.uniform(15, 21)
                ),
                constant_power_law(draw.uniform(3, 8), 24, 16),
            ]
        )
        start = draw.choice(nodes)
        end = draw.choice(nodes) if draw.random() < 0.4 else f"e{row}"
        if end.startswith("e"):
            nodes.append(end)
        strips.append(
            Strip(
                f"b{row}",
                start,
                end,
                law,
                draw.uniform(0.3, 2.5),
                draw.uniform(0.03, 0.2),
                draw.choice([0.05, 0.1]),
            )
        )
    taps = tuple(Tap(draw.choice(nodes), draw.uniform(0, 0.5)) for _ in range(draw.randint(0, 2)))
    return Network(tuple(sources), tuple(wires), tuple(strips), taps)


class Sparse:
    """Kirchhoff's current law at every node, by Newton's method with a sparse direct solver."""

    def __init__(self, network: Network, cut: set[str]) -> None:
        self.rows: dict[Any, int] = {}
        self.near: list[int] = []
        self.far: list[int] = []
        self.siemens: list[float] = []
        self.loads: list[tuple[StripLaw, Any, Any]] = []
        for wire in network.wires:
            self.resistor(wire.near, wire.far, wire.ohms)
        for strip in network.strips:
            self.units(strip) if strip.id in cut else self.fine(strip)
        self.taps = np.zeros(len(self.rows))
        for tap in network.taps:
            self.taps[self.rows[tap.node]] += tap.amps
        self.held = {self.rows[source.node]: source.volts for source in network.sources}

    def row(self, name: Any) -> int:
        return self.rows.setdefault(name, len(self.rows))

    def resistor(self, near: Any, far: Any, ohms: float) -> None:
        self.near.append(self.row(near))
        self.far.append(self.row(far))
        self.siemens.append(1 / ohms)

    def units(self, strip: Strip) -> None:
        """Cut a strip as the network states it: the load in the middle of each unit."""
        count = max(1, round(strip.metres / strip.unit_metres))
        each = strip.metres / count
        names = [strip.start, *((strip.id, k) for k in range(count)), strip.end]
        for k, (near, far) in enumerate(pairwise(names)):
            half = 2 if k in (0, count) else 1
            self.resistor(near, far, strip.ohms_per_metre * each / half)
        self.loads.append((strip.law, self.all(names[1:-1]), np.full(count, each)))

    def fine(self, strip: Strip) -> None:
        """Cut a strip finely, with each piece's load shared by its ends."""
        each = strip.metres / FINE
        names = [strip.start, *((strip.id, k) for k in range(1, FINE)), strip.end]
        for near, far in pairwise(names):
            self.resistor(near, far, strip.ohms_per_metre * each)
        share = np.full(FINE + 1, each)
        share[[0, -1]] /= 2
        self.loads.append((strip.law, self.all(names), share))

    def all(self, names: list[Any]) -> Any:
        return np.array([self.row(name) for name in names])

    def solve(self) -> dict[Any, float]:
        size = len(self.rows)
        near, far, siemens = map(np.array, (self.near, self.far, self.siemens))
        rows = np.concatenate([near, far, near, far])
        columns = np.concatenate([near, far, far, near])
        values = np.concatenate([siemens, siemens, -siemens, -siemens])
        matrix = coo_array((values, (rows, columns)), shape=(size, size)).tocsr()
        free = np.array([row for row in range(size) if row not in self.held])
        volts = np.full(size, max(self.held.values()))
        volts[list(self.held)] = list(self.held.values())
        left, slope = self.left_over(matrix, volts)
        for _ in range(200):
            jacobian = (matrix + diags_array(slope)).tocsr()[free][:, free].tocsc()
            step = -spsolve(jacobian, left[free])
            share = 1.0
            before = np.abs(left[free]).sum()
            while True:
                trial = volts.copy()
                trial[free] += share * step
                left, slope = self.left_over(matrix, trial)
                if np.abs(left[free]).sum() < before or share < 1e-6:
                    break
                share /= 2
            volts = trial
            if np.abs(share * step).max() < 1e-11:
                break
        assert np.abs(left[free]).max() < 1e-8
        return {name: float(volts[row]) for name, row in self.rows.items()}

    def left_over(self, matrix: Any, volts: Any) -> tuple[Any, Any]:
        """Give the current left over at every node, and the slopes of the loads."""
        left, slope = matrix @ volts + self.taps, np.zeros(len(volts))
        for law, at, share in self.loads:
            here, step = volts[at], 1e-7
            np.add.at(left, at, share * current(law, here))
            if law.kind == "constant-power":
                steep = -law.watts_per_metre / here**2
            else:
                steep = (current(law, here + step) - current(law, here - step)) / (2 * step)
            np.add.at(slope, at, share * steep)
        return left, slope


@pytest.mark.cross_check
@pytest.mark.parametrize("first", range(0, 240, 20))
def test_a_random_network_matches_a_fine_sparse_net(first: int) -> None:
    for seed in range(first, first + 20):
        assert_agrees(random_network(seed))


def assert_agrees(network: Network) -> None:
    """Compare a network with a sparse net that is cut finely.

    Strips solved unit by unit have the same cells there, so their volts agree to 1e-7.
    Those in closed form are cut into 300 pieces there, whose error is r i (L/300)²/12 per metre of
    strip, at most 2e-6 V for the heaviest strips made here; a drop-out or Vf there is not crossed.
    """
    found = solve_network(network)
    assert [trouble.code for trouble in found.troubles if trouble.code != "joined-sources"] == []
    cut = {name for name, flow in found.strips.items() if flow.tap_volts}
    for strip in network.strips:
        straight = strip.law.kind != "constant-power" and found.strips[strip.id].holds
        assert (strip.id not in cut) is straight
    other = Sparse(network, cut).solve()
    within = 1e-7 if len(cut) == len(network.strips) else 5e-6
    for node, volts in found.volts.items():
        assert volts == pytest.approx(other[node], abs=within), node
    for wire in network.wires:
        amps = (other[wire.near] - other[wire.far]) / wire.ohms
        assert found.wires[wire.id].amps == pytest.approx(amps, abs=within * 2 / wire.ohms)
    for strip in network.strips:
        flow = found.strips[strip.id]
        along = [volts for name, volts in other.items() if name[0] == strip.id]
        lowest = min(*along, other[strip.start], other[strip.end])
        assert flow.lowest_volts == pytest.approx(lowest, abs=1e-5)
        if strip.id in cut:
            assert flow.tap_volts == pytest.approx(along, abs=within)
    assert found.residual < 1e-9
    lost = found.input_watts - found.lost_watts - found.load_watts
    assert lost == pytest.approx(0, abs=1e-9 * found.input_watts)


@pytest.mark.property
def test_the_random_networks_try_what_is_hard() -> None:
    found = [solve_network(random_network(seed)) for seed in range(240)]
    flows = [flow for each in found for flow in each.strips.values()]
    assert sum(not flow.holds for flow in flows) > 80
    assert sum(flow.start_amps > 0 and flow.end_amps > 0 for flow in flows) > 100
    assert sum(bool(each.troubles) for each in found) > 30


# --- A circuit simulator --------------------------------------------------------------------------


def netlist(network: Network, cut: set[str]) -> str:
    """Write a network for a simulator of the SPICE family, by the cells of the sparse net."""
    net = Sparse(network, cut)
    lines = ["network"]
    lines += [f"V{row} {row + 1} 0 {volts}" for row, volts in net.held.items()]
    for row, (near, far, siemens) in enumerate(zip(net.near, net.far, net.siemens, strict=True)):
        lines.append(f"R{row} {near + 1} {far + 1} {1 / siemens!r}")
    lines += [f"IT{row} {row + 1} 0 {amps!r}" for row, amps in enumerate(net.taps.tolist()) if amps]
    for strip, (law, at, share) in enumerate(net.loads):
        for row, (node, each) in enumerate(zip(at, share.tolist(), strict=True)):
            volts = f"V({node + 1})"
            rising = f"{law.siemens_per_metre!r}*max(0,{volts}-{law.led_volts!r})"
            amps = {
                "constant-power": f"{law.watts_per_metre!r}/{volts}",
                "resistor-limited": rising,
                "current-regulated": f"min({law.amps_per_metre!r},{rising})",
            }[law.kind]
            lines.append(f"B{strip}_{row} {node + 1} 0 I={each!r}*{amps}")
    top = max(net.held.values())
    lines.append(".nodeset " + " ".join(f"V({row + 1})={top}" for row in range(len(net.rows))))
    shown = [row + 1 for name, row in net.rows.items() if isinstance(name, str)]
    lines += [".options reltol=1e-9 abstol=1e-12 vntol=1e-10", ".control", "set numdgt=12", "op"]
    lines += [f"print V({row})" for row in shown]
    return "\n".join([*lines, ".endc", ".end", ""])


@pytest.mark.cross_check
@pytest.mark.skipif(
    shutil.which("ngspice") is None, reason="no circuit simulator ngspice on this machine"
)
@pytest.mark.parametrize("seed", [0, 3, 5, 8, 11, 20])
def test_a_circuit_simulator_agrees(seed: int, tmp_path: Any) -> None:
    """By the same cells for strips cut into units, 300 for others, as for the sparse net."""
    network = random_network(seed)
    found = solve_network(network)
    cut = {name for name, flow in found.strips.items() if flow.tap_volts}
    path = tmp_path / "network.cir"
    path.write_text(netlist(network, cut), encoding="ascii")
    ran = subprocess.run(["ngspice", "-b", str(path)], capture_output=True, text=True, check=False)
    printed = {
        int(line.split("=")[0].strip()[2:-1]): float(line.split("=")[1])
        for line in ran.stdout.splitlines()
        if line.lower().startswith("v(") and "=" in line
    }
    rows = Sparse(network, cut).rows
    for node, volts in found.volts.items():
        assert printed[rows[node] + 1] == pytest.approx(volts, abs=5e-6), node

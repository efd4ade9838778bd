"""Settle one part of a network that is connected through nodes held by no source.

Every law is taken as a straight line (exact for strips above their least voltage, a tangent for
those cut into units), the linear network is solved, and so on: Newton's method.

- Starting with no drop anywhere, draws that grow faster and faster as the voltage falls (constant
  power, resistor-limited) make each step fall short of the solution and never pass it, so it ends
  at the highest solution; there is none if the network stops being positive definite on the way,
  or a constant-power unit comes down to 0 V.
- Without constant power the solution is where a convex function (the co-content) is least; steps
  are shortened by a line search on it, so they cannot go round in a circle.
- Regulated units together with constant power are taken by their chords, which keeps the first
  property; that converges more slowly.

Source: W. Millar, "Some general theorems for non-linear systems possessing resistance",
Philosophical Magazine 42 (1951), for the co-content; J. M. Ortega and W. C. Rheinboldt, Iterative
Solution of Nonlinear Equations in Several Variables (1970), for monotone Newton steps.
"""

from dataclasses import dataclass, field
from typing import Final, NamedTuple

from pelmet.model.plan.circuit.dc.between import flow_between
from pelmet.model.plan.circuit.dc.cells import (
    Cells,
    cut_strip,
    fill_in,
    flow_of_cells,
    see_ends,
    unbalanced,
)
from pelmet.model.plan.circuit.dc.co_content import Move, Net, share_of_step, straight_part
from pelmet.model.plan.circuit.dc.elements import Strip, StripFlow
from pelmet.model.plan.circuit.dc.elimination import Elimination, eliminate, order_nodes
from pelmet.model.plan.circuit.dc.law import straight_line
from pelmet.model.plan.circuit.dc.strip import (
    EquivalentPi,
    StripLine,
    equivalent_pi,
)

MOST_STEPS: Final = 400
SMALLEST_STEP: Final = 1e-13  # of the reference volts: the last digits of a drop
NOISE_STEP: Final = 1e-6  # of the same: beside a collapse, steps this small can be all rounding


class Island(NamedTuple):
    """One part: its nodes are numbers, first the free ones, then those held by sources."""

    reference: float
    """Highest voltage of its sources, which drops are from. [V]"""
    held: tuple[float, ...]
    """Drop at each held node. [V]"""
    drawn: list[float]
    """Constant current drawn at each free node. [A]"""
    wires: list[tuple[int, int, float]]
    """Two nodes, and ohms."""
    strips: list[tuple[int, int, Strip, bool]]
    """Nodes of start and end, the strip, and whether it has no ohms and is all one point."""


class IslandSolution(NamedTuple):
    """What came of it; `failed` is the strip that has no solution, by its row."""

    drops: list[float]
    """Drop at each node. [V]"""
    wires: list[float]
    """Current in each wire. [A]"""
    strips: list[StripFlow]
    residual: float
    """Largest unbalanced current at any free node or unit. [A]"""
    steps: int
    failed: int | None


class _Stamp(NamedTuple):
    near: int
    far: int
    slot: int  # of the conductance between two free nodes; -1 for none


@dataclass(slots=True)
class _Work:
    island: Island
    free: int
    plan: Elimination
    pairs: list[tuple[int, int]]
    wires: list[_Stamp]
    strips: list[_Stamp]
    lines: list[StripLine | None]
    pis: list[EquivalentPi | None]
    cells: dict[int, Cells] = field(default_factory=dict)
    steps: int = 0


def solve_island(island: Island) -> IslandSolution:
    """Solve one part of a network."""
    work = _prepare(island)
    if island.reference > 0:
        _cut(work, [row for row, line in enumerate(work.lines) if line is None])
    returned: set[int] = set()
    while True:
        drops, failed = _newton(work)
        if failed is not None:
            # In closed form a regulated strip below drop-out draws more than it can.
            more = _regulated(work)
            if not more:
                return IslandSolution(drops, [], [], 0.0, work.steps, failed)
            _cut(work, more)
            continue
        flows = [_flow(work, row, drops) for row in range(len(work.strips))]
        if not _sorted_anew(work, flows, returned):
            return _balance(work, drops, flows)


def _sorted_anew(work: _Work, flows: list[StripFlow], returned: set[int]) -> bool:
    """Cut strips whose closed forms do not hold, or else take back what need not be cut.

    A strip is taken back once only, so this comes to an end. Give whether any strip changed.
    """
    if work.island.reference <= 0:
        return False
    low = [row for row, flow in enumerate(flows) if not flow.holds and row not in work.cells]
    if low:
        _cut(work, low)
        return True
    straight = [row for row in work.cells if work.lines[row] is not None]
    back = [row for row in straight if flows[row].holds and row not in returned]
    returned.update(back)
    for row in back:
        del work.cells[row]
    return bool(back)


def _prepare(island: Island) -> _Work:
    free = len(island.drawn)
    slots: dict[tuple[int, int], int] = {}

    def stamp(near: int, far: int) -> _Stamp:
        pair = (near, far) if near < far else (far, near)
        if near == far or pair[1] >= free:
            return _Stamp(near, far, -1)
        return _Stamp(near, far, slots.setdefault(pair, len(slots)))

    wires = [stamp(near, far) for near, far, _ in island.wires]
    strips = [stamp(start, end) for start, end, _, _ in island.strips]
    lines: list[StripLine | None] = []
    for _, _, strip, point in island.strips:
        ohms = 0.0 if point else strip.ohms_per_metre
        if island.reference <= 0:
            lines.append(StripLine(strip.metres, ohms, 0.0, 0.0, strip.law.least_volts))
        else:
            lines.append(straight_line(strip.law, strip.metres, ohms))
    pis = [equivalent_pi(line) if line else None for line in lines]
    return _Work(
        island=island,
        free=free,
        plan=order_nodes(free, slots),
        pairs=list(slots),
        wires=wires,
        strips=strips,
        lines=lines,
        pis=pis,
    )


def _cut(work: _Work, rows: list[int]) -> None:
    for row in rows:
        _, _, strip, point = work.island.strips[row]
        work.cells[row] = cut_strip(strip, work.island.reference, point=point)


def _regulated(work: _Work) -> list[int]:
    """Give the rows of regulated strips that are not cut."""
    kinds = [strip.law.kind for _, _, strip, _ in work.island.strips]
    return [
        row
        for row, kind in enumerate(kinds)
        if kind == "current-regulated" and row not in work.cells
    ]


def _join(net: Net, stamp: _Stamp, siemens: float, drops: list[float]) -> None:
    """Add a conductance between two nodes."""
    near, far, slot = stamp
    free = len(net.ground)
    if slot >= 0:
        net.siemens[slot] += siemens
    elif near != far:
        if near < free:
            net.ground[near] += siemens
            net.drawn[near] += siemens * drops[far]
        elif far < free:
            net.ground[far] += siemens
            net.drawn[far] += siemens * drops[near]


def _load(net: Net, node: int, ground: float, drawn: float) -> None:
    if node < len(net.ground):
        net.ground[node] += ground
        net.drawn[node] += drawn


def _straight_parts(work: _Work, drops: list[float]) -> Net:
    """Add up wires, taps, and strips in closed form."""
    island = work.island
    net = Net([0.0] * work.plan.slots, [0.0] * work.free, list(island.drawn))
    for stamp, (_, _, ohms) in zip(work.wires, island.wires, strict=True):
        _join(net, stamp, 1 / ohms, drops)
    for row, (stamp, pi) in enumerate(zip(work.strips, work.pis, strict=True)):
        if pi is None or row in work.cells:
            continue
        if pi.ohms:
            _join(net, stamp, 1 / pi.ohms, drops)
        siemens, back = pi.load
        drawn = siemens * island.reference - back
        _load(net, stamp.near, siemens, drawn)
        _load(net, stamp.far, siemens, drawn)
    return net


def _newton(work: _Work) -> tuple[list[float], int | None]:
    """Give the drops at all nodes, and the row of a strip that has no solution."""
    island, cells = work.island, work.cells
    drops = [0.0] * work.free + list(island.held)
    base = _straight_parts(work, drops)
    for each in cells.values():
        each.drops = [0.0] * len(each.drops)
    kinds = {each.law.kind for each in cells.values()}
    curved = "constant-power" in kinds
    chord = curved and "current-regulated" in kinds
    before = float("inf")
    for _ in range(MOST_STEPS):
        work.steps += 1
        net = Net(list(base.siemens), list(base.ground), list(base.drawn))
        for row, each in cells.items():
            ends = see_ends(each, chord=chord)
            if ends is None:
                return drops, row
            stamp = work.strips[row]
            _join(net, stamp, ends.siemens, drops)
            _load(net, stamp.near, ends.start_ground, ends.start_drawn)
            _load(net, stamp.far, ends.end_ground, ends.end_drawn)
        found = eliminate(work.plan, net.siemens, net.ground, net.drawn)
        if found is None:
            return drops, _weakest(cells)
        found += island.held
        if not cells:
            return found, None
        taps = {
            row: fill_in(each, found[work.strips[row].near], found[work.strips[row].far])
            for row, each in cells.items()
        }
        share = 1.0
        if not curved:
            change = [b - a for a, b in zip(drops, found, strict=True)]
            moves = [_move(work, row, each, taps[row], change) for row, each in cells.items()]
            share = share_of_step(straight_part(base, work.pairs, change), moves)
        step = _advance(cells, drops, found, taps, share)
        if curved and (spent := _exhausted(cells)) is not None:
            return drops, spent
        small = step <= SMALLEST_STEP * island.reference
        stuck = step >= before and step <= NOISE_STEP * island.reference
        if share == 1 and (small or stuck):
            break
        before = step
    return drops, None


def _advance(
    cells: dict[int, Cells],
    drops: list[float],
    found: list[float],
    taps: dict[int, list[float]],
    share: float,
) -> float:
    """Go a share of the way to what was found; give the largest change [V]."""
    largest = 0.0
    for row, each in cells.items():
        new = taps[row]
        largest = max(largest, *(abs(b - a) for a, b in zip(each.drops, new, strict=True)))
        if share < 1:
            new = [a + share * (b - a) for a, b in zip(each.drops, new, strict=True)]
        each.drops = new
    for node, drop in enumerate(found):
        largest = max(largest, abs(drop - drops[node]))
        drops[node] = drop if share == 1 else drops[node] + share * (drop - drops[node])
    return largest


def _exhausted(cells: dict[int, Cells]) -> int | None:
    """Give the row of a constant-power strip that has come down to 0 V somewhere."""
    for row, each in cells.items():
        if each.law.kind == "constant-power" and not max(each.drops) < each.reference:
            return row
    return None


def _weakest(cells: dict[int, Cells]) -> int | None:
    """Give the row of the constant-power strip with the lowest voltage."""
    rows = [row for row, each in cells.items() if each.law.kind == "constant-power"]
    return max(rows, key=lambda row: max(cells[row].drops), default=None)


def _move(work: _Work, row: int, cells: Cells, taps: list[float], change: list[float]) -> Move:
    start, end = work.strips[row][:2]
    return Move(cells, taps, change[start], change[end])


def _flow(work: _Work, row: int, drops: list[float]) -> StripFlow:
    """Give what a strip does once the drops are known."""
    stamp = work.strips[row]
    start, end = drops[stamp.near], drops[stamp.far]
    reference, pi, line = work.island.reference, work.pis[row], work.lines[row]
    cells = work.cells.get(row)
    if cells is not None:
        return flow_of_cells(cells, start, end)
    assert line is not None, "a strip with a curved law is cut into units"
    assert pi is not None, "every straight line has its pi"
    through = (end - start) / pi.ohms if pi.ohms else 0.0
    flow = flow_between(line, pi, reference - start, reference - end, through)
    return flow._replace(holds=False) if reference <= 0 else flow


def _balance(work: _Work, drops: list[float], flows: list[StripFlow]) -> IslandSolution:
    """Give the currents, and the largest that Kirchhoff's current law leaves over."""
    island = work.island
    left = [-amps for amps in island.drawn] + [0.0] * len(island.held)
    wires = []
    for near, far, ohms in island.wires:
        amps = (drops[far] - drops[near]) / ohms
        wires.append(amps)
        left[near] -= amps
        left[far] += amps
    for stamp, flow in zip(work.strips, flows, strict=True):
        left[stamp.near] -= flow.start_amps
        left[stamp.far] -= flow.end_amps
    residual = max((abs(amps) for amps in left[: work.free]), default=0.0)
    for row, cells in work.cells.items():
        stamp = work.strips[row]
        residual = max(residual, unbalanced(cells, drops[stamp.near], drops[stamp.far]))
    return IslandSolution(drops, wires, flows, residual, work.steps, None)

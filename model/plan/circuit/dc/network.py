"""Solve a DC network of sources, cables and LED strips: Kirchhoff's laws, to a stated residual.

Strips that are above their law's least volts everywhere are taken by closed forms, without cells;
others, and constant-power strips, unit by unit with the load in the middle of each cut unit. The
parts of the answer balance: what sources give is what wires and rails lose and loads take.
"""

from typing import Final

from pelmet.model.plan.circuit.dc.between import amps_between
from pelmet.model.plan.circuit.dc.constant_power import collapse_metres
from pelmet.model.plan.circuit.dc.elements import (
    Network,
    Solution,
    Source,
    Strip,
    StripFlow,
    Tap,
    Trouble,
    Wire,
    WireFlow,
    check_network,
    place_on,
    watts_lost,
)
from pelmet.model.plan.circuit.dc.island import IslandSolution, solve_island
from pelmet.model.plan.circuit.dc.joins import amps_of_joins
from pelmet.model.plan.circuit.dc.law import straight_line
from pelmet.model.plan.circuit.dc.layout import IslandPart, Layout, is_point, lay_out
from pelmet.model.plan.circuit.dc.strip import StripLine, volts_between

__all__ = [
    "Network",
    "Solution",
    "Source",
    "Strip",
    "StripFlow",
    "Tap",
    "Trouble",
    "Wire",
    "WireFlow",
    "amps_along",
    "solve_network",
    "volts_along",
]

LARGEST_RESIDUAL: Final = 1e-9
"""Most current left over that counts as solved, of 1 A or of the part's largest current. [A]"""
ROUNDING: Final = 16 * 2.0**-52


def solve_network(network: Network) -> Solution:
    """Solve a network.

    Args:
        network: Its sources, wires, strips and taps. Each node is known by its name alone.

    Returns:
        Volts [V] of each node, amps [A] and watts [W] of each wire, strip and source, the totals
        and what is left over. What could not be solved is left out, and `troubles` says why:
        "no-source", "loop-of-no-ohms", "joined-sources", "reversed-source", "zero-length",
        "zero-ohms", "no-solution" (such as too long a strip of constant power), "not-converged".

    Raises:
        ValueError: A figure is negative or not a number, or an id is given twice.

    Source: Kirchhoff's laws; long-line theory for the closed forms (see ``strip``).

    >>> from pelmet.model.plan.circuit.dc.law import resistor_limited_law
    >>> law = resistor_limited_law(watts_per_metre=9.6, rated_volts=12, led_volts=9)
    >>> found = solve_network(
    ...     Network(
    ...         sources=(Source("supply", 12.0),),
    ...         wires=(Wire("lead", "supply", "start", ohms=0.1),),
    ...         strips=(Strip("bar", "start", "end", law, 5.0, 0.06, 0.05),),
    ...     )
    ... )
    >>> round(found.volts["start"], 6), round(found.volts["end"], 6)
    (11.683354, 11.223609)
    >>> round(found.wires["lead"].amps, 6), found.troubles
    (3.166457, ())
    """
    check_network(network)
    layout = lay_out(network)
    draft = _Draft(network, layout)
    for part in layout.parts:
        draft.add(part, solve_island(part.island))
    draft.join()
    return draft.solution()


class _Draft:
    """A solution while it is put together."""

    def __init__(self, network: Network, layout: Layout) -> None:
        self.network, self.layout = network, layout
        self.at = dict(layout.held)
        self.wires: dict[str, WireFlow] = {}
        self.strips: dict[str, StripFlow] = {}
        self.source_amps: dict[str, float] = {}
        self.input_watts = 0.0
        self.residual = 0.0
        self.steps = 0
        self.troubles = list(layout.troubles)
        self.drawn = [0.0] * len(layout.points)
        self.unknown: set[int] = set()  # points on a part that is not solved
        for tap in network.taps:
            self.drawn[layout.nodes[tap.node]] += tap.amps

    def add(self, part: IslandPart, own: IslandSolution) -> None:
        """Take in the solution of a part, or say why there is none."""
        island = part.island
        self.steps = max(self.steps, own.steps)
        trouble = _not_solved(part, own)
        if trouble:
            self.troubles.append(trouble)
            self.residual = max(self.residual, own.residual)
            self.unknown.update(part.points)
            return
        self.residual = max(self.residual, own.residual)
        for point, drop in zip(part.points[: len(island.drawn)], own.drops, strict=False):
            self.at[point] = island.reference - drop
        nodes, drawn = self.layout.nodes, self.drawn
        for row, amps, (_, _, ohms) in zip(part.wires, own.wires, island.wires, strict=True):
            wire = self.network.wires[row]
            self.wires[wire.id] = WireFlow(amps, watts_lost(amps, ohms))
            drawn[nodes[wire.near]] += amps
            drawn[nodes[wire.far]] -= amps
        for flow, (_, _, strip, point) in zip(own.strips, island.strips, strict=True):
            self.strips[strip.id] = flow
            if point:
                drawn[nodes[strip.start]] += flow.start_amps + flow.end_amps
            else:
                drawn[nodes[strip.start]] += flow.start_amps
                drawn[nodes[strip.end]] += flow.end_amps

    def join(self) -> None:
        """Find the currents of wires and strips without ohms, and what the sources give."""
        layout, network = self.layout, self.network
        nodes, points = layout.nodes, layout.points
        roots = {nodes[source.node] for source in network.sources}
        found = amps_of_joins([join[:2] for join in layout.joins], self.drawn, roots)
        ringed: dict[int, list[str]] = {}
        for join, amps in zip(layout.joins, found.amps, strict=True):
            part = network.strips[join.row] if join.strip else network.wires[join.row]
            point = points[join.near]
            if point not in self.at or point in self.unknown or join.near in layout.unfed:
                self.strips.pop(part.id, None)
            elif amps is None:
                self.strips.pop(part.id, None)
                ringed.setdefault(point, []).append(part.id)
            elif isinstance(part, Strip):
                self.strips[part.id] = self._point_flow(part, self.at[point], amps)
            else:
                self.wires[part.id] = WireFlow(amps, 0.0)
        for ids in ringed.values():
            says = f"{', '.join(ids)} join nodes without ohms in a ring: their amps cannot be known"
            self.troubles.append(Trouble("loop-of-no-ohms", ids[0], says))
        self._give(found.left)

    def _point_flow(self, strip: Strip, volts: float, onward: float) -> StripFlow:
        """Give what a strip does whose ends are one point."""
        own = self.strips.get(strip.id)
        drawn = own.start_amps + own.end_amps if own else 0.0
        watts = own.load_watts if own else 0.0
        bright = volts >= strip.law.least_volts
        taps = own.tap_volts if own else ()
        return StripFlow(
            start_volts=volts,
            end_volts=volts,
            start_amps=drawn + onward,
            end_amps=-onward,
            lowest_volts=volts,
            lowest_metres=0.0,
            load_watts=watts,
            rail_watts=0.0,
            holds=bright,
            tap_volts=taps,
        )

    def _give(self, left: list[float]) -> None:
        """Find what each source gives; two that share a point cannot be told apart."""
        points, nodes = self.layout.points, self.layout.nodes
        given: dict[int, float] = {}
        for node, amps in enumerate(left):
            given[points[node]] = given.get(points[node], 0.0) + amps
        sharing: dict[int, set[str]] = {}
        for source in self.network.sources:
            sharing.setdefault(points[nodes[source.node]], set()).add(source.node)
        for point, names in sharing.items():
            if point in self.unknown or point in self.layout.unfed:
                continue
            self.input_watts += self.layout.held[point] * given[point]
            if len(names) == 1:
                self.source_amps[names.pop()] = given[point]

    def solution(self) -> Solution:
        """Give the whole, with its totals."""
        layout = self.layout
        volts = {
            name: self.at[layout.points[node]]
            for name, node in layout.nodes.items()
            if layout.points[node] in self.at and node not in layout.unfed
        }
        lost = sum(flow.watts for flow in self.wires.values())
        lost += sum(flow.rail_watts for flow in self.strips.values())
        load = sum(flow.load_watts for flow in self.strips.values())
        load += sum(tap.amps * volts.get(tap.node, 0.0) for tap in self.network.taps)
        return Solution(
            volts=volts,
            wires=self.wires,
            strips=self.strips,
            source_amps=self.source_amps,
            input_watts=self.input_watts,
            lost_watts=lost,
            load_watts=load,
            residual=self.residual,
            iterations=self.steps,
            troubles=tuple(self.troubles),
        )


def _not_solved(part: IslandPart, own: IslandSolution) -> Trouble | None:
    """Say why a part is not solved, if it is not."""
    island = part.island
    if own.failed is not None:
        return _no_solution(part, island.strips[own.failed][2])
    amps = max((abs(flow.start_amps) + abs(flow.end_amps) for flow in own.strips), default=0.0)
    amps = max(amps, 1.0, *(abs(amps) for amps in own.wires), *island.drawn)
    # A conductance carries no current more exactly than the last digit of its drop.
    siemens = max((1 / ohms for _, _, ohms in island.wires), default=0.0)
    rounding = ROUNDING * siemens * max(own.drops)
    if own.residual <= LARGEST_RESIDUAL * amps + rounding:
        return None
    ids = [strip.id for _, _, strip, _ in island.strips]
    return Trouble(
        "not-converged",
        ids[0] if ids else "",
        f"{own.residual:.3g} A is still unbalanced among {', '.join(ids[:6])} after"
        f" {own.steps} steps, so no volts are given for them",
    )


def _no_solution(part: IslandPart, strip: Strip) -> Trouble:
    volts = part.island.reference
    longest = collapse_metres(volts, strip.ohms_per_metre, strip.law.watts_per_metre)
    says = (
        f"no voltage feeds strip {strip.id}, whose constant power draws more the lower the voltage"
        f" falls: straight from {volts:g} V and fed from one end it could be {longest:.2f} m long"
        f" at most, and it is {strip.metres:g} m"
    )
    if strip.metres < longest:
        says += ", so the cables before it, or what else they feed, are too much"
    return Trouble("no-solution", strip.id, says)


def volts_along(network_strip: Strip, flow: StripFlow, metres: float) -> float:
    """Give the volts at a point of a strip of a solved network.

    Args:
        network_strip: The strip as it was given.
        flow: What it does, from the solution.
        metres: Distance from its start, 0 to its length. [m]

    Returns:
        Voltage there. [V]

    Raises:
        ValueError: The point is not on the strip.
    """
    metres = place_on(network_strip.metres, metres)
    if flow.tap_volts and not is_point(network_strip):
        count = len(flow.tap_volts)
        row, share = _between_taps(network_strip, count, metres)
        volts = (flow.start_volts, *flow.tap_volts, flow.end_volts)
        return volts[row] + share * (volts[row + 1] - volts[row])
    if is_point(network_strip):
        return flow.start_volts
    return volts_between(_line(network_strip, flow), flow.start_volts, flow.end_volts, metres)


def amps_along(network_strip: Strip, flow: StripFlow, metres: float) -> float:
    """Give the amps past a point of a strip of a solved network, from its start to its end.

    Args:
        network_strip: The strip as it was given.
        flow: What it does, from the solution.
        metres: Distance from its start, 0 to its length. [m]

    Returns:
        Current there. [A] Of a strip solved unit by unit, the load of each unit is spread over it.

    Raises:
        ValueError: The point is not on the strip.
    """
    metres = place_on(network_strip.metres, metres)
    if network_strip.metres == 0:
        return flow.start_amps
    if flow.tap_volts and not is_point(network_strip):
        count = len(flow.tap_volts)
        units = metres / network_strip.metres * count
        row = min(int(units), count - 1)
        before, after = _at_cut(network_strip, flow, row), _at_cut(network_strip, flow, row + 1)
        return before + (units - row) * (after - before)
    return amps_between(_line(network_strip, flow), flow.start_amps, -flow.end_amps, metres)


def _between_taps(strip: Strip, count: int, metres: float) -> tuple[int, float]:
    """Give which tap or end is before a point, and how far from it to the next the point is."""
    units = metres / strip.metres * count
    row = min(int(units + 0.5), count)
    if row == 0:
        return 0, 2 * units
    return row, (units + 0.5 - row) * (2 if row == count else 1)


def _at_cut(strip: Strip, flow: StripFlow, row: int) -> float:
    """Give the current past a cut mark; 0 is the start."""
    taps = flow.tap_volts
    if row == 0:
        return flow.start_amps
    if row == len(taps):
        return -flow.end_amps
    return (taps[row - 1] - taps[row]) * len(taps) / (strip.metres * strip.ohms_per_metre)


def _line(strip: Strip, flow: StripFlow) -> StripLine:
    """Give the straight line that a strip was solved by."""
    ohms = 0.0 if is_point(strip) else strip.ohms_per_metre
    line = straight_line(strip.law, strip.metres, ohms)
    if line is None or max(flow.start_volts, flow.end_volts) <= 0:
        return StripLine(strip.metres, ohms, 0.0, 0.0, strip.law.least_volts)
    return line

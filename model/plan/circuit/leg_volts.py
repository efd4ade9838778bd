"""The volts of a solved network as figures, each from the point that its current comes from."""

from collections.abc import Iterator
from heapq import heappop, heappush

from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.circuit.dc.elements import Solution, StripFlow
from pelmet.model.plan.circuit.leg_network import LegNetwork
from pelmet.model.plan.figure import Figure, given, read_off


class NetworkVolts:
    """Follows the current from the sources down: ``at`` has the volts of each node, ``order`` the
    cables and strips as they were met.
    """

    def __init__(self, network: LegNetwork, solution: Solution, load: Figure) -> None:
        self.network, self.solution, self.load = network, solution, load
        self.wires = {wire.id: wire for wire in network.elements.wires}
        self.at: dict[str, Figure] = {}
        self.order: list[str] = []
        self._follow()

    def amps(self, cable: str) -> Figure:
        """Give what a cable carries."""
        # Of the load alone: with the volts too, each would stand twice below every one after it.
        amps = abs(self.solution.wires[cable].amps)
        return read_off("amps", amps, "A", "cable amps", cable, self.load)

    def strips_of(self, bar: Bar) -> tuple[str, ...]:
        """Give the names of a bar's strips in the network."""
        halves = (f"{bar.id} to left", f"{bar.id} to right")
        return halves if bar.id in self.network.middles else (bar.id,)

    def end_of(self, bar: Bar, side: str) -> Figure:
        """Give the volts at an end of a bar's strip, or where it is fed in its middle."""
        return self.at[f"{bar.id} {side}"].called(f"volts at {side}", bar.id)

    def within(self, bar: Bar, flow: StripFlow, *ends: Figure) -> Figure:
        """Give the lowest volts of a bar fed from both ends, between them."""
        inputs = (*ends, *self.made_of(bar))
        how = self._how(bar, flow)
        return read_off("lowest volts", flow.lowest_volts, "V", how, bar.id, *inputs)

    def made_of(self, bar: Bar) -> tuple[Figure, ...]:
        """Give what the volts along a bar follow from: its strip, and how much of it is lit."""
        strip = self.network.strips[bar.id]
        return (
            given("strip loop", strip.ohms_per_metre, "ohm/m", "part", strip.id),
            given("watts per metre", strip.watts_per_metre, "W/m", "part", strip.id),
            bar.lit,
        )

    def _follow(self) -> None:
        """Go through the network from the highest volts down, and note whence each comes."""
        waiting: list[tuple[float, int, str]] = []
        beside: dict[str, list[tuple[str, str]]] = {}
        for kind, one, other in self._edges():
            beside.setdefault(one, []).append((kind, other))
            beside.setdefault(other, []).append((kind, one))
        for source in self.network.elements.sources:
            figure = given("supply volts", source.volts, "V", "part", source.node)
            self.at[source.node] = figure
            heappush(waiting, (-source.volts, len(waiting), source.node))
        ordered: dict[str, None] = {}
        count = len(waiting)
        while waiting:
            _, _, node = heappop(waiting)
            for name, other in beside.get(node, ()):
                ordered.setdefault(name)
                if other not in self.at:
                    self.at[other] = self._volts_after(name, node, other)
                    count += 1
                    heappush(waiting, (-self.solution.volts[other], count, other))
        self.order = list(ordered)

    def _edges(self) -> Iterator[tuple[str, str, str]]:
        for wire in self.network.elements.wires:
            yield wire.id, wire.near, wire.far
        for strip in self.network.elements.strips:
            yield strip.id, strip.start, strip.end

    def _volts_after(self, name: str, node: str, other: str) -> Figure:
        """Give the volts of a node from those of the one before it."""
        near, value = self.at[node], self.solution.volts[other]
        loop = self.network.loops.get(name)
        if loop is not None:
            amps = self.amps(name)
            return read_off("volts", value, "V", "cable volts", other, near, amps, loop)
        bar = self.network.bars[name.removesuffix(" to left").removesuffix(" to right")]
        flow = self.solution.strips[name]
        start = near.called("volts at start", bar.id)
        how = self._how(bar, flow)
        return read_off("volts at end", value, "V", how, bar.id, start, *self.made_of(bar))

    def _how(self, bar: Bar, flow: StripFlow) -> str:
        if flow.tap_volts:
            return "volts by units"
        kind = self.network.strips[bar.id].kind
        return "volts linear" if kind == "resistor-limited" else "volts regulated"

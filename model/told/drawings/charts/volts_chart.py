"""Volts along a leg as a small chart: across the way from the supply, down the volts.

Cables are dotted, bars are stars; of several runs each has a letter.
"""

from collections.abc import Iterator, Mapping
from heapq import heappop, heappush
from itertools import pairwise
from string import ascii_lowercase
from typing import Final, NamedTuple

from pelmet.model.job.job import Job
from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.circuit.dc.elements import Strip as Stretch
from pelmet.model.plan.circuit.dc.elements import StripFlow
from pelmet.model.plan.circuit.dc.network import volts_along
from pelmet.model.plan.circuit.leg_network import MM_PER_METRE
from pelmet.model.plan.circuit.legs import LegCircuit, OperatingPoint
from pelmet.model.told.drawings.drawing import Canvas, Drawing, Role, Words, flow, stack
from pelmet.model.told.figures import millimetres

LEAST_WIDTH: Final = 24
LEAST_HEIGHT: Final = 5
_CABLE, _BAR, _LINE = ".", "*", "-"
_POINTS: Final = 16  # stretches that a strip's curve is drawn by
_SAME_VOLTS: Final = 1e-9
_SAME_METRES: Final = 1e-6
_KEY_SHARE: Final = 3  # no more than a third of the rows say what marks mean
_PERCENT: Final = 100

_Point = tuple[float, float]


class Trace(NamedTuple):
    """A cable or a bar: metres of way from the supply and volts, from its near end on."""

    about: str
    run: str | None
    points: tuple[_Point, ...]


def draw_volts_chart(leg: LegCircuit, job: Job, width: int, height: int) -> tuple[str, ...]:
    """Draw the volts along a leg in plain ASCII, at most ``width`` columns and ``height`` rows.

    The warning limit of the drop is a line of dashes. Words alone when the leg is not worked out
    or there is no room. Never raises.
    """
    return chart(leg, job, width, height).rows


def chart(leg: LegCircuit, job: Job, width: int, height: int) -> Drawing:
    """Draw the same with spans, by the ids of bars and cables."""
    found = traces(leg)
    if not found:
        return _words(f"{leg.leg.id}: volts not known", leg.leg.id, width, height)
    lowest = min(volts for trace in found for _, volts in trace.points)
    if width < LEAST_WIDTH or height < LEAST_HEIGHT:
        words = f"{leg.leg.id}: {lowest:.2f} V at worst"
        return _words(words, leg.leg.id, width, height)
    top = found[0].points[0][1]
    warn = float(job.allowances.drop_warn)
    letters = _letters(found)
    line = top * (1 - warn / _PERCENT)
    below = line < lowest
    limit = f"{warn:g} % down: {line:.2f} V{', below' if below else ''}"
    marks = [Words(f"{letter} {run}", "key") for run, letter in letters.items() if letter != _BAR]
    key = flow([Words(limit, "key"), *marks], width).first(height // _KEY_SHARE)
    grid = _Grid(found, top, lowest, width, height - 1 - len(key.rows))
    return stack([grid.draw(letters, None if below else line), grid.across(job), key])


def _words(text: str, about: str, width: int, height: int) -> Drawing:
    words = (Words(word, "key", about) for word in text.split())
    return flow(words, max(width, 1), gap=1).first(height)


def _letters(found: tuple[Trace, ...]) -> Mapping[str, str]:
    """Give each run its mark: a star if it is alone, else a letter, as far as they go."""
    runs = dict.fromkeys(trace.run for trace in found if trace.run)
    if len(runs) == 1:
        return dict.fromkeys(runs, _BAR)
    marks = (*ascii_lowercase, *ascii_lowercase.upper())
    return {run: marks[at] if at < len(marks) else _BAR for at, run in enumerate(runs)}


# What is drawn


def traces(leg: LegCircuit) -> tuple[Trace, ...]:
    """Give the cables and bars of a leg as current goes through them, from its supply on.

    A bar that is fed from both ends is two, each down to where its volts are lowest; of what
    another leg feeds there is nothing.
    """
    if leg.operating_point is None:
        return ()
    return tuple(_Along(leg, leg.operating_point).follow())


class _Edge(NamedTuple):
    """Something that joins two nodes: a cable, a joint of no length, or a strip."""

    about: str
    run: str | None
    near: str
    far: str
    metres: float
    strip: Stretch | None
    flow: StripFlow | None


class _Along:
    """A leg followed from its supply, always to what has fewer volts."""

    def __init__(self, leg: LegCircuit, point: OperatingPoint) -> None:
        self.supply = leg.leg.supply
        self.volts = point.solution.volts
        self.beside: dict[str, list[_Edge]] = {}
        for edge in _edges(leg, point):
            self.beside.setdefault(edge.near, []).append(edge)
            self.beside.setdefault(edge.far, []).append(edge)

    def follow(self) -> Iterator[Trace]:
        at = {self.supply: 0.0}
        waiting = [(-self.volts[self.supply], self.supply)]
        gone: set[tuple[str, str]] = set()
        while waiting:
            _, node = heappop(waiting)
            for edge in self.beside.get(node, ()):
                other = edge.far if node == edge.near else edge.near
                points = tuple(self._points(edge, node, at[node]))
                way = (edge.near, edge.far)
                if not points or (way in gone and not _parted(edge)):
                    continue
                gone.add(way)
                if points[-1][0] > at[node] or points[-1][1] < points[0][1]:
                    yield Trace(edge.about, edge.run, points)
                if other not in at and not _parted(edge):
                    at[other] = points[-1][0]
                    heappush(waiting, (-self.volts[other], other))

    def _points(self, edge: _Edge, node: str, start: float) -> Iterator[_Point]:
        """Give the way and volts along something from one of its ends; none against the current."""
        ahead = node == edge.near
        if edge.strip is None or edge.flow is None:
            other = self.volts[edge.far if ahead else edge.near]
            if other <= self.volts[node] + _SAME_VOLTS:
                yield start, self.volts[node]
                yield start + edge.metres, other
            return
        strip, flowing = edge.strip, edge.flow
        first, last = (0.0, strip.metres) if ahead else (strip.metres, 0.0)
        if _parted(edge):
            last = flowing.lowest_metres
        elif volts_along(strip, flowing, last) > self.volts[node] + _SAME_VOLTS:
            return
        for step in range(_POINTS + 1):
            place = last if step == _POINTS else first + (last - first) * step / _POINTS
            yield start + abs(place - first), volts_along(strip, flowing, place)


def _parted(edge: _Edge) -> bool:
    """Say if current comes into a strip from both its ends."""
    if edge.flow is None:
        return False
    return _SAME_METRES < edge.flow.lowest_metres < edge.metres - _SAME_METRES


def _edges(leg: LegCircuit, point: OperatingPoint) -> Iterator[_Edge]:
    network, solution = point
    own = {flowing.cable for flowing in leg.flows}
    bars = {bar.bar for bar in leg.bars}
    for wire in network.elements.wires:
        cable = wire.id.removesuffix(" joint")
        if cable in own:
            lengths = network.loops[cable].inputs if wire.id == cable else ()
            metres = sum(float(each.value) for each in lengths if each.unit == "mm") / MM_PER_METRE
            yield _Edge(cable, None, wire.near, wire.far, metres, None, None)
    for strip in network.elements.strips:
        bar = strip.id.removesuffix(" to left").removesuffix(" to right")
        if bar in bars:
            flowing = solution.strips[strip.id]
            run = network.bars[bar].run
            yield _Edge(bar, run, strip.start, strip.end, strip.metres, strip, flowing)


# How it is drawn


class _Grid:
    """The cells that traces are drawn in, with the volts written beside them."""

    def __init__(
        self, found: tuple[Trace, ...], top: float, lowest: float, width: int, rows: int
    ) -> None:
        self.traces, self.top, self.lowest = found, top, lowest
        self.margin = len(f"{top:.2f}") + 1
        self.width, self.rows = width, rows
        self.metres = max(metres for trace in found for metres, _ in trace.points)

    def _row(self, volts: float) -> int:
        span = self.top - self.lowest
        return round((self.top - volts) / span * (self.rows - 1)) if span > _SAME_VOLTS else 0

    def _column(self, metres: float) -> int:
        most = self.width - self.margin - 1
        return self.margin + (round(metres / self.metres * most) if self.metres else 0)

    def draw(self, letters: Mapping[str, str], line: float | None) -> Drawing:
        """Draw all traces, bars over cables, and a line of dashes at some volts."""
        canvas = Canvas(self.width, self.rows)
        labels = {self._row(self.lowest): self.lowest, 0: self.top}
        if line is not None:
            labels.setdefault(self._row(line), line)
            for column in range(self.margin, self.width):
                canvas.put((self._row(line), column), _LINE, "scale", "")
        for row, volts in labels.items():
            canvas.write((row, 0), f"{volts:{self.margin - 1}.2f}", "label", "")
        for trace in sorted(self.traces, key=_is_bar):
            mark = letters[trace.run] if trace.run else _CABLE
            role: Role = "run" if trace.run else "cable"
            for cell in self._cells(trace.points):
                canvas.put(cell, mark, role, trace.about)
        return canvas.drawing()

    def _cells(self, points: tuple[_Point, ...]) -> Iterator[tuple[int, int]]:
        """Give the cells that a curve goes through, without gaps."""
        for (one, high), (other, low) in pairwise(points):
            first, last = self._column(one), self._column(other)
            before = self._row(high)
            for column in range(first, last + 1):
                share = (column - first) / (last - first) if last > first else 1.0
                row = self._row(high + share * (low - high))
                for between in range(min(before + 1, row), row + 1):
                    yield between, column
                before = row

    def across(self, job: Job) -> Drawing:
        """Write how far it is from the supply to the farthest point."""
        site = job.site
        far = print_length(
            millimetres(round(self.metres * MM_PER_METRE)), site.length_unit, site.inch_parts
        )
        canvas = Canvas(self.width, 1)
        canvas.write((0, self.margin), "0", "scale", "")
        canvas.write((0, self.width - len(far)), far, "scale", "")
        return canvas.drawing()


def _is_bar(trace: Trace) -> bool:
    return trace.run is not None

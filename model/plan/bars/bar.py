"""One bar: its length, its whole cut units, what is lit and what stays dark."""

import math
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from typing import NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import End, Run
from pelmet.model.job.parts import Channel, Strip
from pelmet.model.plan.bars.corner import mitre_lengths
from pelmet.model.plan.figure import Figure, given, read_off
from pelmet.model.plan.survey.openings import Edge, Opening

_TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True, eq=False)
class Bar:
    """One rigid length under an opening; places are along its wall, or up from the floor [mm].

    ``length`` is along the channel's middle; ``points`` are the wall's and the room's edge
    of a mitred bar. ``splices`` are joints between two channels, ``dark_left`` and ``dark_right``
    what is not lit at its ends. Bars, and the fits they stand in, are told apart by identity:
    an unchanged run gives the same ones again, and the later stages know them at a glance.
    """

    id: str
    run: str
    opening: Opening
    length: Figure
    units: Figure
    lit: Figure
    dark: Figure
    rest: Figure
    share: Figure
    dark_left: Figure
    dark_right: Figure
    left: Decimal
    lit_left: Decimal
    splices: tuple[Decimal, ...] = ()
    points: tuple[Figure, ...] = ()

    @property
    def wall(self) -> str:
        """Id of the wall it hangs at."""
        return self.opening.wall

    @property
    def upright(self) -> bool:
        """Whether it stands upright."""
        return self.opening.upright

    @property
    def right(self) -> Decimal:
        """Right end of the bar along the wall, or its upper end [mm]."""
        return self.left + Decimal(self.length.value)

    @property
    def lit_right(self) -> Decimal:
        """Right end of the lit part along the wall, or its upper end [mm]."""
        return self.lit_left + Decimal(self.lit.value)

    @property
    def caps(self) -> int:
        """How many of its ends take a cap: a mitred one takes none."""
        return sum(edge.kind != "mitre" for edge in self.opening.ends)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All figures of this bar, in the order a cut list wants them."""
        return (
            self.opening.clear,
            self.length,
            *self.points,
            *(edge.setting for edge in self.opening.ends if edge.setting),
            self.units,
            self.lit,
            self.dark,
            self.rest,
            self.dark_left,
            self.dark_right,
            self.share,
        )


def first_end(run: Run) -> End:
    """Give the end of a run's bars that counts as their feed end: left, if both or neither is."""
    return "right" if run.feed_end == "right" else "left"


class Band(NamedTuple):
    """The dark between one lit length of a run and the next, across a stile or a corner [mm]."""

    left_bar: str
    right_bar: str
    across: Figure


class Makings(NamedTuple):
    """What a bar is made with: the run's choices, its parts, and the cap's thickness."""

    run: Run
    strip: Strip
    channel: Channel
    cap: Figure
    allowances: Allowances

    def taken(self, edge: Edge) -> Decimal:
        """Give what an end takes off the opening [mm]: clearance and cap, unless bars meet."""
        if edge.kind == "mitre":
            return Decimal(0)
        cap = Decimal(self.cap.value)
        return cap if edge.kind == "butt" else cap + self.allowances.end_clearance

    def caps(self, opening: Opening) -> int:
        """Count the ends that take a cap: a mitred one takes none."""
        return sum(edge.kind != "mitre" for edge in opening.ends)

    def longest_edge(self, opening: Opening) -> Decimal:
        """Give the longer edge of the bar an opening takes [mm]: a mitre adds to it."""
        slants = [self._slant(edge, float(self.channel.face)) for edge in opening.ends]
        taken = sum((self.taken(edge) for edge in opening.ends), Decimal(0))
        return Decimal(opening.clear.value) - taken + sum(slants, Decimal(0))

    def least_taken(self, opening: Opening) -> Decimal:
        """Give how much less than two plain ends the ends of an opening take at least [mm]."""
        plain = self.taken(Edge("joint"))
        face = float(self.channel.face)
        less = [plain - self.taken(edge) + self._slant(edge, face) for edge in opening.ends]
        return sum((max(each, Decimal(0)) for each in less), Decimal(0))

    def _slant(self, edge: Edge, width: float) -> Decimal:
        """Give how far a mitre runs along half a width [mm], up to 0.1 mm."""
        if edge.setting is None:
            return Decimal(0)
        slant = width / 2 * math.tan(math.radians(float(edge.setting.value)))
        return Decimal(str(round(slant, 6))).quantize(_TENTH, ROUND_CEILING)

    def zone(self, edge: Edge, zone: Decimal) -> Decimal:
        """Give what stays dark inside the bar at an end [mm]; a mitre cuts into the strip."""
        return zone + self._slant(edge, float(self.strip.width))


def fit_bar(bar_id: str, opening: Opening, made: Makings) -> Bar | None:
    """Fit one bar: length, whole cut units, lit and dark [mm]; nothing if no unit goes in.

    ``bar = opening - 2 clearance - 2 cap``; ``units = floor((bar - start - end) / unit)``.
    """
    run, allowances = made.run, made.allowances
    left_gap, right_gap = (made.taken(edge) for edge in opening.ends)
    fed_left = first_end(run) == "left"
    lead, tail = allowances.start_zone, allowances.end_zone
    if run.feed_end in ("both", "middle"):
        tail = max(lead, tail)  # wires come to either end of a bar
    zones = [
        made.zone(edge, lead if (side == 0) == fed_left else tail)
        for side, edge in enumerate(opening.ends)
    ]
    length = Decimal(opening.clear.value) - left_gap - right_gap
    usable = length - sum(zones)
    step = made.strip.cut_unit
    if usable < step:
        return None
    units = int(usable // step)
    lit = units * step
    rest = usable - lit
    left = opening.left + left_gap
    at_feed = {"feed end": rest, "far end": Decimal(0), "shared": rest / 2}[run.dark_rest]
    before = zones[0] + (at_feed if fed_left else rest - at_feed)

    clearance = given("clearance", allowances.end_clearance, "mm", "allowance")
    ends = (
        given("start zone", zones[0 if fed_left else 1], "mm", "allowance"),
        given("end zone", zones[1 if fed_left else 0], "mm", "allowance"),
    )
    unit = given("cut unit", step, "mm", "part", made.strip.id)
    plain = all(edge.kind not in ("butt", "mitre") for edge in opening.ends)
    how = "bar" if plain else "bar at a corner"
    bar = read_off("bar", length, "mm", how, bar_id, opening.clear, clearance, made.cap)
    count = read_off("cut units", units, "1", "units", bar_id, bar, *ends, unit)
    lit_figure = read_off("lit", lit, "mm", "lit", bar_id, count, unit)
    left_over = read_off("dark rest", rest, "mm", "rest", bar_id, bar, *ends, lit_figure)
    where = given("dark rest goes", {"feed end": 1, "far end": 0, "shared": 0.5}[run.dark_rest],
                  "1", "choice", run.id)  # fmt: skip
    sides = (*ends, left_over, where)
    return Bar(
        id=bar_id,
        run=run.id,
        opening=opening,
        length=bar,
        units=count,
        lit=lit_figure,
        dark=read_off("dark in the bar", length - lit, "mm", "dark", bar_id, bar, lit_figure),
        rest=left_over,
        share=read_off(
            "lit share", float(100 * lit / length), "%", "lit share", bar_id, lit_figure, bar
        ),
        dark_left=read_off("dark at left", before, "mm", "dark end", bar_id, *sides),
        dark_right=read_off(
            "dark at right", length - lit - before, "mm", "dark end", bar_id, *sides
        ),
        left=left,
        lit_left=left + before,
        points=_points(bar_id, opening, bar, made.channel),
    )


def _points(bar_id: str, opening: Opening, bar: Figure, channel: Channel) -> tuple[Figure, ...]:
    """Give the wall's and the room's edge of a mitred bar [mm], or nothing."""
    settings = [edge.setting for edge in opening.ends if edge.setting]
    if not settings:
        return ()
    face = given("face", channel.face, "mm", "part", channel.id)
    corners = [float(setting.inputs[0].value) for setting in settings]
    edges = mitre_lengths(float(bar.value), float(channel.face), corners)
    return tuple(
        read_off(name, value, "mm", "mitred edge", bar_id, bar, face, *settings)
        for name, value in (("wall edge", edges.wall_side), ("room edge", edges.room_side))
    )


def band(left: Bar, right: Bar) -> Band | None:
    """Give the dark between two bars of a run that follow each other, if they are in one line."""
    about = f"{left.id}-{right.id}"
    ends = (left.dark_right, right.dark_left)
    if left.upright or right.upright:
        in_line = left.opening.shallowest == right.opening.shallowest
    else:
        in_line = left.wall == right.wall
    if in_line:
        across = right.lit_left - left.lit_right
        gap = Figure("gap", right.left - left.right, "mm", "between bars", (), about)
        return Band(
            left.id, right.id, read_off("dark band", across, "mm", "band", about, *ends, gap)
        )
    before, after = left.opening.ends[1].crossing, right.opening.ends[0].crossing
    if before is None or after is None:
        return None
    none = Decimal(0)  # light that goes on past the crossing leaves nothing dark on its line
    across = max(before - left.lit_right, none) + max(right.lit_left - after, none)
    return Band(
        left.id, right.id, read_off("dark corner", across, "mm", "corner band", about, *ends)
    )

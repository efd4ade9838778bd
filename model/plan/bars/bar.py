"""One bar: its length, its whole cut units, what is lit and what stays dark."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from typing import NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.items import End, Run
from pelmet.model.job.parts import Channel, Strip
from pelmet.model.plan.bars.corner import dark_corner, is_inside, mitre_slant, mitred_edge
from pelmet.model.plan.bars.lengths import (
    bar_at_corner,
    bar_length,
    dark_at_end,
    dark_band,
    dark_length,
    dark_rest,
    end_takes,
    lit_length,
    lit_share,
    whole_units,
)
from pelmet.model.plan.figure import Figure, derived, derived_exactly, given, read_off
from pelmet.model.plan.standing import StandingBar
from pelmet.model.plan.survey.openings import Edge, Opening

_TENTH = Decimal("0.1")


@dataclass(frozen=True, slots=True, eq=False)
class Bar:
    """One rigid length under an opening; places are along its wall, or up from the floor [mm].

    ``length`` is along the channel's middle; ``points`` are the wall's and the room's edge
    of a mitred bar. ``splices`` are joints between two channels, ``dark_left`` and ``dark_right``
    what is not lit at its ends. Of a bar that is cut, ``allowed`` is the length its opening takes
    now, and ``hangs`` tells whether it is in its place; ``off`` is how far to the right that is
    from where its opening would take it now. Bars, and the fits they stand in, are told
    apart by identity: an unchanged run gives the same ones again, and the later stages know them at
    a glance.
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
    allowed: Figure | None = None
    hangs: bool = False
    off: Decimal = Decimal(0)

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
        return self.opening.caps

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


class DarkBand(NamedTuple):
    """The dark between one lit length of a run and the next, across a stile or a corner [mm]."""

    left_bar: str
    right_bar: str
    across: Figure


class BarSpec(NamedTuple):
    """What a bar is made with: the run's choices, its parts, and what each of its ends takes."""

    run: Run
    strip: Strip
    channel: Channel
    cap: Figure
    clearance: Figure
    allowances: Allowances

    def taken(self, edge: Edge) -> Decimal:
        """Give what an end takes off the opening [mm]: clearance and cap, unless bars meet."""
        return end_takes(edge.kind, Decimal(self.clearance.value), Decimal(self.cap.value))

    def length(self, opening: Opening) -> Decimal:
        """Give the bar an opening takes, along its middle [mm]."""
        clear, clearance, cap = (
            Decimal(each.value) for each in (opening.clear, self.clearance, self.cap)
        )
        return bar_at_corner(clear, clearance, cap, ends=opening.kinds)

    def longest_edge(self, opening: Opening) -> Decimal:
        """Give the longer edge of the bar an opening takes [mm]: a mitre adds to it."""
        face = float(self.channel.face)
        slants = (_slant(edge, face) for edge in opening.ends)
        return self.length(opening) + sum(slants, Decimal(0))

    def least_taken(self, opening: Opening) -> Decimal:
        """Give how much less than two plain ends the ends of an opening take at least [mm]."""
        plain = self.taken(Edge("joint"))
        face = float(self.channel.face)
        less = [plain - self.taken(edge) + _slant(edge, face) for edge in opening.ends]
        return sum((max(each, Decimal(0)) for each in less), Decimal(0))

    def zones(self, opening: Opening) -> tuple[Figure, Figure]:
        """Give what stays dark inside a bar at the end it is fed from, and at the other [mm].

        A mitre cuts into the strip.
        """
        lead, tail = self.allowances.start_zone, self.allowances.end_zone
        if self.run.feed_end in ("both", "middle"):
            tail = max(lead, tail)  # wires come to either end of a bar
        fed, far = opening.ends if first_end(self.run) == "left" else opening.ends[::-1]
        width = float(self.strip.width)
        return (
            given("start zone", lead + _slant(fed, width), "mm", "allowance"),
            given("end zone", tail + _slant(far, width), "mm", "allowance"),
        )


def _slant(edge: Edge, width: float) -> Decimal:
    """Give how far a mitre runs along half a width [mm], up to 0.1 mm."""
    if edge.setting is None:
        return Decimal(0)
    slant = mitre_slant(width, float(edge.setting.value))
    return Decimal(str(round(slant, 6))).quantize(_TENTH, ROUND_CEILING)


def fit_bar(
    bar_id: str, opening: Opening, spec: BarSpec, built: StandingBar | None = None
) -> Bar | None:
    """Fit one bar: length, whole cut units, lit and dark [mm]; nothing if no unit goes in.

    What is built of it is taken as it is.
    """
    run, strip = spec.run, spec.strip
    unit = given("cut unit", strip.cut_unit, "mm", "part", strip.id)
    ends = spec.zones(opening)
    allowed = _length(bar_id, opening, spec)
    bar = allowed
    if built:
        slant = 0 if built.wall else spec.longest_edge(opening) - spec.length(opening)
        bar = given("bar", built.length - slant, "mm", "built", bar_id)
    if built and built.lit is not None:
        units = given("cut units", int(built.lit // strip.cut_unit), "1", "built", bar_id)
    else:
        units = derived_exactly("cut units", "1", whole_units, bar_id, bar, *ends, unit)
    if units.value < 1:
        return None
    lit = derived_exactly("lit", "mm", lit_length, bar_id, units, unit)
    rest = derived_exactly("dark rest", "mm", dark_rest, bar_id, bar, *ends, lit)
    where = given("dark rest goes", {"feed end": 1, "far end": 0, "shared": 0.5}[run.dark_rest],
                  "1", "choice", run.id)  # fmt: skip
    dark_left, dark_right = (
        derived_exactly(
            f"dark at {side}", "mm", dark_at_end, bar_id, *ends, rest, where,
            fed=side == first_end(run),
        )
        for side in ("left", "right")
    )  # fmt: skip
    would = opening.left + spec.taken(opening.ends[0])
    left = built.at if built and built.at is not None else would
    return Bar(
        id=bar_id,
        run=run.id,
        opening=opening,
        length=bar,
        units=units,
        lit=lit,
        dark=derived_exactly("dark in the bar", "mm", dark_length, bar_id, bar, lit),
        rest=rest,
        share=derived_exactly("lit share", "%", lit_share, bar_id, lit, bar),
        dark_left=dark_left,
        dark_right=dark_right,
        left=left,
        lit_left=left + Decimal(dark_left.value),
        splices=built.splices if built else (),
        points=_points(bar_id, opening, bar, spec.channel),
        allowed=allowed if built else None,
        hangs=bool(built and built.wall),
        off=left - would,
    )


def _length(bar_id: str, opening: Opening, spec: BarSpec) -> Figure:
    inputs = (opening.clear, spec.clearance, spec.cap)
    if {"butt", "mitre"}.isdisjoint(opening.kinds):
        return derived_exactly("bar", "mm", bar_length, bar_id, *inputs)
    return derived_exactly("bar", "mm", bar_at_corner, bar_id, *inputs, ends=opening.kinds)


def _points(bar_id: str, opening: Opening, bar: Figure, channel: Channel) -> tuple[Figure, ...]:
    """Give the wall's and the room's edge of a mitred bar [mm], or nothing."""
    settings = [edge.setting for edge in opening.ends if edge.setting]
    if not settings:
        return ()
    face = given("face", channel.face, "mm", "part", channel.id)
    inside = [is_inside(float(setting.inputs[0].value)) for setting in settings]
    outside = [not each for each in inside]
    return tuple(
        derived(name, "mm", mitred_edge, bar_id, bar, face, *settings, longer=longer)
        for name, longer in (("wall edge", inside), ("room edge", outside))
    )


def longest_edge(bar: Bar) -> Figure:
    """Give the length that a bar's channel and its cover are cut out of: of a mitre the longer."""
    return max((bar.length, *bar.points), key=lambda each: float(each.value))


def band(left: Bar, right: Bar) -> DarkBand | None:
    """Give the dark between two bars of a run that follow each other, if they are in one line."""
    about = f"{left.id}-{right.id}"
    ends = (left.dark_right, right.dark_left)
    if left.upright or right.upright:
        in_line = left.opening.shallowest == right.opening.shallowest
    else:
        in_line = left.wall == right.wall
    if in_line:
        gap = given("gap", right.left - left.right, "mm", "between bars", about)
        across = derived_exactly("dark band", "mm", dark_band, about, *ends, gap)
        return DarkBand(left.id, right.id, across)
    before, after = left.opening.ends[1].crossing, right.opening.ends[0].crossing
    if before is None or after is None:
        return None
    dark = dark_corner(left.lit_right, before, after, right.lit_left)
    return DarkBand(
        left.id, right.id, read_off("dark corner", dark, "mm", "corner band", about, *ends)
    )

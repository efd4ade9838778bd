"""Bars on the bench: how each is carried, put in, held, and cut for heat and for its reel."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import cached_property, lru_cache
from typing import NamedTuple

from pelmet.model.job.allowances import Allowances
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.fits import screw_for, sundry_for, tape_for
from pelmet.model.job.items import Cabinet
from pelmet.model.job.job import Job
from pelmet.model.job.parts import Channel, Diffuser, Strip, Sundry
from pelmet.model.plan.bars import put_in
from pelmet.model.plan.bars.bar import Bar, longest_edge
from pelmet.model.plan.bars.fitting import REMEMBERED, RunFit, face_depth
from pelmet.model.plan.bars.lengths import bar_with_caps
from pelmet.model.plan.bars.put_in import WayIn
from pelmet.model.plan.figure import Figure, derived, derived_exactly, given
from pelmet.model.plan.mounting import expansion, fixing
from pelmet.model.plan.mounting.reel import ReelStart, reel_start

_MILLION = 1_000_000
_WHOLE_MM = Decimal(1)
# Places are rounded to whole mm, and keep off joints all the same.
_ROUNDING = Decimal("0.5")
# Beyond this a bar has no sense, and places are not searched for.
_MOST_STEPS = 20_000


class _Held(NamedTuple):
    """The parts that hold the bars of one run, as far as it takes them."""

    clip: Sundry | None
    screw: Sundry | None
    tape: Sundry | None


class _RunSpec(NamedTuple):
    """What the bench work of one run follows from; ``worktop`` is above the floor [mm]."""

    fit: RunFit
    cabinets: tuple[Cabinet, ...]
    worktop: Decimal
    channel: Channel
    strip: Strip
    diffuser: Diffuser | None
    held: _Held
    allowances: Allowances


@dataclass(frozen=True, eq=False)
class BenchWork:
    """What one bar needs on the bench and at the wall; places are from its left or lower end [mm].

    ``swings``: it can go up one end first. ``off_marks``: the reel's factory joints fall on no
    cut mark, so where to start on it cannot be said. A figure that its fixing has no use for is
    None, as are those of a diffuser that is in no catalogue. ``clip``, ``screw`` and ``tape`` are
    the parts that hold it: None where it is held otherwise, or the catalogue has none that fits.
    What no check asks of every bar is worked out when somebody looks at it.
    """

    bar: Bar
    with_caps: Figure
    way: WayIn
    swings: bool
    growth: Figure
    clearance_needed: Figure
    screw_left: Figure | None
    groove_left: Figure | None
    reel: ReelStart | None
    off_marks: bool
    clip: Sundry | None
    screw: Sundry | None
    tape: Sundry | None
    _spec: _RunSpec

    @cached_property
    def weight(self) -> Figure:
        """What it weighs with all that is in it [kg]."""
        return _weight(self.bar, self._spec.channel)

    @cached_property
    def people(self) -> Figure:
        """How many people carry it."""
        return _people(self.bar, self._spec.allowances)

    @cached_property
    def tilt_room(self) -> Figure:
        """What it takes more to swing up one end first [mm]."""
        channel = self._spec.channel
        depth = given("depth", channel.depth, "mm", "part", channel.id)
        return derived("room to tilt", "mm", put_in.tilt_room, self.bar.id, self.with_caps, depth)

    @cached_property
    def diffuser(self) -> Figure | None:
        """What its diffuser is cut to [mm]."""
        return _diffuser(self.bar, self._spec)

    @cached_property
    def diffuser_gap_cold(self) -> Figure | None:
        """How short of the bar its diffuser is when cold [mm]."""
        return _diffuser_gap(self.bar, self.diffuser, self._spec)

    @cached_property
    def diffuser_joints(self) -> tuple[Decimal, ...]:
        """Where its diffuser is joined."""
        return _diffuser_joints(self.bar, self._spec.allowances.diffuser_stagger)

    @cached_property
    def fixings(self) -> tuple[Decimal, ...]:
        """Where its clips or screws go."""
        return _fixings(self.bar, self._spec)

    @cached_property
    def tape_needed(self) -> Figure | None:
        """The area of tape that holds it [cm2]."""
        return _tape_needed(self.weight, self._spec)

    @cached_property
    def tape_area(self) -> Figure | None:
        """The area of tape that it has [cm2]."""
        return _tape_area(self.bar, self._spec)

    @property
    def figures(self) -> tuple[Figure, ...]:
        """All its figures, in the order of the work."""
        found = (
            self.diffuser,
            self.diffuser_gap_cold,
            self.growth,
            self.clearance_needed,
            self.weight,
            self.people,
            self.with_caps,
            self.tilt_room,
            self.screw_left,
            self.tape_needed,
            self.tape_area,
            self.groove_left,
        )
        return tuple(figure for figure in found if figure)


def prepare_bars(job: Job, parts: Catalogue, fits: tuple[RunFit, ...]) -> tuple[BenchWork, ...]:
    """Work out the bench work of every bar, in the order of the runs."""
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    tops = {room.id: room.worktop_height for room in job.rooms}
    rooms = {wall.id: wall.room for wall in job.walls}
    works: list[BenchWork] = []
    for fit in fits:
        channel = find_part(parts.channels, fit.run.channel)
        strip = find_part(parts.strips, fit.run.strip)
        if channel and strip and fit.bars:
            over = tuple(cabinets[name] for name in dict.fromkeys(fit.run.cabinets))
            top = tops[rooms[fit.bars[0].wall]]
            diffuser = find_part(parts.diffusers, fit.run.diffuser)
            held = _held(fit, channel, parts, job.allowances)
            spec = _RunSpec(fit, over, top, channel, strip, diffuser, held, job.allowances)
            works += _of_run(spec)
    return tuple(works)


def _held(fit: RunFit, channel: Channel, parts: Catalogue, allowances: Allowances) -> _Held:
    how = fit.run.fixing
    return _Held(
        sundry_for(parts, "clip", channel) if how in ("clips", "tape") else None,
        screw_for(parts, allowances.screw_length) if how != "groove" else None,
        tape_for(parts, channel) if how == "tape" else None,
    )


@lru_cache(maxsize=REMEMBERED)
def _of_run(spec: _RunSpec) -> tuple[BenchWork, ...]:
    return tuple(_bench_work(bar, spec) for bar in spec.fit.bars)


def _bench_work(bar: Bar, spec: _RunSpec) -> BenchWork:
    over = [each for each in spec.cabinets if each.id in bar.opening.cabinets]
    held_by = spec.fit.run.fixing
    in_panel = spec.fit.run.line != "edge"  # else it is fixed to the edge of a shelf
    with_caps = _with_caps(bar)
    way, swings = _way(bar, float(with_caps.value), over, spec)
    grows = _growth(bar, spec)
    reel, off_marks = _reel(bar, spec)
    return BenchWork(
        bar=bar,
        with_caps=with_caps,
        way=way,
        swings=swings,
        growth=grows,
        clearance_needed=derived_exactly(
            "clearance needed", "mm", expansion.clearance_needed, bar.id, grows
        ),
        screw_left=_screw_left(bar, over, spec)
        if in_panel and held_by in ("clips", "screws")
        else None,
        groove_left=_groove_left(bar, over, spec.channel)
        if in_panel and held_by == "groove"
        else None,
        reel=reel,
        off_marks=off_marks,
        clip=spec.held.clip,
        screw=spec.held.screw,
        tape=spec.held.tape,
        _spec=spec,
    )


def _weight(bar: Bar, channel: Channel) -> Figure:
    per_metre = given(
        "kilograms per metre", channel.kilograms_per_metre, "kg/m", "part", channel.id
    )
    return derived_exactly("weight", "kg", fixing.weight, bar.id, bar.length, per_metre)


def _people(bar: Bar, allowances: Allowances) -> Figure:
    two_over = given("two people over", allowances.two_people_over, "mm", "allowance")
    return derived_exactly("people", "1", fixing.people_for, bar.id, bar.length, two_over)


def _with_caps(bar: Bar) -> Figure:
    """Give the longest of a bar, its mitred edges too, with the caps it takes [mm]."""
    cap = (bar.allowed or bar.length).inputs[-1]
    caps = given("caps", bar.caps, "1", "two ends", bar.id)
    edges = (bar.length, *bar.points)
    return derived_exactly("bar with caps", "mm", bar_with_caps, bar.id, *edges, caps, cap)


def _way(bar: Bar, length: float, over: Sequence[Cabinet], spec: _RunSpec) -> tuple[WayIn, bool]:
    """Tell how a bar goes in, the others of its opening hung before it, and if it swings up.

    A face or a neighbour at one end hinders nothing while the other end is free.
    """
    depth = spec.channel.depth
    reach = {"face": face_depth(over), "joint": depth, "butt": depth}
    ends = [reach.get(edge.kind, Decimal(0)) for edge in bar.opening.ends]
    faces = float(max(ends)) if all(ends) else 0.0
    # A neighbour stops short of its own opening, and a mitred end reaches past it.
    joints = sum(edge.kind == "joint" for edge in bar.opening.ends)
    between = Decimal(bar.opening.clear.value) + joints * spec.allowances.end_clearance
    clear = max(float(between), length)
    mouths = [cabinet.mouth for cabinet in over if cabinet.mouth is not None]
    bottom = min(cabinet.bottom_height for cabinet in over)
    below = bottom - spec.worktop if bottom > spec.worktop else bottom
    way = put_in.way_in(
        length,
        float(depth),
        clear,
        faces,
        float(min(mouths)) if mouths else None,
        float(below),
    )
    return way, put_in.can_tilt(length, float(depth), clear, faces)


def _growth(bar: Bar, spec: _RunSpec) -> Figure:
    inputs = (bar.length, _per_kelvin(spec.channel), *_warming(spec.allowances))
    return derived_exactly("growth", "mm", expansion.growth, bar.id, *inputs)


def _diffuser(bar: Bar, spec: _RunSpec) -> Figure | None:
    """Give how long to cut the diffuser [mm]; like its channel, a mitred one by its longer edge."""
    if spec.diffuser is None:
        return None
    inputs = (_per_kelvin(spec.channel), _per_kelvin(spec.diffuser), *_warming(spec.allowances))
    edge = longest_edge(bar)
    return derived_exactly("diffuser", "mm", expansion.diffuser_cut, bar.id, edge, *inputs)


def _diffuser_gap(bar: Bar, cut: Figure | None, spec: _RunSpec) -> Figure | None:
    """Give how short of its bar a diffuser is when cold [mm]."""
    if cut is None:
        return None
    edge, *both, cut_at, _ = cut.inputs
    coldest = given("coldest", spec.allowances.coldest_celsius, "degC", "allowance")
    return derived_exactly(
        "diffuser gap", "mm", expansion.diffuser_gap, bar.id, edge, cut, *both, cut_at,
        coldest,
    )  # fmt: skip


def _warming(allowances: Allowances) -> tuple[Figure, Figure]:
    return (
        given("cut at", allowances.fitting_celsius, "degC", "allowance"),
        given("hottest", allowances.hottest_celsius, "degC", "allowance"),
    )


def _per_kelvin(part: Channel | Diffuser) -> Figure:
    return given("expansion", part.expansion / _MILLION, "1/K", "part", part.id)


def _diffuser_joints(bar: Bar, stagger: Decimal) -> tuple[Decimal, ...]:
    """Give where a spliced bar's diffuser is joined: past each splice, or before the last ones."""
    length = Decimal(bar.length.value)
    places = (at + stagger if at + stagger < length else at - stagger for at in bar.splices)
    return tuple(sorted({place for place in places if place > 0}))


def _fixings(bar: Bar, spec: _RunSpec) -> tuple[Decimal, ...]:
    """Give the places of clips or screws to whole mm; tape has a clip at each end besides."""
    run, allowances = spec.fit.run, spec.allowances
    length = Decimal(bar.length.value)
    if run.fixing == "groove":
        return ()
    if run.fixing == "tape":  # common practice
        spacing = length
    elif run.facing == "down":
        spacing = allowances.clip_spacing
    else:
        spacing = allowances.angled_clip_spacing
    meetings = (at - bar.left for at in bar.opening.joints)
    joints = [at for at in (*bar.splices, *meetings) if 0 < at < length]
    if (length / spacing) ** 2 * len(joints) > _MOST_STEPS:
        return ()
    keep_off = allowances.joint_keep_off + _ROUNDING
    places = fixing.clip_places(length, allowances.clip_end, spacing, joints, keep_off)
    return tuple(place.quantize(_WHOLE_MM, ROUND_HALF_UP) for place in places)


def _screw_left(bar: Bar, over: Sequence[Cabinet], spec: _RunSpec) -> Figure:
    screw = spec.held.screw
    long = (
        given("screw length", screw.length, "mm", "part", screw.id)
        if screw and screw.length is not None
        else given("screw length", spec.allowances.screw_length, "mm", "allowance")
    )
    inputs = (
        _panel(over),
        long,
        given("screw base", spec.allowances.screw_base, "mm", "allowance"),
    )
    return derived_exactly("panel left by screws", "mm", fixing.screw_left, bar.id, *inputs)


def _groove_left(bar: Bar, over: Sequence[Cabinet], channel: Channel) -> Figure:
    depth = given("depth", channel.depth, "mm", "part", channel.id)
    return derived_exactly(
        "panel left by the groove", "mm", fixing.groove_left, bar.id, _panel(over), depth
    )


def _panel(over: Sequence[Cabinet]) -> Figure:
    """Give the thinnest panel over a bar [mm]."""
    thinnest = min(over, key=lambda cabinet: cabinet.bottom_panel)
    origin = "assumed" if "bottom_panel" in thinnest.assumed else "reading"
    return given("bottom panel", thinnest.bottom_panel, "mm", origin, thinnest.id)


def _tape_needed(weight: Figure, spec: _RunSpec) -> Figure | None:
    """Give the area of tape that a bar needs [cm2]."""
    if spec.fit.run.fixing != "tape":
        return None
    for_one = given("tape for a kilogram", spec.allowances.tape_per_kilogram, "cm2/kg", "allowance")
    return derived_exactly("tape needed", "cm2", fixing.tape_needed, weight.about, for_one, weight)


def _tape_area(bar: Bar, spec: _RunSpec) -> Figure | None:
    """Give the area of tape that a bar has [cm2]."""
    if spec.fit.run.fixing != "tape":
        return None
    face = given("face", spec.channel.face, "mm", "part", spec.channel.id)
    share = given("tape share", spec.allowances.tape_share, "%", "allowance")
    return derived_exactly("tape", "cm2", fixing.tape_area, bar.id, bar.length, face, share)


def _reel(bar: Bar, spec: _RunSpec) -> tuple[ReelStart | None, bool]:
    """Give where to start on the reel, and whether its joints are off the cut marks."""
    unit, every = spec.strip.cut_unit, spec.strip.factory_joint_every
    if every is not None and every % unit:
        return None, True
    before = bar.lit_left - bar.left
    splices = [at - before for at in bar.splices]
    if every is not None:
        joints = Decimal(bar.lit.value) // every + 1
        if every // unit * joints * (len(splices) + 1) > _MOST_STEPS:
            return None, False
    keep_off = spec.allowances.joint_keep_off
    units, across = int(bar.units.value), spec.strip.across_joints
    return reel_start(units, unit, every, splices, keep_off, across=across), False

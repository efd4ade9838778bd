"""Checks on the bench: can bars be put in, held, cut for heat, and cut off their reel."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import groupby

from pelmet.model.job.catalogue import find_part
from pelmet.model.job.items import Cabinet, Run, Surface
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.finding import Finding, Level, said
from pelmet.model.plan.formulas import EXPANSION, GEOMETRY, PARTS, PRACTICE
from pelmet.model.plan.measures import celsius_said, kilograms_said, length_said, lengths_said
from pelmet.model.plan.mounting.bench import BenchWork
from pelmet.model.plan.result import Plan

# Common practice, both: foam tape takes hold badly below, and softens above [C].
TAPE_COLDEST = 15
_TAPE_WARMEST = 35


def cannot_go_in(plan: Plan) -> Iterator[Finding]:
    """A bar does not come in to its place, not even in pieces."""
    cabinets = {cabinet.id: cabinet for cabinet in plan.job.cabinets}
    for one in plan.bench:
        mouth = _mouth([one.bar], cabinets)
        if mouth and one.way.way == "as two":
            site = plan.job.site
            long, way_in = lengths_said(site, one.with_caps.value, mouth.mouth)
            yield Finding(
                "stop",
                "cannot-go-in",
                "cabinet",
                mouth.id,
                "mouth",
                f"bar {one.bar.id}, {long} with its caps, does not go in at the way in of "
                f"{way_in}: the {one.way.decided_by} is {length_said(-one.way.spare, site)} short",
                "measure the way in again, choose a flatter channel, or take the frame off first",
                GEOMETRY,
            )


def made_in_pieces(plan: Plan) -> Iterator[Finding]:
    """More bars are made of one opening than were asked for."""
    cabinets = {cabinet.id: cabinet for cabinet in plan.job.cabinets}
    for fit in plan.fits:
        for bars in _openings(fit):
            if len(bars) <= fit.run.pieces:
                continue
            names = f"{' '.join(bar.id for bar in bars)} are made of one opening"
            longest, mouth = fit.longest, _mouth(bars, cabinets)
            if longest and any(bar.opening.clear.formula_id == "split opening" for bar in bars):
                yield Finding(
                    "ask",
                    "made-in-pieces",
                    "run",
                    fit.run.id,
                    "over_length",
                    f"{names}: {longest.name} is {length_said(longest.value, plan.job.site)}",
                    "agree to the joints, or let the bar be spliced on site",
                )
            elif mouth:
                yield Finding(
                    "ask",
                    "made-in-pieces",
                    "run",
                    fit.run.id,
                    "pieces",
                    f"{names}: fewer do not go in at the way in of {mouth.id}, "
                    f"{length_said(mouth.mouth, plan.job.site)}",
                    f"agree to the joints, or measure the way in of {mouth.id} again",
                    GEOMETRY,
                )


def push_up_level(plan: Plan) -> Iterator[Finding]:
    """A bar between faces cannot go up one end first."""
    for run, bars in _runs(plan):
        stuck = [one for one in bars if one.way.way == "straight" and not one.swings]
        if stuck:
            most = max(float(one.tilt_room.value) for one in stuck)
            yield Finding(
                "ask",
                "push-up-level",
                "run",
                run.id,
                "channel",
                f"no room between the faces to bring {_names(stuck)} up one end first, which "
                f"takes {length_said(most, plan.job.site)} more than the bar",
                "push it up level, both ends at once, or leave more end clearance",
                GEOMETRY,
            )


def expansion_tight(plan: Plan) -> Iterator[Finding]:
    """A bar grows more than the air that is left at its ends."""
    clearance = plan.job.allowances.end_clearance
    for run, bars in _runs(plan):
        held = [
            one
            for one in bars
            if any(edge.kind in ("face", "joint") for edge in one.bar.opening.ends)
        ]
        worst = max(held, key=lambda one: Decimal(one.clearance_needed.value), default=None)
        if worst and worst.clearance_needed.value > clearance:
            grows, needs, has = lengths_said(
                plan.job.site, worst.growth.value, worst.clearance_needed.value, clearance
            )
            yield Finding(
                "warn",
                "expansion-tight",
                "run",
                run.id,
                "channel",
                f"bar {worst.bar.id} grows {grows} when hot and needs {needs} at each end; it has "
                f"{has}",
                "raise the allowance End clearance, or make two bars of the opening",
                EXPANSION,
            )


def screw_through_panel(plan: Plan) -> Iterator[Finding]:
    """Screws come through the panel they hold in, or nearly."""
    least = plan.job.allowances.panel_left
    for run, bars in _runs(plan):
        left = _least(one.screw_left for one in bars)
        if left is None or Decimal(left.value) >= least:
            continue
        panel, screw, _ = left.inputs
        through = Decimal(left.value) < 0
        long, thick, stays, wanted = lengths_said(
            plan.job.site, screw.value, panel.value, abs(Decimal(left.value)), least
        )
        yield Finding(
            "stop" if through else "warn",
            "screw-through-panel",
            "run",
            run.id,
            "fixing",
            f"screws of {long} "
            + (f"come {stays} through " if through else f"leave {stays}, under {wanted}, of ")
            + f"the {thick} panel of {panel.about}",
            "lower the allowance Screw length to shorter screws, or hold the bar by tape and clips",
        )


def groove_too_deep(plan: Plan) -> Iterator[Finding]:
    """The groove for a channel leaves too little of the panel."""
    least = plan.job.allowances.panel_left
    for run, bars in _runs(plan):
        left = _least(one.groove_left for one in bars)
        if left is None or Decimal(left.value) >= least:
            continue
        panel, depth = left.inputs
        deep, thick, stays, wanted = lengths_said(
            plan.job.site, depth.value, panel.value, max(Decimal(left.value), Decimal(0)), least
        )
        yield Finding(
            "stop",
            "groove-too-deep",
            "run",
            run.id,
            "fixing",
            f"a groove of {deep} leaves {stays} of the {thick} panel of {panel.about}, under "
            f"{wanted}",
            "choose a flatter channel, or fix it to the surface",
        )


def tape_too_small(plan: Plan) -> Iterator[Finding]:
    """The tape under a channel is too narrow for what hangs on it."""
    for run, bars in _runs(plan):
        for one in bars:
            needed, has = one.tape_needed, one.tape_area
            if needed and has and Decimal(needed.value) > Decimal(has.value):
                weight = kilograms_said(said(one.weight.value), plan.job.site)
                yield Finding(
                    "warn",
                    "tape-too-small",
                    "run",
                    run.id,
                    "fixing",
                    f"bar {one.bar.id} of {weight} needs {said(needed.value)} cm2 of tape; "
                    f"{said(has.value)} cm2 go under it",
                    "hold it by clips or screws, or choose a wider channel",
                )


def tape_surface(plan: Plan) -> Iterator[Finding]:
    """Foam tape does not hold on raw board, and pulls at veneer."""
    cabinets = {cabinet.id: cabinet for cabinet in plan.job.cabinets}
    kinds: tuple[tuple[Surface, Level, str, str], ...] = (
        ("raw board", "warn", "lets go of", "prime or edge it first, or hold the bar by clips"),
        ("veneer", "ask", "may pull at", "ask whether the veneer bears it, or use clips"),
    )
    for run in _taped(plan):
        for surface, level, what, remedy in kinds:
            names = [name for name in run.cabinets if cabinets[name].surface == surface]
            if names:
                yield Finding(
                    level,
                    "tape-surface",
                    "run",
                    run.id,
                    "fixing",
                    f"foam tape {what} {surface}: {' '.join(dict.fromkeys(names))}",
                    remedy,
                )


def tape_too_cold(plan: Plan) -> Iterator[Finding]:
    """Tape is pressed on where it is too cold for it to take hold."""
    site, fitted = plan.job.site, plan.job.allowances.fitting_celsius
    for run in _taped(plan):
        if fitted < TAPE_COLDEST:
            yield Finding(
                "warn",
                "tape-too-cold",
                "run",
                run.id,
                "fixing",
                f"bars are fitted at {celsius_said(said(fitted), site)}; foam tape takes hold "
                f"above {celsius_said(TAPE_COLDEST, site)}",
                "warm the place first and change the allowance, or hold the bar by clips",
            )


def tape_too_warm(plan: Plan) -> Iterator[Finding]:
    """Tape softens when the bar on it gets warm."""
    site, hottest = plan.job.site, plan.job.allowances.hottest_celsius
    for run in _taped(plan):
        if hottest > _TAPE_WARMEST:
            yield Finding(
                "ask",
                "tape-too-warm",
                "run",
                run.id,
                "fixing",
                f"bars get up to {celsius_said(said(hottest), site)}; foam tape softens above "
                f"about {celsius_said(_TAPE_WARMEST, site)}",
                "set the planned clip at each end besides, or hold the bar by clips or screws",
            )


def factory_joint_at_end(plan: Plan) -> Iterator[Finding]:
    """No piece of the reel has its factory joints well away from its ends and splices."""
    for run, bars in _runs(plan):
        strip = find_part(plan.parts.strips, run.strip)
        poor = [one for one in bars if one.reel is None]
        if strip is None or strip.factory_joint_every is None or not poor:
            continue
        every, unit, keep_off = lengths_said(
            plan.job.site,
            strip.factory_joint_every,
            strip.cut_unit,
            plan.job.allowances.joint_keep_off,
        )
        yield Finding(
            "ask",
            "factory-joint-at-end",
            "run",
            run.id,
            "strip",
            f"the joints of {strip.id}, one every {every}, fall on no mark of its {unit} units"
            if poor[0].off_marks
            else f"wherever {_names(poor)} is cut off the reel, a joint, one every {every}, is "
            f"under {keep_off} from an end or a splice",
            "look where the joints of the reel are, and cut round them",
            PARTS if poor[0].off_marks else PRACTICE,
        )


def lies_across_joint(plan: Plan) -> Iterator[Finding]:
    """A piece is longer than what lies between two joints, and its strip does not allow it."""
    for run, bars in _runs(plan):
        strip = find_part(plan.parts.strips, run.strip)
        long = [one for one in bars if one.reel and one.reel.joints]
        if strip and strip.factory_joint_every and not strip.across_joints and long:
            every = length_said(strip.factory_joint_every, plan.job.site)
            yield Finding(
                "ask",
                "lies-across-joint",
                "run",
                run.id,
                "strip",
                f"the strip of {_names(long)} is longer than what is between two joints of "
                f"{strip.id}, one every {every}, and lies across them",
                "ask its maker whether it may, and put across_joints into its part; or make more "
                "bars of the opening",
                PARTS,
            )


def tail_over_amps(plan: Plan) -> Iterator[Finding]:
    """No tail wire of the catalogue carries what goes into a bar."""
    runs = {bar.id: bar.run for bar in plan.bars}
    for tail in plan.tails:
        most = tail.part.amps if tail.part else None
        if tail.amps and most is not None and tail.amps > float(most):
            yield Finding(
                "stop",
                "tail-over-amps",
                "run",
                runs[tail.bar],
                "feed_end",
                f"the tail at the {tail.at} of {tail.bar} carries {said(tail.amps)} A; "
                f"{tail.part.id if tail.part else ''} may carry {said(most)} A",
                "feed the run at both ends or in pieces, or put a thicker tail wire into your "
                "catalogue file",
                PARTS,
            )


def strip_longer_than_reel(plan: Plan) -> Iterator[Finding]:
    """A bar takes more strip in one piece than a reel has."""
    for run, bars in _runs(plan):
        strip = find_part(plan.parts.strips, run.strip)
        if strip is None or run.strip_joints != "none":
            continue
        longest = max(bars, key=lambda one: Decimal(one.bar.lit.value)).bar
        if longest.lit.value > strip.reel:
            takes, has = lengths_said(plan.job.site, longest.lit.value, strip.reel)
            yield Finding(
                "stop",
                "strip-longer-than-reel",
                "run",
                run.id,
                "strip_joints",
                f"bar {longest.id} takes {takes} of {strip.id} in one piece; a reel has {has}",
                "allow strip joints, make more bars of the opening, or choose a longer reel",
                PARTS,
            )


def _runs(plan: Plan) -> Iterator[tuple[Run, list[BenchWork]]]:
    """Give each run that has bars, and the bench work of each bar."""
    runs = {run.id: run for run in plan.job.runs}
    for name, bars in groupby(plan.bench, key=lambda one: one.bar.run):
        yield runs[name], list(bars)


def _taped(plan: Plan) -> Iterator[Run]:
    return (run for run in plan.job.runs if run.fixing == "tape")


def _openings(fit: RunFit) -> Iterator[list[Bar]]:
    """Group the bars that one opening was parted into."""
    group: list[Bar] = []
    for bar in fit.bars:
        if group and {group[-1].opening.ends[1].kind, bar.opening.ends[0].kind} != {"joint"}:
            yield group
            group = []
        group.append(bar)
    if group:
        yield group


def _mouth(bars: Sequence[Bar], cabinets: dict[str, Cabinet]) -> Cabinet | None:
    """Give the cabinet over these bars that has the narrowest way in, if any has one."""
    over = [cabinets[name] for bar in bars for name in bar.opening.cabinets]
    narrow = [(each.mouth, row) for row, each in enumerate(over) if each.mouth is not None]
    return over[min(narrow)[1]] if narrow else None


def _least(figures: Iterator[Figure | None]) -> Figure | None:
    known = [figure for figure in figures if figure]
    return min(known, key=lambda figure: Decimal(figure.value), default=None)


def _names(bars: Sequence[BenchWork]) -> str:
    return " ".join(one.bar.id for one in bars)


CHECKS = (
    cannot_go_in,
    made_in_pieces,
    groove_too_deep,
    screw_through_panel,
    strip_longer_than_reel,
    expansion_tight,
    tape_too_small,
    tape_surface,
    tape_too_cold,
    tape_too_warm,
    push_up_level,
    factory_joint_at_end,
    lies_across_joint,
    tail_over_amps,
)

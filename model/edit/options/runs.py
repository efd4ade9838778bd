"""What else a run could be: dark rest, strip, line and facing, how it turns a corner."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, get_args

from pelmet.model.edit.options.option import Option, tried, with_fields
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import CornerJoint, DarkRest, Facing, Line, OverLength, Run
from pelmet.model.job.job import Job
from pelmet.model.plan.figure import Value
from pelmet.model.plan.fitting import RunFit
from pelmet.model.plan.mounting import STRAIGHT_DOWN, throw_degrees
from pelmet.model.plan.stages import Plan, plan_job

_LEAST_CLEARANCE = Decimal(1)  # [mm] common practice: 1 to 3 mm at each end

Try = tuple[str, dict[str, Any], tuple[str, ...]]


def run_options(job: Job, parts: Catalogue, own_id: str) -> tuple[Option, ...]:
    """Try every other choice for a run: what each gives in lit length, dark ends and light."""
    run = next((each for each in job.runs if each.id == own_id), None)
    if run is None:
        return ()
    now = plan_job(job, parts)
    found = [Option("as it is", _gives(now, own_id), (), job, taken=True)]
    for choice, fields, reasons in _tries(run, now):
        changed = with_fields(job, "run", own_id, fields)
        plan = tried(changed, parts)
        if plan:
            found.append(Option(choice, _gives(plan, own_id), reasons, changed))
    found.extend(_tighter(job, parts, now, own_id))
    return tuple(found)


def _tries(run: Run, plan: Plan) -> Iterator[Try]:
    for rest in get_args(DarkRest):
        if rest != run.dark_rest:
            yield f"dark rest: {rest}", {"dark_rest": rest}, ()
    yield from _finer(run, plan)
    yield from _directions(run, plan)
    if any(band.across.formula_id == "corner band" for band in _fit(plan, run.id).bands):
        for corner in get_args(CornerJoint):
            if corner != run.corner:
                yield f"at the corner: {corner}", {"corner": corner}, ()
    bars = _fit(plan, run.id).bars
    split = any(bar.opening.clear.formula_id == "split opening" for bar in bars)
    if split or any(bar.splices for bar in bars):
        for way in get_args(OverLength):
            if way != run.over_length:
                yield f"if too long: {way}", {"over_length": way}, ()


def _finer(run: Run, plan: Plan) -> Iterator[Try]:
    """Strips of the same volts with a finer cut unit that go into the channel."""
    parts = plan.worked.parts
    strip, channel = find_part(parts.strips, run.strip), find_part(parts.channels, run.channel)
    if strip is None or channel is None:
        return
    for other in parts.strips:
        fits = other.volts == strip.volts and other.width <= channel.floor
        if fits and other.cut_unit < strip.cut_unit:
            reasons = (f"cut every {other.cut_unit} mm in place of {strip.cut_unit}",)
            yield f"strip: {other.id}", {"strip": other.id}, reasons


def _directions(run: Run, plan: Plan) -> Iterator[Try]:
    """Lines and facings this channel and these cabinets allow, with the trade's reasons."""
    channel = find_part(plan.worked.parts.channels, run.channel)
    if channel is None:
        return
    cabinets = [each for each in plan.worked.job.cabinets if each.id in run.cabinets]
    shelves = all(each.kind in ("shelf", "movable shelf", "upright") for each in cabinets)
    for line in get_args(Line):
        if line != run.line and (line != "edge" or shelves):
            yield f"line: {line}", {"line": line}, _LINES[line]
    for facing in get_args(Facing):
        degrees, side = throw_degrees(facing)
        if facing != run.facing and degrees in channel.throws:
            steepest = degrees == max(channel.throws)
            yield f"facing: {facing}", {"facing": facing}, _facing(degrees, side, steepest=steepest)


# Common practice; the light stage reckons the lux beside it.
_LINES: dict[Line, tuple[str, ...]] = {
    "front": ("lights the worktop where hands are", "a front rail hides it from someone standing"),
    "middle": ("a compromise: even on the top, seen from a low seat",),
    "back": ("lights the splashback and shows its faults", "leaves the front of the top darker"),
    "edge": ("lights what stands in front of the shelf", "seen by everybody: take a good diffuser"),
}


def _facing(degrees: int, side: int, *, steepest: bool) -> tuple[str, ...]:
    if degrees == STRAIGHT_DOWN:
        return ("nobody across the room looks into it",)
    glare = (
        "the steeper of its two ways: glares less off the worktop"
        if steepest
        else "the flatter of its two ways: glares more off the worktop"
    )
    where = "on the splashback" if side < 0 else "towards whoever looks in from the room"
    return (f"throws {where}", glare)


def _tighter(job: Job, parts: Catalogue, plan: Plan, own_id: str) -> Iterator[Option]:
    """A smaller end clearance, where that makes room for one cut unit more in some bar."""
    run = _fit(plan, own_id).run
    strip = find_part(plan.worked.parts.strips, run.strip)
    clearance = job.allowances.end_clearance
    if strip is None:
        return
    for bar in _fit(plan, own_id).bars:
        short = (strip.cut_unit - Decimal(bar.rest.value)) / 2
        tight = clearance - short
        if short > 0 and tight >= _LEAST_CLEARANCE:
            changed = with_fields(job, "allowances", "", {"end_clearance": tight})
            tighter = tried(changed, parts)
            if tighter:
                yield Option(
                    f"end clearance: {tight.normalize():f} mm",
                    _gives(tighter, own_id),
                    (f"one cut unit more in {bar.id}; for every bar of the job",),
                    changed,
                )
            return


def _fit(plan: Plan, own_id: str) -> RunFit:
    return next(fit for fit in plan.worked.fits if fit.run.id == own_id)


def _gives(plan: Plan, own_id: str) -> str:
    """Say a run's lit share, its dark ends, its worst dark band and its least-lit spot."""
    fit = _fit(plan, own_id)
    if not fit.bars:
        return "no bar"
    lit = sum(float(bar.lit.value) for bar in fit.bars)
    whole = sum(float(bar.opening.clear.value) for bar in fit.bars)
    left, right = _short(fit.bars[0].dark_left.value), _short(fit.bars[-1].dark_right.value)
    words = [f"lit {lit:g} of {whole:g} mm", f"dark {left} left {right} right"]
    if fit.bands:
        words.append(f"bands {' '.join(_short(band.across.value) for band in fit.bands)}")
    least = [float(each.least.value) for each in plan.worked.lights if each.run == own_id]
    if least:
        words.append(f"least {min(least):.0f} lx")
    return ", ".join(words)


def _short(value: Value) -> str:
    return f"{round(float(value), 1):g}"

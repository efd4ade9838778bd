"""What else a run could be: dark rest, finer strip, how it turns a corner, end clearance."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Any, get_args

from pelmet.model.edit.options.lights import light_words, lit_by
from pelmet.model.edit.options.option import Option, Search, try_plan, with_fields
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.items import CornerJoint, DarkRest, OverLength, Run
from pelmet.model.job.job import Job, Site
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.figure import Value
from pelmet.model.plan.measures import length_said, lengths_said
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

_LEAST_CLEARANCE = Decimal(1)  # [mm] common practice: 1 to 3 mm at each end

Try = tuple[str, dict[str, Any], tuple[str, ...]]


def run_options(job: Job, parts: Catalogue, item_id: str) -> Search:
    """Try every other choice for a run: what each gives in lit length, dark ends and light."""
    run = next((each for each in job.runs if each.id == item_id), None)
    if run is None:
        return
    now = plan_job(job, parts)
    found: tuple[Option, ...] = (Option("as it is", _gives(now, item_id), (), job, taken=True),)
    yield found
    for choice, fields, reasons in _tries(run, now):
        changed = with_fields(job, "run", item_id, fields)
        plan = try_plan(changed, parts)
        if plan:
            found = (*found, Option(choice, _gives(plan, item_id), reasons, changed))
            yield found
    for one in _tighter(job, parts, now, item_id):
        yield (*found, one)


def _tries(run: Run, plan: Plan) -> Iterator[Try]:
    for rest in get_args(DarkRest):
        if rest != run.dark_rest:
            yield f"dark rest: {rest}", {"dark_rest": rest}, ()
    yield from _finer(run, plan)
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
    """Strips of the same volts and channels with a finer cut unit that go into the channel."""
    parts = plan.parts
    strip, channel = find_part(parts.strips, run.strip), find_part(parts.channels, run.channel)
    if strip is None or channel is None:
        return
    for other in parts.strips:
        alike = (other.volts, other.channels) == (strip.volts, strip.channels)
        fits = alike and other.width <= channel.floor
        if fits and other.cut_unit < strip.cut_unit:
            finer, now = lengths_said(plan.job.site, other.cut_unit, strip.cut_unit)
            reasons = (f"cut every {finer} in place of {now}",)
            yield f"strip: {other.id}", {"strip": other.id}, reasons


def _tighter(job: Job, parts: Catalogue, plan: Plan, item_id: str) -> Iterator[Option]:
    """A smaller end clearance, where that makes room for one cut unit more in some bar."""
    run = _fit(plan, item_id).run
    strip = find_part(plan.parts.strips, run.strip)
    clearance = job.allowances.end_clearance
    if strip is None:
        return
    for bar in _fit(plan, item_id).bars:
        short = (strip.cut_unit - Decimal(bar.rest.value)) / 2
        tight = clearance - short
        if short > 0 and tight >= _LEAST_CLEARANCE:
            changed = with_fields(job, "allowances", "", {"end_clearance": tight})
            tighter = try_plan(changed, parts)
            if tighter:
                yield Option(
                    f"end clearance: {length_said(tight, job.site)}",
                    _gives(tighter, item_id),
                    (f"one cut unit more in {bar.id}; for every bar of the job",),
                    changed,
                )
            return


def _fit(plan: Plan, item_id: str) -> RunFit:
    return next(fit for fit in plan.fits if fit.run.id == item_id)


def _gives(plan: Plan, item_id: str) -> str:
    """Say a run's lit share, its dark ends and bands, and the light below it."""
    fit = _fit(plan, item_id)
    if not fit.bars:
        return "no bar"
    shines = sum(float(bar.lit.value) for bar in fit.bars)
    whole = sum(float(bar.opening.clear.value) for bar in fit.bars)
    site = plan.job.site
    ends = fit.bars[0].dark_left.value, fit.bars[-1].dark_right.value
    left, right = (_bare(each, site) for each in ends)
    lit = f"lit {_bare(shines, site)} of {length_said(whole, site)}"
    words = [lit, f"dark {left} left {right} right"]
    if fit.bands:
        words.append(f"bands {' '.join(_bare(band.across.value, site) for band in fit.bands)}")
    light = lit_by(plan, item_id)
    if light:
        words.append(light_words(light))
    return ", ".join(words)


def _bare(mm: Value, site: Site) -> str:
    return length_said(mm, site).removesuffix(f" {site.length_unit}")

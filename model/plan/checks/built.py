"""Checks on what is built: what is said otherwise now, and facts that do not add up."""

from collections.abc import Iterator
from decimal import Decimal
from typing import Final

from pelmet.model.job.built import past
from pelmet.model.job.items import Run
from pelmet.model.job.job import Site
from pelmet.model.job.piece_names import SPARE, SPOILT, bar_of
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.measures import length_said, lengths_said
from pelmet.model.plan.result import Plan

_SAME: Final = 1  # [mm] two readings of one length agree this well; common practice


def built_otherwise(plan: Plan) -> Iterator[Finding]:
    """A choice says something else than what is built."""
    doing = {"supply": "is fitted", "leg": "is laid", "run": "is built"}
    for each in plan.contradictions:
        name = each.field.replace("_", " ")
        yield Finding(
            "ask",
            "built-otherwise",
            each.kind,
            each.id,
            each.field,
            f"{each.id} {doing[each.kind]} with {name} {each.built}, and the job says {each.said} "
            "now: it is planned as it is built",
            f"say {each.built} again, or take it off: set the status of its runs back, with a "
            "reason",
        )


def bar_out_of_fit(plan: Plan) -> Iterator[Finding]:
    """A bar that is cut or hangs is not what its opening takes now."""
    for fit in plan.fits:
        for bar in fit.bars:
            if bar.allowed is not None:
                yield from _out_of_fit(bar, fit.run, plan.job.site)


def _out_of_fit(bar: Bar, run: Run, site: Site) -> Iterator[Finding]:
    assert bar.allowed is not None
    length, allowed = Decimal(bar.length.value), Decimal(bar.allowed.value)
    long, takes, more = lengths_said(site, length, allowed, abs(length - allowed))
    how = f"{bar.id} {'hangs at' if bar.hangs else 'is cut to'} {long}"
    again = "read the opening again, and correct it"
    down = "set its status back to ordered, with a reason, to make it anew"
    opening = bar.opening
    off = bar.hangs and (bar.right <= opening.left or bar.left >= opening.right)
    if off or opening.clear.formula_id == "built":
        says = f"{how}, and the survey has no opening there any more"
        yield _ask("no-opening", run, says, f"{down}; or {again}")
    elif length - allowed >= _SAME:
        shorter = f"saw {more} off and correct its length among what was cut"
        if bar.hangs:
            shorter = f"set its status back to cut with a reason, take it down, {shorter}"
        says = f"{how}; the opening now allows {takes}"
        found = _ask("built-too-long", run, says, f"{shorter}; or {again}")
        yield found if bar.hangs else found._replace(level="stop")
    elif allowed - length >= _SAME:
        says = f"{how}; the opening now takes {takes}: it stays dark beside it"
        yield _ask("built-too-short", run, says, f"leave it; or {down}; or {again}")
    elif abs(bar.off) >= _SAME:
        side = "right" if bar.off > 0 else "left"
        off_by = length_said(abs(bar.off), site)
        says = f"{bar.id} hangs {off_by} further {side} than its opening is now"
        there = "set its status back to cut with a reason, and hang it there"
        remedy = f"leave it; or {there}; or read again where its cabinets stand"
        yield _ask("built-elsewhere", run, says, remedy)


def _ask(code: str, run: Run, says: str, remedy: str) -> Finding:
    return Finding("ask", code, "run", run.id, "status", says, remedy)


def status_ahead(plan: Plan) -> Iterator[Finding]:
    """A run is said to have come further than what is noted of it."""
    cut = {bar_of(name) for each in plan.job.cuts for name in each.pieces}
    hung = {(each.run, each.bar) for each in plan.job.hung}
    laid = {each.run for each in plan.job.laid}
    runs = {run.id: run for run in plan.job.runs}
    for fit in plan.fits:
        run = runs[fit.run.id]
        if not hung and not past(run, "cut"):
            continue
        bars = {bar_of(bar.id) for bar in fit.bars}
        lacks = {
            "cut": bars - cut - hung if past(run, "cut") else set(),
            "in its place": bars - hung if past(run, "mounted") else set(),
            "wired": {(run.id, 0)} if past(run, "wired") and run.id not in laid else set(),
        }
        first = next((what for what, names in lacks.items() if names), None)
        if first:
            names = " ".join(
                f"{name}.{number}" if number else name for name, number in sorted(lacks[first])
            )
            says = f"{run.id} is said to be {run.status}, and nothing says how {names} is {first}"
            remedy = "note it as the papers list it (Ctrl+F), or set its status back"
            yield _ask("status-ahead", run, says, remedy)
        elif bars & hung and not past(run, "mounted"):
            says = f"{run.id} hangs, and is said to be no more than {run.status}"
            yield _ask("status-behind", run, says, "set its status on, or take it down")


def hole_too_narrow(plan: Plan) -> Iterator[Finding]:
    """More cable is to go through a hole than it was drilled for."""
    rows = {each.hole: each.id for each in plan.job.drilled}
    for hole in plan.holes:
        for flag in hole.flags if hole.there else ():
            yield Finding(
                "ask",
                "hole-too-narrow",
                "drilled",
                rows[hole.id],
                "diameter",
                f"{hole.id} in {hole.owner}: {flag}",
                "open it up with the next bit and say so here, or send the cable another way",
            )


def cut_does_not_add_up(plan: Plan) -> Iterator[Finding]:
    """A cut has more in it than its stock, or its stock was cut up before."""
    job = plan.job
    cuts = {cut.id: cut for cut in job.cuts}
    offcuts = {each.id: each for each in job.offcuts}
    first: dict[str, str] = {}
    for cut in job.cuts:
        if len(cut.pieces) != len(cut.lengths):
            says = (
                f"{cut.id} has {len(cut.pieces)} pieces and {len(cut.lengths)} lengths: each piece "
                "has one"
            )
            yield _of_cut("cut-miscounted", cut.id, "lengths", says, "say how long each came out")
        came = sum(cut.lengths, cut.rest)
        if came > cut.stock:
            all_of_it, stock = lengths_said(job.site, came, cut.stock)
            says = (
                f"{cut.id}: its pieces and its rest come to {all_of_it}, out of {stock} of "
                f"{cut.part}"
            )
            yield _of_cut(
                "cut-too-long", cut.id, "lengths", says, "correct the lengths or the rest"
            )
        source = cut.offcut or cut.rest_of
        if source and first.setdefault(source, cut.id) != cut.id:
            says = f"{cut.id}: {source} was cut up by {first[source]} already"
            yield _of_cut("stock-cut-twice", cut.id, "rest_of", says, "say what it came out of")
        before = cuts[cut.rest_of].rest if cut.rest_of else None
        if cut.offcut:
            before = offcuts[cut.offcut].length
        if before is not None and before + _SAME < cut.stock:
            now, was = lengths_said(job.site, cut.stock, before)
            says = f"{cut.id}: it is said to be {now}, and {source} {was}"
            yield _of_cut("rest-too-long", cut.id, "stock", says, "correct one of the two")


def piece_cut_twice(plan: Plan) -> Iterator[Finding]:
    """A piece stands in two cuts, or there is no bar for it any more."""
    job = plan.job
    if not job.cuts:
        return
    bars = {bar_of(bar.id) for bar in plan.bars}
    hung = {(each.run, each.bar) for each in job.hung}
    first: dict[tuple[str, str], str] = {}
    for cut in job.cuts:
        for name in cut.pieces:
            if name in (SPARE, SPOILT):
                continue
            other = first.setdefault((cut.part, name), cut.id)
            bar = bar_of(name)
            if other != cut.id or cut.pieces.count(name) > 1:
                says = f"{name} of {cut.part} was cut twice, in {other} and {cut.id}"
                remedy = f"call the one that came to nothing {SPOILT}"
                yield _of_cut("piece-cut-twice", cut.id, "pieces", says, remedy)
            elif bar[0] and bar not in bars | hung and not _is_cable(name, plan):
                says = f"{name} of {cut.part} is cut, and no bar takes it any more"
                remedy = f"call it {SPOILT}, and put it among the off-cuts if it is worth keeping"
                yield _of_cut("piece-not-needed", cut.id, "pieces", says, remedy)


def _is_cable(name: str, plan: Plan) -> bool:
    return any(leg.id == bar_of(name)[0] for leg in plan.job.legs)


def _of_cut(code: str, cut: str, field: str, says: str, remedy: str) -> Finding:
    return Finding("ask", code, "cut", cut, field, says, remedy)


CHECKS = (
    built_otherwise,
    bar_out_of_fit,
    status_ahead,
    hole_too_narrow,
    cut_does_not_add_up,
    piece_cut_twice,
)

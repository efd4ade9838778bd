"""The sheet: all that a plan has to say, as plain text on one long page."""

from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.finding import LEVELS, Finding
from pelmet.model.plan.result import Plan
from pelmet.model.told.bench_list import bench_list
from pelmet.model.told.cable_list import cable_list
from pelmet.model.told.control_list import control_list
from pelmet.model.told.drawings.elevation.view import elevations
from pelmet.model.told.drawings.plan.view import plan_view
from pelmet.model.told.drawings.section.view import sections
from pelmet.model.told.drill_list import drill_list
from pelmet.model.told.figures import as_sawn, brief, millimetres, printed
from pelmet.model.told.light_list import light_list
from pelmet.model.told.mains_sheet import mains_sheet
from pelmet.model.told.power import power_table
from pelmet.model.told.readings_list import readings_list
from pelmet.model.told.reminders import assumed_words, cautions, defaults_words, part_names
from pelmet.model.told.rules_list import rules_table
from pelmet.model.told.seeing_list import seeing_list
from pelmet.model.told.wiring_list import wiring_list
from pelmet.model.told.words import WIDTH, heading, labelled, table, wrapped

_LABEL = 8
_BAR_HEAD = ("run", "bar", "opening", "length", "units", "lit", "dark", "cabinets")


def sheet(plan: Plan) -> str:
    """Write the whole plan as plain ASCII, at most 78 columns wide."""
    pages = (
        _head(plan),
        _section("Plan", plan_view(plan, WIDTH).rows),
        _section("Elevation", elevations(plan, WIDTH).rows),
        _section("Section", sections(plan, WIDTH).rows),
        _section(f"Bars [{plan.job.site.length_unit}]", _bars(plan)),
        _section("Bench", bench_list(plan)),
        _section("Cables", cable_list(plan)),
        _section("Holes", drill_list(plan)),
        _section("Power budget", power_table(plan)),
        _section("Wiring", wiring_list(plan)),
        _section("Control", control_list(plan)),
        _section("Expected readings", readings_list(plan)),
        _section("Mains side", mains_sheet(plan)),
        _section("Light", light_list(plan)),
        _section("Seen", seeing_list(plan)),
        _section("Materials, as planned: no waste, no spare", _materials(plan)),
        _section("Findings", findings_lines(plan)),
        _section("Rules of the region", rules_table(plan.job)),
        _section("Assumed", _listed(assumed_words(plan))),
        _section("Defaults used", wrapped(defaults_words(plan.job))),
        _section("Mind", _listed(cautions(plan))),
    )
    return "\n".join(line.rstrip() for lines in pages for line in lines) + "\n"


def findings_lines(plan: Plan) -> tuple[str, ...]:
    """Write every finding: level, code and place, then what it says and what to do."""
    if not plan.findings:
        return ("none",)
    return tuple(line for finding in plan.findings for line in finding_lines(finding))


def finding_lines(finding: Finding, width: int = WIDTH) -> tuple[str, ...]:
    """Write one finding."""
    first = f"{finding.code}: {finding.kind} {finding.about}, {finding.field.replace('_', ' ')}"
    return (
        *labelled(finding.level, first, _LABEL, width),
        *labelled("", finding.says, _LABEL, width),
        *labelled("  do", finding.remedy, _LABEL, width),
        *labelled("  from", finding.source.title, _LABEL, width),
    )


def _head(plan: Plan) -> tuple[str, ...]:
    site = plan.job.site
    levels = ", ".join(f"{plan.count(level)} {level}" for level in LEVELS)
    lines = [
        *heading(f"Plan of {site.name}", "="),
        f"region {site.region}, lengths in {site.length_unit}, findings: {levels}",
    ]
    for paragraph in site.note.splitlines():
        lines.extend(wrapped(paragraph))
    return tuple(lines)


def _section(title: str, lines: tuple[str, ...]) -> tuple[str, ...]:
    return ("", *heading(title), *lines)


def _listed(words: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(line for text in words for line in wrapped(text, "- ", "  "))


def _bars(plan: Plan) -> tuple[str, ...]:
    if not plan.job.runs:
        return ("no run yet",)
    rows = [_bar(bar, plan) for bar in plan.bars]
    lines = list(table(_BAR_HEAD, rows, numbers={2, 3, 4, 5, 6})) if rows else []
    for fit in plan.fits:
        for dark in fit.bands:
            across = printed(dark.across, plan.job.site)
            lines += wrapped(f"dark {across} from {dark.left_bar} to {dark.right_bar}", rest="  ")
    lines += _dark_in_all(plan)
    for fit in plan.fits:
        for opening in fit.too_short:
            under = " ".join(opening.cabinets)
            lines += wrapped(f"{fit.run.id}: no bar under {under}, it is too short", rest="  ")
        if not fit.bars and not fit.too_short:
            lines += wrapped(f"{fit.run.id}: no bar, a part of it is not in the catalogue")
    return tuple(lines)


def _dark_in_all(plan: Plan) -> tuple[str, ...]:
    """Total what stays dark between bars, run by run."""
    words = []
    for fit in plan.fits:
        if len(fit.bands) > 1:
            whole = millimetres(sum(float(dark.across.value) for dark in fit.bands))
            site = plan.job.site
            length = print_length(whole, site.length_unit, site.inch_parts)
            words.append(f"{fit.run.id}: {length} dark between its bars in all")
    return tuple(words)


def _bar(bar: Bar, plan: Plan) -> tuple[str, ...]:
    site = plan.job.site
    length, lit = (as_sawn(each, site) for each in (bar.length, bar.lit))
    figures = (bar.opening.clear, length, bar.units, lit, bar.dark)
    mark = " (assumed)" if bar.length.assumed else ""
    numbers = [brief(figure, site) for figure in figures]
    return (bar.run, bar.id, *numbers, " ".join(bar.opening.cabinets) + mark)


def _materials(plan: Plan) -> tuple[str, ...]:
    site = plan.job.site
    if not plan.needs:
        return ("none",)
    names = part_names(plan.parts)
    rows = [
        (need.part, printed(need.amount, site), names.get(need.part, "not in the catalogue"))
        for need in plan.needs
    ]
    return table(("part", "amount", "name"), rows, numbers={1})

"""Findings in words: level, code and place, what is found, what to do, and who says so."""

from collections.abc import Iterator
from typing import Final

from pelmet.model.plan.finding import LEVELS, Finding
from pelmet.model.plan.result import Plan
from pelmet.model.told.paper import Block, Grid, Words
from pelmet.model.told.words import WIDTH, labelled

_LABEL: Final = 8


def counts_words(plan: Plan) -> str:
    """Count the findings, level by level."""
    return ", ".join(f"{plan.count(level)} {level}" for level in LEVELS)


def finding_block(plan: Plan) -> Block:
    """Tell every finding in a table."""
    if not plan.findings:
        return Words("Nothing is found.")
    rows = tuple((each.level, "\n".join(_told(each))) for each in plan.findings)
    return Grid(("level", "finding"), rows, name="findings")


def _told(finding: Finding) -> Iterator[str]:
    for label, text in _rows(finding):
        yield f"{label}: {text}" if label else text


def findings_lines(plan: Plan) -> tuple[str, ...]:
    """Tell every finding in lines of plain ASCII for a terminal."""
    if not plan.findings:
        return ("none",)
    return tuple(line for finding in plan.findings for line in finding_lines(finding))


def finding_lines(finding: Finding, width: int = WIDTH) -> tuple[str, ...]:
    """Tell one finding in lines of at most ``width`` columns."""
    (_, first), *rest = _rows(finding)
    lines = [*labelled(finding.level, first, _LABEL, width)]
    for label, text in rest:
        lines += labelled(f"  {label}".rstrip(), text, _LABEL, width)
    return tuple(lines)


def _rows(finding: Finding) -> tuple[tuple[str, str], ...]:
    """Give what is said of a finding, each with its label."""
    field = finding.field.replace("_", " ")
    return (
        ("", f"{finding.code}: {finding.kind} {finding.about}, {field}"),
        ("", finding.says),
        ("do", finding.remedy),
        ("from", finding.source.title),
    )

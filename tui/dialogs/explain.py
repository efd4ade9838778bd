"""The dialogs that explain: help, the findings, and how figures were worked out."""

from collections.abc import Iterable
from typing import NamedTuple

from pelmet.model.told.figures import figures_of, printed
from pelmet.model.told.findings import finding_lines
from pelmet.model.told.why import why_lines
from pelmet.model.told.words import wrapped
from pelmet.tui.dialogs.pickers import Page, Picker
from pelmet.tui.panes.line import Line
from pelmet.tui.session.session import Session

_DEPTH = 3
_KEY_COLUMNS = 17
_WIDTH = 72  # what a dialog shows of a row at 80 columns


class HelpRow(NamedTuple):
    """A key as it is shown, what it does, and why it cannot now, if so."""

    key: str
    words: str
    why_not: str = ""


def help_page(session: Session, moves: Iterable[HelpRow], commands: Iterable[HelpRow]) -> Page:
    """Tell what the field wants, what the keys do, and why one cannot act now."""
    question = session.form.question
    here: list[Line] = []
    if question:
        here = [
            Line(question.title_in(session.job.site), "title"),
            *_folded("", question.help_in(session.job.site)),
            Line(""),
        ]
    rows = [
        *here,
        Line("Moving", "title"),
        *(line for row in moves for line in _folded(row.key, row.words)),
        Line(""),
        Line("Commands", "title"),
    ]
    for row in commands:
        rows += _folded(row.key, row.words, "dim" if row.why_not else "plain")
        if row.why_not:
            rows += _folded("", f"not now: {row.why_not}", "dim")
    return Page(f"Help: {session.place.step.name}", rows)


def _folded(key: str, words: str, role: str = "plain") -> list[Line]:
    """Set words beside a key, folded to the dialog."""
    first, rest = f"{key:<{_KEY_COLUMNS}}", " " * _KEY_COLUMNS
    if not key:
        first = rest = rest if role == "dim" else ""
    return [Line(text, role) for text in wrapped(words, first, rest, _WIDTH)]


def findings_picker(session: Session) -> Picker:
    """List the findings, the gravest first; the one picked is told whole below."""
    findings = session.findings
    options = [
        Line(f"{finding.level:<4}  {finding.about:<5} {finding.says}", finding.level)
        for finding in findings
    ]

    def detail(at: int) -> list[str]:
        return list(finding_lines(findings[at], _WIDTH))

    return Picker(
        f"{len(findings)} findings", options, hint="Enter jumps to it  Esc closes", detail=detail
    )


def why_picker(session: Session) -> Picker | None:
    """List the figures of the thing one stands on, each told whole; nothing if it has none."""
    site = session.job.site
    about = session.place.id
    figures = figures_of(session.plan, about)
    if not figures:
        return None
    options = [
        Line(
            f"{figure.about:<7} {figure.name:<16} {printed(figure, site)}"
            + ("  assumed" if figure.assumed else "")
        )
        for figure in figures
    ]
    return Picker(
        f"Figures of {about}",
        options,
        hint="Up Down pick a figure  PgUp PgDn scroll  Esc closes",
        detail=lambda at: why_lines(figures[at], site, _DEPTH, _WIDTH),
    )

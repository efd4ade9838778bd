"""What stands in each pane, as rows: title, list, form, plan, budget, papers."""

from collections.abc import Sequence

from rich.cells import cell_len, set_cell_size

from pelmet.model.told.budget import budget_segments
from pelmet.model.told.drawings.drawing import Drawing
from pelmet.tui.panes.line import Line, Lines, lines, showable
from pelmet.tui.session.outline import Row
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import STEPS

_TITLE_COLUMNS = 16


def title_line(session: Session, width: int) -> Line:
    """Give the job's name, its file, and whether anything is unsaved."""
    name = showable(session.path.name) if session.path else "no file yet"
    if cell_len(name) > width // 2:
        name = set_cell_size(name, width // 2 - 1) + "~"
    state = "* not saved" if session.dirty else "saved" if session.path else ""
    right = f"{name}  {state} "
    room = max(width - cell_len(right) - 2, 8)
    text = f" {set_cell_size(session.job.site.name, room)} {right}"
    start = len(text) - len(right)
    return Line(text, "title", ((start, len(text), "warn" if session.dirty else "dim"),))


class _Listed:
    """The rows of a list as lines, each made when it is looked at: a list may be long."""

    def __init__(self, rows: Sequence[Row], here: int | None) -> None:
        self._rows, self._here = rows, here

    def __len__(self) -> int:
        return len(self._rows)

    def __getitem__(self, at: int, /) -> Line:
        row = self._rows[at]
        text = ("> " if at == self._here else "  ") + "  " * row.indent + row.text
        return Line(text, "dim" if row.kind == "bar" else "plain")


def list_lines(session: Session) -> Lines:
    """Give the list of the step, or what to do when it is empty."""
    step, listed = session.place.step, _Listed(session.rows, session.row_index)
    bare = not len(listed) or (len(listed) == 1 and step is STEPS[0])
    if not bare or not step.empty:
        return listed
    return (
        *(listed[at] for at in range(len(listed))),
        *lines(["", *(f"  {text}" for text in _folded(step.empty, 34))], "dim"),
    )


def form_lines(session: Session, width: int) -> tuple[tuple[Line, ...], int | None]:
    """Give the form of the thing one stands on, and the row of the present field."""
    found, current = [], None
    for at, field in enumerate(session.form.fields):
        question = session.form.question_of(field)
        if question is None:
            continue
        here = field == session.place.field
        title = question.title_in(session.job.site)
        value = session.form.listed_as(field) or ("none" if question.shape == "choice" else "-")
        text = f"{'>' if here else ' '}{title[:_TITLE_COLUMNS]:>{_TITLE_COLUMNS}}  {value}"
        current = at if here else current
        found.append(Line(text[:width]))
    return tuple(found), current


def drawing_lines(drawing: Drawing) -> tuple[Line, ...]:
    """Turn a drawing into rows whose spans carry the drawing's roles."""
    spans: dict[int, list[tuple[int, int, str]]] = {}
    for span in drawing.spans:
        spans.setdefault(span.row, []).append((span.start, span.end, span.role))
    return tuple(
        Line(text, "plain", tuple(spans.get(at, ()))) for at, text in enumerate(drawing.rows)
    )


def page_lines(session: Session) -> tuple[Line, ...]:
    """Give the text of the paper one stands on; what holds it up stands above it."""
    from pelmet.tui.session.paper_states import why_blocked

    here = session.place.id
    reason, page = (
        why_blocked(session.plan, session.findings, here),
        session.paperwork.pages.get(here),
    )
    held = [Line(f"BLOCKED, {reason}", "stop"), Line("")] if reason else []
    return (*held, *(lines(["Being worked out ..."], "dim") if page is None else lines(page)))


def budget_line(session: Session, width: int) -> Line:
    """Give the running power budget."""
    text, spans = " ", []
    if session.plan_is_behind:
        text = " Planning ... "
        spans.append((1, len(text), "dim"))
    for segment in budget_segments(session.plan, width - len(text) - 1, session.findings):
        spans.append((len(text), len(text) + len(segment.text), segment.role))
        text += segment.text
    return Line(text, "plain", tuple(spans))


def _folded(text: str, width: int) -> list[str]:
    found = [""]
    for word in text.split():
        if len(found[-1]) + len(word) + 1 > width:
            found.append("")
        found[-1] = f"{found[-1]} {word}".strip()
    return found

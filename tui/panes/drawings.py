"""The drawings of a job that the wizard shows in turn, and the way from thing to thing on one."""

from collections.abc import Iterable
from typing import NamedTuple

from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.drawing import Drawing, Span
from pelmet.model.told.drawings.plan.view import plan_view
from pelmet.tui.session.steps import MOUNTING, POWER, Step

DRAWINGS = ("plan", "elevation", "section")
VOLTS, LIGHT = "volts", "light"
# A page that only one step has; it follows the plan there.
_OF_STEP = {MOUNTING.key: LIGHT, POWER.key: VOLTS}
_LEAST_WIDTH, _LEAST_HEIGHT = 20, 5
# A row of a terminal is about as high as two columns are wide.
_ROW = 2
# Something this much nearer along the way counts as much as one column to the side of it.
_ASIDE = 2


def drawings_in(step: Step) -> tuple[str, ...]:
    """Give the drawings shown in turn: light in Mounting and volts in Power follow the plan.

    >>> drawings_in(POWER)
    ('plan', 'volts', 'elevation', 'section')
    """
    own = _OF_STEP.get(step.key)
    return (DRAWINGS[0], own, *DRAWINGS[1:]) if own else DRAWINGS


def make_drawing(
    plan: Plan, name: str, width: int, height: int, focus: str | None, home: str | None = None
) -> Drawing:
    """Draw one of the drawings, the thing in focus marked; ``home`` is on it, or else the focus."""
    width, height = max(width, _LEAST_WIDTH), max(height, _LEAST_HEIGHT)
    if name == "plan":
        return _marked(plan_view(plan, width, height, focus, home), focus)
    # The wizard opens on the plan; the others are loaded when they are asked for.
    from pelmet.model.told.drawings.charts.light_page import draw_light_page
    from pelmet.model.told.drawings.charts.volts_page import draw_volts_page
    from pelmet.model.told.drawings.elevation.view import elevations
    from pelmet.model.told.drawings.section.view import sections

    draw = {
        "elevation": elevations,
        "section": sections,
        VOLTS: draw_volts_page,
        LIGHT: draw_light_page,
    }[name]
    return _marked(draw(plan, width, height, focus, home), focus)


def _marked(drawing: Drawing, focus: str | None) -> Drawing:
    """Give every mark of the thing in focus the role of the focus."""
    if focus is None:
        return drawing
    spans = (span._replace(role="focus") if span.about == focus else span for span in drawing.spans)
    return drawing._replace(spans=tuple(spans))


class _Spot(NamedTuple):
    """Where a thing is on a drawing: the middle of its marks [columns]."""

    across: float
    down: float


def spots(spans: Iterable[Span]) -> dict[str, _Spot]:
    """Give where each thing is on a drawing, by its id."""
    found: dict[str, list[Span]] = {}
    for span in spans:
        if span.about:
            found.setdefault(span.about, []).append(span)
    return {
        about: _Spot(
            sum(span.start + span.end for span in own) / 2 / len(own),
            sum(span.row for span in own) / len(own) * _ROW,
        )
        for about, own in found.items()
    }


def thing_beside(drawing: Drawing, here: str, across: int, down: int) -> str:
    """Give the next thing on a drawing in one direction, or the same if there is none.

    ``across`` is 1 to the right, -1 to the left; ``down`` 1 and -1 likewise. What is more aside
    than ahead comes only after all that is not. From nowhere on the drawing one comes to its
    first thing.
    """
    found = spots(drawing.spans)
    if not found:
        return here
    if here not in found:
        return next(iter(found))
    at = found[here]
    ahead: list[tuple[bool, float, str]] = []
    for about, spot in found.items():
        along = (spot.across - at.across) * across + (spot.down - at.down) * down
        aside = abs(spot.down - at.down) if across else abs(spot.across - at.across)
        if along > 0:
            ahead.append((aside > along, along + _ASIDE * aside, about))
    return min(ahead, default=(False, 0.0, here))[-1]

"""The bars that frame every step: the six steps with their keys above, the footer's keys below."""

from collections.abc import Iterable

from pelmet.tui.panes.line import Line
from pelmet.tui.session.steps import STEPS, Step


def step_bar(here: Step | None) -> Line:
    """Give the six steps with their keys; the present one in brackets."""
    text, spans = "", []
    for step in STEPS:
        words = f"{step.key.upper()} {step.name}"
        piece = f"[{words}]" if step is here else f" {words} "
        if step is here:
            spans.append((len(text), len(text) + len(piece), "current"))
        text += piece
    return Line(text, "dim", tuple(spans))


def footer_bar(keys: Iterable[tuple[str, str]]) -> Line:
    """Give the keys of the footer, each with its word."""
    text, spans = " ", []
    for key, word in keys:
        spans.append((len(text), len(text) + len(key), "key"))
        text += f"{key} {word}  "
    return Line(text.rstrip(), "dim", tuple(spans))

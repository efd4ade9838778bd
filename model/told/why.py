"""How a figure was come by: its formula, what went in, and the source it stands on."""

from collections.abc import Iterator
from typing import Final

from pelmet.model.job.job import Site
from pelmet.model.plan.figure import Figure
from pelmet.model.told.figures import named, printed
from pelmet.model.told.words import WIDTH, labelled, wrapped

_LABEL: Final = 9
_STEP: Final = 2


def why_lines(figure: Figure, site: Site, depth: int = 1, width: int = WIDTH) -> tuple[str, ...]:
    """Show how a figure was worked out, in lines of at most ``width`` columns.

    ``depth`` is how many steps back its inputs are followed: 1 shows what went straight in.
    """
    formula = figure.formula
    standing = "" if formula.source.standing == formula.source.title else formula.source.standing
    source = f"{formula.source.title} ({standing})" if standing else formula.source.title
    lines = [
        *wrapped(f"{named(figure)}: {printed(figure, site)}", rest=" " * _STEP, width=width),
        *labelled("formula", formula.says, _LABEL, width),
        *labelled("source", source, _LABEL, width),
    ]
    if figure.inputs:
        lines += ["from", *_inputs(figure, site, depth, " " * _STEP, width)]
    return (*lines, *wrapped(_assumed(figure, site), rest=" " * _STEP, width=width))


def _inputs(figure: Figure, site: Site, depth: int, indent: str, width: int) -> Iterator[str]:
    # Past half the width there is no room for words; what lies deeper has its own "why".
    if depth < 1 or len(indent) > width // 2:
        return
    for one in figure.inputs:
        mark = " (assumed)" if one.assumed else ""
        text = f"{named(one)}: {printed(one, site)}{mark} - {one.formula.says}"
        yield from wrapped(text, indent, indent + " " * 2 * _STEP, width)
        yield from _inputs(one, site, depth - 1, indent + " " * _STEP, width)


def _assumed(figure: Figure, site: Site) -> str:
    """Name what nobody has measured, or say that there is no such thing in it."""
    if not figure.assumed:
        return "Nothing assumed went into it."
    leaves = dict.fromkeys(
        f"{named(one)} ({printed(one, site)})"
        for one in figure.walk()
        if one.assumed and not one.inputs
    )
    return f"Assumed, not measured: {', '.join(leaves)}."

"""Sections through cabinets, seen from their left side, in plain ASCII.

Across, from the wall into the room, they are to scale; up and down they are not.
"""

from collections import Counter
from collections.abc import Iterator
from typing import Final, NamedTuple

from pelmet.model.measure.lengths import print_length
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.drawing import Canvas, Drawing, Words, flow, stack
from pelmet.model.told.drawings.plan.lines import WALL
from pelmet.model.told.drawings.plan.scale import scale_for
from pelmet.model.told.drawings.section.cut import (
    CrossSection,
    Part,
    Shape,
    cut_of,
    cuts,
    measures_in_words,
    throw_words,
)
from pelmet.model.told.drawings.section.marks import (
    BEAM,
    BREAK,
    CHANNEL,
    SOLID,
    WORKTOP,
    draw_section,
    plate_of,
)
from pelmet.model.told.drawings.section.rays import ray_key
from pelmet.model.told.words import wrapped

_FINEST: Final = 5.0  # [mm a column]: a shallow shelf is not blown up beyond this
_WORDS_BESIDE: Final = 56  # columns: a page any narrower has the words below the drawing
_SHARE: Final = (11, 20)  # of the width that a drawing has where words stand beside it
_GAP: Final = 2  # columns between a drawing and the words beside it
_DOOR: Final = 20.0  # [mm] kept in front of a cabinet for its door
_EMPTY: Final = "No run yet: add a run"


class _Page(NamedTuple):
    """What is asked for: of which job, how wide and high, and the id to mark."""

    plan: Plan
    width: int
    height: int | None
    focus: str | None


def section(
    plan: Plan,
    run_or_cabinet_id: str,
    width: int,
    height: int | None = None,
    focus: str | None = None,
) -> Drawing:
    """Draw a cut through a cabinet, or through the first cabinet of a run's first bar.

    At most ``width`` columns and ``height`` rows; ``focus`` is the id of the thing to mark. An
    unknown id gives a line that says so. Never raises.
    """
    page = _Page(plan, max(width, 1), height, focus)
    cut = cut_of(plan, run_or_cabinet_id)
    if cut is None:
        return _words(page, f"There is no run and no cabinet {run_or_cabinet_id}")
    return _fitted(page, cut)


def sections(
    plan: Plan,
    width: int,
    height: int | None = None,
    focus: str | None = None,
    home: str | None = None,
) -> Drawing:
    """Draw a section through every run, one below another; runs that look the same share one.

    With a height, one alone is drawn: that of ``home``, or of the focus, or the first. Never
    raises.
    """
    page = _Page(plan, max(width, 1), height, focus)
    found, home = cuts(plan), home or focus
    own = cut_of(plan, home) if home else None
    if not found and own is None:
        return _words(page, _EMPTY)
    if height is not None:
        return _fitted(page, next((cut for cut in found if home in cut.runs), own or found[0]))
    parts: list[Drawing] = []
    for cut in found:
        parts += [Drawing(("",), ())] if parts else []
        parts.append(_drawn(page, cut, terse=False))
    marks = dict.fromkeys(words for cut in found for words in _key(cut.shape))
    parts.append(flow(marks, page.width))
    return stack(parts)


def _words(page: _Page, text: str) -> Drawing:
    drawing = flow((Words(word, "key") for word in text.split()), page.width, gap=1)
    return drawing if page.height is None else drawing.first(page.height)


def _fitted(page: _Page, cut: CrossSection) -> Drawing:
    """Draw one section, with fewer rows when there is no room for all."""
    key = flow(_key(cut.shape), page.width)
    whole = stack([_drawn(page, cut, terse=False), key])
    if page.height is None or len(whole.rows) <= page.height:
        return whole
    return stack([_drawn(page, cut, terse=True), key]).first(page.height)


def _drawn(page: _Page, cut: CrossSection, *, terse: bool) -> Drawing:
    shape = cut.shape
    title = flow(_title(page, cut), page.width, gap=1)
    if shape.kind == "upright":
        return stack([title, _upright(page, cut)])
    site = page.plan.job.site
    beside = page.width >= _WORDS_BESIDE
    columns = page.width * _SHARE[0] // _SHARE[1] if beside else page.width
    scale = scale_for(_reach(shape) / max(columns - 2, 1), site.length_unit, columns)
    words = list(_said(page, shape, page.width - columns - _GAP)) if beside else []
    lines = Counter(part for part, _ in words)
    plate = plate_of(shape, scale.mm, lines, terse=terse)
    canvas = Canvas(page.width, plate.rows + len(words))
    draw_section(canvas, plate, cut, columns)
    row = 0
    for part, text in words:
        row = max(row, plate.start(part))
        bare = text.lstrip()
        start = columns + _GAP + len(text) - len(bare)
        canvas.write((row, start), bare, "label", cut.cabinet)
        row += 1
    bar = scale.bar(site.length_unit, site.inch_parts)
    parts = [title, canvas.drawing(), flow([Words(bar, "scale", cut.cabinet)], page.width)]
    if not beside:
        texts = [
            Words(text, "label", cut.cabinet) for _, text in measures_in_words(page.plan, shape)
        ]
        parts.append(flow(texts, page.width))
    return stack(parts)


def _reach(shape: Shape) -> float:
    """Give how far out from the wall a section goes [mm]."""
    out = float(shape.depth) + _DOOR
    if shape.worktop_below:
        out = max(out, float(shape.worktop_depth))
    if shape.lit:
        out = max(out, float(shape.lit.from_wall + shape.lit.channel.face))
    return max(out, _FINEST)


def _said(page: _Page, shape: Shape, width: int) -> Iterator[tuple[Part, str]]:
    for part, text in measures_in_words(page.plan, shape):
        for line in wrapped(text, rest="  ", width=width):
            yield part, line


def _title(page: _Page, cut: CrossSection) -> Iterator[Words]:
    def named(item_id: str, after: str = "") -> Words:
        if item_id == page.focus:
            return Words(f">{item_id}<{after}", "focus", item_id)
        return Words(item_id + after, "label", item_id)

    yield Words("Section through", "label", cut.cabinet)
    yield named(cut.cabinet, "," if cut.runs else "")
    if cut.runs:
        yield Words("run" if len(cut.runs) == 1 else "runs", "label", cut.runs[0])
        yield from map(named, cut.runs)


def _upright(page: _Page, cut: CrossSection) -> Drawing:
    """Say in words where on an upright its bar stands."""
    site, lit = page.plan.job.site, cut.shape.lit
    if lit is None:
        text = f"{cut.cabinet} is an upright, and no bar stands on it"
    else:
        out = print_length(lit.from_wall, site.length_unit, site.inch_parts)
        where = {"front": "near its front", "middle": "in its middle", "back": "near its back",
                 "edge": "on its front edge"}[lit.line]  # fmt: skip
        text = (
            f"{cut.cabinet} is an upright: the bar stands {where}, its middle {out} from the wall"
        )
    return flow((Words(word, "label", cut.cabinet) for word in text.split()), page.width, gap=1)


def _key(shape: Shape) -> Iterator[Words]:
    """Explain the marks of a section."""
    if shape.kind == "upright":
        return
    yield Words("to scale across, not up and down", "key")
    yield Words(f"{WALL} wall", "key")
    yield Words(f"{SOLID} board", "key")
    if shape.kind in ("wall cabinet", "open unit"):
        yield Words("| cabinet, door" if shape.kind == "wall cabinet" else "| cabinet", "key")
    if shape.lit:
        yield Words(f"{CHANNEL} channel", "key")
        yield Words(f"{BEAM[shape.lit.side]} {throw_words(shape.lit.facing)}", "key")
    if shape.rays:
        yield from ray_key(shape.rays)
    if shape.worktop_below:
        yield Words(f"{WORKTOP} {shape.surface}", "key")
    if shape.worktop_below or not shape.is_shelf:
        yield Words(f"{BREAK} cut short", "key")

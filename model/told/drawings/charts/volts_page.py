"""One leg on one page: its amps, the volts and light of its bars, its cables, and the chart."""

from collections.abc import Iterable, Iterator, Sequence
from typing import Final, NamedTuple

from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.result import Plan
from pelmet.model.told.drawings.charts.volts_chart import LEAST_HEIGHT, chart
from pelmet.model.told.drawings.drawing import (
    Drawing,
    Role,
    Span,
    Words,
    flow,
    plain_ascii,
    side_by_side,
    stack,
)
from pelmet.model.told.figures import bare

_BESIDE: Final = 76  # columns: a page any narrower has the chart below the tables
_GAP: Final = 3
_ROWS: Final = 10  # of a chart, where there is no end to the page
_MOST: Final = 16  # a chart any higher says no more
_SHARE: Final = 2  # the chart has half the rows below the title, the tables the others
_BAR_HEAD: Final = ("bar", "start V", "end V", "low V", "fade %")
_CABLE_HEAD: Final = ("cable", "A", "end V", "W lost")
_MORE: Final = "more on the sheet"
_EMPTY: Final = "No leg yet: Ctrl+T in the Power step proposes one"


def draw_volts_page(
    plan: Plan,
    width: int,
    height: int | None = None,
    focus: str | None = None,
    home: str | None = None,
) -> Drawing:
    """Draw the leg of ``home``, or of the focus, or the first; other legs are named.

    At most ``width`` columns and ``height`` rows; a leg is that of its runs, its bars, its
    cables, its supply. Never raises.
    """
    width = max(width, 1)
    legs = plan.circuits.legs
    if not legs:
        drawing = flow((Words(word, "key") for word in _EMPTY.split()), width, gap=1)
        return drawing if height is None else drawing.first(height)
    own = home or focus
    leg = next((leg for leg in legs if own in _of(leg, plan)), legs[0])
    title, others = _title(leg, plan, width), _others(leg, legs, width)
    left = None if height is None else max(height - len(title.rows) - len(others.rows), 0)
    page = stack([title, _body(_Body(leg, plan, width, left, focus)), others])
    return page if height is None else page.first(height)


def _of(leg: LegCircuit, plan: Plan) -> tuple[str, ...]:
    """Give the ids that this leg is shown for."""
    bars = (bar.id for bar in plan.bars if bar.run in leg.runs)
    cables = (cable.id for cable in plan.routes.leads_of(leg.leg.id))
    links = (flowing.cable for flowing in leg.flows)
    return (leg.leg.id, *leg.runs, *bars, *cables, *links, leg.leg.supply)


def _title(leg: LegCircuit, plan: Plan, width: int) -> Drawing:
    own, site = leg.leg.id, plan.job.site
    pieces = [Words(own, "label", own), Words(f"from {leg.leg.supply}:", "label", own)]
    if leg.amps and leg.worst and leg.drop:
        pieces += [
            Words(f"{bare(leg.amps, site)} A,", "label", own),
            Words(f"{bare(leg.worst, site)} V at worst,", "label", own),
            Words(f"{bare(leg.drop, site)} % down", "label", own),
        ]
    else:
        pieces.append(Words("volts not known, see the findings", "fault", own))
    return flow(pieces, width, gap=1)


def _others(leg: LegCircuit, legs: Sequence[LegCircuit], width: int) -> Drawing:
    others = [each.leg.id for each in legs if each is not leg]
    if not others:
        return Drawing((), ())
    return flow([Words("other legs:", "key"), *(Words(own, "label", own) for own in others)], width)


class _Body(NamedTuple):
    """What the tables and the chart of a leg are drawn for, and the room they have."""

    leg: LegCircuit
    plan: Plan
    width: int
    height: int | None
    focus: str | None

    def chart(self, width: int, rows: int) -> Drawing:
        """Draw the chart; what is in focus is marked, but one walks only on the tables."""
        drawn = chart(self.leg, self.plan.job, width, rows)
        spans = (
            span._replace(role="focus" if span.about == self.focus else span.role, about="")
            for span in drawn.spans
        )
        return drawn._replace(spans=tuple(spans))


def _body(body: _Body) -> Drawing:
    """Put the chart beside the tables, or below them."""
    leg, plan, width, height, _ = body
    if not leg.bars:
        return Drawing((), ())
    tables = stack(_tables(leg, plan, width))
    if width >= _BESIDE:
        at = max(map(len, tables.rows)) + _GAP
        rows = _ROWS if height is None else min(height, _MOST)
        return side_by_side(_cut(tables, height), body.chart(width - at, rows), at)
    if height is None:
        return stack([tables, Drawing(("",), ()), body.chart(width, _ROWS)])
    # Tables get what the chart leaves, but no less than half.
    rows = min(max(height - len(tables.rows) - 1, height // _SHARE), _MOST)
    if rows < LEAST_HEIGHT:
        return _cut(tables, height)
    kept = _cut(tables, height - rows - 1)
    return stack([kept, Drawing(("",), ()), body.chart(width, rows)])


def _cut(tables: Drawing, height: int | None) -> Drawing:
    """Keep so many rows, the last one saying that there were more."""
    if height is None or len(tables.rows) <= height:
        return tables
    return stack([tables.first(height - 1), Drawing((_MORE,), ())]).first(height)


def _tables(leg: LegCircuit, plan: Plan, width: int) -> Iterator[Drawing]:
    site = plan.job.site
    lights = {light.bar: light for light in plan.fadings.bars}
    bars = [
        (
            bar.bar,
            *(bare(figure, site) for figure in (bar.start, bar.end, bar.lowest)),
            bare(lights[bar.bar].lost, site) + ("" if bar.above_least else " too low"),
        )
        for bar in leg.bars
    ]
    cables = [
        (
            flowing.cable,
            bare(flowing.amps, site),
            bare(flowing.volts, site),
            f"{float(flowing.lost.value):.2f}",
        )
        for flowing in leg.flows
    ]
    yield _grid(_BAR_HEAD, bars, "run", width)
    yield Drawing(("",), ())
    yield _grid(_CABLE_HEAD, cables, "cable", width)


def _grid(head: Sequence[str], rows: Iterable[Sequence[str]], role: Role, width: int) -> Drawing:
    """Lay numbers out under a head, each row about the thing in its first cell."""
    cells = [[plain_ascii(cell) for cell in row] for row in (head, *rows)]
    widths = [max(map(len, column)) for column in zip(*cells, strict=True)]
    lines = []
    for first, *others in cells:
        numbers = zip(others, widths[1:], strict=True)
        line = f"{first:<{widths[0]}}" + "".join(f"  {cell:>{wide}}" for cell, wide in numbers)
        lines.append(line[:width].rstrip())
    spans = (
        Span(row, 0, len(line), "key" if row == 0 else role, "" if row == 0 else cells[row][0])
        for row, line in enumerate(lines)
    )
    return Drawing(tuple(lines), tuple(spans))

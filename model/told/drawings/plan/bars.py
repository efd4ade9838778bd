"""The bars on a plan: where each runs, what of it is lit and dark, and where its cable comes."""

from collections.abc import Sequence
from decimal import Decimal

from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.feed_points import FeedPoint, feed_points_of, mark_on_bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.openings import Opening
from pelmet.model.told.drawings.drawing import Canvas, Cell, Role
from pelmet.model.told.drawings.plan.lines import line_cells
from pelmet.model.told.drawings.plan.marks import Footprint, RoomSheet
from pelmet.model.told.drawings.plan.scale import Side

LIT, DARK, FEED, UNFED = "*", ".", "@", "x"


def feed_mark(plan: Plan, point: FeedPoint) -> tuple[str, Role]:
    """Give the mark of a feed point, another one if no cable comes to it."""
    shut = any(lead.feed == point and lead.length is None for lead in plan.routes.leads)
    return (UNFED, "fault") if shut else (FEED, "feed")


def cell_at(bar: Bar, cells: Sequence[Cell], point: FeedPoint) -> Cell:
    """Give the cell of a bar that a feed point is in, left to right."""
    if point.at == "middle":
        share = (mark_on_bar(bar, point) - bar.left) / Decimal(bar.length.value)
        return cells[min(max(int(share * len(cells)), 0), len(cells) - 1)]
    return cells[0 if point.at == "left" else -1]


def draw_runs(sheet: RoomSheet, plan: Plan) -> None:
    """Draw every bar at its mounting line: lit, dark, and the end its cable comes to."""
    out = {mount.bar: float(mount.from_wall.value) for mount in plan.mounts}
    fits = [fit for fit in plan.fits if _is_here(fit, sheet)]
    fits.sort(
        key=lambda fit: max(
            sheet.footprints[name].cabinet.bottom_height
            for name in fit.run.cabinets
            if name in sheet.footprints
        ),
        reverse=True,
    )
    for fit in fits:
        bars = sheet.bars.setdefault(fit.run.id, [])
        for opening in fit.too_short:
            for cell in _line(sheet, opening, float(opening.left), float(opening.right), None):
                sheet.canvas.put(cell, DARK, "dark", fit.run.id)
        points = {point.bar: point for point in feed_points_of(fit) if point.at == "middle"}
        for bar in fit.bars:
            cells = _line(sheet, bar.opening, float(bar.left), float(bar.right), out.get(bar.id))
            if cells:
                bars.append(cells)
                inner = points.get(bar.id)
                middle = (cell_at(bar, cells, inner),) if inner else ()
                sheet.ends[bar.id] = (cells[0], *middle, cells[-1])
                if bar.upright:
                    sheet.canvas.put(cells[0], LIT, "run", fit.run.id)
                else:
                    draw_bar(sheet.canvas, fit.run.id, bar, cells)
        for point in feed_points_of(fit):
            if point.bar in sheet.ends:
                ends = sheet.ends[point.bar]
                cell = ends[{"left": 0, "middle": 1, "right": -1}[point.at]]
                sheet.canvas.put(cell, *feed_mark(plan, point), fit.run.id)


def _is_here(fit: RunFit, sheet: RoomSheet) -> bool:
    return any(name in sheet.footprints for name in fit.run.cabinets)


def _line(
    sheet: RoomSheet, opening: Opening, left: float, right: float, out: float | None
) -> list[Cell]:
    """Give the cells of a line at an opening, in sight beside walls and outer sides.

    ``left`` and ``right`` are along the wall, ``out`` is from it [mm].
    """
    side = sheet.sides.get(opening.wall)
    if side is None:
        return []
    names = opening.cabinets
    under = [sheet.footprints[name] for name in names if name in sheet.footprints]
    own = [one for one in under if one.side is side]
    if opening.upright and own:
        return [_post(sheet, side, own[0].middle, _drawn_out(own, side, out))]
    left, right = min(left, side.reach), min(right, side.reach)
    drawn = _drawn_out(own or under, side, out)
    if side.slants and own and min(one.out for one in own) - drawn < side.out_step:
        cells = _fronts(own, left, right)
        return cells or [side.cell(left, drawn)]
    limits = set()
    if own and left >= own[0].left:
        limits.add(side.cell(own[0].left, drawn))
    if own and right <= own[-1].right:
        limits.add(side.cell(own[-1].right, drawn))
    cells = line_cells(side.cell(left, drawn), side.cell(right, drawn))
    kept = [cell for cell in cells if cell not in limits and sheet.canvas.role(cell) != "wall"]
    return kept or cells[:1]


def _drawn_out(above: list[Footprint], side: Side, out: float | None) -> float:
    """Give how far out a line is drawn [mm]: as the shallowest cabinet above it is, else at out."""
    if above:
        shallow = min(above, key=lambda one: one.cabinet.depth)
        depth = float(shallow.cabinet.depth)
        out = (depth if out is None else out) * shallow.out / depth
    return max(out or 0.0, side.out_step)


def _post(sheet: RoomSheet, side: Side, at: float, out: float) -> Cell:
    """Give the cell of a bar on an upright, beside the wall that it may stand against."""
    cells = [side.cell(at + shift * side.along_step, out) for shift in (0, 1, -1)]
    return next((cell for cell in cells if sheet.canvas.role(cell) != "wall"), cells[0])


def _fronts(own: list[Footprint], left: float, right: float) -> list[Cell]:
    """Give the front's cells: two slanting lines side by side cannot be told apart."""
    side = own[0].side
    stretches = [(one.left, one.right, one.out) for one in own]
    if left < own[0].left:
        stretches.insert(0, (left, own[0].left, own[0].out))
    if right > own[-1].right:
        stretches.append((own[-1].right, right, own[-1].out))
    cells = [
        cell
        for start, end, out in stretches
        for cell in line_cells(side.cell(start, out), side.cell(end, out))
    ]
    return [cell for cell in dict.fromkeys(cells) if left <= side.place(cell)[0] <= right]


def draw_bar(canvas: Canvas, run_id: str, bar: Bar, cells: Sequence[Cell]) -> None:
    """Draw a bar over cells that run left to right: what of it is lit and what dark."""
    whole = float(bar.length.value)
    before = round(float(bar.lit_left - bar.left) / whole * len(cells))
    after = round(float(bar.right - bar.lit_right) / whole * len(cells))
    for place, cell in enumerate(cells):
        lit = before <= place < len(cells) - after
        canvas.put(cell, LIT if lit else DARK, "run" if lit else "dark", run_id)

"""The plan of a job from above, to scale, in plain ASCII: what a fitter would sketch on site."""

from collections.abc import Sequence
from typing import Final, NamedTuple

from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.geometry import RoomPlan
from pelmet.model.told.drawings.drawing import (
    Canvas,
    Drawing,
    Role,
    Words,
    flow,
    plain_ascii,
    stack,
)
from pelmet.model.told.drawings.plan.bars import draw_runs
from pelmet.model.told.drawings.plan.cables import draw_cables
from pelmet.model.told.drawings.plan.fit import (
    RoomFrame,
    frames_of,
    least_mm,
    may_fit,
    own_scale,
)
from pelmet.model.told.drawings.plan.key import elsewhere, explain_marks, no_room
from pelmet.model.told.drawings.plan.labels import label
from pelmet.model.told.drawings.plan.marks import (
    RoomSheet,
    draw_cabinets,
    draw_obstacles,
    draw_walls,
    footprint,
    levels,
)
from pelmet.model.told.drawings.plan.scale import ROW, Scale, scale_for, side_of

LEGIBLE: Final = 120.0  # [mm a column]: a 600 mm cabinet is then five columns wide
_MARGIN: Final = 5  # rows kept above and below a room for labels; those unused are cut off
_TRIES: Final = 4  # a scale that turns out too fine is made coarser so often
_COARSER: Final = 1.02  # and by this much at least
_ROOM_FOR_A_KEY: Final = 12  # rows
_EMPTY: Final = "Nothing measured yet: add a room"


class _Page(NamedTuple):
    """What is asked for: of which job, how wide and high, and the ids to mark."""

    plan: Plan
    width: int
    height: int | None
    chosen: frozenset[str]


class _Picture(NamedTuple):
    """A room drawn, the marks on it, the ids that found no room, whether anything hangs above."""

    drawing: Drawing
    marks: set[tuple[Role, str]]
    unplaced: tuple[Words, ...]
    upper: bool


def plan_view(
    plan: Plan,
    width: int,
    height: int | None = None,
    focus: str | None = None,
    home: str | None = None,
) -> Drawing:
    """Draw a job's rooms from above, at most ``width`` columns and ``height`` rows.

    ``focus`` is the id of the thing to mark. With a height, all rooms are drawn if they are
    legible together, else one alone: that of ``home``, or of the focus, or the first. Never
    raises.
    """
    rooms = plan.rooms
    page = _Page(plan, max(width, 1), height, _chosen(plan.job, focus))
    if not rooms:
        words = (Words(word, "key") for word in _EMPTY.split())
        drawing = flow(words, page.width, gap=1)
        return drawing if height is None else drawing.first(height)
    if height is None:
        return _draw(page, rooms)
    if len(rooms) > 1 and may_fit(len(rooms), height):
        frames = frames_of(plan, rooms, page.width)
        if least_mm([*frames.values()], page.width, height) <= LEGIBLE:
            whole = _draw(page, rooms)
            if len(whole.rows) <= height:
                return whole
    own = _room_of(plan.job, home or focus)
    one = next((room for room in rooms if room.room.id == own), rooms[0])
    return _draw(page, [one]).first(height)


def _draw(page: _Page, rooms: Sequence[RoomPlan]) -> Drawing:
    """Draw rooms one below another, coarser until they fit."""
    frames = frames_of(page.plan, rooms, page.width)
    least = least_mm(list(frames.values()), page.width, page.height)
    drawing = Drawing((), ())
    for _ in range(_TRIES):
        scale = scale_for(least, page.plan.job.site.length_unit, page.width)
        drawing = _compose(page, rooms, frames, scale)
        over = 0 if page.height is None else len(drawing.rows) - page.height
        drawn = sum(frame.extent.rows(scale.mm) for frame in frames.values())
        if over <= 0 or over >= drawn:
            break
        least = scale.mm * max(drawn / (drawn - over), _COARSER)
    return drawing


def _compose(
    page: _Page, rooms: Sequence[RoomPlan], frames: dict[str, RoomFrame], shared: Scale
) -> Drawing:
    plan, site = page.plan, page.plan.job.site
    scales = {name: own_scale(plan, frame, shared, page.width) for name, frame in frames.items()}
    apart = any(scale is not shared for scale in scales.values())
    pictures: list[_Picture] = []
    parts: list[Drawing] = []
    for room in rooms:
        name = room.room.id
        parts += [Drawing(("",), ())] if parts else []
        parts.append(_title(room, page))
        if name not in frames:
            parts.append(flow([Words("no walls yet: add a wall", "key", name)], page.width))
            continue
        picture = _picture(page, frames[name], scales[name])
        pictures.append(picture)
        parts.append(picture.drawing)
        if apart:
            bar = scales[name].bar(site.length_unit, site.inch_parts)
            parts.append(flow([Words(bar, "scale", name)], page.width))
    unplaced = [words for picture in pictures for words in picture.unplaced]
    parts.append(no_room(unplaced, page.width, limited=page.height is not None))
    below: list[Words] = []
    if frames and not apart:
        below.append(Words(shared.bar(site.length_unit, site.inch_parts), "scale"))
    if page.height is None or page.height >= _ROOM_FOR_A_KEY:
        marks = set[tuple[Role, str]]().union(*(picture.marks for picture in pictures))
        below += explain_marks(
            plan,
            marks,
            upper=any(picture.upper for picture in pictures),
            guessed=any("length" in wall.assumed for wall in plan.job.walls if wall.room in frames),
        )
    parts.append(flow([*below, *elsewhere(plan)], page.width))
    others = [room for room in plan.rooms if room not in rooms]
    if others:
        names = (Words(room.room.name, "label", room.room.id) for room in others)
        parts.append(flow([Words("Also:", "key"), *names], page.width))
    return stack(parts)


def _title(room: RoomPlan, page: _Page) -> Drawing:
    name = plain_ascii(room.room.name).strip() or room.room.id
    if room.room.id in page.chosen:
        marked = f">{name[: max(page.width - 2, 0)]}<"
        return flow([Words(marked, "focus", room.room.id)], page.width)
    return flow([Words(name, "label", room.room.id)], page.width)


def _picture(page: _Page, frame: RoomFrame, scale: Scale) -> _Picture:
    box, mm = frame.extent, scale.mm
    left = box.left - box.before * mm
    top = box.top - _MARGIN * ROW * mm
    sides = {
        line.wall.id: side_of(line, mm, left, top, frame.reaches[line.wall.id])
        for line in frame.room.walls
    }
    hung = [cabinet for cabinet in page.plan.job.cabinets if cabinet.wall in sides]
    sheet = RoomSheet(
        Canvas(page.width, box.rows(mm) + 2 * _MARGIN),
        sides,
        {cabinet.id: footprint(cabinet, sides[cabinet.wall]) for cabinet in hung},
        levels(hung),
    )
    draw_walls(sheet)
    draw_cabinets(sheet)
    draw_runs(sheet, page.plan)
    draw_obstacles(sheet, page.plan)
    unplaced = label(sheet, page.plan, page.chosen)
    draw_cables(sheet, page.plan, frame.room, page.chosen)
    canvas = sheet.canvas
    return _Picture(canvas.drawing(), canvas.marks(), unplaced, bool(sheet.levels.upper))


def _chosen(job: Job, focus: str | None) -> frozenset[str]:
    """Give the ids to mark: the focus, and every run of a leg."""
    if focus is None:
        return frozenset()
    return frozenset({focus, *(run.id for run in job.runs if run.leg == focus)})


def _room_of(job: Job, focus: str | None) -> str | None:
    """Give the room of a thing, by way of its wall or its first cabinet."""
    walls = {wall.id: wall.room for wall in job.walls}
    rooms = {room.id: room.id for room in job.rooms} | walls
    rooms |= {cabinet.id: walls[cabinet.wall] for cabinet in job.cabinets}
    rooms |= {obstacle.id: walls[obstacle.wall] for obstacle in job.obstacles}
    rooms |= {run.id: rooms[run.cabinets[0]] for run in job.runs}
    rooms |= {supply.id: rooms[supply.cabinet] for supply in job.supplies if supply.cabinet}
    for leg in job.legs:
        fed = [rooms[run.id] for run in job.runs if run.leg == leg.id]
        home = fed[0] if fed else rooms.get(leg.supply)
        if home:
            rooms[leg.id] = home
    return rooms.get(focus or "")

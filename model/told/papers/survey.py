"""The survey sheet: what was read, what is assumed, what remains to be measured."""

from pelmet.model.job.items import Cabinet, Obstacle, Room, SurveyedItem, Wall
from pelmet.model.job.job import Job, Site
from pelmet.model.plan.result import Plan
from pelmet.model.told.figures import length_text
from pelmet.model.told.paper import Blanks, Block, Grid, Heading, Words, points
from pelmet.model.told.reminders import assumed_things, measured_by, survey_defaults

_ROOM_HEAD = ("room", "called", "{worktop} up", "{worktop} deep", "top", "photo")
_WALL_HEAD = ("wall", "room", "length", "corner to the next", "photo")
_OPENING_HEAD = ("cabinet", "front", "middle", "back", "least", "lip", "back set in", "photo")
_CABINET_HEAD = ("cabinet", "wall", "what", "at", "width", "deep", "bottom up", "underside")
_OBSTACLE_HEAD = ("obstacle", "what", "wall", "at", "width", "crossing", "photo")
_GUESS = "?"
_READINGS = 3  # front, middle, back


def survey_paper(plan: Plan) -> tuple[Block, ...]:
    """Give all readings, those that nobody took yet first; ``?`` marks what is assumed."""
    job = plan.job
    if not job.rooms:
        return (Words("Nothing is surveyed yet."),)
    site = job.site
    return (
        Words(
            f"Region {site.region}, lengths in {site.unit_name}; {_GUESS} marks what is assumed."
        ),
        Heading("Still to measure"),
        *_to_measure(job),
        Heading("Rooms"),
        Grid(
            tuple(map(site.words.said, _ROOM_HEAD)),
            tuple(_room(room, site) for room in job.rooms),
            frozenset({2, 3}),
        ),
        Heading("Walls"),
        Grid(_WALL_HEAD, tuple(_wall(wall, site) for wall in job.walls), frozenset({2, 3})),
        Heading("Cabinets"),
        *_cabinets(job),
        Heading("In the way"),
        *_obstacles(job),
        Heading("Taken as they usually are"),
        Words("; ".join(survey_defaults(job)) or "Nothing."),
        Blanks(("Measured by", "Date")),
    )


def _to_measure(job: Job) -> tuple[Block, ...]:
    """Give a line to write on for each reading that nobody took, and say what was read too little.

    Only what is marked is assumed; but an opening without a reading is worked out of its width.
    """
    who = measured_by(job)
    open_fields = {item_id: list(fields) for item_id, fields in assumed_things(job)}
    for cabinet in job.cabinets:
        fields = open_fields.setdefault(cabinet.id, [])
        if not cabinet.opening and "opening" not in fields:
            fields.append("opening")
    labels = tuple(
        f"{item_id}, {field.replace('_', ' ')}{f' ({who[item_id]})' if item_id in who else ''}"
        for item_id, fields in open_fields.items()
        for field in dict.fromkeys(fields)
    )
    few = " ".join(each.id for each in job.cabinets if 0 < len(each.opening) < _READINGS)
    missing = Blanks(labels) if labels else Words("Nothing: no reading is marked as assumed.")
    again = f"Opening read less than three times (front, middle, back): {few}."
    return (missing, Words(again)) if few else (missing,)


def _length(thing: SurveyedItem, field: str, site: Site) -> str:
    value = getattr(thing, field)
    if value is None:
        return "-"
    return length_text(value, site, bare=True) + (_GUESS if field in thing.assumed else "")


def _room(room: Room, site: Site) -> tuple[str, ...]:
    sizes = (_length(room, field, site) for field in ("worktop_height", "worktop_depth"))
    return (room.id, room.name, *sizes, room.worktop_finish, "")


def _wall(wall: Wall, site: Site) -> tuple[str, ...]:
    corner = f"{wall.corner_degrees:f}{_GUESS if 'corner_degrees' in wall.assumed else ''}"
    return wall.id, wall.room, _length(wall, "length", site), corner, ""


def _cabinets(job: Job) -> tuple[Block, ...]:
    if not job.cabinets:
        return (Words("None."),)
    walls = [wall.id for wall in job.walls]
    ordered = sorted(job.cabinets, key=lambda each: (walls.index(each.wall), each.at))
    openings = tuple(_opening(each, job.site) for each in ordered)
    rows = tuple(_cabinet(each, job.site) for each in ordered)
    large = frozenset({0})
    return (
        Grid(_OPENING_HEAD, openings, frozenset({1, 2, 3, 4, 5, 6}), "survey", large),
        Words("Openings at the mounting line: the least of the readings counts."),
        Grid(_CABINET_HEAD, rows, frozenset({3, 4, 5, 6}), "survey-cabinets", large),
        *points(f"{each.id}: {each.note}" for each in ordered if each.note),
    )


def _opening(each: Cabinet, site: Site) -> tuple[str, ...]:
    read = [length_text(reading, site, bare=True) for reading in each.opening]
    least = length_text(min(each.opening), site, bare=True) if each.opening else "-"
    mark = _GUESS if "opening" in each.assumed else ""
    return (
        each.id,
        *read,
        *("-" for _ in range(_READINGS - len(read))),
        least + mark,
        _length(each, "lip", site),
        _length(each, "back_set_in", site),
        "",
    )


def _cabinet(each: Cabinet, site: Site) -> tuple[str, ...]:
    sizes = (_length(each, field, site) for field in ("at", "width", "depth", "bottom_height"))
    return each.id, each.wall, each.kind, *sizes, each.underside


def _obstacles(job: Job) -> tuple[Block, ...]:
    if not job.obstacles:
        return (Words("Nothing."),)
    rows = tuple(_obstacle(each, job.site) for each in job.obstacles)
    return (
        Grid(_OBSTACLE_HEAD, rows, frozenset({3, 4}), name="survey-obstacles"),
        *points(f"{each.id}: {each.note}" for each in job.obstacles if each.note),
    )


def _obstacle(each: Obstacle, site: Site) -> tuple[str, ...]:
    places = (_length(each, field, site) for field in ("at", "width"))
    return each.id, site.words.value(each.kind), each.wall, *places, each.crossing, ""

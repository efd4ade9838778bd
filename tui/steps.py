"""The wizard's steps, in the surveyor's order, and which fields each asks for which thing."""

from collections.abc import Mapping
from typing import TYPE_CHECKING, Literal, NamedTuple, TypeAlias

if TYPE_CHECKING:
    from pelmet.model.edit.change import Subject

# The Papers step lists sheets, which are no things of the job.
Listed: TypeAlias = "Subject | Literal['paper', 'bar']"


class Step(NamedTuple):
    """One step: its function key, its forms by kind of thing, and what to do in it."""

    name: str
    key: str
    forms: Mapping[Listed, tuple[str, ...]]
    empty: str


ROOMS = Step(
    "Rooms",
    "f2",
    {
        "site": ("name", "length_unit", "inch_parts", "region", "note"),
        "room": ("name", "worktop_height", "worktop_depth", "worktop_finish", "note"),
        "wall": ("length", "corner_degrees", "note"),
        "cabinet": (
            "width",
            "opening",
            "at",
            "depth",
            "bottom_height",
            "underside",
            "lip",
            "side_panel",
            "height",
            "kind",
            "note",
        ),
    },
    "Ctrl+N adds the first room.",
)
RUNS = Step(
    "Runs",
    "f3",
    {"run": ("cabinets", "feed_end", "dark_rest", "pieces", "note")},
    "Ctrl+T proposes a run for each stretch of flush cabinets at one level.",
)
OBSTACLES = Step(
    "Obstacles",
    "f4",
    {"obstacle": ("kind", "at", "width", "crossing", "wall", "note")},
    "Ctrl+N adds what stands in the way: a hood, a window, a stile, an open side.",
)
MOUNTING = Step(
    "Mounting",
    "f5",
    {
        "run": ("line", "facing", "channel", "diffuser", "fixing"),
        "allowances": (
            "end_clearance",
            "cap_thickness",
            "start_zone",
            "end_zone",
            "flush_gap",
            "flush_step",
            "reading_spread",
            "front_set_back",
            "back_set_back",
            "longest_bar",
            "worktop_lux",
            "termination_slack",
            "supply_load",
            "drop_warn",
            "drop_stop",
            "conductor_temperature",
        ),
    },
    "",
)
POWER = Step(
    "Power",
    "f6",
    {
        "supply": ("part", "place", "cabinet", "note"),
        "leg": ("supply", "cable", "length", "dimmer", "note"),
        "run": ("strip", "leg"),
    },
    "Ctrl+T proposes a supply, and a leg for each run that nothing feeds.",
)
PAPERS = Step("Papers", "f7", {"paper": ("write",)}, "")

STEPS = (ROOMS, RUNS, OBSTACLES, MOUNTING, POWER, PAPERS)


def step_for(kind: "Subject", field: str, now: Step) -> Step:
    """Give the step whose form asks for this field, the present one first."""
    for step in (now, *STEPS):
        if field in step.forms.get(kind, ()):
            return step
    return next(step for step in STEPS if kind in step.forms)

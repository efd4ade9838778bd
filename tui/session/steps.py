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
        "room": (
            "name",
            "worktop_height",
            "worktop_depth",
            "worktop_finish",
            "work",
            "worktop_percent",
            "splashback_percent",
            "in_use",
            "other_lux",
            "measured_by",
            "note",
        ),
        "wall": ("length", "corner_degrees", "in_use", "measured_by", "note"),
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
            "filler_left",
            "filler_right",
            "back_set_in",
            "bottom_panel",
            "surface",
            "door_overhang",
            "mouth",
            "pin_rows",
            "in_use",
            "measured_by",
            "note",
        ),
    },
    "Ctrl+N adds the first room.",
)
RUNS = Step(
    "Runs",
    "f3",
    {
        "run": (
            "cabinets",
            "feed_end",
            "dark_rest",
            "pieces",
            "over_length",
            "corner",
            "strip_joints",
            "note",
        )
    },
    "Ctrl+T proposes a run for each stretch of flush cabinets at one level.",
)
OBSTACLES = Step(
    "Obstacles",
    "f4",
    {
        "obstacle": (
            "kind",
            "at",
            "width",
            "crossing",
            "cover",
            "looked_in",
            "wall",
            "bottom_height",
            "height",
            "measured_by",
            "note",
        )
    },
    "Ctrl+N adds what stands in the way: a hood, a window, a stile, an open side.",
)
# The allowances, in the groups the list shows them by.
ALLOWANCES: Mapping[str, tuple[str, ...]] = {
    "bars": (
        "end_clearance",
        "cap_thickness",
        "start_zone",
        "end_zone",
        "flush_gap",
        "flush_step",
        "reading_spread",
        "sum_warn",
        "sum_stop",
        "front_set_back",
        "back_set_back",
        "corner_gap",
        "visible_dark",
        "joint_keep_off",
        "diffuser_stagger",
    ),
    "buying": (
        "saw_kerf",
        "bar_trim",
        "keepable",
        "keepable_cable",
        "strip_spare",
        "spare_caps",
        "spare_clips",
        "spare_connectors",
        "cable_clip_spacing",
        "sleeve_each",
        "tail_length",
    ),
    "handling": (
        "longest_bar",
        "van_longest",
        "stairs_longest",
        "lift_longest",
        "two_people_over",
    ),
    "heat": ("fitting_celsius", "coldest_celsius", "hottest_celsius", "hob_clearance"),
    "fixing": (
        "clip_end",
        "clip_spacing",
        "angled_clip_spacing",
        "screw_length",
        "screw_base",
        "panel_left",
        "tape_share",
        "tape_per_kilogram",
    ),
    "holes": (
        "hole_from_back",
        "hole_from_side",
        "hole_edge",
        "side_hole",
        "drill_room",
        "pin_zone",
        "rail_zone",
        "hinge_zone",
    ),
    "cables": (
        "termination_slack",
        "cable_spare",
        "cable_step",
        "minutes_per_metre",
        "minutes_per_hole",
        "minutes_per_level",
        "minutes_in_wall",
        "minutes_behind",
    ),
    "power": (
        "supply_load",
        "drop_warn",
        "drop_stop",
        "light_fade",
        "light_step",
        "conductor_temperature",
        "hot_conductor",
        "hot_strip",
        "led_millivolts_per_kelvin",
        "volts_band",
        "amps_band",
        "fuse_share",
        "supply_celsius",
        "supply_air",
        "plinth_height",
    ),
    "running": ("hours_a_day", "days_a_year", "price_per_kwh", "labour_per_hour"),
    "light": (
        "worktop_lux",
        "thermal_percent",
        "maintenance_percent",
        "lumens_spread",
        "cover_spread",
        "upkeep_spread",
        "bright_lux",
        "night_lux",
        "dark_end",
        "visible_dots",
        "standing_eye",
        "eye_away",
        "seated_eye",
        "seated_away",
        "practical_lip",
    ),
}
MOUNTING = Step(
    "Mounting",
    "f5",
    {
        "run": ("line", "facing", "channel", "diffuser", "fixing"),
        "allowances": tuple(field for group in ALLOWANCES.values() for field in group),
    },
    "",
)
POWER = Step(
    "Power",
    "f6",
    {
        "supply": (
            "part",
            "place",
            "cabinet",
            "space",
            "dimmer",
            "connection",
            "circuit",
            "breaker",
            "protection",
            "isolator",
            "note",
        ),
        "zone": ("name", "switch", "note"),
        "override": ("rule", "limit", "reason", "by", "note"),
        "leg": (
            "supply",
            "cable",
            "length",
            "wiring",
            "via",
            "avoid",
            "dimmer",
            "zone",
            "fuse",
            "note",
        ),
        "run": ("strip", "leg", "far_leg"),
    },
    "Ctrl+T proposes a supply, and a leg for each run that nothing feeds; F8 on it lists all ways.",
)
PAPERS = Step(
    "Papers",
    "f7",
    {
        "paper": ("write",),
        "site": (
            "reference",
            "client",
            "needed_by",
            "walls_close",
            "electrician",
            "cut_anyway",
        ),
        "run": ("status", "batch"),
        "offer": ("name", "strip", "diffuser", "channel", "line", "facing", "note"),
        "revision": ("why", "by", "day", "note"),
        "offcut": ("batch", "note"),
        "ordered": ("day", "by", "note"),
        "given": ("day", "by", "note"),
        "cut": (
            "lengths",
            "rest",
            "kept",
            "pieces",
            "stock",
            "part",
            "offcut",
            "rest_of",
            "batch",
            "day",
            "by",
            "note",
        ),
        "hung": (
            "at",
            "length",
            "lit",
            "run",
            "bar",
            "wall",
            "line",
            "facing",
            "feed_end",
            "dark_rest",
            "fixing",
            "corner",
            "day",
            "by",
            "note",
        ),
        "drilled": (
            "diameter",
            "at",
            "out",
            "height",
            "hole",
            "cabinet",
            "obstacle",
            "panel",
            "wall",
            "day",
            "by",
            "note",
        ),
        "laid": (
            "length",
            "part",
            "cable",
            "leg",
            "run",
            "before",
            "side",
            "wall",
            "at",
            "out",
            "height",
            "day",
            "by",
            "note",
        ),
        "fitted": ("part", "place", "cabinet", "supply", "day", "by", "note"),
        "diary": ("status", "run", "why", "day", "by", "note"),
    },
    "",
)

STEPS = (ROOMS, RUNS, OBSTACLES, MOUNTING, POWER, PAPERS)


def form_of(step: Step, kind: Listed, item_id: str) -> tuple[str, ...]:
    """Give the fields a step asks of a thing; of the allowances those of one group."""
    fields = step.forms.get(kind, ())
    if kind == "allowances" and item_id in ALLOWANCES:
        return ALLOWANCES[item_id]
    return fields


def step_for(kind: "Subject", field: str, now: Step) -> Step:
    """Give the step whose form asks for this field, the present one first."""
    for step in (now, *STEPS):
        if field in step.forms.get(kind, ()):
            return step
    return next(step for step in STEPS if kind in step.forms)

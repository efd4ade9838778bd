"""Allowances: the named, editable figures a plan leans on, each with where it comes from.

Only those that differ from these defaults stand in a job file. Lengths are millimetres.
"""

from decimal import Decimal
from typing import Any

from pydantic import Field

from pelmet.model.job.items import Said
from pelmet.model.job.scalars import (
    Celsius,
    Count,
    Days,
    Height,
    Hours,
    LoadPercent,
    Lux,
    MillivoltsPerKelvin,
    Minutes,
    Money,
    Percent,
    Size,
    Small,
    SquareCentimetresPerKilogram,
)


def _allowance(
    default: int | None, title: str, description: str, basis: str = "common practice"
) -> Any:
    return Field(
        default=None if default is None else Decimal(default),
        title=title,
        description=description,
        json_schema_extra={"basis": basis},
    )


class Allowances(Said):
    """Editable figures; a default is common practice unless its basis says otherwise."""

    end_clearance: Small = _allowance(
        2,
        "End clearance",
        "Air at each end of a bar, so that it goes in",
    )
    cap_thickness: Small | None = _allowance(
        None,
        "Cap thickness",
        "What an end cap adds outside the bar; unset, the cap part's own",
    )
    start_zone: Small = _allowance(
        10,
        "Start zone",
        "Inside the bar at the feed end, for the soldered lead",
    )
    saw_kerf: Small = _allowance(
        3,
        "Saw kerf",
        "What each cut takes of a bar",
    )
    bar_trim: Small = _allowance(
        5,
        "Bar trim",
        "Cut off each end of a new stock bar, so that it is square and clean",
    )
    keepable: Size = _allowance(
        300,
        "Keepable rest",
        "A rest of a bar at least this long is kept, not thrown away",
    )
    keepable_cable: Size = _allowance(
        1000,
        "Keepable cable",
        "A rest of cable or strip at least this long is kept",
        "an estimate",
    )
    strip_spare: Small = _allowance(
        500,
        "Spare strip",
        "A piece of each strip, of the same batch, that stays with the client",
    )
    spare_caps: Count = _allowance(2, "Spare caps", "End caps that stay with the client")
    spare_clips: Count = _allowance(4, "Spare clips", "Clips that stay with the client")
    spare_connectors: Count = _allowance(
        2, "Spare joints", "Connectors that stay with the client", "an estimate"
    )
    cable_clip_spacing: Size = _allowance(
        275,
        "Cable clips",
        "From clip to clip where a cable is led",
    )
    sleeve_each: Small = _allowance(
        30,
        "Sleeve a joint",
        "Heat-shrink sleeve over one soldered wire",
        "an estimate",
    )
    tail_length: Small = _allowance(
        150,
        "Tail",
        "Wire from the soldered pads of a bar to its lever connectors, bared ends with it",
    )
    end_zone: Small = _allowance(
        3,
        "End zone",
        "Inside the bar at the far end, between strip and cap",
    )
    flush_gap: Small = _allowance(
        3,
        "Flush gap",
        "Widest gap between two flush cabinets that one bar may bridge",
    )
    flush_step: Small = _allowance(
        1,
        "Flush step",
        "Largest step in height between two flush undersides that one bar may bridge",
    )
    reading_spread: Small = _allowance(
        2,
        "Reading spread",
        "Readings of one opening that differ by more than this are questioned",
    )
    sum_warn: Small = _allowance(
        3,
        "Sum to warn at",
        "Readings that must add up, such as cabinets along a wall, off by more than this",
    )
    sum_stop: Small = _allowance(
        15,
        "Sum to stop at",
        "Readings that must add up, off by more than this: one of them is wrong",
        "an estimate",
    )
    front_set_back: Small = _allowance(
        40,
        "Front set-back",
        "From the cabinet's front to the channel's near edge, for a front line",
    )
    back_set_back: Small = _allowance(
        30,
        "Back set-back",
        "From the wall to the channel's near edge, for a back line",
    )
    termination_slack: Small = _allowance(
        150,
        "Slack",
        "Spare cable at each termination",
    )
    supply_load: LoadPercent = _allowance(
        80,
        "Supply load",
        "Share of a supply's rating that may be used",
    )
    drop_warn: Percent = _allowance(
        3,
        "Drop to warn at",
        "Voltage drop from supply to bar end, of the rated volts",
        "common practice; the 3 % that IEC 60364-5-52:2009 Table G.52.1 gives for "
        "lighting from a public supply, taken over to extra-low voltage",
    )
    drop_stop: Percent = _allowance(
        10,
        "Drop to stop at",
        "Voltage drop from supply to bar end that cannot be left so",
    )
    conductor_temperature: Celsius = _allowance(
        20,
        "Conductor at",
        "Temperature of the copper that its ohms are taken at [C]",
        "reference temperature of conductor tables; raise it for warm places",
    )
    hot_conductor: Celsius = _allowance(
        40, "Copper when hot", "Of cables, after half an hour at full [C]", "estimate"
    )
    hot_strip: Celsius = _allowance(
        55, "Strip when hot", "Of strip in its channel, after half an hour at full [C]", "estimate"
    )
    led_millivolts_per_kelvin: MillivoltsPerKelvin = _allowance(
        3,
        "LED volts, heat",
        "What one LED needs less for each kelvin it is warmer [mV/K]",
        "white LEDs about 3 mV/K, as in texts on LED heat",
    )
    light_fade: Percent = _allowance(
        20, "Fade to warn at", "Light lost from the brightest to the faintest end of one bar"
    )
    light_step: Percent = _allowance(
        10, "Step to warn at", "Difference in light between two bar ends that meet in one line"
    )
    volts_band: Percent = _allowance(
        2, "Volts band", "A reading this near what is expected is right, of the rated volts"
    )
    amps_band: Percent = _allowance(
        10, "Amps band", "A reading this near what is expected is right, of the amps"
    )
    fuse_share: Percent = _allowance(
        75,
        "Fuse load",
        "Share of a fuse's rating that it may carry all the time",
        "fuse makers' common guide, at 25 C",
    )
    supply_celsius: Celsius = _allowance(
        35, "Air at supply", "Temperature of the air round a supply [C]", "estimate"
    )
    supply_air: Small = _allowance(
        20, "Air round it", "Of a supply whose maker does not say: free on every side", "estimate"
    )
    plinth_height: Small = _allowance(
        100, "{Plinth}", "Clear height behind a {plinth}, for what sits there", "estimate"
    )
    hours_a_day: Hours = _allowance(4, "Hours a day", "The light is on", "estimate")
    days_a_year: Days = _allowance(365, "Days a year", "The light is used", "estimate")
    price_per_kwh: Money | None = _allowance(
        None, "Price a kWh", "Of electricity, in the currency of the job"
    )
    labour_per_hour: Money = _allowance(
        50, "Labour an hour", "In the currency of the catalogue's prices", "estimate"
    )
    worktop_lux: Lux | None = _allowance(
        None,
        "{Worktop} lux",
        "Average wanted on the {worktop}, kept up, with the room's other light if read [lx]; "
        "unset, what the work in the room asks for",
        "the target of the room's work",
    )
    thermal_percent: Percent = _allowance(
        95, "Kept when warm", "Light of a warm strip, of that of a cold one", "estimate"
    )
    maintenance_percent: Percent = _allowance(
        80,
        "Kept up",
        "Light left before it is cleaned and aged strip is changed, of that when new",
        "industry's generic maintenance factor; 70 % near a {hob}",
    )
    lumens_spread: Percent = _allowance(
        10, "Lumens spread", "How far a strip's lumens may be off what is said of it", "estimate"
    )
    cover_spread: Percent = _allowance(
        10, "Cover spread", "How far what a cover lets through may be off, of itself", "estimate"
    )
    upkeep_spread: Percent = _allowance(
        10, "Upkeep spread", "How far what is kept up may be off, of itself", "estimate"
    )
    bright_lux: Lux = _allowance(
        1500,
        "Too bright at",
        "Average that dazzles with no dimmer to turn it down [lx]",
        "estimate",
    )
    night_lux: Lux = _allowance(
        30, "Night light", "What a dimmer should come down to [lx]", "estimate"
    )
    dark_end: Percent = _allowance(
        40, "Dark end", "Light at a {worktop}'s end, of that along its middle, that is too little"
    )
    visible_dots: Percent = _allowance(
        2, "Visible dots", "Unevenness of a diffuser from LED to LED that the eye can see"
    )
    standing_eye: Height = _allowance(
        1600,
        "Standing eye",
        "Eye height of who works there",
        "middle of men and women, US Army survey ANSUR II 2012, and shoes",
    )
    eye_away: Size = _allowance(
        250, "Eye from edge", "From the {worktop}'s front edge out to that eye", "estimate"
    )
    seated_eye: Height = _allowance(
        1185,
        "Seated eye",
        "Eye height of who sits across an open side",
        "middle of men and women, US Army survey ANSUR II 2012",
    )
    seated_away: Size = _allowance(
        1500, "Seated away", "From the bar to that eye, across", "estimate"
    )
    practical_lip: Small = _allowance(
        60, "Practical lip", "Deepest lip that is offered to hide a strip"
    )
    longest_bar: Size = _allowance(
        3000,
        "Longest bar",
        "What can be handled on this site; anything longer is split or spliced",
    )
    van_longest: Size | None = _allowance(None, "Van", "Longest bar that goes in the van")
    stairs_longest: Size | None = _allowance(
        None, "Stairs", "Longest bar that goes round the stairs"
    )
    lift_longest: Size | None = _allowance(
        None, "{Lift}", "Longest bar that goes in the {lift}, corner to corner"
    )
    two_people_over: Size = _allowance(
        2000, "Two people over", "A bar longer than this takes two people"
    )
    corner_gap: Small = _allowance(3, "Corner gap", "Air between two bars that butt at a corner")
    visible_dark: Small = _allowance(
        25, "Visible dark", "Longest dark end of a bar where people can see it"
    )
    joint_keep_off: Small = _allowance(
        20, "Keep off joints", "No cut, clip or bend of strip nearer than this to a joint"
    )
    diffuser_stagger: Small = _allowance(
        150, "Stagger", "How far a diffuser goes on past a joint between two channels"
    )
    fitting_celsius: Celsius = _allowance(
        20, "Cut at", "Temperature bars and diffusers are cut and fitted at [C]"
    )
    coldest_celsius: Celsius = _allowance(5, "Coldest", "Coldest a bar gets, lights off [C]")
    hottest_celsius: Celsius = _allowance(60, "Hottest", "Hottest a bar gets, lights full on [C]")
    clip_end: Small = _allowance(75, "Clip from end", "From a bar's end to its first clip")
    clip_spacing: Size = _allowance(400, "Clip spacing", "Farthest from clip to clip")
    angled_clip_spacing: Size = _allowance(
        300, "Spacing, angled", "Farthest from clip to clip where the bar throws at an angle"
    )
    screw_length: Small = _allowance(
        13, "Screw length", "Longest screw to hold clips or channel with; one not longer is taken"
    )
    screw_base: Small = _allowance(1, "Screw base", "What a screw passes before the panel")
    panel_left: Small = _allowance(
        3, "Panel left", "Panel that must stay whole above a screw, a drilled start or a groove"
    )
    tape_share: Percent = _allowance(
        60, "Tape share", "Width of foam tape, as a share of the channel's face"
    )
    tape_per_kilogram: SquareCentimetresPerKilogram = _allowance(
        55, "Tape a kilogram", "Foam tape that holds one kilogram hung up [cm2]"
    )
    hob_clearance: Size = _allowance(
        650,
        "Over the {hob}",
        "Least height of anything above a {hob}; the larger of the two manuals counts",
    )
    hole_from_back: Small = _allowance(
        40, "Hole from back", "From the wall, or the back panel, to the middle of a hole"
    )
    hole_from_side: Small = _allowance(
        40, "Hole from side", "From a cabinet's outer side to the middle of a hole in its floor"
    )
    hole_edge: Small = _allowance(
        25, "Hole from edge", "Least distance from a hole's rim to the edge of its panel"
    )
    side_hole: Small = _allowance(20, "Side hole", "Largest hole through a side panel")
    drill_room: Size = _allowance(
        200,
        "Drill's room",
        "Clear way that a drill with its bit takes before a panel",
        "common practice, from memory: a short drill and a short bit",
    )
    pin_zone: Small = _allowance(
        10, "Off pins, rails", "Least distance from a hole's rim to shelf pins or a rail"
    )
    rail_zone: Small = _allowance(
        60, "Hanging rail", "Depth of the rail a cabinet hangs on, from the wall"
    )
    hinge_zone: Small = _allowance(
        100, "Hinge plates", "From a cabinet's front, where hinge plates and runners sit"
    )
    cable_spare: Percent = _allowance(
        10, "Cable spare", "Added to the way a cable goes and its slack"
    )
    cable_step: Size = _allowance(100, "Cable step", "Cables are cut to whole steps of this")
    minutes_per_metre: Minutes = _allowance(
        4, "Minutes a {metre}", "To lay cable in or under cabinets", "estimate"
    )
    minutes_per_hole: Minutes = _allowance(
        6, "Minutes a hole", "To drill a panel and set a grommet", "estimate"
    )
    minutes_per_level: Minutes = _allowance(
        3, "Minutes a level", "To bring a cable up or down a level", "estimate"
    )
    minutes_in_wall: Minutes = _allowance(
        60, "Minutes in wall", "To bring a cable through a wall, each way", "estimate"
    )
    minutes_behind: Minutes = _allowance(
        10, "Minutes behind", "To draw a cable behind something", "estimate"
    )

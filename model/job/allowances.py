"""Allowances: the named, editable figures a plan leans on, each with where it comes from.

Only those that differ from these defaults stand in a job file. Lengths are millimetres.
"""

from decimal import Decimal
from typing import Any

from pydantic import Field

from pelmet.model.job.items import Said
from pelmet.model.job.scalars import Celsius, LoadPercent, Lux, Percent, Size, Small


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
    worktop_lux: Lux = _allowance(
        300,
        "Worktop lux",
        "Least light wanted on the worktop from these bars alone [lx]",
        "common practice for the under-cabinet layer of a kitchen",
    )
    longest_bar: Size = _allowance(
        3000,
        "Longest bar",
        "What can be carried in and handled on this site",
    )

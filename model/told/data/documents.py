"""A plan as JSON documents with stable keys: every key is always there, null when it has no value.

Lengths are millimetres, other units stand in the key. A whole number is an int; one that was
worked out is a float in full. A place is along its wall, from its left-hand end.

Of several jobs each document is one line, with ``file`` in front; one that is refused has only
``file`` and ``refused``, which says why.

Every document::

    pelmet      document (check, show or figures), version: 1 until a key changes its meaning
    job         name, region, length_unit (how people read it; the document keeps to mm)

``check`` and ``show``::

    counts      stop, warn, ask
    findings[]  level, code, kind, about, field, says, remedy, source (title, standing)

``show``::

    runs[]      id, leg, bars[] (ids), too_short[] (wall, cabinets[], left_mm, opening_mm),
                bands[] (from, to, dark_mm)
    bars[]      id, run, wall, cabinets[], upright (then left_mm is up from the floor), opening_mm,
                length_mm, ends[] (kind, saw_degrees), splices_mm[], units, lit_mm, dark_mm,
                rest_mm, dark_left_mm, dark_right_mm, lit_percent, left_mm, lit_left_mm,
                from_wall_mm, light_height_mm, diffuser_mm, fixings_mm[], people, way_in,
                growth_mm, skip_units (fewest after a factory joint), watts, start_volts, end_volts
                (by feed), left_volts, right_volts, lowest_volts, light_loss_percent (from its
                brightest point to its faintest), volts_hold (false: too low to light), assumed
    steps[]     in light, where two bars meet in one line: from_bar, to_bar, step_percent
    cables[]    id, label, kind (lead, link), leg, run, from, to, after (the cable before it),
                obstacles[], crossing (of a link), ways[] (kind, length_mm), length_mm,
                amps, volts_at_end, lost_watts
    holes[]     id, panel, of, wall, along_mm, datum, across_mm, out_mm, height_mm, diameter_mm,
                grommet_mm, grommet, drilled, cables[], flags[]
    legs[]      id, supply, cable, dimmer, zone, fuse (amps), runs[], watts, amps, worst_volts,
                worst_bar, drop_percent (amps, volts and losses of bars, cables, legs and supplies
                are the worst of as planned, cold and hot), state (as planned, cold, hot: in which
                the drop is worst; null: it is the same in all), protected_by (limited source,
                fuse, nothing or not known), source_amps (the most it drives; null: nothing limits
                it), cable_may_amps, largest_fuse_amps, fuse_needed_amps
    supplies[]  id, part, place, cabinet, legs[], load_watts, rating_watts, derated_watts (by the
                air), usable_watts, left_watts, output_amps, terminals_left, mains
    mains       of a supply: input_watts, amps, standby_watts, inrush_amps, on_breaker (how many
                such), energy_kwh_year, cost_year
    readings[]  what a meter should read at full: point, about (id), leg, where, what (volts or
                amps), unit, along_mm (from the left end of a bar's strip, or null), cold, hot
                (each least, expected, most)
    total_watts
    zones[]     id, name, switch, legs[], amps, watts (of its legs at full)
    overrides[] rule, limit, reason, by
    light[]     run, wall, plane (worktop, shelf, hanging, floor), on (its shelf or cabinet),
                upright, plane_mm (its height; of an upright one its top), at_mm (its least-lit
                spot, along the wall), out_mm (and from it, or down), least_lux, average_lux,
                most_lux (all kept up), evenness (least of average), new_lux (the average a meter
                reads while new), new_range_lux (its least and most), other_lux (of the room, as
                read), target_lux (the average wanted), cells (x_mm[] from the wall, or down,
                y_mm[] along it, lux[][] by x, y)
    seen[]      what the eye meets, a run each: run, dot_percent (unevenness from LED to LED),
                mirror_mm (its image in the top, from the wall), mirror_on_top, image_contrast
                (image over top), hiding_lip_mm (for a seat across an open side), kelvin, cri, r9
    materials[] part, name (null: in no catalogue), amount, unit (mm or 1)
    assumed     things[] (id, fields[]), bars[] (ids)
    defaults[]  names of the allowances that stand at their defaults
    generic_parts[]  parts taken that are still the bundled, invented ones
    cautions[]

``figures``::

    figures[]   id, name, about, value, unit (1: a count), formula (id, says),
                source (title, standing), assumed, inputs[] (ids of figures earlier in the list)
"""

from typing import Any, Final

from pelmet.model.job.feeds import Override
from pelmet.model.plan.circuit.controls import ZoneControl
from pelmet.model.plan.circuit.legs import LegCircuit
from pelmet.model.plan.circuit.protection import Protection
from pelmet.model.plan.circuit.worst import state_of
from pelmet.model.plan.figure import Figure
from pelmet.model.plan.finding import LEVELS, Finding
from pelmet.model.plan.formulas import Source
from pelmet.model.plan.materials import Need
from pelmet.model.plan.result import Plan
from pelmet.model.told.cautions import OF_ANY_PLAN, cautions_for
from pelmet.model.told.data.rows import (
    bar_rows,
    cable_rows,
    hole_rows,
    light_rows,
    number,
    reading_rows,
    run_row,
    seen_rows,
    step_rows,
    supply_rows,
    value,
)
from pelmet.model.told.reminders import (
    assumed_bars,
    assumed_things,
    default_allowances,
    generic_parts,
    part_names,
)

VERSION: Final = 1

Document = dict[str, Any]


def check_data(plan: Plan) -> Document:
    """Give what the checks found."""
    return {
        **_head("check", plan),
        "counts": {level: plan.count(level) for level in LEVELS},
        "findings": [finding_data(finding) for finding in plan.findings],
    }


def show_data(plan: Plan) -> Document:
    """Give the whole plan, stage by stage, with what the checks found."""
    return {
        **check_data(plan),
        **_head("show", plan),
        "runs": [run_row(fit) for fit in plan.fits],
        "bars": bar_rows(plan),
        "steps": step_rows(plan),
        "cables": cable_rows(plan),
        "holes": hole_rows(plan),
        "legs": [
            {**_leg(leg), **_protection(guard)}
            for leg, guard in zip(plan.circuits.legs, plan.protections, strict=True)
        ],
        "supplies": supply_rows(plan),
        "readings": reading_rows(plan),
        "total_watts": number(plan.circuits.total.value),
        "zones": [_zone(zone) for zone in plan.controls.zones],
        "overrides": [_override(override) for override in plan.job.overrides],
        "light": light_rows(plan),
        "seen": seen_rows(plan),
        "materials": _materials(plan),
        "assumed": {
            "things": [
                {"id": item_id, "fields": list(fields)}
                for item_id, fields in assumed_things(plan.job)
            ],
            "bars": list(assumed_bars(plan)),
        },
        "defaults": list(default_allowances(plan.job)),
        "generic_parts": list(generic_parts(plan)),
        "cautions": list(cautions_for(plan, OF_ANY_PLAN)),
    }


def figures_data(plan: Plan) -> Document:
    """Give every figure once, each after the figures that went into it."""
    places: dict[Figure, int] = {}
    rows: list[Document] = []
    for figure in plan.figures():
        _place(figure, places, rows)
    return {**_head("figures", plan), "figures": rows}


def _place(figure: Figure, places: dict[Figure, int], rows: list[Document]) -> int:
    if figure not in places:
        inputs = [_place(one, places, rows) for one in figure.inputs]
        places[figure] = len(rows)
        rows.append(
            {
                "id": places[figure],
                "name": figure.name,
                "about": figure.about or None,
                "value": number(figure.value),
                "unit": figure.unit,
                "formula": {"id": figure.formula_id, "says": figure.formula.says},
                "source": _source(figure.formula.source),
                "assumed": figure.assumed,
                "inputs": inputs,
            }
        )
    return places[figure]


def _head(document: str, plan: Plan) -> Document:
    site = plan.job.site
    return {
        "pelmet": {"document": document, "version": VERSION},
        "job": {"name": site.name, "region": site.region, "length_unit": site.length_unit},
    }


def _source(source: Source) -> Document:
    return {"title": source.title, "standing": source.standing}


def finding_data(finding: Finding) -> Document:
    """Give one finding."""
    return {
        "level": finding.level,
        "code": finding.code,
        "kind": finding.kind,
        "about": finding.about,
        "field": finding.field,
        "says": finding.says,
        "remedy": finding.remedy,
        "source": _source(finding.source),
    }


def _leg(leg: LegCircuit) -> Document:
    return {
        "id": leg.leg.id,
        "supply": leg.leg.supply,
        "cable": leg.leg.cable,
        "dimmer": leg.leg.dimmer,
        "zone": leg.leg.zone,
        "fuse": number(leg.leg.fuse) if leg.leg.fuse is not None else None,
        "runs": list(leg.runs),
        "watts": value(leg.watts),
        "amps": value(leg.amps),
        "worst_volts": value(leg.worst),
        "worst_bar": leg.worst.about if leg.worst else None,
        "drop_percent": value(leg.drop),
        "state": state_of(leg.drop) if leg.drop else None,
    }


def _zone(own: ZoneControl) -> Document:
    return {
        "id": own.zone.id,
        "name": own.zone.name,
        "switch": own.zone.switch,
        "legs": list(own.legs),
        "amps": value(own.amps),
        "watts": value(own.watts),
    }


def _override(override: Override) -> Document:
    return {
        "rule": override.rule,
        "limit": number(override.limit) if override.limit is not None else None,
        "reason": override.reason,
        "by": override.by,
    }


def _protection(guard: Protection) -> Document:
    return {
        "protected_by": guard.by,
        "source_amps": value(guard.source),
        "cable_may_amps": value(guard.carries),
        "largest_fuse_amps": value(guard.largest),
        "fuse_needed_amps": value(guard.needed),
    }


def _materials(plan: Plan) -> list[Document]:
    names = part_names(plan.parts)

    def row(need: Need) -> Document:
        return {
            "part": need.part,
            "name": names.get(need.part),
            "amount": value(need.amount),
            "unit": need.amount.unit,
        }

    return [row(need) for need in plan.needs]

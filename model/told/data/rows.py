"""Rows of the JSON documents: runs, bars, cables, supplies, light; ``data`` tells the keys."""

import math
from decimal import Decimal
from typing import Any

from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.circuit.legs import CableFlow
from pelmet.model.plan.circuit.mains import Mains
from pelmet.model.plan.circuit.readings import Band
from pelmet.model.plan.figure import Figure, Value
from pelmet.model.plan.light.lamps import MM_PER_METRE
from pelmet.model.plan.light.wanted import judge_light, light_wanted, meter_lux
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.mounting.bench import BenchWork
from pelmet.model.plan.result import Plan
from pelmet.model.plan.survey.openings import Edge, Opening
from pelmet.model.plan.ways.cable import Cable

Row = dict[str, Any]


def number(value: Value) -> int | float | None:
    """Give an int when whole, else a float; what is not finite has no value."""
    if isinstance(value, Decimal):
        return int(value) if value == value.to_integral_value() else float(value)
    return value if math.isfinite(value) else None


def value(figure: Figure | None) -> int | float | None:
    """Give a figure's value, or nothing."""
    return number(figure.value) if figure else None


def run_row(fit: RunFit) -> Row:
    """Give a run with its bars, the dark between them, and the openings that take none."""
    return {
        "id": fit.run.id,
        "leg": fit.run.leg,
        "bars": [bar.id for bar in fit.bars],
        "too_short": [_too_short(opening) for opening in fit.too_short],
        "bands": [
            {"from": band.left_bar, "to": band.right_bar, "dark_mm": value(band.across)}
            for band in fit.bands
        ],
    }


def _too_short(opening: Opening) -> Row:
    return {
        "wall": opening.wall,
        "cabinets": list(opening.cabinets),
        "left_mm": number(opening.left),
        "opening_mm": value(opening.clear),
    }


def bar_rows(plan: Plan) -> list[Row]:
    """Give every bar: cut, hung, worked on and fed."""
    volts = {volts.bar: volts for leg in plan.circuits.legs for volts in leg.bars}
    lights = {light.bar: light for light in plan.fadings.bars}
    hung = {mount.bar: mount for mount in plan.mounts}
    bench = {work.bar.id: work for work in plan.bench}
    rows = []
    for bar in plan.bars:
        fed, mount = volts.get(bar.id), hung.get(bar.id)
        rows.append(
            {
                **_cut(bar),
                "from_wall_mm": value(mount.from_wall) if mount else None,
                "light_height_mm": value(mount.height) if mount else None,
                **_bench_work(bench.get(bar.id)),
                "watts": value(plan.circuits.watts.get(bar.id)),
                "start_volts": value(fed.start) if fed else None,
                "end_volts": value(fed.end) if fed else None,
                "left_volts": value(fed.left) if fed else None,
                "right_volts": value(fed.right) if fed else None,
                "lowest_volts": value(fed.lowest) if fed else None,
                "light_loss_percent": value(lights[bar.id].lost) if fed else None,
                "volts_hold": fed.above_least if fed else None,
                "assumed": bar.length.assumed,
            }
        )
    return rows


def step_rows(plan: Plan) -> list[Row]:
    """Give the steps in light from bar to bar in one line."""
    return [
        {
            "from_bar": step.left_bar,
            "to_bar": step.right_bar,
            "step_percent": value(step.step),
        }
        for step in plan.fadings.steps
    ]


def reading_rows(plan: Plan) -> list[Row]:
    """Give what a meter should read at every point, in the order a person measures."""
    return [
        {
            "point": reading.point,
            "about": reading.about,
            "leg": reading.leg,
            "where": reading.where,
            "what": "volts" if reading.unit == "V" else "amps",
            "unit": reading.unit,
            "along_mm": None if reading.along is None else number(round(reading.along, 2)),
            "cold": _band(reading.cold),
            "hot": _band(reading.hot),
        }
        for reading in plan.readings()
    ]


def _band(band: Band) -> Row:
    return {
        "least": value(band.least),
        "expected": value(band.expected),
        "most": value(band.most),
    }


def _cut(bar: Bar) -> Row:
    return {
        "id": bar.id,
        "run": bar.run,
        "wall": bar.wall,
        "cabinets": list(bar.opening.cabinets),
        "upright": bar.upright,
        "opening_mm": value(bar.opening.clear),
        "length_mm": value(bar.length),
        "ends": [_end(edge) for edge in bar.opening.ends],
        "splices_mm": [number(splice) for splice in bar.splices],
        "units": value(bar.units),
        "lit_mm": value(bar.lit),
        "dark_mm": value(bar.dark),
        "rest_mm": value(bar.rest),
        "dark_left_mm": value(bar.dark_left),
        "dark_right_mm": value(bar.dark_right),
        "lit_percent": value(bar.share),
        "left_mm": number(bar.left),
        "lit_left_mm": number(bar.lit_left),
    }


def _end(edge: Edge) -> Row:
    return {"kind": edge.kind, "saw_degrees": value(edge.setting) if edge.setting else 0}


def _bench_work(work: BenchWork | None) -> Row:
    return {
        "diffuser_mm": value(work.diffuser) if work else None,
        "fixings_mm": [number(place) for place in work.fixings] if work else [],
        "people": value(work.people) if work else None,
        "way_in": work.way.way if work else None,
        "growth_mm": value(work.growth) if work else None,
        "skip_units": work.reel.skip_units if work and work.reel else None,
    }


def cable_rows(plan: Plan) -> list[Row]:
    """Give every cable, leads first; one with no way has no length."""
    leg_of = {run.id: run.leg for run in plan.job.runs}
    by_id = {lead.id: lead for lead in plan.routes.leads}
    flows = {flow.cable: flow for leg in plan.circuits.legs for flow in leg.flows}
    leads: list[Row] = []
    for lead in plan.routes.leads:
        before = by_id[lead.before] if lead.before else None
        leads.append(
            {
                "id": lead.id,
                "label": lead.label,
                "kind": "lead",
                "leg": lead.leg,
                "run": lead.run,
                "from": (before.run or before.end) if before else lead.origin,
                "to": lead.run or lead.end,
                "after": lead.before,
                "obstacles": _passed(lead),
                "crossing": None,
                **_way(lead),
                **_flow(flows.get(lead.id)),
            }
        )
    links: list[Row] = [
        {
            "id": link.cable.id if link.cable else None,
            "label": link.cable.label if link.cable else None,
            "kind": "link",
            "leg": leg_of[link.run],
            "run": link.run,
            "from": link.from_bar,
            "to": link.to_bar,
            "after": None,
            "obstacles": list(link.obstacles),
            "crossing": link.crossing,
            **_way(link.cable),
            **_flow(flows.get(link.cable.id) if link.cable else None),
        }
        for link in plan.routes.links
    ]
    return leads + links


def _passed(cable: Cable) -> list[str]:
    return list(dict.fromkeys(name for way in cable.ways for name in way.passes))


def _way(cable: Cable | None) -> Row:
    ways = cable.ways if cable else ()
    return {
        "ways": [{"kind": way.kind, "length_mm": number(round(way.length, 2))} for way in ways],
        "length_mm": value(cable.length) if cable else None,
    }


def _flow(flow: CableFlow | None) -> Row:
    return {
        "amps": value(flow.amps) if flow else None,
        "volts_at_end": value(flow.volts) if flow else None,
        "lost_watts": value(flow.lost) if flow else None,
    }


def hole_rows(plan: Plan) -> list[Row]:
    """Give every hole to drill."""
    return [
        {
            "id": hole.id,
            "panel": hole.panel,
            "of": hole.owner,
            "wall": hole.wall,
            "along_mm": number(hole.along),
            "datum": hole.datum,
            "across_mm": value(hole.across),
            "out_mm": value(hole.out),
            "height_mm": value(hole.height),
            "diameter_mm": value(hole.diameter),
            "grommet_mm": value(hole.grommet),
            "grommet": hole.takes,
            "drilled": hole.drilled,
            "cables": list(hole.cables),
            "flags": list(hole.flags),
        }
        for hole in plan.holes
    ]


def seen_rows(plan: Plan) -> list[Row]:
    """Give what the eye meets of each run."""
    return [
        {
            "run": seen.run,
            "dot_percent": value(seen.dots),
            "mirror_mm": value(seen.image.at) if seen.image else None,
            "mirror_on_top": seen.image.sight.on_top if seen.image else None,
            "image_contrast": value(seen.image.contrast) if seen.image else None,
            "hiding_lip_mm": value(seen.hiding_lip),
            "kelvin": seen.strip.kelvin if seen.strip else None,
            "cri": seen.strip.cri if seen.strip else None,
            "r9": seen.strip.r9 if seen.strip else None,
        }
        for seen in plan.sights
    ]


def supply_rows(plan: Plan) -> list[Row]:
    """Give every supply with its budget and its mains side."""
    return [
        {
            "id": supply.id,
            "part": supply.part,
            "place": supply.place,
            "cabinet": supply.cabinet,
            "legs": list(budget.legs),
            "load_watts": value(budget.load),
            "rating_watts": value(budget.rating),
            "derated_watts": value(budget.derated),
            "usable_watts": value(budget.usable),
            "left_watts": value(budget.left),
            "output_amps": value(budget.amps),
            "terminals_left": value(budget.terminals_left),
            "mains": _mains(budget.mains),
        }
        for supply, budget in zip(plan.job.supplies, plan.supplies, strict=True)
    ]


def _mains(mains: Mains | None) -> Row:
    return {
        "input_watts": value(mains.input) if mains else None,
        "amps": value(mains.amps) if mains else None,
        "standby_watts": value(mains.standby) if mains else None,
        "inrush_amps": value(mains.inrush) if mains else None,
        "on_breaker": value(mains.on_breaker) if mains else None,
        "energy_kwh_year": value(mains.energy) if mains else None,
        "cost_year": value(mains.cost) if mains else None,
    }


def light_rows(plan: Plan) -> list[Row]:
    """Give the light on what every run lights, in all and cell by cell."""
    rooms = {room.id: room for room in plan.job.rooms}
    return [
        {
            "run": light.run,
            "wall": light.wall,
            "plane": light.plane.use,
            "on": light.plane.on or None,
            "upright": light.plane.upright,
            "plane_mm": number(round(light.plane.height, 2)),
            "at_mm": number(round(light.at, 2)),
            "out_mm": number(round(light.out, 2)),
            "least_lux": value(light.least),
            "average_lux": value(light.average),
            "most_lux": value(light.most),
            "evenness": value(light.evenness),
            "new_lux": number(new.new),
            "new_range_lux": [number(lux) for lux in new.new_range],
            "other_lux": number(judge_light(light, rooms[light.room], plan.job.allowances).other),
            "target_lux": number(
                light_wanted(rooms[light.room], plan.job.allowances, light.plane.use).lux
            ),
            "cells": _cells(light),
        }
        for light in plan.lights
        for new in (meter_lux(float(light.average.value), plan.job.allowances),)
    ]


def _cells(light: RunLight) -> Row:
    along = len(light.cells.ys)
    return {
        "x_mm": [number(round(x * MM_PER_METRE, 2)) for x in light.cells.xs],
        "y_mm": [number(round(y * MM_PER_METRE, 2)) for y in light.cells.ys],
        "lux": [
            [number(lux) for lux in light.lux[row * along : (row + 1) * along]]
            for row in range(len(light.cells.xs))
        ],
    }

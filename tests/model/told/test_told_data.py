"""The JSON documents: exact keys, exact numbers."""

import json
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from jobs import QUICK, any_job, many_bars, one_bar, planned

from pelmet.model.job.feeds import Override, Zone
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.data import documents as data
from pelmet.model.told.data.documents import check_data, figures_data, show_data
from pelmet.model.told.data.json_text import json_text

HEAD = {"pelmet", "job"}
CHECK = HEAD | {"counts", "findings"}
SHOW = CHECK | {
    "runs", "bars", "steps", "cables", "holes", "legs", "supplies", "readings", "total_watts",
    "zones", "overrides", "light", "seen", "materials", "assumed", "defaults", "generic_parts",
    "cautions",
}  # fmt: skip
ROWS = {
    "findings": {"level", "code", "kind", "about", "field", "says", "remedy", "source"},
    "runs": {"id", "leg", "bars", "too_short", "bands"},
    "bars": {
        "id", "run", "wall", "cabinets", "upright", "opening_mm", "length_mm", "ends",
        "splices_mm", "units", "lit_mm", "dark_mm", "rest_mm", "dark_left_mm", "dark_right_mm",
        "lit_percent", "left_mm", "lit_left_mm", "from_wall_mm", "light_height_mm", "diffuser_mm",
        "fixings_mm", "people", "way_in", "growth_mm", "skip_units", "watts", "start_volts",
        "end_volts", "left_volts", "right_volts", "lowest_volts", "light_loss_percent",
        "volts_hold", "assumed",
    },
    "steps": {"from_bar", "to_bar", "step_percent"},
    "cables": {
        "id", "label", "kind", "leg", "run", "from", "to", "after", "obstacles", "crossing",
        "ways", "length_mm", "amps", "volts_at_end", "lost_watts",
    },
    "holes": {
        "id", "panel", "of", "wall", "along_mm", "datum", "across_mm", "out_mm", "height_mm",
        "diameter_mm", "grommet_mm", "grommet", "drilled", "cables", "flags",
    },
    "legs": {
        "id", "supply", "cable", "dimmer", "zone", "fuse", "runs", "watts", "amps", "worst_volts",
        "worst_bar", "drop_percent", "state", "protected_by", "source_amps", "cable_may_amps",
        "largest_fuse_amps", "fuse_needed_amps",
    },
    "supplies": {
        "id", "part", "place", "cabinet", "legs", "load_watts", "rating_watts", "derated_watts",
        "usable_watts", "left_watts", "output_amps", "terminals_left", "mains",
    },
    "readings": {
        "point", "about", "leg", "where", "what", "unit", "along_mm", "cold", "hot",
    },
    "zones": {"id", "name", "switch", "legs", "amps", "watts"},
    "overrides": {"rule", "limit", "reason", "by"},
    "light": {
        "run", "wall", "at_mm", "out_mm", "least_lux", "average_lux", "most_lux", "evenness",
        "target_lux", "cells", "plane", "on", "upright", "plane_mm", "new_lux", "new_range_lux",
        "other_lux",
    },
    "seen": {
        "run", "dot_percent", "mirror_mm", "mirror_on_top", "image_contrast", "hiding_lip_mm",
        "kelvin", "cri", "r9",
    },
    "materials": {"part", "name", "amount", "unit"},
}  # fmt: skip
MAINS = {"input_watts", "amps", "standby_watts", "inrush_amps", "on_breaker", "energy_kwh_year",
         "cost_year"}  # fmt: skip
FIGURE = {"id", "name", "about", "value", "unit", "formula", "source", "assumed", "inputs"}
SOURCE = {"title", "standing"}


def two_bars() -> Any:
    """A job with a row of every kind."""
    stile = {"id": "O1", "wall": "A", "kind": "stile", "at": 900, "width": 40}
    job = one_bar(add={"obstacles": [stile]}, A1={"assumed": ["opening"]})
    aside = Override(id="V1", rule="drop", reason="said")
    return plan_job(job.model_copy(update={"zones": (Zone(id="Z1"),), "overrides": (aside,)}))


def test_the_keys_of_check_are_these() -> None:
    found = check_data(two_bars())
    assert found.keys() == CHECK
    assert found["pelmet"] == {"document": "check", "version": 1}
    assert found["job"].keys() == {"name", "region", "length_unit"}
    assert found["counts"].keys() == {"stop", "warn", "ask"}
    assert sum(found["counts"].values()) == len(found["findings"]) > 0
    for row in found["findings"]:
        assert row.keys() == ROWS["findings"]
        assert row["source"].keys() == SOURCE


def test_the_keys_of_show_are_these() -> None:
    found = show_data(two_bars())
    assert found.keys() == SHOW
    assert found["pelmet"] == {"document": "show", "version": 1}
    for table, keys in ROWS.items():
        assert found[table], table
        assert all(row.keys() == keys for row in found[table]), table
    assert all(row["mains"].keys() == MAINS for row in found["supplies"])
    assert found["assumed"] == {
        "things": [{"id": "A1", "fields": ["opening"]}],
        "bars": ["R1.1", "R1.2"],
    }


def test_an_opening_too_short_for_a_bar_has_these_keys() -> None:
    (row,) = show_data(planned(A1={"opening": [40]}))["runs"]
    assert row["too_short"] == [
        {"wall": "A", "cabinets": ["A1"], "left_mm": 921.5, "opening_mm": 40}
    ]


def test_the_keys_of_figures_are_these() -> None:
    found = figures_data(two_bars())
    assert found.keys() == HEAD | {"figures"}
    assert found["pelmet"] == {"document": "figures", "version": 1}
    for row in found["figures"]:
        assert row.keys() == FIGURE
        assert row["formula"].keys() == {"id", "says"}
        assert row["source"].keys() == SOURCE


def test_every_key_is_named_in_the_description() -> None:
    assert data.__doc__ is not None
    words = set(data.__doc__.replace("[]", "").replace(",", " ").replace("(", " ").split())
    for key in set.union(SHOW, FIGURE, MAINS, *ROWS.values()):
        assert key in words, key


def test_keys_stay_when_a_value_is_missing() -> None:
    found = show_data(planned(S1={"part": "nothing"}, R1={"channel": "nothing"}))
    assert found["supplies"][0]["usable_watts"] is None
    assert found["supplies"][0]["mains"] == dict.fromkeys(MAINS)
    assert found["legs"][0]["amps"] is None
    assert found["legs"][0].keys() == ROWS["legs"]
    assert found.keys() == SHOW


def test_the_worked_example_stands_in_the_document_in_exact_numbers() -> None:
    # 883 mm, clearance 2, cap 2, start 10, end 3, unit 50: bar 875, 17 units, 850 lit, 25 dark
    (bar,) = show_data(planned())["bars"]
    shown = [bar[key] for key in ("opening_mm", "length_mm", "units", "lit_mm", "dark_mm")]
    assert shown == [883, 875, 17, 850, 25]
    assert all(type(number) is int for number in shown)


def test_a_length_with_decimals_comes_back_from_json_as_it_was_said() -> None:
    said = Decimal("563.46875")
    text = json_text(show_data(planned(A1={"opening": [said]})))
    (bar,) = json.loads(text, parse_float=Decimal)["bars"]
    assert bar["opening_mm"] == said


def test_zones_and_overrides_are_told_as_they_are() -> None:
    job = one_bar(L1={"fuse": Decimal("3.15")}).model_dump(by_alias=True)
    job["leg"][0]["zone"] = "Z1"
    job["zone"] = [{"id": "Z1", "name": "Worktop", "switch": "door-switch-3"}]
    job["override"] = [
        {"id": "V1", "rule": "drop", "limit": 4, "reason": "the client's wish", "by": "a surveyor"},
        {"id": "V2", "rule": "standby", "reason": "it is unplugged"},
    ]
    plan = plan_job(Job.model_validate(job))
    found = show_data(plan)
    (leg,) = plan.circuits.legs
    assert leg.amps is not None
    assert found["zones"] == [
        {"id": "Z1", "name": "Worktop", "switch": "door-switch-3", "legs": ["L1"],
         "amps": leg.amps.value, "watts": leg.watts.value},
    ]  # fmt: skip
    assert found["overrides"] == [
        {"rule": "drop", "limit": 4, "reason": "the client's wish", "by": "a surveyor"},
        {"rule": "standby", "limit": None, "reason": "it is unplugged", "by": ""},
    ]
    assert (found["legs"][0]["zone"], found["legs"][0]["fuse"]) == ("Z1", 3.15)


def test_every_figure_stands_once_after_what_went_into_it() -> None:
    plan = plan_job(many_bars())
    rows = figures_data(plan)["figures"]
    assert [row["id"] for row in rows] == list(range(len(rows)))
    assert all(one < row["id"] for row in rows for one in row["inputs"])
    walked = {one for figure in plan.figures() for one in figure.walk()}
    assert len(rows) == len(walked)


def test_an_assumed_figure_has_an_assumed_input_or_is_assumed_itself() -> None:
    rows = figures_data(two_bars())["figures"]
    for row in rows:
        if row["assumed"] and row["inputs"]:
            assert any(rows[one]["assumed"] for one in row["inputs"])
    assert any(row["assumed"] and not row["inputs"] for row in rows)


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_gives_ascii_json_that_reads_back(job: Job) -> None:
    plan = plan_job(job)
    for document in (check_data(plan), show_data(plan), figures_data(plan)):
        text = json_text(document)
        assert text.isascii()
        assert json.loads(text) == document


def test_light_is_told_cell_by_cell_from_the_wall_out():
    plan = planned()
    light = plan.lights[0]
    (row,) = show_data(plan)["light"]
    cells = row["cells"]
    assert set(cells) == {"x_mm", "y_mm", "lux"}
    assert cells["x_mm"] == pytest.approx([1000 * x for x in light.cells.xs], abs=0.01)
    assert cells["y_mm"] == pytest.approx([1000 * y for y in light.cells.ys], abs=0.01)
    told = {(x, y): lux for x, across in enumerate(cells["lux"]) for y, lux in enumerate(across)}
    places = [(x, y) for x in light.cells.xs for y in light.cells.ys]
    assert places == list(light.cells.points)
    assert list(told.values()) == list(light.lux)
    assert min(told.values()) == row["least_lux"]
    x, y = min(told, key=lambda place: told[place])
    assert (cells["x_mm"][x], cells["y_mm"][y]) == (row["out_mm"], row["at_mm"])
    assert row["target_lux"] == 300
    assert row["evenness"] == pytest.approx(row["least_lux"] / row["average_lux"])

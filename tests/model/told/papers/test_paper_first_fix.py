"""The first-fix sheet against the walls: cables in them, where they come out, and switch drops."""

from dataclasses import replace
from typing import Any

import pytest
from fed_rooms import FED
from hypothesis import given
from jobs import ONE_BAR, QUICK, any_job, built, one_bar
from papers import cautions, folder, grid, said

from pelmet.model.edit.change import set_value
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.measure.lengths import parse_length
from pelmet.model.order.folder import Folder
from pelmet.model.plan.ways.place import Place, Way
from pelmet.model.told.paper import Grid, Paper
from pelmet.model.told.papers.first_fix import first_fix_paper
from pelmet.model.told.papers.sheets import paper_of

KITCHEN = read_example("kitchen")


def sheet(found: Folder) -> Paper:
    return paper_of(found, "first-fix")


def with_switch(name: str = "Worktop", **zone: Any) -> Job:
    zones = [{"id": "zone1", "name": name, "switch": "wall-switch", **zone}]
    return built({**ONE_BAR, "zones": zones}, L1={"zone": "zone1"})


@pytest.mark.cross_check
@pytest.mark.parametrize("unit", ["mm", "in"])
def test_a_cable_past_a_window_comes_out_behind_a_cabinet_on_either_side_of_it(unit):
    """From the survey: the window's sides on one wall, the first cabinet's on the next."""
    found = sheet(folder(set_value(KITCHEN, "site", "", "length_unit", unit)))
    (cable,) = grid(found, "cable").rows
    assert cable[0] == "L3.1"
    assert cable[5] == "window O3"
    window, after, before = (
        next(each for each in (*KITCHEN.obstacles, *KITCHEN.cabinets) if each.id == own)
        for own in ("O3", "B1", "A3")
    )
    goes_in, comes_out = grid(found, "cable", 1).rows
    assert [row[:3] for row in (goes_in, comes_out)] == [
        ("L3.1", "goes in", "A"), ("L3.1", "comes out", "B"),
    ]  # fmt: skip
    along = [float(parse_length(row[3].lstrip("~"), unit)) for row in (goes_in, comes_out)]
    height = [float(parse_length(row[4].lstrip("~"), unit)) for row in (goes_in, comes_out)]
    assert before.at < along[0] < window.at
    assert after.at < along[1] < after.at + after.width
    near = 0 if unit == "mm" else 1.3  # half of 1/16 inch, and of a whole millimetre
    assert height == pytest.approx(
        [float(before.bottom_height), float(after.bottom_height)], abs=near
    )


@pytest.mark.parametrize("shape", sorted(FED))
def test_exits_are_on_walls_of_the_room(shape):
    job = FED[shape]()
    assert_on_walls(job, folder(job))


def assert_on_walls(job: Job, found: Folder) -> None:
    lengths = {wall.id: float(wall.length) for wall in job.walls}
    grids = [each for each in sheet(found).blocks if isinstance(each, Grid)]
    exits = [row for each in grids if each.name == "first-fix-exits" for row in each.rows]
    things = (*job.cabinets, *job.obstacles)
    # A thing that is said to stand past its wall is a finding, and takes its cables with it.
    past = {each.wall for each in things if float(each.at + each.width) > lengths[each.wall]}
    for _, _, wall, along, _, _ in exits:
        assert past or -0.5 <= float(along) <= lengths[wall] + 0.5
    cables = {row[0] for each in grids if each.name == "first-fix" for row in each.rows}
    walled = {
        cable.id
        for cable in found.plan.routes.cables
        if any(way.kind == "in wall" for way in cable.ways)
    }
    assert cables == walled == {row[0] for row in exits}
    for own in cables:
        says = [row[1] for row in exits if row[0] == own]
        assert says == ["goes in", "comes out"] * (len(says) // 2)


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_cable_in_a_wall_has_its_exits(job):
    found = folder(job)
    assert_on_walls(job, found)
    if not any(isinstance(each, Grid) for each in sheet(found).blocks):
        assert cautions(sheet(found)) == ""


def test_ways_that_go_on_in_the_wall_are_one_stretch():
    found = folder(one_bar())
    routes = found.plan.routes
    (lead,) = routes.leads
    places = tuple(Place(at, 0.0, 1400.0, "under", "A1") for at in (500, 800, 900, 2000, 2100))
    kinds = ("in wall", "in wall", "under", "in wall")
    ways = tuple(Way(at, at + 1, kind, 100, 1) for at, kind in enumerate(kinds))
    own = replace(routes, leads=(lead._replace(ways=ways, places=places),))
    plan = replace(found.plan, routes=own)
    tables = [each for each in first_fix_paper(plan) if isinstance(each, Grid)]
    assert [row[1:4] for row in tables[1].rows] == [
        ("goes in", "A", "500"), ("comes out", "A", "900"),
        ("goes in", "A", "2000"), ("comes out", "A", "2100"),
    ]  # fmt: skip


def test_a_reading_that_nobody_took_behind_an_exit_is_marked():
    job = set_value(KITCHEN, "obstacle", "O3", "at", 2950, assumed=True)
    found = sheet(folder(job))
    assert [row[-1] for row in grid(found, "cable", 1).rows] == ["place", "place"]
    assert grid(found, "cable").rows[0][-1] == "length"
    sound = sheet(folder(KITCHEN))
    assert [row[-1] for row in grid(sound, "cable", 1).rows] == ["", ""]
    assert grid(sound, "cable").rows[0][-1] == ""


def test_the_tail_is_what_the_length_counts_and_walls_close_on_a_day():
    job = set_value(KITCHEN, "allowances", "", "termination_slack", 450)
    assert "a tail of 450 mm at each end" in said(sheet(folder(job)))
    assert "a tail of 150 mm at each end" in said(sheet(folder(KITCHEN)))
    assert "Before walls close: 2027-02-12" in said(sheet(folder(KITCHEN)))
    assert "Before walls close: ____" in said(sheet(folder(with_switch())))
    assert "draw string" in said(sheet(folder(KITCHEN)))


def test_a_wall_switch_asks_for_a_drop_and_no_other_switch_does():
    nasty = "=1+1|<b> שלום"
    found = sheet(folder(with_switch(nasty)))
    (row,) = grid(found, "zone").rows
    assert (row[0], row[2], row[3], row[4]) == (nasty, "mains", "L1", "")
    assert "No cable goes in a wall." in said(found)
    assert "Scan for cables" in cautions(found)
    for other in ("motion-sensor-4", None):
        assert "no first fix" in said(sheet(folder(with_switch(switch=other))))


def test_what_goes_behind_a_hood_is_laid_before_the_hood_is_fixed():
    job = set_value(KITCHEN, "obstacle", "O1", "crossing", "behind")
    words = said(sheet(folder(job)))
    assert "L2.1 goes behind hood O1" in words
    assert "goes behind" not in said(sheet(folder(KITCHEN)))


def test_nothing_in_a_wall_is_said_and_asks_for_no_caution():
    for job in (Job(), one_bar()):
        found = sheet(folder(job))
        assert "Nothing goes in a wall" in said(found)
        assert cautions(found) == ""
    assert "on the mains sheet" in said(sheet(folder(one_bar())))
    assert "mains sheet" not in said(sheet(folder(Job())))

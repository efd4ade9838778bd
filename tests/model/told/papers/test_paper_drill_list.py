"""The drill list against the holes of the plan; cautions only for what is flagged."""

from itertools import groupby
from typing import Any

import pytest
from draws import examples
from fed_rooms import FED, anything, fed
from hypothesis import given
from jobs import obstacle, one_bar, row
from papers import cautions, grid, said, table, words
from rooms import cabinets, room, run
from rooms import said as surveyed

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.paper import Paper
from pelmet.model.told.papers.drill_list import drill_list_paper, hole_blocks


def paper(job: Job) -> Paper:
    return Paper("drill-list", "", "", "", "", drill_list_paper(plan_job(job)))


@pytest.mark.cross_check
@pytest.mark.parametrize("shape", [*FED, "kitchen-with-pantry"])
def test_every_hole_is_told_once_with_the_plans_own_figures(shape):
    job = FED[shape]() if shape in FED else read_example(shape)
    holes = {hole.id: hole for hole in plan_job(job).holes}
    if not holes:
        assert said(paper(job)) == "There is no hole to drill."
        return
    rows = grid(paper(job), "hole").rows
    assert sorted(row[0] for row in rows) == sorted(holes)
    cabinets = {cabinet.id: cabinet for cabinet in job.cabinets}
    for own, bit, at, across, out, height, grommet, panel, cables in rows:
        hole = holes[own]
        shown = [float(cell.lstrip("~")) for cell in (bit, across, out, height, grommet)]
        figures = (hole.diameter, hole.across, hole.out, hole.height, hole.grommet)
        assert shown == pytest.approx([float(each.value) for each in figures], abs=0.006)
        assert cables.split() == list(hole.cables)
        assert hole.drilled in panel
        assert hole.owner in panel
        # A second way: along its wall a hole is where it is across from what is named.
        start = float(cabinets[hole.owner].at) if hole.owner in cabinets else 0.0
        assert start + shown[1] == pytest.approx(hole.along, abs=0.006)
        named = f"{hole.owner} left" if hole.owner in cabinets else f"wall {hole.wall}"
        assert at == named
    places = [place for place, _ in groupby(row[2] for row in rows)]
    assert len(places) == len(set(places))  # what is measured from one place stands together


def test_a_hole_in_words():
    (first, *_) = grid(paper(one_bar(R1={"feed_end": "right"})), "hole").rows
    assert first[0] == "H1"
    assert first[1:3] == ("7", "A1 left")
    assert first[7] == "A1 floor, from below"


def test_cautions_are_those_for_any_hole_and_no_other_unless_flagged():
    always = cautions(paper(read_example("kitchen")))
    for word in ("Scan", "depth stop", "block behind", "gas"):
        assert word in always
    for word in ("rail", "pins", "runners", "stile", "edge", "two smaller"):
        assert word not in always


def through_sides(**how: Any) -> Job:
    """Two frames; under the second a stile lets nothing past, so cable goes through their sides."""
    stile = obstacle("O1", 1300, 20, crossing="over")
    run = {"cabinets": ["A2"], "feed_end": "right"}
    return row(600, 600, add={"obstacles": [stile]}, R1=run, **how)


@pytest.mark.parametrize(
    ("job", "flag", "word"),
    [
        (one_bar(A1={"depth": 126}, S1={"place": "on top of cabinet"}), "in the hanging rail",
         "hanging rail"),
        (one_bar(A1={"depth": 139}), "where hinge plates or runners sit", "drawers"),
        (one_bar(allowances={"hole_edge": 37}), "its rim 36.5 mm from an edge", "edge"),
        (row(600, 600, R1={"cabinets": ["A2"]}, A2={"lip": 9}),
         "deeper than its stile hangs down, 9 mm", "hang down"),
        (through_sides(A1={"depth": 160}, A2={"depth": 160, "pin_rows": [110]}),
         "on a row of shelf pins", "shelf pins"),
        (through_sides(allowances={"side_hole": 6}),
         "wider than 6 mm through a side: drill two", "two smaller"),
    ],
)  # fmt: skip
def test_what_is_flagged_brings_its_caution_and_is_told(job, flag, word):
    own = [hole.id for hole in plan_job(job).holes if flag in hole.flags]
    assert own
    assert word in cautions(paper(job))
    for hole in own:
        assert hole in cautions(paper(job)).replace(".", "").replace(",", "").split()
        assert f"{hole}: {flag}" in said(paper(job))


def test_a_hole_by_a_reading_that_nobody_took_is_marked():
    right = {"feed_end": "right"}
    assert "assumed" not in said(paper(one_bar(R1=right)))
    guessed = one_bar(R1=right, A1={"assumed": ["bottom_height"]})
    assert "H1: assumed, for of A1 is not measured yet: bottom height" in said(paper(guessed))


def test_lengths_are_in_the_unit_of_the_job():
    job = one_bar(R1={"feed_end": "right"})
    inches = Job.model_validate(job.model_dump(by_alias=True) | {"job": {"length_unit": "in"}})
    table = grid(paper(inches), "hole")
    assert table.head[1] == "bit [in]"
    assert table.rows[0][1] == "5/16"  # 7.9 mm, the next above 5.5 + 2


def test_no_hole_is_said():
    assert said(paper(Job())) == "There is no hole to drill."
    assert cautions(paper(Job())) == ""


def test_what_a_hole_comes_too_near_to_is_told_below():
    shallow = surveyed(
        room("Kitchen", ("A", 2000)),
        cabinet=cabinets("A", 300, 600, depth=60),
        run=[run("R1", "A1")],
        supply=[{"id": "S1", "cabinet": "A1"}],
    )
    plan = plan_job(fed(shallow, R1="S1"))
    (hole,) = plan.holes
    assert hole.flags
    for flag in hole.flags:
        assert f"{hole.id}: {flag}" in words(hole_blocks(plan))


@pytest.mark.property
@examples(80)
@given(anything())
def test_any_job_has_every_hole_once(job):
    plan = plan_job(job)
    assert set(table(hole_blocks(plan), "drill-list")) == {hole.id for hole in plan.holes}
    assert ("Scan" in cautions(paper(job))) is bool(plan.holes)

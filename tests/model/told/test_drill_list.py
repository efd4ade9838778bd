"""The drill list holds every hole, as a fitter walks, in lines that fit."""

import re
from decimal import Decimal

import pytest
from draws import examples
from fed_rooms import FED, anything, fed
from hypothesis import given
from jobs import one_bar
from rooms import cabinets, example, room, run, said

from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.ways.holes import Hole
from pelmet.model.told.drill_list import drill_list, panel_words

WIDTH = 78


def in_unit(job: Job, unit: str) -> Job:
    return job.model_copy(update={"site": job.site.model_copy(update={"length_unit": unit})})


def row_of(lines: tuple[str, ...], hole: Hole) -> str:
    """Give a hole's row, folded into one line."""
    start = next(at for at, line in enumerate(lines) if line.split()[0] == hole.id)
    rest = lines[start + 1 :]
    more = next((at for at, line in enumerate(rest) if not line.startswith(" ")), len(rest))
    return " ".join(" ".join([lines[start], *rest[:more]]).split())


def check_form(lines: tuple[str, ...], plan: Plan) -> None:
    for line in lines:
        assert 0 < len(line) <= WIDTH
        assert line.isascii()
        assert line.isprintable()
        assert line == line.rstrip()
    rows = [line.split()[0] for line in lines if re.match(r"H\d+ ", line)]
    assert set(rows) == {hole.id for hole in plan.holes}
    assert len(rows) == len(plan.holes)


@pytest.mark.snapshot
@pytest.mark.parametrize("shape", FED)
def test_a_list_is_as_stored(shape, snapshot):
    assert "\n".join(drill_list(plan_job(FED[shape]()))) == snapshot


@pytest.mark.snapshot
def test_a_list_in_inches_is_as_stored(snapshot):
    assert "\n".join(drill_list(plan_job(in_unit(example(), "in")))) == snapshot


@pytest.mark.property
@examples(80)
@given(anything())
def test_any_job_gives_a_list_that_fits_and_holds_every_hole(job):
    plan = plan_job(job)
    lines = drill_list(plan)
    check_form(lines, plan)
    assert (lines == ("no holes",)) == (not plan.holes)
    assert any("scan" in line for line in lines) == bool(plan.holes)


@pytest.mark.cross_check
@pytest.mark.parametrize("unit", ["mm", "cm", "m"])
@pytest.mark.parametrize("shape", FED)
def test_the_figures_of_every_row_read_back(shape, unit):
    plan = plan_job(in_unit(FED[shape](), unit))
    lines = drill_list(plan)
    size = {"mm": 1, "cm": 10, "m": 1000}[unit]
    for hole in plan.holes:
        words = row_of(lines, hole).split()
        said_figures = [float(Decimal(word.lstrip("~"))) * size for word in words[1:6]]
        figures = (hole.diameter, hole.across, hole.out, hole.height, hole.grommet)
        assert said_figures == pytest.approx([float(each.value) for each in figures], abs=0.01)


@pytest.mark.parametrize("shape", FED)
def test_every_row_names_its_panel_side_and_cables_below_its_datum(shape):
    plan = plan_job(FED[shape]())
    lines = drill_list(plan)
    kinds = {obstacle.id: obstacle.kind for obstacle in plan.job.obstacles}
    datum = ""
    for at, line in enumerate(lines):
        if "across from" in line:
            datum = line.partition("across from ")[2].rstrip(":")
        for hole in plan.holes:
            if line.split()[0] == hole.id:
                assert datum == hole.datum
                words = " ".join(hole.cables)
                panel = panel_words(hole.owner, hole.panel, kinds)
                assert row_of(lines[at:], hole).endswith(f"{panel}, {hole.drilled}: {words}")


def test_holes_measured_from_one_place_stand_together():
    plan = plan_job(example())
    heads = [line for line in drill_list(plan) if "across from" in line]
    assert heads == [
        "A2 on wall A, across from left side of A2:",
        "A3 on wall A, across from left side of A3:",
        "wall A, across from start of wall A:",
    ]


def test_panels_are_named_in_words():
    kinds = {"O2": "stile"}
    assert panel_words("A2", "floor", kinds) == "A2 floor"
    assert panel_words("A3", "right side", kinds) == "A3 right side"
    assert panel_words("A3", "stile", kinds) == "A3 stile"
    assert panel_words("U1", "upright", kinds) == "upright U1"
    assert panel_words("O2", "obstacle", kinds) == "stile O2"


def test_what_a_hole_comes_too_near_to_is_told_below():
    shallow = said(
        room("Kitchen", ("A", 2000)),
        cabinet=cabinets("A", 300, 600, depth=60),
        run=[run("R1", "A1")],
        supply=[{"id": "S1", "cabinet": "A1"}],
    )
    plan = plan_job(fed(shallow, R1="S1"))
    (hole,) = plan.holes
    assert hole.flags
    for flag in hole.flags:
        assert f"{hole.id}: {flag}" in drill_list(plan)


def test_no_holes_are_told_without_a_caution():
    plan = plan_job(one_bar(drop=["L1"], R1={"leg": None}))
    assert drill_list(plan) == ("no holes",)

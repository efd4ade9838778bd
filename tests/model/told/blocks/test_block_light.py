"""Light in blocks: what is wanted and by whom, the figures of each run, and its factors."""

import re
from math import prod
from typing import get_args

import pytest
from hypothesis import given
from jobs import QUICK, any_job, planned
from papers import words

from pelmet.model.examples import EXAMPLES, read_example
from pelmet.model.job.items import Use
from pelmet.model.job.job import Job
from pelmet.model.plan.light.wanted import targets
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.blocks.light import light_blocks
from pelmet.model.told.paper import Grid, Picture


def folded(plan: Plan) -> str:
    return " ".join(words(light_blocks(plan)).split())


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_run_at_a_wall_has_its_row_and_its_picture(name):
    plan = plan_job(read_example(name))
    table, *rest = light_blocks(plan)
    assert isinstance(table, Grid)
    for row, light in zip(table.rows, plan.lights, strict=True):
        assert row[:2] == (light.run, light.wall)
        lux, _, least, _, even, _ = row[-6:]
        assert (lux, least) == (f"{light.average.value:.0f}", f"{light.least.value:.0f}")
        assert even == f"{light.evenness.value:.2f}"
        assert row[2:-6] in ((), (light.plane.on or light.plane.use,))
    drawn = [each for each in rest if isinstance(each, Picture)]
    assert [each.about.partition(",")[0] for each in drawn] == [
        f"{light.run} at wall {light.wall}" for light in plan.lights
    ]


@pytest.mark.parametrize("asked", targets(), ids=lambda asked: asked.work)
def test_what_is_wanted_is_said_with_its_source_and_if_it_is_from_memory(asked):
    bar = {"in_use": asked.work} if asked.work in get_args(Use) else {"work": asked.work}
    below = {"id": "A2", "wall": "A", "kind": "shelf", "at": 500, "width": 883, "depth": 250,
             "bottom_height": 1000, "height": 25}  # fmt: skip
    shelf = {"cabinets": [below]} if asked.work == "shelf" else {}
    text = folded(planned(K=bar, R1={"line": "front"}, add=shelf))
    assert f"average {asked.lux} lx: {asked.source}" in text
    assert f"evenness, least of average, {asked.evenness}: {asked.evenness_source}" in text
    assert ("from memory, check it" in text) == (
        "from memory" in (asked.standing, asked.evenness_standing)
    )


def test_an_allowance_stands_for_the_target():
    text = folded(planned(allowances={"worktop_lux": 5000}))
    assert "average 5000 lx: the job's allowance" in text
    assert "| 5000 | " in text
    assert "less than wanted" in text


def test_where_the_least_is_and_why():
    plan = planned()
    light = plan.lights[0]
    text = folded(plan)
    assert f"least {light.least.value:.0f} lx, {light.why}" in text
    assert f"{light.at:.0f} mm along wall A, {light.out:.0f} mm out" in text
    assert f"most {light.most.value:.0f} lx" in text


@pytest.mark.cross_check
@pytest.mark.parametrize("warm", [80, 95])
@pytest.mark.parametrize("kept", [60, 100])
def test_the_factors_that_are_shown_multiply_to_what_is_kept_up(warm, kept):
    """The product of the printed numbers themselves, to what their rounding allows."""
    text = folded(planned(allowances={"thermal_percent": warm, "maintenance_percent": kept}))
    said = re.search(r"(\d+) lm/m bare x (.*?) = (\d+) lm/m", text)
    assert said
    shares = [float(share) / 100 for share in re.findall(r"([\d.]+) %", said[2])]
    assert len(shares) == 4
    assert warm / 100 in shares
    assert kept / 100 in shares
    assert prod([float(said[1]), *shares]) == pytest.approx(float(said[3]), rel=2e-3)


def test_without_a_leg_the_volts_are_the_rated_ones():
    text = folded(planned(R1={"leg": None}))
    assert "at its volts" not in text
    assert "lm/m, at its rated volts" in text


def test_no_light_is_said_to_be_none():
    assert folded(planned(R1={"strip": "nothing"})) == "Nothing that is used is lit."


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_has_the_light_of_every_run(job: Job):
    plan = plan_job(job)
    text = folded(plan)
    for light in plan.lights:
        assert f"{light.run} at wall {light.wall}: least" in text

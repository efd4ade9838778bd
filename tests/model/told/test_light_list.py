"""The light on the sheet: what is wanted and by whom, the figures of each run, and its factors."""

import re
from importlib.resources import files
from math import prod

import pytest
from hypothesis import given
from jobs import QUICK, any_job, one_bar, planned

from pelmet.model.file.job.reading import read_job
from pelmet.model.job.job import Job
from pelmet.model.plan.light.wanted import targets
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.light_list import light_list

EXAMPLES = ("kitchen.toml", "kitchen-with-pantry.toml")


def folded(plan: Plan) -> str:
    return " ".join(" ".join(light_list(plan)).split())


@pytest.mark.snapshot
@pytest.mark.parametrize("name", EXAMPLES)
def test_the_light_of_every_example_is_as_stored(name, snapshot):
    entry = files("pelmet.model.examples") / name
    assert "\n".join(light_list(plan_job(read_job(entry.read_bytes(), name)))) == snapshot


@pytest.mark.parametrize("asked", targets(), ids=lambda asked: asked.work)
def test_what_is_wanted_is_said_with_its_source_and_if_it_is_from_memory(asked):
    text = folded(planned(K={"work": asked.work}))
    assert f"average {asked.lux} lx: {asked.source}" in text
    assert f"evenness {asked.evenness}: {asked.evenness_source}" in text
    assert ("from memory, check it" in text) == (
        "from memory" in (asked.standing, asked.evenness_standing)
    )


def test_an_allowance_stands_for_the_target():
    text = folded(planned(allowances={"worktop_lux": 5000}))
    assert "average 5000 lx: the job's allowance" in text
    assert "under 5000" in text


def test_where_the_least_is_and_why():
    plan = planned()
    light = plan.lights[0]
    text = folded(plan)
    assert f"least {light.least.value:.0f} lx, {light.why}" in text
    assert f"{light.at:.0f} mm along wall A, {light.out:.0f} mm out" in text
    assert f"most {light.most.value:.0f} lx" in text
    assert f"average: {light.evenness.value:.2f}" in text


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
    assert light_list(planned(R1={"strip": "nothing"})) == ("no light reckoned",)


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_list_fits_and_tells_every_run(job: Job):
    plan = plan_job(job)
    lines = light_list(plan)
    assert all(len(line) <= 78 and line.isascii() for line in lines)
    for light in plan.lights:
        assert any(line.startswith(f"{light.run} at wall {light.wall}:") for line in lines)


def test_one_bar_is_planned_as_it_stands():
    assert plan_job(one_bar()).lights

"""Advice that holds: a first option does what it says, no advice asks for its opposite."""

import re
from random import Random

import pytest
from draws import quick
from hypothesis import given
from hypothesis import strategies as st
from jobs import any_job, one_bar, part, survey

from pelmet.model.edit.change import set_value
from pelmet.model.edit.options import options_tried
from pelmet.model.edit.options.lights import light_options
from pelmet.model.edit.options.option import whole
from pelmet.model.job.catalogue import Catalogue, find_part
from pelmet.model.job.job import Job
from pelmet.model.plan.mounting.mounts import throw_degrees
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

LACKING = ("too-dark", "uneven")


def told(plan: Plan, run: str) -> str:
    return " ".join(f"{one.says}; {one.remedy}" for one in plan.findings if one.about == run)


def average(plan: Plan, run: str) -> float:
    return min((float(one.average.value) for one in plan.lights if one.run == run), default=0.0)


@pytest.mark.property
@quick(20)
@given(st.one_of(survey(), any_job()), st.integers(0, 10**6))
def test_the_first_option_for_a_run_that_lacks_light_does_what_it_says(job, seed):
    plan = plan_job(job)
    fed = {run.id for run in job.runs if run.leg}  # else ways to feed it come first
    lacking = sorted(fed & {one.about for one in plan.findings if one.code in LACKING})
    for run in Random(seed).sample(lacking, min(len(lacking), 1)):
        options = whole(options_tried(job, Catalogue(), "run", run))
        first = next((one for one in options if one.job and not one.taken), None)
        if first is None:
            continue
        after = plan_job(first.job)
        left = {one.code for one in after.findings if one.about == run} & set(LACKING)
        words = "; ".join(first.reasons)
        assert not left or "under " in words, words
        if "no nearer" not in words:
            assert average(after, run) >= average(plan, run) - 1e-6 or not left, words


@pytest.mark.property
@quick(40)
@given(st.one_of(survey(), any_job()))
def test_no_advice_asks_for_a_throw_that_other_advice_is_against(job):
    plan = plan_job(job)
    for run in plan.job.runs:
        channel = find_part(plan.parts.channels, run.channel)
        if channel is None:
            continue
        for throw in re.findall(r"(\\d+) to (?:wall|room) hides it", told(plan, run.id)):
            assert int(throw) not in channel.throws or int(throw) == max(channel.throws)


@pytest.mark.property
@quick(40)
@given(st.one_of(survey(), any_job()))
def test_a_channel_that_is_turned_as_advised_is_not_to_be_turned_back(job):
    plan = plan_job(job)
    for one in plan.findings:
        if one.code != "steeper-throw-glares-less":
            continue
        was = next(run.facing for run in job.runs if run.id == one.about)
        turned = plan_job(set_value(job, "run", one.about, "facing", one.remedy.split(": ")[1]))
        codes = {each.code for each in turned.findings if each.about == one.about}
        assert "steeper-throw-glares-less" not in codes
        assert f"{was} hides it" not in told(turned, one.about)


def two_runs(one: str, other: str) -> Job:
    """Two runs side by side of one white that is kept within four steps, of these batches."""
    strips = {"strips": [part("strips", "mine", colour_steps=4)]}
    return one_bar(
        R1={"strip": "mine", "batch": one},
        parts=strips,
        add={
            "cabinets": [{"id": "A2", "wall": "A", "at": 900, "width": 900, "depth": 320,
                          "bottom_height": 1400}],
            "runs": [{"id": "R2", "cabinets": ["A2"], "strip": "mine", "batch": other}],
        },
    )  # fmt: skip


@pytest.mark.regression
@pytest.mark.parametrize(
    ("batches", "found"),
    [
        (("x1", "x2"), {"batches-apart"}),
        (("x1", "x1"), set()),
        (("x1", ""), {"white-spread"}),
        (("", ""), {"white-spread"}),
    ],
)
def test_whites_that_are_not_kept_tight_are_asked_about_by_their_batches(batches, found):
    codes = {one.code for one in plan_job(two_runs(*batches)).findings}
    assert codes & {"batches-apart", "white-spread"} == found


@pytest.mark.regression
def test_a_cover_that_spreads_less_shows_more_of_the_dots():
    dots = [
        float(plan_job(one_bar(R1={"diffuser": name})).sights[0].dots.value)
        for name in ("opal-17", "satin-17", "clear-17")
    ]
    assert dots == sorted(set(dots))


@pytest.mark.regression
def test_a_channel_of_one_way_has_no_steeper_one_and_what_darkens_says_so():
    job = one_bar()
    options = whole(light_options(job, Catalogue(), "R1"))
    for option in options:
        channel = find_part(plan_job(option.job).parts.channels, option.job.runs[0].channel)
        words = "; ".join(option.reasons)
        degrees, _ = throw_degrees(option.job.runs[0].facing)
        if len(channel.throws) == 1:
            assert "of its ways" not in words
        assert degrees in channel.throws
        before, after = plan_job(job).lights[0], plan_job(option.job).lights
        if after and float(after[0].least.value) < 0.85 * float(before.least.value):
            assert "the least-lit spot gets" in words

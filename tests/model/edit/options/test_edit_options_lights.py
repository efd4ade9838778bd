"""What would light a run better: each tried whole, the good ones first and the cheapest of them."""

import re
from itertools import product

import pytest
from choices import KITCHEN, OWN, changes
from draws import quick
from hypothesis import given
from jobs import Fields, any_job, one_bar, part

from pelmet.model.edit.options import Option, options_for
from pelmet.model.edit.options.cost import cost_of
from pelmet.model.edit.options.lights import lacks_light, light_options
from pelmet.model.edit.options.option import whole
from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job

FIELDS = ("line", "facing", "channel", "strip", "diffuser")
FIGURES = re.compile(r"(\d+) lx on average, (\d+) least, (\d\.\d\d) even, costs ([+-]\d+\.\d\d)")
SUBJECTS = [*((KITCHEN, run.id) for run in KITCHEN.runs), (one_bar(), "R1")]
subjects = pytest.mark.parametrize(("job", "item_id"), SUBJECTS, ids=lambda each: str(each)[:2])


def dim(**how: Fields) -> Job:
    """The one bar in a room that wants more than it gives."""
    return one_bar(allowances={"worktop_lux": 600}, **how)


def set_by(option: Option) -> dict[str, str]:
    """Give the fields that a choice names."""
    return dict(each.split(": ") for each in option.choice.split(", "))


def average(plan: Plan, item_id: str) -> float:
    return min(float(each.average.value) for each in plan.lights if each.run == item_id)


def least(plan: Plan, item_id: str) -> float:
    return min(float(each.least.value) for each in plan.lights if each.run == item_id)


def good(plan: Plan, before: Plan, item_id: str) -> bool:
    """Say, by the findings, if the light is enough and even, and nothing grave is new."""
    grave = {(each.level, each.code, each.about) for each in plan.findings if each.level != "ask"}
    had = {(each.level, each.code, each.about) for each in before.findings}
    return not lacks_light(plan, item_id) and grave <= had


@pytest.mark.cross_check
@subjects
def test_the_figures_and_the_changes_of_each_are_those_of_its_own_plan(job, item_id):
    now = plan_job(job, OWN)
    for one in whole(light_options(job, OWN, item_id)):
        assert changes(job, one.job) == {(item_id, field) for field in set_by(one)}
        run = one.job.find("run", item_id)
        assert set_by(one) == {field: getattr(run, field) for field in set_by(one)}
        plan = plan_job(one.job, OWN)
        found = FIGURES.fullmatch(one.gives)
        assert found
        lux, least, even, more = map(float, found.groups())
        (own,) = [each for each in plan.lights if each.run == item_id]
        assert lux == pytest.approx(average(plan, item_id), abs=0.5)
        assert least == pytest.approx(float(own.least.value), abs=0.5)
        assert even == pytest.approx(float(own.least.value) / float(own.average.value), abs=0.0051)
        assert more == pytest.approx(cost_of(plan) - cost_of(now), abs=0.0051)
        assert not one.taken


@pytest.mark.property
@subjects
def test_what_is_enough_and_brings_no_harm_comes_first_the_cheapest_first(job, item_id):
    now = plan_job(job, OWN)
    stops = {(each.code, each.about) for each in now.findings if each.level == "stop"}
    ranks = []
    for one in whole(light_options(job, OWN, item_id)):
        plan = plan_job(one.job, OWN)
        if good(plan, now, item_id):
            darker = least(plan, item_id) <= 0.9 * least(now, item_id)
            ranks.append((int(darker), round(cost_of(plan), 6)))
            assert any("the least-lit spot gets" in each for each in one.reasons) == darker
            assert "enough light for the work there, and even enough" in one.reasons
        else:
            new = {(each.code, each.about) for each in plan.findings if each.level == "stop"}
            ranks.append((2 if new <= stops else 3, -average(plan, item_id)))
    assert ranks == sorted(ranks)
    assert (ranks[0][0] < 2) >= (not lacks_light(now, item_id))


def test_every_line_with_every_facing_is_tried_but_the_one_of_now():
    # Channels of the catalogue go straight down, 45 and 60 as their steepest, 30 only besides.
    found = {
        (run.line, run.facing)
        for one in whole(light_options(one_bar(), OWN, "R1"))
        if {"strip", "diffuser"}.isdisjoint(set_by(one))
        for run in [one.job.find("run", "R1")]
    }
    facings = ["down", "45 to wall", "45 to room", "60 to wall", "60 to room"]
    assert found == set(product(["front", "middle", "back"], facings)) - {("front", "down")}


def test_a_facing_takes_the_narrowest_channel_for_it_that_takes_the_strip():
    def channels(*own: dict[str, object], **strip: object) -> set[str]:
        parts = {"strips": [part("strips", "mine", **strip)], "channels": list(own)}
        job = one_bar(R1={"strip": "mine"}, parts=parts)
        return {
            one.job.find("run", "R1").channel
            for one in whole(light_options(job, OWN, "R1"))
            if set_by(one).get("facing") == "45 to room"
        }

    slim = part("channels", "slim", face=9, floor=8, throws=[45], watts_limit_per_metre=11)
    assert channels() == {"corner-16"}
    assert channels(slim) == {"slim"}
    assert channels(slim, width=9) == {"corner-16"}  # too wide for it
    assert channels(slim, watts_per_metre=11.5) == {"corner-16"}  # too hot for it
    assert channels(slim, watts_per_metre=13) == set()  # and for the other


def test_a_channel_that_can_be_turned_as_it_is_stays():
    job = one_bar(R1={"channel": "corner-18", "facing": "60 to wall"})
    found = [set_by(one) for one in whole(light_options(job, OWN, "R1"))]
    assert {"facing": "30 to room"} in found
    assert {"facing": "30 to wall", "line": "back"} in found
    assert {"facing": "down", "channel": "slim-12"} not in found  # white-24-10 is 10 mm wide
    assert {"facing": "down", "channel": "surface-17"} in found


def test_the_edge_is_for_shelves():
    def lines(**how: str) -> set[str]:
        found = whole(light_options(one_bar(A1=how), OWN, "R1"))
        return {set_by(one)["line"] for one in found if "line" in set_by(one)}

    assert lines() == {"middle", "back"}
    assert lines(kind="shelf") == {"middle", "back", "edge"}


def test_strips_that_fit_and_covers_that_spread_are_tried_as_it_hangs_where_light_is_enough():
    assert not lacks_light(plan_job(one_bar()), "R1")
    alone = [set_by(one) for one in whole(light_options(one_bar(), OWN, "R1"))]
    strips = {one["strip"] for one in alone if one.keys() == {"strip"}}
    assert strips == {
        strip.id
        for strip in bundled_catalogue().strips
        if (strip.volts, strip.channels) == (24, 1) and strip.id != "white-24-10"
    }
    assert {one["diffuser"] for one in alone if "diffuser" in one} == {"satin-17"}


def test_a_strip_that_its_channel_does_not_take_comes_with_the_narrowest_that_does():
    found = whole(
        light_options(one_bar(R1={"channel": "slim-12", "strip": "line-24-10"}), OWN, "R1")
    )
    channels = {one["strip"]: one.get("channel") for one in map(set_by, found) if "strip" in one}
    # slim-12 takes 8 mm and 10 W a metre; surface-17 is the narrowest of the others.
    assert channels == dict.fromkeys(
        ["white-24-10", "white-24-14", "fine-24-10", "even-24-10", "boost-24-10"], "surface-17"
    )


def test_where_light_is_short_strips_and_covers_are_tried_at_the_best_line_and_facing():
    job = dim(R1={"line": "back"})
    found = whole(light_options(job, OWN, "R1"))
    turned = [one for one in found if {"strip", "diffuser"}.isdisjoint(set_by(one))]
    lux = {average(plan_job(one.job), "R1"): set_by(one) for one in turned}
    lux[average(plan_job(job), "R1")] = {}
    best = lux[max(lux)]  # none is enough: the most light counts
    more = [set_by(one) for one in found if one not in turned]
    assert more
    assert best
    assert all({**one, **best} == one for one in more)


def test_what_brings_a_stop_comes_last_however_bright_it_is():
    small = {"supplies": [part("supplies", "small", watts=12)]}
    job = dim(S1={"part": "small"}, parts=small)
    assert not plan_job(job).count("stop")
    found = whole(light_options(job, OWN, "R1"))
    assert found[-1].choice == "strip: white-24-14"  # 12.2 W
    stops = [bool(plan_job(one.job).count("stop")) for one in found]
    assert stops[-1]
    assert stops == sorted(stops)
    lux = [average(plan_job(one.job), "R1") for one in found]
    assert max(lux) == lux[stops.index(True)]


def test_what_a_change_puts_right_and_what_it_brings_is_said_in_words():
    job = one_bar(allowances={"worktop_lux": 400})
    assert lacks_light(plan_job(job), "R1")
    found = {one.choice: one for one in whole(light_options(job, OWN, "R1"))}
    assert "puts right: too dark" in found["strip: white-24-14"].reasons
    dark = plan_job(one_bar())
    assert not lacks_light(dark, "R1")
    back = {one.choice: one for one in whole(light_options(one_bar(), OWN, "R1"))}
    (worst,) = [one for one in back.values() if set_by(one).items() >= {
        "line": "back", "facing": "45 to wall"}.items()]  # fmt: skip
    assert any(reason.startswith("brings: too dark") for reason in worst.reasons)
    assert "leaves the front of the top darker" in worst.reasons
    assert "throws on the splashback" in worst.reasons


def test_a_finer_strip_says_what_more_of_it_is_lit():
    job = one_bar(A1={"opening": [919], "width": 919})
    (fine,) = [
        one for one in whole(light_options(job, OWN, "R1")) if one.choice == "strip: fine-24-10"
    ]
    assert "lit 875 mm in place of 850 mm" in fine.reasons


@pytest.mark.parametrize("short", [True, False])
def test_what_is_better_comes_first_only_where_light_is_short(short):
    job = dim() if short else one_bar()
    found = options_for(job, OWN, "run", "R1")
    assert [one.taken for one in found] == [True, *[False] * (len(found) - 1)]
    better = {one.choice for one in whole(light_options(job, OWN, "R1"))}
    inside = [one.choice in better for one in found[1:]]
    assert inside == sorted(inside, reverse=short)
    assert len({one.choice for one in found}) == len(found)


def test_a_rooms_own_work_decides_what_is_enough():
    older = {
        one.choice: one
        for one in whole(light_options(one_bar(K={"work": "older eyes"}), OWN, "R1"))
    }
    assert "under 1000 lx" in older["strip: white-24-14"].reasons[0]


def test_a_run_that_lights_no_worktop_still_has_its_lines():
    low = one_bar(A1={"bottom_height": 800})
    assert not plan_job(low).lights
    found = {one.choice: one.gives for one in whole(light_options(low, OWN, "R1"))}
    assert found["line: back"].startswith("no light on what is used there, costs ")
    assert not any("strip" in choice for choice in found)


def test_no_more_than_some_25_plans_are_made_of_a_run_of_the_catalogue():
    assert len(whole(light_options(dim(), OWN, "R1"))) <= 25


@pytest.mark.property
@quick(12)
@given(any_job())
def test_any_job_has_its_lights_and_each_leaves_a_valid_job(job):
    for run in job.runs[:2]:
        for one in whole(light_options(job, OWN, run.id)):
            assert one.choice.isprintable()
            Job.model_validate(one.job.model_dump(by_alias=True))
    assert whole(light_options(job, OWN, "no")) == ()

"""What the eye meets, in words."""

import pytest
from hypothesis import given
from jobs import QUICK, any_job, obstacle, one_bar, part, planned, row

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.blocks.seen import dimmed_words, what_is_seen, white_words
from pelmet.model.told.blocks.switching import switching_words

OPEN = {"obstacles": [obstacle("O1", 3000, 0, "open side")]}


def text(job: Job) -> str:
    return " ".join(what_is_seen(plan_job(job)))


def test_each_run_is_told_with_its_dots_image_seat_and_white():
    told = text(one_bar(K={"worktop_finish": "polished"}, A1={"lip": 0}, add=OPEN))
    assert "R1: points of light show through the cover, 21.8 % uneven from LED to LED." in told
    assert "R1: the polished top mirrors it, 510 mm from the wall, 12.9 times as bright" in told
    assert "can be looked into from a seat across O1; a lip 16 mm deep hides it" in told
    assert "R1: 3000 K, warm white; Ra 90, R9 55: good colours, good red." in told


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({"R1": {"strip": "line-24-10"}}, "one even line, without dots"),
        ({"R1": {"diffuser": "clear-17"}}, "the cover is clear: each point of light shows"),
        ({"allowances": {"visible_dots": 30}}, "no points of light show"),
        ({"K": {"worktop_depth": 400}, "allowances": {"eye_away": 450}}, "it would lie beyond it"),
        ({"A1": {"lip": 200}}, "the lip hides it"),
        ({"add": OPEN}, "cannot be seen from a seat across O1"),
        ({"A1": {"bottom_height": 900}}, "no mirror image in the worktop, for who stands"),
        ({"R1": {"channel": "nothing"}}, "not known"),
        (
            {"K": {"worktop_finish": "matt"}},
            "the matt top shows no image of it, at most a blur 510 mm",
        ),
        ({"K": {"worktop_finish": "satin"}}, "a soft gleam of it lies on the satin top, 510 mm"),
    ],
)
def test_what_is_not_seen_is_said_to_be_so(how, words):
    assert words in text(one_bar(**how))


def test_runs_seen_together_are_told_once():
    job = row(600, 600, R1={"cabinets": ["A1"]},
              add={"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1"}]})  # fmt: skip
    assert text(job).count("R1 R2: seen together, so of one batch.") == 1
    assert "seen together" not in text(one_bar())


def test_a_job_without_runs_has_nothing_to_see():
    assert what_is_seen(plan_job(Job())) == ()


def test_dim_levels_are_told_once_and_only_where_there_is_a_dimmer():
    def told(**how) -> str:
        return " ".join(switching_words(planned(**how)))

    assert "Dimmed" not in told()
    assert told(L1={"dimmer": "dimmer-5"}).count("Dimmed") == 1


@pytest.mark.cross_check
def test_dim_levels_follow_the_root_and_the_cube_root():
    for level in (50, 25, 10):
        share = level / 100
        square, cube = 100 * share**0.5, 116 * share ** (1 / 3) - 16
        assert f"{level} % like {square:.0f} % ({cube:.0f} %)" in dimmed_words()


def test_whites_are_named_and_what_is_not_known_is_asked_for():
    def words(**changes: object) -> str:
        plan = planned(R1={"strip": "mine"}, parts={"strips": [part("strips", "mine", **changes)]})
        return white_words(plan.sights[0].strip, "colours")

    assert words(kelvin=4000) == "4000 K, neutral white; Ra not said: ask for it"
    assert "red not said: ask for R9" in words(cri=85)
    assert words(channels=2, kelvin=3500).startswith("tunable about 3500 K")
    ends = {"channels": 2, "kelvin": 4000, "warm_kelvin": 2700, "cool_kelvin": 6500}
    assert "tunable from 2700 to 6500 K; as much light of both gives about 39" in words(**ends)
    assert "pinker" in words(**ends)
    assert "pinker" not in words(**{**ends, "kelvin": 3500, "cool_kelvin": 4000})


@pytest.mark.property
@QUICK
@given(any_job())
def test_every_run_of_any_job_is_told(job):
    plan = plan_job(job)
    told = [sentence.partition(":")[0].split() for sentence in what_is_seen(plan)]
    assert {run for runs in told for run in runs} >= {seen.run for seen in plan.sights}

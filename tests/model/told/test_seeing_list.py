"""What the eye meets, in words."""

import pytest
from hypothesis import given
from jobs import QUICK, any_job, obstacle, one_bar, part, planned

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.seeing_list import dim_words, seeing_list, white_words
from pelmet.model.told.words import WIDTH

OPEN = {"obstacles": [obstacle("O1", 3000, 0, "open side")]}


def text(job: Job) -> str:
    return " ".join(" ".join(seeing_list(plan_job(job))).split())


def test_each_run_is_told_with_its_dots_image_seat_and_white():
    told = text(one_bar(K={"worktop_finish": "polished"}, A1={"lip": 0}, add=OPEN))
    assert "dots 21.8 % uneven from LED to LED: they show" in told
    assert "image 510 mm from the wall in the polished top, 12.9 times the top's own" in told
    assert "in sight from a seat across O1; a lip 16 mm deep hides it" in told
    assert "white 3000 K, warm white; Ra 90, R9 55: good colours, good red" in told


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ({"R1": {"strip": "line-24-10"}}, "none: one line of phosphor"),
        ({"R1": {"diffuser": "clear-17"}}, "the cover is clear: they show"),
        ({"allowances": {"visible_dots": 30}}, "they do not show"),
        ({"K": {"worktop_depth": 400}, "allowances": {"eye_away": 450}}, "beyond the top"),
        ({"A1": {"lip": 200}}, "hidden by the lip"),
        ({"add": OPEN}, "hidden from a seat across O1"),
        ({"A1": {"bottom_height": 900}}, "none for a standing eye"),
        ({"R1": {"channel": "nothing"}}, "not known"),
    ],
)
def test_what_is_not_seen_is_said_to_be_so(how, words):
    assert words in text(one_bar(**how))


def test_a_job_without_runs_says_so():
    assert seeing_list(plan_job(Job())) == ("no run",)


def test_dim_levels_are_told_once_and_only_where_there_is_a_dimmer():
    assert "Dimmed" not in text(one_bar())
    assert text(one_bar(L1={"dimmer": "dimmer-5"})).count("Dimmed") == 1


@pytest.mark.cross_check
def test_dim_levels_follow_the_root_and_the_cube_root():
    for level in (50, 25, 10):
        share = level / 100
        square, cube = 100 * share**0.5, 116 * share ** (1 / 3) - 16
        assert f"{level} % of the light like {square:.0f} ({cube:.0f})" in dim_words()


def test_whites_are_named_and_what_is_not_known_is_asked_for():
    def words(**changes: object) -> str:
        plan = planned(R1={"strip": "mine"}, parts={"strips": [part("strips", "mine", **changes)]})
        return white_words(plan.seen[0].strip)

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
def test_any_job_is_told_in_lines_of_plain_ascii(job):
    lines = seeing_list(plan_job(job))
    assert lines
    assert all(line.isascii() and len(line) <= WIDTH for line in lines)

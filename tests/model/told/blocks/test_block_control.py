"""Control: zones, dimmers by channel, and what to know of them."""

import pytest
from hypothesis import given
from jobs import QUICK, part
from papers import words
from strategies import jobs
from zoned import IN_Z1, TUNABLE, Z1, Z2, two_legs

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.blocks.control import control_blocks
from pelmet.model.told.paper import Grid


def text(job: Job) -> str:
    return words(control_blocks(plan_job(job)))


def rows(job: Job, name: str) -> list[tuple[str, ...]]:
    blocks = control_blocks(plan_job(job))
    return [row for each in blocks if isinstance(each, Grid) and each.name == name
            for row in each.rows]  # fmt: skip


def test_without_zones_and_dimmers_there_is_nothing_to_list():
    for job in (two_legs(), Job()):
        assert text(job) == "There is no zone and no dimmer."


def test_a_zone_is_told_with_its_switch_side_legs_watts_and_amps():
    job = two_legs(Z1 | {"switch": "door-switch-3"}, Z2, **IN_Z1)
    # 2 x 0.85 m of 9.6 W/m; at 24 V that is 0.68 A, and hot some 8 % more.
    assert rows(job, "zones") == [
        ("Z1", "Worktop", "door-switch-3", "low voltage", "16.3", "0.74", "L1 L2"),
        ("Z2", "Pantry", "none", "-", "0", "-", "none"),
    ]


def test_a_mains_switch_is_told_as_such():
    assert rows(two_legs(Z1 | {"switch": "wall-switch"}, **IN_Z1), "zones")[0][3] == "mains"


def test_each_channel_is_told_with_its_amps_against_what_it_may_carry():
    dim = {"dimmer": "dimmer-2x5", "zone": "Z1"}
    assert rows(two_legs(Z1, L1=dim, L2=dim), "dimmers") == [
        ("1", "dimmer-2x5", "1 of 2", "0.37", "5", "L1, Z1"),
        ("1", "dimmer-2x5", "2 of 2", "0.37", "5", "L2, Z1"),
    ]


def test_dimmers_are_counted_part_by_part():
    job = two_legs(L1={"dimmer": "dimmer-5"}, L2={"dimmer": "dimmer-5"},
                   S1={"dimmer": "mains-dimmer-150"})  # fmt: skip
    assert "To get: 1 x mains-dimmer-150, 2 x dimmer-5." in text(job)
    numbers = [row[:2] for row in rows(job, "dimmers")]
    assert ("1", "mains-dimmer-150") in numbers
    assert ("3", "dimmer-5") in numbers
    assert "S1, before the supply" in text(job)


def test_it_says_that_amps_are_those_at_full_where_there_is_a_dimmer():
    note = "Amps flow while the light is on, at full"
    assert note in text(two_legs(L1={"dimmer": "dimmer-5"}))
    assert note not in text(two_legs(Z1, **IN_Z1))


def test_tunable_white_is_told_as_two_channels_over_one_conductor():
    job = two_legs(R1={"strip": "tunable"}, L1={"dimmer": "dimmer-2x5", "cable": "round-3x0.75"},
                   parts={"strips": [TUNABLE]})  # fmt: skip
    assert "Tunable white on L1: warm and cool have a channel each" in text(job)
    assert "Tunable white" not in text(two_legs(L1={"dimmer": "dimmer-2x5"}))


@pytest.mark.parametrize(
    ("hertz", "says"),
    [
        (2000, "mine switches at 2000 Hz: pulses are low risk from 1250 Hz up"),
        (1250, "mine switches at 1250 Hz: pulses are low risk from 1250 Hz up"),
        (1249, "mine switches at 1249 Hz: too slow; pulses are low risk from 1250 Hz up"),
        (None, "mine: how often it switches is not known; pulses are low risk from 1250 Hz up"),
    ],
)
def test_how_often_a_dimmer_switches_is_told_against_the_low_risk_line(hertz, says):
    job = two_legs(L1={"dimmer": "mine"}, L2={"dimmer": "mine"},
                   parts={"dimmers": [part("dimmers", "mine", pwm_hertz=hertz)]})  # fmt: skip
    assert text(job).count(says) == 1
    assert "IEEE Std 1789-2015, from memory" in text(job)


def test_no_line_on_pulses_is_told_of_a_mains_dimmer():
    assert "1789" not in text(two_legs(S1={"dimmer": "mains-dimmer-150"}))


def test_the_least_load_of_a_dimmer_is_told_with_what_it_gets():
    assert "mains-dimmer-150 works from 10 W up; S1 gives it 16." in text(
        two_legs(S1={"dimmer": "mains-dimmer-150"})
    )


def test_what_is_not_known_has_a_dash():
    job = two_legs(Z1, L1={"dimmer": "dimmer-5", "zone": "Z1", "cable": "no-such-cable"})
    assert rows(job, "zones")[0][-2:] == ("-", "L1")
    assert rows(job, "dimmers") == [("1", "dimmer-5", "1 of 1", "-", "5", "L1, Z1")]


@pytest.mark.property
@QUICK
@given(jobs())
def test_any_job_has_every_zone_once(job):
    assert [row[0] for row in rows(job, "zones")] == [zone.id for zone in job.zones]
    assert text(job)

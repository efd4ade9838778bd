"""Readings that must add up and are off by what any tape is off by hold nothing up."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, one_bar, row

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job

OFF = st.sampled_from([-1, 0, 1])  # [mm] what one reading is off by; three of them make a sum


def wall_of(cabinets: int, wall: int, off: list[int]) -> Job:
    """Flush cabinets of 600 from corner to corner, each of its readings off by so much."""
    places = {
        f"A{n}": {
            "at": max(600 * (n - 1) + off[3 * n - 3], 0),
            "width": 600 + off[3 * n - 2],
            "opening": [600 + off[3 * n - 1]],
        }
        for n in range(1, cabinets + 1)
    }
    changes = {**places, "A": {"length": wall}}
    return row(*[600] * cabinets, at=0, underside="flush", **changes)


def gravest(job: Job) -> set[tuple[str, str]]:
    return {(one.level, one.code) for one in plan_job(job).findings if one.level != "ask"}


@pytest.mark.regression
def test_a_wall_read_one_mm_short_is_no_stop():
    exact, short = (wall_of(5, wall, [0] * 15) for wall in (3000, 2999))
    assert gravest(short) == gravest(exact)


@pytest.mark.property
@QUICK
@given(st.integers(1, 4), st.lists(OFF, min_size=12, max_size=12), OFF)
def test_readings_a_mm_off_say_nothing_that_the_true_ones_do_not(cabinets, off, wall):
    exact = wall_of(cabinets, 600 * cabinets, [0] * 12)
    found = gravest(wall_of(cabinets, 600 * cabinets + wall, off))
    assert found <= gravest(exact) | {("warn", "too-dark"), ("warn", "uneven")}


@pytest.mark.property
@pytest.mark.parametrize("field", ["wall", "next", "opening"])
def test_the_more_they_are_off_the_graver_it_is(field):
    def level(off: Decimal) -> int:
        jobs = {
            "wall": one_bar(A1={"at": 2117 + off}),
            "next": row(600, 600, A2={"at": 1100 - off}),
            "opening": one_bar(A1={"opening": [883 + off]}),
        }
        codes = {"off-the-wall", "cabinets-overlap", "opening-wider-than-cabinet"}
        found = [one.level for one in plan_job(jobs[field]).findings if one.code in codes]
        return max((["warn", "stop"].index(each) + 1 for each in found), default=0)

    levels = [level(Decimal(off) / 2) for off in range(-4, 40)]
    assert levels == sorted(levels)
    assert set(levels) == {0, 1, 2}

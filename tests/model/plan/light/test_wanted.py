"""What is wanted on a plane, the room's own light beside it, and what a meter reads."""

from random import Random

import numpy as np
import pytest
from jobs import one_bar, planned

from pelmet.model.job.allowances import Allowances
from pelmet.model.plan.light.wanted import judge_light, meter_lux
from pelmet.model.plan.stages import plan_job


@pytest.mark.cross_check
def test_the_spread_of_a_meters_reading_is_that_of_many_jobs():
    """Strips, covers and upkeep drawn at random, each by its own spread taken for two sigma."""
    allowances = Allowances()
    draw = np.random.default_rng(4)
    lumens, cover, upkeep = (1 + 0.05 * draw.standard_normal(400_000) for _ in range(3))
    found = meter_lux(389, allowances)
    new = 389 / 0.8
    assert found.new == pytest.approx(new)
    for kept, factor, ends in (
        (new, lumens * cover, found.new_range),
        (389, lumens * cover * upkeep, found.kept_range),
    ):
        sigma = float(np.std(kept * factor))
        assert ends == pytest.approx((kept - 2 * sigma, kept + 2 * sigma), rel=0.01)


@pytest.mark.property
def test_more_spread_is_never_a_narrower_range():
    draw = Random(3)
    for _ in range(200):
        field = draw.choice(["lumens_spread", "cover_spread", "upkeep_spread"])
        less, more = sorted(draw.uniform(0, 60) for _ in range(2))
        tight, loose = (
            meter_lux(300, Allowances.model_validate({field: round(each, 3)}))
            for each in (less, more)
        )
        assert loose.kept_range[0] <= tight.kept_range[0] <= 300 <= tight.kept_range[1]
        assert tight.kept_range[1] <= loose.kept_range[1]
        assert (loose.new_range == tight.new_range) == (field == "upkeep_spread")


@pytest.mark.regression
def test_light_of_the_room_counts_towards_what_is_wanted_and_is_told_apart():
    room = {"work": "preparation"}
    dark = plan_job(one_bar(K=room))
    lit = plan_job(one_bar(K={**room, "other_lux": 200}))
    assert dark.lights[0].lux == lit.lights[0].lux
    judged = judge_light(lit.lights[0], lit.job.rooms[0], lit.job.allowances)
    average, least = (float(each.value) for each in (lit.lights[0].average, lit.lights[0].least))
    assert judged.average == pytest.approx(average + 200)
    assert judged.evenness == pytest.approx((least + 200) / (average + 200))
    assert "too-dark" in {one.code for one in dark.findings}
    assert "too-dark" not in {one.code for one in lit.findings}
    (told,) = (
        one for one in planned(K={"work": "older eyes", "other_lux": 200}).findings
        if one.code == "too-dark"
    )  # fmt: skip
    assert "329 lx kept up (new: 412) and 200 of the room on average below R1" in told.says


def test_light_read_on_the_worktop_does_not_count_on_a_shelf():
    board = {"id": "A2", "wall": "A", "kind": "shelf", "at": 500, "width": 883, "depth": 250,
             "bottom_height": 1100, "height": 25}  # fmt: skip
    plan = planned(K={"other_lux": 200}, add={"cabinets": [board]})
    others = {
        light.plane.use: judge_light(light, plan.job.rooms[0], plan.job.allowances).other
        for light in plan.lights
    }
    assert others == {"shelf": 0, "worktop": 200}

"""Light on the worktop: whole plans against the raw integral of Lambert's cosine law."""

from decimal import Decimal
from math import cos, pi, radians, sin

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import UNHURRIED, one_bar, part, planned, row
from scipy.integrate import quad

from pelmet.model.job.job import Job
from pelmet.model.plan.light import RunLight
from pelmet.model.plan.stages import Plan, plan_job

# One bar, 883 opening from 500 to 1383; 850 lit from 526 to 1376; the channel's light side is
# 1400 - 8 - 910 = 482 above the worktop and, at the front, 320 - 40 - 8.5 = 271.5 from the wall.
LIT = (0.526, 1.376)
ABOVE, OUT, MID_TOP = 0.482, 0.2715, 0.300
USEFUL = 1000 * 0.70


def lambert(
    along: float,
    out: float,
    lit,
    lumens: float,
    degrees: float = 90,
    side: int = 0,
    above: float = ABOVE,
    x: float = OUT,
) -> float:
    """Integrate dE = (F'/pi) cos(off the face) cos(off the vertical) / d2 along the strip."""
    throw = radians(degrees)
    face = np.array([side * cos(throw), 0, -sin(throw)])

    def each(y: float) -> float:
        ray = np.array([out - x, along - y, -above])
        square = float(ray @ ray)
        leaving = float(face @ ray) / square**0.5
        arriving = above / square**0.5
        return max(leaving, 0) * arriving / square

    return float(lumens / pi * quad(each, *lit, epsabs=1e-9)[0])


def light(**how) -> RunLight:
    (only,) = planned(**how).worked.lights
    return only


def test_useful_lumens_are_the_strips_less_what_the_diffuser_keeps():
    lumens, *_ = light().least.inputs
    assert (lumens.value, lumens.unit) == (pytest.approx(700), "lm/m")
    clear, *_ = light(R1={"diffuser": "clear-17"}).least.inputs
    assert clear.value == pytest.approx(1000 * 0.92)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("facing", "degrees", "side"),
    [
        ("down", 90, 0), ("60 to wall", 60, -1), ("45 to wall", 45, -1), ("30 to wall", 30, -1),
        ("60 to room", 60, 1), ("45 to room", 45, 1), ("30 to room", 30, 1),
    ],
)  # fmt: skip
def test_the_least_lit_spot_has_the_light_lamberts_law_gives_it(facing, degrees, side):
    found = light(R1={"facing": facing})
    assert found.wall == "A"
    law = lambert(found.at / 1000, MID_TOP, LIT, USEFUL, degrees, side)
    assert found.least.value == pytest.approx(law, rel=1e-6)
    for along in np.linspace(0.5, 1.383, 20):
        assert lambert(along, MID_TOP, LIT, USEFUL, degrees, side) >= law * (1 - 1e-9)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("run", "x"), [({"line": "middle"}, 0.160), ({"line": "back"}, 0.030 + 0.0085)]
)
def test_the_line_under_the_cabinet_moves_the_light(run, x):
    found = light(R1=run)
    assert found.least.value == pytest.approx(
        lambert(found.at / 1000, MID_TOP, LIT, USEFUL, x=x), rel=1e-6
    )


@pytest.mark.cross_check
def test_all_runs_at_a_wall_add_up():
    extra = {"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1", "strip": "white-24-14"}]}
    plan = plan_job(row(600, 800, R1={"cabinets": ["A1"]}, add=extra))
    lit = [(float(b.lit_left) / 1000, float(b.lit_right) / 1000) for b in plan.worked.bars]
    for found in plan.worked.lights:
        law = sum(
            lambert(found.at / 1000, MID_TOP, one, lumens)
            for one, lumens in zip(lit, (700, 1450 * 0.7), strict=True)
        )
        assert found.least.value == pytest.approx(law, rel=1e-6)


def test_a_run_at_another_wall_adds_nothing():
    cabinet = {"id": "B1", "wall": "B", "at": 0, "width": 600, "depth": 320, "bottom_height": 1400}
    extra = {
        "walls": [{"id": "B", "room": "K", "length": 3000}],
        "cabinets": [cabinet],
        "runs": [{"id": "R2", "cabinets": ["B1"], "leg": "L1"}],
    }
    first = plan_job(one_bar(add=extra)).worked.lights[0]
    assert first == light()


# --- Where the least-lit spot is ------------------------------------------------------------------


@pytest.mark.parametrize(
    ("run", "at"),
    [
        ({"feed_end": "left", "dark_rest": "feed end"}, 500),
        ({"feed_end": "right", "dark_rest": "feed end"}, 1383),
        ({"feed_end": "left", "dark_rest": "far end", "strip": "even-24-10"}, 1383),
    ],
)
def test_the_least_lit_spot_is_below_the_dark_end(run, at):
    assert light(R1=run).at == pytest.approx(at)


def test_a_dark_bay_between_two_lit_ones_is_the_least_lit():
    # A 1200 bay out of the run, as below a hood: dark in its middle, not at the ends.
    job = row(900, 1200, 900, R1={"cabinets": ["A1", "A3"]})
    (found,) = plan_job(job).worked.lights
    assert found.at == pytest.approx(500 + 900 + 600, abs=60)


def test_the_least_lit_spot_of_the_job_is_the_least_of_its_runs():
    extra = {"runs": [{"id": "R2", "cabinets": ["A3"], "leg": "L1", "diffuser": "clear-17"}]}
    job = row(600, 3000, 600, R1={"cabinets": ["A1"]}, add=extra)
    worked = plan_job(job).worked
    assert worked.least_lit.run == "R1"
    assert worked.least_lit.least.value == min(one.least.value for one in worked.lights)


# --- What moves the light -------------------------------------------------------------------------


def lux(**how) -> float:
    return float(light(**how).least.value)


def test_twice_the_lumens_are_twice_the_lux():
    strips = [part("strips", name, lumens_per_metre=lumens) for name, lumens in
              (("one", 640), ("two", 1280))]  # fmt: skip
    once, twice = (lux(R1={"strip": name}, parts={"strips": strips}) for name in ("one", "two"))
    assert twice == pytest.approx(2 * once)


def test_half_the_transmission_is_half_the_lux():
    covers = [part("diffusers", f"d{share}", transmission_percent=share) for share in (40, 80, 0)]
    how = {"parts": {"diffusers": covers}}
    assert lux(R1={"diffuser": "d80"}, **how) == pytest.approx(
        2 * lux(R1={"diffuser": "d40"}, **how)
    )
    assert lux(R1={"diffuser": "d0"}, **how) == 0


@pytest.mark.property
@UNHURRIED
@given(st.integers(1200, 2000))
def test_a_worktop_and_a_cabinet_that_rise_together_change_nothing(bottom):
    how = {"A1": {"bottom_height": bottom}, "K": {"worktop_height": bottom - 490}}
    assert lux(**how) == pytest.approx(lux())


def test_the_light_is_taken_mid_worktop():
    # At the line itself, straight below, there is more than mid worktop; far out, less.
    below = lux(K={"worktop_depth": Decimal(543)})
    assert below == pytest.approx(lambert(0.5, OUT, LIT, USEFUL), rel=1e-6)
    assert lux(K={"worktop_depth": 1200}) < lux() < below


# --- No light to reckon ---------------------------------------------------------------------------


@pytest.mark.parametrize(
    "how",
    [
        {"R1": {"strip": "no"}},
        {"R1": {"diffuser": "no"}},
        {"R1": {"channel": "no"}},
        {"A1": {"bottom_height": 918}},
        {"A1": {"bottom_height": 600}},
        {"A1": {"opening": [20]}},
        {"drop": ["R1"]},
    ],
    ids=["no strip", "no diffuser", "no channel", "level with the worktop", "under it", "no bar",
         "no run"],
)  # fmt: skip
def test_nothing_is_made_up_where_no_light_falls(how):
    plan: Plan = planned(**how)
    assert plan.worked.lights == ()
    assert plan.worked.least_lit is None


def test_dimmed_or_far_from_its_supply_the_light_is_still_that_of_rated_volts():
    far: Job = one_bar(L1={"length": 50_000})
    assert plan_job(far).worked.lights == (light(),)

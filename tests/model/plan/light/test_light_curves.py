"""A diffuser's measured curve across a bar, in whole plans: against laws and SciPy's integral."""

from collections.abc import Sequence
from math import cos, pi, radians, sin

import pytest
from jobs import one_bar, part
from raw_light import Law, lux_of

from pelmet.model.job.job import Job
from pelmet.model.plan.light.worktop import RunLight
from pelmet.model.plan.stages import plan_job

BARE = {"thermal_percent": 100, "maintenance_percent": 100}


def lambert(psi: float) -> float:
    return max(cos(psi), 0.0)


def leaning(psi: float) -> float:
    """Brighter to the room side."""
    return max(cos(psi), 0.0) * (1 + 0.9 * sin(psi))


def to_the_room(psi: float) -> float:
    """Dark on the wall side."""
    return max(sin(psi), 0.0) * cos(psi) ** 2


def values(law: Law, count: int) -> list[float]:
    """Give a law in percent of its most at equal steps, from the wall side to the room side."""
    found = [law(radians(180 * row / (count - 1) - 90)) for row in range(count)]
    return [min(max(round(100 * each / max(found), 6), 0), 100) for each in found]


def job(curve: Sequence[float] | None, **how: object) -> Job:
    """The one bar with this curve, without lip, ageing or anything that comes off the wall."""
    parts = {
        "diffusers": [part("diffusers", "mine", curve=curve)],
        "channels": [part("channels", "turned", throws=[45])],
    }
    room = {"splashback_percent": 0, **how.pop("K", {})}
    run = {"diffuser": "mine", **how}
    return one_bar(K=room, A1={"lip": 0}, R1=run, parts=parts, allowances=BARE)


def light(curve: Sequence[float] | None, **how: object) -> RunLight:
    (only,) = plan_job(job(curve, **how)).lights
    return only


@pytest.mark.cross_check
@pytest.mark.parametrize("count", [13, 37])
@pytest.mark.parametrize("how", [{}, {"channel": "turned", "facing": "45 to room"}])
def test_a_curve_of_lamberts_law_gives_lamberts_lux_within_what_its_chords_miss(count, how):
    # With steps h, straight lines between values of a cosine fall short of it by 0 to h2/8 of it
    # and by h2/12 of its whole, which is made up again: 0.6 % with 13 values, 0.07 % with 37.
    step = radians(180 / (count - 1))
    exact, found = light(None, **how), light(values(lambert, count), **how)
    assert found.cells == exact.cells
    assert found.lux == pytest.approx(exact.lux, rel=step**2 / 12 * 1.02)
    assert found.lux != pytest.approx(exact.lux, rel=1e-6)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("facing", "tilt"), [("down", 0), ("45 to wall", -pi / 4), ("45 to room", pi / 4)]
)
def test_a_leaning_curve_gives_the_lux_of_scipys_integral_of_its_law(facing, tilt):
    how = {} if facing == "down" else {"channel": "turned", "facing": facing}
    plan = plan_job(job(values(leaning, 181), **how))
    (found,) = plan.lights
    # Steps of a degree: 0.003 % of a cosine, and of the most where the law is near nothing.
    assert found.lux == pytest.approx(lux_of(plan, leaning, tilt), rel=2e-4, abs=0.03)


@pytest.mark.property
def test_a_curve_that_is_dark_on_its_wall_side_lights_nothing_there():
    found = light(values(to_the_room, 37))
    (mount,) = plan_job(job(None)).mounts
    out = float(mount.from_wall.value) / 1000
    sides = [(x > out, lux) for (x, _), lux in zip(found.cells.points, found.lux, strict=True)]
    assert {room for room, _ in sides} == {True, False}
    assert all((lux > 0) == room for room, lux in sides)


@pytest.mark.property
@pytest.mark.parametrize("law", [leaning, to_the_room])
@pytest.mark.parametrize(
    ("facing", "mirrored"), [("down", "down"), ("45 to wall", "45 to room")]
)  # fmt: skip
def test_a_mirrored_curve_gives_the_mirrored_lux(law, facing, mirrored):
    how = {} if facing == "down" else {"channel": "turned"}
    (mount,) = plan_job(job(None, facing=facing, **how)).mounts
    twice = {"worktop_depth": 2 * mount.from_wall.value}  # so that the bar hangs over its middle
    curve = values(law, 37)
    one = light(curve, facing=facing, K=twice, **how)
    other = light(curve[::-1], facing=mirrored, K=twice, **how)
    along = len(one.cells.ys)
    rows = [one.lux[row * along : (row + 1) * along] for row in range(len(one.cells.xs))]
    assert [lux for row in reversed(rows) for lux in row] == pytest.approx(other.lux, rel=1e-9)
    assert one.lux != pytest.approx(other.lux, rel=0.1)


def test_percents_of_another_most_give_the_same_light():
    curve = values(leaning, 37)
    assert light([round(each / 2, 6) for each in curve]).lux == pytest.approx(
        light(curve).lux, rel=1e-6
    )

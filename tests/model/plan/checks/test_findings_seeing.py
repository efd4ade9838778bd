"""Checks on what the eye meets: each fires in one job, and only just not in another."""

import importlib
import warnings
from decimal import Decimal
from math import dist
from typing import Any

import numpy as np
import pytest
from cases import Case, assert_fires, assert_silent, names
from jobs import Fields, obstacle, one_bar, part, row

from pelmet.model.edit.change import set_value
from pelmet.model.job.job import Job
from pelmet.model.plan.checks import bars, seeing
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job

D = Decimal
FINEST = D("0.000001")
OPEN = {"obstacles": [obstacle("O1", 3000, 0, "open side")]}
POLISHED = {"worktop_finish": "polished"}


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in seeing.CHECKS for finding in check(plan)]


def allowed(job: Job, **allowances: Decimal | int) -> Job:
    changed = job.allowances.model_copy(update=allowances)
    return job.model_copy(update={"allowances": changed})


def uneven(job: Job) -> tuple[Decimal, Decimal]:
    """Give what a field holds just below and just above how uneven the first run's diffuser is."""
    dots = D(str(float(plan_job(job).sights[0].dots.value)))
    return dots.quantize(FINEST, "ROUND_DOWN"), dots.quantize(FINEST, "ROUND_UP")


def dotted(job: Job) -> tuple[Job, Job]:
    """Give the job with the least and the most unevenness allowed that show and do not."""
    under, over = uneven(job)
    return allowed(job, visible_dots=under), allowed(job, visible_dots=over)


def strip(item_id: str, **changes: Any) -> Fields:
    return part("strips", item_id, **{"cri": 90, "r9": 50, "colour_steps": 3, **changes})


def pair(one: Fields, other: Fields, **how: Any) -> Job:
    """R1 under A1 and R2 under A2, each of its own strip."""
    return row(
        600, 600,
        R1={"cabinets": ["A1"], "strip": "one"},
        add={"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L1", "strip": "other"}]},
        parts={"strips": [strip("one", **one), strip("other", **other)]},
        **how,
    )  # fmt: skip


def batched(one: str, other: str) -> Job:
    """The pair, of a white that is kept within four steps, from reels of these batches."""
    job = pair({"colour_steps": 4}, {})
    return set_value(set_value(job, "run", "R1", "batch", one), "run", "R2", "batch", other)


def of(**changes: Any) -> Job:
    return one_bar(R1={"strip": "mine"}, parts={"strips": [strip("mine", **changes)]})


SATIN = dotted(one_bar(K={"worktop_finish": "satin"}))
GLOSSY = dotted(one_bar(K=POLISHED))
FROM_SEAT = dotted(one_bar(K={"worktop_finish": "matt"}, A1={"lip": 0}, add=OPEN))
# Of the whole lip that hides R1, 8 mm down and 40 back from the front, from a seat.
LIP = D(str(float(plan_job(one_bar(add=OPEN)).sights[0].hiding_lip.value)))
# A shallow top does not carry the image, from 509.4 mm out; the eye stays where it was.
SHORT = {"K": {**POLISHED, "worktop_depth": 509}, "allowances": {"eye_away": 341}}

CASES = (
    Case("dots-seen", "ask", "run", "R1", "strip", *SATIN, ("dots of R1", "satin", "21.8 %")),
    Case("dots-seen", "warn", "run", "R1", "strip", *GLOSSY, ("polished",)),
    Case("dots-seen", "warn", "run", "R1", "strip", *FROM_SEAT, ("from O1",)),
    Case("dots-seen", "warn", "run", "R1", "diffuser",
         one_bar(K=POLISHED, R1={"diffuser": "clear-17"}),
         one_bar(K=POLISHED, R1={"diffuser": "clear-17", "strip": "line-24-10"}), ("100 %",)),
    Case("dots-seen", "ask", "run", "R1", "strip",
         one_bar(K={"worktop_finish": "satin"}), one_bar()),
    Case("strip-mirrored", "warn", "run", "R1", "diffuser", one_bar(K=POLISHED), one_bar(**SHORT),
         ("509 mm from the wall", "12.9 times", "444 mm from the middle", "372 mm from the back",
          "still in sight")),
    Case("strip-mirrored", "warn", "run", "R1", "diffuser", one_bar(K=POLISHED), one_bar()),
    # The line is 271.5 out and 482 up, the eye 850 and 690: at the front of 320 the ray is
    # 482 - 48.5 / 578.5 x 1172 up, which is 106.3 below the underside.
    Case("strip-mirrored", "warn", "run", "R1", "diffuser",
         one_bar(K=POLISHED, A1={"lip": 106}), one_bar(K=POLISHED, A1={"lip": 107})),
    Case("strip-in-sight", "warn", "run", "R1", "line",
         one_bar(add=OPEN, A1={"lip": LIP.quantize(FINEST, "ROUND_DOWN")}),
         one_bar(add=OPEN, A1={"lip": LIP.quantize(FINEST, "ROUND_UP")}), ("O1", "15.8 mm")),
    Case("strip-in-sight", "warn", "run", "R1", "line", one_bar(add=OPEN, A1={"lip": 0}),
         one_bar(A1={"lip": 0})),
    # From 3000 K it is 2.9 steps to 3080 K, 3.3 to 3090 K.
    Case("whites-apart", "warn", "run", "R2", "strip", pair({}, {"kelvin": 3090}),
         pair({}, {"kelvin": 3080}), ("3 steps",)),
    Case("whites-apart", "warn", "run", "R2", "strip", pair({"kelvin": 2700}, {"kelvin": 3000}),
         pair({"kelvin": 2700}, {"kelvin": 2700}), ("3000 K", "R1 of 2700 K", "noticed")),
    Case("whites-apart", "warn", "run", "R2", "strip", pair({"kelvin": 2700}, {"kelvin": 3000}),
         pair({"kelvin": 2700}, {"kelvin": 3000}, A2={"bottom_height": 1401})),
    Case("whites-apart", "warn", "run", "R2", "strip", pair({"kelvin": 2700}, {"kelvin": 3000}),
         pair({"kelvin": 2700}, {"kelvin": 3000, "channels": 2})),
    Case("white-spread", "ask", "run", "R1", "strip", pair({"colour_steps": 4}, {}), pair({}, {}),
         ("R1 R2", "3000 K")),
    Case("white-spread", "ask", "run", "R1", "strip", pair({}, {"colour_steps": None}),
         of(colour_steps=None)),
    Case("batches-apart", "warn", "run", "R2", "batch",
         batched("x1", "x2"), batched("x1", "x1"), ("x1", "x2")),
    Case("renders-poorly", "ask", "run", "R1", "strip", of(cri=79), of(cri=80), ("mine Ra 79",)),
    Case("renders-poorly", "ask", "run", "R1", "strip", of(r9=-1), of(r9=0), ("R9 -1",)),
    Case("renders-poorly", "ask", "run", "R1", "strip", of(cri=79), of(cri=None, r9=None)),
)  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_the_limit_is_just_met(case):
    assert_silent(found, case)


def test_a_whole_job_is_asked_once_for_all_its_runs():
    both = pair({"pitch": 20, "cri": 70, "colour_steps": 5}, {"pitch": 20, "cri": 70},
                K={"worktop_finish": "satin"})  # fmt: skip
    asked = [one for one in found(both) if one.level == "ask"]
    assert sorted(one.code for one in asked) == ["dots-seen", "renders-poorly", "white-spread"]
    assert all("R1 R2" in one.says for one in asked)


def black_body(kelvin: int) -> tuple[float, float]:
    """Give u'v' of Planck's law by colour-science, which warns on import that it cannot plot."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        science = importlib.import_module("colour")
        u, v = science.temperature.CCT_to_uv_Ohno2013(np.array([kelvin, 0.0]))
    return float(u), 1.5 * float(v)


@pytest.mark.cross_check
def test_steps_between_whites_are_those_of_the_exact_locus():
    told = found(pair({"kelvin": 2700}, {"kelvin": 3000}))
    (one,) = [each for each in told if each.code == "whites-apart"]
    assert f": {dist(black_body(2700), black_body(3000)) / 0.0011:.0f} steps apart" in one.says


def test_one_view_into_a_channel_is_told_once_with_the_lip_that_hides_it():
    job = one_bar(R1={"channel": "corner-16", "facing": "45 to room"}, A1={"lip": 0}, add=OPEN)
    plan = plan_job(job)
    assert "strip-in-sight" not in {one.code for one in found(job)}
    (told,) = bars.open_side_seen(plan)
    (one,) = plan.sights
    assert f"a lip {float(one.hiding_lip.value):.1f} mm deep" in told.says


def test_no_dotless_strip_is_offered_where_there_is_one():
    def remedy(own: str) -> str:
        told = found(one_bar(K=POLISHED, R1={"strip": own}))
        return next(each.remedy for each in told if each.code == "strip-mirrored")

    assert "strip without dots" in remedy("white-24-10")
    assert "strip without dots" not in remedy("line-24-10")


def test_another_throw_is_offered_only_where_it_hides_the_image():
    def remedy(line: str) -> str:
        job = one_bar(K=POLISHED, R1={"line": line})
        (one,) = [each for each in found(job) if each.code == "strip-mirrored"]
        return one.remedy

    assert "to wall" not in remedy("front")
    assert "30 to wall hides it" in remedy("back")

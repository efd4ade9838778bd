"""Other cables for a leg, and a leg for each run: each is what planning it gives."""

import pytest
from choices import KITCHEN, OWN, three_runs
from hypothesis import given, settings
from jobs import QUICK, any_job, one_bar, part
from strategies import jobs

from pelmet.model.edit.options import Option, options_for
from pelmet.model.edit.options.fixes import fixes
from pelmet.model.job.catalogue import bundled_catalogue
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job


def volts(option: Option) -> float:
    return float(option.gives.split()[0])


def cables(job: Job, leg: str) -> list[Option]:
    return [one for one in fixes(job, OWN, leg) if one.choice.startswith("cable: ")]


def test_every_other_cable_is_tried_the_thinnest_first():
    found = cables(one_bar(), "L1")
    named = [one.choice.removeprefix("cable: ") for one in found]
    assert sorted(named) == sorted(
        cable.id for cable in bundled_catalogue().cables if cable.id != "flat-2x0.75"
    )
    assert [volts(one) for one in found] == sorted(volts(one) for one in found)


@pytest.mark.cross_check
@pytest.mark.parametrize(
    ("job", "leg"), [(KITCHEN, "L3"), (KITCHEN, "L1"), (one_bar(), "L1"), (three_runs(), "L1")]
)
def test_an_option_gives_the_worst_volts_of_its_legs_and_the_verdict(job, leg):
    for one in fixes(job, OWN, leg):
        assert one.job is not None
        plan = plan_job(one.job)
        fresh = {each.id for each in one.job.legs} - {each.id for each in job.legs}
        own = [each for each in plan.worked.circuits.legs if each.leg.id in {leg, *fresh}]
        assert volts(one) == round(min(float(each.worst.value) for each in own), 2)
        drop = max(float(each.drop.value) for each in own)
        assert (": within 3 %" in one.gives) == (drop <= 3)


def test_a_longer_lead_takes_a_thicker_cable_to_stay_within():
    # 40 m of lead: thin ones are over 3 %, the thickest in the catalogue is within.
    found = cables(one_bar(L1={"length": 40_000}), "L1")
    assert ": over 3 %" in found[0].gives
    assert ": within 3 %" in found[-1].gives


def test_a_cable_too_thin_for_the_amps_says_so():
    thin = part("cables", "thin", mm2=None, conductor_class=None, awg=28, amps="0.2")
    job = one_bar(parts={"cables": [thin | {"amps": 0.2}]})
    (one,) = [one for one in cables(job, "L1") if one.choice == "cable: thin"]
    assert any("too thin" in reason for reason in one.reasons)
    assert not any(
        "too thin" in reason for each in cables(one_bar(), "L1") for reason in each.reasons
    )


def test_a_leg_for_each_run_leaves_all_fed_and_nothing_else_changed():
    few = {"supplies": [part("supplies", "supply-24-60", terminals=2)]}
    job = three_runs(parts=few)
    (one,) = [one for one in fixes(job, OWN, "L1") if one.choice == "a leg for each run"]
    assert one.job is not None
    legs = [run.leg for run in one.job.runs]
    assert len(set(legs)) == len(legs) == 3
    assert one.job.cabinets == job.cabinets
    assert {leg.supply for leg in one.job.legs} == {"S1"}
    assert any("terminals for 2" in reason for reason in one.reasons)


def test_one_run_is_not_split():
    assert all(one.choice != "a leg for each run" for one in fixes(one_bar(), OWN, "L1"))


def test_fixes_follow_the_wirings():
    found = [one.choice for one in options_for(KITCHEN, OWN, "leg", "L3")]
    assert set(found[:3]) == {"branched", "chained", "home run"}
    assert found[-1] == "a leg for each run"
    assert fixes(KITCHEN, OWN, "no") == ()


@pytest.mark.property
@settings(QUICK, max_examples=30)
@given(jobs() | any_job())
def test_any_job_leaves_a_valid_job_whatever_is_taken(job):
    for leg in job.legs[:2]:
        for one in fixes(job, OWN, leg.id):
            assert one.job is not None
            assert Job.model_validate(one.job.model_dump(by_alias=True)) == one.job

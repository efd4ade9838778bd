"""What an option would make void of the papers that somebody holds."""

from feeds import OWN, kitchen

from pelmet.model.edit.giving import give_out
from pelmet.model.edit.options.feeding import feeding_options
from pelmet.model.edit.options.option import Option, whole
from pelmet.model.job.job import Job
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.papers.sheets import mark_of, void_papers
from pelmet.model.versions.voiding import naming_void

NAMED = "papers it makes void: "


def given_out(job: Job) -> Job:
    """Give out the wiring schedule and the survey."""
    folder = make_folder(plan_job(job))
    return give_out(job, {name: mark_of(folder, name) for name in ("wiring", "survey")})


def named(job: Job) -> list[Option]:
    found = whole(naming_void(feeding_options(job, OWN, "R4"), job, OWN))
    return [each for each in found if each.job]


def test_each_way_names_the_papers_that_hold_no_more_with_it():
    job = given_out(kitchen())
    for option in named(job):
        void = void_papers(make_folder(plan_job(option.job)))
        assert void == ("wiring",)  # what was surveyed is as it was
        assert option.reasons[0] == f"{NAMED}wiring"


def test_what_was_void_before_is_not_named_and_nothing_where_nobody_holds_a_paper():
    job = given_out(kitchen())
    legs = tuple(leg.model_copy(update={"cable": "round-2x1.5"}) for leg in job.legs)
    stale = job.model_copy(update={"legs": legs})
    assert "wiring" in void_papers(make_folder(plan_job(stale)))
    for one in (stale, kitchen()):
        assert not [each for each in named(one) if any(NAMED in why for why in each.reasons)]

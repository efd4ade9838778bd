"""A job handed over whole is planned without the user's own parts as it is with them."""

import pytest
from jobs import one_bar, part

from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import read_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.data.documents import check_data, figures_data, show_data
from pelmet.model.versions.follows import what_follows
from pelmet.model.versions.handing import carried_words, whole_job


def folder(job: Job, own: Catalogue | None = None) -> Folder:
    return make_folder(plan_job(job, own))


def ids(parts: Catalogue) -> set[str]:
    return {each.id for table in Catalogue.model_fields for each in getattr(parts, table)}


def own_parts() -> Catalogue:
    """One part that the kitchen uses, one that it does not, one in place of a bundled one."""
    return Catalogue(
        strip=[
            part("strips", "white-24-10", id="ours", watts_per_metre=11),
            part("strips", "white-24-10", id="unused"),
        ],
        cap=[part("caps", "cap-17", name="Our cap")],
    )


def test_the_copy_gives_the_same_figures_without_the_users_own_parts():
    job = set_value(read_example("kitchen"), "run", "R1", "strip", "ours")
    mine = folder(job, own_parts())
    whole = whole_job(mine, own_parts())
    assert ids(whole.catalogue) == {"ours", "cap-17"}
    assert carried_words(job, whole).startswith("it carries 2 parts of your own catalogue")
    read = read_job(job_text(whole).encode(), "copy")
    theirs = folder(read)
    for document in (figures_data, check_data, show_data):
        assert document(theirs.plan) == document(mine.plan)
    follows = what_follows(mine, theirs)
    assert not follows.values
    assert theirs.cuts == mine.cuts
    assert figures_data(folder(job).plan) != figures_data(mine.plan), "it rests on own parts"


def test_a_part_that_keeps_a_bundled_one_from_being_chosen_goes_with_it_too():
    job = one_bar()
    chosen = {line.part for line in folder(job).lines if line.part.startswith("lever")}
    (lever,) = chosen
    own = Catalogue(connector=[part("connectors", lever, ways=9)])
    mine = folder(job, own)
    assert lever not in {line.part for line in mine.lines}
    whole = whole_job(mine, own)
    assert ids(whole.catalogue) == {lever}
    assert not what_follows(mine, folder(whole)).values


def test_a_job_without_own_parts_is_its_own_copy():
    job = one_bar()
    assert whole_job(folder(job), Catalogue()) == job


def test_parts_of_the_job_itself_stay_before_those_of_the_user():
    own = part("strips", "white-24-10", id="ours", watts_per_metre=11)
    job = rebuilt(one_bar(), catalogue=Catalogue(strip=[part("strips", "white-24-10", id="ours")]))
    job = set_value(job, "run", "R1", "strip", "ours")
    mine = folder(job, Catalogue(strip=[own]))
    assert whole_job(mine, Catalogue(strip=[own])) == job


@pytest.mark.parametrize("name", ["kitchen", "kitchen-with-pantry"])
def test_all_else_that_the_job_says_is_in_the_copy(name):
    job = read_example(name)
    whole = whole_job(folder(job, own_parts()), own_parts())
    assert rebuilt(whole, catalogue=job.catalogue) == job

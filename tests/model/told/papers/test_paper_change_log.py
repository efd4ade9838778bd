"""The change log against the job's own revisions."""

from jobs import one_bar
from papers import grid, paper, said

from pelmet.model.edit.change import rebuilt
from pelmet.model.edit.giving import Signed, give_out
from pelmet.model.job.job import Job
from pelmet.model.job.paperwork import Revision

NASTY = "=1+1|<b> שלום"


def revised(*whys: str) -> Job:
    rows = tuple(
        Revision(id=f"rev{at}", why=why, by="fitter", day=f"2027-03-0{at}", void=("order",))
        for at, why in enumerate(whys, 1)
    )
    return rebuilt(one_bar(), revisions=rows)


def test_revisions_are_numbered_from_one_the_oldest_first():
    rows = grid(paper(revised("hood moved", NASTY), "change-log"), "revision").rows
    assert rows == (
        ("1", "2027-03-01", "fitter", "hood moved", "order"),
        ("2", "2027-03-02", "fitter", NASTY, "order"),
    )


def test_no_revision_and_no_paper_given_out_are_said():
    words = said(paper(one_bar(), "change-log"))
    assert "No revision yet" in words
    assert "None is noted as given out." in words
    assert "No revision" not in said(paper(revised("x"), "change-log"))


def test_of_each_paper_only_the_last_one_given_out_counts():
    job = give_out(one_bar(), {"order": "0" * 16, "wiring": "1" * 16})
    job = rebuilt(job, revisions=revised("hood moved").revisions)
    job = give_out(job, {"order": "2" * 16}, signed=Signed("2027-03-01", "Ann"))
    rows = grid(paper(job, "change-log"), "paper").rows
    assert rows == (("order", "1", "2027-03-01", "Ann"), ("wiring", "0", "-", "-"))

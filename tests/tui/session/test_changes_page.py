"""The page that tells what the job in hand says otherwise than its file."""

from pathlib import Path

from pelmet.model.edit.giving import Signed, give_out
from pelmet.model.examples import read_example
from pelmet.model.file.job.kept import keep_version
from pelmet.model.file.job.reading import open_job
from pelmet.model.file.job.saving import save_job
from pelmet.model.job.catalogue import Catalogue
from pelmet.tui.session.outline import CHANGES, SINCE_GIVEN, SINCE_OPENED
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import PAPERS


def page(session: Session, name: str = CHANGES) -> str:
    session.go(PAPERS)
    session.go_to("paper", name, "")
    session.catch_up()
    rows = session.paperwork.pages.get(session.place.id)
    assert rows is not None
    return "\n".join(rows)


def test_it_tells_what_changed_since_the_job_was_saved_and_what_follows(tmp_path: Path):
    path = tmp_path / "job.toml"
    save_job(read_example("kitchen"), path, None)
    session = Session.of(open_job(path), Catalogue())
    assert page(session).strip() == "Both say the same."
    session.go_to("cabinet", "A1", "opening")
    session.type("560")
    session.accept()
    told = page(session)
    assert "cabinet A1  Opening" in told
    assert "R1.1" in told
    assert "Light" in told
    session.save(path, tmp_path / "offcuts.toml")
    assert page(session).strip() == "Both say the same."
    session.undo()
    assert "cabinet A1  Opening" in page(session)


def test_of_a_job_in_no_file_all_is_new():
    assert page(Session(read_example("kitchen"), Catalogue())) == "Not saved yet: all of it is new."


def test_since_opened_stays_what_it_was_when_it_is_saved(tmp_path: Path):
    path = tmp_path / "job.toml"
    save_job(read_example("kitchen"), path, None)
    session = Session.of(open_job(path), Catalogue())
    session.go_to("cabinet", "A1", "opening")
    session.type("560")
    session.accept()
    session.save(path, tmp_path / "offcuts.toml")
    assert page(session).strip() == "Both say the same."
    assert "cabinet A1  Opening" in page(session, SINCE_OPENED)


def test_since_a_paper_was_given_out_is_told_of_what_is_kept_beside_the_file(tmp_path: Path):
    path = tmp_path / "job.toml"
    given = give_out(read_example("kitchen"), {"order": "0" * 16}, signed=Signed("2027-03-01"))
    save_job(given, path, None)
    session = Session.of(open_job(path), Catalogue())
    since = "when order, revision 0, was given out on 2027-03-01."
    assert since in " ".join(page(session, SINCE_GIVEN).split())
    keep_version(given, path, 0)
    session.go_to("cabinet", "A1", "opening")
    session.type("560")
    session.accept()
    told = page(session, SINCE_GIVEN)
    assert told.startswith("Since order, revision 0, was given out on 2027-03-01: job.toml.rev0")
    assert "cabinet A1  Opening" in told
    new = Session(given, Catalogue())
    assert "The job is in no file yet" in page(new, SINCE_GIVEN)
    new.change(read_example("kitchen"))
    assert page(new, SINCE_GIVEN) == "No paper is noted as given out yet."

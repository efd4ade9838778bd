"""The page that tells what the job in hand says otherwise than its file."""

from pathlib import Path

from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import open_job
from pelmet.model.file.job.saving import save_job
from pelmet.model.job.catalogue import Catalogue
from pelmet.tui.session.outline import CHANGES
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import PAPERS


def page(session: Session) -> str:
    session.go(PAPERS)
    session.go_to("paper", CHANGES, "")
    session.catch_up()
    rows = session.page()
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

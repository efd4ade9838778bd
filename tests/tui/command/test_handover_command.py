"""``pelmet handover``: how a job stands, and the whole of it for a colleague."""

import pytest
from jobs import part

from pelmet.model.edit.change import set_value
from pelmet.model.examples import read_example
from pelmet.model.file.job.saving import save_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.tui.command import main as command


@pytest.fixture
def jobs(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    job = set_value(read_example("kitchen"), "run", "R1", "strip", "ours")
    save_job(set_value(job, "run", "R1", "status", "cut"), tmp_path / "job.toml", None)
    strip = part("strips", "white-24-10", id="ours", watts_per_metre=11)
    own = job_text(Job(catalogue=Catalogue(strip=[strip])))
    text = own.split("\n\n", 1)[-1].replace("[[catalogue.", "[[")
    (tmp_path / "catalogue.toml").write_text(text.replace("schema = 1\n", ""))


@pytest.mark.usefixtures("jobs")
def test_the_copy_is_figured_alike_without_the_catalogue(capsys):
    own = ["--catalogue", "catalogue.toml"]
    assert command.main(["handover", "job.toml", *own, "--write", "copy.toml"]) == 0
    told = capsys.readouterr()
    assert "R1   cut" in told.out
    assert "Still to decide" in told.out
    assert told.err.startswith("written: copy.toml; it carries one part of your own catalogue")
    printed = []
    for words in (["figures", "job.toml", *own], ["figures", "copy.toml"], ["figures", "job.toml"]):
        assert command.main(words) == 0
        printed.append(capsys.readouterr().out)
    assert printed[0] == printed[1] != printed[2]


@pytest.mark.usefixtures("jobs")
def test_it_writes_over_nothing(capsys):
    assert command.main(["handover", "job.toml", "--write", "catalogue.toml"]) == 2
    told = capsys.readouterr()
    assert not told.out
    assert "a file of this name is there already" in told.err

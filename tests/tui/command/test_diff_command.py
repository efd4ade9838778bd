"""``pelmet diff``: two versions of a job on the command line."""

import json

import pytest

from pelmet.model.edit.change import set_value
from pelmet.model.examples import read_example
from pelmet.model.file.job.saving import save_job
from pelmet.tui.command import main as command


@pytest.fixture
def versions(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    old = read_example("kitchen")
    save_job(old, tmp_path / "old.toml", None)
    new = set_value(old, "cabinet", "A2", "depth", 300)
    save_job(new, tmp_path / "new.toml", None)


@pytest.mark.usefixtures("versions")
def test_the_exit_code_is_0_for_the_same_1_for_a_difference_and_2_for_what_cannot_be_read(capsys):
    assert command.main(["diff", "old.toml", "old.toml"]) == 0
    assert capsys.readouterr().out == "Both say the same.\n\n"
    assert command.main(["diff", "old.toml", "new.toml"]) == 1
    out = capsys.readouterr().out
    assert "cabinet A2  Depth" in out
    assert command.main(["diff", "old.toml", "none.toml"]) == 2
    told = capsys.readouterr()
    assert not told.out
    assert told.err.startswith("none.toml: ")


@pytest.mark.usefixtures("versions")
def test_as_data_it_has_its_keys_whether_or_not_anything_differs(capsys):
    keys = ["pelmet", "same", "said", "follows", "findings", "void"]
    for name, code in (("old.toml", 0), ("new.toml", 1)):
        assert command.main(["diff", "old.toml", name, "--json"]) == code
        document = json.loads(capsys.readouterr().out)
        assert list(document) == keys
        assert document["pelmet"] == {"document": "diff", "version": 1}
        assert document["same"] == (code == 0)
    (one,) = document["said"]
    assert (one["how"], one["kind"], one["id"]) == ("changed", "cabinet", "A2")
    assert one["fields"] == [{"field": "depth", "title": "Depth", "before": "320", "after": "300"}]


@pytest.mark.usefixtures("versions")
def test_a_file_that_is_no_job_or_of_a_newer_version_is_refused_with_its_line(capsys, tmp_path):
    (tmp_path / "newer.toml").write_text("schema = 999\n")
    (tmp_path / "broken.toml").write_text("schema = 1\n[[cabinet]\n")
    for name in ("newer.toml", "broken.toml"):
        for pair in (["old.toml", name], [name, "old.toml"]):
            assert command.main(["diff", *pair]) == 2
            told = capsys.readouterr()
            assert not told.out
            assert f"{name}:" in told.err

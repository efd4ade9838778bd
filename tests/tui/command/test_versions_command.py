"""``pelmet diff`` and ``pelmet merge``: two versions of a job on the command line."""

import json
import shutil
import subprocess
import sys

import pytest

from pelmet.model.edit.add import add_item
from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.job.saving import save_job
from pelmet.model.job.job import Job
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
    assert capsys.readouterr().out == "Both say the same.\n"
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


@pytest.fixture
def three(tmp_path, monkeypatch):
    """A job, and what two people made of it."""
    monkeypatch.chdir(tmp_path)
    base = read_example("kitchen")
    mine = set_value(base, "cabinet", "A2", "depth", 300)
    theirs = set_value(base, "cabinet", "A2", "lip", 22)
    for name, job in (("base", base), ("mine", mine), ("theirs", theirs)):
        save_job(job, tmp_path / f"{name}.toml", None)
    return tmp_path


THREE = ("merge", "base.toml", "mine.toml", "theirs.toml")


def test_a_merge_tells_what_it_brings_and_writes_only_when_told(three, capsys):
    before = {path: path.read_bytes() for path in three.iterdir()}
    assert command.main([*THREE]) == 0
    told = capsys.readouterr()
    assert "cabinet A2  Lip" in told.out
    assert "Depth" not in told.out
    assert "nothing is written" in told.err
    assert {path: path.read_bytes() for path in three.iterdir()} == before


@pytest.mark.parametrize("name", ["mine.toml", "new.toml"])
def test_it_writes_to_mine_or_to_a_new_file(three, name, capsys):
    assert command.main([*THREE, "--write", name]) == 0
    assert capsys.readouterr().err == f"written: {name}\n"
    cabinet = load_job(three / name).find("cabinet", "A2")
    assert (cabinet.depth, cabinet.lip) == (300, 22)


def test_comments_that_are_not_kept_are_told(three, capsys):
    mine = three / "mine.toml"
    mine.write_text("# ask about the hood\n" + mine.read_text("utf-8"), "utf-8")
    assert command.main([*THREE, "--write", "new.toml"]) == 0
    assert capsys.readouterr().err == (
        "written: new.toml\nmine.toml: its comments, 1 in all, are not in that file\n"
    )


@pytest.mark.parametrize("name", ["base.toml", "theirs.toml"])
def test_it_writes_over_no_other_file(three, name, capsys):
    before = (three / name).read_bytes()
    assert command.main([*THREE, "--write", name]) == 2
    assert "there is a file already" in capsys.readouterr().err
    assert (three / name).read_bytes() == before


def test_what_has_to_be_decided_is_told_and_nothing_is_written(three, capsys):
    base = read_example("kitchen")
    save_job(set_value(base, "cabinet", "A2", "depth", 280), three / "other.toml", None)
    before = (three / "mine.toml").read_bytes()
    assert command.main([*THREE[:3], "other.toml", "--write", "mine.toml"]) == 1
    told = capsys.readouterr()
    assert [line.split("  ") for line in told.out.splitlines()[2:]] == [
        ["cabinet A2", "Depth", "320", " 300", " 280"]
    ]
    assert told.err == "1 to decide; nothing is written\n"
    assert (three / "mine.toml").read_bytes() == before


@pytest.mark.cross_check
@pytest.mark.skipif(
    not shutil.which("git"), reason="no git on this machine; merges are tried without it too"
)
def test_git_merges_job_files_with_it(three):
    def git(*words, code=0):
        done = subprocess.run(["git", *words], cwd=three, capture_output=True, check=False)
        assert done.returncode == code, done.stderr
        return done

    driver = f"{sys.executable} -m pelmet.tui merge %O %A %B --write %A && rm -f %A.previous"
    git("init", "-q", "-b", "main")
    for key, value in (("merge.pelmet.driver", driver), ("user.name", "a"), ("user.email", "a@b")):
        git("config", key, value)
    (three / ".gitattributes").write_text("*.toml merge=pelmet\n")
    job = three / "job.toml"
    shutil.copy(three / "base.toml", job)
    git("add", "job.toml", ".gitattributes")
    git("commit", "-qm", "as it was")
    for branch, version in (("theirs", "theirs"), ("mine", "mine")):
        git("checkout", "-q", "-b", branch, "main")
        shutil.copy(three / f"{version}.toml", job)
        git("commit", "-qam", version)
    git("merge", "-q", "theirs", "-m", "both")
    cabinet = load_job(job).find("cabinet", "A2")
    assert (cabinet.depth, cabinet.lip) == (300, 22)
    assert not list(three.glob(".merge_file*"))


def test_jobs_with_nothing_in_common_are_refused_in_words(three, capsys):
    other = set_value(Job(), "site", "", "name", "Somewhere else")
    other, _ = add_item(other, "supply")
    other = rebuilt(other, supplies=(other.supplies[0].model_copy(update={"id": "X9"}),))
    save_job(other, three / "other.toml", None)
    for words in (("diff", "base.toml", "other.toml"), (*THREE[:3], "other.toml")):
        assert command.main([*words]) == 2
        told = capsys.readouterr()
        assert not told.out
        assert told.err.startswith("other.toml: it has nothing in common with base.toml")

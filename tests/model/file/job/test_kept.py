"""The job kept beside its file at a revision: never over another file, found again by a paper."""

import pytest
from jobs import one_bar

from pelmet.model.edit.change import set_value
from pelmet.model.edit.giving import give_out
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.kept import keep_version, kept_versions, version_with
from pelmet.model.file.job.reading import load_job

JOB = one_bar()
OTHER = set_value(JOB, "site", "", "note", "another")


def test_the_same_job_is_kept_once_and_another_one_beside_it(tmp_path):
    path = tmp_path / "kitchen.toml"
    first = keep_version(JOB, path, 2)
    assert first.name == "kitchen.toml.rev2"
    assert keep_version(JOB, path, 2) == first
    (tmp_path / "kitchen.toml.rev2-2").write_text("a letter")
    third = keep_version(OTHER, path, 2)
    assert (third.name, load_job(third)) == ("kitchen.toml.rev2-3", OTHER)
    assert load_job(first) == JOB
    assert (tmp_path / "kitchen.toml.rev2-2").read_text() == "a letter"
    assert len(kept_versions(path, 2)) == 3
    assert not kept_versions(path, 1)


def test_a_version_is_found_by_the_paper_that_it_notes_whatever_else_is_there(tmp_path):
    path = tmp_path / "kitchen.toml"
    (tmp_path / "kitchen.toml.rev0").write_text("a letter")
    keep_version(JOB, path, 0)
    given = give_out(JOB, {"order": "0" * 16})
    (tmp_path / "later").mkdir()
    kept = keep_version(given, path, 0)
    keep_version(give_out(given, {"wiring": "1" * 16}), path, 0)
    assert version_with(path, given.given[0]) == (kept, given)
    other = give_out(JOB, {"order": "2" * 16})
    assert version_with(path, other.given[0]) is None


def test_a_folder_that_cannot_be_written_is_said_in_words(tmp_path):
    with pytest.raises(SaveError, match="no such file or folder"):
        keep_version(JOB, tmp_path / "gone" / "kitchen.toml", 1)

"""Papers on disk: nothing that is there is written over unseen, and what cannot be is said."""

import pytest

from pelmet.model.file.disk.paper_files import make_folder_for, write_paper, write_papers
from pelmet.model.file.disk.unsaved import SaveError

FILES = (("order.txt", b"one"), ("order.csv", b"two"))


def test_files_are_written_whole_into_a_folder_that_is_made(tmp_path):
    folder = tmp_path / "new" / "papers"
    assert [each.how for each in write_papers(folder, FILES)] == ["new", "new"]
    assert (folder / "order.txt").read_bytes() == b"one"
    assert sorted(each.name for each in folder.iterdir()) == ["order.csv", "order.txt"]
    assert [each.how for each in write_papers(folder, FILES)] == ["same", "same"]


def test_what_holds_something_else_is_kept_until_it_is_to_be_replaced(tmp_path):
    (tmp_path / "order.txt").write_bytes(b"mine")
    assert [each.how for each in write_papers(tmp_path, FILES)] == ["kept", "new"]
    assert (tmp_path / "order.txt").read_bytes() == b"mine"
    assert write_paper(tmp_path, *FILES[0], replace=True).how == "replaced"
    assert (tmp_path / "order.txt").read_bytes() == b"one"


def test_a_folder_that_is_a_file_or_cannot_be_made_is_refused_in_words(tmp_path):
    (tmp_path / "taken").write_bytes(b"")
    for folder in (tmp_path / "taken", tmp_path / "taken" / "below", tmp_path / "\0"):
        with pytest.raises(SaveError) as refused:
            make_folder_for(folder)
        assert refused.value.reason


def test_a_name_that_is_a_folder_or_too_long_is_refused_in_words(tmp_path):
    (tmp_path / "order.txt").mkdir()
    for name in ("order.txt", "x" * 300):
        with pytest.raises(SaveError) as refused:
            write_paper(tmp_path, name, b"one")
        assert refused.value.reason
    assert [each.name for each in tmp_path.iterdir()] == ["order.txt"]

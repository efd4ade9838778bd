"""The store of off-cuts follows the jobs that are saved: wholly, or not at all, or it is told."""

import subprocess
import sys
from pathlib import Path

import pytest
from stores import added, drawing, named, names, owners, stocked, taken

from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.edit.offcuts import put_back
from pelmet.model.file.disk import locking
from pelmet.model.file.disk.locking import held
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.reading import load_job, open_job
from pelmet.model.file.job.saving import ChangedOnDisk, save_job
from pelmet.model.file.store.pieces import drop_piece, take_piece
from pelmet.model.file.store.settling import (
    SavedJob,
    catch_up,
    drawable,
    save_and_settle,
    settle_store,
    unsettled_pieces,
    unsettled_words,
)
from pelmet.model.file.store.store_file import HeldStore, load_store
from pelmet.model.job.job import Job
from pelmet.model.refusal import Refusal

STORE = stocked(800, 900, 1000)
FIRST = named("J1")


@pytest.fixture
def store(tmp_path: Path) -> Path:
    path = tmp_path / "own" / "offcuts.toml"
    added(path, 800, 900, 1000)
    return path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "job.toml"


def renamed(job: Job, reference: str) -> Job:
    return set_value(job, "site", "", "reference", reference)


def drawn(job: Job, *pieces: str) -> Job:
    return drawing(job, STORE, *pieces)


def saved(job: Job, path: Path, store: Path) -> SavedJob:
    """Save over what the file holds, which was just read."""
    digest = open_job(path).digest if path.exists() else None
    return save_and_settle(job, path, digest, store)


def bytes_of(*paths: Path) -> list[bytes | None]:
    return [path.read_bytes() if path.exists() else None for path in paths]


# --- What follows from one saved version and the next ---------------------------------------------


def test_what_is_drawn_anew_is_taken_and_what_is_put_back_is_free():
    second = drawn(FIRST, "c1", "c3")
    third = put_back(second, "piece1")
    store = settle_store(STORE, FIRST, second)
    assert owners(store) == {"c1": "J1", "c3": "J1"}
    store = settle_store(store, second, third)
    assert owners(store) == {"c3": "J1"}
    assert owners(settle_store(store, third, FIRST)) == {}
    assert settle_store(store, third, third) == store


@pytest.mark.parametrize(
    ("before", "job", "says"),
    [
        (lambda store: take_piece(store, "c1", "J2"), "J1", "^c1 is taken by J2; draw"),
        (lambda store: drop_piece(store, "c1"), "J1", 'there is no piece "c1" in the store'),
        (lambda _: stocked(850, 900, 1000), "J1", "another piece in the store: surface-17, 850 mm"),
        (lambda store: store, "", r"give the job a reference first \(Papers step\)"),
    ],
)
def test_what_cannot_be_taken_is_refused(before, job: str, says: str):
    with pytest.raises(Refusal, match=says):
        settle_store(before(STORE), drawn(named(job), "c3"), drawn(named(job), "c3", "c2", "c1"))


def test_a_piece_drawn_twice_by_one_job_is_refused_unless_it_was_so_before():
    once = drawn(FIRST, "c1")
    twice = rebuilt(once, offcuts=(
        *once.offcuts, once.offcuts[0].model_copy(update={"id": "piece7"})
    ))  # fmt: skip
    for before in (FIRST, once):
        with pytest.raises(Refusal, match="c1 is drawn 2 times by this job"):
            settle_store(STORE, before, twice)
    # By hand, long ago: no reason to stop the rest.
    assert owners(settle_store(STORE, twice, drawn(twice, "c2"))) == {"c2": "J1"}


def test_what_is_gone_or_anothers_by_now_does_not_stop_a_giving_back():
    store = take_piece(take_piece(drop_piece(STORE, "c1"), "c2", "J2"), "c3", "J1")
    assert owners(settle_store(store, drawn(FIRST, "c1", "c2", "c3"), FIRST)) == {"c2": "J2"}


def test_another_reference_carries_over_what_is_still_drawn_and_no_more():
    before = drawn(FIRST, "c1", "c2", "c3")
    store = settle_store(STORE, FIRST, before)
    after = renamed(put_back(before, "piece1"), "J9")
    assert owners(settle_store(store, before, after)) == {"c2": "J9", "c3": "J9"}
    with pytest.raises(Refusal, match="give the job a reference first"):
        settle_store(store, before, renamed(before, ""))
    # One was cut up and went when the rests were kept; one is somebody else's by now.
    used = store.altered(pieces=store.pieces[1:])
    used = take_piece(used.altered(pieces=(STORE.pieces[1], *used.pieces[1:])), "c2", "J2")
    assert owners(settle_store(used, before, renamed(before, "J9"))) == {"c2": "J2", "c3": "J9"}
    # The first reference of a job that drew, by hand, while it had none.
    assert owners(settle_store(STORE, renamed(before, ""), before)) == dict.fromkeys(
        ["c1", "c2", "c3"], "J1"
    )


def test_a_job_may_draw_what_is_free_or_what_its_file_draws_and_it_put_back():
    saved = drawn(FIRST, "c1", "c2")
    store = take_piece(settle_store(STORE, FIRST, saved), "c3", "J2")
    job = renamed(put_back(saved, "piece1"), "J2")
    assert [piece.id for piece in drawable(store, saved, job)] == ["c1"]
    assert drawable(store, FIRST, named("J1")) == ()
    assert [piece.id for piece in drawable(STORE, FIRST, job)] == ["c1", "c3"]


# --- Saving ---------------------------------------------------------------------------------------


def test_where_nothing_differs_the_store_is_not_even_looked_for(tmp_path: Path, path: Path):
    store = tmp_path / "none" / "offcuts.toml"
    save_job(drawn(FIRST, "c1"), path, None)
    saved(set_value(load_job(path), "site", "", "name", "Other"), path, store)
    other = tmp_path / "other.toml"
    save_job(FIRST, other, None)
    saved(named("J2"), other, store)
    assert not store.parent.exists()
    assert (load_job(path).site.name, load_job(other)) == ("Other", named("J2"))


def test_a_job_that_cannot_draw_is_not_saved_and_one_that_is_not_saved_draws_nothing(
    store: Path, path: Path
):
    taken(store, "c1", "J2")
    saved(drawn(FIRST, "c3"), path, store)
    before = bytes_of(path, store)
    with pytest.raises(Refusal, match=r"^c1 is taken by J2; draw"):
        saved(drawn(load_job(path), "c2", "c1"), path, store)
    assert bytes_of(path, store) == before
    with pytest.raises(ChangedOnDisk):
        save_and_settle(drawn(load_job(path), "c2"), path, "0" * 64, store)
    path.chmod(0o444)
    with pytest.raises(SaveError, match="read-only"):
        saved(drawn(load_job(path), "c2"), path, store)
    assert bytes_of(path, store) == before


def test_a_store_that_cannot_be_held_or_read_stops_a_drawing_and_nothing_else(
    store: Path, path: Path, monkeypatch: pytest.MonkeyPatch
):
    monkeypatch.setattr(locking, "_PATIENCE", 0.05)
    saved(drawn(FIRST, "c1"), path, store)
    more, other = drawn(load_job(path), "c2"), set_value(load_job(path), "site", "", "name", "X")
    with held(store):
        with pytest.raises(Refusal, match="your store of off-cuts: another program holds"):
            saved(more, path, store)
        saved(other, path, store)
    store.write_text("schema = 1\nx = 1\n")
    with pytest.raises(Refusal, match=r"your store of off-cuts: .*offcuts.toml:2: x"):
        saved(more, path, store)
    assert load_job(path) == other


def test_a_copy_under_another_name_draws_the_same_but_not_for_another_job(
    store: Path, path: Path, tmp_path: Path
):
    job = drawn(FIRST, "c1", "c2")
    saved(job, path, store)
    copy = tmp_path / "copy.toml"
    saved(put_back(job, "piece1"), copy, store)
    assert owners(load_store(store)) == {"c1": "J1", "c2": "J1"}  # the first file draws it
    with pytest.raises(Refusal, match=r"^c1 is taken by J1; draw"):
        saved(renamed(job, "J2"), tmp_path / "third.toml", store)
    assert not (tmp_path / "third.toml").exists()


def test_what_a_file_drew_that_is_written_over_is_free(store: Path, path: Path):
    job = drawn(FIRST, "c1")
    digest = saved(job, path, store).digest
    saved(drawn(load_job(path), "c2", "c3"), path, store)  # somebody else, meanwhile
    with pytest.raises(ChangedOnDisk):
        save_and_settle(job, path, digest, store, job)
    save_and_settle(job, path, digest, store, job, overwrite=True)
    assert owners(load_store(store)) == {"c1": "J1"}


@pytest.mark.parametrize("spoilt", [lambda path: path.unlink(), lambda path: path.write_text("x")])
def test_of_a_file_that_is_gone_or_spoilt_the_last_known_version_counts(
    store: Path, path: Path, spoilt
):
    last = drawn(FIRST, "c1", "c2")
    digest = saved(last, path, store).digest
    spoilt(path)
    job = renamed(put_back(last, "piece1"), "J9")
    save_and_settle(job, path, digest, store, last, overwrite=True)
    assert owners(load_store(store)) == {"c2": "J9"}


def test_a_link_to_a_job_and_the_job_are_one(store: Path, path: Path, tmp_path: Path):
    saved(drawn(FIRST, "c1"), path, store)
    link = tmp_path / "link.toml"
    link.symlink_to(path)
    saved(FIRST, link, store)
    assert owners(load_store(store)) == {}


def test_a_store_that_cannot_be_written_once_the_job_is_saved_is_told(
    store: Path, path: Path, monkeypatch: pytest.MonkeyPatch
):
    def full(*_: object) -> None:
        raise SaveError(store, "the disk is full")

    job = drawn(FIRST, "c1")
    with monkeypatch.context() as patch:
        patch.setattr(HeldStore, "write", full)
        told = saved(job, path, store)
    assert told.behind == f"{store}: not saved: the disk is full"
    assert open_job(path).digest == told.digest
    assert load_job(path) == job
    assert owners(load_store(store)) == {}


# --- A program that ends between the two ----------------------------------------------------------

KILLED = """
import os, sys
from pelmet.model.file.job.reading import load_job, open_job
from pelmet.model.file.store import settling
path, new, store = sys.argv[1:]
settling.HeldStore.write = lambda *_: os._exit(9)
settling.save_and_settle(load_job(new), path, open_job(path).digest, store)
"""


def cut_short(before: Job, after: Job, path: Path, store: Path) -> None:
    """Save one version whole; of the next the job alone, for the program is killed."""
    saved(before, path, store)
    new = path.with_name("new.toml")
    save_job(after, new, None)
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(path), str(new), str(store)], check=False
    )
    assert done.returncode == 9
    assert load_job(path) == after


def test_a_saving_cut_short_is_told_in_words_and_the_store_can_catch_up(store: Path, path: Path):
    before = drawn(FIRST, "c1")
    after = drawn(put_back(before, "piece1"), "c2")
    cut_short(before, after, path, store)
    assert owners(load_store(store)) == {"c1": "J1"}
    assert [
        unsettled_words(each, after) for each in unsettled_pieces(load_store(store), after)
    ] == [
        "c1: your store has it for this job, which does not draw it",
        "c2: this job draws it, and your store has it as free",
    ]
    catch_up(store, after, path)
    assert owners(load_store(store)) == {"c2": "J1"}
    assert unsettled_pieces(load_store(store), after) == ()


def test_so_is_a_change_of_reference_and_the_piece_of_another_is_left_to_it(
    store: Path, path: Path
):
    before = drawn(FIRST, "c1")
    after = renamed(before, "J9")
    cut_short(before, after, path, store)
    (odd,) = unsettled_pieces(load_store(store), after)
    assert unsettled_words(odd, after) == "c1: this job draws it, and your store has it for J1"
    catch_up(store, after, path)
    assert owners(load_store(store)) == {"c1": "J9"}
    catch_up(store, after, path)
    # Nothing tells that it was ever this job that had it as J1.
    other = path.with_name("other.toml")
    save_job(renamed(before, "J2"), other, None)
    catch_up(store, load_job(other), other)
    assert owners(load_store(store)) == {"c1": "J9"}


def test_a_job_and_a_store_that_agree_are_not_at_odds():
    job = drawn(FIRST, "c1", "c2", "c3")
    store = settle_store(STORE, FIRST, job)
    assert unsettled_pieces(store, job) == ()
    assert (
        unsettled_pieces(drop_piece(STORE, "c1"), drawn(Job(), "c1")) == ()
    )  # cut up, or a lost store
    assert unsettled_pieces(stocked(850), drawn(Job(), "c1")) == ()  # a store begun anew
    assert unsettled_pieces(store, Job()) == ()
    (odd,) = unsettled_pieces(STORE, drawn(Job(), "c1"))
    assert odd.id == "c1"


def test_a_catching_up_that_the_store_does_not_take_is_refused(store: Path, path: Path):
    job = drawn(Job(), "c1")
    save_job(job, path, None)
    with pytest.raises(Refusal, match="give the job a reference first"):
        catch_up(store, job, path)
    store.chmod(0o444)
    with pytest.raises(Refusal, match=r"your store of off-cuts: .*read-only"):
        catch_up(store, drawn(FIRST, "c1"), path)
    assert names(store.parent) == ["offcuts.toml", "offcuts.toml.lock", "offcuts.toml.previous"]

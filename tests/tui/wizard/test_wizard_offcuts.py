"""Off-cuts in the wizard: drawn in the job alone, and in the store once that is saved."""

import pytest
from frames import dialog, held, in_recovery, press, shown, stand, told, wizard, write
from jobs import one_bar
from screens import frame
from stores import added, drawing, owners, taken

from pelmet.model.edit.change import set_value
from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.reading import load_job, open_job
from pelmet.model.file.job.recovery import write_recovery
from pelmet.model.file.job.saving import save_job
from pelmet.model.file.store.pieces import give_back
from pelmet.model.file.store.settling import save_and_settle
from pelmet.model.file.store.store_file import HeldStore, change_store, load_store
from pelmet.tui.app import Pelmet
from pelmet.tui.command.main import main
from pelmet.tui.places import offcut_store, recovery_folder

pytestmark = pytest.mark.journey
WIDE = (120, 40)
NOBODY = 2**22 + 1  # more than any process number there is


def referred(reference):
    return set_value(one_bar(), "site", "", "reference", reference)


JOB = referred("JOB-1")


@pytest.fixture
def store():
    """The store in its usual place, with two pieces of what the job cuts."""
    added(offcut_store(), 900, 950)
    return offcut_store()


def has(store):
    return owners(load_store(store))


def pieces(job):
    return [each.piece for each in job.offcuts]


async def draw(pilot, *downs):
    await press(pilot, "f7", "f8", *downs, "enter")


async def refer(pilot, reference):
    await stand(pilot, "site", "", "reference")
    await write(pilot, reference)
    await press(pilot, "enter")


async def test_a_piece_is_drawn_and_put_back_in_the_job_and_the_store_follows_when_it_is_saved(
    tmp_path, store
):
    path = tmp_path / "job.toml"
    async with wizard(JOB, tmp_path, WIDE) as pilot:
        await press(pilot, "f7", "f8")
        assert "c1" in frame(pilot.app)
        await press(pilot, "enter")
        assert pieces(held(pilot).job) == ["c1"]
        assert "off-cut c1" in frame(pilot.app)
        assert "the store is told when it is saved" in told(pilot)
        await press(pilot, "ctrl+z")
        assert pieces(held(pilot).job) == []
        await press(pilot, "ctrl+y")
        assert has(store) == {}
        await press(pilot, "ctrl+s")
        assert told(pilot) == "Saved job.toml"
        assert has(store) == {"c1": "JOB-1"}
        await press(pilot, "ctrl+z")
        assert has(store) == {"c1": "JOB-1"}
        await press(pilot, "f8")
        assert "c1" in frame(pilot.app)  # it is this job's to draw again
        await press(pilot, "escape", "ctrl+s")
        assert has(store) == {}
    assert pieces(load_job(path)) == []


async def test_a_job_without_a_reference_draws_nothing_and_says_what_to_do(tmp_path, store):
    async with wizard(one_bar(), tmp_path, WIDE) as pilot:
        await press(pilot, "f7", "f8")
        assert not dialog(pilot)
        assert told(pilot).endswith("; give the job a reference first (Papers step)")


async def test_what_the_store_has_for_another_or_the_job_draws_already_is_not_offered(
    tmp_path, store
):
    taken(store, "c2", "JOB-9")
    async with wizard(JOB, tmp_path, WIDE) as pilot:
        await draw(pilot)
        await press(pilot, "f8")
        assert told(pilot) == "Your store holds no free piece of what this job cuts"


@pytest.mark.parametrize(
    "after",
    [
        [["return", "JOB", "c1"], ["take", "JOB", "c1"]],
        [["take", "JOB", "c2"], ["return", "JOB", "c1", "c2"]],
        [["return", "JOB", "c1"], ["drop", "c1"], ["undo"], ["take", "JOB", "c1"]],
        [["add", "surface-17", "700"], ["undo"], ["return", "JOB", "c1"]],
    ],
    ids=lambda after: " ".join(words[0] for words in after),
)
async def test_another_reference_never_locks_a_drawn_piece_away(tmp_path, store, after):
    path = tmp_path / "job.toml"
    async with wizard(JOB, tmp_path, WIDE) as pilot:
        await draw(pilot)
        await press(pilot, "ctrl+s")
        await refer(pilot, "JOB-2")
        assert has(store) == {"c1": "JOB-1"}
        await press(pilot, "ctrl+s")
        assert told(pilot) == "Saved job.toml"
    assert has(store) == {"c1": "JOB-2"}
    for words in after:
        assert main(["offcuts", *(str(path) if word == "JOB" else word for word in words)]) == 0
        assert has(store) == dict.fromkeys(pieces(load_job(path)), "JOB-2")


async def test_the_reference_may_change_before_it_is_ever_saved_too(tmp_path, store):
    async with wizard(JOB, tmp_path, WIDE) as pilot:
        await draw(pilot)
        await refer(pilot, "JOB-2")
        await press(pilot, "ctrl+s")
    assert has(store) == {"c1": "JOB-2"}


async def test_a_piece_that_another_job_took_meanwhile_is_refused_at_saving_and_nothing_is_saved(
    tmp_path, store
):
    async with wizard(JOB, tmp_path, WIDE) as pilot:
        await draw(pilot)
        await draw(pilot)
        taken(store, "c1", "JOB-9")
        await press(pilot, "ctrl+s")
        assert told(pilot).startswith("Not saved: c1 is taken by JOB-9; draw another")
        assert "Ctrl+R" in told(pilot)
        assert held(pilot).dirty
        assert load_job(tmp_path / "job.toml") == JOB
        assert has(store) == {"c1": "JOB-9"}
        await press(pilot, "f12")
        pilot.app.screen.query_one("#dialog-text").value = str(tmp_path / "other.toml")
        await press(pilot, "enter")
        assert "c1 is taken by JOB-9" in frame(pilot.app)
        assert not (tmp_path / "other.toml").exists()
        await press(pilot, "escape")
        await stand(pilot, "offcut", "piece1", "batch")
        await press(pilot, "ctrl+r", "ctrl+s")
        assert told(pilot) == "Saved job.toml"
    assert has(store) == {"c1": "JOB-9", "c2": "JOB-1"}


async def test_what_was_drawn_is_free_when_one_leaves_without_saving(tmp_path, store):
    async with wizard(JOB, tmp_path, WIDE) as pilot:
        await draw(pilot)
        await press(pilot, "f10", "down", "down", "enter")
    assert has(store) == {}
    assert load_job(tmp_path / "job.toml") == JOB


async def test_a_copy_under_another_name_cannot_have_the_pieces_for_another_job(tmp_path, store):
    async with wizard(JOB, tmp_path, WIDE) as pilot:
        await draw(pilot)
        await press(pilot, "ctrl+s")
        await refer(pilot, "JOB-2")
        await press(pilot, "f12")
        dialog_file = pilot.app.screen.query_one("#dialog-text")
        dialog_file.value = str(tmp_path / "second.toml")
        await press(pilot, "enter")
        assert "c1 is taken by JOB-1" in frame(pilot.app)
        await press(pilot, "escape", "ctrl+z", "f12")
        pilot.app.screen.query_one("#dialog-text").value = str(tmp_path / "second.toml")
        await press(pilot, "enter")
        assert told(pilot) == "Saved second.toml"
    assert has(store) == {"c1": "JOB-1"}


async def test_writing_over_a_file_that_drew_more_meanwhile_frees_that(tmp_path, store):
    path = tmp_path / "job.toml"
    async with wizard(JOB, tmp_path, WIDE) as pilot:
        more = drawing(JOB, load_store(store), "c2")
        save_and_settle(more, path, open_job(path).digest, store)
        assert has(store) == {"c2": "JOB-1"}
        await draw(pilot)
        await press(pilot, "ctrl+s")
        assert "changed the file" in frame(pilot.app)
        await press(pilot, "down", "enter")
        assert told(pilot) == "Saved job.toml"
    assert has(store) == {"c1": "JOB-1"}


async def test_the_question_about_comments_comes_first_and_the_store_follows_after(tmp_path, store):
    path = tmp_path / "job.toml"
    save_job(JOB, path, None)
    path.write_text("# call before ten\n" + path.read_text("utf-8"), "utf-8")
    async with shown(Pelmet(path), WIDE) as pilot:
        await draw(pilot)
        await press(pilot, "ctrl+s")
        assert "1 comment" in frame(pilot.app)
        assert has(store) == {}
        await press(pilot, "enter")
    assert has(store) == {"c1": "JOB-1"}
    assert "call before ten" in load_job(path).site.note


async def test_a_store_that_cannot_be_written_once_the_job_is_saved_is_said(
    tmp_path, store, monkeypatch
):
    def full(*_):
        raise SaveError(store, "the disk is full")

    async with wizard(JOB, tmp_path, WIDE) as pilot:
        await draw(pilot)
        with monkeypatch.context() as patch:
            patch.setattr(HeldStore, "write", full)
            await press(pilot, "f10", "enter")  # it does not leave before that is read
        assert told(pilot).startswith("Saved job.toml, but not the store: ")
        assert "full" in told(pilot)
    assert pieces(load_job(tmp_path / "job.toml")) == ["c1"]


# --- Work that was never saved --------------------------------------------------------------------


async def test_of_a_piece_drawn_by_a_killed_program_the_store_knows_nothing(tmp_path, store):
    path = tmp_path / "job.toml"
    save_job(JOB, path, None)
    lost = drawing(JOB, load_store(store), "c1")
    write_recovery(recovery_folder(), lost, path, open_job(path).digest, NOBODY)
    async with shown(Pelmet(path), WIDE) as pilot:
        assert "Unsaved work" in frame(pilot.app)
        await press(pilot, "enter")
        assert not dialog(pilot)
        assert pieces(held(pilot).job) == ["c1"]
        assert has(store) == {}
        await press(pilot, "ctrl+z")
        assert held(pilot).job == JOB
        await press(pilot, "ctrl+y", "ctrl+s")
    assert has(store) == {"c1": "JOB-1"}
    assert in_recovery() == []


# --- Job and store at odds ------------------------------------------------------------------------


@pytest.fixture
def at_odds(tmp_path, store):
    """Leave behind what a program does that ends after the job is saved, before the store is.

    The version before drew c1, this one draws c2.
    """
    path = tmp_path / "job.toml"
    before = drawing(JOB, load_store(store), "c1")
    save_and_settle(before, path, None, store)
    save_job(drawing(JOB, load_store(store), "c2"), path, open_job(path).digest)
    assert has(store) == {"c1": "JOB-1"}
    return path


@pytest.mark.parametrize(
    ("keys", "draws", "now", "then"),
    [
        (["enter"], ["c2"], {"c2": "JOB-1"}, {"c2": "JOB-1"}),
        (["down", "enter"], ["c1"], {"c1": "JOB-1"}, {"c1": "JOB-1"}),
        (["down", "down", "enter"], ["c2"], {"c1": "JOB-1"}, {"c1": "JOB-1"}),
        (["escape"], ["c2"], {"c1": "JOB-1"}, {"c1": "JOB-1"}),
    ],
    ids=["the job is right", "the store is right", "leave it", "escape"],
)
async def test_a_job_at_odds_with_the_store_says_so_when_it_is_opened_and_offers_to_put_it_right(
    at_odds, store, keys, draws, now, then
):
    async with shown(Pelmet(at_odds)) as pilot:
        screen = frame(pilot.app)
        assert "c1: your store has it for this job, which does not draw it" in screen
        assert "c2: this job draws it, and your store has it as free" in screen
        assert "The job is right: take c2, put back c1 in the store" in screen
        assert "The store is right: put back c2, draw c1 in the job" in screen
        await press(pilot, *keys)
        assert not dialog(pilot)
        assert pieces(held(pilot).job) == draws
        assert has(store) == now
        await press(pilot, "ctrl+s")
    assert has(store) == then
    assert pieces(load_job(at_odds)) == draws
    async with shown(Pelmet(at_odds)) as pilot:
        assert dialog(pilot) == (dict.fromkeys(draws, "JOB-1") != then)


async def test_so_does_a_job_that_is_opened_from_the_start_or_from_another(
    at_odds, store, tmp_path
):
    async with shown(Pelmet(at_odds)) as pilot:
        await press(pilot, "escape", "f10")
    async with shown(Pelmet()) as pilot:
        await press(pilot, "down", "enter")
        assert "at odds" in frame(pilot.app)
        await press(pilot, "escape", "f10")
    async with wizard(referred("JOB-7"), tmp_path, name="other.toml") as pilot:
        assert not dialog(pilot)
        await press(pilot, "ctrl+o")
        pilot.app.screen.query_one("#dialog-text").value = str(at_odds)
        await press(pilot, "enter")
        assert "at odds" in frame(pilot.app)
        await press(pilot, "enter")
        assert told(pilot) == "The store is as the job has it"
    assert has(store) == {"c2": "JOB-1"}


async def test_unsaved_work_is_offered_first_and_what_is_at_odds_is_that_of_the_file(
    at_odds, store
):
    opened = open_job(at_odds)
    lost = set_value(opened.job, "site", "", "name", "Lost and found")
    write_recovery(recovery_folder(), lost, at_odds, opened.digest, NOBODY)
    async with shown(Pelmet(at_odds)) as pilot:
        assert "Unsaved work" in frame(pilot.app)
        await press(pilot, "enter")
        assert "at odds" in frame(pilot.app)
        await press(pilot, "down", "enter")
        assert held(pilot).job.site.name == "Lost and found"
        assert pieces(held(pilot).job) == ["c1"]
        await press(pilot, "ctrl+s")
    assert has(store) == {"c1": "JOB-1"}


async def test_a_piece_that_another_job_has_is_not_taken_from_it(at_odds, store):
    change_store(store, lambda found: (give_back(found, "c1", "JOB-1"), None))
    taken(store, "c2", "JOB-9")
    async with shown(Pelmet(at_odds)) as pilot:
        assert "c2: this job draws it, and your store has it for JOB-9" in frame(pilot.app)
        await press(pilot, "enter")
        assert told(pilot).split("; ")[-1] == "put it back in the job"
        assert has(store) == {"c2": "JOB-9"}


async def test_an_example_asks_nothing_and_a_store_at_fault_is_told_to_who_draws(store, tmp_path):
    taken(store, "c1", "JOB-1")
    drawn = drawing(JOB, load_store(store), "c1")
    async with shown(Pelmet(example="kitchen")) as pilot:
        assert not dialog(pilot)
    store.write_text("schema = 1\nx = 1\n", "utf-8")
    for name, job, says in (("a.toml", JOB, ""), ("b.toml", drawn, "offcuts.toml:2: x")):
        async with wizard(job, tmp_path, name=name) as pilot:
            assert not dialog(pilot)
            assert says in "".join(told(pilot).split("\n"))
            assert ("offcuts.toml" in told(pilot)) == bool(says)

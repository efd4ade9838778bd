"""``pelmet offcuts``: what it prints and says, what it leaves of job and store when it fails."""

import os
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest

from pelmet.model.file.disk.unsaved import SaveError
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.store.store_file import HeldStore, load_store
from pelmet.tui import places
from pelmet.tui.command import main as command

Capture = pytest.CaptureFixture[str]
REFERENCE = '[job]\nreference = "J1"\n'


@pytest.fixture
def job(tmp_path: Path) -> Path:
    path = tmp_path / "job.toml"
    path.write_text(f"schema = 1\n{REFERENCE}", "utf-8")
    return path


@pytest.fixture
def store() -> Path:
    """The store in its usual place, with two pieces in it."""
    for length in ("900", "34 5/8 in"):
        assert command.main(["offcuts", "add", "surface-17", length]) == 0
    return places.offcut_store()


def told(capsys: Capture, *arguments: str | Path, code: int = 0) -> tuple[str, str]:
    capsys.readouterr()
    assert command.main(["offcuts", *map(str, arguments)]) == code
    out, err = capsys.readouterr()
    assert out.isascii()
    return out, err


def owners(path: Path) -> dict[str, str]:
    return {piece.id: piece.taken_by for piece in load_store(path).pieces if piece.taken_by}


# --- Where the store is, and what is in it --------------------------------------------------------


def test_the_store_is_in_the_data_folder_unless_it_is_named(
    own_folders: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
):
    assert places.offcut_store() == own_folders / "data" / "pelmet" / "offcuts.toml"
    told(capsys, "add", "surface-17", "900")
    assert len(load_store(own_folders / "data" / "pelmet" / "offcuts.toml").pieces) == 1
    monkeypatch.setenv("PELMET_OFFCUTS", str(tmp_path / "heard.toml"))
    told(capsys, "add", "surface-17", "901")
    assert [piece.length for piece in load_store(tmp_path / "heard.toml").pieces] == [901]
    named = tmp_path / "named.toml"
    told(capsys, "--store", named, "add", "surface-17", "902")
    told(capsys, "add", "surface-17", "903", "--store", named)
    assert [piece.length for piece in load_store(named).pieces] == [902, 903]
    assert told(capsys, "--store", named)[0].count("\n") == 4
    assert len(load_store(tmp_path / "heard.toml").pieces) == 1


def test_an_empty_store_is_said_and_prints_nothing(capsys: Capture):
    out, err = told(capsys)
    assert not out
    assert err == f"no free piece in {places.offcut_store()}\n"
    assert not places.offcut_store().parent.exists()


def test_free_pieces_are_listed_and_added_ones_print_their_ids(
    store: Path, job: Path, capsys: Capture
):
    assert told(capsys, "add", "white-24-10", "1200", "--batch", "Küche") == ("c3\n", "")
    told(capsys, "take", job, "c1")
    out, err = told(capsys)
    assert not err
    assert out == (
        "id  part         length mm  batch  from\n"
        "--  -----------  ---------  -----  ----\n"
        "c2  surface-17     879.475\n"  # 34.625 times 25.4
        "c3  white-24-10       1200  K?che\n"
    )


def test_a_part_that_no_catalogue_has_is_added_with_a_word(capsys: Capture):
    out, err = told(capsys, "add", "surfac-17", "900")
    assert out == "c1\n"
    assert 'no catalogue has "surfac-17" (did you mean "surface-17"?)' in err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("add", "two words", "900"), 'part: "two words": an id starts with'),
        (("add", "opal-17", "5 ells"), "5 ells: "),
        (("add", "opal-17", "-5"), "-5: A length cannot be negative"),
        (("add", "opal-17", "0"), "length: 0: out of range"),
        (("add", "opal-17", "5", "--batch", "\x1b[31m"), "batch: "),
        (("drop", "c2", "c7"), 'no piece "c7" in the store (did you mean "c1"?)'),
        (("sell", "c1"), "invalid choice: 'sell'"),
        (("take", "nowhere.toml", "c1"), "nowhere.toml: it cannot be read"),
    ],
)
def test_what_cannot_be_done_ends_with_2_and_words(
    store: Path, arguments: tuple[str, ...], says: str, capsys: Capture
):
    before = store.read_bytes()
    out, err = told(capsys, *arguments, code=2)
    assert not out
    assert says in err
    assert all(line.isprintable() for line in err.split("\n"))
    assert store.read_bytes() == before


def test_a_store_with_faults_is_told_with_its_lines(store: Path, job: Path, capsys: Capture):
    store.write_text('schema = 1\nlast = 1\n[[piece]]\nid = "c1"\npart = "x"\nlength = "far"\n')
    for arguments in ((), ("add", "opal-17", "5"), ("take", job, "c1"), ("undo",)):
        _, err = told(capsys, *arguments, code=2)
        assert f"{store}:6: piece c1, length: " in err


def test_pieces_thrown_away_are_gone_and_undo_brings_them_back(store: Path, capsys: Capture):
    assert told(capsys, "drop", "c1", "c1")[1] == "thrown away: c1\n"
    assert [piece.id for piece in load_store(store).pieces] == ["c2"]
    out, err = told(capsys, "undo")
    assert not out
    assert "as it was before the last change" in err
    assert [piece.id for piece in load_store(store).pieces] == ["c1", "c2"]
    told(capsys, "undo")
    assert [piece.id for piece in load_store(store).pieces] == ["c2"]


# --- Jobs that take and return --------------------------------------------------------------------


def test_a_job_takes_pieces_and_returns_them(store: Path, job: Path, capsys: Capture):
    assert told(capsys, "take", job, "c2", "c1") == ("", "taken for J1: c2, c1\n")
    assert [(each.piece, each.part) for each in load_job(job).offcuts] == [
        ("c2", "surface-17"), ("c1", "surface-17"),
    ]  # fmt: skip
    assert owners(store) == {"c1": "J1", "c2": "J1"}
    assert "c2; return or take it again" in told(capsys, "undo", code=2)[1].replace("c1, ", "")
    assert told(capsys, "return", job, "c2") == ("", "returned: c2\n")
    assert [each.piece for each in load_job(job).offcuts] == ["c1"]
    assert owners(store) == {"c1": "J1"}
    assert "c2 is not taken" in told(capsys, "return", job, "c1", "c2", code=2)[1]
    assert owners(store) == {"c1": "J1"}


def test_two_jobs_never_take_one_piece(store: Path, job: Path, tmp_path: Path, capsys: Capture):
    other = tmp_path / "other.toml"
    other.write_text('schema = 1\n[job]\nreference = "J2"\n')
    told(capsys, "take", job, "c1")
    before = (other.read_bytes(), store.read_bytes())
    assert "c1 is taken by J1" in told(capsys, "take", other, "c2", "c1", code=2)[1]
    assert "c1 is taken by J1" in told(capsys, "return", other, "c1", code=2)[1]
    assert "This job draws c1 already" in told(capsys, "take", job, "c1", code=2)[1]
    assert (other.read_bytes(), store.read_bytes()) == before


def test_a_job_without_a_reference_takes_nothing(store: Path, job: Path, capsys: Capture):
    job.write_text("schema = 1\n")
    for arguments in (("take", job, "c1"), ("keep", job)):
        assert "give the job a reference first" in told(capsys, *arguments, code=2)[1]
    assert (job.read_text(), owners(store)) == ("schema = 1\n", {})


def test_comments_of_the_job_file_go_into_its_note(store: Path, job: Path, capsys: Capture):
    job.write_text(f"schema = 1\n{REFERENCE}# measured in June\n")
    assert "comments of the job file are in its note" in told(capsys, "take", job, "c1")[1]
    assert load_job(job).site.note == "line 4: measured in June"
    assert "comments" not in told(capsys, "return", job, "c1")[1]


def test_a_job_that_cannot_be_saved_has_taken_nothing(store: Path, job: Path, capsys: Capture):
    job.chmod(0o444)
    _, err = told(capsys, "take", job, "c1", code=2)
    assert "marked read-only" in err
    assert load_job(job).offcuts == ()
    assert owners(store) == {}


@pytest.mark.parametrize("act", ["take", "return"])
def test_a_store_that_is_behind_a_saved_job_is_said_and_the_same_again_puts_it_right(
    act: str, store: Path, job: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
):
    def full(*_: object) -> None:
        raise SaveError(store, "the disk is full")

    if act == "return":
        told(capsys, "take", job, "c1")
    before = owners(store)
    with monkeypatch.context() as patch:
        patch.setattr(HeldStore, "write", full)
        err = told(capsys, act, job, "c1", code=2)[1]
    assert "the disk is full" in err
    assert "job.toml is saved all the same; take or return the same pieces again" in err
    assert [each.piece for each in load_job(job).offcuts] == (["c1"] if act == "take" else [])
    assert owners(store) == before
    assert command.main(["check", str(job)]) == 0
    assert "open the job in the wizard to put that right" in capsys.readouterr().err
    told(capsys, act, job, "c1")
    assert owners(store) == ({"c1": "J1"} if act == "take" else {})
    assert command.main(["check", str(job)]) == 0
    assert "your store" not in capsys.readouterr().err


def test_a_return_that_cannot_be_saved_frees_nothing(store: Path, job: Path, capsys: Capture):
    told(capsys, "take", job, "c1")
    job.chmod(0o444)
    assert "marked read-only" in told(capsys, "return", job, "c1", code=2)[1]
    assert owners(store) == {"c1": "J1"}


def test_what_a_job_draws_and_the_store_has_lost_can_still_be_returned(
    store: Path, job: Path, capsys: Capture
):
    told(capsys, "take", job, "c1")
    store.write_text("schema = 1\n")
    assert told(capsys, "return", job, "c1")[1] == "returned: c1\n"
    assert load_job(job).offcuts == ()


def test_pieces_of_a_job_whose_file_is_gone_are_returned_by_its_reference(
    store: Path, job: Path, capsys: Capture
):
    told(capsys, "take", job, "c1", "c2")
    job.unlink()
    assert "c1 is taken by J1; return it first" in told(capsys, "drop", "c1", code=2)[1]
    assert "it cannot be read" in told(capsys, "return", "J2", "c1", code=2)[1]
    assert owners(store) == {"c1": "J1", "c2": "J1"}
    assert told(capsys, "return", "J1", "c1") == ("", "returned: c1\n")
    assert owners(store) == {"c2": "J1"}
    told(capsys, "drop", "c1")


def test_a_piece_that_the_store_has_for_another_leaves_the_job_and_that_is_said(
    store: Path, job: Path, capsys: Capture
):
    told(capsys, "take", job, "c1")
    job.write_text(job.read_text("utf-8").replace("J1", "J9"), "utf-8")  # by hand
    assert command.main(["check", str(job)]) == 0
    assert "c1: this job draws it, and your store has it for J1" in capsys.readouterr().err
    assert "This job draws c1 already" in told(capsys, "take", job, "c1", code=2)[1]
    _, err = told(capsys, "return", job, "c1")
    assert 'if there is no such job any more: pelmet offcuts return "J1" c1' in err
    assert load_job(job).offcuts == ()
    told(capsys, "return", "J1", "c1")
    told(capsys, "take", job, "c1")
    assert owners(store) == {"c1": "J9"}


def test_a_check_says_nothing_of_a_store_that_is_none_of_its_business(
    store: Path, job: Path, capsys: Capture
):
    store.write_text("schema = 1\nx = 1\n", "utf-8")
    assert command.main(["check", str(job)]) == 0
    assert "offcuts" not in capsys.readouterr().err
    job.write_text(
        f'schema = 1\n{REFERENCE}[[offcut]]\nid = "piece1"\npiece = "c1"\n'
        'part = "surface-17"\nlength = 900\n', "utf-8",
    )  # fmt: skip
    command.main(["check", str(job)])
    assert "offcuts.toml:2: x" in capsys.readouterr().err


# --- What a job leaves ----------------------------------------------------------------------------


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    path = tmp_path / "kitchen.toml"
    path.write_bytes(files("pelmet.model.examples").joinpath("kitchen.toml").read_bytes())
    return path


def test_the_rests_of_a_job_are_kept_once(kitchen: Path, capsys: Capture):
    reference = load_job(kitchen).site.reference
    assert reference
    out, err = told(capsys, "keep", kitchen)
    found = load_store(places.offcut_store()).pieces
    assert out.split() == [piece.id for piece in found]
    assert found
    assert {piece.from_job for piece in found} == {reference}
    assert err == f"kept of {reference}: {len(found)}\n"
    assert "in the store already" in told(capsys, "keep", kitchen, code=2)[1]
    assert len(told(capsys, "keep", kitchen, "--again")[0].split()) == len(found)
    told(capsys, "undo")
    assert load_store(places.offcut_store()).pieces == found


def test_a_piece_that_was_cut_up_is_gone_once_its_rest_is_kept(kitchen: Path, capsys: Capture):
    told(capsys, "add", "surface-17", "1950")
    told(capsys, "take", kitchen, "c1")
    assert "used up: c1" in told(capsys, "keep", kitchen)[1]
    assert load_store(places.offcut_store()).find("c1") is None
    told(capsys, "return", kitchen, "c1")
    assert load_store(places.offcut_store()).find("c1") is None


def test_keep_hears_of_the_catalogue_and_the_prices(kitchen: Path, tmp_path: Path, capsys: Capture):
    bad = tmp_path / "bad.toml"
    bad.write_text("x = 1\n")
    for option in ("--catalogue", "--prices"):
        assert "bad.toml:1: x" in told(capsys, "keep", kitchen, option, bad, code=2)[1]


# --- As a process ---------------------------------------------------------------------------------

LOADED = (
    "import sys; from pelmet.tui.command.main import main; main(); "
    "print(*sys.modules, file=sys.stderr)"
)


@pytest.mark.parametrize("arguments", [["--help"], ["take", "--help"], ["keep", "--help"]])
def test_help_loads_the_standard_library_and_the_commands_alone(arguments: list[str]):
    done = subprocess.run(
        [sys.executable, "-c", LOADED, "offcuts", *arguments],
        capture_output=True, text=True, check=True, env=os.environ,
    )  # fmt: skip
    assert "usage: pelmet offcuts" in done.stdout
    loaded = set(done.stderr.split())
    assert not loaded & {"textual", "rich", "pint", "pydantic", "platformdirs", "tomllib"}
    ours = {name for name in loaded if name.startswith("pelmet.model")}
    assert ours == {"pelmet.model", "pelmet.model.refusal"}


def test_the_list_never_loads_the_screen(store: Path):
    done = subprocess.run(
        [sys.executable, "-c", LOADED, "offcuts"],
        capture_output=True, text=True, check=True, env=os.environ,
    )  # fmt: skip
    assert "c1" in done.stdout
    assert not set(done.stderr.split()) & {"textual", "rich", "pint"}


def test_two_jobs_that_take_at_once_share_nothing(store: Path, tmp_path: Path):
    jobs = [tmp_path / f"{name}.toml" for name in ("J1", "J2", "J3")]
    for path in jobs:
        path.write_text(f'schema = 1\n[job]\nreference = "{path.stem}"\n')
    running = [
        subprocess.Popen([sys.executable, "-m", "pelmet.tui", "offcuts", "take", path, "c1"])
        for path in jobs
    ]
    codes = [one.wait() for one in running]
    assert sorted(codes) == [0, 2, 2]
    drawing = [path.stem for path in jobs if load_job(path).offcuts]
    assert owners(store) == {"c1": drawing[0]}
    assert len(drawing) == 1

"""Many jobs on one command line: which they are, what is told of each, and how it ends."""

import json
import os
import signal
import subprocess
import sys
from collections.abc import Iterator
from importlib.resources import files
from pathlib import Path

import psutil
import pytest
from terminal import Terminal
from test_command import STOPPED

from pelmet.tui.command import main as command
from pelmet.tui.command import many_jobs

Capture = pytest.CaptureFixture[str]
KITCHEN = files("pelmet.model.examples").joinpath("kitchen.toml").read_text("utf-8")
SMALL = 'schema = 1\n[job]\nname = "Küche"\n'
BAD = 'schema = 1\n[job]\ncolour = "red"\n'


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    return tmp_path


def write(**jobs: str) -> list[str]:
    """Write each text to the file that its name says, and give the names of the files."""
    names = [f"{name}.toml" for name in jobs]
    for name, text in zip(names, jobs.values(), strict=True):
        Path(name).write_text(text, "utf-8")
    return names


def test_check_of_several_gives_a_line_each_in_order_and_the_worst_code(capsys: Capture) -> None:
    names = write(kitchen=KITCHEN, bad=BAD, stopped=STOPPED, small=SMALL)
    assert command.main(["check", *names]) == 2
    told = capsys.readouterr()
    assert told.out.splitlines() == [
        "kitchen.toml: 0 stop, 10 warn, 7 ask",
        "bad.toml: refused",
        "stopped.toml: 1 stop, 2 warn, 1 ask",
        "small.toml: 0 stop, 0 warn, 0 ask",
    ]
    refused, summary = told.err.splitlines()
    assert summary == "4 jobs: 2 with nothing at stop, 1 with something, 1 refused"
    command.main(["check", "bad.toml"])
    assert capsys.readouterr().err == f"{refused}\n"
    assert command.main(["check", "small.toml", "stopped.toml", "kitchen.toml"]) == 1
    assert command.main(["check", "small.toml", "kitchen.toml"]) == 0


@pytest.mark.parametrize("name", ["check", "show", "figures"])
def test_json_of_several_is_a_line_each_that_says_what_it_says_alone(
    name: str, capsys: Capture
) -> None:
    names = write(kitchen=KITCHEN, bad=BAD, small=SMALL)
    assert command.main([name, *names, "--json"]) == 2
    out, err = capsys.readouterr()
    for file, line in zip(names, out.splitlines(), strict=True):
        document = json.loads(line)
        assert document.pop("file") == file
        if command.main([name, file, "--json"]):
            refused = {"refused": capsys.readouterr().err.removesuffix("\n")}
            assert document == refused
            assert refused["refused"] in err
        else:
            assert document == json.loads(capsys.readouterr().out)


@pytest.mark.parametrize("name", ["show", "figures"])
def test_each_of_several_stands_whole_under_the_name_of_its_file(
    name: str, capsys: Capture
) -> None:
    names = write(kitchen=KITCHEN, bad=BAD, küche=SMALL)
    assert command.main([name, *names]) == 2
    told = capsys.readouterr()
    wanted = ""
    for file in ("kitchen.toml", "küche.toml"):
        command.main([name, file])
        shown = ascii(file)[1:-1]
        wanted += f"{shown}\n{'=' * len(shown)}\n\n{capsys.readouterr().out}\n"
    assert told.out == wanted
    assert told.err.startswith("bad.toml:3: ")


def test_of_a_folder_the_job_files_are_taken_by_name(here: Path, capsys: Capture) -> None:
    Path("jobs/old.toml").mkdir(parents=True)
    names = ("b", "a", "a.toml.previous", ".c", "catalogue", "prices", "offcuts", "notes.txt")
    for name in names:
        path = Path("jobs") / name
        (path if path.suffix else path.with_name(f"{name}.toml")).write_text(SMALL, "utf-8")
    Path("jobs/.c.toml").write_text(SMALL, "utf-8")
    write(first=SMALL)
    assert command.main(["check", "first.toml", "jobs", str(Path("jobs", "b.toml"))]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [line.split(": ")[0] for line in lines] == [
        "first.toml", str(Path("jobs", "a.toml")), str(Path("jobs", "b.toml")),
    ]  # fmt: skip


def test_a_folder_of_one_job_is_told_like_one_of_many(here: Path, capsys: Capture) -> None:
    Path("jobs").mkdir()
    Path("jobs/a.toml").write_text(SMALL, "utf-8")
    assert command.main(["check", "jobs"]) == 0
    assert capsys.readouterr().out == f"{Path('jobs', 'a.toml')}: 0 stop, 0 warn, 0 ask\n"


def test_a_folder_without_jobs_is_refused_and_stops_nothing(here: Path, capsys: Capture) -> None:
    Path("none").mkdir()
    write(a=SMALL)
    assert command.main(["check", "none", "a.toml"]) == 2
    out, err = capsys.readouterr()
    assert out.splitlines() == ["none: refused", "a.toml: 0 stop, 0 warn, 0 ask"]
    assert err.startswith("none: no job file is in this folder; ")
    assert command.main(["show", "none"]) == 2


@pytest.mark.parametrize(
    "words",
    [["check"], ["show", "--json"], ["papers", "--out", "out", "--format", "text,pdf",
                                     "--only", "order"]],
)  # fmt: skip
def test_any_number_of_workers_gives_the_same_bytes(
    words: list[str], here: Path, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    names = write(bad=BAD, **{f"k{each}": KITCHEN.replace("320", each) for each in ("300", "310")})
    monkeypatch.setattr(many_jobs, "_JOBS_A_WORKER", 1)

    def told(workers: int) -> tuple[int, str, str, dict[str, bytes]]:
        monkeypatch.setattr(many_jobs, "cores", lambda: workers)
        code = command.main([*words, *names])
        written = {str(each): each.read_bytes() for each in Path("out").rglob("order.*")}
        for path in written:
            Path(path).unlink()
        return code, *capsys.readouterr(), written

    one = told(1)
    assert one[0] == 2
    assert one[1]
    assert bool(one[3]) == (words[0] == "papers")
    assert told(2) == one


def test_papers_of_several_go_into_a_folder_each_and_none_over_another(
    here: Path, capsys: Capture
) -> None:
    for place, name in enumerate(("a/kitchen", "b/Kitchen", "c/kitchen", "kitchen-2")):
        Path(name).parent.mkdir(exist_ok=True)
        text = KITCHEN.replace("12 Plover", f"{place} Plover")
        Path(f"{name}.toml").write_text(text, "utf-8")
    names = ["a/kitchen.toml", "b/Kitchen.toml", "c/kitchen.toml", "kitchen-2.toml"]
    assert command.main(["papers", *names, "--out", "out", "--only", "order", "--format", "text",
                         "--replace"]) == 0  # fmt: skip
    told = capsys.readouterr()
    folders = ("kitchen", "Kitchen-3", "kitchen-4", "kitchen-2")
    files = [str(Path("out", folder, "order.txt")) for folder in folders]
    assert told.out.splitlines() == files
    for place, file in enumerate(files):
        assert f", {place} Plover" in Path(file).read_text("utf-8")
    assert [line.split(": ")[0] for line in told.err.splitlines()] == names[1:3]
    assert str(Path("out", "Kitchen-3")) in told.err


def test_ones_own_parts_and_prices_hold_for_each_of_several(here: Path) -> None:
    names = write(a=KITCHEN, b=KITCHEN)
    Path("own.toml").write_text(
        '[[diffuser]]\nid = "opal-17"\nname = "Own sheet"\ntransmission_percent = 70\n'
        "stock = [2000]\nprice = 1\n",
        "utf-8",
    )
    Path("book.toml").write_text('currency = "CHF"\n', "utf-8")
    words = ["--only", "quote,order", "--format", "text", "--catalogue", "own.toml"]
    assert command.main(["papers", *names, "--out", "out", *words, "--prices", "book.toml"]) == 0
    for name in "ab":
        assert "Own sheet" in Path("out", name, "order.txt").read_text("utf-8")
        assert "CHF" in Path("out", name, "quote.txt").read_text("utf-8")


@pytest.mark.parametrize(
    "words",
    [
        ["papers", "--out", "out", "--only", "ordr"],
        ["papers", "--out", "out", "--prices", "none.toml"],
        ["show", "--catalogue", "none.toml"],
    ],
)
def test_what_holds_for_all_jobs_is_refused_once(words: list[str], capsys: Capture) -> None:
    names = write(a=SMALL, b=SMALL)
    assert command.main([*words, *names]) == 2
    out, err = capsys.readouterr()
    assert not out
    assert len(err.splitlines()) == 1


def test_a_job_that_ends_its_worker_is_refused_in_words(
    monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    names = write(a=SMALL, b=SMALL)
    monkeypatch.setattr(
        many_jobs, "in_order", lambda _, tasks, lost, __: (lost(each) for each in tasks)
    )
    assert command.main(["check", *names]) == 2
    out, err = capsys.readouterr()
    assert out == "a.toml: refused\nb.toml: refused\n"
    assert err.startswith("a.toml: the process that worked on it ended before it was done; ")


def start(*names: str) -> "subprocess.Popen[bytes]":
    return subprocess.Popen(
        [sys.executable, "-m", "pelmet.tui", "check", *names],
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, start_new_session=True,
    )  # fmt: skip


@pytest.fixture
def ctrl_c_heard() -> Iterator[None]:
    """What a shell starts beside itself has Ctrl+C ignored, and all that it starts in its turn."""
    before = signal.signal(signal.SIGINT, signal.default_int_handler)
    yield
    signal.signal(signal.SIGINT, before)


@pytest.mark.usefixtures("ctrl_c_heard")
@pytest.mark.parametrize("whom", [os.kill, os.killpg])
def test_ctrl_c_ends_it_and_leaves_no_worker(whom, here: Path) -> None:
    names = write(**{f"k{each}": KITCHEN for each in range(100)})
    with start(*names) as started:
        assert started.stdout
        assert started.stderr
        started.stdout.readline()
        workers = [
            each for each in psutil.Process(started.pid).children()
            if "spawn_main" in " ".join(each.cmdline())
        ]  # fmt: skip
        whom(started.pid, signal.SIGINT)
        assert started.wait() == 130
        assert workers
        assert not any(each.is_running() for each in workers)
        assert not started.stderr.read()


def test_workers_end_with_the_one_who_started_them_however_it_ends(here: Path) -> None:
    with start(*write(**{f"k{each}": KITCHEN for each in range(100)})) as started:
        assert started.stdout
        started.stdout.readline()
        started.kill()
        # They hold the other ends of what is read here: it comes to an end only as they do.
        assert not started.communicate()[1]


@pytest.mark.journey
def test_how_far_it_is_shows_on_a_terminal_alone(here: Path, capsys: Capture) -> None:
    names = write(a=SMALL, b=SMALL, c=SMALL)
    command.main(["show", *names])
    assert not capsys.readouterr().err
    terminal = Terminal("-m", "pelmet.tui", "check", *names)
    assert terminal.ended() == 0
    for shown in (b"\r1 of 3", b"\r2 of 3", b"c.toml: 0 stop"):
        assert shown in terminal.said
    assert terminal.said.rsplit(b"\r", 2)[1].startswith(b"3 jobs: ")

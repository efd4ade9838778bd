"""The command line as a process: what it loads, how it ends, what any terminal can show."""

import os
import subprocess
import sys
from importlib.resources import files
from pathlib import Path

import pytest
from jobs import one_bar

from pelmet.model.file.job.saving import save_job

HEAVY = {"textual", "rich", "pint", "psutil", "typst", "hypothesis", "scipy"}
SOLVERS = {"numpy", "highspy"}
ABSENT_FROM_HELP = HEAVY | {"pydantic", "platformdirs", "tomli_w", "tomllib"}
LOADED = (
    "import sys; from pelmet.tui.command.main import main; main(); "
    "print(*sys.modules, file=sys.stderr)"
)


@pytest.fixture
def kitchen(tmp_path: Path) -> str:
    path = tmp_path / "kitchen.toml"
    path.write_bytes(files("pelmet.model.examples").joinpath("kitchen.toml").read_bytes())
    return str(path)


def run(
    *arguments: str, code: str | None = None, **env: str
) -> "subprocess.CompletedProcess[bytes]":
    start = ["-c", code] if code else ["-m", "pelmet.tui"]
    return subprocess.run(
        [sys.executable, *start, *arguments],
        capture_output=True,
        stdin=subprocess.DEVNULL,
        env=os.environ | env,
        check=False,
    )


def each_of(lines: list[list[str]], last: str) -> str:
    """Give a program that does each command in turn, then writes something to its errors."""
    return (
        "import sys; from pelmet.tui.command.main import main; "
        f"codes = [main(line) for line in {lines!a}]; print({last}, file=sys.stderr)"
    )


def loaded_by(*arguments: str) -> set[str]:
    done = run(*arguments, code=LOADED)
    return set(done.stderr.decode().split())


@pytest.mark.parametrize("arguments", [["--help"], ["--version"], ["check", "--help"]])
def test_help_and_version_load_the_standard_library_alone(arguments: list[str]) -> None:
    loaded = loaded_by(*arguments)
    assert "argparse" in loaded
    assert not loaded & ABSENT_FROM_HELP
    ours = {name for name in loaded if name.startswith("pelmet.")}
    command = "pelmet.tui.command"
    parts = {f"{command}.{part}" for part in ("main", "parsers")}
    own = {f"pelmet.tui.{part}" for part in ("codes", "starting")}
    assert ours == {"pelmet.tui", *own, command, *parts, "pelmet.model", "pelmet.model.refusal"}


def test_headless_commands_never_load_the_screen(kitchen: str) -> None:
    lines = [
        [command, kitchen, *more]
        for command in ("check", "show", "figures") for more in ([], ["--json"])
    ]  # fmt: skip
    loaded = set(run(code=each_of(lines, "*sys.modules")).stderr.decode().split())
    assert "pelmet.model.plan.stages" in loaded
    assert not loaded & HEAVY


def test_the_check_of_one_bar_loads_no_solver_and_nothing_that_prints_or_keeps(
    tmp_path: Path,
) -> None:
    path = tmp_path / "one.toml"
    save_job(one_bar(), path, None)
    loaded = loaded_by("check", str(path))
    assert "pelmet.model.order.cutting.solving" in loaded
    assert not loaded & (HEAVY | {"highspy", "tomli_w", "asyncio", "subprocess", "multiprocessing"})
    ours = {name.removeprefix("pelmet.") for name in loaded if name.startswith("pelmet.")}
    unused = ("model.edit", "model.examples", "model.file.store", "model.told.blocks",
              "model.told.data", "model.told.formats", "model.told.papers", "tui.panes",
              "tui.session", "tui.wizard")  # fmt: skip
    assert not {name for name in ours if name.startswith(unused)}


FRAME = """
import sys
import pelmet.tui.app
from pelmet.tui.command import main
pelmet.tui.app.run = lambda *_: print(*sys.modules, file=sys.stderr) or 0
main._has_terminal = lambda: True
sys.exit(main.main())
"""


@pytest.mark.parametrize("arguments", [[], ["JOB"], ["example"]], ids=["alone", "job", "example"])
def test_nothing_of_the_model_is_loaded_before_the_first_frame(
    arguments: list[str], kitchen: str
) -> None:
    done = run(*(kitchen if each == "JOB" else each for each in arguments), code=FRAME)
    loaded = set(done.stderr.decode().split())
    assert done.returncode == 0
    assert "textual" in loaded
    assert not loaded & (SOLVERS | {"pydantic", "tomllib", "tomli_w", "psutil", "pint"})
    assert not {name for name in loaded if name.startswith(("pelmet.model.job", "pelmet.model.pl"))}


def test_the_start_is_not_looked_through_for_waste_but_what_follows_is(kitchen: str) -> None:
    seen = "import gc, sys; from pelmet.tui.command.main import main; main(); "
    told = "print(gc.isenabled(), gc.get_freeze_count() > 0, file=sys.stderr)"
    assert run("--version", code=seen + told).stderr.split() == [b"False", b"False"]
    assert run("check", kitchen, code=seen + told).stderr.split()[-2:] == [b"True", b"True"]


def test_schema_and_a_written_example_never_load_the_screen(tmp_path: Path) -> None:
    for arguments in (["schema"], ["example", "--write", str(tmp_path / "new.toml")]):
        loaded = loaded_by(*arguments)
        assert not loaded & (HEAVY | SOLVERS)
        assert not {name for name in loaded if name.startswith(("pelmet.model.plan", "tomli_w"))}


def test_the_exit_code_is_that_of_the_process(kitchen: str, tmp_path: Path) -> None:
    assert run("check", kitchen).returncode == 0
    assert run("check", str(tmp_path / "none.toml")).returncode == 2
    assert run("--verbose").returncode == 2


@pytest.mark.parametrize("jobs", [1, 3])
@pytest.mark.parametrize("command", ["check", "figures"])
def test_a_reader_that_goes_away_is_no_fault(command: str, jobs: int, kitchen: str) -> None:
    named = [str(Path(kitchen).with_name(f"{each}.toml")) for each in range(jobs)]
    for each in named:
        Path(each).write_bytes(Path(kitchen).read_bytes())
    read, write = os.pipe()
    os.close(read)
    with os.fdopen(write, "wb") as pipe:
        done = subprocess.run(
            [sys.executable, "-m", "pelmet.tui", command, *named, "--json"],
            stdout=pipe,
            stderr=subprocess.PIPE,
            check=False,
        )
    assert done.returncode == 141
    assert b"Error" not in done.stderr
    assert b"Traceback" not in done.stderr


ASCII = {"PYTHONIOENCODING": "ascii"}
PLAIN = {"LC_ALL": "C", "PYTHONUTF8": "0"}


def test_letters_that_the_terminal_lacks_are_no_fault(tmp_path: Path) -> None:
    path = tmp_path / "Küche.toml"
    path.write_text('schema = 1\n[job]\nname = "Küche \u4e2d"\nnote = "\u00bd"\n', "utf-8")
    for env, *arguments in (
        (ASCII, "check"), (PLAIN, "show"), (ASCII, "show", "--json"), (PLAIN, "figures"),
    ):  # fmt: skip
        done = run(*arguments, str(path), **env)
        assert done.returncode == 0
        assert done.stdout.isascii()
        assert b"Traceback" not in done.stderr
    path.write_text("schema = 1\nKüche = 1\n", "utf-8")
    done = run("check", str(path), **ASCII)
    assert done.returncode == 2
    assert b"K" in done.stderr
    assert b"Traceback" not in done.stderr


def test_without_a_terminal_the_wizard_says_what_works() -> None:
    done = run()
    assert done.returncode == 2
    assert done.stderr.startswith(b"the wizard needs a terminal")
    assert not done.stdout

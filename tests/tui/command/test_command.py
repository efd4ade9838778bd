"""The command line: what it prints where, and the exit codes it promises."""

import json
import tomllib
from collections.abc import Callable
from importlib.metadata import version
from importlib.resources import files
from pathlib import Path
from types import SimpleNamespace

import pytest

from pelmet.tui import places
from pelmet.tui.command import main as command

EXAMPLES = sorted(
    entry.name for entry in files("pelmet.model.examples").iterdir() if entry.name.endswith(".toml")
)
COMMANDS = (
    "check", "show", "figures", "example", "schema", "papers", "compare", "offcuts", "curve",
)  # fmt: skip
STOPPED = """\
schema = 1
[[room]]
id = "K"
name = "Küche"
[[wall]]
id = "A"
room = "K"
length = 3000
[[cabinet]]
id = "A1"
wall = "A"
at = 0
width = 600
depth = 320
bottom_height = 1400
[[run]]
id = "R1"
cabinets = ["A1"]
"""
OWN_PARTS = """\
[[cap]]
id = "cap-17"
name = "Own cap"
thickness = 5
"""

Capture = pytest.CaptureFixture[str]
Opened = list[tuple[Path | None, str | None, Path | None]]


@pytest.fixture
def kitchen(tmp_path: Path) -> str:
    path = tmp_path / "kitchen.toml"
    path.write_bytes(files("pelmet.model.examples").joinpath("kitchen.toml").read_bytes())
    return str(path)


@pytest.fixture
def stopped(tmp_path: Path) -> str:
    path = tmp_path / "stopped.toml"
    path.write_text(STOPPED, "utf-8")
    return str(path)


@pytest.fixture
def opened(monkeypatch: pytest.MonkeyPatch) -> Opened:
    """Stand in for the wizard, and keep what it was asked to open."""
    calls: Opened = []

    def run(path: Path | None, example: str | None, catalogue: Path | None) -> int:
        calls.append((path, example, catalogue))
        return 0

    monkeypatch.setitem(__import__("sys").modules, "pelmet.tui.app", SimpleNamespace(run=run))
    monkeypatch.setattr(command, "_has_terminal", lambda: True)
    return calls


def test_help_names_every_command_and_ends_well(capsys: Capture) -> None:
    assert command.main(["--help"]) == 0
    told = capsys.readouterr()
    for name in COMMANDS:
        assert f"\n  {name} " in told.out
    assert not told.err


@pytest.mark.parametrize("name", COMMANDS)
def test_each_command_has_its_own_help(name: str, capsys: Capture) -> None:
    assert command.main([name, "--help"]) == 0
    assert f"usage: pelmet {name}" in capsys.readouterr().out


def test_version_is_that_of_the_installed_package(capsys: Capture) -> None:
    assert command.main(["--version"]) == 0
    assert capsys.readouterr().out == f"pelmet {version('pelmet')}\n"


def test_check_ends_with_0_when_nothing_is_at_stop(kitchen: str, capsys: Capture) -> None:
    assert command.main(["check", kitchen]) == 0
    told = capsys.readouterr()
    assert "too-dark: run R4" in told.out
    assert told.err.startswith("0 stop, ")


def test_check_ends_with_1_when_something_is_at_stop(stopped: str, capsys: Capture) -> None:
    assert command.main(["check", stopped]) == 1
    told = capsys.readouterr()
    assert told.out.startswith("stop    no-supply: run R1, leg\n")
    assert told.err.startswith("1 stop, ")


@pytest.mark.parametrize("name", ["check", "show", "figures"])
@pytest.mark.parametrize("json_wanted", [[], ["--json"]])
def test_a_file_that_is_not_a_job_ends_with_2_and_words(
    name: str, json_wanted: list[str], tmp_path: Path, capsys: Capture
) -> None:
    path = tmp_path / "bad.toml"
    path.write_text('schema = 1\n[job]\nname = "x"\ncolour = "red"\n')
    assert command.main([name, str(path), *json_wanted]) == 2
    told = capsys.readouterr()
    assert not told.out
    assert f"{path}:4: " in told.err
    assert "colour" in told.err


@pytest.mark.parametrize("name", ["check", "show", "figures"])
def test_a_file_that_is_not_there_ends_with_2_and_words(name: str, capsys: Capture) -> None:
    assert command.main([name, "nowhere.toml"]) == 2
    told = capsys.readouterr()
    assert not told.out
    assert "nowhere.toml" in told.err


@pytest.mark.parametrize("name", ["show", "figures"])
def test_show_and_figures_end_with_0_whatever_is_found(
    name: str, stopped: str, capsys: Capture
) -> None:
    assert command.main([name, stopped]) == 0
    told = capsys.readouterr()
    assert told.out
    assert not told.err


@pytest.mark.parametrize("name", ["check", "show", "figures"])
def test_json_names_its_document_and_is_all_there_is(
    name: str, kitchen: str, capsys: Capture
) -> None:
    assert command.main([name, kitchen, "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["pelmet"] == {"document": name, "version": 1}


def test_json_keeps_letters_that_ascii_lacks(stopped: str, capsys: Capture) -> None:
    Path(stopped).write_text(f'{STOPPED}[job]\nname = "Küche"\n', "utf-8")
    assert command.main(["show", stopped, "--json"]) == 0
    out = capsys.readouterr().out
    assert out.isascii()
    assert json.loads(out)["job"]["name"] == "Küche"


@pytest.mark.parametrize("name", ["check", "show", "figures"])
def test_text_is_ascii_and_no_wider_than_the_page(name: str, kitchen: str, capsys: Capture) -> None:
    command.main([name, kitchen])
    lines = capsys.readouterr().out.splitlines()
    assert lines
    assert all(len(line) <= 78 and line.isascii() for line in lines)


def test_schema_prints_a_schema_that_takes_every_example(capsys: Capture) -> None:
    from jsonschema import Draft7Validator

    assert command.main(["schema"]) == 0
    validator = Draft7Validator(json.loads(capsys.readouterr().out))
    for name in EXAMPLES:
        text = files("pelmet.model.examples").joinpath(name).read_text("utf-8")
        assert not list(validator.iter_errors(tomllib.loads(text)))


@pytest.mark.parametrize("name", EXAMPLES)
def test_an_example_is_written_as_it_is_bundled(name: str, tmp_path: Path, capsys: Capture) -> None:
    target = tmp_path / "new.toml"
    stem = name.removesuffix(".toml")
    assert command.main(["example", stem, "--write", str(target)]) == 0
    bundled = files("pelmet.model.examples").joinpath(name).read_bytes()
    assert target.read_bytes() == bundled
    told = capsys.readouterr()
    assert not told.out
    assert str(target) in told.err


def test_an_example_is_never_written_over_a_file(tmp_path: Path, capsys: Capture) -> None:
    target = tmp_path / "mine.toml"
    target.write_text("mine")
    assert command.main(["example", "--write", str(target)]) == 2
    assert target.read_text() == "mine"
    assert "is there already" in capsys.readouterr().err


def test_an_example_that_cannot_be_written_ends_with_2(tmp_path: Path, capsys: Capture) -> None:
    assert command.main(["example", "--write", str(tmp_path / "no" / "x.toml")]) == 2
    assert "not written" in capsys.readouterr().err


def test_an_unknown_example_is_answered_with_the_known_ones(capsys: Capture) -> None:
    assert command.main(["example", "kitchn"]) == 2
    told = capsys.readouterr().err
    assert 'did you mean "kitchen"?' in told
    for name in EXAMPLES:
        assert name.removesuffix(".toml") in told


def test_alone_it_opens_the_wizard_with_nothing(opened: Opened) -> None:
    assert command.main([]) == 0
    assert opened == [(None, None, None)]


def test_a_job_file_opens_in_the_wizard(opened: Opened, kitchen: str) -> None:
    assert command.main([kitchen]) == 0
    assert opened == [(Path(kitchen), None, None)]


def test_the_example_opens_in_the_wizard(opened: Opened) -> None:
    assert command.main(["example"]) == 0
    assert opened == [(None, "kitchen", None)]


def test_a_job_named_like_a_command_opens_with_its_folder_in_front(
    opened: Opened, kitchen: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(Path(kitchen).parent)
    Path(kitchen).rename("check")
    assert command.main(["./check"]) == 0
    assert opened == [(Path("check"), None, None)]


def test_without_a_terminal_the_wizard_is_refused_in_words(
    monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    monkeypatch.setattr("sys.stdin", SimpleNamespace(isatty=lambda: False))
    assert command.main([]) == 2
    assert "needs a terminal" in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [["chek"], ["chek", "job.toml"], ["chek", "--json", "x"]])
def test_a_mistyped_command_is_answered_with_the_nearest(
    arguments: list[str], opened: Opened, capsys: Capture
) -> None:
    assert command.main(arguments) == 2
    told = capsys.readouterr().err
    assert "no such file" in told
    assert 'did you mean "check"?' in told
    assert not opened


def test_a_missing_job_is_not_taken_for_a_mistyped_command(opened: Opened, capsys: Capture) -> None:
    assert command.main(["harrier-lane.toml"]) == 2
    told = capsys.readouterr().err
    assert "harrier-lane.toml: no such file" in told
    assert "did you mean" not in told


def test_an_option_before_the_command_is_answered_with_the_order(capsys: Capture) -> None:
    assert command.main(["--catalogue", "x.toml", "check", "job.toml"]) == 2
    assert "put the command first" in capsys.readouterr().err


@pytest.mark.parametrize(
    "arguments",
    [["check"], ["papers", "a", "b"], ["--verbose"], ["schema", "x"], ["show", "--jso", "x"]],
)
def test_wrong_usage_ends_with_2(arguments: list[str], capsys: Capture) -> None:
    assert command.main(arguments) == 2
    told = capsys.readouterr()
    assert not told.out
    assert "usage: pelmet" in told.err


@pytest.mark.parametrize(
    "arguments", [["-"], ["check", "-"], ["example", "--write", "-"], ["--catalogue", "-"]]
)
def test_a_dash_is_no_file(arguments: list[str], opened: Opened, capsys: Capture) -> None:
    assert command.main(arguments) == 2
    assert '"-" is not a file' in capsys.readouterr().err
    assert not opened


def test_a_folder_is_no_job(opened: Opened, tmp_path: Path, capsys: Capture) -> None:
    assert command.main([str(tmp_path)]) == 2
    assert "this is a folder" in capsys.readouterr().err
    assert not opened


def test_a_name_that_would_move_the_cursor_is_spelt_out(capsys: Capture) -> None:
    assert command.main(["\x1b[2Jx"]) == 2
    told = capsys.readouterr().err
    assert "\x1b" not in told
    assert "\\x1b[2Jx: no such file" in told


def test_an_interrupt_ends_with_130(
    kitchen: str, monkeypatch: pytest.MonkeyPatch, capsys: Capture
) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("pelmet.model.plan.stages.plan_job", interrupted)
    assert command.main(["check", kitchen]) == 130
    assert capsys.readouterr() == ("", "")


@pytest.fixture
def bar_length(kitchen: str, capsys: Capture) -> Callable[..., float]:
    """Show the kitchen, and give the length of its first bar [mm]."""

    def shown(*more: str) -> float:
        assert command.main(["show", kitchen, "--json", *more]) == 0
        length: float = json.loads(capsys.readouterr().out)["bars"][0]["length_mm"]
        return length

    return shown


def test_own_parts_come_from_the_named_file_the_variable_or_the_settings_folder(
    bar_length: Callable[..., float],
    tmp_path: Path,
    own_folders: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    # A cap of 5 mm in place of 2 mm at both ends makes each bar 6 mm shorter.
    before = bar_length()
    own, thin = tmp_path / "own.toml", tmp_path / "thin.toml"
    own.write_text(OWN_PARTS)
    thin.write_text(OWN_PARTS.replace("= 5", "= 3"))
    assert bar_length("--catalogue", str(own)) == before - 6
    monkeypatch.setenv("PELMET_CATALOGUE", str(thin))
    assert bar_length() == before - 2
    assert bar_length("--catalogue", str(own)) == before - 6
    monkeypatch.delenv("PELMET_CATALOGUE")
    usual = own_folders / "config" / "pelmet" / "catalogue.toml"
    usual.parent.mkdir(parents=True)
    usual.write_text(OWN_PARTS)
    assert places.user_catalogue() == usual
    assert bar_length() == before - 6


def test_a_catalogue_that_cannot_be_read_ends_with_2(
    kitchen: str, tmp_path: Path, capsys: Capture
) -> None:
    assert command.main(["check", kitchen, "--catalogue", str(tmp_path / "none.toml")]) == 2
    assert "none.toml" in capsys.readouterr().err


def test_the_wizard_is_given_the_catalogue_too(opened: Opened, kitchen: str) -> None:
    assert command.main([kitchen, "--catalogue", "own.toml"]) == 0
    assert command.main(["example", "--catalogue", "own.toml"]) == 0
    assert [catalogue for _, _, catalogue in opened] == [Path("own.toml")] * 2

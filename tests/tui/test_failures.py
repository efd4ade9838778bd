"""What nobody foresaw ends in words that say what to send, with the job and the work safe."""

from argparse import Namespace
from pathlib import Path

import pytest
from frames import held, in_recovery, press, stand, told, wizard, write
from terminal import Terminal

from pelmet.model.examples import read_example
from pelmet.model.file.job.saving import save_job
from pelmet.model.plan import stages
from pelmet.tui.codes import DONE, FAILED, REFUSED
from pelmet.tui.command.main import main
from pelmet.tui.command.one_job import Asked, Own, tell_among
from pelmet.tui.places import recovery_folder

SAID = "Pelmet itself failed here (ZeroDivisionError)"

# A stage that cannot plan a cabinet 777 mm wide.
FAILING = """
import sys
from pelmet.model.plan import stages
lay_out = stages.lay_out_rooms
def fails(job):
    if any(each.width == 777 for each in job.cabinets):
        Mill_House = 1 / 0
    return lay_out(job)
stages.lay_out_rooms = fails
from pelmet.tui.command.main import main
"""


@pytest.fixture
def path(tmp_path):
    save_job(read_example("kitchen"), tmp_path / "job.toml", None)
    return tmp_path / "job.toml"


@pytest.fixture
def failing(path):
    path.write_text(path.read_text("utf-8").replace("width = 600", "width = 777", 1), "utf-8")
    return path


@pytest.fixture
def at_777(monkeypatch):
    lay_out = stages.lay_out_rooms

    def fails(job):
        if any(each.width == 777 for each in job.cabinets):
            raise ZeroDivisionError("Mill House")
        return lay_out(job)

    monkeypatch.setattr(stages, "lay_out_rooms", fails)


def reports() -> list[str]:
    return [each.read_text("utf-8") for each in recovery_folder().glob("failure-*.txt")]


def test_a_command_that_fails_says_so_and_keeps_a_report_without_anything_of_the_job(
    failing, at_777, capsys
):
    assert main(["check", str(failing)]) == main(["check", str(failing)]) == FAILED
    said = capsys.readouterr()
    assert not said.out
    assert said.err.startswith(SAID)
    (report,) = reports()  # the same failure, the same file
    assert str(next(recovery_folder().glob("failure-*.txt"))) in said.err
    assert "model/plan/stages.py" in report
    assert "ZeroDivisionError" in report
    for private in ("Mill House", "777", str(failing.parent), str(Path.home())):
        assert private not in report


def test_where_no_report_can_be_kept_it_is_told_as_it_is(failing, at_777, capsys, monkeypatch):
    monkeypatch.setattr(Path, "write_text", _closed)
    assert main(["check", str(failing)]) == FAILED
    assert "model/plan/stages.py" in capsys.readouterr().err


def _closed(*_, **__):
    raise PermissionError("closed")


def test_one_job_that_fails_stops_no_other(failing, at_777, tmp_path):
    save_job(read_example("kitchen"), tmp_path / "other.toml", None)
    given = Namespace(command="check", json=False, catalogue=None)
    codes = [
        tell_among(given, Own(), Asked(str(each), tmp_path)).code
        for each in (failing, tmp_path / "other.toml")
    ]
    assert codes == [FAILED, DONE]


@pytest.mark.journey
async def test_what_cannot_be_planned_is_not_taken_and_all_goes_on(tmp_path, at_777):
    async with wizard("kitchen", tmp_path) as pilot:
        job = held(pilot).job
        await stand(pilot, "cabinet", "A1", "width")
        await write(pilot, "777")
        assert told(pilot).startswith(SAID)
        assert held(pilot).job == job
        await press(pilot, "escape")
        await write(pilot, "770")
        await press(pilot, "enter")
        assert held(pilot).job.find("cabinet", "A1").width == 770


@pytest.mark.journey
def test_a_file_that_cannot_be_planned_never_leaves_a_dead_screen(failing):
    terminal = Terminal("-c", FAILING + f"sys.exit(main([{str(failing)!r}]))")
    assert terminal.ended() == REFUSED
    assert SAID in terminal.said.decode()
    assert "Mill_House" not in terminal.said.decode()


@pytest.mark.journey
def test_a_key_that_fails_ends_with_the_work_kept_and_no_variables_shown(path):
    fails = "from pelmet.tui.wizard.wizard import Wizard\nWizard.swap_panes = lambda _: 1 / 0\n"
    terminal = Terminal("-c", FAILING + fails + f"sys.exit(main([{str(path)!r}]))")
    terminal.shows("Findings")
    terminal.type("Mill House\x02")
    assert terminal.ended() == FAILED
    said = terminal.said.decode()
    assert "offered at the next start" in " ".join(said.split())
    assert "Traceback" not in said
    assert any("Mill House" in each.read_text("utf-8") for each in in_recovery())

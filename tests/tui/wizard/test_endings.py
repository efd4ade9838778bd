"""Work outlives the program: killed, ended or with its window closed."""

import asyncio
import os
import signal

import pytest
from frames import press, shown
from screens import frame
from terminal import Terminal

from pelmet.model.file.job.recovery import find_recoveries
from pelmet.tui.app import Pelmet
from pelmet.tui.places import recovery_folder

pytestmark = pytest.mark.journey

_START = "import sys; from pelmet.tui.app import run; sys.exit(run(example='kitchen'))"


@pytest.fixture
def typed_in():
    terminal = Terminal("-c", _START)
    terminal.shows("Findings")
    terminal.type("Typed and never saved")
    terminal.until(_kept)
    yield terminal
    terminal.end()


def _kept() -> bool:
    folder = recovery_folder()
    return any("never saved" in path.read_text() for path in folder.glob("*.recovery.toml"))


def test_a_killed_program_leaves_the_work_to_be_taken_up(typed_in):
    typed_in.process.kill()
    typed_in.process.wait()
    found = find_recoveries(recovery_folder()).jobs
    assert [each.job.site.name for each in found] == ["Typed and never saved"]


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGHUP])
def test_an_ended_program_gives_the_terminal_back_and_keeps_the_work(typed_in, number):
    typed_in.process.send_signal(number)
    assert typed_in.ended() == 128 + number
    assert b"\x1b[?1049l" in typed_in.said  # the alternate screen is left
    assert b"\x1b[?25h" in typed_in.said  # the cursor is shown
    found = find_recoveries(recovery_folder()).jobs
    assert [each.job.site.name for each in found] == ["Typed and never saved"]


def test_a_terminal_that_is_gone_without_a_word_ends_the_program_too(tmp_path):
    terminal = Terminal("-c", _START, hears=False)
    terminal.shows("Findings")
    terminal.type("Typed and never saved")
    terminal.until(_kept)
    os.close(terminal.near)
    assert terminal.process.wait() == 128 + signal.SIGHUP
    found = find_recoveries(recovery_folder()).jobs
    assert [each.job.site.name for each in found] == ["Typed and never saved"]


async def test_a_system_that_tells_of_no_ending_is_worked_on_all_the_same(monkeypatch):
    """Windows: no SIGHUP, and "not implemented" for a loop's handlers (Python's own manual)."""

    def refuse(*_) -> None:
        raise NotImplementedError

    monkeypatch.delattr(signal, "SIGHUP")
    monkeypatch.setattr(asyncio.get_running_loop(), "add_signal_handler", refuse)
    async with shown(Pelmet(example="kitchen")) as pilot:
        await press(pilot, "f4")
        assert "Obstacles" in frame(pilot.app)

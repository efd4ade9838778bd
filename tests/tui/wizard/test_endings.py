"""Work outlives the program: killed, ended or with its window closed."""

import asyncio
import os
import pty
import select
import signal
import subprocess
import sys
import time

import pytest
from frames import press, shown
from screens import frame

from pelmet.model.file.job.recovery import find_recoveries
from pelmet.tui.app import Pelmet
from pelmet.tui.places import recovery_folder

pytestmark = pytest.mark.journey

_START = "import sys; from pelmet.tui.app import run; sys.exit(run(example='kitchen'))"
_LONGEST = 60.0


class Terminal:
    """The program in a terminal of its own."""

    def __init__(self):
        self.near, far = pty.openpty()
        self.said = b""
        self.process = subprocess.Popen(
            [sys.executable, "-c", _START],
            stdin=far, stdout=far, stderr=far, start_new_session=True,
            env={**os.environ, "TERM": "xterm-256color", "LINES": "24", "COLUMNS": "80"},
        )  # fmt: skip
        os.close(far)

    def read(self, seconds: float) -> None:
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            ready, _, _ = select.select([self.near], [], [], 0.1)
            if ready:
                try:
                    self.said += os.read(self.near, 65536)
                except OSError:
                    return

    def until(self, seen) -> None:
        end = time.monotonic() + _LONGEST
        while not seen():
            assert time.monotonic() < end, self.said[-2000:]
            self.read(0.2)

    def type(self, text: str) -> None:
        os.write(self.near, text.encode())


@pytest.fixture
def typed_in():
    terminal = Terminal()
    terminal.until(lambda: b"Findings" in terminal.said)
    terminal.type("Typed and never saved")
    terminal.until(_kept)
    yield terminal
    terminal.process.kill()
    terminal.process.wait()
    os.close(terminal.near)


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
    typed_in.until(lambda: typed_in.process.poll() is not None)
    typed_in.read(0.3)
    assert typed_in.process.returncode == 128 + number
    assert b"\x1b[?1049l" in typed_in.said  # the alternate screen is left
    assert b"\x1b[?25h" in typed_in.said  # the cursor is shown
    found = find_recoveries(recovery_folder()).jobs
    assert [each.job.site.name for each in found] == ["Typed and never saved"]


async def test_a_system_that_tells_of_no_ending_is_worked_on_all_the_same(monkeypatch):
    """Windows: no SIGHUP, and "not implemented" for a loop's handlers (Python's own manual)."""

    def refuse(*_) -> None:
        raise NotImplementedError

    monkeypatch.delattr(signal, "SIGHUP")
    monkeypatch.setattr(asyncio.get_running_loop(), "add_signal_handler", refuse)
    async with asyncio.timeout(_LONGEST), shown(Pelmet(example="kitchen")) as pilot:
        await press(pilot, "f4")
        assert "Obstacles" in frame(pilot.app)

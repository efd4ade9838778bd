"""A window that is closed, and a program begun again after it was killed."""

import os
import pty
import select
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path

import pytest
from frames import held, in_recovery, press, shown
from screens import frame

from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.job.saving import save_job
from pelmet.tui.app import Pelmet

pytestmark = pytest.mark.journey

LONGEST = 60.0  # seconds, on a machine that is busy with other things


class Terminal:
    """The command line in a terminal of its own, whose window can be closed."""

    def __init__(self, *words: str) -> None:
        self.near, far = pty.openpty()
        self.said = b""
        self.process = subprocess.Popen(
            [sys.executable, "-m", "pelmet.tui", *words],
            stdin=far, stdout=far, stderr=far, start_new_session=True,
            preexec_fn=self._own_terminal,  # noqa: PLW1509 - nothing else runs while it forks
            env={**os.environ, "TERM": "xterm-256color", "LINES": "24", "COLUMNS": "80"},
        )  # fmt: skip
        os.close(far)

    @staticmethod
    def _own_terminal() -> None:
        import fcntl
        import termios

        fcntl.ioctl(0, termios.TIOCSCTTY, 0)  # so that closing it is told to the program

    def type(self, keys: str) -> None:
        os.write(self.near, keys.encode())

    def until(self, seen) -> None:
        end = time.monotonic() + LONGEST
        while not seen():
            assert time.monotonic() < end, self.said[-2000:]
            if select.select([self.near], [], [], 0.05)[0]:
                with suppress(OSError):  # its end is closed
                    self.said += os.read(self.near, 65536)

    def shows(self, text: str) -> None:
        self.until(lambda: text.encode() in self.said)

    def end(self) -> None:
        self.process.kill()
        self.process.wait()
        os.close(self.near)


def kept(name: str) -> bool:
    return name in [load_job(each).site.name for each in in_recovery()]


def typed_into(path: Path, keys: str, name: str) -> Terminal:
    """Type into a job and wait until the recovery file has it: within a second or so."""
    terminal = Terminal(str(path))
    terminal.shows("Findings")
    terminal.type(keys)
    terminal.until(lambda: kept(name))
    return terminal


@pytest.fixture
def path(tmp_path):
    save_job(read_example("kitchen"), tmp_path / "job.toml", None)
    return tmp_path / "job.toml"


async def test_work_of_a_killed_program_is_offered_when_it_is_begun_again(path):
    terminal = typed_into(path, "Mill House", "Mill House")
    terminal.end()
    async with shown(Pelmet()) as pilot:
        assert "> Unsaved work: Mill House (job.toml)" in frame(pilot.app)
        await press(pilot, "enter")
        assert held(pilot).job.site.name == "Mill House"
        assert held(pilot).path == path
        await press(pilot, "ctrl+s")
    assert load_job(path).site.name == "Mill House"
    assert in_recovery() == []


def test_work_is_offered_in_a_terminal_too_and_ends_well(path):
    typed_into(path, "Mill House", "Mill House").end()
    terminal = Terminal()
    terminal.shows("Unsaved work: Mill House")
    terminal.type("\r")
    terminal.shows("not saved")
    terminal.type("\x13")  # Ctrl+S
    terminal.until(lambda: load_job(path).site.name == "Mill House")
    terminal.type("\x11")  # Ctrl+Q
    terminal.until(lambda: terminal.process.poll() is not None)
    assert terminal.process.returncode == 0
    terminal.end()
    assert in_recovery() == []


def test_a_closed_window_loses_nothing_that_was_typed(path):
    terminal = typed_into(path, "Mill House", "Mill House")
    terminal.type(" and barn")
    terminal.shows("barn")
    os.close(terminal.near)
    assert terminal.process.wait(LONGEST) != 0
    assert kept("Mill House and barn")


def test_keys_that_a_terminal_sends_in_one_piece_each_go_to_their_own_field(path):
    keys = "\x1b[6~" * 3 + "610\r590\r"
    terminal = Terminal(str(path))
    terminal.shows("Findings")
    terminal.type(keys)

    def said() -> list[tuple[object, ...]]:
        return [
            (one.width, one.opening)
            for each in in_recovery()
            for one in load_job(each).cabinets[:1]
        ]

    terminal.until(lambda: any(one[0] != 600 for one in said()))
    time.sleep(1)
    assert said() == [(610, (590,))]
    terminal.end()

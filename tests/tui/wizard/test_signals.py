"""A window that is closed, and a program begun again after it was killed."""

import os
from pathlib import Path

import pytest
from frames import held, in_recovery, press, shown
from screens import frame
from terminal import Terminal

from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import load_job
from pelmet.model.file.job.saving import save_job
from pelmet.tui.app import Pelmet

pytestmark = pytest.mark.journey


def kept(name: str) -> bool:
    return name in [load_job(each).site.name for each in in_recovery()]


def program(*words: str) -> Terminal:
    return Terminal("-m", "pelmet.tui", *words)


def typed_into(path: Path, keys: str, name: str) -> Terminal:
    """Type into a job and wait until the recovery file has it."""
    terminal = program(str(path))
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
    terminal = program()
    terminal.shows("Unsaved work: Mill House")
    terminal.type("\r")
    terminal.shows("not saved")
    terminal.type("\x13")  # Ctrl+S
    terminal.until(lambda: load_job(path).site.name == "Mill House")
    terminal.type("\x11")  # Ctrl+Q
    assert terminal.ended() == 0
    terminal.end()
    assert in_recovery() == []


def test_a_closed_window_loses_nothing_that_was_typed(path):
    terminal = typed_into(path, "Mill House", "Mill House")
    terminal.type(" and barn")
    terminal.shows("barn")
    os.close(terminal.near)
    assert terminal.process.wait() != 0
    assert kept("Mill House and barn")


def test_keys_that_a_terminal_sends_in_one_piece_each_go_to_their_own_field(path):
    terminal = program(str(path))
    terminal.shows("Findings")
    terminal.type("\x1b[6~" * 3 + "610\r590\r" + "\x13")  # Ctrl+S
    terminal.until(lambda: load_job(path) != read_example("kitchen"))
    first = load_job(path).cabinets[0]
    assert (first.width, first.opening) == (610, (590,))
    terminal.end()

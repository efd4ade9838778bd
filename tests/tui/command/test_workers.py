"""Work for several processes: order, a worker that dies, and none that is left."""

import os
import signal
from pathlib import Path

import psutil
import pytest

from pelmet.tui.command.workers import in_order


def done(task: tuple[str, Path]) -> tuple[str, int]:
    """Note that a task is done; one may wait for all others, and one may die."""
    does, note = task
    if does == "dies":
        os.kill(os.getpid(), signal.SIGKILL)
    while does == "waits for the rest" and len(list(note.parent.iterdir())) < 3:
        pass
    note.touch()
    return does, os.getpid()


def lost(task: tuple[str, Path]) -> tuple[str, int]:
    return f"lost: {task[0]}", 0


def tasks(folder: Path, *does: str) -> list[tuple[str, Path]]:
    return [(each, folder / str(place)) for place, each in enumerate(does)]


def test_results_come_in_the_order_of_the_tasks_whatever_is_done_first(tmp_path):
    wanted = tasks(tmp_path, "waits for the rest", "b", "c", "d")
    found = list(in_order(done, wanted, lost, 2))
    assert [does for does, _ in found] == [does for does, _ in wanted]
    assert len({process for _, process in found}) == 2


def test_one_process_does_all_if_so_many_may(tmp_path):
    found = list(in_order(done, tasks(tmp_path, *"abcdefgh"), lost, 1))
    assert [does for does, _ in found] == [*"abcdefgh"]
    assert len({process for _, process in found}) == 1


@pytest.mark.parametrize("at_once", [1, 2])
def test_a_worker_that_dies_costs_its_task_and_no_other(tmp_path, at_once):
    found = in_order(done, tasks(tmp_path, "a", "dies", "b", "dies", "c"), lost, at_once)
    assert [does for does, _ in found] == ["a", "lost: dies", "b", "lost: dies", "c"]


def test_no_worker_is_left_when_nobody_wants_the_rest(tmp_path):
    found = in_order(done, tasks(tmp_path, "a", "b", "waits for the rest", "c"), lost, 2)
    _, process = next(found)
    assert psutil.pid_exists(process)
    found.close()
    assert not psutil.pid_exists(process)
    with pytest.raises(StopIteration):
        next(found)


def test_there_are_no_processes_without_tasks():
    assert list(in_order(done, [], lost, 0)) == []

"""Work for several processes, with the results in the order of the tasks.

Each worker has a pipe of its own, whose near end this process alone holds. So one that dies is
noticed and costs no more than its task, where the pools of the standard library wait for it for
ever or give up all; and if this process is killed, its workers find the pipe closed and end.
"""

import os
import signal
import sys
from collections.abc import Callable, Generator, Sequence
from contextlib import contextmanager
from multiprocessing import get_context
from multiprocessing.connection import wait
from multiprocessing.context import SpawnProcess
from multiprocessing.resource_tracker import ensure_running
from types import FrameType
from typing import TYPE_CHECKING, Any, Final, TypeVar

if TYPE_CHECKING:
    if sys.platform == "win32":
        from multiprocessing.connection import PipeConnection

        Pipe = PipeConnection[Any, Any]
    else:
        from multiprocessing.connection import Connection

        Pipe = Connection[Any, Any]

_AHEAD: Final = 16  # tasks a worker may be ahead of the one whose result is waited for
_MOST: Final = 60  # as many as Windows can wait for at once, and a few to spare

Task = TypeVar("Task")
Result = TypeVar("Result")


def cores() -> int:
    """Give how many processes can work at once here."""
    if sys.platform == "linux":
        return min(len(os.sched_getaffinity(0)), _MOST)
    return min(os.cpu_count() or 1, _MOST)


def in_order(
    work: Callable[[Task], Result],
    tasks: Sequence[Task],
    lost: Callable[[Task], Result],
    at_once: int,
) -> Generator[Result, None, None]:
    """Do each task in one of ``at_once`` processes, and give what comes of them in order.

    What goes to and fro is pickled, ``work`` too; what it raises ends its process. ``lost`` says
    what comes of a task whose process ended. None is left once the generator is closed.
    """
    workers: dict[Pipe, SpawnProcess] = {}
    idle: list[Pipe] = []
    busy: dict[Pipe, int] = {}
    done: dict[int, Result] = {}
    handed = 0
    try:
        for place in range(len(tasks)):
            while True:
                while handed < min(len(tasks), place + _AHEAD * at_once) and len(busy) < at_once:
                    pipe = idle.pop() if idle else _start(work, workers)
                    busy[pipe] = handed
                    _hand(pipe, tasks[handed])
                    handed += 1
                if place in done:
                    break
                ready = wait(list(busy))
                for pipe in [each for each in busy if each in ready]:
                    which = busy.pop(pipe)
                    try:
                        done[which] = pipe.recv()
                        idle.append(pipe)
                    except (EOFError, OSError):
                        done[which] = lost(tasks[which])
            yield done.pop(place)
    finally:
        for pipe, process in workers.items():
            pipe.close()
            process.terminate()
        for process in workers.values():
            process.join()


def _start(work: Callable[[Any], Any], workers: "dict[Pipe, SpawnProcess]") -> "Pipe":
    context = get_context("spawn")  # the same everywhere, and nothing half done is copied
    near, far = context.Pipe()
    process = context.Process(target=_work, args=(work, far), daemon=True)
    with _ctrl_c_held_back():
        process.start()
        workers[near] = process
    far.close()
    return near


@contextmanager
def _ctrl_c_held_back() -> Generator[None, None, None]:
    """Have what is started not hear Ctrl+C, from its first step on: who started it ends it.

    Here it is heard a little later. Windows has no such thing: there a worker that has not loaded
    yet ends by itself.
    """
    if sys.platform == "win32":
        yield
        return
    ensure_running()  # else it is started meanwhile, and lets Ctrl+C through again
    before = signal.pthread_sigmask(signal.SIG_BLOCK, (signal.SIGINT,))
    try:
        yield
    finally:
        signal.pthread_sigmask(signal.SIG_SETMASK, before)


def _hand(pipe: "Pipe", task: object) -> None:
    try:
        pipe.send(task)
    except OSError:  # it has died; its pipe says so to whoever reads it
        return


def _work(work: Callable[[Any], Any], pipe: "Pipe") -> None:
    """Do one task after the other, until nobody is there to ask."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    signal.signal(signal.SIGTERM, _end)
    while True:
        try:
            task = pipe.recv()
        except (EOFError, OSError):
            return
        result = work(task)
        try:
            pipe.send(result)
        except OSError:
            return


def _end(_: int, __: FrameType | None) -> None:
    """End at once, but not before what is written beside a file is gone; without a word."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), 2)  # whatever this breaks off would complain
    sys.exit()

"""What is measured, each in a process of its own: ``python measures.py NAME WORDS`` prints [ms].

Times are of the processor where one thing is done again and again, and of the clock where a program
is started. Another checkout's interpreter can run this too: nothing of this one's tests is needed.
"""

import asyncio
import gc
import json
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from decimal import Decimal
from pathlib import Path
from statistics import median
from time import perf_counter, process_time
from typing import Any

sys.path.append(str(Path(__file__).parent.parent / "tui"))

_EMPTY = """
from textual.app import App
from textual.widgets import Input

class Empty(App):
    def compose(self):
        yield Input()

"""
_COLUMNS, _LINES = 120, 40
_PAINTED = f"\x1b[{_LINES};1H"  # the last row of a frame, which is painted from the top
_AGAIN = 15  # times that something quick is done
_STARTS = 9  # times that a program is started


def interpreter() -> list[float]:
    """Start an interpreter that does nothing."""
    return [_ended("-c", "pass") for _ in range(_STARTS)]


def cold(rooms: str, walls: str = "apart") -> list[float]:
    """Plan a site for the first time."""
    from sites import site

    from pelmet.model.plan.stages import plan_job

    job = site(int(rooms), one_room=walls == "in one room")
    _begin()
    started = process_time()
    plan_job(job)
    return [1000 * (process_time() - started)]


def edit(rooms: str, field: str) -> list[float]:
    """Plan a site anew after a digit of one field: its neighbours move with a cabinet's width."""
    from sites import site

    from pelmet.model.edit.change import set_value
    from pelmet.model.edit.survey import resize
    from pelmet.model.plan.stages import plan_job

    job = site(int(rooms))
    room = f"K{rooms}"
    changes: dict[str, Callable[[int], Any]] = {
        "width": lambda by: resize(job, "cabinet", f"{room}A2", Decimal(500 + by)),
        "depth": lambda by: set_value(job, "cabinet", f"{room}A2", "depth", 330 + by),
        "cable length": lambda by: set_value(job, "leg", f"{room}AL", "length", 4000 + by),
        "note": lambda by: set_value(job, "cabinet", f"{room}A2", "note", f"see {by}"),
        "allowance of the site": lambda by: set_value(
            job, "allowances", "", "end_clearance", Decimal(by) / 10
        ),
    }
    plan_job(job)
    _begin()
    found = []
    for by in range(1, _AGAIN + 1):
        changed = changes[field](by)
        started = process_time()
        plan_job(changed)
        found.append(1000 * (process_time() - started))
    return found


def key(rooms: str) -> list[float]:
    """Type widths in the whole program, each key until the screen is up to date."""
    from sites import site
    from textual.app import App
    from textual.widgets import Input

    from pelmet.model.file.job.saving import save_job
    from pelmet.tui.app import Pelmet

    class Empty(App[None]):
        def compose(self) -> Iterator[Any]:
            yield Input()

    gc.disable()  # as the program starts

    async def typed(app: Any, name: str) -> list[float]:
        async with app.run_test(size=(_COLUMNS, _LINES)) as pilot:
            while name and not app.ready:
                await pilot.pause(0.01)
            await pilot.pause()
            if name:
                app.screen.session.go_to("cabinet", name, "width")
                app.screen.load()
                await pilot.pause()
            found = []
            for width in range(521, 521 + 7 * _AGAIN, 7):
                for each in (*["backspace"] * 3, *str(width)):
                    started = process_time()
                    await pilot.press(each)
                    found.append(1000 * (process_time() - started))
            return found

    if rooms == "empty":
        return asyncio.run(typed(Empty(), ""))
    with _folder() as folder:
        path = folder / "job.toml"
        save_job(site(int(rooms)), path, None)
        return asyncio.run(typed(Pelmet(path), f"K{rooms}A2"))


def options(which: str) -> list[float]:
    """Try all other choices for a run, in a site of three rooms."""
    from sites import site

    from pelmet.model.edit.options import options_tried
    from pelmet.model.job.catalogue import Catalogue
    from pelmet.model.plan.stages import plan_job

    job = site(3)
    plan_job(job)
    started = process_time()
    first = None
    for given in options_tried(job, Catalogue(), "run", "K2A1R"):
        if first is None and len(given) > 1:  # the one that is taken now is no answer
            first = process_time()
    ended = process_time() if which == "all" else first or process_time()
    return [1000 * (ended - started)]


def first_frame(program: str) -> list[float]:
    """Start a program in a terminal, until its first frame is painted."""
    from terminal import Terminal

    with _folder() as folder:
        path = _written(folder)
        words = {
            "empty": ("-c", f"{_EMPTY}Empty().run()"),
            "job": ("-m", "pelmet.tui", str(path)),
            "example": ("-m", "pelmet.tui", "example"),
        }[program]
        found = []
        for _ in range(_STARTS):
            started = perf_counter()
            terminal = Terminal(*words, columns=_COLUMNS, lines=_LINES)
            terminal.shows(_PAINTED)
            found.append(1000 * (perf_counter() - started))
            terminal.end()
        return found


def show_help() -> list[float]:
    """Ask the command line for help."""
    return [_ended("-m", "pelmet.tui", "--help") for _ in range(_STARTS)]


def check(example: str) -> list[float]:
    """Check one job on the command line."""
    with _folder() as folder:
        path = _written(folder, example)
        return [_ended("-m", "pelmet.tui", "check", str(path)) for _ in range(_STARTS)]


def check_many(count: str) -> list[float]:
    """Check so many kitchens on the command line."""
    from pelmet.model.edit.change import set_value
    from pelmet.model.examples import read_example
    from pelmet.model.file.job.saving import save_job

    with _folder() as folder:
        kitchen = read_example("kitchen")
        names = []
        for number in range(int(count)):  # no two alike, so that none is planned for another
            deep = 300 + Decimal(number) / 10
            job = kitchen
            for cabinet in kitchen.cabinets:
                job = set_value(job, "cabinet", cabinet.id, "depth", deep)
            names.append(folder / f"k{number}.toml")
            save_job(job, names[-1], None)
        return [_ended("-m", "pelmet.tui", "check", *map(str, names))]


def _begin() -> None:
    """Look for waste as the program does once all is loaded."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(2_000, 500)


def _ended(*words: str) -> float:
    started = perf_counter()
    subprocess.run([sys.executable, *words], check=False, capture_output=True)
    return 1000 * (perf_counter() - started)


def _written(folder: Path, example: str = "kitchen") -> Path:
    from pelmet.model.examples import example_bytes

    path = folder / f"{example}.toml"
    path.write_bytes(example_bytes(example))
    return path


@contextmanager
def _folder() -> Iterator[Path]:
    with tempfile.TemporaryDirectory() as name:
        yield Path(name)


MEASURES: dict[str, Callable[..., list[float]]] = {
    each.__name__: each
    for each in (
        interpreter, cold, edit, key, options, first_frame, show_help, check, check_many,
    )
}  # fmt: skip

if __name__ == "__main__":
    found = MEASURES[sys.argv[1]](*sys.argv[2:])
    print(json.dumps([median(found), max(found)]))

"""How soon something is shown, beside an empty program of the same toolkit; never asserted.

Run with ``-m speed -n 0 --benchmark-enable``. In each round every program is started once,
so that what the machine does besides meets all of them; medians are told.
"""

import subprocess
import sys
from collections.abc import Callable
from functools import partial
from statistics import median
from time import perf_counter

import pytest
from jobs import one_bar
from terminal import Terminal

from pelmet.model.examples import example_bytes
from pelmet.model.file.job.saving import save_job

pytestmark = pytest.mark.speed

ROUNDS = 21
COLUMNS, LINES = 120, 40
PAINTED = f"\x1b[{LINES};1H"  # the last row of a frame, which is painted from the top
EMPTY = """
from textual.app import App
from textual.widgets import Static

class Empty(App):
    def compose(self):
        yield Static("nothing else")

Empty().run()
"""
PROGRAM = ("-m", "pelmet.tui")
PANES = ("A1  600 at 0", "What the job is called", "walls in mm", " stop")

Times = tuple[float, ...]


def painted(*words: str, then: tuple[str, ...] = ()) -> Times:
    """Time a program from its start to its first frame, and to all that is shown then [s]."""
    start = perf_counter()
    terminal = Terminal(*words, columns=COLUMNS, lines=LINES)
    terminal.shows(PAINTED)
    times = [perf_counter() - start]
    for text in then:
        terminal.shows(text)
    times += [perf_counter() - start] if then else []
    terminal.end()
    return tuple(times)


def ended(*words: str) -> Times:
    """Time a program from its start to its end [s]."""
    start = perf_counter()
    subprocess.run([sys.executable, *words], check=True, capture_output=True)
    return (perf_counter() - start,)


@pytest.fixture
def in_turn(benchmark, record_property):
    """Try some ways in turn, round after round, and tell the medians."""

    def run(ways: dict[str, Callable[[], Times]]) -> None:
        found: dict[str, list[Times]] = {name: [] for name in ways}

        def each_once() -> None:
            for name, way in ways.items():
                found[name].append(way())

        benchmark.pedantic(each_once, rounds=ROUNDS)
        if not benchmark.enabled:
            return
        medians = {name: [median(each) for each in zip(*found[name], strict=True)] for name in ways}
        base, *_ = next(iter(medians.values()))
        for name, (first, *later) in medians.items():
            more = "".join(f", all of it {1000 * (each - first):.0f} ms later" for each in later)
            record_property(name, f"{1000 * first:.0f} ms, {first / base:.2f} times{more}")

    return run


def test_first_frames(in_turn, tmp_path):
    path = tmp_path / "kitchen.toml"
    path.write_bytes(example_bytes("kitchen"))
    in_turn({
        "an empty program": partial(painted, "-c", EMPTY),
        "pelmet": partial(painted, *PROGRAM, then=("New job",)),
        "pelmet JOB": partial(painted, *PROGRAM, str(path), then=PANES),
        "pelmet example": partial(painted, *PROGRAM, "example", then=PANES),
    })  # fmt: skip


def test_small_commands(in_turn, tmp_path):
    one, kitchen = tmp_path / "one.toml", tmp_path / "kitchen.toml"
    save_job(one_bar(), one, None)
    kitchen.write_bytes(example_bytes("kitchen"))
    in_turn({
        "a bare interpreter": partial(ended, "-c", "pass"),
        "pelmet --help": partial(ended, *PROGRAM, "--help"),
        "pelmet schema": partial(ended, *PROGRAM, "schema"),
        "pelmet check, one bar": partial(ended, *PROGRAM, "check", str(one)),
        "pelmet check, a kitchen": partial(ended, *PROGRAM, "check", str(kitchen)),
    })  # fmt: skip

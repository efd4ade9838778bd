"""The benchmark: one table of how long everything takes, on one machine in one run.

    .venv/bin/python tests/speed                    this checkout
    .venv/bin/python tests/speed --before PYTHON    beside another one, by its interpreter
    .venv/bin/python tests/speed --small            each row at its smallest: does it run?

Nothing is asserted. Each row is measured in a process of its own, before and now in turn; times are
told in milliseconds, and beside them how many starts of an interpreter that does nothing they are.
"""

import argparse
import json
import platform
import subprocess
import sys
from collections.abc import Iterator, Sequence
from math import log
from pathlib import Path
from typing import NamedTuple

SIZES = (1, 3, 10, 30, 100, 300)  # rooms
_MEASURES = Path(__file__).parent / "measures.py"


class Row(NamedTuple):
    """One line of the table: what is measured, by which words."""

    says: str
    words: tuple[str, ...]


class Found(NamedTuple):
    """The median and the longest of some times. [ms]"""

    median: float
    worst: float


def rows(sizes: Sequence[int], many: int) -> Iterator[Row]:
    """Give every row, in the order of the table."""
    yield Row("an interpreter that does nothing", ("interpreter",))
    for size in sizes:
        yield Row(f"cold plan, {_bars(size)} in {_rooms(size)}", ("cold", str(size)))
    for size in sizes:
        yield Row(f"cold plan, {_bars(size)} in one room", ("cold", str(size), "in one room"))
    for size in sizes[1:4:2] or sizes:
        for field in ("width", "depth", "cable length", "note", "allowance of the site"):
            an = "an" if field.startswith("a") else "a"
            yield Row(
                f"plan after a digit of {an} {field}, {_bars(size)}", ("edit", str(size), field)
            )
    yield Row("key in an empty program of the toolkit", ("key", "empty"))
    for size in sizes[1:4:2] or sizes:
        yield Row(f"key to the screen, {_bars(size)}", ("key", str(size)))
    yield Row("F8 on a run, first answer, 36 bars", ("options", "first"))
    yield Row("F8 on a run, all, 36 bars", ("options", "all"))
    yield Row("first frame of an empty program of the toolkit", ("first_frame", "empty"))
    yield Row("first frame of a job", ("first_frame", "job"))
    yield Row("first frame of the example", ("first_frame", "example"))
    yield Row("pelmet --help", ("show_help",))
    yield Row("check of one kitchen", ("check", "kitchen"))
    yield Row(f"check of {many} kitchens", ("check_many", str(many)))


def _bars(rooms: int) -> str:
    return f"{12 * rooms} bars"


def _rooms(rooms: int) -> str:
    return f"{rooms} rooms" if rooms > 1 else "1 room"


def measure(python: str, row: Row) -> Found | None:
    """Measure one row by an interpreter; nothing where that checkout cannot."""
    done = subprocess.run(
        [python, str(_MEASURES), *row.words], capture_output=True, text=True, check=False
    )
    return Found(*json.loads(done.stdout)) if done.returncode == 0 else None


def exponent(found: Sequence[tuple[int, float]]) -> float:
    """Give the power of the size that times grow with: the slope of the line through their logs."""
    xs, ys = [log(size) for size, _ in found], [log(time) for _, time in found]
    middle, mean = sum(xs) / len(xs), sum(ys) / len(ys)
    across = sum((x - middle) ** 2 for x in xs)
    return sum((x - middle) * (y - mean) for x, y in zip(xs, ys, strict=True)) / across


def main(argv: Sequence[str] | None = None) -> int:
    """Measure, and print the table as it grows; give 1 if a row could not be measured here."""
    parser = argparse.ArgumentParser(prog="tests/speed", description="Print how long things take.")
    parser.add_argument("--before", metavar="PYTHON", help="the interpreter of another checkout")
    parser.add_argument("--small", action="store_true", help="each row once, at its smallest")
    given = parser.parse_args(argv)
    pythons = [*([given.before] if given.before else []), sys.executable]
    system = f"{platform.system()} {platform.machine()}, Python {platform.python_version()}"
    print(f"{system}; median and longest in ms; in starts of an interpreter\n")
    head = " | ".join([*(["before"] if given.before else []), "now", "starts"])
    print(f"| what | {head} |\n|{'---|' * (len(pythons) + 2)}")
    start, missing = 1.0, 0
    grown: dict[tuple[str, int], list[tuple[int, float]]] = {}
    for row in rows(SIZES[:1] if given.small else SIZES, 3 if given.small else 200):
        found = [measure(python, row) for python in pythons]
        now = found[-1]
        missing += now is None
        if row.words == ("interpreter",) and now:
            start = now.median
        if row.words[0] == "cold":
            for at, each in enumerate(found):
                if each:
                    kind = row.words[2] if len(row.words) > 2 else "in rooms"
                    grown.setdefault((kind, at), []).append((int(row.words[1]), each.median))
        cells = [f"{each.median:.1f}, {each.worst:.1f}" if each else "-" for each in found]
        starts = f"{now.median / start:.2f}" if now else "-"
        print(f"| {row.says} | {' | '.join(cells)} | {starts} |", flush=True)
    for kind in dict.fromkeys(kind for kind, _ in grown):
        slopes = [
            f"{exponent(grown[kind, at]):.2f}" if len(grown.get((kind, at), ())) > 1 else "-"
            for at in range(len(pythons))
        ]
        print(f"| cold plan, bars {kind}: grows with the power | {' | '.join(slopes)} | |")
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main())

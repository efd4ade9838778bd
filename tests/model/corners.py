"""Two cabinets on two walls with one run round the corner between them. Invented."""

import math
from typing import Any

from jobs import Fields, one_bar

from pelmet.model.job.job import Job
from pelmet.model.plan.bars.bar import Bar
from pelmet.model.plan.bars.fitting import RunFit
from pelmet.model.plan.stages import plan_job

LENGTH = 3000
MEETINGS = ("first passes", "second passes", "mitre")


def corner(degrees: float = 90, meeting: str = "first passes", **how: Any) -> Job:
    """A1 and B1 in one run round the corner after wall A; ``how`` as for `one_bar`."""
    depth = how.get("A1", {}).get("depth", 320)
    other = how.get("B1", {}).get("depth", 320)
    sine = abs(math.sin(math.radians(degrees)))
    over, start = (0, math.floor(depth / sine)) if degrees < 180 else (math.ceil(other / sine), 0)
    cabinet = {"id": "B1", "wall": "B", "at": start, "width": 600, "depth": 320,
               "bottom_height": 1400}  # fmt: skip
    add = how.pop("add", {})
    cabinets = [cabinet, *add.pop("cabinets", [])]
    changes: dict[str, Fields] = {
        "A": {"corner_degrees": degrees},
        "A1": {"at": LENGTH + over - 883} | how.pop("A1", {}),
        "R1": {"cabinets": ["A1", "B1"], "corner": meeting} | how.pop("R1", {}),
    }
    wall = {"id": "B", "room": "K", "length": 2600}
    return one_bar(add={"walls": [wall], "cabinets": cabinets, **add}, **changes, **how)


def run_of(job: Job) -> RunFit:
    return plan_job(job).fits[0]


def pair(job: Job) -> tuple[Bar, Bar]:
    """Give the bar that comes to the corner and the one that goes on from it."""
    before, after = run_of(job).bars
    assert (before.wall, after.wall) == ("A", "B")
    return before, after


def kinds(bar: Bar) -> list[str]:
    return [edge.kind for edge in bar.opening.ends]

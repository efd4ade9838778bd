"""Cables added up by hand: what a way is cut to, and jobs with nothing to spare."""

from math import ceil
from typing import Any

from jobs import one_bar

from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.plan.ways.cable import Cable
from pelmet.model.plan.ways.routes import Routes

SLACK = 150
FLOOR = 16  # what a hole in a cabinet's floor goes through
# A front line's middle is 320 - 40 - 17 / 2 = 271.5 out, its face 8 under the underside: from the
# rear of the cabinet, 40 out, to the bar.
TO_BAR = 271.5 - 40 + 8

WALL_B = {"id": "B", "room": "K", "length": 2600}


def cut(way: float) -> float:
    """Give what a cable of this way is cut to when nothing is to spare."""
    return ceil(way + 2 * SLACK - 1e-9)


def exact(**how: Any) -> dict[str, Any]:
    """Give how-words of a job whose cables are cut to the millimetre, with nothing to spare."""
    return how | {"allowances": {"cable_spare": 0, "cable_step": 1} | how.get("allowances", {})}


def routes(job: Job) -> Routes:
    """Give the cables of a job."""
    return plan_job(job).routes


def ways(cable: Cable | None) -> list[str]:
    """Give the kinds of way a cable takes, one after the other."""
    assert cable is not None
    kinds = [way.kind for way in cable.ways]
    return [kind for row, kind in enumerate(kinds) if row == 0 or kinds[row - 1] != kind]


def corner_job(**how: Any) -> Job:
    """Cabinet B1 on the next wall, 700 from the corner, in a run of its own or in R1."""
    cabinet = {"id": "B1", "wall": "B", "at": 700, "width": 600, "depth": 320,
               "bottom_height": 1400}  # fmt: skip
    add = {"walls": [WALL_B], "cabinets": [cabinet]}
    add |= how.pop("add", {})
    return one_bar(**exact(add=add, **how))

"""Checks on what is built: each fires in one job, and only just not in another.

The one bar is 504 to 1379 under an opening of 883; its hole is in the floor of A1.
"""

from decimal import Decimal
from typing import Any

import pytest
from cases import Case, assert_fires, assert_silent, names
from jobs import Fields, one_bar

from pelmet.model.job.job import Job
from pelmet.model.plan.checks import built
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job

D = Decimal
CUT: Fields = {
    "id": "cut1", "part": "surface-17", "stock": 2000, "pieces": ["R1.1"], "lengths": [875],
    "rest": 1112, "kept": "kept",
}  # fmt: skip
HUNG: Fields = {
    "id": "hung1", "run": "R1", "bar": 1, "wall": "A", "at": 504, "length": 875, "lit": 850,
    "line": "front", "facing": "down", "feed_end": "left",
}  # fmt: skip
LAID: Fields = {
    "id": "laid1", "leg": "L1", "run": "R1", "cable": "L1.1", "part": "flat-2x0.75", "length": 1200,
}  # fmt: skip
OTHER: Fields = CUT | {"id": "cut2", "pieces": ["spoilt"], "lengths": [500], "rest": 0}


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in built.CHECKS for finding in check(plan)]


def cut(*more: Fields, status: str = "cut", first: Fields | None = None, **how: Any) -> Job:
    """The one bar, cut; ``how`` as for `one_bar`."""
    return one_bar(
        R1={"status": status} | how.pop("R1", {}),
        add={"cuts": [CUT | (first or {}), *more]} | how.pop("add", {}),
        **how,
    )


def hung(status: str = "mounted", /, bar: Fields | None = None, **how: Any) -> Job:
    """The one bar, in its place."""
    return cut(status=status, add={"hung": [HUNG | (bar or {})]} | how.pop("add", {}), **how)


def wired(**how: Any) -> Job:
    """The one bar, in its place and wired."""
    return hung("wired", add={"hung": [HUNG], "laid": [LAID]}, **how)


def opening(width: float | Decimal) -> Fields:
    return {"A1": {"opening": [width]}}


def drilled(diameter: float) -> Job:
    hole = plan_job(one_bar()).holes[0]
    row = {"id": "drilled1", "hole": "H1", "cabinet": "A1", "panel": hole.panel, "wall": "A",
           "at": D(str(hole.along)), "out": D(str(hole.out.value)),
           "height": D(str(hole.height.value)), "diameter": diameter}  # fmt: skip
    return one_bar(add={"drilled": [row]})


CASES = (
    Case("built-otherwise", "ask", "run", "R1", "line", hung(R1={"line": "back"}), hung(),
         ("R1 is built with line front", "the job says back now")),
    Case("built-otherwise", "ask", "run", "R1", "channel", cut(R1={"channel": "slim-12"}), cut(),
         ("channel surface-17",)),
    Case("built-otherwise", "ask", "leg", "L1", "cable", wired(L1={"cable": "round-2x1.0"}),
         wired(), ("L1 is laid with cable flat-2x0.75",)),
    # What hangs is asked about, what is only cut and does not go in is at stop.
    Case("built-too-long", "ask", "run", "R1", "status", hung(**opening(882)),
         hung(**opening(D("882.1"))),
         ("R1.1 hangs at 875 mm; the opening now allows 874",)),
    Case("built-too-long", "stop", "run", "R1", "status", cut(**opening(882)),
         cut(**opening(D("882.1"))), ("R1.1 is cut to 875 mm",)),
    Case("built-too-short", "ask", "run", "R1", "status", hung(**opening(884)),
         hung(**opening(D("883.9"))), ("the opening now takes 876",)),
    Case("built-elsewhere", "ask", "run", "R1", "status", hung(A1={"at": 501}),
         hung(A1={"at": D("500.9")}),
         ("R1.1 hangs 1 mm further left than its opening is now",)),
    Case("no-opening", "ask", "run", "R1", "status", hung(A1={"at": 1380}), hung(A1={"at": 1300}),
         ("the survey has no opening there any more",)),
    Case("status-ahead", "ask", "run", "R1", "status", one_bar(R1={"status": "cut"}),
         one_bar(R1={"status": "ordered"}), ("nothing says how R1.1 is cut",)),
    Case("status-ahead", "ask", "run", "R1", "status", cut(status="mounted"), hung(),
         ("nothing says how R1.1 is in its place",)),
    Case("status-ahead", "ask", "run", "R1", "status", hung("proved"), wired(),
         ("nothing says how R1 is wired",)),
    Case("status-behind", "ask", "run", "R1", "status", hung("tested"), hung()),
    Case("hole-too-narrow", "ask", "drilled", "drilled1", "diameter", drilled(4), drilled(7),
         ("drilled 4 mm, its cables want",)),
    Case("cut-miscounted", "ask", "cut", "cut1", "lengths", cut(first={"lengths": [875, 3]}),
         cut()),
    Case("cut-too-long", "ask", "cut", "cut1", "lengths", cut(first={"rest": D("1125.1")}),
         cut(first={"rest": 1125}), ("come to 2000.1 mm, out of 2000 mm",)),
    Case("stock-cut-twice", "ask", "cut", "cut3", "rest_of",
         cut(OTHER | {"rest_of": "cut1", "stock": 1112},
             CUT | {"id": "cut3", "rest_of": "cut1", "stock": 1112, "pieces": ["spoilt"],
                    "lengths": [500], "rest": 0}),
         cut(OTHER | {"rest_of": "cut1", "stock": 1112})),
    Case("rest-too-long", "ask", "cut", "cut2", "stock",
         cut(OTHER | {"rest_of": "cut1", "stock": D("1113.1")}),
         cut(OTHER | {"rest_of": "cut1", "stock": 1113})),
    Case("piece-cut-twice", "ask", "cut", "cut2", "pieces", cut(OTHER | {"pieces": ["R1.1"]}),
         cut(OTHER), ("R1.1 of surface-17 was cut twice, in cut1 and cut2",)),
    Case("piece-not-needed", "ask", "cut", "cut2", "pieces", cut(OTHER | {"pieces": ["R1.2"]}),
         cut(OTHER), ("R1.2 of surface-17 is cut, and no bar takes it",)),
)  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_it_only_just_adds_up(case):
    assert_silent(found, case)


def test_what_hangs_is_planned_as_it_hangs_whatever_is_said_now():
    (before,) = plan_job(hung()).bars
    for job in (
        hung(**opening(800)),
        hung(A1={"at": 700}),
        hung(A1={"at": 2000}),
        hung(allowances={"end_clearance": 9}),
        hung(R1={"pieces": 2}),
        hung(add={"obstacles": [{"id": "O1", "wall": "A", "kind": "stile", "at": 900, "width": 20}],
                  "hung": [HUNG]}),
    ):  # fmt: skip
        (bar,) = plan_job(job).bars
        assert (bar.id, bar.left, bar.length.value, bar.lit.value) == (
            before.id, before.left, before.length.value, before.lit.value
        )  # fmt: skip

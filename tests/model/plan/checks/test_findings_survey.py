"""Checks on the survey, and on what a lip hides: each fires in one job, only just not in another.

A1 is flush, 500 to 1383 on a wall of 3000; on it hangs one bar.
"""

from decimal import Decimal
from typing import Any

import pytest
from cases import Case, assert_fires, assert_silent, names
from jobs import Fields, obstacle, one_bar, row

from pelmet.model.job.job import Job
from pelmet.model.plan.checks import bars, survey
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job

D = Decimal
CHECKS = (*survey.CHECKS, *bars.CHECKS)
WALL_B = {"id": "B", "room": "K", "length": 2000}


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in CHECKS for finding in check(plan)]


def corner(degrees: float, **a1: Any) -> Job:
    """A1, 320 deep, with another wall after its own, round a corner of this angle."""
    return one_bar(A={"corner_degrees": degrees}, A1=a1, add={"walls": [WALL_B]})


def two(**changes: Fields) -> Job:
    """A1 from 500 to 1100, A2 from 1100 on."""
    return row(600, 600, **changes)


def upright(opening: float | Decimal) -> Job:
    """An upright of 720 with this clear height."""
    return one_bar(A1={"kind": "upright", "width": 40, "opening": [opening]})


def beside(kind: str, at: float | Decimal, **how: Any) -> Job:
    """Something 20 wide on A1's wall."""
    return one_bar(add={"obstacles": [obstacle("O1", at, 20, kind)]}, **how)


def looked_into(run: Fields | None = None, **a1: Any) -> Job:
    """People see in from the end of the wall; a channel 16 deep that throws at 45 degrees."""
    return one_bar(
        R1={"channel": "corner-16", "facing": "45 to wall"} | (run or {}),
        A1=a1,
        add={"obstacles": [obstacle("O1", 3000, 0, "open side")]},
    )


def asked(**cabinet: Any) -> str:
    """Give the remedy for a cabinet whose reading was assumed."""
    (one,) = [one for one in found(one_bar(A1=cabinet)) if one.code == "assumed-reading-used"]
    return one.remedy


CASES = (
    Case("off-the-wall", "stop", "cabinet", "A1", "at", one_bar(A1={"at": D("2132.1")}),
         one_bar(A1={"at": 2120}), ("15.1 mm past the end of wall A",)),
    # A filler is a part of what has to go on the wall.
    Case("off-the-wall", "stop", "cabinet", "A1", "at",
         one_bar(A1={"at": 2097, "filler_right": D("35.1")}),
         one_bar(A1={"at": 2097, "filler_right": 23})),
    Case("off-the-wall", "stop", "cabinet", "A1", "at",
         one_bar(A1={"at": 10, "filler_left": D("25.1")}),
         one_bar(A1={"at": 10, "filler_left": 13}), ("15.1 mm",)),
    # Round an outside corner it may reach as far as it is deep; nowhere else.
    Case("off-the-wall", "stop", "cabinet", "A1", "at", corner(270, at=D("2452.1")),
         corner(270, at=2440), ("335.1 mm",)),
    Case("off-the-wall", "stop", "cabinet", "A1", "at", corner(180, at=2437),
         corner(D("180.1"), at=2437)),
    Case("off-the-wall", "stop", "cabinet", "A1", "at", corner(90, at=2437), corner(225, at=2437)),
    Case("off-the-wall", "stop", "cabinet", "A1", "at",
         one_bar(A={"corner_degrees": 270}, A1={"at": 2437}), corner(270, at=2437)),
    # The corner is at the wall's other end.
    Case("off-the-wall", "stop", "cabinet", "A1", "at", corner(270, at=0, filler_left=100),
         corner(270, at=100, filler_left=100), ("100 mm",)),
    Case("off-the-wall", "stop", "obstacle", "O1", "at",
         beside("pipe", D("2995.1"), A={"corner_degrees": 270}), beside("pipe", 2983)),
    Case("cabinets-overlap", "stop", "cabinet", "A2", "at", two(A2={"at": D("1084.9")}),
         two(A2={"at": 1097}), ("A2 stands 15.1 mm in the place of A1",)),
    Case("cabinets-overlap", "stop", "cabinet", "A2", "at",
         two(A1={"filler_right": 20}, A2={"at": D("1104.9")}),
         two(A1={"filler_right": 20}, A2={"at": 1117})),
    Case("cabinets-overlap", "stop", "cabinet", "A2", "at",
         two(A1={"filler_right": 20}, A2={"at": 1114, "filler_left": 10}),
         two(A1={"filler_right": 20}, A2={"at": 1127, "filler_left": 10})),
    Case("cabinets-overlap", "stop", "cabinet", "A2", "at",
         two(A2={"at": 500, "bottom_height": D("2104.9")}),
         two(A2={"at": 500, "bottom_height": 2117})),
    Case("opening-wider-than-cabinet", "stop", "cabinet", "A1", "opening",
         one_bar(A1={"filler_left": 10, "filler_right": 20, "opening": [D("928.1")]}),
         one_bar(A1={"filler_left": 10, "filler_right": 20, "opening": [916]}),
         ("928.1 mm", "the cabinet, 913 mm")),
    # The least reading is the one that is used.
    Case("opening-wider-than-cabinet", "stop", "cabinet", "A1", "opening",
         one_bar(A1={"opening": [899, D("898.1")]}), one_bar(A1={"opening": [899, 886]})),
    # Fillers are outside the sides of a frame.
    Case("opening-wider-than-cabinet", "stop", "cabinet", "A1", "opening",
         one_bar(A1={"filler_left": 20, "opening": [D("898.1")], "underside": "framed"}),
         one_bar(A1={"filler_left": 20, "opening": [886], "underside": "framed"})),
    Case("opening-wider-than-cabinet", "stop", "cabinet", "A1", "opening", upright(D("735.1")),
         upright(723), ("735.1 mm", "720 mm")),
    Case("opening-wider-than-cabinet", "stop", "cabinet", "A1", "opening",
         one_bar(A1={"opening": [D("3000.1")]}), one_bar(),
         ("3000.1 mm", "wall A, 3000 mm")),
    # Between what is in any tape and what is a wrong reading it is only told.
    Case("off-the-wall", "warn", "cabinet", "A1", "at", one_bar(A1={"at": D("2120.1")}),
         one_bar(A1={"at": D("2120.1")}, allowances={"sum_warn": 4}), ("3.1 mm past the end",)),
    Case("off-the-wall", "warn", "cabinet", "A1", "at", one_bar(A1={"at": 2132}),
         one_bar(A1={"at": 2120})),
    Case("off-the-wall", "stop", "cabinet", "A1", "at",
         one_bar(A1={"at": 2122}, allowances={"sum_stop": 4}), one_bar(A1={"at": 2120})),
    Case("cabinets-overlap", "warn", "cabinet", "A2", "at", two(A2={"at": 1096}),
         two(A2={"at": 1097}), ("A2 stands 4 mm in the place of A1",)),
    Case("opening-wider-than-cabinet", "warn", "cabinet", "A1", "opening",
         one_bar(A1={"opening": [887]}), one_bar(A1={"opening": [886]})),
    # Within 50 mm of a cabinet a stile may be the end of its frame.
    Case("obstacle-apart", "ask", "obstacle", "O1", "at", beside("stile", D("429.9")),
         beside("stile", 430), ("O1, a stile", "wall A")),
    Case("obstacle-apart", "ask", "obstacle", "O1", "at", beside("partition", D("1433.1")),
         beside("partition", 1433)),
    Case("obstacle-apart", "ask", "obstacle", "O1", "at",
         beside("stile", 420, A1={"filler_left": 9}), beside("stile", 420, A1={"filler_left": 10})),
    Case("obstacle-apart", "ask", "obstacle", "O1", "at", beside("stile", 2000),
         beside("hood", 2000)),
    Case("readings-spread", "ask", "cabinet", "A1", "opening",
         one_bar(A1={"opening": [883, 881, D("880.9")]}), one_bar(A1={"opening": [883, 881]}),
         ("2.1 mm", "2 mm")),
    Case("assumed-reading-used", "ask", "cabinet", "A1", "opening",
         one_bar(A1={"assumed": ["opening"]}), one_bar(A1={"assumed": ["depth"]})),
    Case("assumed-reading-used", "ask", "cabinet", "A1", "opening",
         one_bar(A1={"opening": (), "filler_left": 10, "assumed": ["filler_left"]}),
         one_bar(A1={"opening": (), "assumed": ["filler_left"]})),
    Case("assumed-reading-used", "ask", "cabinet", "A1", "opening",
         one_bar(A1={"kind": "upright", "width": 40, "opening": (), "assumed": ["height"]}),
         one_bar(A1={"kind": "upright", "width": 40, "opening": (), "assumed": ["width"]})),
    Case("assumed-reading-used", "ask", "obstacle", "O1", "at",
         one_bar(add={"obstacles": [obstacle("O1", 900, 20, assumed=["at"])]}),
         one_bar(add={"obstacles": [obstacle("O1", 900, 20, assumed=["height"])]})),
    Case("no-run", "ask", "cabinet", "A1", "width", one_bar(drop=["R1"]), one_bar()),
    Case("open-side-seen", "warn", "run", "R1", "facing", looked_into(lip=D("15.9")),
         looked_into(lip=16), ("from O1", "45 to wall")),
    Case("open-side-seen", "warn", "run", "R1", "facing",
         looked_into(lip=0, door_overhang=D("15.9")), looked_into(lip=0, door_overhang=16)),
    Case("open-side-seen", "warn", "run", "R1", "facing", looked_into(lip=0),
         looked_into({"fixing": "groove"}, lip=0)),
    Case("open-side-seen", "warn", "run", "R1", "facing", looked_into(lip=0),
         looked_into({"channel": "surface-17", "facing": "down"}, lip=0)),
    # The channel is 8 deep.
    Case("bar-deeper-than-lip", "warn", "run", "R1", "channel",
         one_bar(A1={"lip": 0, "door_overhang": D("7.9")}),
         one_bar(A1={"lip": 0, "door_overhang": 8}), ("8 mm down", "A1 hides 7.9 mm")),
    Case("bar-deeper-than-lip", "warn", "run", "R1", "channel",
         one_bar(A1={"lip": D("7.9"), "door_overhang": 7}),
         one_bar(A1={"lip": 8, "door_overhang": 7})),
    Case("bar-deeper-than-lip", "warn", "run", "R1", "channel",
         two(A2={"lip": 4}), two(A2={"lip": 4, "door_overhang": 8}), ("A2 hides 4 mm",)),
    Case("bar-deeper-than-lip", "warn", "run", "R1", "channel", one_bar(A1={"lip": 0}),
         one_bar(A1={"lip": 0}, R1={"fixing": "groove"})),
    Case("bar-deeper-than-lip", "warn", "run", "R1", "channel", one_bar(A1={"lip": 0}),
         one_bar(A1={"lip": 0}, R1={"line": "edge"})),
    Case("bar-deeper-than-lip", "warn", "run", "R1", "channel", one_bar(A1={"lip": 0}),
         one_bar(A1={"lip": 0, "kind": "upright", "width": 40, "opening": ()})),
)  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_the_limit_is_just_met(case):
    assert_silent(found, case)


def test_every_check_of_the_survey_fires_in_some_case():
    plans = [plan_job(case.fires) for case in CASES]
    silent = [check for check in survey.CHECKS if not any(list(check(plan)) for plan in plans)]
    assert [check.__name__ for check in silent] == []


def test_a_sound_survey_has_nothing_said_about_it():
    assert found(one_bar()) == []
    assert found(Job()) == []


@pytest.mark.parametrize(
    "cabinet",
    [{"opening": (), "underside": "framed"}, {"assumed": ["opening"]}],
    ids=["not read", "read but assumed"],
)
def test_who_measures_what_is_assumed_is_named(cabinet):
    assert "(fitter, Tuesday)" in asked(**cabinet, measured_by="fitter, Tuesday")
    assert "(" not in asked(**cabinet)


def test_a_wider_opening_is_not_said_to_be_wider_than_the_wall_if_it_is_not():
    (one,) = [
        one
        for one in found(one_bar(A1={"opening": [2999]}))
        if one.code == "opening-wider-than-cabinet"
    ]
    assert "wall" not in one.says

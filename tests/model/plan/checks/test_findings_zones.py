"""Checks on heat, splash and dust: each fires in one job, and only just not in another.

The one bar is 504 to 1379, 8 deep under cabinet A1, 500 to 1383; the worktop is at 910.
"""

from decimal import Decimal
from typing import Any

import pytest
from cases import Case, assert_fires, assert_silent, names
from jobs import Fields, obstacle, one_bar, part

from pelmet.model.job.job import Job
from pelmet.model.plan.checks import zones
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job

D = Decimal
HIGH = 1568  # underside at which the bar's face is 650 over the worktop
WALL_B = {"id": "B", "room": "K", "length": 2000}


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in zones.CHECKS for finding in check(plan)]


def hob(at: float | Decimal, width: float = 600, *, wall: str = "A", **how: Any) -> Job:
    """The one bar with a hob zone; ``how`` as for `one_bar`."""
    return one_bar(
        add={"walls": [WALL_B], "obstacles": [obstacle("O1", at, width, "hob zone", wall=wall)]},
        **how,
    )


def raised(bottom: float | Decimal, **how: Any) -> Job:
    """A hob under the middle of the bar, and the cabinet's underside at this height."""
    return hob(650, A1={"bottom_height": bottom} | how.pop("A1", {}), **how)


def sink(ip: int, at: float | Decimal = 1000) -> Job:
    """A sink zone, and strip of this protection."""
    return one_bar(
        add={"obstacles": [obstacle("O1", at, 600, "sink zone")]},
        R1={"strip": "mine"},
        parts={"strips": [part("strips", "mine", ip=ip)]},
    )


def supply(place: str, cabinet: str | None = "A1") -> Fields:
    return {"S1": {"place": place, "cabinet": cabinet}}


CASES = (
    # Common practice: 650 mm and more over a hob; the larger of two manuals counts.
    Case("light-over-hob", "stop", "run", "R1", "cabinets", raised(D("1567.9")), raised(HIGH),
         ("R1.1 hangs 649.9 mm over O1", "650 mm is the least")),
    Case("light-over-hob", "ask", "run", "R1", "cabinets", raised(HIGH), raised(D("1567.9")),
         ("650 mm over O1", "heat and grease")),
    # Let into the underside it hangs as high as that.
    Case("light-over-hob", "stop", "run", "R1", "cabinets",
         raised(D("1559.9"), R1={"fixing": "groove"}), raised(1560, R1={"fixing": "groove"})),
    # A manual that asks for more.
    Case("light-over-hob", "stop", "run", "R1", "cabinets",
         raised(HIGH, allowances={"hob_clearance": D("650.1")}),
         raised(HIGH, allowances={"hob_clearance": 650})),
    Case("light-over-hob", "stop", "run", "R1", "cabinets", raised(HIGH, K={"worktop_height": 911}),
         raised(HIGH + 1, K={"worktop_height": 911})),
    Case("light-over-hob", "stop", "run", "R1", "cabinets", hob(D("1378.9")), hob(1379)),
    Case("light-over-hob", "stop", "run", "R1", "cabinets", hob(0, 505), hob(0, 504)),
    Case("light-over-hob", "stop", "run", "R1", "cabinets", hob(650), hob(650, wall="B")),
    Case("supply-over-hob", "stop", "supply", "S1", "cabinet", hob(D("1382.9")), hob(1383),
         ("S1 sits over O1",)),
    Case("supply-over-hob", "stop", "supply", "S1", "cabinet", hob(0, 501), hob(0, 500)),
    Case("supply-over-hob", "stop", "supply", "S1", "cabinet",
         hob(650, **supply("on top of cabinet")), hob(650, **supply("elsewhere"))),
    Case("supply-over-hob", "stop", "supply", "S1", "cabinet", hob(650), hob(650, wall="B")),
    # The cable comes down through a hole at 540, and goes on to the bar's end at 504.
    Case("cable-over-hob", "ask", "leg", "L1", "avoid", hob(D("539.9"), 100), hob(540, 100),
         ("L1.1 runs along the underside over O1",)),
    Case("cable-over-hob", "ask", "leg", "L1", "avoid", hob(0, 505), hob(0, 504)),
    Case("cable-over-hob", "ask", "leg", "L1", "avoid", hob(500), hob(500, wall="B")),
    # Common practice: splash-proof near a sink, the code of IEC 60529 being IP44.
    Case("light-over-sink", "ask", "run", "R1", "strip", sink(43), sink(44),
         ("R1.1 hangs over O1", "mine is IP43")),
    Case("light-over-sink", "ask", "run", "R1", "strip", sink(20, D("1378.9")), sink(20, 1379)),
    # Common practice: a supply wants air, and to be reached; and no dust.
    Case("supply-walled-in", "stop", "supply", "S1", "place", one_bar(**supply("walled in")),
         one_bar(**supply("in plinth"))),
    Case("supply-in-dust", "warn", "supply", "S1", "place", one_bar(**supply("on top of cabinet")),
         one_bar(**supply("in cabinet"))),
    Case("supply-place-unknown", "ask", "supply", "S1", "cabinet",
         one_bar(**supply("in cabinet", None)), one_bar(**supply("elsewhere", None))),
    Case("supply-place-unknown", "ask", "supply", "S1", "cabinet",
         one_bar(**supply("in plinth", None)), one_bar(**supply("in plinth"))),
)  # fmt: skip


@pytest.mark.published
@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.published
@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_the_limit_is_just_met(case):
    assert_silent(found, case)


def test_every_check_fires_in_some_case():
    plans = [plan_job(case.fires) for case in CASES]
    silent = [check for check in zones.CHECKS if not any(list(check(plan)) for plan in plans)]
    assert [check.__name__ for check in silent] == []


def test_with_no_zone_and_a_supply_inside_nothing_is_said():
    assert found(one_bar()) == []
    assert found(Job()) == []


@pytest.mark.published
@pytest.mark.parametrize(
    ("ip", "asked"),
    [
        # IEC 60529: the first digit is for solids, the second for water, each on its own; 4 is
        # for splashes. A strip that keeps all dust out may keep no water out.
        (20, True), (43, True), (50, True), (60, True), (63, True),
        (44, False), (54, False), (65, False), (67, False), (68, False),
    ],
)  # fmt: skip
def test_the_second_digit_says_whether_splashes_are_kept_out(ip, asked):
    assert [one.code for one in found(sink(ip))] == ["light-over-sink"] * asked


def test_an_upright_bar_hangs_over_nothing():
    job = hob(500, A1={"kind": "upright", "width": 40, "opening": (), "bottom_height": 80})
    assert "light-over-hob" not in [one.code for one in found(job)]


def test_every_bar_over_a_hob_is_told():
    job = hob(500, 883, R1={"pieces": 2})
    said = [one.says for one in found(job) if one.code == "light-over-hob"]
    assert [says.split()[0] for says in said] == ["R1.1", "R1.2"]


def test_both_manuals_are_named():
    (one, *_) = found(raised(HIGH))
    assert "both manuals" in one.remedy
    assert "larger" in one.source.title

"""Checks on supplies: each fires in one job, and only just not in another.

The one bar is 17 units of 50 mm at 9.6 W/m, 8.16 W; 80 % of a supply may be used.
"""

from decimal import Decimal
from typing import Any

import pytest
from cases import Case, assert_fires, assert_silent, names
from jobs import ALIKE, one_bar, part, row

from pelmet.model.job.job import Job
from pelmet.model.plan.checks import supplies
from pelmet.model.plan.finding import Finding
from pelmet.model.plan.stages import plan_job

D = Decimal
SECOND_LEG = {"legs": [{"id": "L2", "supply": "S1"}]}
HALF = {"rule": "circuit-share", "limit": 50, "reason": "other lights on it"}


def found(job: Job) -> list[Finding]:
    plan = plan_job(job)
    return [finding for check in supplies.CHECKS for finding in check(plan)]


def own(celsius: float | Decimal = 35, add: Any = None, **changes: Any) -> Job:
    """The one bar on a supply of one's own, in air of this temperature."""
    return one_bar(
        S1={"part": "mine"},
        parts={"supplies": [part("supplies", "mine", **changes)]},
        allowances=ALIKE | {"supply_celsius": celsius},
        add=add or {},
    )


def blocked(amps: str) -> Job:
    """Two bars on a leg each, at a supply of one terminal, so both start in its block."""
    return row(
        900, 900, R1={"cabinets": ["A1"]}, S1={"part": "mine"},
        parts={"supplies": [part("supplies", "mine", terminals=1)],
               "connectors": [part("connectors", "lever-3", ways=3, amps=D(amps))]},
        add=SECOND_LEG | {"runs": [{"id": "R2", "cabinets": ["A2"], "leg": "L2"}]},
    )  # fmt: skip


def several(count: int, circuit: str = "lights", region: str = "eu", **more: Any) -> Job:
    """So many supplies, alike, on one circuit; ``more`` changes the part, ``S1`` the first."""
    same = {"part": "mine", "circuit": "lights", "breaker": more.pop("breaker", "C16")}
    rest = [{"id": f"S{n}", **same} for n in range(2, count + 1)]
    rules = more.pop("override", None)
    first = {**same, "circuit": circuit, **more.pop("S1", {})}
    job = one_bar(
        S1=first,
        add={"supplies": rest},
        parts={"supplies": [part("supplies", "mine", **more)]},
        allowances=ALIKE,
    )
    whole = job.model_dump(by_alias=True) | {"job": {"region": region}}
    return Job.model_validate(whole | ({"override": [{"id": "rule1", **rules}]} if rules else {}))


def steady(efficiency: str, region: str = "us", breaker: str = "15 A", **more: Any) -> Job:
    """The one bar on a supply so bad that it takes this many amps of a breaker's."""
    ideal = {"power_factor": 1, "efficiency": D(efficiency)}
    return several(1, region=region, breaker=breaker, **ideal, **more)


CASES = (
    # Common practice: 80 % of a rating; 10.2 W are just enough for 8.16 W.
    Case("supply-overloaded", "warn", "supply", "S1", "part", own(watts=D("10.19")),
         own(watts=D("10.2")), ("asked for 8.2 W", "may be used")),
    Case("supply-overloaded", "stop", "supply", "S1", "part", own(watts=D("8.1")),
         own(watts=D("8.2")), ("rated 8.1 W",)),
    # Derating guide: 75 % at 60 C, so 13.6 W are as good as 10.2 W, and 10.88 W as 8.16 W.
    Case("supply-overloaded", "warn", "supply", "S1", "part", own(60, watts=D("13.59")),
         own(60, watts=D("13.6"))),
    Case("supply-overloaded", "stop", "supply", "S1", "part", own(60, watts=D("10.87")),
         own(60, watts=D("10.88")), ("air of 60 C", "rated 10.9 W")),
    # To 70 C, where the guide ends.
    Case("supply-too-hot", "stop", "supply", "S1", "place", own(D("70.1")), own(70),
         ("70.1 C", "above 70 C")),
    Case("supply-too-hot", "stop", "supply", "S1", "place", own(highest_celsius=34),
         own(highest_celsius=35)),
    Case("terminals-short", "warn", "supply", "S1", "part", own(terminals=1, add=SECOND_LEG),
         own(terminals=2, add=SECOND_LEG), ("2 cables leave S1", "1 output")),
    # Two bars of 850 mm at 9.6 W/m, hot.
    Case("block-over-amps", "stop", "supply", "S1", "part", blocked("0.6"), blocked("0.7"),
         ("0.69 A hot", "lever-3 may carry 0.6 A")),
    # Breaker table of a luminaire manual: a B10 takes 37 % of what a C16 takes.
    Case("breaker-full", "warn", "supply", "S1", "circuit", several(3, on_c16=2),
         several(2, on_c16=2), ("S1 S2 S3 on circuit lights, breaker C16", "takes 2 like S1")),
    Case("breaker-full", "warn", "supply", "S1", "circuit", several(4, on_c16=10, breaker="B10"),
         several(3, on_c16=10, breaker="B10")),
    Case("breaker-full", "warn", "supply", "S1", "circuit", several(2, " Lights", on_c16=1),
         several(2, "sockets", on_c16=1)),
    Case("breaker-full", "warn", "supply", "S1", "circuit", several(3, on_c16=2),
         several(3, on_c16=2, S1={"breaker": "not known"})),
    # Of no name, a circuit of its own; 37 % of two are none at all.
    Case("breaker-full", "warn", "supply", "S1", "circuit",
         several(1, "", on_c16=2, breaker="B10"), several(1, "", on_c16=3, breaker="B10"),
         ("S1 on the circuit, breaker B10", "takes 0")),
    # NEC 210.20(A): 12 A on 15 A; 8.16 W at 120 V take them at 0.56667 %.
    Case("breaker-full", "stop", "supply", "S1", "circuit", steady("0.5666"), steady("0.5667"),
         ("12.00 A at full; it may carry 12 A",)),
    # 6 A at 230 V are more than a 6 A breaker carries, whatever share is the rule.
    Case("breaker-full", "stop", "supply", "S1", "circuit", steady("0.591", "eu", "C6"),
         steady("0.592", "eu", "C6")),
    # Between its share and its rating, where the rule was not seen in print.
    Case("breaker-full", "warn", "supply", "S1", "circuit",
         steady("1.18", "eu", "C6", override=HALF), steady("1.19", "eu", "C6", override=HALF)),
    Case("breaker-full", "stop", "supply", "S1", "circuit",
         steady("1.18", "us", "15 A", override=HALF | {"limit": D("38")}),
         steady("1.18", "us", "15 A", override=HALF | {"limit": D("39")})),
)  # fmt: skip


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_fires_with_its_level_and_place(case):
    assert_fires(found, case)


@pytest.mark.parametrize("case", CASES, ids=names)
def test_a_check_is_silent_when_the_limit_is_just_met(case):
    assert_silent(found, case)


def test_every_check_fires_in_some_case():
    plans = [plan_job(case.fires) for case in CASES]
    silent = [check for check in supplies.CHECKS if not any(list(check(plan)) for plan in plans)]
    assert [check.__name__ for check in silent] == []


def test_a_sound_job_and_an_empty_one_have_no_findings():
    assert found(one_bar()) == []
    assert found(Job()) == []
    assert found(one_bar(S1={"part": "no", "circuit": "lights", "breaker": "B6"})) == []


def test_circuits_without_a_name_are_not_taken_for_one():
    whole = several(3, on_c16=1).model_dump(by_alias=True)
    for supply in whole["supply"]:
        supply["circuit"] = ""
    assert found(Job.model_validate(whole)) == []


def test_too_hot_is_said_once():
    assert [one.code for one in found(own(71, watts=1))] == ["supply-too-hot"]


def test_the_source_of_a_full_breaker_is_the_one_that_decides():
    (by_rule,) = found(steady("0.5666"))
    (by_rating,) = found(steady("0.591", "eu", "C6"))
    (by_memory,) = found(steady("1.18", "eu", "C6", override=HALF))
    assert by_rule.source.title.startswith("NEC 210.20(A)")
    assert by_rule.source.standing == "published"
    assert by_rating.source.title == "the breaker's own rating"
    assert by_memory.source.standing == "from memory"
    (by_table,) = found(several(3, on_c16=2))
    assert "luminaire manual" in by_table.source.title


def test_different_supplies_each_take_their_part_of_a_breaker():
    def mixed(third: int) -> list[str]:
        counts = {"mine": 2, "other": third}
        rest = [{"id": "S2", "part": "other", "circuit": "lights", "breaker": "C16"}]
        job = one_bar(
            S1={"part": "mine", "circuit": "lights", "breaker": "C16"},
            add={"supplies": rest},
            parts={"supplies": [part("supplies", item_id, on_c16=count)
                                for item_id, count in counts.items()]},
        )  # fmt: skip
        return [one.code for one in found(job)]

    # A half, and a half or all of it.
    assert mixed(2) == []
    assert mixed(1) == ["breaker-full"]

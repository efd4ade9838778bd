"""Where the cables of a supply start: each in a terminal of its own, or in a block for the rest."""

import re
from decimal import Decimal
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jobs import QUICK, any_job, part, planned, row

from pelmet.model.job.job import Job
from pelmet.model.order.folder import make_folder
from pelmet.model.order.sundries import count_sundries
from pelmet.model.plan.circuit.terminals import Starts, starts_of
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.blocks.one_line import draw_one_line
from pelmet.model.told.formats.text import ascii_lines
from pelmet.model.told.papers.labels import labels_paper
from pelmet.model.told.papers.sheets import SHEETS
from pelmet.model.told.papers.wiring import wiring_paper


def home_runs(count: int, **how: Any) -> Job:
    """One leg with a cable of its own from the supply to each of so many runs."""
    runs = [{"id": f"R{n}", "cabinets": [f"A{n}"], "leg": "L1"} for n in range(2, count + 1)]
    leg = {"wiring": "home run", **how.pop("L1", {})}
    return row(*[600] * count, R1={"cabinets": ["A1"]}, L1=leg, add={"runs": runs}, **how)


def starts(job: Job) -> Starts:
    plan = plan_job(job)
    (found,) = starts_of(job, plan.parts, plan.routes, plan.circuits.legs)
    return found


def needs(job: Job) -> dict[str, int]:
    return {need.part: int(need.amount.value) for need in plan_job(job).needs}


def text(blocks: Any) -> str:
    return "\n".join(line for block in blocks for line in ascii_lines(block))


@pytest.mark.regression
def test_one_leg_of_several_cables_takes_several_terminals():
    found = starts(home_runs(3))  # as many as the supply has
    assert [(each.cable, each.terminal) for each in found.cables] == [
        ("L1.1", 1), ("L1.2", 2), ("L1.3", 3),
    ]  # fmt: skip
    assert found.block is None
    assert plan_job(home_runs(3)).supplies[0].terminals_left.value == 0
    assert "lever-5" not in needs(home_runs(3))


@pytest.mark.regression
def test_cables_that_find_no_terminal_start_in_a_block_that_is_told_ordered_and_labelled():
    job = home_runs(5)
    block = starts(job).block
    assert (block.terminal, block.cables, block.connector.id, block.each) == (
        3, ("L1.3", "L1.4", "L1.5"), "lever-5", 1,
    )  # fmt: skip
    plan = plan_job(job)
    assert needs(job)["lever-5"] == 2  # one a pole
    (told,) = (each for each in plan.findings if each.code == "terminals-short")
    assert told.says == (
        "5 cables leave S1; it has 3 output terminals: L1.3 L1.4 L1.5 start in a block of lever-5 "
        "at terminal 3"
    )
    wiring = text(wiring_paper(plan))
    assert "S1 block, at its terminal 3: 2 x lever-5; for L1.3 L1.4 L1.5." in wiring
    assert "# S1 block" in "\n".join(draw_one_line(plan))
    assert "| S1 block " in text(labels_paper(plan))


@pytest.mark.parametrize(
    ("ways", "cables", "connector", "each"),
    [((3,), 5, "own-3", 2), ((3, 5), 5, "own-5", 1), ((3, 5), 7, "own-5", 2), ((2,), 5, None, 0)],
)
def test_a_block_is_of_the_smallest_connector_that_has_the_ways(ways, cables, connector, each):
    own = [part("connectors", f"own-{way}", ways=way) for way in ways]
    known = [part("connectors", f"lever-{n}", ways=2) for n in (2, 3, 5)]
    block = starts(home_runs(cables, parts={"connectors": [*known, *own]})).block
    assert (block.connector.id if block.connector else None, block.each) == (connector, each)


@pytest.mark.regression
def test_a_block_that_carries_more_than_its_connectors_may_is_told():
    weak = {"connectors": [part("connectors", "lever-5", ways=5, amps=Decimal("0.6"))]}
    plan = plan_job(home_runs(5, parts=weak))
    (told,) = (each for each in plan.findings if each.code == "block-over-amps")
    assert (told.level, told.says) == (
        "stop", "the block at S1 carries 0.65 A hot; lever-5 may carry 0.6 A",
    )  # fmt: skip
    strong = {"connectors": [part("connectors", "lever-5", ways=5, amps=Decimal("0.7"))]}
    assert "block-over-amps" not in {
        each.code for each in plan_job(home_runs(5, parts=strong)).findings
    }


@pytest.mark.property
@QUICK
@given(any_job())
def test_no_two_cables_share_a_terminal_unless_it_has_a_block_with_a_way_for_each(job):
    plan = plan_job(job)
    every = starts_of(job, plan.parts, plan.routes, plan.circuits.legs)
    leads = {lead.id for lead in plan.routes.leads if lead.before is None}
    told = [each.cable for one in every for each in one.cables]
    assert len(told) == len(set(told))
    assert leads <= set(told)
    for one in every:
        places = [(each.terminal, each.way) for each in one.cables]
        assert len(places) == len(set(places))
        assert all(each.terminal <= (one.terminals or each.terminal) for each in one.cables)
        block = one.block
        if block and block.connector:
            room = block.each * block.connector.ways - 2 * (block.each - 1)
            assert room >= len(block.cables) + 1
        alone = {each.terminal for each in one.cables if each.way is None}
        assert block is None or block.terminal not in alone


# --- Fuses at supplies ----------------------------------------------------------------------------


def fuses(plan: Plan) -> dict[str, int]:
    return {
        each.part or each.serves: int(each.amount)
        for each in count_sundries(plan)
        if "fuse" in each.serves
    }


@pytest.mark.regression
@given(st.sampled_from(["1", "3.15", "12.5", "25"]))
def test_a_fuse_that_is_chosen_is_ordered_with_its_holder_and_a_spare_and_labelled(amps):
    plan = planned(L1={"fuse": Decimal(amps)})
    assert fuses(plan) == {f"fuse-{amps}": 2, "fuse-holder": 1}
    labels = text(labels_paper(plan))
    assert "| L1.1 fuse" in labels
    assert f"| {amps} A, never more" in labels


@pytest.mark.regression
def test_each_cable_of_a_leg_at_its_supply_has_a_fuse_of_its_own():
    plan = plan_job(home_runs(3, L1={"fuse": 2}))
    assert fuses(plan) == {"fuse-2": 4, "fuse-holder": 3}
    assert "in the + conductor of each of its cables at S1" in text(wiring_paper(plan))


@pytest.mark.regression
def test_a_fuse_stands_in_the_handover():
    folder = make_folder(planned(L1={"fuse": Decimal("3.15")}))
    handed = text(SHEETS["handover"].blocks(folder, "as one"))
    assert "What protects each leg" in handed
    assert re.search(r"L1 +flat-2x0.75 +3.15 +protected by S1", handed)


def test_a_fuse_that_no_part_is_of_is_ordered_by_its_amps_and_none_where_none_is_chosen():
    assert fuses(planned(L1={"fuse": Decimal("2.4")})) == {"fuse of 2.4 A": 2, "fuse-holder": 1}
    assert fuses(planned()) == {}

"""The wiring schedule against the plan: ends, terminals, amps, volts by Ohm's law, cautions."""

from decimal import Decimal
from typing import Any

import pytest
from fed_rooms import FED
from hypothesis import given, settings
from jobs import QUICK, any_job, many_bars, one_bar, part, row
from papers import cautions, folder, said

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.told.paper import Grid, Paper, Picture
from pelmet.model.told.papers.one_line import draw_one_line
from pelmet.model.told.papers.wiring import wiring_paper
from pelmet.model.told.wiring_list import wiring_list


def paper(job: Job) -> Paper:
    return Paper("wiring", "", "", "", "", wiring_paper(folder(job)))


def rows(job: Job, name: str) -> dict[str, tuple[str, ...]]:
    """Give the rows of a table by their first cells."""
    (found,) = [each for each in paper(job).blocks if isinstance(each, Grid) and each.name == name]
    assert len({each[0] for each in found.rows}) == len(found.rows)
    return {own: tuple(rest) for own, *rest in found.rows}


def with_two(**how: Any) -> Job:
    """One bar, and a second supply."""
    return one_bar(add={"supplies": [{"id": "S2"}]}, **how)


JOBS = {
    **FED,
    "pantry": lambda: read_example("kitchen-with-pantry"),
    "thirty": many_bars,
    "both ends": lambda: row(600, 600, 600, R1={"feed_end": "both"}),
}


@pytest.mark.cross_check
@pytest.mark.parametrize("shape", JOBS)
def test_every_cable_is_told_once_with_the_plans_amps_and_the_volts_of_ohms_law(shape):
    """Volts after a cable by hand: those before it less its amps times its loop."""
    job = JOBS[shape]()
    plan = folder(job).plan
    told = rows(job, "wiring")
    links = [link.cable for link in plan.routes.links if link.cable]
    cables = {cable.id: cable for cable in (*plan.routes.leads, *links)}
    assert list(told) == list(cables)
    assert list(rows(job, "wiring-ends")) == list(cables)
    flows = {flow.cable: flow for leg in plan.circuits.legs for flow in leg.flows}
    loops: dict[str, float] = {}
    for leg in plan.circuits.legs:
        if leg.solved:
            loops |= {own: float(loop.value) for own, loop in leg.solved.wired.loops.items()}
    for own, (start, end, _, length, amps, after, drop, _) in told.items():
        assert (start, end) == (cables[own].origin, cables[own].end)
        lead = cables[own].length
        assert length == ("?" if lead is None else f"{float(lead.value):g}")
        if own not in flows:
            assert amps == after == drop == "?"
            continue
        assert float(amps) == pytest.approx(float(flows[own].amps.value), abs=0.0051)
        before = cables[own].before
        if before is None and cables[own] in plan.routes.leads:
            volts = 24 - float(flows[own].amps.value) * loops[own]
            assert float(after) == pytest.approx(volts, abs=0.0051)
        assert float(drop) == pytest.approx(100 * (24 - float(after)) / 24, abs=0.075)
    drops = [float(each[6]) for each in told.values() if each[6] != "?"]
    worst = plan.worst_leg
    assert worst is None or max(drops) <= float(worst.drop.value) + 0.051  # type: ignore[union-attr]


@pytest.mark.parametrize("shape", JOBS)
def test_ends_say_what_the_wiring_list_says(shape):
    job = JOBS[shape]()
    listed = " ".join(" ".join(wiring_list(folder(job).plan)).split())
    for own, (cores, marks, start, _, end, bare) in rows(job, "wiring-ends").items():
        assert f"marks {marks}: the same at both ends" in listed
        said_of = listed.partition(f"{own} ")[2]
        assert f"({cores})" in said_of
        if " x " in end:
            assert f"{end}, " in said_of
            assert f"; bare {bare} mm" in said_of
        if start.startswith("the joint"):
            assert f"in {start}" in said_of


def test_one_bar_by_hand():
    # The bundled supply wants 8 mm of bare wire, the bundled lever connector 6 mm.
    assert rows(one_bar(), "wiring-ends")["L1.1"] == (
        "2 x 0.75 mm2", "L1.1 +, L1.1 -", "S1 terminal 1", "8", "2 x lever-2", "6",
    )  # fmt: skip
    assert rows(one_bar(), "wiring-supplies")["S1"] == ("supply-24-60", "3", "1 L1", "2", "2 3")


def test_legs_of_each_supply_are_numbered_from_one():
    job = with_two()
    more = job.model_copy(update={"legs": (
        job.legs[0],
        *(job.legs[0].model_copy(update={"id": own, "supply": supply})
          for own, supply in zip(("L2", "L3", "L4", "L5", "L6"), ("S2", "S1", "S2", "S1", "S1"),
                                 strict=True)),
    )})  # fmt: skip
    told = rows(more, "wiring-supplies")
    assert told["S1"] == ("supply-24-60", "3", "1 L1, 2 L3, 3 L5, 4 L6", "0", "")
    assert told["S2"] == ("supply-24-60", "3", "1 L2, 2 L4", "1", "3")
    last = more.model_copy(update={"runs": (more.runs[0].model_copy(update={"leg": "L5"}),)})
    assert rows(last, "wiring-ends")["L5.1"][2] == "S1 terminal 3"
    fed = more.model_copy(update={"runs": (more.runs[0].model_copy(update={"leg": "L6"}),)})
    assert rows(fed, "wiring-ends")["L6.1"][2] == "S1 terminal 4, of 3"
    assert rows(one_bar(S1={"part": "no"}), "wiring-supplies")["S1"] == (
        "no", "?", "1 L1", "?", "",
    )  # fmt: skip


@pytest.mark.cross_check
@pytest.mark.parametrize("example", ["kitchen", "kitchen-with-pantry"])
def test_free_terminals_are_those_of_the_plan(example):
    job = read_example(example)
    budgets = {one.supply: one for one in folder(job).plan.supplies}
    for own, (_, _, taken, free, which) in rows(job, "wiring-supplies").items():
        left = budgets[own].terminals_left
        assert left
        assert int(free) == left.value == len(which.split())
        assert len(taken.split(", ")) == len(budgets[own].legs)


def test_a_tee_is_made_at_the_end_of_the_cable_from_the_supply():
    told = rows(read_example("kitchen"), "wiring-ends")
    assert told["L3.1"][4] == "2 x lever-3"
    assert told["L3.2"][2:4] == told["L3.3"][2:4] == ("the joint at the end of L3.1", "6")
    assert told["R2.1-2"][2:] == ("2 x lever-2", "6", "2 x lever-2", "6")


def test_where_four_cables_meet_each_core_has_two_connectors():
    runs = [{"id": f"R{n}", "cabinets": [f"A{n}"], "leg": "L1"} for n in (2, 3)]
    job = row(600, 600, 600, R1={"cabinets": ["A1"]}, add={"runs": runs},
              L1={"length": 2000, "wiring": "home run"})  # fmt: skip
    told = rows(job, "wiring-ends")
    assert told["L1.1"][4] == "4 x lever-3"  # in, out to the run, and on to two more
    assert told["L1.2"][2] == told["L1.3"][2] == "the joint at the end of L1.1"


def test_tunable_white_has_three_cores_of_their_own_marks():
    job = one_bar(R1={"strip": "two-white-24"}, L1={"cable": "round-3x0.75"})
    cores, marks, _, _, end, _ = rows(job, "wiring-ends")["L1.1"]
    assert cores == "3 x 0.75 mm2"
    assert marks == "L1.1 common, L1.1 warm, L1.1 cool"
    assert end == "3 x lever-2"


def test_a_dimmer_stands_between_terminal_and_cable():
    job = one_bar(L1={"dimmer": "dimmer-5"})
    assert rows(job, "wiring-ends")["L1.1"][2] == "S1 terminal 1, through dimmer-5"


def test_a_supply_that_does_not_say_leaves_bare_wire_to_its_label():
    own = {"supplies": [part("supplies", "mine")]}
    assert rows(one_bar(S1={"part": "mine"}, parts=own), "wiring-ends")["L1.1"][3] == "label"


def test_fuses_are_told_where_there_are_or_should_be_some():
    assert "fuse" not in said(paper(one_bar())).lower()
    assert "L1: protected by S1, a limited source" in said(
        paper(one_bar(L1={"fuse": Decimal("3.15")}))
    )
    bare = {"supplies": [part("supplies", "mine", limited="no", watts=200)]}
    assert "L1: protected by nothing yet: it needs a " in said(
        paper(one_bar(S1={"part": "mine"}, parts=bare))
    )


def test_cautions_are_those_that_the_job_calls_for():
    one = cautions(paper(one_bar()))
    assert "unplugged" in one
    assert "polarity at both ends" in one
    assert "outputs of two supplies" not in one
    assert "outputs of two supplies" in cautions(paper(with_two()))
    unfed = cautions(paper(one_bar(drop=["L1"], R1={"leg": None})))
    assert "polarity" not in unfed
    assert "unplugged" in unfed
    bars_only = one_bar(drop=["L1", "S1"], R1={"leg": None})
    assert cautions(paper(bars_only)) == ""
    assert "There is no supply yet." in said(paper(bars_only))


def test_what_is_assumed_or_not_known_is_marked():
    guessed = one_bar(A1={"assumed": ["opening", "at"]})
    assert rows(guessed, "wiring")["L1.1"][-1] == "length, A, V"
    assert rows(one_bar(), "wiring")["L1.1"][-1] == ""
    unknown = one_bar(S1={"part": "no"})
    assert rows(unknown, "wiring")["L1.1"][4:7] == ("?", "?", "?")
    assert "? cannot be worked out yet." in said(paper(unknown))
    assert "worked out" not in said(paper(one_bar()))


def test_lengths_are_in_the_unit_of_the_job():
    inches = Job.model_validate(
        one_bar().model_dump(by_alias=True) | {"job": {"length_unit": "in"}}
    )
    (schedule, *_) = [each for each in paper(inches).blocks if isinstance(each, Grid)]
    assert schedule.head[4] == "length [in]"
    assert rows(inches, "wiring")["L1.1"][3] == "51 3/16"  # 1300 mm, 51.181 in: up
    assert rows(inches, "wiring-ends")["L1.1"][3] == "~5/16"  # 8 mm


def test_the_diagram_is_on_it():
    job = read_example("kitchen")
    (drawn,) = [each for each in paper(job).blocks if isinstance(each, Picture)]
    assert drawn.rows == draw_one_line(folder(job).plan)
    assert "by the electrician" in drawn.about


def test_nothing_to_wire_is_said():
    assert said(paper(Job())) == "There is nothing to wire."


@pytest.mark.property
@settings(QUICK, max_examples=20)
@given(any_job())
def test_any_job_has_each_cable_once_in_both_tables(job):
    plan = folder(job).plan
    found = {each.name: each for each in wiring_paper(folder(job)) if isinstance(each, Grid)}
    links = [link.cable.id for link in plan.routes.links if link.cable]
    cables = [*(lead.id for lead in plan.routes.leads), *links]
    for name in ("wiring", "wiring-ends"):
        assert [own for own, *_ in found[name].rows] == cables if cables else name not in found
    free = {own: count for own, _, _, _, count, _ in
            (found["wiring-supplies"].rows if "wiring-supplies" in found else ())}  # fmt: skip
    for budget in plan.supplies:
        left = budget.terminals_left
        assert free[budget.supply] == (str(max(int(left.value), 0)) if left else "?")

"""The wiring schedule against the plan: ends, terminals, amps, volts by Ohm's law, cautions."""

from decimal import Decimal
from typing import Any

import pytest
from draws import quick
from fed_rooms import FED
from hypothesis import given
from jobs import any_job, many_bars, one_bar, part, row
from papers import cautions, said, table

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.blocks.one_line import draw_one_line
from pelmet.model.told.paper import Grid, Paper, Picture
from pelmet.model.told.papers.wiring import wiring_paper


def paper(job: Job) -> Paper:
    return Paper("wiring", "", "", "", "", wiring_paper(plan_job(job)))


def rows(job: Job, name: str) -> dict[str, tuple[str, ...]]:
    """Give the rows of a table by their first cells."""
    return table(paper(job).blocks, name)


def unlimited(**leg: Any) -> Job:
    """One bar on a supply that nothing limits."""
    own = part("supplies", "mine", limited="no")
    return one_bar(S1={"part": "mine"}, L1=leg, parts={"supplies": [own]})


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
    plan = plan_job(job)
    told = rows(job, "wiring")
    links = [link.cable for link in plan.routes.links if link.cable]
    cables = {cable.id: cable for cable in (*plan.routes.leads, *links)}
    assert list(told) == list(cables)
    assert list(rows(job, "wiring-ends")) == list(cables)
    flows = {flow.cable: flow for leg in plan.circuits.legs for flow in leg.flows}
    parts = {leg.id: leg.cable for leg in job.legs}
    loops: dict[str, float] = {}
    for leg in plan.circuits.legs:
        if leg.operating_point:
            loops |= {
                own: float(loop.value) for own, loop in leg.operating_point.network.loops.items()
            }
    for own, (start, end, part_id, length, amps, after, drop, _) in told.items():
        assert (start, end) == (cables[own].origin, cables[own].end)
        lead = cables[own].length
        assert length == ("?" if lead is None else f"{float(lead.value):g}")
        assert part_id == parts[cables[own].leg]
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
def test_every_core_has_one_mark_at_both_ends_and_every_end_its_bare_wire(shape):
    for own, (_, marks, start, bare, end, bare_at_end) in rows(
        JOBS[shape](), "wiring-ends"
    ).items():
        assert marks == f"{own} +, {own} -"
        assert start
        assert bare
        assert " x lever-" in end
        assert bare_at_end


def test_one_bar_by_hand():
    # The bundled supply wants 8 mm of bare wire, the bundled lever connector 6 mm.
    assert rows(one_bar(), "wiring-ends")["L1.1"] == (
        "2 x 0.75 mm2 flexible", "L1.1 +, L1.1 -", "S1 terminal 1", "8", "2 x lever-2", "6",
    )  # fmt: skip
    assert rows(one_bar(), "wiring-supplies")["S1"] == ("supply-24-60", "3", "1 L1.1", "2", "2 3")


def test_legs_of_each_supply_are_numbered_from_one():
    job = with_two()
    more = job.model_copy(update={"legs": (
        job.legs[0],
        *(job.legs[0].model_copy(update={"id": own, "supply": supply})
          for own, supply in zip(("L2", "L3", "L4", "L5", "L6"), ("S2", "S1", "S2", "S1", "S1"),
                                 strict=True)),
    )})  # fmt: skip
    told = rows(more, "wiring-supplies")
    assert told["S1"] == ("supply-24-60", "3", "1 L1.1, 2 L3, 3 block", "0", "")
    assert told["S2"] == ("supply-24-60", "3", "1 L2, 2 L4", "1", "3")
    last = more.model_copy(update={"runs": (more.runs[0].model_copy(update={"leg": "L5"}),)})
    assert rows(last, "wiring-ends")["L5.1"][2] == "S1 block, way 1"
    fed = more.model_copy(update={"runs": (more.runs[0].model_copy(update={"leg": "L6"}),)})
    assert rows(fed, "wiring-ends")["L6.1"][2] == "S1 block, way 2"
    assert rows(one_bar(S1={"part": "no"}), "wiring-supplies")["S1"] == (
        "no", "?", "1 L1.1", "?", "",
    )  # fmt: skip


@pytest.mark.cross_check
@pytest.mark.parametrize("example", ["kitchen", "kitchen-with-pantry"])
def test_free_terminals_are_those_of_the_plan(example):
    job = read_example(example)
    budgets = {one.supply: one for one in plan_job(job).supplies}
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
    assert (
        told["L1.1"][4] == "4 x lever-3, 2 side by side a core"
    )  # in, out to the run, and on to two more
    assert told["L1.2"][2] == told["L1.3"][2] == "the joint at the end of L1.1"


def test_tunable_white_has_three_cores_of_their_own_marks():
    job = one_bar(R1={"strip": "two-white-24"}, L1={"cable": "round-3x0.75"})
    cores, marks, _, _, end, _ = rows(job, "wiring-ends")["L1.1"]
    assert cores == "3 x 0.75 mm2 flexible"
    assert marks == "L1.1 common, L1.1 warm, L1.1 cool"
    assert end == "3 x lever-2"


def test_a_dimmer_stands_between_terminal_and_cable():
    job = one_bar(L1={"dimmer": "dimmer-5"})
    assert rows(job, "wiring-ends")["L1.1"][2] == "S1 terminal 1, through dimmer-5"


def test_a_supply_that_does_not_say_leaves_bare_wire_to_its_label():
    own = {"supplies": [part("supplies", "mine")]}
    assert rows(one_bar(S1={"part": "mine"}, parts=own), "wiring-ends")["L1.1"][3] == "label"


def test_a_gauge_is_told_as_a_gauge():
    assert rows(one_bar(L1={"cable": "pair-18"}), "wiring-ends")["L1.1"][0] == "2 x 18 AWG stranded"


def test_without_a_connector_of_its_ways_a_joint_says_so():
    five = part("connectors", "lever-2", ways=5)
    told = rows(one_bar(parts={"connectors": [five]}), "wiring-ends")["L1.1"]
    assert told[4] == "the catalogue has no 2-way connector"


# --- Protection -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("job", "says"),
    [
        # 60 W at 24 V.
        (one_bar(), "by S1, a limited source: it drives 3.75 A at most, the cable may carry 6 A"),
        (one_bar(S1={"part": "mine"}, parts={"supplies": [part("supplies", "mine")]}),
         "by nothing yet: it needs a 1 A fuse; the cable may carry 6 A"),
        (one_bar(L1={"fuse": 2}), "; a 2 A fuse in the + conductor at S1 as well"),
        (unlimited(fuse=Decimal("3.15")),
         "by a 3.15 A fuse in the + conductor at S1; the cable may carry 6 A"),
        (unlimited(fuse=None), "by nothing yet: it needs a 1 A fuse; the cable may carry 6 A"),
        (unlimited(fuse=8), "by nothing yet: it needs a 1 A fuse; the cable may carry 6 A"),
        (one_bar(L1={"cable": "no"}), "L1: protection not known"),
    ],
)  # fmt: skip
def test_what_protects_a_leg_is_told(job, says):
    assert says in said(paper(job))


def test_legs_that_are_protected_alike_are_told_together():
    told = said(paper(read_example("kitchen")))
    assert "L1 L2: protected by S1" in told
    assert "L3: protected by S1" in told


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
    assert rows(inches, "wiring-ends")["L1.1"][3] == "5/16"  # 8 mm


def test_the_diagram_is_on_it():
    job = read_example("kitchen")
    (drawn,) = [each for each in paper(job).blocks if isinstance(each, Picture)]
    assert drawn.rows == draw_one_line(plan_job(job))
    assert "by the electrician" in drawn.about


def test_nothing_to_wire_is_said():
    assert said(paper(Job())) == "There is nothing to wire."


@pytest.mark.property
@quick(20)
@given(any_job())
def test_any_job_has_each_cable_once_in_both_tables(job):
    plan = plan_job(job)
    found = {each.name: each for each in wiring_paper(plan_job(job)) if isinstance(each, Grid)}
    links = [link.cable.id for link in plan.routes.links if link.cable]
    cables = [*(lead.id for lead in plan.routes.leads), *links]
    for name in ("wiring", "wiring-ends"):
        assert [own for own, *_ in found[name].rows] == cables if cables else name not in found
    free = {own: count for own, _, _, _, count, _ in
            (found["wiring-supplies"].rows if "wiring-supplies" in found else ())}  # fmt: skip
    for budget in plan.supplies:
        left = budget.terminals_left
        assert free[budget.supply] == (str(max(int(left.value), 0)) if left else "?")

"""Labels: one a bar, two a cable, and what stands on them against the plan."""

from collections import Counter

import pytest
from draws import quick
from fed_rooms import FED
from hypothesis import given
from jobs import any_job, many_bars, one_bar, row
from papers import said

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.plan.circuit.terminals import starts_of
from pelmet.model.plan.result import Plan
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.paper import Label, Labels, Paper
from pelmet.model.told.papers.labels import labels_paper

TYPED = "=1|<b>&שלום"


def told(job: Job) -> tuple[Label, ...]:
    return tuple(
        label
        for block in labels_paper(plan_job(job))
        if isinstance(block, Labels)
        for label in block.each
    )


def bar(job: Job, item_id: str) -> tuple[str, ...]:
    (lines,) = [label.lines for label in told(job) if label.large == item_id]
    return lines


def at_supplies(plan: Plan) -> list[str]:
    """Give what is labelled at supplies: a fuse for each cable that starts there, and blocks."""
    fused = [leg.id for leg in plan.job.legs if leg.fuse is not None]
    leads = [lead for lead in plan.routes.leads if lead.before is None and lead.leg in fused]
    every = starts_of(plan.job, plan.parts, plan.routes, plan.circuits.legs)
    return [
        *(f"{lead.id} fuse" for lead in leads),
        *(f"{starts.supply} block" for starts in every if starts.block),
    ]


def check(job: Job) -> None:
    """One for each bar; two that are the same for each cable, with the words of the cable list."""
    plan = plan_job(job)
    links = (link.cable for link in plan.routes.links if link.cable)
    cables = {cable.id: cable for cable in (*plan.routes.leads, *links)}
    found = told(job)
    assert Counter(label.large for label in found) == Counter(
        [bar.id for bar in plan.bars] + 2 * list(cables) + at_supplies(plan)
    )
    for own, cable in cables.items():
        one, other = [label for label in found if label.large == own]
        assert one == other
        assert one.lines[0] == cable.label


@pytest.mark.parametrize("job", [read_example("kitchen-with-pantry"), many_bars()], ids=str)
def test_every_bar_has_one_and_every_cable_two_that_are_the_same(job):
    check(job)


@pytest.mark.property
@quick(20)
@given(any_job())
def test_so_it_is_for_any_job(job):
    check(job)


def test_a_bar_says_where_it_belongs_and_what_comes_to_its_ends():
    assert bar(one_bar(), "R1.1") == (
        "run R1, Kitchen",
        "left end: feed L1.1, + -, tail 150 mm",
        "right end: no wires",
        "leg L1, supply S1",
        "under A1",
    )
    assert "strip batch B 7" in bar(one_bar(R1={"batch": "B 7"}), "R1.1")
    assert "right end: feed L1.1, + -, tail 150 mm" in bar(
        one_bar(R1={"feed_end": "right"}), "R1.1"
    )


@pytest.mark.cross_check
@pytest.mark.parametrize("shape", FED)
def test_what_comes_to_an_end_is_what_the_cable_says_of_its_own_ends(shape):
    """A second way: the words of each cable's label name the place that its bar's label must."""
    job = FED[shape]()
    plan = plan_job(job)
    found = {label.large: label.lines for label in told(job)}
    expected = {
        (f"{cable.feed.bar} {cable.feed.at}", f"feed {cable.id}")
        for cable in plan.routes.leads
        if cable.feed
    } | {
        (place, f"link {link.cable.id}")
        for link in plan.routes.links
        if link.cable
        for place in (link.cable.origin, link.cable.end)
    }
    named = {"lower": "left", "upper": "right"}
    here = set()
    for own in (bar.id for bar in plan.bars):
        for line in found[own]:
            side, _, rest = line.partition(" end: ")
            if rest and rest != "no wires":
                here.add((f"{own} {named.get(side, side)}", rest.partition(",")[0]))
    assert here == expected != set()


def test_a_bar_fed_in_its_middle_says_after_which_unit():
    assert "middle: feed L1.1, + -, after unit 8, tail 150 mm" in bar(
        one_bar(R1={"feed_end": "middle"}), "R1.1"
    )


def test_a_run_of_two_legs_names_both():
    job = row(600, 600, R1={"feed_end": "both", "far_leg": "L2"},
              add={"legs": [{"id": "L2", "supply": "S2"}], "supplies": [{"id": "S2"}]})  # fmt: skip
    assert "leg L1, supply S1 and leg L2, supply S2" in bar(job, "R1.1")
    one_end = row(600, 600, R1={"far_leg": "L2"},
                  add={"legs": [{"id": "L2", "supply": "S2"}],
                       "supplies": [{"id": "S2"}]})  # fmt: skip
    assert "leg L1, supply S1" in bar(one_end, "R1.1")


def test_cores_of_tunable_white_are_named():
    job = one_bar(R1={"strip": "two-white-24"}, L1={"cable": "round-3x0.75"})
    assert "left end: feed L1.1, common warm cool, tail 150 mm" in bar(job, "R1.1")
    assert bar_of_cable(job)[-1] == "cores common, warm, cool"
    assert bar_of_cable(one_bar())[-1] == "cores +, -"


def bar_of_cable(job: Job) -> tuple[str, ...]:
    return next(label.lines for label in told(job) if label.large == "L1.1")


def test_an_upright_bar_has_a_lower_and_an_upper_end():
    job = one_bar(A1={"kind": "upright", "opening": (), "width": 40, "height": 883})
    lines = bar(job, "R1.1")
    assert any(line.startswith("lower end: feed L1.1") for line in lines)
    assert "upper end: no wires" in lines


def test_without_a_leg_no_cable_comes():
    lines = bar(one_bar(drop=["L1"], R1={"leg": None}), "R1.1")
    assert "no leg yet" in lines
    assert "left end: wires, no cable yet, + -, tail 150 mm" in lines


def test_names_stay_as_they_were_typed():
    assert f"run R1, {TYPED}" in bar(one_bar(K={"name": TYPED}), "R1.1")


def test_nothing_to_label_is_said():
    blocks = labels_paper(plan_job(Job()))
    assert said(Paper("labels", "", "", "", "", blocks)) == "There is no bar and no cable to label."

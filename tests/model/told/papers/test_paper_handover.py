"""The handover against the plan: how far, of what, where, what is spare, what is open."""

from collections import Counter
from math import floor

import pytest
from hypothesis import given
from jobs import QUICK, any_job, one_bar
from papers import folder, grid, paper, said

from pelmet.model.edit.change import altered, rebuilt, set_value, subject
from pelmet.model.edit.giving import give_out
from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.model.job.rule_tables import questions_of
from pelmet.model.told.blocks.standing import how_it_stands
from pelmet.model.told.paper import Blanks, Heading, Paper, Points
from pelmet.model.told.papers.sheets import paper_of

PANTRY = read_example("kitchen-with-pantry")
NASTY = "=1+1|<b> שלום"


def under(found: Paper, heading: str) -> tuple[str, ...]:
    """The points right below a heading."""
    below = found.blocks[found.blocks.index(Heading(heading)) + 1]
    assert isinstance(below, Points)
    return below.texts


def test_each_run_says_how_far_it_is_and_what_cannot_be_taken_back():
    job = set_value(PANTRY, "run", "R2", "status", "mounted")
    rows = {row[0]: row[1:] for row in grid(paper(job, "handover"), "run").rows}
    assert list(rows) == [run.id for run in job.runs]
    assert rows["R1"] == ("surveyed", "approved", "nothing yet", "-")
    assert rows["R4"][3] == "B3 width"
    assert rows["R2"][:2] == ("mounted", "wired")
    for word in ("bought", "cut", "drilled"):
        assert word in rows["R2"][2]
    assert "joined" not in rows["R2"][2]
    done = set_value(job, "run", "R2", "status", "proved")
    assert {row[0]: row[2] for row in grid(paper(done, "handover"), "run").rows}["R2"] == "nothing"


def test_each_run_says_what_it_is_made_of_and_its_batch():
    job = set_value(PANTRY, "run", "R1", "batch", NASTY)
    rows = {row[0]: row for row in grid(paper(job, "handover"), "run", 1).rows}
    for run in job.runs:
        own = rows[run.id]
        assert own[1:4] == (run.channel, run.diffuser, run.strip)
        assert own[4] == (run.batch or "not noted")
        assert own[6].split() == list(run.cabinets)
    assert rows["R1"][4] == NASTY
    bars = Counter(bar.run for bar in folder(job).plan.bars)
    assert {own: int(row[5]) for own, row in rows.items()} == bars


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_supply_has_no_more_left_than_it_has_and_every_question_says_of_what(job):
    found = folder(job)
    if not job.runs:
        assert said(paper_of(found, "handover")) == "There is no run yet."
        return
    rows = grid(paper_of(found, "handover"), "supply").rows if job.supplies else ()
    assert [row[0] for row in rows] == [supply.id for supply in job.supplies]
    for row, budget in zip(rows, found.plan.supplies, strict=True):
        if budget.left is None:
            assert row[4] == "-"
        else:
            left, _, assumed = row[4].partition(", ")
            assert int(left) == floor(float(budget.left.value))
            assert assumed == ("assumed" if budget.left.assumed else "")
    wanted = [each for each in found.plan.findings if each.level != "warn"]
    told = grid(paper_of(found, "handover"), "about").rows if wanted else ()
    assert [(row[0], row[2]) for row in told] == [(each.about, each.says) for each in wanted]


def test_a_supply_is_told_with_its_place_isolator_and_terminals_left():
    (row,) = grid(paper(one_bar(S1={"isolator": NASTY}), "handover"), "supply").rows
    assert row[:4] == ("S1", "supply-24-60", "in cabinet A1, Kitchen", NASTY)
    (part,) = [each for each in folder(one_bar()).plan.parts.supplies if each.id == "supply-24-60"]
    assert int(row[5]) == part.terminals - 1
    assert row[6] == ""
    (row,) = grid(paper(one_bar(S1={"isolator": ""}), "handover"), "supply").rows
    assert row[3] == "not noted"


@pytest.mark.cross_check
def test_joints_are_where_cables_end_and_as_many_as_connectors_are_ordered():
    found = folder(PANTRY)
    rows = grid(paper_of(found, "handover"), "cable").rows
    told = {(row[0], row[1]): row for row in rows}
    assert told["L3.1", "end"][2:] == ("3", "1 a core", "L3 tee 1", "under B1")
    assert told["L1.1", "end"][4:] == ("R1 right", "at R1.1")
    assert told["R2.1-2", "start"][4:] == ("R2.1 right", "at R2.1")
    assert told["R2.1-2", "end"][4:] == ("R2.2 left", "at R2.2")
    assert told["L4.1", "end"][5] == "not reckoned: note it here"  # its length was measured
    spare = int(PANTRY.allowances.spare_connectors)
    for ways, part, kept in (("2", "lever-2", spare), ("3", "lever-3", 0)):
        cores = sum(2 * int(row[3].split()[0]) for row in rows if row[2] == ways)
        (line,) = [each for each in found.lines if each.part == part]
        assert cores + kept == line.needed


def test_holes_are_those_of_the_plan():
    found = folder(PANTRY)
    rows = grid(paper_of(found, "handover"), "hole").rows
    holes = found.plan.holes
    assert [(row[0], tuple(row[2].split())) for row in rows] == [
        (hole.id, hole.cables) for hole in holes
    ]
    assert all(hole.owner in row[1] for hole, row in zip(holes, rows, strict=True))


@pytest.mark.parametrize("unit", ["mm", "in"])
def test_spares_are_those_that_are_allowed_for_in_the_unit_of_the_job(unit):
    job = one_bar(
        allowances={"strip_spare": 600, "spare_caps": 3, "spare_clips": 5, "spare_connectors": 0}
    )
    job = set_value(job, "site", "", "length_unit", unit)
    rows = {row[0]: row for row in grid(paper(job, "handover"), "part").rows}
    length, _, batch = rows["white-24-10"][2].partition(", ")
    assert length == {"mm": "600 mm", "in": "23 9/16 in"}[unit]  # 23.622 in, rounded down
    assert length.endswith(unit)
    assert batch == "of the same batch"
    assert rows["cap-17"][2] == "3"
    assert rows["clip-17"][2] == "5"
    assert "lever-2" not in rows
    assert rows["cap-17"][1] == "End cap 17 mm"


def test_what_is_assumed_and_what_is_open_stand_apart():
    job = set_value(PANTRY, "cabinet", "B3", "measured_by", "Dana", assumed=False)
    found = paper(job, "handover")
    rows = {row[0]: row[1:] for row in grid(found, "of").rows}
    assert rows["B3"] == ("width", "Dana")
    findings = folder(job).plan.findings
    wanted = [each for each in findings if each.level != "warn"]
    told = grid(found, "about").rows
    assert [row[:4] for row in told] == [
        (each.about, each.level, each.says, each.remedy) for each in wanted
    ]
    nothing = said(paper(one_bar(), "handover"))
    assert "Still to measure\nNothing: no reading is marked" in nothing
    assert "Still to decide\nNothing." in nothing


def test_who_owes_an_answer_is_the_licensed_person_or_who_measures_or_plans():
    job = set_value(PANTRY, "site", "", "electrician", "E. Volt")
    job = set_value(job, "cabinet", "B3", "measured_by", "Dana")
    job = set_value(job, "cabinet", "B3", "width", 600, assumed=True)
    owed = {"licensed" in row[3]: row[4] for row in grid(paper(job, "handover"), "about").rows}
    assert owed == {True: "E. Volt", False: "Dana"}
    questions = {each.id for each in questions_of(job.site.region)}
    asked = [each for each in folder(job).plan.findings if each.code in questions]
    assert asked
    told = {row[2]: row[4] for row in grid(paper(job, "handover"), "about").rows}
    assert {told[each.says] for each in asked} == {"E. Volt"}


def test_what_was_promised_stands_with_its_day():
    job = set_value(PANTRY, "site", "", "walls_close", "2027-02-12")
    job = set_value(job, "site", "", "needed_by", "2027-03-01")
    rows = grid(paper(job, "handover"), "what").rows
    assert [row[2] for row in rows[:2]] == ["2027-03-01", "2027-02-12"]
    assert [row[1] for row in rows[2:]] == [each.name for each in job.offers]
    assert "Promised\nNothing is noted." in said(paper(one_bar(), "handover"))


@pytest.mark.property
@QUICK
@given(any_job())
def test_every_row_of_how_it_stands_leads_to_a_field_that_is_asked_for(job):
    for matters in how_it_stands(folder(job)):
        for row in matters.rows:
            assert len(row.cells) == len(matters.head)
            assert hasattr(subject(job, row.kind, row.id), row.field)


def test_what_stands_at_stop_is_still_to_decide():
    job = one_bar(S1={"place": "walled in"})
    stops = [each.says for each in folder(job).plan.findings if each.level == "stop"]
    assert stops
    rows = grid(paper(job, "handover"), "about").rows
    assert set(stops) <= {row[2] for row in rows if row[1] == "stop"}


def test_papers_given_out_stand_with_their_revision():
    job = give_out(one_bar(), {"order": "0" * 16, "mains": "1" * 16})
    signed = rebuilt(
        job, given=(job.given[0], altered(job.given[1], {"day": "2027-03-01", "by": "Ann"}))
    )
    assert under(paper(signed, "handover"), "Papers given out") == (
        "order, revision 0",
        "mains, revision 0, on 2027-03-01 by Ann",
    )
    job = give_out(one_bar(), {"order": "0" * 16})
    assert under(paper(job, "handover"), "Papers given out") == ("order, revision 0",)
    assert under(paper(one_bar(), "handover"), "Papers given out") == ("None is noted.",)


def test_there_is_room_for_deviations_and_the_warranty():
    blanks = [each for each in paper(one_bar(), "handover").blocks if isinstance(each, Blanks)]
    labels = [label for each in blanks for label in each.labels]
    assert "Differs from the plan" in labels
    assert "Warranty ends" in labels


def test_without_supply_joint_or_hole_each_says_none():
    bare = set_value(one_bar(), "run", "R1", "leg", None)
    words = said(paper(bare, "handover"))
    assert "Holes\nNone." in words
    assert "Joints\nNone." in words
    assert said(paper(Job(), "handover")) == "There is no run yet."

"""Every paper: made of any job, of words alone, marked, held up, void when it says other things."""

import re

import pytest
from hypothesis import given
from jobs import QUICK, any_job, one_bar, part
from papers import cautions, folder, grid, paper, said

from pelmet.model.edit.add import add_item
from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.edit.giving import Signed, give_out, note_order
from pelmet.model.examples import EXAMPLES, read_example
from pelmet.model.job.job import TABLES, Job
from pelmet.model.job.paperwork import PAPER_NAMES
from pelmet.model.refusal import Refusal
from pelmet.model.told.formats.files import files_of
from pelmet.model.told.formats.html import paper_html
from pelmet.model.told.formats.pdf import paper_pdf
from pelmet.model.told.formats.tables import paper_tables
from pelmet.model.told.formats.text import paper_text
from pelmet.model.told.paper import Grid
from pelmet.model.told.papers.sheets import SHEETS, hold_up, mark_of, paper_of, void_papers

KITCHEN = read_example("kitchen")
NASTY = "=A1|<b>\"'&`$x$` שלום " + "very long " * 8


def test_there_is_a_sheet_for_every_name_and_no_other():
    assert tuple(SHEETS) == (*PAPER_NAMES, "sheet")
    assert len({sheet.title for sheet in SHEETS.values()}) == len(SHEETS)


@pytest.mark.property
@QUICK
@given(any_job())
def test_any_job_gives_every_paper_in_words_alone(job):
    found = folder(job)
    for name in SHEETS:
        one = paper_of(found, name)
        assert one.blocks
        assert paper_text(one)
        for block in one.blocks:
            if isinstance(block, Grid):
                assert all(len(row) == len(block.head) for row in block.rows)
                assert all(isinstance(cell, str) for row in block.rows for cell in row)


def test_a_job_without_anything_says_so_on_each():
    for name in SHEETS:
        words = said(paper(Job(), name))
        assert re.search(r"(?i)\b(no|none|nothing)\b", words), name


@pytest.mark.snapshot
@pytest.mark.parametrize("example", [name for name in EXAMPLES if not read_example(name).cuts])
@pytest.mark.parametrize("name", SHEETS)
def test_every_paper_of_every_example_is_as_stored(example, name, snapshot):
    assert paper_text(paper(read_example(example), name)) == snapshot


def test_a_table_of_one_name_is_one_table_wherever_it_stands():
    found = folder(KITCHEN)
    tables: dict[str, str] = {}
    for name in SHEETS:
        for own, text in paper_tables(paper_of(found, name)).items():
            assert tables.setdefault(own, text) == text
    assert {"order", "cut-list", "drill-list", "wiring", "quote", "bars"} <= set(tables)


@pytest.mark.parametrize("example", EXAMPLES)
def test_notes_stand_on_the_survey_and_change_no_other_paper(example):
    job = read_example(example)
    tables = {
        table: tuple(item.model_copy(update={"note": f"see {item.id}"}) for item in job.table(kind))
        for kind, table in TABLES.items()
        if kind not in ("offer", "room", "wall")
    }
    noted = job.model_copy(update=tables)
    for name in SHEETS:
        if name == "survey":
            text = paper_text(paper(noted, name))
            assert all(f"{one.id}: see {one.id}" in text for one in job.cabinets)
        else:
            assert paper(noted, name).blocks == paper(job, name).blocks


def test_what_stands_on_several_papers_is_one_file():
    found = folder(KITCHEN)
    papers = [paper_of(found, name) for name in ("drill-list", "sheet")]
    names = [name for name, _ in files_of(papers, ["csv"], "a4")]
    assert names[0] == "drill-list.csv"
    assert len(set(names)) == len(names) > 5


def test_nobody_notes_the_plan_sheet_as_given_out():
    with pytest.raises(Refusal):
        give_out(KITCHEN, {"sheet": "0" * 16})


def test_a_name_is_on_every_paper_as_it_was_typed():
    job = one_bar(K={"name": NASTY})
    job = set_value(job, "site", "", "name", NASTY[:110])
    found = folder(job)
    for name in SHEETS:
        assert paper_of(found, name).job == NASTY[:110]
    assert any(NASTY in said(paper_of(found, name)) for name in SHEETS)
    html = paper_html([paper_of(found, name) for name in SHEETS])
    assert "<b>" not in html


def test_the_same_job_gives_the_same_bytes():
    one, other = ([paper(KITCHEN, name) for name in ("order", "wiring")] for _ in range(2))
    assert paper_pdf(one) == paper_pdf(other)


# --- Release, marks and what is void --------------------------------------------------------------


def test_only_what_cuts_metal_waits_for_the_release():
    found = folder(one_bar(A1={"assumed": ["opening"]}))
    held = {name for name in PAPER_NAMES if hold_up(found, name)}
    assert held == {"cut-list", "labels"}
    assert "R1.1" in hold_up(found, "cut-list")
    assert not any(hold_up(folder(one_bar()), name) for name in SHEETS)


def test_what_is_cut_anyway_says_so_on_the_cut_list():
    job = set_value(one_bar(A1={"assumed": ["opening"]}), "site", "", "cut_anyway", "van leaves")
    assert not hold_up(folder(job), "cut-list")
    words = said(paper(job, "cut-list"))
    assert "van leaves" in words
    assert "R1.1" in words


def test_a_paper_is_void_once_it_says_something_else_and_no_other_is():
    found = folder(KITCHEN)
    held = give_out(KITCHEN, {name: mark_of(found, name) for name in PAPER_NAMES})
    assert void_papers(folder(held)) == ()
    assert void_papers(folder(set_value(held, "site", "", "note", "ring first"))) == ()
    longer = set_value(held, "leg", "L1", "cable", "flat-2x1.5")
    gone = void_papers(folder(longer))
    assert "wiring" in gone
    assert "order" in gone
    assert "survey" not in gone
    again = give_out(longer, {name: mark_of(folder(longer), name) for name in gone})
    assert void_papers(folder(again)) == ()


def test_a_handover_is_void_once_it_says_something_else_but_not_for_papers_given_out():
    held = give_out(KITCHEN, {"handover": mark_of(folder(KITCHEN), "handover")})
    more = give_out(held, {"order": mark_of(folder(held), "order")}, signed=Signed("2027-03-01"))
    assert void_papers(folder(more)) == ()
    gone = set_value(more, "run", "R1", "status", "cut")
    assert "handover" in void_papers(folder(gone))
    again = give_out(gone, {"handover": mark_of(folder(gone), "handover")})
    assert "handover" not in void_papers(folder(again))


def test_a_handover_marked_by_the_papers_given_out_too_is_not_called_void():
    old = give_out(KITCHEN, {"handover": "0" * 16})
    assert void_papers(folder(set_value(old, "run", "R1", "status", "cut"))) == ()


def test_the_revision_counts_up_and_stands_on_every_paper():
    assert paper(one_bar(), "order").revision == "0, draft"
    held = give_out(one_bar(), {"order": "0" * 16})
    assert paper(held, "order").revision == "0"
    job, _ = add_item(held, "revision")
    assert {paper(job, name).revision for name in PAPER_NAMES} == {"1"}


# --- What stands on some --------------------------------------------------------------------------


def test_the_change_log_has_each_revision_and_the_papers_that_it_made_void():
    job, item_id = add_item(one_bar(), "revision")
    job = set_value(job, "revision", item_id, "why", "hood moved")
    job = set_value(job, "revision", item_id, "void", ("order", "wiring"))
    rows = grid(paper(job, "change-log"), "revision").rows
    assert rows == (("1", "-", "-", "hood moved", "order, wiring"),)


def test_the_test_record_has_every_expected_reading_once_with_room_to_write():
    found = folder(KITCHEN)
    live = grid(paper_of(found, "test-record"), "point")
    readings = found.plan.readings()
    assert [row[0] for row in live.rows] == [each.point for each in readings]
    for row, each in zip(live.rows, readings, strict=True):
        assert row[2].startswith(f"{float(each.cold.expected.value):.2f} ")
        assert row[4].startswith(f"{float(each.hot.expected.value):.2f} ")
        assert row[3] == row[5] == ""


def test_the_survey_lists_what_is_not_measured_and_who_measures_it():
    job = one_bar(A1={"assumed": ["opening"], "measured_by": "Dana, Tuesday"})
    words = said(paper(job, "survey"))
    assert "A1, opening (Dana, Tuesday)" in words
    (row,) = grid(paper(job, "survey"), "cabinet").rows
    assert row[4].endswith("?")
    assert "Nothing: no reading is marked" in said(paper(one_bar(), "survey"))


def test_the_quote_adds_up_and_keeps_mains_work_apart():
    found = folder(KITCHEN)
    rows = dict(grid(paper_of(found, "quote"), "for").rows)
    amounts = [row.replace(" EUR", "").replace(" ", "") for row in rows.values()]
    *lines, net, tax, total = map(float, amounts)
    assert sum(lines) == pytest.approx(net, abs=1e-9)
    assert net + tax == pytest.approx(total, abs=1e-9)
    assert any(says.startswith("Mains work: ") for says in rows)


def test_the_order_leaves_out_what_was_ordered_and_lists_it_below():
    found = folder(KITCHEN)
    words = grid(paper_of(found, "order"), "part").rows
    assert {row[0] for row in words} == {line.part for line in found.lines if line.packs}
    done = note_order(KITCHEN, [(each.part, each.length, each.amount) for each in found.lines])
    again = paper(done, "order")
    assert "Nothing more is to be ordered" in said(again)
    assert len(grid(again, "part").rows) == len(found.lines)


def test_cautions_are_those_that_the_job_calls_for():
    assert "wall" in cautions(paper(KITCHEN, "first-fix"))
    assert cautions(paper(one_bar(), "first-fix")) == ""
    assert cautions(paper(rebuilt(one_bar(), supplies=(), legs=(), runs=()), "mains")) == ""
    assert "prove dead" in cautions(paper(KITCHEN, "mains"))


def test_a_supply_with_little_left_tells_the_client_how_much():
    words = said(paper(one_bar(), "user"))
    left = folder(one_bar()).plan.supplies[0].left.value
    assert f"{int(left)} W left" in words
    small = {"supplies": [part("supplies", "small", watts=8)]}
    assert "S1 is full" in said(paper(one_bar(S1={"part": "small"}, parts=small), "user"))

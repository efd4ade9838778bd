"""What is noted of what was done, what going back takes off, and what an option takes off."""

from decimal import Decimal

import pytest

from pelmet.model.edit.add import add_item
from pelmet.model.edit.answer import set_answer
from pelmet.model.edit.building import note_built, take_back, to_note
from pelmet.model.edit.change import rebuilt, set_value
from pelmet.model.edit.giving import Signed, note_order
from pelmet.model.edit.options import options_for
from pelmet.model.edit.question import options, question_for
from pelmet.model.edit.taking_off import unbuilt
from pelmet.model.examples import read_example
from pelmet.model.file.job.reading import read_job
from pelmet.model.file.toml.writing import job_text
from pelmet.model.job.catalogue import Catalogue, bundled_catalogue
from pelmet.model.job.items import Run
from pelmet.model.job.job import Job
from pelmet.model.job.piece_names import SPOILT
from pelmet.model.order.folder import Folder, make_folder
from pelmet.model.plan.stages import plan_job

ALL = ("R1", "R2", "R3", "R4")


def folder_of(job: Job) -> Folder:
    return make_folder(plan_job(job))


def ordered() -> Job:
    job = read_example("kitchen")
    lines = folder_of(job).lines
    return note_order(job, [(each.part, each.length, each.amount) for each in lines], Signed())


def proved() -> Job:
    return note_built(folder_of(ordered()), ALL, "proved", day="2027-03-01", by="Jo")


def codes(job: Job) -> set[str]:
    return {each.code for each in plan_job(job).findings}


def test_what_is_noted_is_what_the_papers_list_with_day_and_name():
    job = proved()
    assert {run.status for run in job.runs} == {"proved"}
    assert [each.name for each in job.hung] == ["R1.1", "R2.1", "R2.2", "R3.1", "R4.1"]
    assert {hole.hole for hole in job.drilled} == {f"H{number}" for number in range(1, 8)}
    assert [each.supply for each in job.fitted] == ["S1"]
    assert {(row.day, row.by) for row in (*job.cuts, *job.hung, *job.diary)} == {
        ("2027-03-01", "Jo")
    }
    assert [(each.run, each.status) for each in job.diary] == [(name, "proved") for name in ALL]
    assert not {code for code in codes(job) if "cut" in code or "status" in code}
    assert read_job(job_text(job).encode(), "job.toml") == job


def test_nothing_is_noted_twice():
    job = proved()
    again = note_built(folder_of(job), ALL, "proved", day="2027-03-02")
    assert again.cuts == job.cuts
    assert (again.hung, again.drilled, again.laid, again.fitted) == (
        job.hung, job.drilled, job.laid, job.fitted,
    )  # fmt: skip


@pytest.mark.parametrize(
    ("status", "tables"),
    [
        ("approved", ()),
        ("cut", ("cuts",)),
        ("tested", ("cuts",)),
        ("mounted", ("cuts", "hung", "drilled")),
        ("wired", ("cuts", "hung", "drilled", "laid", "fitted")),
    ],
)
def test_each_status_notes_what_it_says(status, tables):
    job = note_built(folder_of(ordered()), ["R2"], status)
    built = ("cuts", "hung", "drilled", "laid", "fitted")
    assert tuple(table for table in built if getattr(job, table)) == tables
    assert {each.run for each in job.hung} <= {"R2"}


def test_the_rest_of_a_length_that_others_wait_for_is_kept_and_serves_them():
    one = note_built(folder_of(ordered()), ["R3"], "cut", rests="scrap")
    (bar,) = (cut for cut in one.cuts if cut.part == "surface-17")
    assert (bar.pieces, bar.kept) == (("R3.1",), "kept")
    both = note_built(folder_of(one), ["R2"], "cut", rests="scrap")
    (more,) = (cut for cut in both.cuts if cut.part == "surface-17" and cut.id != bar.id)
    assert (set(more.pieces), more.rest_of, more.stock) == ({"R2.1", "R2.2"}, bar.id, bar.rest)


def test_a_rest_becomes_what_the_person_says():
    folder = folder_of(ordered())
    worth = to_note(folder, ALL, "cut").rests
    assert worth
    for rests in ("kept", "in the store", "scrap"):
        job = note_built(folder, ALL, "cut", rests=rests)
        said = {(cut.part, cut.rest): cut.kept for cut in job.cuts}
        assert {said[rest] for rest in worth} == {rests}


def test_going_back_before_cut_spoils_the_pieces_and_orders_them_anew():
    job = take_back(proved(), "R1", "ordered", "the hood moved", day="2027-04-01", by="Jo")
    assert (job.diary[-1].why, job.diary[-1].status) == ("the hood moved", "ordered")
    assert {each.run for each in job.hung} == {"R2", "R3", "R4"}
    assert sum(cut.pieces.count(SPOILT) for cut in job.cuts) == 3
    pieces = {each.name for part in folder_of(job).cuts for each in part.pieces}
    assert "R1.1" in pieces
    assert len(job.drilled) == 7
    assert [each.supply for each in job.fitted] == ["S1"]


def test_a_bar_too_long_is_cured_as_its_finding_says():
    wider = set_value(proved(), "cabinet", "A1", "width", Decimal(590))
    assert "built-too-long" in codes(wider)
    down = take_back(wider, "R1", "cut", "reading was wrong")
    (bar,) = (each for each in plan_job(down).bars if each.id == "R1.1")
    cuts = tuple(
        cut.model_copy(update={"lengths": (bar.allowed.value, *cut.lengths[1:])})
        if cut.part == "surface-17" and cut.pieces[0] == "R1.1"
        else cut
        for cut in down.cuts
    )
    again = note_built(folder_of(rebuilt(down, cuts=cuts)), ["R1"], "proved")
    assert "built-too-long" not in codes(again)


@pytest.mark.parametrize(("kind", "item_id"), [("supply", "S1"), ("run", "R1"), ("leg", "L3")])
def test_an_option_that_changes_what_is_built_says_so_and_comes_after_those_that_do_not(
    kind, item_id
):
    job = proved()
    options = options_for(job, Catalogue(), kind, item_id)
    off = ["takes off" in "".join(one.reasons[:1]) for one in options]
    assert any(off)
    assert off == sorted(off)
    for option, says in zip(options, off, strict=True):
        if option.job is None:
            continue
        same = all(
            getattr(option.job, table) == getattr(job, table)
            for table in ("cuts", "hung", "laid", "fitted")
        )
        assert same != bool(says), option
        assert "built-otherwise" not in codes(option.job)


def test_a_switch_that_is_fitted_is_not_changed_without_a_word():
    job, zone = add_item(ordered(), "zone")
    job = set_value(job, "zone", zone, "switch", "wall-switch")
    for leg in job.legs:
        job = set_value(job, "leg", leg.id, "zone", zone)
    wired = note_built(folder_of(job), ALL, "wired")
    options = [one for one in options_for(wired, Catalogue(), "zone", zone) if one.job]
    others = [one for one in options if one.job.find("zone", zone).switch != "wall-switch"]
    assert others
    for option in others:
        assert option.reasons[0] == f"takes off what is built: wall-switch of {zone} fitted"


def test_a_bar_noted_without_its_corner_goes_on_there_as_its_run_says():
    job = proved()
    rows = tuple(each.model_copy(update={"corner": None}) for each in job.hung)
    other = set_value(job.model_copy(update={"hung": rows}), "run", "R2", "corner", "mitre")
    assert "built-otherwise" not in codes(other)


def test_whatever_is_chosen_now_a_bar_that_hangs_stays_as_it_is_and_it_is_told():
    job = proved()
    hung = [(bar.left, bar.right, bar.lit_left, bar.lit_right) for bar in plan_job(job).bars]
    for field in Run.model_fields:
        asked = question_for("run", field)
        if asked.shape != "choice" or field in ("leg", "far_leg", "status"):
            continue
        for choice in options(asked, job, bundled_catalogue()):
            other = set_answer(job, "run", "R2", field, choice)
            plan = plan_job(other)
            assert [
                (bar.left, bar.right, bar.lit_left, bar.lit_right) for bar in plan.bars
            ] == hung, (field, choice)
            changed = other != job and field not in ("over_length", "strip_joints")
            assert ("built-otherwise" in codes(other)) == changed, (field, choice)


def test_how_a_run_is_now_is_told_as_it_hangs_not_as_it_is_surveyed_now():
    job = proved()
    narrower = set_value(job, "cabinet", "B3", "width", Decimal(600))

    def now(of):
        return next(one.gives for one in options_for(of, Catalogue(), "run", "R4") if one.taken)

    assert "built-too-long" in codes(narrower)
    assert now(narrower).startswith("lit 650 of 600 mm")
    assert not now(unbuilt(narrower)).startswith("lit 650")

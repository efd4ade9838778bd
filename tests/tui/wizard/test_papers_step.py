"""The Papers step: how each paper stands, writing them, noting that they went out."""

import errno

import pytest
from frames import dialog, held, place, press, stand, told, wizard, wizard_of
from histories import built
from jobs import one_bar, part
from screens import frame, until

from pelmet.model.edit.giving import note_order
from pelmet.model.examples import read_example
from pelmet.model.file.job import kept
from pelmet.model.file.job.reading import load_job
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.tui.session.outline import SINCE_GIVEN
from pelmet.tui.wizard import signing
from pelmet.tui.wizard.writing import bought_by

pytestmark = pytest.mark.journey
WIDE = (120, 40)
TODAY = "2027-03-04"


@pytest.fixture(autouse=True)
def _today(monkeypatch):
    monkeypatch.setattr(signing, "today", lambda: TODAY)


def listed(pilot) -> dict[str, str]:
    rows = held(pilot).rows
    return {row.id: row.text.removeprefix(row.id).strip() for row in rows if row.kind == "paper"}


async def write_all(pilot, folder) -> None:
    wizard_of(pilot).query_one("#entry-text").value = f"{folder}/"
    await press(pilot, "enter")
    await until(pilot, lambda: dialog(pilot))


async def test_each_paper_is_listed_with_how_it_stands_and_shown_as_text(tmp_path):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await press(pilot, "f7")
        assert listed(pilot)["order"] == "ready"
        assert listed(pilot)["cut-list"] == "blocked"
        assert listed(pilot)["sheet"] == "ready"
        await stand(pilot, "paper", "cut-list", "write")
        text = wizard_of(pilot).query_one("#plan").text
        assert text.startswith("BLOCKED, not released to cutting: readings are assumed behind R4.1")
        assert "Cut list" in text
        await stand(pilot, "site", "", "cut_anyway")
        await press(pilot, *"sure", "enter")
        assert listed(pilot)["cut-list"] == "ready"


async def test_at_80_columns_the_list_comes_first_and_ctrl_b_shows_the_paper(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "f7")
        assert "cut-list    blocked" in frame(pilot.app)
        await press(pilot, "down")
        assert place(pilot)[1] == "approval"
        await press(pilot, "ctrl+b")
        assert "Approval" in frame(pilot.app)


async def test_all_papers_go_into_a_folder_and_the_job_notes_that_they_went_out(tmp_path):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await press(pilot, "f7")
        await write_all(pilot, tmp_path / "out")
        names = {path.name for path in (tmp_path / "out").iterdir()}
        assert {"order.pdf", "order.html", "order.txt", "order.csv", "wiring.pdf"} <= names
        assert "cut-list.pdf" not in names
        await press(pilot, "down", "down", "enter")  # noted, and the order as sent
        await press(pilot, *"Ann", "enter", "enter")  # on the day that is offered
        says = "Noted in the job, and the job kept beside its file as job.toml.rev0."
        assert " ".join(told(pilot).split()).startswith(says)
        assert load_job(tmp_path / "job.toml.rev0") == held(pilot).job
        assert listed(pilot)["order"] == listed(pilot)["wiring"] == "given, rev 0"
        assert listed(pilot)["sheet"] == "ready"  # nobody holds it: it is for whoever plans
        job = held(pilot).job
        assert len(job.ordered) == len(held(pilot).paperwork.folder.lines)
        signed = {(each.day, each.by) for each in (*job.ordered, *job.given)}
        assert signed == {(TODAY, "Ann")}
        await press(pilot, "ctrl+z")
        assert not held(pilot).job.given
        assert listed(pilot)["order"] == "ready"


async def test_an_edit_after_that_names_what_it_makes_void_and_a_revision_says_why(tmp_path):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await press(pilot, "f7")
        await write_all(pilot, tmp_path / "out")
        await press(pilot, "down", "enter", "enter", "enter")
        await stand(pilot, "leg", "L1", "length")
        await press(pilot, *"5000", "enter")
        assert told(pilot).startswith("Given out, and void now: ")
        assert "wiring" in told(pilot)
        await press(pilot, "f7")
        assert listed(pilot)["wiring"] == "VOID, rev 0"
        assert listed(pilot)["survey"] == "given, rev 0"
        await press(pilot, "ctrl+n", *"thicker", "enter", *"Ann", "enter", "enter")
        (revision,) = held(pilot).job.revisions
        assert revision.why == "thicker"
        assert "wiring" in revision.void
        assert "survey" not in revision.void
        assert (revision.by, revision.day) == ("Ann", TODAY)
        assert (
            told(pilot) == "Revision 1 is noted, and the job kept beside its file as job.toml.rev1"
        )
        assert load_job(tmp_path / "job.toml.rev1") == held(pilot).job
        await stand(pilot, "paper", SINCE_GIVEN, "write")
        page = wizard_of(pilot).query_one("#plan").text
        assert page.startswith(
            f"Since change-log, revision 0, was given out on {TODAY}: job.toml.rev0"
        )
        assert "leg L1" in page
        await press(pilot, "f8")
        assert f"> change-log, revision 0 on {TODAY}" in frame(pilot.app)
        await press(pilot, "down", "enter")
        assert wizard_of(pilot).query_one("#plan").text.startswith("Since handover, revision 0")


async def test_a_revision_that_cannot_be_kept_is_noted_all_the_same(tmp_path, monkeypatch):
    def full(*_, **__):
        raise OSError(errno.ENOSPC, "full")

    monkeypatch.setattr(kept, "replace_file", full)
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await press(pilot, "f7", "ctrl+n", *"thicker", "enter", "enter", "enter")
        says = "Revision 1 is noted; but the job is not kept as it is now: the disk is full"
        assert " ".join(told(pilot).split()).startswith(says)
        assert [each.why for each in held(pilot).job.revisions] == ["thicker"]


async def test_where_no_version_is_kept_before_a_revision_that_of_the_file_is(tmp_path):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await stand(pilot, "leg", "L1", "length")
        await press(pilot, *"5000", "enter")
        await press(pilot, "f7", "ctrl+n", *"thicker", "enter", "enter", "enter")
        assert load_job(tmp_path / "job.toml.rev0") == read_example("kitchen")
        assert load_job(tmp_path / "job.toml.rev1").find("leg", "L1").length == 5000


async def test_the_name_is_asked_once_and_the_day_each_time_today_offered(tmp_path):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await press(pilot, "f7", "ctrl+n", "enter")
        assert "This cannot be empty" in frame(pilot.app)
        await press(pilot, *"one", "enter")
        assert "Your name" in frame(pilot.app)
        await press(pilot, *"Ann", "enter", "end", "backspace", "enter")
        assert "a day is wanted, as year-month-day" in frame(pilot.app).lower()
        await press(pilot, "4", "enter", "ctrl+n", *"two", "enter", "delete", "enter")
        await press(pilot, "ctrl+n", *"three", "enter", "escape")
        assert told(pilot) == "No revision is added"
        signed = [(each.why, each.by, each.day) for each in held(pilot).job.revisions]
        assert signed == [("one", "Ann", TODAY), ("two", "Ann", "")]


async def test_files_that_hold_something_else_are_written_over_only_when_told(tmp_path):
    (tmp_path / "out").mkdir()
    (tmp_path / "out" / "order.txt").write_text("mine")
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await press(pilot, "f7")
        await write_all(pilot, tmp_path / "out")
        assert "order.txt" in frame(pilot.app)
        await press(pilot, "enter")
        assert (tmp_path / "out" / "order.txt").read_text() == "mine"
        await write_all(pilot, tmp_path / "out")
        await press(pilot, "down", "enter", "escape")
        assert (tmp_path / "out" / "order.txt").read_text("utf-8").startswith("Order list")


@pytest.mark.parametrize(
    ("paper", "suffix"), [("mains", "txt"), ("mains", "html"), ("mains", "pdf"), ("sheet", "html")]
)
async def test_one_paper_goes_into_a_file_and_never_over_another(tmp_path, paper, suffix):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await press(pilot, "f7")
        await stand(pilot, "paper", paper, "write")
        path = tmp_path / f"mine.{suffix}"
        wizard_of(pilot).query_one("#entry-text").value = str(path)
        await press(pilot, "enter")
        await until(pilot, lambda: told(pilot).startswith("Wrote"))
        assert path.stat().st_size > 500
        path.write_text("other")
        await press(pilot, "enter")
        await until(pilot, lambda: "there already" in told(pilot))
        assert path.read_text() == "other"


async def test_a_folder_that_cannot_be_written_says_so(tmp_path):
    (tmp_path / "taken").write_text("")
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await press(pilot, "f7")
        wizard_of(pilot).query_one("#entry-text").value = f"{tmp_path / 'taken'}/"
        await press(pilot, "enter")
        await until(pilot, lambda: "Stopped after 0 files" in told(pilot))


def test_a_line_that_any_part_serves_is_ordered_but_noted_as_none():
    # No grommet of the catalogue fits round a cable 29 mm wide.
    thick = part("cables", "flat-2x0.75", id="thick", outside=29)
    folder = make_folder(plan_job(one_bar(L1={"cable": "thick"}, parts={"cables": [thick]})))
    bought = bought_by(folder)
    left_out = {line.part for line in folder.lines} - {name for name, _, _ in bought}
    assert left_out == {"any grommet"}
    assert len(note_order(folder.plan.job, bought).ordered) == len(bought)


async def test_where_anything_is_built_only_what_is_to_do_can_be_written(tmp_path):
    async with wizard(built(one_bar()), tmp_path, WIDE) as pilot:
        await press(pilot, "f7")
        await write_all(pilot, "todo")
        assert "Some of it is built" in frame(pilot.app)
        await press(pilot, "down", "enter")
        await until(pilot, lambda: dialog(pilot) and "Do people hold them" in frame(pilot.app))
        written = {path.name for path in (tmp_path / "todo").iterdir()}
        assert "wiring-to-do.txt" in written
        assert "survey.txt" not in written
        await press(pilot, "enter")
        assert "files in" in told(pilot)

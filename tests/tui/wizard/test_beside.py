"""Nothing holds up the keys: papers, what is void, files and options are worked out beside them."""

import asyncio

import pytest
from frames import dialog, entered, held, place, press, stand, told, wizard, wizard_of
from gates import Gate, gate_before, until_came
from screens import frame, settle, until

from pelmet.model.edit import options as edit_options
from pelmet.model.edit.giving import give_out
from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.paperwork import PAPER_NAMES
from pelmet.model.order import folder as order_folder
from pelmet.model.order.folder import make_folder
from pelmet.model.plan.stages import plan_job
from pelmet.model.told.papers.sheets import mark_of
from pelmet.tui.panes.contents import list_lines, page_lines
from pelmet.tui.session.session import Session
from pelmet.tui.wizard import writing
from pelmet.tui.wizard.beside import done_beside

pytestmark = pytest.mark.journey
WIDE = (120, 40)


@pytest.fixture
def cutting(monkeypatch):
    with gate_before(monkeypatch, order_folder, "pieces_of") as gate:
        yield gate


@pytest.fixture
def writes(monkeypatch):
    with gate_before(monkeypatch, writing, "write_paper") as gate:
        yield gate


def given_job():
    """The example kitchen, all its papers given out."""
    job = read_example("kitchen")
    folder = make_folder(plan_job(job))
    return give_out(job, {name: mark_of(folder, name) for name in PAPER_NAMES})


def shown(pilot) -> tuple[str, str]:
    """Give the list and the page that are on the screen."""
    screen = wizard_of(pilot)
    return screen.query_one("#things").text, screen.query_one("#plan").text


def at_once(pilot) -> tuple[str, str]:
    """Give the list and the page as they are when all is worked out without a screen."""
    session = Session(held(pilot).job, Catalogue(), held(pilot).path)
    session.rows, session.place = held(pilot).rows, held(pilot).place
    session.catch_up()
    texts = (list_lines(session), page_lines(session))
    return tuple("\n".join(line.text for line in each) for each in texts)


async def test_papers_are_listed_at_once_and_filled_in_as_if_worked_out_at_once(tmp_path, cutting):
    async with wizard(given_job(), tmp_path, WIDE) as pilot:
        await stand(pilot, "leg", "L1", "length")
        cutting.shut()
        await pilot.press(*"5000", "enter", "f7")
        assert not pilot.app.ready
        things, page = shown(pilot)
        assert "survey      given, rev 0 ..." in things
        assert page == "Being worked out ..."
        await pilot.press("pagedown", "pagedown")
        assert place(pilot)[1] == "quote"
        cutting.open()
        await settle(pilot)
        assert place(pilot)[1] == "quote"
        things, page = shown(pilot)
        assert (things, page) == at_once(pilot)
        assert "survey      given, rev 0\n" in things
        assert page.startswith("Quote")


async def test_keys_have_their_effect_while_papers_are_worked_out(tmp_path, cutting):
    async with wizard(given_job(), tmp_path, WIDE) as pilot:
        cutting.shut()
        await pilot.press("f7", *"out/")
        assert entered(pilot) == "out/"
        await pilot.press("f6")
        await pilot.pause()
        assert place(pilot)[0] != "paper"
        await pilot.press("ctrl+d")
        assert wizard_of(pilot).walking.on
        await pilot.press("escape", "f1")
        assert dialog(pilot)
        await pilot.press("escape")
        assert not dialog(pilot)
        cutting.open()
        await settle(pilot)
        await press(pilot, "f7")
        assert shown(pilot) == at_once(pilot)


async def test_what_was_typed_in_the_entry_line_stays_when_papers_come(tmp_path, cutting):
    async with wizard(given_job(), tmp_path, WIDE) as pilot:
        cutting.shut()
        await pilot.press("f7", *"mine/")
        cutting.open()
        await settle(pilot)
        await press(pilot, *"too/")
        assert entered(pilot) == "mine/too/"


async def test_the_latest_job_wins_and_what_is_of_an_older_one_is_dropped(tmp_path, cutting):
    async with wizard(given_job(), tmp_path, WIDE) as pilot:
        await stand(pilot, "leg", "L1", "length")
        cutting.shut()
        before = cutting.came
        await pilot.press(*"5000", "enter")
        await until_came(pilot, cutting, before + 1)
        await pilot.press("up", *"6000", "enter")
        await pilot.press("up", *"7000", "enter")
        assert cutting.came == before + 1  # one at a time
        cutting.open()
        await settle(pilot)
        cut = [plan.job.find("leg", "L1").length for (plan,) in cutting.with_what[before:]]
        assert list(dict.fromkeys(cut)) == [5000, 7000]  # the middle one never
        assert cut.count(5000) == 1  # and of the first no more than its first step
        assert held(pilot).paperwork.folder.plan.job.find("leg", "L1").length == 7000
        assert held(pilot).paperwork.folder.plan.job is held(pilot).job


async def test_what_an_edit_makes_void_is_told_when_it_is_known_and_while_one_types(
    tmp_path, cutting
):
    async with wizard(given_job(), tmp_path, WIDE) as pilot:
        await stand(pilot, "leg", "L1", "length")
        cutting.shut()
        await pilot.press(*"5000", "enter")
        assert "void" not in told(pilot)
        here = place(pilot)
        cutting.open()
        await settle(pilot)
        assert told(pilot).startswith("Given out, and void now: ")
        assert "wiring" in told(pilot)
        assert place(pilot) == here
        await press(pilot, "enter")
        assert "void" not in told(pilot)  # told once


async def test_typing_on_neither_drops_what_is_void_nor_hides_it(tmp_path, cutting):
    async with wizard(given_job(), tmp_path, WIDE) as pilot:
        await stand(pilot, "leg", "L1", "length")
        cutting.shut()
        await pilot.press(*"5000", "enter", "up", *"60")
        assert entered(pilot) == "60"
        cutting.open()
        await settle(pilot)
        assert held(pilot).job.find("leg", "L1").length == 60
        assert told(pilot).startswith("Given out, and void now: ")
        await press(pilot, "0")
        assert entered(pilot) == "600"
        assert told(pilot).startswith("Given out, and void now: ")


async def test_a_revision_waits_for_what_is_void_and_so_do_the_keys_after_it(tmp_path, cutting):
    async with wizard(given_job(), tmp_path, WIDE) as pilot:
        await stand(pilot, "leg", "L1", "length")
        cutting.shut()
        await pilot.press(*"5000", "enter", "f7")
        await heap_of(pilot, "ctrl+n", *"thicker", "enter", "enter", "enter")
        assert not held(pilot).job.revisions
        assert told(pilot) == "What is void is being worked out; Esc leaves it"
        cutting.open()
        await settle(pilot)
        (revision,) = held(pilot).job.revisions
        assert revision.why == "thicker"
        assert "wiring" in revision.void
        assert "survey" not in revision.void


async def test_esc_gives_up_the_revision_and_the_keys_that_were_for_it(tmp_path, cutting):
    async with wizard(given_job(), tmp_path, WIDE) as pilot:
        await stand(pilot, "leg", "L1", "length")
        cutting.shut()
        await pilot.press(*"5000", "enter", "f7")
        await heap_of(pilot, "ctrl+n", *"thicker", "escape", *"here/")
        assert entered(pilot) == "here/"
        cutting.open()
        await settle(pilot)
        assert not held(pilot).job.revisions
        assert entered(pilot) == "here/"


async def heap_of(pilot, *keys: str) -> None:
    """Send keys while something is worked out, which ``settle`` would wait for."""
    await pilot.press(*keys)
    await pilot.pause()


# --- Writing --------------------------------------------------------------------------------------


async def order_all(pilot, folder) -> None:
    await press(pilot, "f7")
    wizard_of(pilot).query_one("#entry-text").value = f"{folder}/"
    await pilot.press("enter")


async def test_papers_are_written_beside_the_keys_and_a_second_order_is_refused_in_words(
    tmp_path, writes
):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        writes.shut()
        await order_all(pilot, tmp_path / "out")
        await until_came(pilot, writes, 1)
        await pilot.pause()
        assert told(pilot).startswith("Writing 1 of ")
        await pilot.press("enter")
        assert "still being written" in told(pilot)
        await pilot.press("f2", "down", *"Invented", "enter")
        writes.open()
        await settle(pilot)
        assert "Do people hold them now?" in frame(pilot.app)
        await press(pilot, "enter")
        assert f"files in {tmp_path / 'out'}" in told(pilot)
        assert (tmp_path / "out" / "wiring.pdf").exists()
        assert held(pilot).dirty


async def test_what_went_out_is_noted_beneath_what_is_typed_meanwhile(tmp_path, cutting):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await order_all(pilot, tmp_path / "out")
        await until(pilot, lambda: dialog(pilot))
        cutting.shut()
        await pilot.press("down", "down", "enter", "enter", "enter", "f2", *"Half a na")
        await pilot.pause()
        assert not held(pilot).job.given
        cutting.open()
        await settle(pilot)
        assert held(pilot).job.given
        assert held(pilot).job.ordered
        await press(pilot, *"me", "enter")
        assert held(pilot).job.site.name == "Half a name"
        await press(pilot, "ctrl+z")
        assert held(pilot).job.site.name == read_example("kitchen").site.name
        assert held(pilot).job.given
        await press(pilot, "ctrl+z")
        assert held(pilot).job == read_example("kitchen")


@pytest.mark.parametrize(
    ("answer", "whole"), [((), True), (("down", "down"), False)], ids=["wait", "stop"]
)
async def test_leaving_while_papers_are_written_asks_and_loses_nothing(
    tmp_path, writes, answer, whole
):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await press(pilot, "f2", *"Named", "enter")
        writes.shut()
        await order_all(pilot, tmp_path / "out")
        await until_came(pilot, writes, 1)
        await pilot.press("f10")
        assert "Papers are still being written." in frame(pilot.app)
        await pilot.press(*answer, "enter")
        writes.open()
        await settle(pilot)
        if whole:
            assert "Do people hold them now?" in frame(pilot.app)
            await press(pilot, "enter")
        assert "This job has changes that are not saved." in frame(pilot.app)
        await press(pilot, "enter")
        assert not pilot.app.is_running or pilot.app._exit
        assert 'name = "Named"' in (tmp_path / "job.toml").read_text("utf-8")
    assert (tmp_path / "out" / "wiring.pdf").exists() == whole


async def test_staying_while_papers_are_written_changes_nothing(tmp_path, writes):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        writes.shut()
        await order_all(pilot, tmp_path / "out")
        await pilot.press("f10", "down", "enter")
        assert not dialog(pilot)
        writes.open()
        await settle(pilot)
        assert "Do people hold them now?" in frame(pilot.app)


# --- Options --------------------------------------------------------------------------------------


@pytest.fixture
def trials(monkeypatch):
    with gate_before(monkeypatch, edit_options.option, "plan_job") as gate:
        yield gate


def listed(pilot) -> list[str]:
    return pilot.app.screen.query_one("#dialog-options").text.splitlines()


class Steps:
    """Lets through so many more, then holds up again."""

    def __init__(self, gate: Gate, pilot) -> None:
        self.gate, self.pilot = gate, pilot

    async def one(self) -> None:
        """Let the trial that waits be done, and hold up the next."""
        came = self.gate.came
        self.gate.way.set()
        self.gate.way.clear()
        await until_came(self.pilot, self.gate, came + 1)
        await self.pilot.pause()


async def test_the_first_options_are_there_before_the_rest_is_tried(tmp_path, trials):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await stand(pilot, "supply", "S1", "part")
        trials.shut()
        await pilot.press("f8")
        await until_came(pilot, trials, 1)
        assert not dialog(pilot)
        assert told(pilot).startswith("Trying what else could be chosen")
        await Steps(trials, pilot).one()
        await Steps(trials, pilot).one()
        assert dialog(pilot)
        assert "trying more" in frame(pilot.app)
        first = len(listed(pilot))
        assert listed(pilot)[0].startswith(">")
        await pilot.press("down")
        here = next(row for row in listed(pilot) if row.startswith(">")).split("  ")[0]
        trials.open()
        await settle(pilot)
        assert "trying more" not in frame(pilot.app)
        assert len(listed(pilot)) > first
        now = next(row for row in listed(pilot) if row.startswith(">")).split("  ")[0]
        assert now == here  # the choice that one went to is stood on, wherever it is now
        whole = edit_options.options_for(held(pilot).job, held(pilot).parts, "supply", "S1")
        assert [row[4:].split("  ")[0] for row in listed(pilot)] == [one.choice for one in whole]


async def test_one_is_taken_before_all_are_known(tmp_path, trials):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await stand(pilot, "obstacle", "O1", "kind")
        trials.shut()
        await pilot.press("f8", "enter")  # Enter is for the list, and waits for it
        await until_came(pilot, trials, 1)
        assert not dialog(pilot)
        await Steps(trials, pilot).one()
        await pilot.pause()
        assert not dialog(pilot)
        assert held(pilot).job.find("obstacle", "O1").crossing == "behind"
        came = trials.came
        trials.open()
        await settle(pilot)
        assert trials.came == came


async def test_esc_ends_the_search_at_the_next_trial(tmp_path, trials):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await stand(pilot, "run", "R3", "cabinets")
        trials.shut()
        await pilot.press("f8")
        await until_came(pilot, trials, 1)
        await pilot.pause()
        assert dialog(pilot)  # as it is now takes no trial
        await pilot.press("escape")
        assert not dialog(pilot)
        assert "Trying" not in told(pilot)
        trials.open()
        await settle(pilot)
        assert trials.came == 1
        assert held(pilot).job == read_example("kitchen")


async def test_esc_before_the_first_answer_opens_no_list(tmp_path, trials):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await stand(pilot, "leg", "L3", "length")
        trials.shut()
        await pilot.press("f8", "escape", *"9")
        assert entered(pilot) == "9"
        trials.open()
        await settle(pilot)
        assert not dialog(pilot)
        assert trials.came == 1
        assert entered(pilot) == "9"


@pytest.mark.regression
async def test_work_begins_though_a_dialog_took_along_the_word_that_all_is_painted():
    told = []
    painted = asyncio.Event()  # which nothing sets
    await done_beside(painted, iter("ab"), lambda given: not told.append(given), lambda: None)
    assert told == ["a", "b"]

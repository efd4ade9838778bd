"""F8: what else could be chosen for a thing, each tried out; one is taken, and taken back."""

from decimal import Decimal

import pytest
from draws import examples
from frames import by_turns, dialog, held, place, press, stand, told, wizard, wizard_of, write
from hypothesis import given
from jobs import any_job, one_bar
from screens import frame

from pelmet.model.edit.options import options_for
from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.plan.stages import plan_job
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import ROOMS
from pelmet.tui.wizard.commands import command_named

pytestmark = pytest.mark.journey

sizes = pytest.mark.parametrize("size", [(80, 24), (120, 40)], ids=["80x24", "120x40"])
THINGS = {"run": ("R3", "cabinets"), "obstacle": ("O1", "kind"), "supply": ("S1", "part"),
          "leg": ("L3", "supply")}  # fmt: skip


def offered(pilot) -> list[str]:
    """Give the rows of the picker, without the mark of the one stood on."""
    return [row[2:] for row in marked(pilot)]


def marked(pilot) -> list[str]:
    return pilot.app.screen.query_one("#dialog-options").text.splitlines()


def detail(pilot) -> str:
    return " ".join(pilot.app.screen.query_one("#dialog-detail").text.split())


async def ask(pilot, kind: str) -> None:
    """Stand on a thing of the example and ask for its options."""
    item_id, field = THINGS[kind]
    await stand(pilot, kind, item_id, field)
    await press(pilot, "f8")
    assert dialog(pilot)


async def go_to(pilot, choice: str) -> None:
    """Go to a choice."""
    at = next(at for at, row in enumerate(offered(pilot)) if row[2:].startswith(choice))
    await go_to_row(pilot, at)
    assert detail(pilot).startswith(choice)


async def go_to_row(pilot, at: int) -> None:
    """Go up or down from the one stood on, which is the first that was known."""
    here = next(at for at, row in enumerate(marked(pilot)) if row.startswith(">"))
    await press(pilot, *(["down"] * (at - here) or ["up"] * (here - at)))


@sizes
async def test_another_dark_rest_is_taken_and_one_undo_brings_the_old_one_back(tmp_path, size):
    async with wizard("kitchen", tmp_path, size) as pilot:
        before = held(pilot).job
        dark = {end: getattr(held(pilot).plan.fits[2].bars[0], f"dark_{end}").value
                for end in ("left", "right")}  # fmt: skip
        await ask(pilot, "run")
        assert "Options for R3" in frame(pilot.app)
        await go_to(pilot, "dark rest: far end")
        await press(pilot, "enter")
        assert not dialog(pilot)
        assert held(pilot).job.find("run", "R3").dark_rest == "far end"
        bar = held(pilot).plan.fits[2].bars[0]
        # R3 is fed from its left end, so what is over goes to its right one.
        assert bar.dark_left.value < dark["left"]
        assert bar.dark_right.value > dark["right"]
        assert "dark rest: far end" in told(pilot)
        assert "Ctrl+Z" in told(pilot)
        assert place(pilot) == ("run", "R3", "cabinets")
        assert held(pilot).dirty
        await press(pilot, "ctrl+z")
        assert held(pilot).job == before
        assert not held(pilot).dirty
        await press(pilot, "ctrl+y")
        assert held(pilot).job.find("run", "R3").dark_rest == "far end"


@by_turns(["kinds"], [["run supply"], ["obstacle leg"]])
async def test_each_option_is_told_with_what_it_gives_and_one_is_marked_as_it_is(
    tmp_path, size, kinds
):
    async with wizard("kitchen", tmp_path, size) as pilot:
        for kind in kinds.split():
            await ask(pilot, kind)
            options = options_for(held(pilot).job, held(pilot).parts, kind, THINGS[kind][0])
            rows = offered(pilot)
            assert len(rows) == len(options) > 2
            assert [row.startswith("*") for row in rows] == [option.taken for option in options]
            assert [option.taken for option in options].count(True) == 1
            await go_to_row(pilot, 0)
            for option in options:
                assert detail(pilot).startswith(f"{option.choice} {option.gives}")
                for reason in option.reasons:
                    assert reason in detail(pilot)
                await press(pilot, "down")
            await press(pilot, "escape")
            assert held(pilot).job == read_example("kitchen")


@by_turns(
    ["kind", "choice", "field", "value"],
    [
        ("obstacle", "in wall", "crossing", "in wall"),
        ("leg", "chained", "wiring", "chained"),
        ("supply", "in cabinet A1", "cabinet", "A1"),
        ("supply", "on top of cabinet", "place", "on top of cabinet"),
        ("run", "line: back", "line", "back"),
    ],
)
async def test_what_is_taken_is_what_was_tried_out_and_can_be_taken_back(
    tmp_path, size, kind, choice, field, value
):
    item_id = THINGS[kind][0]
    async with wizard("kitchen", tmp_path, size) as pilot:
        await ask(pilot, kind)
        await go_to(pilot, choice)
        await press(pilot, "enter")
        assert getattr(held(pilot).job.find(kind, item_id), field) == value
        tried = next(
            option
            for option in options_for(read_example("kitchen"), Catalogue(), kind, item_id)
            if option.choice.startswith(choice)
        )
        assert held(pilot).job == tried.job
        # The plan that is shown is the plan of that job, and of no other.
        assert held(pilot).plan.job == tried.job
        assert held(pilot).plan.findings == plan_job(tried.job).findings
        await press(pilot, "ctrl+z")
        assert held(pilot).job == read_example("kitchen")


async def test_less_air_at_the_ends_is_taken_for_the_whole_job_and_gives_one_unit_more(tmp_path):
    # Of 920 mm, 2 x 2 mm of air, 2 x 2 mm of caps and 10 + 3 mm of dark zones leave 899 mm: a
    # millimetre less than 18 units of 50 mm. So half a millimetre less of air at each end.
    job = one_bar(A1={"width": 956, "opening": [920]})
    async with wizard(job, tmp_path) as pilot:
        await stand(pilot, "run", "R1", "cabinets")
        assert held(pilot).plan.bars[0].units.value == 17
        await press(pilot, "f8")
        await go_to(pilot, "end clearance: 1.5 mm")
        assert "for every bar of the job" in detail(pilot)
        await press(pilot, "enter")
        assert held(pilot).job.allowances.end_clearance == Decimal("1.5")
        assert held(pilot).plan.bars[0].units.value == 18
        await press(pilot, "ctrl+z")
        assert held(pilot).job == job


@sizes
async def test_a_refused_choice_says_why_and_changes_nothing(tmp_path, size):
    async with wizard("kitchen", tmp_path, size) as pilot:
        await ask(pilot, "supply")
        await go_to(pilot, "walled in")
        assert "no air" in detail(pilot)
        await press(pilot, "enter")
        assert not dialog(pilot)
        assert "walled in" in told(pilot)
        assert "no air" in told(pilot)
        assert held(pilot).job == read_example("kitchen")
        assert not held(pilot).can_undo


@pytest.mark.parametrize("kind", THINGS)
async def test_taking_what_is_there_already_or_leaving_changes_nothing(tmp_path, kind):
    async with wizard("kitchen", tmp_path) as pilot:
        for leave in ("enter", "escape"):
            await ask(pilot, kind)
            at = next(at for at, row in enumerate(offered(pilot)) if row.startswith("*"))
            await go_to_row(pilot, at)
            await press(pilot, leave)
            assert not dialog(pilot)
            assert held(pilot).job == read_example("kitchen")
            assert not held(pilot).can_undo


async def test_elsewhere_the_key_says_where_it_has_something_to_choose(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        for kind, item_id, field in (
            ("site", "", "name"),
            ("room", "kitchen", "name"),
            ("wall", "A", "length"),
            ("cabinet", "A1", "width"),
            ("allowances", "bars", "end_clearance"),
        ):
            await stand(pilot, kind, item_id, field)
            assert told(pilot) != "Stand on a run, an obstacle, a supply or a leg"
            await press(pilot, "f8")
            assert not dialog(pilot)
            assert told(pilot) == "Stand on a run, an obstacle, a supply or a leg"
        await press(pilot, "f7", "f8")
        assert not dialog(pilot)
        assert told(pilot) == "Your store holds no free piece of what this job cuts"


async def test_an_obstacle_that_stands_in_no_cables_way_leaves_nothing_to_choose(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "obstacle", "O4", "kind")
        await press(pilot, "f8")
        assert not dialog(pilot)
        assert told(pilot) == "There is nothing else to choose here"


async def test_the_options_are_of_what_was_just_typed_and_a_misread_holds_them_up(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "leg", "L3", "length")
        await write(pilot, "oops")
        await press(pilot, "f8")
        assert not dialog(pilot)
        await press(pilot, "escape", *"9000", "f8")
        assert dialog(pilot)
        await press(pilot, "escape")
        assert held(pilot).job.find("leg", "L3").length == 9000


async def test_the_wizards_keys_do_nothing_behind_the_options(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await ask(pilot, "run")
        for key in ("f3", "f7", "ctrl+n", "ctrl+r", "ctrl+t", "ctrl+s", "ctrl+d", "f8", "f10"):
            await pilot.press(key)
        assert dialog(pilot)
        assert not wizard_of(pilot).walking.on
        assert held(pilot).job == read_example("kitchen")
        assert place(pilot) == ("run", "R3", "cabinets")


@pytest.mark.property
@examples(10)
@given(any_job())
def test_there_are_options_or_a_reason_wherever_one_stands_in_any_job(job):
    session = Session(job, Catalogue())
    for kind in ("run", "obstacle", "supply", "leg"):
        for item in job.table(kind)[:2]:
            session.go_to(kind, item.id, "note")
            assert command_named("options").why_not(session) == ""
            for option in options_for(job, Catalogue(), kind, item.id):
                assert option.choice
                assert option.gives
                assert option.job or option.reasons
    session.go(ROOMS)
    session.go_to("site", "", "name")
    assert command_named("options").why_not(session)

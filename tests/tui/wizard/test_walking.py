"""Walking the drawing: from where one stands, by arrows, to the form of what one comes to."""

from random import Random

import pytest
from frames import (
    NARROW,
    WIDE,
    by_turns,
    dialog,
    entered,
    heap,
    held,
    place,
    press,
    resize,
    stand,
    told,
    wizard,
    wizard_of,
    write,
)
from jobs import built
from screens import frame, settle
from textual.events import Paste

from pelmet.model.examples import read_example
from pelmet.model.job.job import Job
from pelmet.tui.panes.drawings import DRAWINGS
from pelmet.tui.wizard.walking import Walking

pytestmark = pytest.mark.journey

sizes = pytest.mark.parametrize("size", [NARROW, WIDE], ids=["80x24", "120x40"])
ARROWS = ("left", "right", "up", "down")


def wall(item_id: str) -> dict[str, object]:
    return {"id": item_id, "room": "K", "length": 4000}


def cabinet(item_id: str, at: int, width: int = 900) -> dict[str, object]:
    return {"id": item_id, "wall": item_id[0], "at": at, "width": width, "depth": 320,
            "bottom_height": 1400}  # fmt: skip


def row() -> Job:
    """Put three cabinets far apart in a row on one wall."""
    return built(
        {
            "rooms": [{"id": "K", "name": "Long room"}],
            "walls": [wall("A")],
            "cabinets": [cabinet("A1", 0), cabinet("A2", 1500), cabinet("A3", 3000)],
        }
    )


def walking(pilot) -> Walking:
    return wizard_of(pilot).walking


def plan_text(pilot) -> str:
    return wizard_of(pilot).query_one("#plan").text


def plan_is_shown(pilot) -> bool:
    return wizard_of(pilot).query_one("#plan").display


def form_is_shown(pilot) -> bool:
    return wizard_of(pilot).query_one("#side").display


@sizes
async def test_walking_starts_from_the_thing_one_stands_on_and_shows_it_on_the_drawing(
    tmp_path, size
):
    async with wizard("kitchen", tmp_path, size) as pilot:
        for kind, item_id, field, words in (
            ("cabinet", "A2", "depth", "A2: wall cabinet."),
            ("run", "R3", "feed_end", "R3: run."),
            ("obstacle", "O1", "kind", "O1: hood."),
            ("wall", "B", "length", "B: wall."),
        ):
            await stand(pilot, kind, item_id, field)
            form = frame(pilot.app)
            await press(pilot, "ctrl+d")
            assert walking(pilot).on
            assert walking(pilot).focus == item_id
            assert plan_is_shown(pilot)
            assert f">{item_id}<" in plan_text(pilot)
            assert told(pilot).startswith(words)
            await press(pilot, "escape")
            assert frame(pilot.app) == form
            assert place(pilot) == (kind, item_id, field)


@sizes
async def test_each_arrow_goes_to_the_thing_beside_and_nothing_is_changed(tmp_path, size):
    async with wizard(row(), tmp_path, size) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        await press(pilot, "ctrl+d")
        came = []
        for arrow in ("right", "right", "left", "up", "down", "left"):
            await press(pilot, arrow)
            came.append(walking(pilot).focus)
            assert f">{came[-1]}<" in plan_text(pilot)
            assert told(pilot).startswith(f"{came[-1]}: ")
        assert came == ["A2", "A3", "A2", "A", "A2", "A1"]
        assert place(pilot) == ("cabinet", "A1", "width")
        assert not held(pilot).dirty
        assert entered(pilot) == "900"


async def wander(pilot, wanted) -> None:
    """Press arrows, always the same ones, until one comes to a thing that is wanted."""
    random = Random(7)
    for _ in range(300):
        if walking(pilot).focus in wanted:
            return
        await pilot.press(random.choice(ARROWS))
    raise AssertionError(f"never came to one of {wanted}")


FORMS = {
    "room": ("Rooms", "name"),
    "wall": ("Rooms", "length"),
    "cabinet": ("Rooms", "width"),
    "obstacle": ("Obstacles", "kind"),
    "run": ("Runs", "cabinets"),
    "supply": ("Power", "part"),
}


@by_turns(["kind"], ([kind] for kind in FORMS))
async def test_enter_goes_to_the_form_of_what_one_came_to_in_the_step_that_asks_for_it(
    tmp_path, size, kind
):
    step, field = FORMS[kind]
    async with wizard("kitchen", tmp_path, size) as pilot:
        job = held(pilot).job
        await stand(pilot, "cabinet", "A1", "lip")
        await press(pilot, "ctrl+b", "ctrl+d")
        await wander(pilot, {each.id for each in job.table(kind)} - {"A1"})
        reached = walking(pilot).focus
        await press(pilot, "enter")
        assert place(pilot) == (kind, reached, field)
        assert held(pilot).place.step.name == step
        assert not walking(pilot).on
        assert form_is_shown(pilot)
        assert plan_is_shown(pilot) == (size is WIDE)
        assert not held(pilot).dirty


@sizes
@pytest.mark.parametrize("what", ["hole", "cable"])
async def test_a_hole_and_a_cable_are_told_and_lead_to_their_owner_and_their_leg(
    tmp_path, size, what
):
    async with wizard("kitchen", tmp_path, size) as pilot:
        await stand(pilot, "cabinet", "A2", "width")
        await press(pilot, "ctrl+d", "space")
        plan = held(pilot).plan
        holes = {hole.id: (hole.owner, f"for {' '.join(hole.cables)}.") for hole in plan.holes}
        cables = {cable.id: (cable.leg or cable.run, cable.label) for cable in plan.routes.cables}
        homes = holes if what == "hole" else cables
        await wander(pilot, homes)
        owner, words = homes[walking(pilot).focus]
        assert told(pilot).startswith(walking(pilot).focus)
        said = " ".join(told(pilot).split())
        assert words in said
        assert what == "cable" or f" {owner}" in said
        await press(pilot, "enter")
        assert place(pilot)[1] == owner
        assert held(pilot).place.step.name == ("Rooms" if what == "hole" else "Power")


@sizes
async def test_space_and_the_same_key_turn_from_drawing_to_drawing_at_the_same_thing(
    tmp_path, size
):
    async with wizard("kitchen", tmp_path, size) as pilot:
        await stand(pilot, "cabinet", "B2", "width")
        await press(pilot, "ctrl+d")
        seen = {}
        for key in ("space", "ctrl+d", "space"):
            seen[walking(pilot).drawing] = plan_text(pilot).splitlines()[0]
            assert walking(pilot).focus == "B2"
            assert ">B2<" in plan_text(pilot)
            assert f"Walking the {walking(pilot).drawing}" in " ".join(told(pilot).split())
            await press(pilot, key)
        assert seen == {
            "plan": "Kitchen",
            "elevation": "Wall B, Kitchen",
            "section": "Section through >B2<, run R3",
        }
        assert walking(pilot).drawing == "plan"


async def test_what_was_turned_to_stays_on_a_wide_screen_when_walking_ends(tmp_path):
    async with wizard("kitchen", tmp_path, WIDE) as pilot:
        await stand(pilot, "cabinet", "A3", "opening")
        await press(pilot, "ctrl+d", "space", "left", "escape")
        assert not walking(pilot).on
        assert place(pilot) == ("cabinet", "A3", "opening")
        assert entered(pilot) == "845; 844.5; 845"
        assert "Wall A, Kitchen" in plan_text(pilot)
        assert ">A3<" in plan_text(pilot)
        await press(pilot, "enter", "6")
        assert entered(pilot) == "6"


ENDS = {
    "f3": lambda pilot: held(pilot).place.step.name == "Runs",
    "f7": lambda pilot: held(pilot).place.step.name == "Papers",
    "pagedown": lambda pilot: place(pilot) == ("cabinet", "A3", "width"),
    "tab": lambda pilot: place(pilot) == ("cabinet", "A2", "opening"),
    "shift+tab": lambda pilot: place(pilot)[1] == "A1",
    "ctrl+n": lambda pilot: len(held(pilot).job.cabinets) == 7,
    "ctrl+r": lambda pilot: all(each.id != "A2" for each in held(pilot).job.cabinets),
    "ctrl+z": lambda pilot: held(pilot).job.find("cabinet", "A2").width == 800,
    "ctrl+t": lambda pilot: "Proposals are for" in told(pilot),
    "f1": lambda pilot: dialog(pilot) and "Help" in frame(pilot.app),
    "ctrl+l": lambda pilot: dialog(pilot) and "findings" in frame(pilot.app),
    "f10": lambda pilot: dialog(pilot) and "not saved" in frame(pilot.app),
    "ctrl+s": lambda pilot: not held(pilot).dirty,
}


async def test_any_other_command_key_ends_walking_and_has_its_own_effect(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        for key, has_effect in ENDS.items():
            held(pilot).change(read_example("kitchen"))
            await stand(pilot, "cabinet", "A2", "width")
            await write(pilot, "810")
            await press(pilot, "ctrl+d", "right")
            assert walking(pilot).on
            await press(pilot, key)
            assert not walking(pilot).on
            assert has_effect(pilot)
            if dialog(pilot):
                await press(pilot, "escape")


async def test_on_a_narrow_screen_the_key_that_swaps_keeps_the_drawing_and_then_gives_the_form(
    tmp_path,
):
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "ctrl+d", "ctrl+b")
        assert (walking(pilot).on, plan_is_shown(pilot)) == (False, True)
        await press(pilot, "ctrl+b")
        assert (form_is_shown(pilot), plan_is_shown(pilot)) == (True, False)


@sizes
async def test_letters_and_a_paste_type_nothing_while_one_walks(tmp_path, size):
    async with wizard("kitchen", tmp_path, size) as pilot:
        await stand(pilot, "cabinet", "A2", "width")
        await press(pilot, "ctrl+d", "right")
        focus = walking(pilot).focus
        await write(pilot, "x5?")
        assert "Walking the plan" in told(pilot)
        pilot.app.post_message(Paste("750"))
        await settle(pilot)
        assert (walking(pilot).on, walking(pilot).focus) == (True, focus)
        await press(pilot, "escape")
        assert entered(pilot) == "800"
        assert not held(pilot).dirty


@sizes
async def test_what_was_being_typed_sticks_when_walking_starts_and_a_misread_holds_it_up(
    tmp_path, size
):
    async with wizard("kitchen", tmp_path, size) as pilot:
        await stand(pilot, "cabinet", "A2", "width")
        await write(pilot, "1,200")
        await press(pilot, "ctrl+d")
        assert not walking(pilot).on
        assert entered(pilot) == "1,200"
        await press(pilot, "escape", *"810", "ctrl+d", "right", "escape")
        assert held(pilot).job.find("cabinet", "A2").width == 810
        await press(pilot, "ctrl+z")
        assert not held(pilot).dirty


async def test_the_papers_are_not_walked_and_say_so(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "f7", "ctrl+d")
        assert not walking(pilot).on
        assert "Papers" in told(pilot)


@sizes
async def test_keys_that_come_in_a_heap_walk_as_if_pressed_one_by_one(tmp_path, size):
    keys = ("ctrl+d", "right", "down", "right", "space", "down", "right", "right", "up")
    async with wizard("kitchen", tmp_path, size) as pilot:
        came = []
        for sent in (press, heap):
            await stand(pilot, "cabinet", "A1", "width")
            await sent(pilot, *keys)
            came.append((walking(pilot).drawing, walking(pilot).focus))
            await press(pilot, "space", "space", "escape")
        assert came[0] == came[1] != ("elevation", "A1")
        await stand(pilot, "cabinet", "A1", "width")
        await heap(pilot, "ctrl+d", "enter", *"610", "enter")
        assert place(pilot) == ("cabinet", "A1", "opening")
        assert held(pilot).job.find("cabinet", "A1").width == 610


async def test_one_walks_on_from_the_same_thing_whatever_the_window_becomes(tmp_path):
    async with wizard(row(), tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        await press(pilot, "ctrl+d", "right")
        for size in ((120, 40), (60, 18), (200, 60), (20, 5), (1, 1), (80, 24)):
            await resize(pilot, *size)
            assert (walking(pilot).on, walking(pilot).focus) == (True, "A2")
            if size >= (60, 18):
                assert ">A2<" in plan_text(pilot)
        await press(pilot, "left")
        assert walking(pilot).focus == "A1"


async def test_in_a_window_too_small_to_show_a_drawing_one_stays_where_one_is(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        await press(pilot, "ctrl+d")
        for size in ((50, 10), (80, 24)):
            await resize(pilot, *size)
            if size == (50, 10):
                await press(pilot, "right", "down", "left", "down")
        assert walking(pilot).focus == "A1"


@sizes
async def test_a_job_with_nothing_in_it_can_be_walked_without_harm(tmp_path, size):
    async with wizard(Job(), tmp_path, size) as pilot:
        for _ in DRAWINGS:
            await press(pilot, "ctrl+d", *ARROWS, "space", "enter")
            assert place(pilot) == ("site", "", "name")
            await press(pilot, "ctrl+d", *ARROWS, "ctrl+d", "escape")
            assert not walking(pilot).on
            await press(pilot, "ctrl+d", "space")
            assert "yet: add a" in plan_text(pilot)
            assert told(pilot).startswith("Walking the")
            await press(pilot, "escape")
        assert held(pilot).job == Job()


async def test_from_an_allowance_or_the_job_one_walks_on_to_the_first_thing_of_the_drawing(
    tmp_path,
):
    async with wizard("kitchen", tmp_path) as pilot:
        for kind, item_id, field in (("site", "", "name"), ("allowances", "bars", "end_clearance")):
            await stand(pilot, kind, item_id, field)
            await press(pilot, "ctrl+d")
            assert told(pilot).startswith("Walking the plan")
            await press(pilot, "right")
            assert told(pilot).startswith("Kitchen: room.")
            await press(pilot, "escape")
            assert place(pilot) == (kind, item_id, field)


async def test_in_the_terminals_own_two_colours_the_thing_walked_to_is_still_to_be_told(
    tmp_path, monkeypatch
):
    monkeypatch.setenv("NO_COLOR", "1")
    async with wizard("kitchen", tmp_path) as pilot:
        pane = wizard_of(pilot).query_one("#plan")
        await press(pilot, "ctrl+d")
        for arrow in ("right", "down", "right", "right", "right", "right"):
            await press(pilot, arrow)
            strips = pane.render_lines(pane.size.region)
            turned = [each.text for strip in strips for each in strip if each.style.reverse]
            assert "".join(turned).strip(), walking(pilot).focus

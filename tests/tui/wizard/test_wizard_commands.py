"""One table of commands makes the keys, the footer, the palette and the help."""

from inspect import isfunction
from itertools import product
from unittest.mock import create_autospec

import pytest
from frames import dialog, held, place, press, shown, stand, told, wizard, wizard_of
from screens import frame, until
from textual.command import CommandList
from textual.widgets import Input

from pelmet.model.examples import read_example
from pelmet.model.job.catalogue import Catalogue
from pelmet.model.job.job import Job
from pelmet.tui.app import Pelmet
from pelmet.tui.panes.bars import footer_bar, step_bar
from pelmet.tui.session.session import Session
from pelmet.tui.session.steps import MOUNTING, PAPERS, RUNS, STEPS
from pelmet.tui.wizard.actions import Actions
from pelmet.tui.wizard.commands import COMMANDS, MOVES, command_named, footer_keys

SAME_AS = {"ctrl+m": "enter", "ctrl+h": "backspace", "ctrl+i": "tab", "ctrl+j": "enter",
           "ctrl+[": "escape"}  # fmt: skip
EDITING = {
    binding.key: binding.action for keys in Input.BINDINGS for binding in keys.make_bindings([keys])
}


def test_each_key_has_one_command_and_none_is_a_key_the_terminal_sends_for_another():
    keys = [command.key for command in COMMANDS if command.key]
    assert len(keys) == len(set(keys))
    assert not SAME_AS.keys() & set(keys)
    assert all(key.startswith(("f", "ctrl+")) for key in keys)


def test_no_command_takes_a_key_that_edits_the_field_but_one_that_has_another():
    # All but up and down, which in a field of one row do nothing.
    taken = EDITING.keys() & {command.key for command in COMMANDS}
    assert taken == {"ctrl+d"}
    assert EDITING["delete"] == EDITING["ctrl+d"]


def test_each_command_is_said_with_the_key_that_gives_it():
    shown = {command.name: command.shown for command in COMMANDS}
    assert (shown["help"], shown["save"], shown["save_as"]) == ("F1", "^S", "F12")
    for command in COMMANDS:
        assert command.help
        assert command.short


def test_each_command_does_one_thing_and_all_that_can_be_done_has_a_command():
    done = []
    for command in COMMANDS:
        assert command_named(command.name) is command
        does = create_autospec(Actions, instance=True)
        does.session = Session(Job(), Catalogue())
        command.act(does)
        (call,) = does.method_calls
        done.append(call if command.name.startswith("step_") else call[0])
        assert command.name.startswith("step_") or call[0] == command.name
    assert [one.args for one in done if not isinstance(one, str)] == [(step,) for step in STEPS]
    ways = {name for name, way in vars(Actions).items() if isfunction(way)} - {"__init__"}
    assert ways == {one for one in done if isinstance(one, str)} | {"go_to_step"}


def test_the_steps_and_the_footer_fit_the_narrowest_screen_that_is_served_well():
    session = Session(Job(), Catalogue())
    assert len(footer_keys()) <= 7
    assert len(footer_bar(footer_keys()).text) <= 80
    for step in STEPS:
        session.go(step)
        assert len(step_bar(session.place.step).text) <= 80


def why_not(name: str, session: Session) -> str:
    return command_named(name).why_not(session)


def test_a_command_that_cannot_act_has_a_reason_and_one_that_can_has_none():
    new, example = Session(Job(), Catalogue()), Session(read_example("kitchen"), Catalogue())
    assert "Nothing to take back" in why_not("undo", new)
    assert "Nothing was taken back" in why_not("redo", new)
    assert why_not("remove", new)
    assert why_not("findings", new)
    assert why_not("propose", new)
    assert not why_not("findings", example)
    new.add_next()
    assert not why_not("undo", new)
    assert not why_not("remove", new)
    new.undo()
    assert not why_not("redo", new)
    for step, ready in ((MOUNTING, False), (PAPERS, False), (RUNS, True)):
        example.go(step)
        assert bool(why_not("propose", example)) is not ready


@pytest.mark.journey
async def test_a_key_that_cannot_act_says_why_and_changes_nothing(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        for step, command in product(STEPS, COMMANDS):
            await press(pilot, step.key)
            reason = command.why_not(held(pilot))
            if reason:
                await press(pilot, command.key)
                assert told(pilot).split() == reason.split()
                assert not held(pilot).dirty


@pytest.mark.journey
async def test_the_help_lists_every_key_and_says_what_cannot_be_done_now(tmp_path):
    async with wizard("kitchen", tmp_path, (80, 60)) as pilot:
        await press(pilot, "f1")
        rows = pilot.app.screen.query_one("#dialog-page").text.splitlines()
        for key in [command.shown for command in COMMANDS] + [key for key, _ in MOVES]:
            assert any(row.startswith(key) for row in rows), key
        text = " ".join(" ".join(rows).split())
        assert "not now: Nothing to take back" in text
        for command in COMMANDS:
            assert command.help in text
        assert all(len(row) <= 74 for row in rows)


@pytest.mark.journey
async def test_the_palette_offers_every_command_and_does_it(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        offered = {each.title for each in pilot.app.get_system_commands(wizard_of(pilot))}
        for command in COMMANDS:
            assert f"{command.short} ({command.shown})" in offered
        await press(pilot, "ctrl+p", *"obstacles")
        found = pilot.app.screen.query_one(CommandList)
        await until(pilot, lambda: found.option_count == 1)
        await press(pilot, "enter")
        await until(pilot, lambda: held(pilot).place.step.name == "Obstacles")


@pytest.mark.journey
async def test_keys_of_the_wizard_do_nothing_behind_a_dialog(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "cabinet", "A1", "width")
        before = place(pilot), held(pilot).place.step
        for opener in ("f1", "ctrl+l", "f12", "ctrl+o", "ctrl+g"):
            await press(pilot, opener)
            assert dialog(pilot)
            for key in ("f3", "f7", "ctrl+n", "ctrl+r", "ctrl+t", "ctrl+s", "ctrl+z", "f9", "f10"):
                await pilot.press(key)
            assert (place(pilot), held(pilot).place.step) == before
            assert held(pilot).job == read_example("kitchen")
            assert dialog(pilot)
            await press(pilot, "escape")
            assert not dialog(pilot)


@pytest.mark.journey
async def test_ctrl_q_in_a_dialog_leaves_the_dialog_only(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        for opener in ("f1", "ctrl+l", "f12", "ctrl+o", "ctrl+p"):
            await press(pilot, "x", opener)
            assert dialog(pilot)
            await press(pilot, "ctrl+q")
            await until(pilot, lambda: not dialog(pilot))
            assert pilot.app.is_running
            assert held(pilot).dirty


@pytest.mark.journey
async def test_ctrl_c_says_how_to_leave_and_leaves_nothing(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await stand(pilot, "obstacle", "O1", "kind")
        await press(pilot, "ctrl+c")
        assert "F10" in told(pilot)
        assert pilot.app.is_running


@pytest.mark.journey
async def test_every_figure_of_a_thing_is_told_down_to_its_source(tmp_path):
    async with wizard("kitchen", tmp_path, (100, 40)) as pilot:
        await stand(pilot, "run", "R1", "cabinets")
        await press(pilot, "ctrl+g")
        seen = []
        options = pilot.app.screen.query_one("#dialog-options").text.splitlines()
        for _ in options:
            seen.append(pilot.app.screen.query_one("#dialog-detail").text)
            await press(pilot, "down")
        assert len(set(seen)) == len(options) > 3
        assert all("from" in text or "source" in text for text in seen)


@pytest.mark.journey
async def test_a_finding_is_jumped_to_and_escape_stays(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        await press(pilot, "ctrl+l", "down", "escape")
        assert place(pilot) == ("site", "", "name")
        await press(pilot, "ctrl+l", "down", "enter")
        finding = held(pilot).plan.findings[1]
        assert place(pilot) == (finding.kind, finding.about, finding.field)


@pytest.mark.journey
async def test_form_and_plan_swap_on_a_narrow_screen_and_a_wide_one_says_they_need_not(tmp_path):
    async with wizard("kitchen", tmp_path) as pilot:
        form = frame(pilot.app)
        await press(pilot, "ctrl+b")
        plan = frame(pilot.app)
        assert "####" in plan
        assert "Length unit" not in plan
        await press(pilot, "ctrl+b")
        assert frame(pilot.app) == form
    async with wizard("kitchen", tmp_path / "..", (120, 40), "wide.toml") as pilot:
        await press(pilot, "ctrl+b")
        assert "side by side" in told(pilot)


@pytest.mark.journey
async def test_the_start_screen_is_walked_by_arrows_and_left_by_escape():
    async with shown(Pelmet()) as pilot:
        assert "> New job" in frame(pilot.app)
        await press(pilot, *["down"] * 9)
        assert "its pantry just begu" in frame(pilot.app)
        await press(pilot, "enter")
        assert held(pilot).job == read_example("kitchen-proved-pantry-begun")
    async with shown(Pelmet()) as pilot:
        await press(pilot, "escape")
    assert pilot.app.return_code == 0

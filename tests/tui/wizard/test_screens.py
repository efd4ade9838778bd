"""What the screen shows, at three sizes and in every kind of colour."""

import os

import pytest
from screens import frame, on_example, settle

from pelmet.tui.app import Pelmet
from pelmet.tui.panes.bars import footer_bar
from pelmet.tui.session.steps import STEPS
from pelmet.tui.wizard.commands import COMMANDS, footer_keys
from pelmet.tui.wizard.wizard import LEAST_HEIGHT, LEAST_WIDTH

pytestmark = pytest.mark.snapshot

SIZES = [pytest.param(size, id=f"{size[0]}x{size[1]}") for size in ((80, 24), (100, 30), (120, 40))]


@pytest.mark.parametrize("size", SIZES)
async def test_every_step_of_the_example(size, snapshot):
    app = on_example()
    async with app.run_test(size=size) as pilot:
        await settle(pilot)
        for step in STEPS:
            await pilot.press(step.key)
            await settle(pilot)
            shown = frame(app)
            assert all(len(row) <= size[0] for row in shown.splitlines())
            assert shown == snapshot(name=step.name)


async def test_the_plan_fills_a_narrow_screen_when_asked(snapshot):
    app = on_example("kitchen-with-pantry")
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press("ctrl+b")
        await settle(pilot)
        assert frame(app) == snapshot


@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("findings", ["ctrl+l"]),
        ("why", ["pagedown", "pagedown", "pagedown", "ctrl+g"]),
        ("help", ["f1"]),
        ("save as", ["ctrl+s"]),
        ("leaving unsaved", ["x", "f10"]),
        ("refused reading", ["pagedown", "pagedown", "pagedown", *"2,400", "enter"]),
    ],
)
async def test_every_dialog_at_80_columns(name, keys, snapshot):
    app = on_example()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        await pilot.press(*keys)
        await settle(pilot)
        assert frame(app) == snapshot(name=name)


async def test_the_start_screen(snapshot):
    app = Pelmet()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        assert frame(app) == snapshot


@pytest.mark.parametrize("theme", ["textual-dark", "textual-light", "ansi-dark", "ansi-light"])
async def test_the_words_are_the_same_in_every_theme(theme):
    frames = []
    for chosen in ("textual-dark", theme):
        app = on_example()
        async with app.run_test(size=(80, 24)) as pilot:
            app.theme = chosen
            await settle(pilot)
            frames.append(frame(app))
    assert frames[0] == frames[1]


async def test_no_color_leaves_the_terminals_own_two_colours(monkeypatch):
    monkeypatch.setitem(os.environ, "NO_COLOR", "1")
    app = on_example()
    async with app.run_test(size=(80, 24)) as pilot:
        await settle(pilot)
        strips = app.screen._compositor.render_strips()
        colours = {
            colour.name
            for strip in strips
            for segment in strip
            if segment.style
            for colour in (segment.style.color, segment.style.bgcolor)
            if colour and not colour.is_default
        }
        assert not {name for name in colours if name.startswith("#")}
        assert ">" in frame(app)  # where one stands is told by a mark, not by a colour


async def test_a_window_that_is_too_small_says_so():
    app = on_example()
    async with app.run_test(size=(LEAST_WIDTH - 1, LEAST_HEIGHT - 1)) as pilot:
        await settle(pilot)
        shown = frame(app)
        assert "59 x 17 is too small" in shown
        assert "60 x 18" in shown


def test_the_footer_fits_80_columns_with_at_most_seven_keys():
    assert len(footer_bar(footer_keys()).text) <= 80
    assert len(footer_keys()) <= 7


def test_every_command_has_a_key_of_its_own_that_terminals_send():
    keys = [command.key for command in COMMANDS if command.key]
    assert len(set(keys)) == len(keys)
    assert not {"ctrl+m", "ctrl+h", "ctrl+i"} & set(keys)
